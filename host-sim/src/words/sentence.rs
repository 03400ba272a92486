//! One sentence a stage, a ground, a hole condition.

use super::{length, torque, when};
use holdoff_core::fixing::{Ground, Stage, Status, TorqueRange};
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

/// A stage in capitals, as it stands at the head of an account.
pub const fn stage(stage: &Stage) -> &'static str {
    match stage {
        Stage::Planned => "NOT INJECTED",
        Stage::Refused => "DO NOT INJECT",
        Stage::Working => "SEAT NOW",
        Stage::Curing => "LEAVE ALONE",
        Stage::Held => "LEAVE ALONE: CURE HELD",
        Stage::Cured(_) => "CURED",
        Stage::Released(_) => "RELEASED",
        Stage::Rejected(_) => "DO NOT LOAD: REJECTED",
        Stage::AcceptedAsIs(_) => "REJECTED, ACCEPTED AS IT IS",
        Stage::Removed(_) => "REJECTED, TO BE REMOVED",
    }
}

/// What may be done with the fixing now, in a foreman's words.
pub fn status_sentence(status: &Status, range: Option<TorqueRange>, offset_seconds: i32) -> String {
    let reasons = || {
        let words: Vec<&str> = status.grounds.iter().map(ground).collect();
        words.join("; ")
    };
    match status.stage {
        Stage::Planned => "Nothing has been injected.".to_owned(),
        Stage::Refused => format!("Do not inject: {}.", reasons()),
        Stage::Working => status.seat_by.map_or_else(
            || "Injected; seat it now.".to_owned(),
            |by| format!("Injected and not seated yet. Seat it by {} at the latest.", when(by, offset_seconds)),
        ),
        Stage::Curing => curing(status, offset_seconds),
        Stage::Held => {
            "Do not touch, torque or load it. The substrate is outside the limits, so the cure does not count \
                        now."
                .to_owned()
        }
        Stage::Cured(cured) => {
            let at = when(cured.at(), offset_seconds);
            match range {
                Some(range) => format!(
                    "Cured since {at}. It may be torqued now, to {} to {} with a calibrated wrench; it is released only \
                     after that.",
                    torque(range.least()),
                    torque(range.greatest())
                ),
                None => format!(
                    "Cured since {at}. It may be torqued as specified now, and loaded after that when the foreman \
                     releases it."
                ),
            }
        }
        Stage::Released(released) => format!(
            "Cured and torqued to {} at {}. The foreman may let the next trade load it.",
            torque(released.torque()),
            when(released.at(), offset_seconds)
        ),
        Stage::Rejected(rejection) => format!(
            "Do not load it: {} ({}). The engineer decides what becomes of it.",
            reasons(),
            when(rejection.at, offset_seconds)
        ),
        Stage::AcceptedAsIs(_) => {
            format!(
                "Rejected ({}); the engineer decided to accept it as it is. See that decision before loading.",
                reasons()
            )
        }
        Stage::Removed(_) => {
            format!("Rejected ({}); the engineer decided that it is removed. Do not load it.", reasons())
        }
    }
}

fn curing(status: &Status, offset_seconds: i32) -> String {
    let served = length(status.served);
    let required = length(status.required);
    match status.announced_at {
        Some(at) => format!(
            "Do not touch, torque or load it: not cured yet. {served} of {required} are served; if it stays as warm as at \
             the last reading it is cured at {}, no earlier.",
            when(at, offset_seconds)
        ),
        None => format!(
            "Do not touch, torque or load it: not cured yet. {served} of {required} are served, and the readings have \
             stopped."
        ),
    }
}
