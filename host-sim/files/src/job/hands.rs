//! What a job says of hands: which records a start needs, the names of people, the cleaning as the engine has it.
//!
//! What it does not do: reach the logger. It does not ask for records yet, so the job that is loaded into it demands none.

use super::cleaning::{Cleaning, CleaningAct, CleaningStep};
use super::read::time;
use super::reader::Reader;
use crate::problem::shown;
use crate::toml_file::{At, Findings, Need, Table};
use holdoff_core::fixing::{self, CleaningKind, Demands, DemandsError, LONGEST_CLEAN, Needs};
use holdoff_core::log::{Bytes, MOST_PEOPLE};
use holdoff_core::quantity::Span;

/// What a job demands of hands, and whose they are (section H of `docs/cure-rules.md`).
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct JobHands {
    /// Whether a start needs the record of a complete cleaning.
    pub cleaning_record: Needs,
    /// How old a cleaning may be at the start.
    pub clean_within: Span,
    /// Whether a start needs the declarations of the nozzle.
    pub nozzle_record: Needs,
    /// The people, at most eight.
    pub people: Vec<Bytes<16>>,
}

/// Keys of `[settings]`.
pub(super) const KEYS: [&str; 3] = ["cleaning_record", "clean_within", "nozzle_record"];
/// The words for whether a record is needed.
pub(crate) const NEEDS: [(&str, Needs); 2] = [("required", Needs::Required), ("noted", Needs::Noted)];

impl JobHands {
    /// What holds where a file says nothing: a cleaning is always prescribed, and what the nozzle takes is where the job gives
    /// supplies.
    pub(super) const fn usual(supplies: bool) -> Self {
        Self {
            cleaning_record: Needs::Required,
            clean_within: Demands::CLEAN_WITHIN,
            nozzle_record: if supplies { Needs::Required } else { Needs::Noted },
            people: Vec::new(),
        }
    }

    /// What it demands where this cleaning is prescribed.
    ///
    /// # Errors
    /// The cleaning has more steps than a logger counts, and its record is required.
    pub fn demands(&self, cleaning: &Cleaning) -> Result<Demands, DemandsError> {
        let made = Demands::new(cleaning_steps(cleaning), self.cleaning_record, self.nozzle_record);
        let made = match (made, self.cleaning_record) {
            (Err(_), Needs::Noted) => Demands::new([], Needs::Noted, self.nozzle_record),
            (made, _) => made,
        };
        made?.with_clean_within(self.clean_within)
    }
}

/// Reads what `[settings]` says of hands; the people stand elsewhere.
pub(super) fn read(reader: &mut Reader<'_, '_, '_>, usual: JobHands) -> Option<JobHands> {
    let cleaning_record = reader.word("cleaning_record", Need::Optional, &NEEDS);
    let nozzle_record = reader.word("nozzle_record", Need::Optional, &NEEDS);
    let clean_within = time(reader, "clean_within", usual.clean_within, 1..=LONGEST_CLEAN.seconds());
    (!reader.spoilt).then(|| JobHands {
        cleaning_record: cleaning_record.unwrap_or(usual.cleaning_record),
        clean_within,
        nozzle_record: nozzle_record.unwrap_or(usual.nozzle_record),
        people: usual.people,
    })
}

/// The names of people; `None`, with findings, where any of them can't be used.
pub(crate) fn people(root: &Table<'_, '_>, findings: &mut Findings) -> Option<Vec<Bytes<16>>> {
    if !root.has("people") {
        return Some(Vec::new());
    }
    let At { value, span } = root.texts("people", findings)?;
    if value.len() > MOST_PEOPLE {
        let what = format!("people names {}, and a logger knows {MOST_PEOPLE}", value.len());
        findings.error(span, what, "name those who work on these fixings");
        return None;
    }
    let mut people = Vec::new();
    for At { value, span } in value {
        match person_name(&value) {
            Ok(name) if !people.contains(&name) => people.push(name),
            Ok(_) => {
                let what = format!("people names {} twice", shown(value.as_bytes()));
                findings.error(span, what, "give each person a name of their own");
                return None;
            }
            Err(why) => {
                findings.error(span, format!("the name {} {why}", shown(value.as_bytes())), NAME_REMEDY);
                return None;
            }
        }
    }
    Some(people)
}

/// What to do about a name that a logger does not take.
const NAME_REMEDY: &str = "write 1 to 16 letters, digits or signs of ASCII, as the logger shows them";

/// A person's name as a logger keeps it: 1 to 16 characters of printable ASCII, no space at an end. What is wrong with it
/// stands behind the name.
fn person_name(text: &str) -> Result<Bytes<16>, &'static str> {
    if text.is_empty() || text.trim() != text {
        return Err("is empty or has a space at an end");
    }
    if text.chars().any(|sign| !(' '..='~').contains(&sign)) {
        return Err("has a sign that the logger's display lacks");
    }
    Bytes::new(text.as_bytes()).ok_or("is longer than 16 characters")
}

/// The steps of a cleaning as the engine has them.
pub fn cleaning_steps(cleaning: &Cleaning) -> Vec<fixing::CleaningStep> {
    match cleaning {
        Cleaning::DustExtractingBit => vec![fixing::CleaningStep { kind: CleaningKind::ExtractingBit, count: 1 }],
        Cleaning::Steps(steps) => {
            steps.iter().map(|step| fixing::CleaningStep { kind: kind(step), count: step.times }).collect()
        }
    }
}

const fn kind(step: &CleaningStep) -> CleaningKind {
    match step.what {
        CleaningAct::Blow => CleaningKind::Blow,
        CleaningAct::Brush => CleaningKind::Brush,
        CleaningAct::Rinse => CleaningKind::Rinse,
    }
}

#[cfg(test)]
mod tests {
    use super::person_name;

    #[test]
    fn a_name_is_what_the_display_can_show_and_the_log_can_keep() {
        for name in ["A. Hand", "1", "Shift 2, night", "sixteen letters."] {
            assert_eq!(person_name(name).map(|kept| kept.text().map(str::to_owned)), Ok(Some(name.to_owned())));
        }
        for name in ["", " ", "A ", "Zoë", "a\tb", "seventeen letters"] {
            assert!(person_name(name).is_err(), "{name:?}");
        }
    }
}
