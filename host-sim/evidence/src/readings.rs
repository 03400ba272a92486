//! The readings of a session, each with what became of it.
//!
//! What for: the export of a register, and the hand-over record.
//! Terms: a reading refused for its step and confirmed by the next one is *accepted late*; every other refusal stays.

use holdoff_core::group::Verdict;
use holdoff_core::log::{Item, Outcome};
use holdoff_core::probe::Refusal as Cause;

/// What became of a reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Became {
    /// Accepted when it came.
    Accepted,
    /// Refused for its step, and accepted with the next reading.
    AcceptedLate,
    /// Refused.
    Refused(Cause),
    /// The sensor gave no value.
    Unusable(Cause),
    /// None was taken.
    Missing,
}

impl Became {
    /// The short fixed word of `docs/register.md`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Accepted => "accepted",
            Self::AcceptedLate => "accepted-late",
            Self::Refused(_) => "refused",
            Self::Unusable(_) => "unusable",
            Self::Missing => "missing",
        }
    }

    /// Why it was refused or gave no value.
    pub fn cause(self) -> Option<Cause> {
        match self {
            Self::Refused(cause) | Self::Unusable(cause) => Some(cause),
            Self::Accepted | Self::AcceptedLate | Self::Missing => None,
        }
    }
}

/// A reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Reading {
    /// When, seconds of the logger's clock.
    pub at: i64,
    /// Counts of 1/256 °C; `None` where there is no value.
    pub count: Option<i16>,
    /// What became of it.
    pub became: Became,
}

/// The readings of a session while it is replayed, each judged as it came; a candidate that is confirmed is judged anew.
#[derive(Debug, Default)]
pub(super) struct Readings {
    all: Vec<Reading>,
    /// Place of the last reading, when it was refused for its step.
    candidate: Option<usize>,
}

impl Readings {
    /// Takes an item, which was replayed just now.
    pub(super) fn take(&mut self, item: &Item, outcome: Outcome) {
        let (at, count, became) = match (item, outcome) {
            (Item::Reading { at, count }, Outcome::Step(Verdict::Refused(cause))) => {
                (at, Some(count.raw()), Became::Refused(cause))
            }
            (Item::Reading { at, count }, Outcome::Step(Verdict::AcceptedWithCandidate)) => {
                if let Some(before) = self.candidate.and_then(|place| self.all.get_mut(place)) {
                    before.became = Became::AcceptedLate;
                }
                (at, Some(count.raw()), Became::Accepted)
            }
            (Item::Reading { at, count }, Outcome::Step(_) | Outcome::Agrees | Outcome::Noted) => {
                (at, Some(count.raw()), Became::Accepted)
            }
            (Item::Unusable { at, cause }, _) => (at, None, Became::Unusable(*cause)),
            (Item::Missing { at, .. }, _) => (at, None, Became::Missing),
            (Item::Refused { .. } | Item::Record(_), _) => return,
        };
        self.candidate = match became {
            Became::Refused(Cause::Step) => Some(self.all.len()),
            Became::Missing => self.candidate,
            Became::Refused(_) | Became::Accepted | Became::AcceptedLate | Became::Unusable(_) => None,
        };
        self.all.push(Reading { at: at.seconds(), count, became });
    }

    /// All of them, in the order of their arrival.
    pub(super) fn all(self) -> Vec<Reading> {
        self.all
    }
}
