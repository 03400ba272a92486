//! The status of a fixing, read from its state.

use super::course::{Course, Mark, further, served_of};
use super::declare::HoleWork;
use super::life::{Fixing, Interval, Moment, Phase};
use super::{Cured, Declared, Frame, Grounds, Stage, Status, TorqueRange};
use crate::cure::{Tally, accrued};
use crate::quantity::{Count, Instant};

impl Fixing {
    /// The status by what is known at `moment`; `stopped` says that the readings have ended for longer than the
    /// longest gap.
    pub(crate) fn status(&self, moment: &Moment<'_>, stopped: bool) -> Status {
        let frame = moment.frame;
        let (tally, coldest) = self.standing(moment);
        let hole = self.hole;
        let seated = self.seated;
        let (required, served) = match seated {
            Some(_) => (frame.required(coldest, hole), served_of(frame, &tally)),
            None => (0, 0),
        };
        let stage = self.stage(moment);
        let cured_at = match self.course() {
            Course::Cured(mark) => Some(mark.at),
            Course::Open | Course::Rejected(..) => None,
        };
        let announced_at = match stage {
            Stage::Curing if !stopped => self.forecast(moment, &tally),
            Stage::Cured(_) | Stage::Released(_) => cured_at,
            Stage::Planned
            | Stage::Refused
            | Stage::Working
            | Stage::Curing
            | Stage::Held
            | Stage::Rejected(_)
            | Stage::AcceptedAsIs(_)
            | Stage::Removed(_) => None,
        };
        Status {
            stage,
            hole,
            cartridge: self.cartridge,
            injected_at: self.injected(),
            seated_at: seated,
            seat_by: self.seat_by(frame),
            cured_at,
            announced_at,
            required,
            served,
            tally,
            accrued: accrued(frame.resin.bands(), &tally.bands, frame.resin.factor(hole), frame.settings.clock_ppm()),
            coldest: seated.map(|_| frame.low(coldest)),
            grounds: self.grounds(),
            torque: self.torque,
            outside_at_seating: self.outside_at_seating.map(Count::new),
            decision: self.decision,
            declared: self.declared(),
        }
    }

    /// The specified torque; `None` for an element that is not torqued.
    pub(crate) const fn torque_range(&self) -> Option<TorqueRange> {
        self.torque_range
    }

    /// The stage alone, which takes far less work than the whole status.
    pub(crate) fn stage(&self, moment: &Moment<'_>) -> Stage {
        match (self.phase, self.rejection) {
            (Phase::Planned, _) => Stage::Planned,
            (Phase::Working, _) => Stage::Working,
            (Phase::Closing, _) => self.curing_or_held(moment),
            (Phase::Curing, _) => match self.course() {
                Course::Cured(mark) => Stage::Cured(Cured::new(mark.at)),
                Course::Open | Course::Rejected(..) => self.curing_or_held(moment),
            },
            (Phase::Released, _) => self.released.map_or(Stage::Refused, Stage::Released),
            (Phase::Overrun | Phase::Rejected, Some(rejection)) => Stage::Rejected(rejection),
            (Phase::AcceptedAsIs, Some(rejection)) => Stage::AcceptedAsIs(rejection),
            (Phase::Removed, Some(rejection)) => Stage::Removed(rejection),
            // a rejected phase always has its rejection; without one the strictest word stands
            (Phase::Refused | Phase::Overrun | Phase::Rejected | Phase::AcceptedAsIs | Phase::Removed, None)
            | (Phase::Refused, Some(_)) => Stage::Refused,
        }
    }

    fn curing_or_held(&self, moment: &Moment<'_>) -> Stage {
        match self.as_if_steady(moment) {
            Some(steady) if steady.class(moment.frame, self.cap).counted().is_some() => Stage::Curing,
            Some(_) | None => Stage::Held,
        }
    }

    /// An interval that keeps the last accepted reading's temperature.
    fn as_if_steady(&self, moment: &Moment<'_>) -> Option<Interval> {
        let last = moment.last?;
        Some(Interval { from: last.at, to: last.at, coldest: last.raw, warmest: last.raw, observed: true })
    }

    fn forecast(&self, moment: &Moment<'_>, tally: &Tally) -> Option<Instant> {
        let steady = self.as_if_steady(moment)?;
        let class = steady.class(moment.frame, self.cap);
        let seconds = further(moment.frame, self.hole, tally, moment.coldest, class)?;
        let (from, _) = steady.since(self.seated?);
        Some(from.after(i64::try_from(seconds).ok()?))
    }

    fn seat_by(&self, frame: &Frame) -> Option<Instant> {
        if self.phase != Phase::Working {
            return None;
        }
        let working = frame.working(self.hottest, self.blind).seconds();
        self.injected().map(|injected| injected.after(i64::from(working)))
    }

    /// Seconds and coldest raw count as they are reported: at the cure, at the rejection, or by now.
    fn standing(&self, moment: &Moment<'_>) -> (Tally, i16) {
        match self.course() {
            Course::Cured(Mark { tally, coldest, .. }) | Course::Rejected(Mark { tally, coldest, .. }, _) => {
                (*tally, *coldest)
            }
            Course::Open => (self.tally(moment), moment.coldest),
        }
    }

    /// What was declared of hole, nozzle and seating.
    const fn declared(&self) -> Declared {
        let (cleaned_at, cleaned, even) = match self.hole_work {
            HoleWork::Uncleaned => (None, false, false),
            HoleWork::Cleaned { at } => (Some(at), false, false),
            HoleWork::Injected { cleaned, even, .. } => (None, cleaned, even),
        };
        Declared { cleaned_at, cleaned, even, facts: self.facts }
    }

    /// Grounds of the refusal or the rejection.
    pub(crate) fn grounds(&self) -> Grounds {
        self.rejection.map_or(self.refusal, |rejection| rejection.grounds)
    }
}
