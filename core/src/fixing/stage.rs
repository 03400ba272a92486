//! Stages of a fixing's life, and its status.

use crate::cure::Tally;
use crate::fixing::{Decision, Grounds, Rejection, SeatingFacts};
use crate::quantity::{Count, Fine, Instant, Torque};
use crate::resin::Hole;

/// That a fixing is cured. Exists only as a result of the step: nothing outside this crate can make one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Cured {
    at: Instant,
}

impl Cured {
    pub(crate) const fn new(at: Instant) -> Self {
        Self { at }
    }

    /// The first second at which the cure was complete.
    pub const fn at(&self) -> Instant {
        self.at
    }
}

/// That a fixing was torqued as specified after it was cured. Exists only as a result of the step.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Released {
    at: Instant,
    torque: Torque,
}

impl Released {
    pub(crate) const fn new(at: Instant, torque: Torque) -> Self {
        Self { at, torque }
    }

    /// When it was torqued.
    pub const fn at(&self) -> Instant {
        self.at
    }

    /// The torque that released it.
    pub const fn torque(&self) -> Torque {
        self.torque
    }
}

/// Where a fixing stands.
///
/// ```text
///            inject                seat               C3, C4           torque
///   Planned ───────> Working ─────────────> Curing ──────────> Cured ────────> Released
///      │  ^            │  not seated       ^ v  ^  A4: wetter    │               │
///      v  │ again      │  in time        Held    └───────────────┤               │
///   Refused ───────────┴─────────> Rejected <────────────────────┴───────────────┘
///           carried out all the same   │ engineer's decision
///                                      ├──> AcceptedAsIs ──┐
///                                      └──> Removed <──────┘
/// ```
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Stage {
    /// Nothing has been injected.
    Planned,
    /// The last start was refused, so nothing should have been injected (A1).
    Refused,
    /// Injected; the working time runs (A2).
    Working,
    /// Seated; the cure is being counted.
    Curing,
    /// Seated; the substrate is outside the limits, so nothing counts (S2).
    Held,
    /// Cured: may be torqued. Where no torque is specified this is the end.
    Cured(Cured),
    /// Torqued as specified after the cure (E2).
    Released(Released),
    /// Rejected, with its first grounds (E3).
    Rejected(Rejection),
    /// Rejected, then accepted as it is by the engineer (E3).
    AcceptedAsIs(Rejection),
    /// Rejected, then ordered to be removed by the engineer (E3).
    Removed(Rejection),
}

impl Stage {
    /// The short fixed word of `docs/interfaces.md`.
    pub const fn word(&self) -> &'static str {
        StageWord::of(self).word()
    }
}

/// The stages of [`Stage`] without what they carry. A stage read from a log is this and never a `Stage`: `Cured` and
/// `Released` exist only as results of the step.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum StageWord {
    /// Nothing has been injected.
    Planned,
    /// The last start was refused.
    Refused,
    /// Injected.
    Working,
    /// Seated, counting.
    Curing,
    /// Seated, outside the limits.
    Held,
    /// Cured.
    Cured,
    /// Torqued as specified.
    Released,
    /// Rejected.
    Rejected,
    /// Rejected, then accepted as it is.
    AcceptedAsIs,
    /// Rejected, then ordered to be removed.
    Removed,
}

impl StageWord {
    /// All words, in the order of their codes in the log and on the link.
    pub const ALL: [Self; 10] = [
        Self::Planned,
        Self::Refused,
        Self::Working,
        Self::Curing,
        Self::Held,
        Self::Cured,
        Self::Released,
        Self::Rejected,
        Self::AcceptedAsIs,
        Self::Removed,
    ];

    /// The stage as a record names it.
    pub const fn of(stage: &Stage) -> Self {
        match stage {
            Stage::Planned => Self::Planned,
            Stage::Refused => Self::Refused,
            Stage::Working => Self::Working,
            Stage::Curing => Self::Curing,
            Stage::Held => Self::Held,
            Stage::Cured(_) => Self::Cured,
            Stage::Released(_) => Self::Released,
            Stage::Rejected(_) => Self::Rejected,
            Stage::AcceptedAsIs(_) => Self::AcceptedAsIs,
            Stage::Removed(_) => Self::Removed,
        }
    }

    /// The short fixed word of `docs/interfaces.md`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Planned => "planned",
            Self::Refused => "refused",
            Self::Working => "working",
            Self::Curing => "curing",
            Self::Held => "held",
            Self::Cured => "cured",
            Self::Released => "released",
            Self::Rejected => "rejected",
            Self::AcceptedAsIs => "accepted-as-is",
            Self::Removed => "removed",
        }
    }
}

/// What was declared of a fixing's hole, nozzle and seating (section H of `docs/cure-rules.md`).
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Declared {
    /// Before the injection: when the hole's last complete cleaning ended (H2).
    pub cleaned_at: Option<Instant>,
    /// Whether the hole had a complete cleaning at the injection that was young enough (H3); false before it.
    pub cleaned: bool,
    /// Whether the colour of what came out of the nozzle was declared to be even at the injection (H4); false before it.
    pub even: bool,
    /// The facts of the seating (H5).
    pub facts: SeatingFacts,
}

/// Everything that can be said of a fixing: what the step makes of what happened, read from its state.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Status {
    /// Where it stands.
    pub stage: Stage,
    /// Hole condition in force.
    pub hole: Hole,
    /// The cartridge's temperature as it was declared at the last start, refused or not, rounded down to a count; `None`
    /// where nobody declared one (rule A1), or nothing was started.
    pub cartridge: Option<Count>,
    /// Start of the injection that was not refused.
    pub injected_at: Option<Instant>,
    /// Seating.
    pub seated_at: Option<Instant>,
    /// While the working time runs: the last second at which it may be seated, by what is known now.
    pub seat_by: Option<Instant>,
    /// The second of the cure, also after release or a later rejection.
    pub cured_at: Option<Instant>,
    /// Forecast of the cure: the later of the last accepted reading and the seating, plus the least further seconds
    /// that would cure it if all counted in that reading's band. The second of the cure once cured. `None` while there
    /// is nothing to forecast or the readings have stopped for longer than the longest gap.
    pub announced_at: Option<Instant>,
    /// Seconds required by the coldest-band rule; 0 before seating.
    pub required: u64,
    /// Seconds served under the coldest-band rule; 0 before seating.
    pub served: u64,
    /// Seconds since seating by class, up to the cure, else to the last accepted reading.
    pub tally: Tally,
    /// The sum of the accrual rule, of [`crate::cure::WHOLE`].
    pub accrued: u128,
    /// The coldest `low` of rule C3; `None` before seating.
    pub coldest: Option<Fine>,
    /// Grounds of the refusal or the rejection.
    pub grounds: Grounds,
    /// The last torque that was applied.
    pub torque: Option<Torque>,
    /// Of the accepted readings between injection and seating the one that lay furthest outside the installation limits (rule
    /// A5); `None` where none did. Named, not judged.
    pub outside_at_seating: Option<Count>,
    /// The engineer's decision.
    pub decision: Option<Decision>,
    /// What was declared of hole, nozzle and seating.
    pub declared: Declared,
}
