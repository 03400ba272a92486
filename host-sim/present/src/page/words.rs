//! Which phrase the page says when.

use super::Section;
use crate::words::{PagePhrase as P, Speech};

/// Heading of a section, what it means, and what a time in its middle column is, where there is one.
const fn phrases(section: Section) -> (P, P, Option<P>) {
    match section {
        Section::SeatNow => (P::SeatNow, P::SeatNowNote, Some(P::SeatNowMoment)),
        Section::TorqueNow => (P::TorqueNow, P::TorqueNowNote, Some(P::TorqueNowMoment)),
        Section::NotSigned => (P::NotSigned, P::NotSignedNote, None),
        Section::Next => (P::Next, P::NextNote, Some(P::NextMoment)),
        Section::Held => (P::Held, P::HeldNote, None),
        Section::DoNotLoad => (P::DoNotLoad, P::DoNotLoadNote, None),
        Section::DoNotInject => (P::DoNotInject, P::DoNotInjectNote, None),
        Section::Planned => (P::Planned, P::PlannedNote, None),
        Section::Released => (P::Released, P::ReleasedNote, Some(P::ReleasedMoment)),
    }
}

/// Heading of a section.
pub const fn section(section: Section) -> P {
    phrases(section).0
}

/// What a section means.
pub const fn section_note(section: Section) -> P {
    phrases(section).1
}

/// Heads of a table.
pub const COLUMNS: [P; 3] = [P::FixingColumn, P::TimeColumn, P::StatusColumn];

/// What a time in the middle column is; empty where there is none.
pub fn moment(speech: Speech, section: Section) -> &'static str {
    phrases(section).2.map_or("", |phrase| speech.say(phrase))
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
