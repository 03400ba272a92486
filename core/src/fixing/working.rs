//! What an accepted reading makes of a fixing: the working window (A2), the reject limits and the longest hold (C5),
//! the cure (C3, C4).

use super::course::{Asked, Course, Mark, soonest};
use super::life::{Accepted, Change, Fixing, Interval, Moment, Phase};
use super::{Frame, Ground, Grounds, Rejection};
use crate::cure::{Running, Tally};
use crate::quantity::Instant;
use crate::resin::Hole;

impl Fixing {
    /// Judges an accepted reading before the interval that it closes is counted. `moment` stands before that interval; only
    /// its `coldest` includes the reading already.
    pub(crate) fn judge(&mut self, moment: &Moment<'_>, reading: Accepted, interval: Option<&Interval>) -> Change {
        let frame = moment.frame;
        let limits = frame.rejects(reading.raw);
        let limits = (limits != Grounds::NONE).then_some(Rejection { at: reading.at, grounds: limits });
        let mark = |tally| Mark::new(reading.at, tally, moment.coldest);
        match self.phase {
            Phase::Working => {
                self.note_outside(frame, reading.raw);
                self.look(frame, reading, interval, reading.at);
                let overrun = self.overrun(frame, reading.at, self.blind);
                match Rejection::first(overrun, limits) {
                    Some(found) if found.grounds.has(Ground::NotSeated) => self.overran(found),
                    Some(found) => self.reject(mark(Tally::ZERO), found),
                    None => Change::Nothing,
                }
            }
            Phase::Closing => {
                let seated = self.seated.unwrap_or(reading.at);
                if reading.at <= seated {
                    self.note_outside(frame, reading.raw);
                }
                self.look(frame, reading, interval, seated);
                let late = self.late(frame, seated).then(|| Rejection::new(seated, Ground::SeatedLate));
                match Rejection::first(late, limits) {
                    Some(found) => self.reject(mark(Tally::ZERO), found),
                    None => Change::Nothing,
                }
            }
            Phase::Curing => match limits {
                Some(found) => self.reject_open(mark(self.tally_of(frame, moment.running)), found),
                None => Change::Nothing,
            },
            Phase::Planned
            | Phase::Refused
            | Phase::Overrun
            | Phase::Released
            | Phase::Rejected
            | Phase::AcceptedAsIs
            | Phase::Removed => Change::Nothing,
        }
    }

    /// Keeps of the readings between injection and seating the one that lies furthest outside the installation limits, of equals
    /// the first (A5).
    fn note_outside(&mut self, frame: &Frame, raw: i16) {
        let worst = self.outside_at_seating.map_or(0, |worst| frame.outside_installation(worst));
        if frame.outside_installation(raw) > worst {
            self.outside_at_seating = Some(raw);
        }
    }

    /// Counts an interval: `before` and `after` are the group's seconds without and with it.
    pub(crate) fn count(
        &mut self,
        frame: &Frame,
        before: &Running,
        after: &Running,
        interval: &Interval,
        coldest: i16,
        asked: &mut Asked,
    ) -> Change {
        if self.phase == Phase::Closing {
            let seated = self.seated.unwrap_or(interval.to);
            if interval.to < seated {
                return Change::Nothing;
            }
            self.mark = *before;
            let unseated = u64::try_from(seated.since(interval.from)).unwrap_or(0);
            self.mark.add(interval.class(frame, None), unseated);
            self.phase = Phase::Curing;
        }
        // a hole that is wet never becomes dry
        let dry = self.hole == Hole::Dry && self.dry.is_open();
        if self.phase != Phase::Curing || !(dry || self.wet.is_open()) {
            return Change::Nothing;
        }
        let stretch = self.stretch(frame, after, interval, coldest);
        let hold = frame.resin.limits().longest_hold;
        let held_too_long = hold.is_some_and(|hold| stretch.after.not_counted() > u64::from(hold.seconds()));
        let mut change = Change::Nothing;
        for (condition, open, course) in
            [(Hole::Dry, dry, &mut self.dry), (Hole::Wet, self.wet.is_open(), &mut self.wet)]
        {
            if !open {
                continue;
            }
            let in_force = (self.hole == Hole::Dry) == (condition == Hole::Dry);
            if let Some(behind) = stretch.behind_cure(frame, condition, asked) {
                *course = Course::Cured(stretch.mark(behind));
                if let (true, Course::Cured(mark)) = (in_force, &*course) {
                    change = Change::Cured(mark.at);
                }
            } else if held_too_long {
                let rejection = Rejection::new(interval.to, Ground::HeldTooLong);
                *course = Course::Rejected(Mark::new(interval.to, stretch.after, coldest), rejection);
                if in_force {
                    self.phase = Phase::Rejected;
                    self.rejection = Some(rejection);
                    change = Change::Rejected(rejection);
                }
            }
        }
        change
    }

    /// A row without an accepted reading says that time has passed (A2): not seated by now?
    pub(crate) fn time_passes(&mut self, moment: &Moment<'_>, at: Instant) -> Change {
        if self.phase != Phase::Working {
            return Change::Nothing;
        }
        let blind = self.blind || self.window_reaches(moment, at) && moment.unobserved_to(at);
        match self.overrun(moment.frame, at, blind) {
            Some(found) => self.overran(found),
            None => Change::Nothing,
        }
    }

    /// A lower bound on the seconds after the last accepted reading until something can happen to this fixing that a
    /// steady reading alone brings about; `None` when nothing can.
    pub(crate) fn quiet_for(&self, frame: &Frame, running: &Running, coldest: i16, asked: &mut Asked) -> Option<u64> {
        match self.phase {
            Phase::Working | Phase::Closing => return Some(0),
            Phase::Curing => {}
            // an overrun fixing waits for its seating; until then a reading only enters the coldest
            Phase::Planned
            | Phase::Refused
            | Phase::Overrun
            | Phase::Released
            | Phase::Rejected
            | Phase::AcceptedAsIs
            | Phase::Removed => return None,
        }
        let dry = self.hole == Hole::Dry && self.dry.is_open();
        if !(dry || self.wet.is_open()) {
            return None;
        }
        let tally = self.tally_of(frame, running);
        let mut quiet = None;
        if dry {
            quiet = Some(soonest(frame, Hole::Dry, &tally, coldest, asked));
        }
        if self.wet.is_open() {
            let wet = soonest(frame, Hole::Wet, &tally, coldest, asked);
            quiet = Some(quiet.map_or(wet, |dry| wet.min(dry)));
        }
        let hold =
            frame.resin.limits().longest_hold.map_or(u64::MAX, |hold| {
                u64::from(hold.seconds()).saturating_sub(tally.not_counted()).saturating_add(1)
            });
        quiet.map(|quiet| quiet.min(hold))
    }

    /// Whether any part of at least a second of the working window up to `to` lies after the last accepted reading.
    pub(super) fn window_reaches(&self, moment: &Moment<'_>, to: Instant) -> bool {
        let from = match (moment.last, self.injected()) {
            (Some(last), Some(injected)) if last.at > injected => last.at,
            (_, Some(injected)) => injected,
            (_, None) => to,
        };
        to > from
    }

    /// Takes a reading and the interval it closes into the working window that ends at `end`.
    fn look(&mut self, frame: &Frame, reading: Accepted, interval: Option<&Interval>, end: Instant) {
        if reading.at <= end {
            self.hottest = self.hottest.max(frame.high(reading.raw));
        }
        let (Some(interval), Some(injected)) = (interval, self.injected()) else {
            return;
        };
        let from = if interval.from > injected { interval.from } else { injected };
        let to = if interval.to < end { interval.to } else { end };
        if to <= from {
            return;
        }
        if interval.observed {
            self.hottest = self.hottest.max(frame.high(interval.warmest));
        } else {
            self.blind = true;
        }
    }

    /// Whether a seating at `at` is later than the working time (A2).
    pub(super) fn late(&self, frame: &Frame, at: Instant) -> bool {
        self.overrun(frame, at, self.blind).is_some()
    }

    /// The overrun of the working time at `at`, dated at its end.
    fn overrun(&self, frame: &Frame, at: Instant, blind: bool) -> Option<Rejection> {
        let injected = self.injected()?;
        let end = injected.after(i64::from(frame.working(self.hottest, blind).seconds()));
        (at > end).then(|| Rejection::new(end, Ground::NotSeated))
    }

    fn overran(&mut self, found: Rejection) -> Change {
        self.phase = Phase::Overrun;
        self.rejection = Some(found);
        Change::Rejected(found)
    }
}
