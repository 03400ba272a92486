//! The deed of a group: what the job demands of hands (section H of `docs/cure-rules.md`), and how far it is done.
//!
//! Terms: the *demands* are the prescribed cleaning, which records a start needs, and how old a cleaning may be; the *cleaning*
//! is the one that is being done, of one hole at a time; the *nozzle* is what has gone through it.
//! Why this way: a cleaning and a nozzle are one at a time, so they are kept once for the group; a fixing keeps the instant of its
//! last complete cleaning.
//! Invariants: with [`Demands::NONE`] nothing is judged.

use super::{CleaningDone, CleaningKind, Fact, SeatingFacts};
use crate::group::FixingNumber;
use crate::quantity::{Instant, Span};

/// Most steps of a prescribed cleaning, neighbours of one kind taken together.
pub const MOST_STEPS: usize = 8;
/// The longest time that a cleaning may be allowed to be old: 14 days.
pub const LONGEST_CLEAN: Span = Span::from_seconds(14 * 86_400);

/// A prescribed step.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct CleaningStep {
    /// What is to be done.
    pub kind: CleaningKind,
    /// How often at least.
    pub count: u8,
}

/// Whether a start needs a record.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Needs {
    /// It is refused without.
    Required,
    /// What is declared is noted, and nothing is refused.
    Noted,
}

/// What a job demands.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Demands {
    steps: [CleaningStep; MOST_STEPS],
    used: u8,
    cleaning: Needs,
    nozzle: Needs,
    clean_within: Span,
}

/// Why demands are none.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum DemandsError {
    /// More than [`MOST_STEPS`] steps.
    Steps,
    /// A step that is to be done no times, or more than 255 times in a row.
    Count,
    /// A record of the cleaning is required, and none is prescribed.
    NothingPrescribed,
    /// A cleaning may be 1 s to 14 days old.
    CleanWithin,
}

impl core::fmt::Display for DemandsError {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        formatter.write_str(match self {
            Self::Steps => "the cleaning has more than eight steps",
            Self::Count => "a step of the cleaning is not done 1 to 255 times",
            Self::NothingPrescribed => "a record of the cleaning is required, and no cleaning is prescribed",
            Self::CleanWithin => "the time in which a cleaned hole is used is not 1 s to 14 days",
        })
    }
}

impl core::error::Error for DemandsError {}

impl Demands {
    const NO_STEP: CleaningStep = CleaningStep { kind: CleaningKind::Blow, count: 0 };
    /// A cleaned hole is used within 24 h (H3; ASSUMED).
    pub const CLEAN_WITHIN: Span = Span::from_seconds(86_400);
    /// Nothing is prescribed, nothing required.
    pub const NONE: Self = Self {
        steps: [Self::NO_STEP; MOST_STEPS],
        used: 0,
        cleaning: Needs::Noted,
        nozzle: Needs::Noted,
        clean_within: Self::CLEAN_WITHIN,
    };

    /// From the prescribed steps, of which neighbours of one kind are one, and what is required. A cleaning may be a day old;
    /// [`Self::with_clean_within`] gives another time.
    ///
    /// # Errors
    /// The first thing that is wrong.
    pub fn new(
        steps: impl IntoIterator<Item = CleaningStep>,
        cleaning: Needs,
        nozzle: Needs,
    ) -> Result<Self, DemandsError> {
        let mut made = Self { cleaning, nozzle, ..Self::NONE };
        for step in steps {
            if step.count == 0 {
                return Err(DemandsError::Count);
            }
            let before = usize::from(made.used).checked_sub(1).and_then(|place| made.steps.get_mut(place));
            match before {
                Some(before) if before.kind == step.kind => {
                    before.count = before.count.checked_add(step.count).ok_or(DemandsError::Count)?;
                }
                Some(_) | None => {
                    *made.steps.get_mut(usize::from(made.used)).ok_or(DemandsError::Steps)? = step;
                    made.used = made.used.saturating_add(1);
                }
            }
        }
        match (cleaning, made.used) {
            (Needs::Required, 0) => Err(DemandsError::NothingPrescribed),
            (Needs::Required | Needs::Noted, _) => Ok(made),
        }
    }

    /// The same with another age that a cleaning may have.
    ///
    /// # Errors
    /// [`DemandsError::CleanWithin`] when it is not 1 s to 14 days.
    pub const fn with_clean_within(self, clean_within: Span) -> Result<Self, DemandsError> {
        let seconds = clean_within.seconds();
        if seconds == 0 || seconds > LONGEST_CLEAN.seconds() {
            return Err(DemandsError::CleanWithin);
        }
        Ok(Self { clean_within, ..self })
    }

    /// The prescribed steps.
    pub fn steps(&self) -> &[CleaningStep] {
        self.steps.get(..usize::from(self.used)).unwrap_or(&[])
    }

    /// Whether a start needs the record of a complete cleaning.
    pub const fn cleaning(&self) -> Needs {
        self.cleaning
    }

    /// Whether a start needs the declarations of the nozzle.
    pub const fn nozzle(&self) -> Needs {
        self.nozzle
    }

    /// How old a cleaning may be at the start.
    pub const fn clean_within(&self) -> Span {
        self.clean_within
    }

    /// Whether a cleaning may be older than by default (Q4): every output and record names it.
    pub fn is_clean_within_laxer(&self) -> bool {
        self.clean_within > Self::CLEAN_WITHIN
    }
}

/// A cleaning that is being done.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Cleaning {
    /// Of which fixing's hole.
    pub fixing: FixingNumber,
    /// Place of the prescribed step that is being done, from 0.
    pub step: u8,
    /// How often it was done so far.
    pub done: u16,
}

/// What has gone through the nozzle.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Nozzle {
    /// Nobody declared that its colour was even.
    Undeclared,
    /// Resin was discarded until it was, and nothing has been injected since.
    Even,
    /// The last injection through it ended then: at its start, or at its seating.
    Used { last: FixingNumber, end: Instant },
}

/// What a group keeps of its hands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Deed {
    pub(crate) demands: Demands,
    pub(crate) cleaning: Option<Cleaning>,
    nozzle: Nozzle,
}

impl Deed {
    pub(crate) const NONE: Self = Self { demands: Demands::NONE, cleaning: None, nozzle: Nozzle::Undeclared };

    /// A step of a cleaning was done. Whether the cleaning is complete with it (H2).
    ///
    /// Steps of one kind in a row add up. One that is not the next prescribed, or that comes before the one before it is done often
    /// enough, ends that cleaning and is the first of a new one; so does one of another hole.
    pub(crate) fn clean(&mut self, fixing: FixingNumber, step: CleaningDone) -> bool {
        let steps = self.demands.steps();
        let prescribed = |place: u8| steps.get(usize::from(place)).copied();
        let count = u16::from(step.count);
        let begun = self.cleaning.filter(|cleaning| cleaning.fixing == fixing).and_then(|running| {
            let here = prescribed(running.step)?;
            let next = running.step.saturating_add(1);
            if here.kind == step.kind {
                Some(Cleaning { done: running.done.saturating_add(count), ..running })
            } else if running.done >= u16::from(here.count)
                && prescribed(next).is_some_and(|next| next.kind == step.kind)
            {
                Some(Cleaning { step: next, done: count, ..running })
            } else {
                None
            }
        });
        let anew = || {
            let first = prescribed(0).is_some_and(|first| first.kind == step.kind);
            first.then_some(Cleaning { fixing, step: 0, done: count })
        };
        self.cleaning = begun.or_else(anew);
        self.cleaning.is_some_and(|cleaning| {
            usize::from(cleaning.step).saturating_add(1) == steps.len()
                && prescribed(cleaning.step).is_some_and(|last| cleaning.done >= u16::from(last.count))
        })
    }

    /// The hole changed or was filled: what was begun on it counts no more.
    pub(crate) fn hole_is_another(&mut self, fixing: FixingNumber) {
        if self.cleaning.is_some_and(|cleaning| cleaning.fixing == fixing) {
            self.cleaning = None;
        }
    }

    /// Whether the colour of what comes out is declared to be even at an injection at `at` (H4), whose working time this is.
    pub(crate) fn is_even(&self, at: Instant, working: Span) -> bool {
        match self.nozzle {
            Nozzle::Undeclared => false,
            Nozzle::Even => true,
            Nozzle::Used { end, .. } => at.since(end) <= i64::from(working.seconds()),
        }
    }

    /// An injection began; `even` as it was judged for it.
    pub(crate) fn injected(&mut self, fixing: FixingNumber, at: Instant, even: bool) {
        self.nozzle = if even { Nozzle::Used { last: fixing, end: at } } else { Nozzle::Undeclared };
        self.hole_is_another(fixing);
    }

    /// A fixing was seated: the last injection ends with it.
    pub(crate) fn seated(&mut self, fixing: FixingNumber, at: Instant) {
        if let Nozzle::Used { last, end } = &mut self.nozzle
            && *last == fixing
        {
            *end = at;
        }
    }

    /// A new nozzle was put on, or nobody knows what went through the old one.
    pub(crate) fn new_nozzle(&mut self) {
        self.nozzle = Nozzle::Undeclared;
    }

    /// Resin was discarded until its colour was even.
    pub(crate) fn discarded(&mut self) {
        self.nozzle = Nozzle::Even;
    }
}

impl SeatingFacts {
    /// What these and those say together.
    #[must_use]
    pub(crate) fn and(self, those: Self) -> Self {
        Self { excess: self.excess.and(those.excess), depth: self.depth.and(those.depth) }
    }

    /// The grounds that a *no* is (H5).
    pub(crate) fn grounds(self) -> super::Grounds {
        super::Grounds::NONE
            .with_if(self.excess == Fact::No, super::Ground::Underfilled)
            .with_if(self.depth == Fact::No, super::Ground::NotToDepth)
    }
}
