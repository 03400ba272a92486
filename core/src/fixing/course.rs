//! How a cure runs under one hole condition.

use crate::cure::{Class, Rule, Running, Tally, accrued, counted_needed, further_to_whole, served};
use crate::fixing::{Frame, Grounds, Rejection};
use crate::quantity::Instant;
use crate::resin::Hole;

/// Where a cure stood when it ended.
pub(crate) struct Mark {
    pub(crate) tally: Tally,
    /// Raw count of the coldest reading.
    pub(crate) coldest: i16,
}

/// How a cure has come to its end under one factor. A fixing in a dry hole keeps a second one as if the hole were wet:
/// should it turn out wet, the new factor holds for all seconds since seating (rule A4), and this is what it would have
/// been.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum How {
    /// Neither cured nor rejected.
    Open,
    /// Cured (C3, C4). Nothing is judged after it.
    Cured,
    /// Rejected (E3).
    Rejected,
}

/// An end, but for the seconds that had been counted by then (see [`Ends`]).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct End {
    pub(crate) how: How,
    /// Raw count of the coldest reading by then.
    pub(crate) coldest: i16,
    /// Grounds of the rejection.
    pub(crate) grounds: Grounds,
    /// The second of the cure, or of the rejection.
    pub(crate) at: Instant,
}

impl End {
    const OPEN: Self = Self { how: How::Open, coldest: 0, grounds: Grounds::NONE, at: Instant::from_seconds(0) };

    pub(crate) const fn is_open(&self) -> bool {
        match self.how {
            How::Open => true,
            How::Cured | How::Rejected => false,
        }
    }

    pub(crate) const fn is_cured(&self) -> bool {
        match self.how {
            How::Cured => true,
            How::Open | How::Rejected => false,
        }
    }
}

/// Where a seated fixing counts from, and how its cure has ended under either factor.
///
/// Why one place serves twice: a wet hole asks for at least twice the seconds, and whatever rejects the one course while
/// the other is still open rejects in their order; so the wet course never ends before the dry one, and once it ends
/// nobody counts any more. Its seconds then take the place of the mark they were counted from.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Ends {
    dry: End,
    wet: End,
    /// Seconds when the dry course ended.
    dry_tally: Tally,
    /// The group's running seconds at the seating; once the wet course has ended, its seconds by then.
    mark: Running,
}

impl Ends {
    pub(crate) const NONE: Self = Self { dry: End::OPEN, wet: End::OPEN, dry_tally: Tally::ZERO, mark: Running::ZERO };

    /// The course under a hole condition.
    pub(crate) const fn of(&self, hole: Hole) -> &End {
        match hole {
            Hole::Dry => &self.dry,
            Hole::Wet | Hole::Flooded => &self.wet,
        }
    }

    /// Seconds by the end of the course under a hole condition, which has ended.
    pub(crate) fn tally(&self, hole: Hole) -> Tally {
        match hole {
            Hole::Dry => self.dry_tally,
            Hole::Wet | Hole::Flooded => self.mark.as_tally(),
        }
    }

    /// The group's running seconds at the seating, while a course is open.
    pub(crate) const fn mark(&self) -> &Running {
        &self.mark
    }

    /// The fixing counts from here on.
    pub(crate) fn seated(&mut self, mark: Running) {
        self.mark = mark;
    }

    /// Ends a course that is open.
    pub(crate) fn end(&mut self, hole: Hole, mark: &Mark, how: How, rejection: Rejection) {
        let end = End { how, coldest: mark.coldest, grounds: rejection.grounds, at: rejection.at };
        match hole {
            Hole::Dry => (self.dry, self.dry_tally) = (end, mark.tally),
            Hole::Wet | Hole::Flooded => (self.wet, self.mark) = (end, Running::of(&mark.tally)),
        }
    }
}

/// An observed, counted stretch and the cure's standing at its end.
pub(crate) struct Stretch {
    pub(crate) from: Instant,
    pub(crate) seconds: u64,
    pub(crate) class: Class,
    /// The fixing's tally with this stretch in it.
    pub(crate) after: Tally,
    /// Raw count of the coldest reading, the one that closes the stretch included.
    pub(crate) coldest: i16,
}

impl Stretch {
    /// The first second at which the cure is complete, when that lies within this stretch (C3, C4), and its mark.
    pub(crate) fn cure(&self, frame: &Frame, hole: Hole) -> Option<(Instant, Mark)> {
        self.class.counted()?;
        let mut tally = self.after;
        tally.take(self.class, self.seconds);
        let further = further(frame, hole, &tally, self.coldest, self.class)?;
        if further > self.seconds {
            return None;
        }
        tally = self.after;
        tally.take(self.class, self.seconds.saturating_sub(further));
        let at = self.from.after(i64::try_from(further).unwrap_or(i64::MAX));
        Some((at, Mark { tally, coldest: self.coldest }))
    }
}

/// The least number of further seconds, all of `class`, after which the cure is complete; `None` when seconds of this
/// class earn nothing.
pub(crate) fn further(frame: &Frame, hole: Hole, tally: &Tally, coldest: i16, class: Class) -> Option<u64> {
    let place = class.counted()?;
    let by_coldest = needed(frame, hole, coldest).saturating_sub(tally.counted());
    match frame.rule {
        Rule::Coldest => Some(by_coldest),
        Rule::Accrual => {
            let (factor, ppm) = (frame.resin.factor(hole), frame.settings.clock_ppm());
            let by_accrual = further_to_whole(frame.resin.bands(), &tally.bands, place, factor, ppm);
            Some(by_accrual.map_or(by_coldest, |by_accrual| by_accrual.min(by_coldest)))
        }
    }
}

/// A lower bound on the seconds until the cure can be complete, whatever the temperatures.
pub(crate) fn soonest(frame: &Frame, hole: Hole, tally: &Tally, coldest: i16) -> u64 {
    // a colder reading only ever asks for more
    let by_coldest = needed(frame, hole, coldest).saturating_sub(tally.counted());
    match frame.rule {
        Rule::Coldest => by_coldest,
        Rule::Accrual => {
            let (factor, ppm) = (frame.resin.factor(hole), frame.settings.clock_ppm());
            let sum = accrued(frame.resin.bands(), &tally.bands, factor, ppm);
            by_coldest.min(crate::cure::soonest_whole(frame.resin.bands(), sum, factor, ppm))
        }
    }
}

/// Counted seconds that the coldest-band rule asks for, the clock allowance included.
fn needed(frame: &Frame, hole: Hole, coldest: i16) -> u64 {
    counted_needed(frame.required(coldest, hole), frame.settings.clock_ppm())
}

/// What a tally is credited with (C2).
pub(crate) fn served_of(frame: &Frame, tally: &Tally) -> u64 {
    served(tally.counted(), frame.settings.clock_ppm())
}
