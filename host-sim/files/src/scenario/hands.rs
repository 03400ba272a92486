//! What a scenario says of hands: demands, people, cleanings, seatings.

use super::reader::Table;
use crate::duration;
use crate::hands::Hands;
use crate::job::{Cleaning, NAME_REMEDY, cleaning_steps, person_name};
use crate::problem::{Problem, shown};
use holdoff_core::fixing::{CleaningDone, CleaningStep, Demands, DemandsError, Fact, Needs, SeatingFacts};
use holdoff_core::log::{Bytes, MOST_PEOPLE, Person, PersonNumber};
use holdoff_core::quantity::Span;

/// Keys of the scenario itself.
pub(super) const KEYS: &[&str] = &["cleaning", "cleaning_record", "clean_within", "nozzle_record", "people"];
const SEAT_KEYS: &[&str] = &["excess", "depth"];

pub(super) fn hands(root: &Table<'_, '_>) -> Result<Hands, Problem> {
    let (steps, span) = match root.text("cleaning")? {
        Some((text, span)) => (steps_of(root, &text, &span)?, span),
        None => (Vec::new(), 0..0),
    };
    let needs = |key, usual| {
        let word = root.word(key, &["required", "noted"])?;
        Ok(word.map_or(usual, |word| if word == "required" { Needs::Required } else { Needs::Noted }))
    };
    let usual = if steps.is_empty() { Needs::Noted } else { Needs::Required };
    let (cleaning, nozzle) = (needs("cleaning_record", usual)?, needs("nozzle_record", Needs::Noted)?);
    let demands = Demands::new(steps, cleaning, nozzle).map_err(|error| match error {
        DemandsError::NothingPrescribed => root.wrong(error.to_string(), "say what cleaning is prescribed"),
        _ => root.wrong_at(&span, error.to_string(), "prescribe at most eight steps, each 1 to 255 times"),
    })?;
    let demands = match root.text("clean_within")? {
        None => demands,
        Some((text, span)) => duration::parse(&text)
            .map_err(|error| error.to_string())
            .and_then(|within| demands.with_clean_within(within).map_err(|error| error.to_string()))
            .map_err(|error| root.wrong_at(&span, format!("clean_within: {error}"), "write for example \"24h\""))?,
    };
    Ok(Hands { demands, people: people(root)? })
}

fn people(root: &Table<'_, '_>) -> Result<Vec<Person>, Problem> {
    let mut people: Vec<Person> = Vec::new();
    for (text, span) in root.texts("people")? {
        let number = u8::try_from(people.len()).ok().and_then(PersonNumber::new).ok_or_else(|| {
            root.wrong_at(&span, format!("people names more than {MOST_PEOPLE}"), "a logger knows up to eight people")
        })?;
        let name = person_name(&text)
            .map_err(|why| root.wrong_at(&span, format!("the name {} {why}", shown(text.as_bytes())), NAME_REMEDY))?;
        if people.iter().any(|other| other.name == name) {
            let what = format!("people names {} twice", shown(text.as_bytes()));
            return Err(root.wrong_at(&span, what, "give each person a name of their own"));
        }
        people.push(Person { number, name });
    }
    Ok(people)
}

/// Who did it: one of the people, by name.
pub(super) fn by(table: &Table<'_, '_>, people: &[Person]) -> Result<Option<PersonNumber>, Problem> {
    let Some((text, span)) = table.text("by")? else { return Ok(None) };
    let found = people.iter().find(|person| person.name == Bytes::cut(&text) && person.name.text() == Some(&*text));
    found.map(|person| Some(person.number)).ok_or_else(|| {
        let what = format!("{} is none of the scenario's people", shown(text.as_bytes()));
        table.wrong_at(&span, what, "name one of people, or add the person there")
    })
}

/// The steps of a cleaning that was done. Its instants are the action's, or of a single step from `from` on.
pub(super) fn cleaned(table: &Table<'_, '_>, took: Option<Span>) -> Result<Option<Vec<CleaningDone>>, Problem> {
    let Some((text, span)) = table.text("clean")? else { return Ok(None) };
    let steps = steps_of(table, &text, &span)?;
    if took.is_some() && steps.len() > 1 {
        return Err(table.wrong("from stands beside several steps", "write an action for each step, with its own from"));
    }
    let took = took.unwrap_or(Span::ZERO);
    Ok(Some(steps.into_iter().map(|CleaningStep { kind, count }| CleaningDone { kind, count, took }).collect()))
}

fn steps_of(table: &Table<'_, '_>, text: &str, span: &std::ops::Range<usize>) -> Result<Vec<CleaningStep>, Problem> {
    let cleaning = Cleaning::parse(text).map_err(|error| {
        let what = format!("{} is no step of a cleaning", error.found);
        table.wrong_at(span, what, "write for example \"blow 4, brush 4, blow 4\", or \"dust-extracting bit\"")
    })?;
    Ok(cleaning_steps(&cleaning))
}

/// The facts of a seating that is written as a table.
pub(super) fn facts(table: &Table<'_, '_>) -> Result<SeatingFacts, Problem> {
    table.only(SEAT_KEYS)?;
    let fact = |key| {
        let word = table.word(key, &["yes", "no"])?;
        Ok(word.map_or(Fact::NotDeclared, |word| if word == "yes" { Fact::Yes } else { Fact::No }))
    };
    Ok(SeatingFacts { excess: fact("excess")?, depth: fact("depth")? })
}
