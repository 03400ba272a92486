//! What evidence says, in words: findings, reasons, names and times.
//!
//! How: values are codes with fields (`holdoff_evidence`, `holdoff_register`); each becomes a phrase of a table here, in the
//! language of whoever is told. Nothing is ever read back out of words.

use super::{EvidencePhrase as P, ProofPhrase, Speech, StagePhrase};
use holdoff_core::log::StageWord;
use holdoff_core::seal::Field;
use holdoff_evidence::{Contradiction, Dated, Finding, NotProved, ProvedBy, RecordFault, RecordField, Untrusted, Why};
use holdoff_files::stamp::Clock;
use serde::Serialize;
use serde_json::Value;

/// What can be told in words.
pub trait Worded {
    /// In the words of a speech.
    fn words(&self, speech: Speech) -> String;
}

impl<T: Worded> Worded for Option<T> {
    /// Nothing where there is nothing to tell.
    fn words(&self, speech: Speech) -> String {
        self.as_ref().map(|what| what.words(speech)).unwrap_or_default()
    }
}

/// A code with its fields for scripts, and under `text` the same in English.
pub fn coded<T: Serialize + Worded>(what: &T) -> Value {
    let mut value = serde_json::to_value(what).unwrap_or_default();
    if let Value::Object(fields) = &mut value {
        fields.insert("text".to_owned(), what.words(Speech::PLAIN).into());
    }
    value
}

impl Speech {
    /// That a fixing is not to be loaded, and why.
    pub fn do_not_load(&self, why: &impl Worded) -> String {
        self.fill(ProofPhrase::DoNotLoad, &[("why", &why.words(*self))])
    }

    /// What a fixing is called: its label, or its number (counted from 0) where it has none.
    pub fn name(&self, label: &str, number: u8) -> String {
        if label.is_empty() {
            self.fill(P::FixingNumber, &[("number", &u16::from(number).saturating_add(1).to_string())])
        } else {
            label.to_owned()
        }
    }

    /// What a logger is called by its number.
    pub fn logger(&self, device: &str) -> String {
        self.fill(P::Logger, &[("device", device)])
    }

    /// An instant in RFC 3339 with its offset, or seconds of the logger's clock where the wall clock is not known.
    pub fn dated(&self, clock: Option<Clock>, at: i64) -> String {
        match clock {
            Some(clock) => clock.stamp(at),
            None => self.fill(P::LoggerClock, &[("seconds", &at.to_string())]),
        }
    }

    /// A stage as a plain word.
    pub fn stage(&self, stage: StageWord) -> &'static str {
        self.say(match stage {
            StageWord::Planned => StagePhrase::Planned,
            StageWord::Refused => StagePhrase::Refused,
            StageWord::Working => StagePhrase::Working,
            StageWord::Curing => StagePhrase::Curing,
            StageWord::Held => StagePhrase::Held,
            StageWord::Cured => StagePhrase::Cured,
            StageWord::Released => StagePhrase::Released,
            StageWord::Rejected => StagePhrase::Rejected,
            StageWord::AcceptedAsIs => StagePhrase::AcceptedAsIs,
            StageWord::Removed => StagePhrase::Removed,
        })
    }
}

/// A phrase with numbers in its gaps.
fn numbers(speech: Speech, phrase: P, gaps: &[(&str, u32)]) -> String {
    let texts: Vec<(&str, String)> = gaps.iter().map(|(name, number)| (*name, number.to_string())).collect();
    let gaps: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (*name, text.as_str())).collect();
    speech.fill(phrase, &gaps)
}

impl Worded for Finding {
    fn words(&self, speech: Speech) -> String {
        match *self {
            Self::SlotBlank { slot } => numbers(speech, P::SlotBlank, &[("slot", slot)]),
            Self::SlotDamaged { slot } => numbers(speech, P::SlotDamaged, &[("slot", slot)]),
            Self::SlotVersion { slot, found } => {
                numbers(speech, P::SlotVersion, &[("slot", slot), ("found", u32::from(found))])
            }
            Self::SlotHeader { slot } => numbers(speech, P::SlotHeader, &[("slot", slot)]),
            Self::SlotMisplaced { slot, page } => {
                numbers(speech, P::SlotMisplaced, &[("slot", slot), ("number", page)])
            }
            Self::PageLost { slot, page } => numbers(speech, P::LostAt, &[("slot", slot), ("number", page)]),
            Self::PageForeign { slot, page } => numbers(speech, P::ForeignAt, &[("slot", slot), ("number", page)]),
            Self::AnswerFails => speech.say(P::AnswerFails).to_owned(),
            Self::PageUnlinked { slot, page } => numbers(speech, P::UnlinkedAt, &[("slot", slot), ("number", page)]),
            Self::PageItems { slot, page } => numbers(speech, P::ItemsAt, &[("slot", slot), ("number", page)]),
            Self::PageEvidence { slot, page, item } => {
                numbers(speech, P::EvidenceAt, &[("slot", slot), ("number", page), ("item", u32::from(item))])
            }
            Self::PartOverwritten { page } => numbers(speech, P::PartOverwritten, &[("page", page)]),
        }
    }
}

impl Worded for Untrusted {
    fn words(&self, speech: Speech) -> String {
        match *self {
            Self::PageLost { page } => numbers(speech, P::Lost, &[("number", page)]),
            Self::PageForeign { page } => numbers(speech, P::Foreign, &[("number", page)]),
            Self::PageUnlinked { page } => numbers(speech, P::Unlinked, &[("number", page)]),
            Self::PageItems { page } => numbers(speech, P::Items, &[("number", page)]),
            Self::PageEvidence { page, item } => {
                numbers(speech, P::Evidence, &[("number", page), ("item", u32::from(item))])
            }
            Self::TailMissing => speech.say(P::Tail).to_owned(),
            Self::Recorded => speech.say(P::Recorded).to_owned(),
            Self::NoBeginning => speech.say(P::NoBeginning).to_owned(),
        }
    }
}

impl Worded for NotProved {
    fn words(&self, speech: Speech) -> String {
        match self {
            Self::LogUntrusted { why } => speech.fill(P::Untrusted, &[("why", &why.words(speech))]),
            Self::RecordUnreadable { error } => speech.fill(P::UnreadableRecord, &[("error", &error.words(speech))]),
            Self::HeadUnreadable => speech.say(P::HeadUnreadable).to_owned(),
            Self::RecordOfOtherFixing => speech.say(P::OtherFixing).to_owned(),
            Self::RecordOfOtherDevice => speech.say(P::OtherDevice).to_owned(),
            Self::SignedOverOtherLog => speech.say(P::OtherLog).to_owned(),
            Self::EngineDiffers { field } => {
                let departure = match field {
                    None => speech.say(P::MakesNone).to_owned(),
                    Some(field) => speech.fill(P::Differs, &[("field", &field.words(speech))]),
                };
                speech.fill(P::Departs, &[("departure", &departure)])
            }
            Self::ReleasedAndSince { stage } => speech.fill(P::ReleasedAndSince, &[("stage", speech.stage(*stage))]),
            Self::Replaced => speech.say(P::Replaced).to_owned(),
            Self::CureMovedSince => speech.say(P::CureMovedSince).to_owned(),
            Self::NoRelease { stage } => speech.fill(P::NoRelease, &[("stage", speech.stage(*stage))]),
            Self::UnknownFixing => speech.say(P::UnknownFixing).to_owned(),
            Self::KeyNotGiven { named } => speech.fill(P::NoSuchKey, &[("named", named)]),
            Self::KeyOfOtherDevice { key, expected, found } => {
                speech.fill(P::KeyOfOther, &[("found", found), ("key", key), ("expected", expected)])
            }
            Self::SignatureFails { key } => speech.fill(P::BadSignature, &[("key", key)]),
            Self::JobFileDiffers { loaded, given } => {
                speech.fill(P::JobFileDiffers, &[("loaded", loaded), ("given", given)])
            }
            Self::ResinFileDiffers { loaded, given } => {
                speech.fill(P::ResinFileDiffers, &[("loaded", loaded), ("given", given)])
            }
        }
    }
}

impl Worded for ProvedBy {
    fn words(&self, speech: Speech) -> String {
        match self {
            Self::Log { .. } => speech.say(P::Proved).to_owned(),
            Self::Signature { key, device } => speech.fill(P::ProvedBySignature, &[("key", key), ("device", device)]),
        }
    }
}

impl Worded for Why {
    fn words(&self, speech: Speech) -> String {
        match self {
            Self::Proved(by) => by.words(speech),
            Self::Not(why) => why.words(speech),
        }
    }
}

impl Worded for RecordFault {
    fn words(&self, speech: Speech) -> String {
        match *self {
            Self::TooShort => speech.say(P::RecordShort).to_owned(),
            Self::TooLong => speech.say(P::RecordLong).to_owned(),
            Self::Version { found } => numbers(speech, P::RecordVersion, &[("found", u32::from(found))]),
            Self::Form => speech.say(P::RecordForm).to_owned(),
            Self::Bounds { field } => speech.fill(P::RecordBounds, &[("field", &field.words(speech))]),
            Self::Shortfall => speech.say(P::RecordShortfall).to_owned(),
        }
    }
}

impl Worded for Dated {
    fn words(&self, speech: Speech) -> String {
        speech.dated(self.clock, self.at_s)
    }
}

impl Worded for Contradiction {
    fn words(&self, speech: Speech) -> String {
        match self {
            Self::OtherInjection => speech.say(P::OtherInjection).to_owned(),
            Self::OtherLabel { label } => {
                speech.fill(P::OtherLabel, &[("label", &holdoff_files::problem::shown(label.as_bytes()))])
            }
            Self::RejectedBefore { rejected } => speech.fill(P::RejectedBefore, &[("time", &rejected.words(speech))]),
            Self::NoSuchRelease { as_of, released } => {
                speech.fill(P::ReachesBeyond, &[("as_of", &as_of.words(speech)), ("time", &released.words(speech))])
            }
            Self::NoSuchSeating { seated } => speech.fill(P::NoSuchSeating, &[("time", &seated.words(speech))]),
            Self::OtherRelease => speech.say(P::OtherRelease).to_owned(),
            Self::DecidedOtherwise => speech.say(super::DecisionPhrase::SaysOtherwise).to_owned(),
            Self::ReadOutDamaged => speech.say(P::ReadOutDamaged).to_owned(),
            Self::OtherHistory { device, page, item } => {
                let (page, item) = (page.to_string(), item.to_string());
                speech.fill(P::OtherHistory, &[("device", device), ("page", &page), ("item", &item)])
            }
        }
    }
}

impl Worded for RecordField {
    fn words(&self, speech: Speech) -> String {
        speech.say(of_field(self.0)).to_owned()
    }
}

const fn of_field(field: Field) -> P {
    match field {
        Field::Device => P::FieldDevice,
        Field::Key => P::FieldKey,
        Field::Job => P::FieldJob,
        Field::Resin => P::FieldResin,
        Field::Batch => P::FieldBatch,
        Field::Chain => P::FieldChain,
        Field::Fixing => P::FieldFixing,
        Field::Label => P::FieldLabel,
        Field::Use => P::FieldUse,
        Field::Rule => P::FieldRule,
        Field::Hole => P::FieldHole,
        Field::Seated => P::FieldSeated,
        Field::Working => P::FieldWorking,
        Field::Since => P::FieldSince,
        Field::Ahead => P::FieldAhead,
        Field::Offset => P::FieldOffset,
        Field::Required => P::FieldRequired,
        Field::Counted => P::FieldCounted,
        Field::Held => P::FieldHeld,
        Field::Unobserved => P::FieldUnobserved,
        Field::Coldest => P::FieldColdest,
        Field::Uncertainty => P::FieldUncertainty,
        Field::LongestGap => P::FieldLongestGap,
        Field::ClockPpm => P::FieldClockPpm,
        Field::Settle => P::FieldSettle,
        Field::OutsideAtSeating => P::FieldOutsideAtSeating,
        Field::End => P::FieldEnd,
        Field::TorqueLeast => P::FieldTorqueLeast,
        Field::TorqueOver => P::FieldTorqueOver,
        Field::TorqueSpare => P::FieldTorqueSpare,
    }
}

#[cfg(test)]
mod tests {
    use super::{Worded, coded};
    use crate::words::{Language, Speech};
    use holdoff_evidence::{NotProved, Untrusted};

    const GERMAN: Speech = Speech { language: Language::German, ..Speech::PLAIN };

    #[test]
    fn a_reason_in_a_reason_is_told_in_the_same_language() {
        let why = NotProved::LogUntrusted { why: Untrusted::PageLost { page: 12 } };
        assert_eq!(why.words(GERMAN), "dem Protokoll ist nicht zu trauen: Seite 12 fehlt oder ist beschädigt");
        assert_eq!(
            coded(&why).to_string(),
            r#"{"code":"log-untrusted","text":"the log cannot be trusted: page 12 is missing or damaged","why":{"code":"page-lost","page":12}}"#
        );
    }

    #[test]
    fn only_a_fixing_without_a_label_is_called_by_its_number() {
        assert_eq!((GERMAN.name("", 2), GERMAN.name("fixing 3", 2)), ("Befestigung 3".into(), "fixing 3".into()));
        // a job may call a fixing what the tool calls a stage
        assert_eq!(GERMAN.name("held", 0), "held");
    }

    #[test]
    fn a_time_without_a_wall_clock_says_so() {
        assert_eq!(Speech::PLAIN.dated(None, 90), "90 s on the logger's clock");
        let clock = holdoff_files::stamp::Clock { ahead: 1_641_204_000, offset_seconds: -25_200 };
        assert_eq!(GERMAN.dated(Some(clock), 0), "2022-01-03T03:00:00-07:00");
    }
}
