//! One sentence a stage, a ground, a hole condition.

use super::{Speech, StatusPhrase};
use holdoff_core::cure::Rule;
use holdoff_core::fixing::{Ground, Grounds, Status, TorqueRange};
use holdoff_core::log::StageWord;
use holdoff_core::quantity::Instant;
use holdoff_core::resin::{Hole, Holes};
use holdoff_evidence::StageFacts;
use holdoff_files::stamp::format_seconds;

impl Speech {
    /// What the tool's word is worth.
    pub fn caution(&self) -> &'static str {
        self.say(StatusPhrase::Caution)
    }

    /// What is said wherever a demo resin is used.
    pub fn demo_caution(&self) -> &'static str {
        self.say(StatusPhrase::DemoCaution)
    }

    /// Both, where a demo resin is used; else the former.
    pub fn cautions(&self, demo: bool) -> String {
        if demo { format!("{} {}", self.demo_caution(), self.caution()) } else { self.caution().to_owned() }
    }

    /// A ground, as one says it on site.
    pub fn ground(&self, ground: Ground) -> &'static str {
        self.say(of_ground(ground))
    }

    /// Grounds, one after another.
    pub fn grounds(&self, grounds: Grounds) -> String {
        let words: Vec<&str> = grounds.iter().map(|ground| self.ground(ground)).collect();
        self.listed(&words)
    }

    /// A hole condition.
    pub fn hole(&self, hole: Hole) -> &'static str {
        self.say(of_hole(hole))
    }

    /// The hole conditions that a resin may be used in.
    pub fn holes(&self, holes: Holes) -> String {
        let allowed = Hole::ALL.into_iter().filter(|hole| holes.allows(*hole));
        allowed.map(|hole| self.hole(hole)).collect::<Vec<_>>().join(", ")
    }

    /// A rule.
    pub fn rule(&self, rule: Rule) -> &'static str {
        self.say(match rule {
            Rule::Coldest => StatusPhrase::ColdestRule,
            Rule::Accrual => StatusPhrase::AccrualRule,
        })
    }

    /// A rule by its name alone.
    pub fn rule_word(&self, rule: Rule) -> &'static str {
        self.say(match rule {
            Rule::Coldest => StatusPhrase::ColdestRule,
            Rule::Accrual => StatusPhrase::AccrualShort,
        })
    }

    /// A stage in capitals, as it stands at the head of an account.
    pub fn headline(&self, stage: StageWord) -> &'static str {
        self.say(of_stage(stage))
    }

    /// The same of what is told of a fixing: a torque that was too low stands there until there is another.
    pub fn told_headline(&self, told: &StageFacts) -> &'static str {
        match told.too_low() {
            Some(_) => self.say(StatusPhrase::HeadTorqueLow),
            None => self.headline(told.seen.word),
        }
    }

    /// What may be done with the fixing now, in a foreman's words.
    pub fn status_sentence(&self, status: &Status, range: Option<TorqueRange>, offset_seconds: i32) -> String {
        self.told_sentence(&StageFacts::of(status, range), &|at| self.when(at, offset_seconds))
    }

    /// The same of what is told of a fixing; `time` shows an instant as the clock on the wall did.
    pub fn told_sentence(&self, told: &StageFacts, time: &dyn Fn(Instant) -> String) -> String {
        use StatusPhrase as P;
        let reasons = self.grounds(told.seen.grounds);
        let since = told.seen.since.map_or_else(|| self.say(P::UnknownTime).to_owned(), time);
        let (reasons, since) = (("reasons", reasons.as_str()), ("since", since.as_str()));
        match told.seen.word {
            StageWord::Planned => self.say(P::SayPlanned).to_owned(),
            StageWord::Refused => {
                let refused = self.fill(P::SayRefused, &[reasons]);
                // what to do about it is not plain from the ground alone
                if told.seen.grounds.has(Ground::ProbeNotSettled) {
                    format!("{refused} {}", self.say(P::WaitSettled))
                } else {
                    refused
                }
            }
            StageWord::Working => told.seat_by.map_or_else(
                || self.say(P::SayWorkingUnknown).to_owned(),
                |by| self.fill(P::SayWorking, &[("by", &time(by))]),
            ),
            StageWord::Curing => self.curing(told, time),
            StageWord::Held => self.say(P::SayHeld).to_owned(),
            StageWord::Cured => match told.range {
                Some(range) => {
                    let (least, greatest) = self.torque_range(range);
                    if let Some(torque) = told.too_low() {
                        let gaps =
                            [("torque", &*self.torque(torque)), since, ("least", &least), ("greatest", &greatest)];
                        return self.fill(P::SayTorqueLow, &gaps);
                    }
                    self.fill(P::SayCuredRange, &[since, ("least", &least), ("greatest", &greatest)])
                }
                None => self.fill(P::SayCured, &[since]),
            },
            StageWord::Released => {
                let torque = told.torque;
                let torque = torque.map_or_else(|| self.say(P::UnknownTorque).to_owned(), |torque| self.torque(torque));
                self.fill(P::SayReleased, &[("torque", &torque), since])
            }
            StageWord::Rejected => self.fill(P::SayRejected, &[reasons, since]),
            StageWord::AcceptedAsIs => self.fill(P::SayAccepted, &[reasons]),
            StageWord::Removed => self.fill(P::SayRemoved, &[reasons]),
        }
    }

    fn curing(&self, told: &StageFacts, time: &dyn Fn(Instant) -> String) -> String {
        let (served, required) = (self.length(told.served), self.length(told.required));
        let (served, required) = (("served", served.as_str()), ("required", required.as_str()));
        match told.announced_at {
            Some(at) => self.fill(StatusPhrase::SayCuring, &[served, required, ("at", &time(at))]),
            None => self.fill(StatusPhrase::SayCuringStopped, &[served, required]),
        }
    }
}

const fn of_ground(ground: Ground) -> StatusPhrase {
    match ground {
        Ground::PastDate => StatusPhrase::PastDate,
        Ground::NoReading => StatusPhrase::NoReading,
        Ground::TooCold => StatusPhrase::TooCold,
        Ground::TooWarm => StatusPhrase::TooWarm,
        Ground::Cartridge => StatusPhrase::Cartridge,
        Ground::HoleExcluded => StatusPhrase::HoleExcluded,
        Ground::SeatedLate => StatusPhrase::SeatedLate,
        Ground::NotSeated => StatusPhrase::NotSeated,
        Ground::BelowReject => StatusPhrase::BelowReject,
        Ground::HeldTooLong => StatusPhrase::HeldTooLong,
        Ground::LoadedEarly => StatusPhrase::LoadedEarly,
        Ground::AboveReject => StatusPhrase::AboveReject,
        Ground::OverTorque => StatusPhrase::OverTorque,
        Ground::UntrustedLog => StatusPhrase::UntrustedLog,
        Ground::ProbeNotSettled => StatusPhrase::ProbeNotSettled,
        Ground::NotCleaned => StatusPhrase::NotCleaned,
        Ground::Nozzle => StatusPhrase::Nozzle,
        Ground::Underfilled => StatusPhrase::Underfilled,
        Ground::NotToDepth => StatusPhrase::NotToDepth,
    }
}

const fn of_hole(hole: Hole) -> StatusPhrase {
    match hole {
        Hole::Dry => StatusPhrase::Dry,
        Hole::Wet => StatusPhrase::Wet,
        Hole::Flooded => StatusPhrase::Flooded,
    }
}

const fn of_stage(stage: StageWord) -> StatusPhrase {
    match stage {
        StageWord::Planned => StatusPhrase::HeadPlanned,
        StageWord::Refused => StatusPhrase::HeadRefused,
        StageWord::Working => StatusPhrase::HeadWorking,
        StageWord::Curing => StatusPhrase::HeadCuring,
        StageWord::Held => StatusPhrase::HeadHeld,
        StageWord::Cured => StatusPhrase::HeadCured,
        StageWord::Released => StatusPhrase::HeadReleased,
        StageWord::Rejected => StatusPhrase::HeadRejected,
        StageWord::AcceptedAsIs => StatusPhrase::HeadAccepted,
        StageWord::Removed => StatusPhrase::HeadRemoved,
    }
}

// What follows speaks English, °C and N·m, with times by RFC 3339: for files, and for whoever asks for nothing else.

/// What may be done with the fixing now, in a foreman's words.
pub fn status_sentence(status: &Status, range: Option<TorqueRange>, offset_seconds: i32) -> String {
    Speech::PLAIN.told_sentence(&StageFacts::of(status, range), &|at| format_seconds(at.seconds(), offset_seconds))
}
