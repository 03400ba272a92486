//! Coming up: mounting the memory, and recording the power-up (rule E4).
//!
//! Order: the memory is mounted, then the clock is held against the log, then the power-up is recorded, and only then anything
//! is measured. A clock fault later on goes through the same record: the count is interrupted, and the length of the
//! interruption is unknown.
//! With cells below empty the display stays dark and nothing is read or written for a minute, for twice as long at every
//! further such start in a row: a supply that breaks down again and again lights nothing, and does not fill the log.
//! What it does not do: guess. A clock that says the very second of the log's last item is given three seconds to go on; one
//! that says less has not advanced.

use super::in_hole::InHoles;
use super::measure::{HEAD_MS, secret_key};
use super::time::{NoTime, Now};
use super::{Key, Stuck, VERSION, Works};
use crate::board::{Board, Bus, Lines};
use crate::driver::clock::FIRST;
use crate::tell::tell;
use crate::view::{Battery, ClockFailure, Goes};
use holdoff_core::group::{Darkness, Event};
use holdoff_core::log::{DeviceId, LogError, MountError, Owner, PageKey, ResetCause};
use holdoff_core::quantity::{Instant, Span};
use holdoff_core::seal::SecretKey;

/// Milliseconds between tries to mount a memory that does not answer.
const MOUNT_AGAIN_MS: u32 = 5_000;
/// Milliseconds before a clock that fails a second time is started again.
const CLOCK_WAIT_MS: u32 = 60_000;
/// And at most.
const CLOCK_WAIT_MOST_MS: u32 = 3_600_000;
/// Milliseconds that the first start with cells below empty waits for before it records anything; every further one in a row
/// twice as long,
const STARVED_MS: u32 = 60_000;
/// and an hour at most.
const STARVED_MOST_MS: u32 = 3_600_000;
/// How many such starts there may have been when nobody remembers: a quarter of an hour is waited.
const STARTS_FORGOTTEN: u8 = 4;
/// The uptime from which on such starts are no longer in a row: an hour after the longest wait.
const STEADY_MS: u32 = 2 * STARVED_MOST_MS;
/// How long a clock may say the last item's second.
const STANDING_MS: u32 = 3_000;

/// How far the logger has come up.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Phase {
    /// The cells are below empty at the start. It waits in the dark, and has neither read nor written the memory.
    Starved { until: u32 },
    /// The memory is not mounted because it does not answer; when to try again.
    NoMemory { again_at: Option<u32> },
    /// The memory is none that can be written on.
    Refused(MountError),
    /// Mounted; the power-up is still to be recorded.
    Awaited(Restart),
    /// It measures and acts.
    Up,
}

/// A restart that is still to be recorded.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Restart {
    cause: ResetCause,
    /// `None` while the clock has not told yet.
    dark: Option<Darkness>,
    /// Since when that is waited for.
    since: u32,
}

/// Milliseconds to wait after so many starts in a row with cells below empty.
fn starved(starts: u8) -> u32 {
    let doubled = STARVED_MS.saturating_mul(1 << starts.min(6)); // 64 min
    doubled.min(STARVED_MOST_MS)
}

impl Phase {
    pub(super) const NEW: Self = Self::NoMemory { again_at: None };
}

impl<B: Board> Works<B> {
    #[inline(never)] // its own stack, given back before the first step
    pub(super) fn start(&mut self, board: &mut B) {
        let uptime = board.uptime_ms();
        tell!(start(VERSION, B::NAME, board.reset_cause()));
        let key = secret_key(board);
        self.key = if key.is_some() { Key::There } else { Key::Missing };
        let tags = key.as_ref().map_or(PageKey::KNOWN, SecretKey::page_key);
        let public = key.map(|key| key.public());
        self.public = public.map(|public| *public.bytes());
        let own = public.map_or(DeviceId([0; 8]), |public| DeviceId::of_key(&public));
        self.logger.set_owner(Owner { device: board.number().map_or(own, DeviceId), key: tags });
        self.logger.memory_mut().plug(board.bus());
        self.look_at_battery(board, uptime);
        if self.battery() == Battery::VeryLow {
            // light, or a memory being read, may be what the cells broke down under
            let before = board.kept().unwrap_or(STARTS_FORGOTTEN);
            board.keep(before.saturating_add(1));
            self.phase = Phase::Starved { until: uptime.wrapping_add(starved(before)) };
            board.light(false); // a display keeps its own state over a reset of the board
            self.ui.start_dark();
            return;
        }
        board.keep(0);
        self.ui.start(uptime);
        self.show(board, None, uptime); // mounting takes seconds
        self.set_out(board, uptime);
    }

    fn set_out(&mut self, board: &mut B, uptime: u32) {
        let _ = self.probe.set_up(&mut board.bus(), uptime); // a reading tries again, and says so
        self.mount(board, uptime);
    }

    /// Whether it waits in the dark for better cells.
    pub(super) fn is_starved(&self) -> bool {
        matches!(self.phase, Phase::Starved { .. })
    }

    /// Waits no longer where the cells are good again, the time is over, or somebody is there and has lit the display or talks.
    fn end_of_waiting(&self, until: u32, uptime: u32) -> bool {
        let over = uptime.wrapping_sub(until) < u32::MAX / 2;
        over || self.battery() != Battery::VeryLow || self.ui.was_lit || self.talk.is_some()
    }

    /// A run that has lasted is no more one of a row of starts that came to nothing.
    pub(super) fn count_no_starts(&self, board: &mut B, uptime: u32) {
        match self.phase {
            Phase::Up if uptime >= STEADY_MS => board.keep(0),
            Phase::Up | Phase::Starved { .. } | Phase::NoMemory { .. } | Phase::Refused(_) | Phase::Awaited(_) => {}
        }
    }

    /// The second it is. A clock that failed is started again as unset, and the count is interrupted.
    #[inline(never)] // its own stack, given back before the next part of a step
    pub(super) fn tell_time(&mut self, board: &mut B) -> Option<Now> {
        let (mut bus, uptime) = (board.bus(), board.uptime_ms());
        match self.time.now(&mut bus, uptime) {
            Ok(now) => {
                self.faults.clock_silent = None;
                self.faults.clock = self.faults.clock.map(|(how, _)| (how, Goes::Again));
                Some(now)
            }
            Err(NoTime::Silent) => {
                let since = *self.faults.clock_silent.get_or_insert((uptime, Lines::Free));
                self.faults.clock_silent = Some((since.0, bus.free()));
                None
            }
            Err(NoTime::Stopped) => self.clock_failed(board, uptime, ClockFailure::Stopped),
            Err(NoTime::Back) => self.clock_failed(board, uptime, ClockFailure::Back),
            Err(NoTime::Fast) => self.clock_failed(board, uptime, ClockFailure::Fast),
        }
    }

    /// Starts a clock that failed again. One that fails again and again is left for a minute, then for two and so on, up to
    /// an hour: every start is a record, and nothing is measured without a time.
    fn clock_failed(&mut self, board: &mut B, uptime: u32, how: ClockFailure) -> Option<Now> {
        let faults = &mut self.faults;
        (faults.clock, faults.clock_silent) = (Some((how, Goes::Not)), None); // it has answered
        if let Some((at, wait)) = faults.clock_started {
            let since = uptime.wrapping_sub(at);
            if since < wait {
                return None;
            }
            let next =
                if since > CLOCK_WAIT_MOST_MS { CLOCK_WAIT_MS } else { wait.saturating_mul(2).min(CLOCK_WAIT_MOST_MS) };
            faults.clock_started = Some((uptime, next));
        } else {
            faults.clock_started = Some((uptime, CLOCK_WAIT_MS));
        }
        // whether or not it can be started now: nobody knows what its next time is worth
        (self.hour, self.due) = (None, None);
        match &mut self.phase {
            Phase::Awaited(restart) => restart.dark = Some(Darkness::Unknown),
            Phase::Up => {
                self.phase = Phase::Awaited(Restart {
                    cause: ResetCause::Software,
                    dark: Some(Darkness::Unknown),
                    since: uptime,
                });
            }
            Phase::Starved { .. } | Phase::NoMemory { .. } | Phase::Refused(_) => {}
        }
        let after = self.goes_on_after();
        let now = self.time.start(&mut board.bus(), uptime, FIRST, after).ok()?;
        self.faults.clock = Some((how, Goes::Again));
        Some(now)
    }

    /// The instant after which the monotonic clock goes on when the chip is started again.
    pub(super) fn goes_on_after(&self) -> Option<Instant> {
        self.latest().max(self.time.last())
    }

    /// The latest instant that the log knows.
    fn latest(&self) -> Option<Instant> {
        let session = self.logger.session();
        session.last_at().max(session.tie().map(|tie| tie.at))
    }

    /// Goes on coming up. The time is given back as it is afterwards.
    #[inline(never)] // its own stack, given back before the next part of a step
    pub(super) fn come_up(&mut self, board: &mut B, now: Option<Now>, uptime: u32) -> Option<Now> {
        match self.phase {
            Phase::Starved { until } if self.end_of_waiting(until, uptime) => {
                self.set_out(board, uptime);
                let now = self.tell_time(board);
                self.record_power_up(board, now, uptime)
            }
            Phase::Starved { .. } => None,
            Phase::NoMemory { again_at } => {
                let due = again_at.is_none_or(|at| uptime.wrapping_sub(at) < u32::MAX / 2);
                if !due {
                    return now;
                }
                self.mount(board, uptime);
                let now = self.tell_time(board);
                self.record_power_up(board, now, uptime)
            }
            Phase::Refused(_) | Phase::Up => now,
            Phase::Awaited(_) => self.record_power_up(board, now, uptime),
        }
    }

    fn mount(&mut self, board: &mut B, uptime: u32) {
        board.feed_watchdog();
        self.stuck = Stuck::No;
        let mut stuck = None;
        let mounted = self.logger.mount(&mut |_| {}, &mut |event| {
            if let Event::Stuck { at, .. } = event {
                stuck = Some(at);
            }
        });
        board.feed_watchdog();
        if let (Some(at), Some((last, count))) = (stuck, self.logger.group().and_then(|group| group.last_reading())) {
            // only while nothing has changed since
            if last >= at {
                self.stuck = Stuck::At(count);
            }
        }
        self.phase = match mounted {
            Ok(_) => Phase::Awaited(Restart { cause: board.reset_cause(), dark: None, since: uptime }),
            Err(MountError::Memory(_)) => Phase::NoMemory { again_at: Some(uptime.wrapping_add(MOUNT_AGAIN_MS)) },
            Err(
                error @ (MountError::Size { .. }
                | MountError::Version { .. }
                | MountError::Geometry { .. }
                | MountError::Device { .. }
                | MountError::Foreign { .. }
                | MountError::NoLog),
            ) => Phase::Refused(error),
        };
        self.memory_failed = mounted.is_err();
        let session = self.logger.session();
        let (recorded, lost) = session.readings();
        // a session begins with a reading: one that has none was cut off while it was loaded
        self.loaded = session.group().is_some() && (recorded > 0 || lost > 0);
        match session.tie() {
            Some(tie) => self.time.tie(tie.utc.saturating_sub(tie.at.seconds()), tie.offset_minutes),
            None => self.time.tie(0, self.time.offset_minutes()),
        }
        (self.named, self.hour, self.due) = (None, None, None);
        self.in_holes = InHoles::NONE;
    }

    fn record_power_up(&mut self, board: &mut B, now: Option<Now>, uptime: u32) -> Option<Now> {
        let Phase::Awaited(restart) = self.phase else { return now };
        let mut now = now?;
        let dark = match (restart.dark, self.latest()) {
            (Some(dark), _) => dark,
            (None, Some(latest)) if now.at == latest && uptime.wrapping_sub(restart.since) < STANDING_MS => {
                return Some(now); // it may still go on
            }
            (None, Some(latest)) if now.at <= latest => {
                now = self.clock_failed(board, uptime, ClockFailure::Back)?;
                Darkness::Unknown
            }
            (None, Some(_) | None) => Darkness::Known,
        };
        let latest = self.logger.session().last_at();
        let running = !self.logger.session().running().is_empty();
        match self.logger.power_up(dark, restart.cause, &mut |event| tell!(event(&event))) {
            Ok(()) => {
                tell!(power_up(dark, running));
                if running {
                    let seconds = latest.map(|latest| now.at.since(latest)).filter(|_| dark == Darkness::Known);
                    let dark = seconds.map(|seconds| Span::from_seconds(u32::try_from(seconds).unwrap_or(u32::MAX)));
                    self.faults.restarted = Some((restart.cause, dark));
                }
                self.sign_head_in(HEAD_MS, uptime);
            }
            Err(LogError::NoSession) => {}
            Err(
                LogError::Store(_)
                | LogError::NotMounted
                | LogError::PowerUpFirst
                | LogError::Running { .. }
                | LogError::NoRoom { .. }
                | LogError::Untrusted
                | LogError::GroupFull
                | LogError::AccrualNotPermitted,
            ) => {
                self.memory_failed = true;
                return Some(now);
            }
        }
        self.memory_failed = false;
        self.phase = Phase::Up;
        if self.loaded {
            self.due = Some(self.first_due(now.at));
        }
        Some(now)
    }

    /// When the next reading is due after a restart: at once, and then in the beat of the last one.
    fn first_due(&self, now: Instant) -> Instant {
        let session = self.logger.session();
        let period = i64::from(session.job().map_or(1, |job| job.period.seconds()).max(1));
        match session.last_at() {
            Some(last) if last < now => last.after(now.since(last) / period * period),
            Some(_) | None => now,
        }
    }

    /// Whether something is still to be done that does not wait for a reading.
    pub(super) fn is_impatient(&self) -> bool {
        match self.phase {
            Phase::NoMemory { .. } | Phase::Awaited(_) => true,
            Phase::Starved { .. } | Phase::Refused(_) => false,
            Phase::Up => self.seal_again_at.is_some(),
        }
    }

    /// Whether it has a job that can be looked at: also while it waits for a clock that failed.
    pub(super) fn knows_job(&self) -> bool {
        match self.phase {
            Phase::Up => self.loaded,
            Phase::Awaited(_) => self.loaded && self.is_clock_failed(),
            Phase::Starved { .. } | Phase::NoMemory { .. } | Phase::Refused(_) => false,
        }
    }

    /// Whether it is up and has a job.
    pub(super) fn has_job(&self) -> bool {
        match self.phase {
            Phase::Up => self.loaded,
            Phase::Starved { .. } | Phase::NoMemory { .. } | Phase::Refused(_) | Phase::Awaited(_) => false,
        }
    }
}
