//! Two clocks: the monotonic one that every cure is counted on, and the wall clock that only labels it (rule Q2).
//!
//! The battery-backed chip counts UTC seconds. The monotonic instant is what the chip says less `ahead`. `ahead` is 0 when a
//! session begins, so a log's instants are UTC seconds as those of a replay are; setting the clock changes chip and
//! `ahead` by the same amount, so the monotonic clock never jumps. After a restart `ahead` comes from the log's last tie.
//! Terms: an *unset* clock shows a time before [`PLAUSIBLE`]. A chip whose oscillator stopped, that went backwards or that
//! runs away from the board's own time, is started again at 2000-01-01: it counts on from there, for everybody to
//! see that it is unset, and the monotonic clock goes on from where it was last.
//! Invariants: instants that are told never go backwards; a time is told only while the chip's seconds agree with the
//! board's uptime.
//! What it does not do: record ties, or decide what a fault does to a cure.

use crate::board::Bus;
use crate::driver::clock::{ClockChip, ClockFault};
use holdoff_core::quantity::Instant;

/// A chip that says less than 2020-01-01T00:00:00Z was never set.
pub const PLAUSIBLE: i64 = 1_577_836_800;
/// Seconds by which chip and uptime may differ whatever the time between: both are whole seconds, and the chip is read a
/// little after the uptime.
const SLACK: i64 = 3;
/// Seconds after which chip and uptime are compared from anew.
const WINDOW: i64 = 3600;
/// A chip that gives no time for so long, although it answers, is taken for stopped.
const IMPOSSIBLE_MS: u32 = 3_000;

/// A second of both clocks.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Now {
    /// Of the monotonic clock.
    pub at: Instant,
    /// What the chip says, seconds since 1970-01-01T00:00:00Z.
    pub utc: i64,
    /// The board's uptime.
    pub uptime: u32,
}

/// Whether the wall clock can be believed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum WallKnown {
    /// It was set.
    Set,
    /// It was not, or stopped since.
    Unset,
}

/// Why there is no time.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum NoTime {
    /// The chip does not answer; its battery may well keep it going.
    Silent,
    /// The chip stood still, or holds no time.
    Stopped,
    /// It says less than before.
    Back,
    /// It ran away from the uptime.
    Fast,
}

/// Both clocks.
#[derive(Debug)]
pub(super) struct Time {
    chip: ClockChip,
    /// One part in this many is what an uptime may be wrong by.
    uptime_parts: u32,
    /// What the chip is ahead of the monotonic clock.
    ahead: i64,
    offset_minutes: i16,
    /// The last second that was told.
    last: Option<ChipTime>,
    /// Where chip and uptime are compared from.
    anchor: Option<ChipTime>,
    /// Since when the chip holds what is no time.
    impossible_since: Option<u32>,
    /// The uptime at the last look at the chip.
    looked: u32,
}

#[derive(Clone, Copy, Debug)]
struct ChipTime {
    utc: i64,
    uptime: u32,
}

impl Time {
    pub(super) const fn new(chip: ClockChip, uptime_parts: u32) -> Self {
        Self {
            chip,
            uptime_parts,
            ahead: 0,
            offset_minutes: 0,
            last: None,
            anchor: None,
            impossible_since: None,
            looked: 0,
        }
    }

    /// What the wall clock is ahead of the monotonic one.
    pub(super) const fn ahead(&self) -> i64 {
        self.ahead
    }

    /// Offset of local time in minutes.
    pub(super) const fn offset_minutes(&self) -> i16 {
        self.offset_minutes
    }

    /// Takes up both from the last tie of a log, or from a job.
    pub(super) const fn tie(&mut self, ahead: i64, offset_minutes: i16) {
        (self.ahead, self.offset_minutes) = (ahead, offset_minutes);
    }

    /// Whether the wall clock was set, by the last second that was told.
    pub(super) fn wall(&self) -> WallKnown {
        match self.last {
            Some(last) if last.utc >= PLAUSIBLE => WallKnown::Set,
            Some(_) | None => WallKnown::Unset,
        }
    }

    /// The second it is.
    pub(super) fn now(&mut self, bus: &mut impl Bus, uptime: u32) -> Result<Now, NoTime> {
        self.looked = uptime;
        let utc = match self.chip.now(bus) {
            Ok(utc) => utc,
            Err(ClockFault::NoAnswer | ClockFault::OutOfRange) => return Err(NoTime::Silent),
            Err(ClockFault::Stopped) => return Err(NoTime::Stopped),
            Err(ClockFault::Impossible) => {
                let since = *self.impossible_since.get_or_insert(uptime);
                let long = uptime.wrapping_sub(since) >= IMPOSSIBLE_MS;
                return Err(if long { NoTime::Stopped } else { NoTime::Silent });
            }
        };
        self.impossible_since = None;
        if self.last.is_some_and(|last| utc < last.utc) {
            return Err(NoTime::Back);
        }
        self.agrees(utc, uptime)?;
        self.last = Some(ChipTime { utc, uptime });
        Ok(Now { at: self.instant(utc), utc, uptime })
    }

    /// The chip must have gone as far as the uptime has, from the beginning of the window on.
    fn agrees(&mut self, utc: i64, uptime: u32) -> Result<(), NoTime> {
        let anchor = *self.anchor.get_or_insert(ChipTime { utc, uptime });
        let up = i64::from(uptime.wrapping_sub(anchor.uptime) / 1000);
        let gone = utc.saturating_sub(anchor.utc);
        let allowed = SLACK.saturating_add(up.checked_div(i64::from(self.uptime_parts)).unwrap_or(0));
        if gone.saturating_sub(up) > allowed {
            return Err(NoTime::Fast);
        }
        if up.saturating_sub(gone) > allowed {
            return Err(NoTime::Stopped);
        }
        if up >= WINDOW {
            self.anchor = Some(ChipTime { utc, uptime });
        }
        Ok(())
    }

    const fn instant(&self, utc: i64) -> Instant {
        Instant::from_seconds(utc.saturating_sub(self.ahead))
    }

    /// The latest instant that it can have been at the last look at the chip, whether or not that told one: by the board's
    /// own time from the last second that was told on. Nothing is recorded or counted by it.
    pub(super) fn at_most(&self) -> Option<Instant> {
        let up = self.looked.wrapping_sub(self.last?.uptime).div_ceil(1000);
        let wrong = up.checked_div(self.uptime_parts).unwrap_or(0);
        Some(self.last()?.after(i64::from(up.saturating_add(wrong))))
    }

    /// The last instant that was told.
    pub(super) fn last(&self) -> Option<Instant> {
        self.last.map(|last| self.instant(last.utc))
    }

    /// Starts the chip again at this second, so that the monotonic clock goes on after `after`; one before [`PLAUSIBLE`] is
    /// unset.
    pub(super) fn start(
        &mut self,
        bus: &mut impl Bus,
        uptime: u32,
        utc: i64,
        after: Option<Instant>,
    ) -> Result<Now, NoTime> {
        self.chip.set(bus, utc).map_err(no_time)?;
        self.ahead = after.map_or(0, |after| utc.saturating_sub(after.seconds()).saturating_sub(1));
        self.forget();
        self.now(bus, uptime)
    }

    /// Sets the wall clock; the monotonic one goes on.
    pub(super) fn set(&mut self, bus: &mut impl Bus, uptime: u32, utc: i64, offset: i16) -> Result<Now, NoTime> {
        let before = self.now(bus, uptime)?;
        self.chip.set(bus, utc).map_err(no_time)?;
        self.ahead = utc.saturating_sub(before.at.seconds());
        self.offset_minutes = offset;
        self.forget();
        self.now(bus, uptime)
    }

    /// Sets the wall clock where no session rests on the monotonic one, which is then the same.
    pub(super) fn set_both(&mut self, bus: &mut impl Bus, uptime: u32, utc: i64, offset: i16) -> Result<Now, NoTime> {
        self.chip.set(bus, utc).map_err(no_time)?;
        self.tie(0, offset);
        self.forget();
        self.now(bus, uptime)
    }

    /// What was told before means nothing any more.
    const fn forget(&mut self) {
        (self.last, self.anchor, self.impossible_since) = (None, None, None);
    }
}

/// Why a chip could not be set: one that answers and does not hold what it was given does not go.
const fn no_time(fault: ClockFault) -> NoTime {
    match fault {
        ClockFault::NoAnswer | ClockFault::OutOfRange => NoTime::Silent,
        ClockFault::Stopped | ClockFault::Impossible => NoTime::Stopped,
    }
}

#[cfg(test)]
mod tests {
    use super::{ClockChip, NoTime, Time};
    use crate::driver::clock::ClockKind;

    /// What a day is said to be of a chip that is wrong by so many parts in a million, looked at every ten seconds.
    fn day(uptime_parts: u32, ppm: i64) -> Result<(), NoTime> {
        let mut time = Time::new(ClockChip::new(ClockKind::Ds3231), uptime_parts);
        (0..8640).try_for_each(|look| {
            let seconds = look * 10;
            time.agrees(1_767_592_800 + seconds + seconds * ppm / 1_000_000, (seconds * 1000) as u32)
        })
    }

    #[test]
    fn a_board_with_a_crystal_notices_a_chip_that_is_wrong_by_a_fraction_of_a_percent() {
        for ppm in [-400, 0, 400] {
            assert_eq!((day(32, ppm), day(2_000, ppm)), (Ok(()), Ok(())), "{ppm} ppm");
        }
        // within an hour three seconds are allowed whatever the board
        assert_eq!((day(32, 2_000), day(2_000, 2_000)), (Ok(()), Err(NoTime::Fast)));
        assert_eq!((day(32, -2_000), day(2_000, -2_000)), (Ok(()), Err(NoTime::Stopped)));
        assert_eq!(day(32, 20_000), Ok(()));
        assert_eq!((day(32, 40_000), day(32, -40_000)), (Err(NoTime::Fast), Err(NoTime::Stopped)));
    }
}
