//! What a scenario says of hands: demands, people, cleanings, seatings.

use super::only;
use crate::hands::Hands;
use crate::job::{self, Cleaning, NEEDS, cleaning_steps};
use crate::problem::shown;
use crate::toml_file::{At, Findings, Need, Table};
use holdoff_core::fixing::{CleaningDone, CleaningStep, Demands, DemandsError, Fact, Needs, SeatingFacts};
use holdoff_core::log::{Person, PersonNumber};
use holdoff_core::quantity::Span;

/// Keys of the scenario itself.
pub(super) const KEYS: &[&str] = &["cleaning", "cleaning_record", "clean_within", "nozzle_record", "people"];
const SEAT_KEYS: &[&str] = &["excess", "depth"];

/// `None`, with findings, where any of it can't be used.
pub(super) fn hands(root: &Table<'_, '_>, findings: &mut Findings) -> Option<Hands> {
    let demands = demands(root, findings);
    let people = (0..).zip(job::people(root, findings)?);
    let people = people.filter_map(|(place, name)| Some(Person { number: PersonNumber::new(place)?, name }));
    Some(Hands { demands: demands?, people: people.collect() })
}

fn demands(root: &Table<'_, '_>, findings: &mut Findings) -> Option<Demands> {
    let At { value: steps, span } = if root.has("cleaning") {
        steps(root, "cleaning", findings)?
    } else {
        At { value: Vec::new(), span: root.span.clone() }
    };
    let usual = if steps.is_empty() { Needs::Noted } else { Needs::Required };
    let mut needs = |key, usual| root.word(key, Need::Optional, &NEEDS, findings).map_or(usual, |needs| needs.value);
    let (cleaning, nozzle) = (needs("cleaning_record", usual), needs("nozzle_record", Needs::Noted));
    let demands = match Demands::new(steps, cleaning, nozzle) {
        Ok(demands) => demands,
        Err(error) => {
            let remedy = match error {
                DemandsError::NothingPrescribed => "say what cleaning is prescribed",
                _ => "prescribe at most eight steps, each 1 to 255 times",
            };
            findings.error(span, error.to_string(), remedy);
            return None;
        }
    };
    let Some(within) = root.duration("clean_within", Need::Optional, findings) else { return Some(demands) };
    let made = demands.with_clean_within(within.value);
    if let Err(error) = &made {
        findings.error(within.span, format!("clean_within: {error}"), "write for example \"24h\"");
    }
    made.ok()
}

/// Who did it: one of the people, by name. Nobody is looked for where the people themselves can't be used.
pub(super) fn by(table: &Table<'_, '_>, hands: Option<&Hands>, findings: &mut Findings) -> Option<PersonNumber> {
    let (name, hands) = (table.text("by", Need::Optional, findings)?, hands?);
    let found = hands.people.iter().find(|person| person.name.text() == Some(&*name.value));
    if found.is_none() {
        let what = format!("{} is none of the scenario's people", shown(name.value.as_bytes()));
        findings.error(name.span, what, "name one of people, or add the person there");
    }
    found.map(|person| person.number)
}

/// The steps of a cleaning that was done. Its instants are the action's; a single one may have taken the time from `from` on.
pub(super) fn cleaned(table: &Table<'_, '_>, took: Option<Span>, findings: &mut Findings) -> Option<Vec<CleaningDone>> {
    let steps = steps(table, "clean", findings)?.value;
    if table.has("from") && steps.len() > 1 {
        let remedy = "write an action for each step, with its own from";
        findings.error(table.span.clone(), "from stands beside several steps", remedy);
    }
    let took = took.unwrap_or(Span::ZERO);
    Some(steps.into_iter().map(|CleaningStep { kind, count }| CleaningDone { kind, count, took }).collect())
}

fn steps(table: &Table<'_, '_>, key: &str, findings: &mut Findings) -> Option<At<Vec<CleaningStep>>> {
    let text = table.text(key, Need::Required, findings)?;
    match Cleaning::parse(&text.value) {
        Ok(cleaning) => Some(At { value: cleaning_steps(&cleaning), span: text.span }),
        Err(error) => {
            let what = format!("{} is no step of a cleaning", error.found);
            findings.error(
                text.span,
                what,
                "write for example \"blow 4, brush 4, blow 4\", or \"dust-extracting bit\"",
            );
            None
        }
    }
}

/// The facts of a seating that is written as a table.
pub(super) fn facts(table: &Table<'_, '_>, findings: &mut Findings) -> SeatingFacts {
    only(table, SEAT_KEYS, findings);
    let words = [("yes", Fact::Yes), ("no", Fact::No)];
    let mut fact = |key| table.word(key, Need::Optional, &words, findings).map_or(Fact::NotDeclared, |fact| fact.value);
    SeatingFacts { excess: fact("excess"), depth: fact("depth") }
}
