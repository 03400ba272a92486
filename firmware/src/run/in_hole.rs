//! Readings that were taken in holes, for the injections that follow (rules A3, R6).
//!
//! Why waited for: a probe that comes out of a warm pocket into a hole says for minutes what the pocket was. So the hole is
//! *watched*: the probe is read again and again until it has settled by the same test as a start's, and only what it says then is
//! taken. These readings are of the hole alone: the group's own go on in their beat, and nothing else is recorded until the
//! reading goes with an injection.
//! Why one for each fixing: holes are measured one after the other, and then injected one after the other.
//! Invariants: one hole is watched at a time, and only while the display says so; what was refused in between begins anew.

use super::Works;
use super::settle::beat_after;
use super::time::Now;
use super::ui::Mode;
use crate::board::Board;
use crate::view::Notice;
use holdoff_core::cure::Settings;
use holdoff_core::fixing::{IN_HOLE_SECONDS, InHole};
use holdoff_core::group::{FixingNumber, MOST_FIXINGS};
use holdoff_core::probe::{Settling, within_step};
use holdoff_core::quantity::{Count, Instant, Span};

/// A watched hole is read at most so many times in the time to settle, and once at its beginning: every 20 s by default. That is
/// a few times in the minutes in which a probe in a clip follows a hole, and few enough to be kept.
const BEATS: u32 = 9;
/// Readings that are kept, one more than that for a reading that came a second late.
const KEPT: usize = 10;

/// The last reading in each hole.
#[derive(Debug)]
pub(super) struct InHoles {
    // apart, for an optional pair takes half as much again
    at: [Instant; MOST_FIXINGS],
    counts: [Count; MOST_FIXINGS],
    watch: Option<Watch>,
}

/// A hole that is watched.
#[derive(Debug)]
struct Watch {
    fixing: FixingNumber,
    settling: Settling<KEPT>,
    /// The newest reading; `None` where it was refused.
    last: Option<(Instant, Count)>,
    /// When it is read next.
    due: Instant,
    since: Instant,
}

impl Watch {
    /// Takes what the probe gave; the reading where it has settled.
    fn take(&mut self, at: Instant, count: Option<Count>, settings: &Settings) -> Option<InHole> {
        match (self.last, count) {
            (Some((before, last)), Some(count)) if within_step(last.raw(), count.raw(), at.since(before)) => {
                self.settling.follow(last.raw(), at.since(before));
            }
            (Some(_) | None, _) => self.settling.break_off(),
        }
        self.last = count.map(|count| (at, count));
        self.due = beat_after(self.due, beat(settings), at);
        let count = count.filter(|count| self.settling.is_settled(count.raw(), settings))?;
        Some(InHole { at, count })
    }

    /// How long it takes at least until a reading can have settled.
    fn still(&self, now: Instant, settings: &Settings) -> Span {
        let ready = match self.last {
            Some((at, count)) => at.after(i64::from(self.settling.still(count.raw(), settings).seconds())),
            None => self.due.after(i64::from(settings.settle().seconds())),
        };
        let reading = beat_after(self.due, beat(settings), ready.after(-1));
        Span::from_seconds(u32::try_from(reading.since(now).max(1)).unwrap_or(u32::MAX))
    }
}

/// Seconds between readings of a watched hole: the time to settle is a multiple of it, so that one of them lies exactly that
/// long before the newest, however short the longest gap is.
fn beat(settings: &Settings) -> i64 {
    let settle = settings.settle().seconds();
    let beats = (1..=BEATS).rev().find(|beats| settle.is_multiple_of(*beats)).unwrap_or(1);
    i64::from((settle / beats).max(1))
}

impl InHoles {
    /// Too long ago to count for anything.
    const NEVER: Instant = Instant::from_seconds(i64::MIN);
    /// None was taken.
    pub(super) const NONE: Self =
        Self { at: [Self::NEVER; MOST_FIXINGS], counts: [Count::new(0); MOST_FIXINGS], watch: None };

    /// A reading was taken in the hole of this fixing.
    fn take(&mut self, fixing: FixingNumber, in_hole: InHole) {
        if let Some((at, count)) = self.at.get_mut(fixing.place()).zip(self.counts.get_mut(fixing.place())) {
            (*at, *count) = (in_hole.at, in_hole.count);
        }
    }

    /// The reading in the hole of this fixing, while it counts.
    pub(super) fn of(&self, fixing: FixingNumber, now: Instant) -> Option<InHole> {
        let at = *self.at.get(fixing.place())?;
        let count = *self.counts.get(fixing.place())?;
        (0..=IN_HOLE_SECONDS).contains(&now.since(at)).then_some(InHole { at, count })
    }

    /// Whether a hole is watched.
    pub(super) const fn is_watching(&self) -> bool {
        self.watch.is_some()
    }

    /// The hole is watched no more.
    pub(super) fn leave(&mut self) {
        self.watch = None;
    }

    /// What the watched hole's probe gave last, and how long it takes at least until it has settled.
    pub(super) fn watched(&self, now: Instant, settings: &Settings) -> Option<(Option<Count>, Span)> {
        let watch = self.watch.as_ref()?;
        Some((watch.last.map(|(_, count)| count), watch.still(now, settings)))
    }
}

impl<B: Board> Works<B> {
    /// Begins to watch the hole of a fixing, in which the probe is.
    pub(super) fn measure_in_hole(&mut self, board: &mut B, now: Now, fixing: FixingNumber) -> Mode {
        let watch = Watch { fixing, settling: Settling::new(), last: None, due: now.at, since: now.at };
        self.in_holes.watch = Some(watch);
        let mode = self.read_hole(board, now);
        match &self.in_holes.watch {
            Some(watch) if watch.last.is_none() => {
                self.in_holes.leave();
                Mode::Notice(Notice::NoReading)
            }
            Some(_) | None => mode.unwrap_or(Mode::HoleSettling),
        }
    }

    /// Reads a watched hole when it is due.
    pub(super) fn watch_hole(&mut self, board: &mut B, now: Now) {
        match (self.ui.mode, &self.in_holes.watch) {
            (Mode::HoleSettling, Some(watch)) if watch.due <= now.at => {}
            (Mode::HoleSettling, Some(_)) => return,
            (_, _) => {
                // it was left, or a new job has no such hole
                self.in_holes.leave();
                return;
            }
        }
        if let Some(mode) = self.read_hole(board, now) {
            self.ui.tell(mode, now.uptime);
        }
    }

    /// Reads the watched hole; what is to be seen then, where it is watched no more.
    fn read_hole(&mut self, board: &mut B, now: Now) -> Option<Mode> {
        let read = self.ask_probe(board, now).ok();
        let settings = self.logger.group()?.settings();
        let watch = self.in_holes.watch.as_mut()?;
        let (fixing, since) = (watch.fixing, watch.since);
        if let Some(in_hole) = watch.take(now.at, read, settings) {
            self.in_holes.leave();
            self.in_holes.take(fixing, in_hole);
            return Some(Mode::InHole(in_hole));
        }
        // as long as one counts, and the time to settle: what moves for so long is not worth a wait
        let most = IN_HOLE_SECONDS.saturating_add(i64::from(settings.settle().seconds()));
        if now.at.since(since) < most {
            return None;
        }
        self.in_holes.leave();
        Some(Mode::Notice(Notice::HoleUnsettled))
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{BEATS, KEPT, Watch, beat};
    use holdoff_core::cure::{Settings, Uncertainty};
    use holdoff_core::group::FixingNumber;
    use holdoff_core::probe::Settling;
    use holdoff_core::quantity::{Count, Instant, Span};

    fn watch() -> Watch {
        let zero = Instant::from_seconds(0);
        let fixing = FixingNumber::new(0).expect("a place");
        Watch { fixing, settling: Settling::new(), last: None, due: zero, since: zero }
    }

    /// The second at which a hole is settled whose readings are what `count` says.
    fn settled(settings: &Settings, late: i64, count: impl Fn(i64) -> Option<i16>) -> Option<i64> {
        let mut watch = watch();
        (0..20_000).find(|second| {
            let at = Instant::from_seconds(*second);
            // every other reading comes late
            at.since(watch.due) >= late * (watch.due.seconds() / beat(settings) % 2)
                && watch.take(at, count(*second).map(Count::new), settings).is_some()
        })
    }

    #[test]
    fn a_steady_hole_is_settled_after_the_time_to_settle_whatever_the_settings() {
        assert!(KEPT > BEATS as usize);
        for gap in [1, 10, 300, 3600] {
            for settle in [0, 1, 8, 9, 100, 179, 180, 3_600] {
                let settings = Settings::new(Uncertainty::DEFAULT, Span::from_seconds(gap), 100).expect("in bounds");
                let settings = settings.with_settle(Span::from_seconds(settle)).expect("in bounds");
                for late in [0, 1] {
                    let at = settled(&settings, late, |_| Some(1000));
                    let settle = i64::from(settle);
                    let within = settle..=settle + 2 * beat(&settings) + 2;
                    // a longest gap of a second is too short for readings that come late
                    let excused = late > 0 && gap < 10;
                    assert!(excused || at.is_some_and(|at| within.contains(&at)), "{gap} s, {settle} s: {at:?}");
                }
            }
        }
    }

    #[test]
    fn a_hole_is_not_settled_while_it_moves_or_after_a_reading_that_was_refused() {
        let settings = &Settings::DEFAULT;
        // half a degree a minute for ten minutes
        let moving = settled(settings, 0, |second| Some(5000 - (second.min(600) * 128 / 60) as i16));
        assert!(moving.is_some_and(|at| (690..=780).contains(&at)), "{moving:?}");
        let gap = settled(settings, 0, |second| (second != 160).then_some(1000));
        assert_eq!(gap, Some(360));
        let jump = settled(settings, 0, |second| Some(if second == 160 { 3000 } else { 1000 }));
        assert_eq!(jump, Some(360));
    }

    #[test]
    fn the_time_that_is_said_is_never_less_than_it_takes() {
        let settings = &Settings::DEFAULT;
        let mut watch = watch();
        let mut told = Vec::new();
        for second in 0.. {
            let at = Instant::from_seconds(second);
            if watch.due <= at {
                let count = if second < 100 { 3000 - second as i16 * 20 } else { 1000 };
                if watch.take(at, Some(Count::new(count)), settings).is_some() {
                    break;
                }
            }
            told.push(second + i64::from(watch.still(at, settings).seconds()));
        }
        let end = told.len() as i64;
        assert!(told.iter().rev().take(150).all(|ends| *ends == end), "{told:?}, {end}");
        assert!(told.is_sorted(), "{told:?}");
    }
}
