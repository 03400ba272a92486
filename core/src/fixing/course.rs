//! How a cure runs under one hole condition.

use crate::cure::{Class, Rule, Tally, accrued, counted_needed, further_to_whole, served};
use crate::fixing::{Frame, Rejection};
use crate::quantity::Instant;
use crate::resin::Hole;

/// Where a cure stood at one instant.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Mark {
    pub(crate) at: Instant,
    pub(crate) tally: Tally,
    /// Raw count of the coldest reading.
    pub(crate) coldest: i16,
    /// Of a cure: seconds to the reading that it became known with, at most the longest gap.
    known_after: u16,
}

impl Mark {
    pub(crate) const fn new(at: Instant, tally: Tally, coldest: i16) -> Self {
        Self { at, tally, coldest, known_after: 0 }
    }

    /// Of a cure: the reading that it became known with.
    pub(crate) const fn known(&self) -> Instant {
        self.at.after(self.known_after as i64)
    }
}

/// The course of a cure under one factor. A fixing in a dry hole keeps a second one as if the hole were wet: should it
/// turn out wet, the new factor holds for all seconds since seating (rule A4), and this is what it would have been.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Course {
    /// Neither cured nor rejected.
    Open,
    /// Cured at the mark (C3, C4). Nothing is judged after it.
    Cured(Mark),
    /// Rejected, with what had been counted by then (E3).
    Rejected(Mark, Rejection),
}

impl Course {
    pub(crate) const fn is_open(&self) -> bool {
        match self {
            Self::Open => true,
            Self::Cured(_) | Self::Rejected(..) => false,
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
    /// The mark of the cure, when it is complete within this stretch: the first second at which it is (C3, C4).
    pub(crate) fn cure(&self, frame: &Frame, hole: Hole) -> Option<Mark> {
        self.class.counted()?;
        let mut before = self.after;
        before.take(self.class, self.seconds);
        let further = further(frame, hole, &before, self.coldest, self.class)?;
        if further > self.seconds {
            return None;
        }
        let mut tally = self.after;
        let rest = self.seconds.saturating_sub(further);
        tally.take(self.class, rest);
        let at = self.from.after(i64::try_from(further).unwrap_or(i64::MAX));
        let known_after = u16::try_from(rest).unwrap_or(u16::MAX); // an observed stretch is an hour at most
        Some(Mark { known_after, ..Mark::new(at, tally, self.coldest) })
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
