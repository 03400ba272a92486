//! What goes into the step and what comes out.

use super::FixingNumber;
use crate::fixing::{Action, Decision, Grounds, NotApplicable, Rejection};
use crate::probe::Refusal;
use crate::quantity::{Count, Instant, Torque};

/// How long the logger was dark before it came up again (rule E4).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Darkness {
    /// The battery-backed clock went on; the time of the next reading tells.
    Known,
    /// That clock stopped or did not advance.
    Unknown,
}

/// What happened.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Happening {
    /// The probe delivered a count.
    Reading {
        /// When, rounded down.
        at: Instant,
        /// The count, rounded down.
        count: Count,
    },
    /// The probe answered with nothing that can be used (rule R2b).
    Unusable {
        /// When, rounded down.
        at: Instant,
        /// Why.
        cause: Refusal,
    },
    /// There is no reading for this time (rule R2).
    Missing {
        /// When, rounded down.
        at: Instant,
    },
    /// Readings up to this time could not be recorded: what they were, refused or not, nobody knows (rule R3).
    Lost {
        /// The last of them.
        at: Instant,
    },
    /// Somebody did something to a fixing.
    Action {
        /// When, rounded as [`Instant`] says.
        at: Instant,
        /// To which.
        fixing: FixingNumber,
        /// What.
        action: Action,
    },
    /// The logger came up again.
    PowerUp {
        /// How long it was dark.
        dark: Darkness,
    },
    /// The log cannot be trusted (rule E4).
    Untrusted,
}

/// The step's verdict on what happened.
#[must_use = "a reading may be refused, and an action may not apply"]
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Verdict {
    /// The reading is accepted.
    Accepted,
    /// The reading is accepted, and confirms the candidate before it.
    AcceptedWithCandidate,
    /// The reading is refused.
    Refused(Refusal),
    /// A missing reading is noted.
    Missing,
    /// The action is carried out, or the power-up or distrust noted; events say what came of it.
    Done,
    /// The action does not apply and has changed nothing.
    NotApplicable(NotApplicable),
}

/// What the seconds of an interval are for a fixing without in-hole reading (rules R3 and C1).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Seconds {
    /// Observed, in the band with this place.
    Counted {
        /// Place of the band, coldest first, from 0.
        band: u8,
    },
    /// Observed, and under the coldest usable edge.
    TooCold,
    /// Observed, and over the greatest curing temperature (it may be too cold at its other end as well).
    TooWarm,
    /// The readings lie further apart than the longest gap.
    LongGap,
    /// A reading was refused or lost, or the logger restarted, in between.
    Interrupted,
}

/// A consequence of what happened, told while the step runs.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Event {
    /// An interval between two accepted readings was added.
    Interval {
        /// The earlier reading.
        from: Instant,
        /// The later reading.
        to: Instant,
        /// What its seconds are.
        seconds: Seconds,
    },
    /// A reading refused before is accepted after all.
    CandidateAccepted {
        /// Its own time.
        at: Instant,
        /// Its count.
        count: Count,
    },
    /// The count has not changed for six hours: is the probe still clipped on? (rule R5)
    Stuck {
        /// Since when.
        since: Instant,
        /// The reading that completes the six hours.
        at: Instant,
    },
    /// A start was refused (A1).
    StartRefused {
        /// Which fixing.
        fixing: FixingNumber,
        /// When.
        at: Instant,
        /// Every ground.
        grounds: Grounds,
    },
    /// An injection started.
    Started {
        /// Which fixing.
        fixing: FixingNumber,
        /// When.
        at: Instant,
    },
    /// An element was seated within its working time, as far as is known.
    Seated {
        /// Which fixing.
        fixing: FixingNumber,
        /// When.
        at: Instant,
    },
    /// The hole condition is stricter now (A4).
    HoleStricter {
        /// Which fixing.
        fixing: FixingNumber,
        /// When.
        at: Instant,
    },
    /// A fixing is cured (C3, C4).
    Cured {
        /// Which fixing.
        fixing: FixingNumber,
        /// The second of the cure.
        at: Instant,
        /// The reading it became known with.
        announced: Instant,
    },
    /// A stricter hole condition undid a cure (A4).
    Withdrawn {
        /// Which fixing.
        fixing: FixingNumber,
        /// When.
        at: Instant,
    },
    /// A stricter hole condition moved a cure without undoing it, or changed what it rests on (A4): what was signed for it is
    /// out of force.
    CureMoved {
        /// Which fixing.
        fixing: FixingNumber,
        /// When the condition was made stricter.
        at: Instant,
        /// The second of the cure in force.
        cured: Instant,
    },
    /// A torque was noted that does not release: too low, repeated after the release, or where none is specified.
    TorqueNoted {
        /// Which fixing.
        fixing: FixingNumber,
        /// When.
        at: Instant,
        /// The torque.
        torque: Torque,
    },
    /// A fixing is released (E2).
    Released {
        /// Which fixing.
        fixing: FixingNumber,
        /// When.
        at: Instant,
    },
    /// A fixing is rejected (E3).
    Rejected {
        /// Which fixing.
        fixing: FixingNumber,
        /// Grounds, and the instant they apply to.
        rejection: Rejection,
        /// When it became known.
        announced: Instant,
    },
    /// The engineer decided on a rejected fixing (E3).
    Decided {
        /// Which fixing.
        fixing: FixingNumber,
        /// When.
        at: Instant,
        /// What.
        decision: Decision,
    },
}
