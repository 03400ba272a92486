//! Which phrase the page says when.

use super::Section;
use crate::words::{PagePhrase as P, Speech};

/// Heading of a section.
pub const fn section(section: Section) -> P {
    match section {
        Section::SeatNow => P::SeatNow,
        Section::TorqueNow => P::TorqueNow,
        Section::NotSigned => P::NotSigned,
        Section::Next => P::Next,
        Section::Held => P::Held,
        Section::DoNotLoad => P::DoNotLoad,
        Section::DoNotInject => P::DoNotInject,
        Section::Planned => P::Planned,
        Section::Released => P::Released,
    }
}

/// What a section means.
pub const fn section_note(section: Section) -> P {
    match section {
        Section::SeatNow => P::SeatNowNote,
        Section::TorqueNow => P::TorqueNowNote,
        Section::NotSigned => P::NotSignedNote,
        Section::Next => P::NextNote,
        Section::Held => P::HeldNote,
        Section::DoNotLoad => P::DoNotLoadNote,
        Section::DoNotInject => P::DoNotInjectNote,
        Section::Planned => P::PlannedNote,
        Section::Released => P::ReleasedNote,
    }
}

/// Heads of a table.
pub const COLUMNS: [P; 3] = [P::FixingColumn, P::TimeColumn, P::StatusColumn];

/// What a time in the middle column is; empty where there is none.
pub const fn moment(speech: Speech, section: Section) -> &'static str {
    let phrase = match section {
        Section::SeatNow => P::SeatNowMoment,
        Section::TorqueNow => P::TorqueNowMoment,
        Section::Next => P::NextMoment,
        Section::Released => P::ReleasedMoment,
        Section::NotSigned | Section::Held | Section::DoNotLoad | Section::DoNotInject | Section::Planned => return "",
    };
    phrase.of(speech.language)
}

/// How long before `now` something was, to the minute, rounded up.
pub fn ago(speech: Speech, now: i64, at: i64) -> String {
    match u64::try_from(now.saturating_sub(at)) {
        Ok(seconds) if seconds < 60 => speech.say(P::JustNow).to_owned(),
        Ok(seconds) => speech.fill(P::Ago, &[("length", &speech.length(seconds.div_ceil(60) * 60))]),
        Err(_) => speech.say(P::ClockAhead).to_owned(),
    }
}

/// A phrase that counts something.
pub fn counted(speech: Speech, phrase: P, number: usize) -> String {
    speech.fill(phrase, &[("number", &number.to_string())])
}

/// A release that is known by its code; `torque` in words.
pub fn by_code(speech: Speech, time: &str, torque: Option<&str>) -> String {
    match torque {
        Some(torque) => speech.fill(P::ByCodeTorqued, &[("torque", torque), ("time", time)]),
        None => speech.fill(P::ByCode, &[("time", time)]),
    }
}
