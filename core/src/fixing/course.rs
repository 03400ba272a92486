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
    /// How many seconds of this stretch lie behind the first one at which the cure is complete (C3, C4); `None` when it is not
    /// complete within the stretch.
    pub(crate) fn behind_cure(&self, frame: &Frame, hole: Hole, asked: &mut Asked) -> Option<u64> {
        self.class.counted()?;
        let needed = asked.needed(frame, hole, self.coldest);
        match frame.rule {
            // most stretches complete nothing, and then nothing is copied for them
            Rule::Coldest => self.after.counted().checked_sub(needed).map(|more| more.min(self.seconds)),
            Rule::Accrual => {
                let mut before = self.after;
                before.take(self.class, self.seconds);
                self.seconds.checked_sub(further_of(frame, hole, &before, needed, self.class)?)
            }
        }
    }

    /// The mark of a cure that leaves `behind` seconds of this stretch behind it.
    pub(crate) fn mark(&self, behind: u64) -> Mark {
        let further = i64::try_from(self.seconds.saturating_sub(behind)).unwrap_or(i64::MAX);
        let known_after = u16::try_from(behind).unwrap_or(u16::MAX); // an observed stretch is an hour at most
        let mut mark = Mark { at: self.from.after(further), tally: self.after, coldest: self.coldest, known_after };
        mark.tally.take(self.class, behind);
        mark
    }
}

/// The least number of further seconds, all of `class`, after which the cure is complete; `None` when seconds of this
/// class earn nothing.
pub(crate) fn further(frame: &Frame, hole: Hole, tally: &Tally, coldest: i16, class: Class) -> Option<u64> {
    further_of(frame, hole, tally, needed(frame, hole, coldest), class)
}

/// The same where `needed` counted seconds are asked for by the coldest-band rule.
fn further_of(frame: &Frame, hole: Hole, tally: &Tally, needed: u64, class: Class) -> Option<u64> {
    let place = class.counted()?;
    let by_coldest = needed.saturating_sub(tally.counted());
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
pub(crate) fn soonest(frame: &Frame, hole: Hole, tally: &Tally, coldest: i16, asked: &mut Asked) -> u64 {
    // a colder reading only ever asks for more
    let by_coldest = asked.needed(frame, hole, coldest).saturating_sub(tally.counted());
    match frame.rule {
        Rule::Coldest => by_coldest,
        Rule::Accrual => {
            let (factor, ppm) = (frame.resin.factor(hole), frame.settings.clock_ppm());
            let sum = accrued(frame.resin.bands(), &tally.bands, factor, ppm);
            by_coldest.min(crate::cure::soonest_whole(frame.resin.bands(), sum, factor, ppm))
        }
    }
}

/// What was asked for last in a dry and in a wet hole: the fixings of a group mostly ask for the same, and to work it out takes a
/// long division.
#[derive(Debug)]
pub(crate) struct Asked {
    dry: Option<(i16, u64)>,
    wet: Option<(i16, u64)>,
}

impl Asked {
    pub(crate) const NOTHING: Self = Self { dry: None, wet: None };

    fn needed(&mut self, frame: &Frame, hole: Hole, coldest: i16) -> u64 {
        let last = match hole {
            Hole::Dry => &mut self.dry,
            Hole::Wet | Hole::Flooded => &mut self.wet,
        };
        match *last {
            Some((of, needed)) if of == coldest => needed,
            Some(_) | None => {
                let needed = needed(frame, hole, coldest);
                *last = Some((coldest, needed));
                needed
            }
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
