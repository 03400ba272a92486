//! What is wrong with the logger itself.
//!
//! A fault is shown by itself when it is new, and stays to be seen above the overview for as long as it lasts. What it does to a
//! cure is none of this module's business: that follows from what was recorded.

use super::start::Phase;
use super::time::{Now, WallKnown};
use super::ui::Light;
use super::{Probed, Stuck, Works};
use crate::board::{Board, Lines, Supply};
use crate::tell::tell;
use crate::view::{Alert, Battery, ClockFailure, Fault, Goes, Notice};
use holdoff_core::log::{LogError, MountError, ResetCause, Trust};
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::Span;

/// Milliseconds between looks at the battery.
const BATTERY_MS: u32 = 60_000;
/// A clock may be silent for so long before it is said: a single transfer can fail.
const SILENT_MS: u32 = 2_000;
/// Most faults at a time.
pub(super) const MOST_FAULTS: usize = 10;

/// The faults there are, the gravest first.
pub(super) type List = [Option<Fault>; MOST_FAULTS];

/// What is known of faults beyond what the rest of the logger knows.
#[derive(Debug)]
pub(super) struct Faults {
    /// Since when the clock chip has not answered, and how the bus is.
    pub(super) clock_silent: Option<(u32, Lines)>,
    /// How the clock failed last, and whether it goes again; until it is set.
    pub(super) clock: Option<(ClockFailure, Goes)>,
    /// When it was last started again, and how long it is left alone should it fail again.
    pub(super) clock_started: Option<(u32, u32)>,
    /// A restart while a fixing was running, until it was seen.
    pub(super) restarted: Option<(ResetCause, Option<Span>)>,
    /// Kinds of faults that there were at the last look.
    seen: u32,
    /// Whether there were any at the last look.
    pub(super) alert: Alert,
}

impl Faults {
    pub(super) const NONE: Self =
        Self { clock_silent: None, clock: None, clock_started: None, restarted: None, seen: 0, alert: Alert::None };

    /// How the bus is, where the clock chip has been silent for long enough to say so.
    fn silent(&self, uptime: u32) -> Option<Lines> {
        let (since, lines) = self.clock_silent?;
        (uptime.wrapping_sub(since) >= SILENT_MS).then_some(lines)
    }
}

impl<B: Board> Works<B> {
    /// The faults there are now.
    pub(super) fn list(&self, uptime: u32) -> List {
        let mut list = [None; MOST_FAULTS];
        let mut places = list.iter_mut();
        let mut add = |fault: Option<Fault>| {
            if fault.is_some()
                && let Some(place) = places.next()
            {
                *place = fault;
            }
        };
        match self.phase {
            Phase::Starved { .. } => {
                add(Some(Fault::BatteryVeryLow));
                return list;
            }
            Phase::Refused(error) => {
                add(Some(refused(error)));
                return list;
            }
            Phase::NoMemory { .. } => add(Some(Fault::MemorySilent)),
            Phase::Awaited(_) | Phase::Up => {
                add(self.memory_failed.then_some(Fault::MemorySilent));
                add((self.logger.is_losing() && self.is_full()).then(|| self.losing()));
                add(match self.logger.trust() {
                    Trust::Trusted => None,
                    Trust::Untrusted(_) => Some(Fault::LogUntrusted),
                });
            }
        }
        let silent = self.faults.silent(uptime);
        add(silent.map(|lines| match lines {
            Lines::Held => Fault::BusStuck,
            Lines::Free => Fault::ClockSilent,
        }));
        add(self.faults.clock.map(|(how, goes)| Fault::ClockFailed { how, goes }));
        if self.has_job() {
            add(self.probe_fault());
            add(match self.stuck {
                Stuck::At(_) => Some(Fault::ProbeStuck),
                Stuck::No => None,
            });
            let full = self.has_no_room() && !self.logger.is_losing();
            add(full.then_some(Fault::MemoryFull));
        }
        add(match self.battery() {
            Battery::Good => None,
            Battery::Low => Some(Fault::BatteryLow),
            Battery::VeryLow => Some(Fault::BatteryVeryLow),
        });
        add(match (self.time.wall(), self.faults.clock, silent) {
            (WallKnown::Unset, None, None) => Some(Fault::ClockNotSet),
            (WallKnown::Unset | WallKnown::Set, _, _) => None,
        });
        add(self.faults.restarted.map(|(cause, dark)| Fault::Restarted { cause, dark }));
        list
    }

    /// Whether the clock failed and does not go.
    pub(super) fn is_clock_failed(&self) -> bool {
        matches!(self.faults.clock, Some((_, Goes::Not)))
    }

    /// Why there is no time, in words for the display.
    pub(super) fn no_time(&self) -> Notice {
        if self.is_clock_failed() { Notice::ClockFailed } else { Notice::ClockSilent }
    }

    /// Readings find no room; how many of the session did not, recorded as lost or not yet.
    fn losing(&self) -> Fault {
        Fault::Losing { count: u32::try_from(self.logger.lost()).unwrap_or(u32::MAX) }
    }

    /// Shows what is newly wrong, and leaves what is over.
    #[inline(never)] // its own stack, given back before the next part of a step
    pub(super) fn look_for_faults(&mut self, now: Option<Now>, uptime: u32) {
        let list = self.list(uptime);
        let count = list.iter().flatten().count();
        self.faults.alert = if count > 0 { Alert::Fault } else { Alert::None };
        self.ui.leave_what_is_over(count);
        if now.is_none() && self.faults.clock.is_none() && self.faults.silent(uptime).is_none() {
            return; // nobody knows the time for a moment
        }
        let seen = list.iter().flatten().fold(0u32, |seen, fault| seen | 1 << kind(fault));
        tell!(faults(seen));
        let light = self.lights();
        let new = list.iter().flatten().zip(0u8..).find(|(fault, _)| self.faults.seen >> kind(fault) & 1 == 0);
        if let Some((_, place)) = new
            && self.ui.raise(place, light, uptime)
        {
            // what a question kept from being shown is new for as long
            self.faults.seen = seen;
        } else {
            self.faults.seen &= seen;
        }
    }

    /// Looks at the battery once in a minute.
    pub(super) fn look_at_battery(&mut self, board: &mut B, uptime: u32) {
        if self.battery_at.is_some_and(|at| uptime.wrapping_sub(at) < BATTERY_MS) {
            return;
        }
        self.battery_at = Some(uptime);
        self.measure_battery(board);
        self.count_no_starts(board, uptime);
    }

    /// Whether the logger lights the display by itself: below empty only a button does.
    pub(super) fn lights(&self) -> Light {
        match self.battery() {
            Battery::Good | Battery::Low => Light::On,
            Battery::VeryLow => Light::Off,
        }
    }

    /// Whether the memory has no room for another injection.
    pub(super) fn has_no_room(&self) -> bool {
        match self.logger.may_inject() {
            Err(LogError::NoRoom { .. }) => true,
            Ok(())
            | Err(
                LogError::Store(_)
                | LogError::NotMounted
                | LogError::NoSession
                | LogError::PowerUpFirst
                | LogError::Running { .. }
                | LogError::Untrusted
                | LogError::GroupFull
                | LogError::AccrualNotPermitted,
            ) => false,
        }
    }

    /// The battery; one that can't be measured counts as good, but gives no reading.
    pub(super) fn battery(&self) -> Battery {
        match (B::SUPPLY, self.battery_mv) {
            (Supply::Battery(limits), Some(millivolts)) if millivolts < limits.empty => Battery::VeryLow,
            (Supply::Battery(limits), Some(millivolts)) if millivolts < limits.low => Battery::Low,
            (Supply::Battery(_) | Supply::Bench, _) => Battery::Good,
        }
    }

    fn probe_fault(&self) -> Option<Fault> {
        match self.probed {
            Probed::Unasked | Probed::Count => None,
            Probed::None(Refusal::Bus, Lines::Held) => Some(Fault::BusStuck),
            Probed::None(Refusal::Bus, Lines::Free) => Some(Fault::ProbeSilent),
            Probed::None(Refusal::Supply, _) => {
                Some(if self.battery_mv.is_some() { Fault::SupplyLow } else { Fault::SupplyUnknown })
            }
            Probed::None(Refusal::PowerUp | Refusal::OutOfRange | Refusal::NotLater | Refusal::Step, _) => {
                Some(Fault::ProbeWrong)
            }
        }
    }
}

fn refused(error: MountError) -> Fault {
    match error {
        MountError::Memory(_) => Fault::MemorySilent,
        MountError::Size { .. } | MountError::Geometry { .. } => Fault::MemorySize,
        MountError::Version { found, .. } => Fault::LogVersion { found },
        MountError::Device { found, .. } => Fault::LogForeign { device: found },
        MountError::Foreign { .. } => Fault::LogNotOwn,
        MountError::NoLog => Fault::NoLog,
    }
}

/// The kind of a fault, as the number of a bit.
const fn kind(fault: &Fault) -> u8 {
    match fault {
        Fault::ProbeSilent => 0,
        Fault::BusStuck => 1,
        Fault::ProbeWrong => 2,
        Fault::ProbeStuck => 3,
        Fault::ClockNotSet => 4,
        Fault::ClockFailed { how: ClockFailure::Stopped, .. } => 5,
        Fault::ClockFailed { how: ClockFailure::Back, .. } => 6,
        Fault::ClockFailed { how: ClockFailure::Fast, .. } => 7,
        Fault::ClockSilent => 8,
        Fault::MemorySilent => 9,
        Fault::Losing { .. } => 10,
        Fault::MemoryFull => 11,
        Fault::BatteryLow => 12,
        Fault::BatteryVeryLow => 13,
        Fault::LogUntrusted => 14,
        Fault::LogForeign { .. } => 15,
        Fault::LogVersion { .. } => 16,
        Fault::MemorySize => 17,
        Fault::NoLog => 18,
        Fault::Restarted { .. } => 19,
        Fault::SupplyLow => 20,
        Fault::SupplyUnknown => 21,
        Fault::LogNotOwn => 22,
    }
}
