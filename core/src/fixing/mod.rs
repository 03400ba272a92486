//! The life of one fixing: checks, working time, cure, torque, release, rejection, the engineer's decision.
//!
//! What for: sections A, C5 and E of `docs/cure-rules.md`. The group tells a fixing what happened; it moves along the
//! diagram above [`Stage`].
//! Terms: an *action* is what somebody did; a *ground* is why a start is refused or a fixing rejected; the *working
//! window* runs from the injection to the seating.
//! Invariants: a rejection is final but for the engineer's decision; [`Cured`] and [`Released`] are made here only.
//! What it does not do: accept or refuse readings, know other fixings, or keep the seconds (the group does, for all).

mod action;
mod course;
mod declaration;
mod declare;
mod deed;
mod frame;
mod ground;
mod life;
mod report;
mod stage;
mod working;

pub use action::{Action, Cartridge, Decision, IN_HOLE_SECONDS, InHole, Injection, NotApplicable};

pub(crate) use course::Asked;
pub use declaration::{CleaningDone, CleaningKind, Declaration, Fact, SeatingFacts};
pub(crate) use deed::Deed;
pub use deed::{Cleaning, CleaningStep, Demands, DemandsError, LONGEST_CLEAN, MOST_STEPS, Needs};
pub(crate) use frame::{Between, Frame};
pub use ground::{Ground, Grounds, Rejection};
pub(crate) use life::{Accepted, Change, Fixing, Interval, Moment};
pub use stage::{Cured, Declared, Released, Stage, StageWord, Status};

use crate::quantity::Torque;
use crate::resin::Hole;

/// The installation torque as specified, with its tolerance.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct TorqueRange {
    least: Torque,
    greatest: Torque,
}

impl TorqueRange {
    /// From the least to the greatest torque that releases the fixing; `None` when they are the wrong way round or the
    /// greatest is zero.
    pub const fn new(least: Torque, greatest: Torque) -> Option<Self> {
        let (low, high) = (least.hundredths(), greatest.hundredths());
        if low > high || high == 0 { None } else { Some(Self { least, greatest }) }
    }

    /// The least torque that releases.
    pub const fn least(&self) -> Torque {
        self.least
    }

    /// The greatest torque that does not reject.
    pub const fn greatest(&self) -> Torque {
        self.greatest
    }
}

/// A fixing as the group first hears of it, before any action.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct FixingSpec {
    /// Declared hole condition.
    pub hole: Hole,
    /// Specified torque; `None` for an element that is not torqued, such as a reinforcing bar.
    pub torque: Option<TorqueRange>,
}
