//! What is told of a fixing, before there are words for it.

use holdoff_core::fixing::{Stage, Status, TorqueRange};
use holdoff_core::log::{StageSeen, StageWord};
use holdoff_core::quantity::{Instant, Torque};

/// A time that has passed without anything said of it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Passed {
    /// The working time: it should have been seated.
    Seating,
    /// The forecast of the cure.
    Forecast,
}

/// What is told of a fixing: read off a status, or off what is recorded of one. A record of a stage is no stage: what is
/// read back from a file is words only, and makes nothing cured or released.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct StageFacts {
    /// Stage, since when, and grounds of a refusal or rejection.
    pub seen: StageSeen,
    /// The torque that released it, or the last that was applied.
    pub torque: Option<Torque>,
    /// Specified torque.
    pub range: Option<TorqueRange>,
    /// While the working time runs: the last second at which it may be seated.
    pub seat_by: Option<Instant>,
    /// Forecast of the cure.
    pub announced_at: Option<Instant>,
    /// Seconds required by the coldest-band rule.
    pub required: u64,
    /// Seconds served under it.
    pub served: u64,
}

impl StageFacts {
    /// What is said when its forecast, or its working time, has passed by `now`; `None` where nothing is.
    pub fn passed(&self, now: Instant) -> Option<Passed> {
        let (at, passed) = match self.seen.word {
            StageWord::Working => (self.seat_by?, Passed::Seating),
            StageWord::Curing => (self.announced_at?, Passed::Forecast),
            StageWord::Planned
            | StageWord::Refused
            | StageWord::Held
            | StageWord::Cured
            | StageWord::Released
            | StageWord::Rejected
            | StageWord::AcceptedAsIs
            | StageWord::Removed => return None,
        };
        (now >= at).then_some(passed)
    }

    /// The torque, where it was too low and the fixing waits for another one. One that is high enough releases it or rejects it.
    pub fn too_low(&self) -> Option<Torque> {
        match (self.seen.word, self.range, self.torque) {
            (StageWord::Cured, Some(range), Some(torque)) if torque < range.least() => Some(torque),
            (_, _, _) => None,
        }
    }

    /// What is told by a status.
    pub fn of(status: &Status, range: Option<TorqueRange>) -> Self {
        let torque = if let Stage::Released(released) = status.stage { Some(released.torque()) } else { status.torque };
        Self {
            seen: StageSeen::of(status.stage, status.grounds),
            torque,
            range,
            seat_by: status.seat_by,
            announced_at: status.announced_at,
            required: status.required,
            served: status.served,
        }
    }
}

/// Whether a stage may lead somebody to torque or load the fixing.
pub const fn leads_on(word: StageWord) -> bool {
    match word {
        StageWord::Cured | StageWord::Released | StageWord::AcceptedAsIs => true,
        StageWord::Planned
        | StageWord::Refused
        | StageWord::Working
        | StageWord::Curing
        | StageWord::Held
        | StageWord::Rejected
        | StageWord::Removed => false,
    }
}

/// Whether a stage says by itself that the fixing is not to be loaded, whatever its log lacks: a rejection. In a log with
/// holes any other stage may be wrong; even an injection may be missing.
pub const fn is_rejection(word: StageWord) -> bool {
    match word {
        StageWord::Rejected | StageWord::AcceptedAsIs | StageWord::Removed => true,
        StageWord::Planned
        | StageWord::Refused
        | StageWord::Working
        | StageWord::Curing
        | StageWord::Held
        | StageWord::Cured
        | StageWord::Released => false,
    }
}
