//! A shift plan: when injection is allowed, until when to seat for a torque by a given hour, when what is released.
//!
//! What for: the foreman's evening question. From a forecast or a recorded day, every start of a group is tried, minute by
//! minute, by the engine itself ([`sweep`]): whether it is allowed (rule A1), how long the working time is (A2), when it is
//! cured by both rules (C3, C4), and the same if it is some degrees colder.
//! Why this way: there is no second way to count. Sixteen starts share one group and one walk along the rows, and each
//! walk begins from a copy of a group that has seen the rows before it.
//! Terms: a *start* is a minute at which injection might begin; it is *seated* a fixed time later; its *fate* is what the
//! engine makes of it by the end of the forecast; a *window* is a run of starts that stand alike.
//! Invariants: each start's answer is that of a plain replay of it on the same rows.
//! What it does not do: forecast anything. A forecast is no measurement: on the day the logger decides.

mod sweep;
#[cfg(test)]
mod tests;
mod window;

pub use sweep::{Setup, sweep};
pub use window::{Deadline, Outlook, Window, deadline, shown, windows};

use holdoff_core::cure::{Laxer, Rule};
use holdoff_core::fixing::Grounds;
use holdoff_core::quantity::Instant;
use holdoff_core::resin::Hole;

/// What becomes of a start by the end of the forecast.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Fate {
    /// It is cured.
    Cured {
        /// The second of the cure.
        at: Instant,
        /// The reading it is known with: a torque before it is early (rule E1).
        known: Instant,
    },
    /// It is rejected.
    Rejected {
        /// The instant the grounds apply to.
        at: Instant,
        /// Why.
        grounds: Grounds,
    },
    /// It is neither, yet.
    Open,
}

impl Fate {
    /// From when on it may be torqued.
    pub const fn torque_from(&self) -> Option<Instant> {
        match self {
            Self::Cured { known, .. } => Some(*known),
            Self::Rejected { .. } | Self::Open => None,
        }
    }
}

/// What the engine says to a start.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Began {
    /// It is refused (rule A1).
    Refused(Grounds),
    /// It is allowed.
    Injected {
        /// The end of its working time (rule A2); where the forecast ends before, by what is known then.
        seat_by: Option<Instant>,
        /// By the coldest-band rule.
        coldest: Fate,
        /// By the accrual rule, where the resin permits it.
        accrual: Option<Fate>,
    },
}

/// A start and what the engine says to it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Start {
    /// When injection begins.
    pub at: Instant,
    /// What comes of it.
    pub began: Began,
}

impl Start {
    /// Its fate by a rule; `None` where it is refused, or the resin does not permit the rule.
    pub const fn fate(&self, rule: Rule) -> Option<Fate> {
        match (self.began, rule) {
            (Began::Refused(_), _) => None,
            (Began::Injected { coldest, .. }, Rule::Coldest) => Some(coldest),
            (Began::Injected { accrual, .. }, Rule::Accrual) => accrual,
        }
    }
}

/// All starts of a group at one shift of the temperature.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Variant {
    /// How much colder than the forecast, as written, °C; "0" for the forecast itself.
    pub colder: String,
    /// The starts in order of time.
    pub starts: Vec<Start>,
}

/// The plan of one group.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct GroupPlan {
    /// What the group is called on site.
    pub name: String,
    /// How many fixings it has.
    pub number: u32,
    /// Hole condition.
    pub hole: Hole,
    /// The rule that the specification allows.
    pub rule: Rule,
    /// The forecast, then the colder ones.
    pub variants: Vec<Variant>,
}

/// The plan of a job.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ShiftPlan {
    /// The job's name.
    pub job: String,
    /// Where it is.
    pub site: String,
    /// Name of the forecast.
    pub forecast: String,
    /// What is told of it.
    pub seen: crate::replay::Seen,
    /// First and last time of the forecast.
    pub span: (Instant, Instant),
    /// Name of the resin.
    pub resin: String,
    /// Whether it is an invented one.
    pub demo: bool,
    /// Offset times are shown in, seconds ahead of UTC.
    pub offset_seconds: i32,
    /// Settings laxer than their default.
    pub laxer: Laxer,
    /// Longest gap that was taken, s.
    pub longest_gap_s: u32,
    /// The job's own where it is not that one, s: the forecast's points lie further apart.
    pub shorter_gap_s: Option<u32>,
    /// Seconds from the start of an injection to its seating.
    pub seat_after: i64,
    /// Seconds from start to start.
    pub every: i64,
    /// Hours by which a torque is wanted.
    pub torque_by: Vec<Instant>,
    /// The groups.
    pub groups: Vec<GroupPlan>,
}
