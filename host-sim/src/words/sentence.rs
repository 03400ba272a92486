//! One sentence a stage, a ground, a hole condition.

use super::{length, torque, when};
use holdoff_core::fixing::{Ground, Grounds, Stage, Status, TorqueRange};
use holdoff_core::log::{StageSeen, StageWord};
use holdoff_core::quantity::{Instant, Torque};
use holdoff_core::resin::Hole;

/// A ground, as one says it on site.
pub const fn ground(ground: Ground) -> &'static str {
    match ground {
        Ground::PastDate => "the resin is past its date",
        Ground::NoReading => "there is no accepted temperature reading that is recent enough",
        Ground::TooCold => "the substrate may be too cold to inject",
        Ground::TooWarm => "the substrate may be too warm to inject",
        Ground::Cartridge => "the cartridge is outside its temperature range",
        Ground::HoleExcluded => "the resin may not be used in a hole of this condition",
        Ground::SeatedLate => "seated after the working time had ended",
        Ground::NotSeated => "not seated before the working time ended",
        Ground::BelowReject => "the substrate may have fallen below the resin's reject temperature",
        Ground::HeldTooLong => "held or unobserved for longer than the resin allows",
        Ground::LoadedEarly => "torqued before it was cured",
        Ground::AboveReject => "the substrate may have risen above the resin's upper reject temperature",
        Ground::OverTorque => "torqued beyond the specified tolerance",
        Ground::UntrustedLog => "its log cannot be trusted",
    }
}

/// A hole condition.
pub const fn hole(hole: Hole) -> &'static str {
    match hole {
        Hole::Dry => "dry",
        Hole::Wet => "wet",
        Hole::Flooded => "flooded",
    }
}

/// What is told of a fixing: read off a status, or off what is recorded of one. A record of a stage is no stage: what is
/// read back from a file is words only, and makes nothing cured or released.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Told {
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

impl Told {
    /// What is told by a status.
    pub fn of(status: &Status, range: Option<TorqueRange>) -> Self {
        let torque = match status.stage {
            Stage::Released(released) => Some(released.torque()),
            Stage::Planned
            | Stage::Refused
            | Stage::Working
            | Stage::Curing
            | Stage::Held
            | Stage::Cured(_)
            | Stage::Rejected(_)
            | Stage::AcceptedAsIs(_)
            | Stage::Removed(_) => status.torque,
        };
        Self {
            seen: StageSeen::of(status),
            torque,
            range,
            seat_by: status.seat_by,
            announced_at: status.announced_at,
            required: status.required,
            served: status.served,
        }
    }
}

/// A stage in capitals, as it stands at the head of an account.
pub const fn stage(stage: &Stage) -> &'static str {
    headline(match stage {
        Stage::Planned => StageWord::Planned,
        Stage::Refused => StageWord::Refused,
        Stage::Working => StageWord::Working,
        Stage::Curing => StageWord::Curing,
        Stage::Held => StageWord::Held,
        Stage::Cured(_) => StageWord::Cured,
        Stage::Released(_) => StageWord::Released,
        Stage::Rejected(_) => StageWord::Rejected,
        Stage::AcceptedAsIs(_) => StageWord::AcceptedAsIs,
        Stage::Removed(_) => StageWord::Removed,
    })
}

/// The same of a stage that is recorded.
pub const fn headline(stage: StageWord) -> &'static str {
    match stage {
        StageWord::Planned => "NOT INJECTED",
        StageWord::Refused => "DO NOT INJECT",
        StageWord::Working => "SEAT NOW",
        StageWord::Curing => "LEAVE ALONE",
        StageWord::Held => "LEAVE ALONE: CURE HELD",
        StageWord::Cured => "CURED",
        StageWord::Released => "RELEASED",
        StageWord::Rejected => "DO NOT LOAD: REJECTED",
        StageWord::AcceptedAsIs => "REJECTED, ACCEPTED AS IT IS",
        StageWord::Removed => "REJECTED, TO BE REMOVED",
    }
}

/// Grounds, one after another.
pub fn grounds(grounds: Grounds) -> String {
    let words: Vec<&str> = grounds.iter().map(ground).collect();
    words.join("; ")
}

/// What may be done with the fixing now, in a foreman's words.
pub fn status_sentence(status: &Status, range: Option<TorqueRange>, offset_seconds: i32) -> String {
    told_sentence(&Told::of(status, range), &|at| when(at, offset_seconds))
}

/// The same of what is told of a fixing; `time` shows an instant as the clock on the wall did.
pub fn told_sentence(told: &Told, time: &dyn Fn(Instant) -> String) -> String {
    let reasons = || grounds(told.seen.grounds);
    let since = || told.seen.since.map_or_else(|| "an unknown time".to_owned(), time);
    match told.seen.word {
        StageWord::Planned => "Nothing has been injected.".to_owned(),
        StageWord::Refused => format!("Do not inject: {}.", reasons()),
        StageWord::Working => told.seat_by.map_or_else(
            || "Injected; seat it now.".to_owned(),
            |by| format!("Injected and not seated yet. Seat it by {} at the latest.", time(by)),
        ),
        StageWord::Curing => curing(told, time),
        StageWord::Held => {
            "Do not touch, torque or load it. The substrate is outside the limits, so the cure does not count \
                        now."
                .to_owned()
        }
        StageWord::Cured => match told.range {
            Some(range) => format!(
                "Cured since {}. It may be torqued now, to {} to {} with a calibrated wrench; it is released only \
                     after that.",
                since(),
                torque(range.least()),
                torque(range.greatest())
            ),
            None => format!(
                "Cured since {}. It may be torqued as specified now, and loaded after that when the foreman \
                     releases it.",
                since()
            ),
        },
        StageWord::Released => format!(
            "Cured and torqued to {} at {}. The foreman may let the next trade load it.",
            told.torque.map_or_else(|| "an unknown torque".to_owned(), torque),
            since()
        ),
        StageWord::Rejected => {
            format!("Do not load it: {} ({}). The engineer decides what becomes of it.", reasons(), since())
        }
        StageWord::AcceptedAsIs => {
            format!(
                "Rejected ({}); the engineer decided to accept it as it is. See that decision before loading.",
                reasons()
            )
        }
        StageWord::Removed => {
            format!("Rejected ({}); the engineer decided that it is removed. Do not load it.", reasons())
        }
    }
}

fn curing(told: &Told, time: &dyn Fn(Instant) -> String) -> String {
    let served = length(told.served);
    let required = length(told.required);
    match told.announced_at {
        Some(at) => format!(
            "Do not touch, torque or load it: not cured yet. {served} of {required} are served; if it stays as warm as at \
             the last reading it is cured at {}, no earlier.",
            time(at)
        ),
        None => format!(
            "Do not touch, torque or load it: not cured yet. {served} of {required} are served, and the readings have \
             stopped."
        ),
    }
}
