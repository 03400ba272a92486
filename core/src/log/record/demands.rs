//! What a job demands of hands, and what is declared, as they are recorded (section H of `docs/cure-rules.md`).

use super::body::{BodyReader, BodyWriter, Wrong};
use crate::fixing::{CleaningDone, CleaningKind, CleaningStep, Demands, Fact, MOST_STEPS, Needs, SeatingFacts};
use crate::quantity::Span;

pub(super) fn write(demands: &Demands, body: &mut BodyWriter) {
    body.byte(flags(demands));
    body.number(demands.clean_within().seconds());
    body.byte(demands.steps().len() as u8); // at most eight
    for step in demands.steps() {
        body.byte(step.kind as u8);
        body.byte(step.count);
    }
}

/// Bits: 0 cleaning required, 1 nozzle required, 2 an age of the cleaning laxer than the default.
fn flags(demands: &Demands) -> u8 {
    u8::from(demands.cleaning() == Needs::Required)
        | u8::from(demands.nozzle() == Needs::Required) << 1
        | u8::from(demands.is_clean_within_laxer()) << 2
}

pub(super) fn read(body: &mut BodyReader<'_>) -> Result<Demands, Wrong> {
    let found = body.byte()?;
    let clean_within = Span::from_seconds(body.number()?);
    let used = body.byte()?;
    let mut steps = [CleaningStep { kind: CleaningKind::Blow, count: 0 }; MOST_STEPS];
    let places = steps.get_mut(..usize::from(used)).ok_or(Wrong)?;
    for step in places.iter_mut() {
        *step = CleaningStep { kind: kind(body)?, count: body.byte()? };
    }
    let needs = |bit: u8| if found >> bit & 1 == 1 { Needs::Required } else { Needs::Noted };
    let made = Demands::new(places.iter().copied(), needs(0), needs(1)).map_err(|_| Wrong)?;
    let made = made.with_clean_within(clean_within).map_err(|_| Wrong)?;
    // neighbours of one kind are written as one
    if flags(&made) != found || made.steps().len() != usize::from(used) { Err(Wrong) } else { Ok(made) }
}

fn kind(body: &mut BodyReader<'_>) -> Result<CleaningKind, Wrong> {
    CleaningKind::ALL.get(usize::from(body.byte()?)).copied().ok_or(Wrong)
}

pub(super) fn write_cleaned(done: CleaningDone, body: &mut BodyWriter) {
    body.byte(done.kind as u8);
    body.byte(done.count);
    body.number(done.took.seconds());
}

pub(super) fn read_cleaned(body: &mut BodyReader<'_>) -> Result<CleaningDone, Wrong> {
    Ok(CleaningDone { kind: kind(body)?, count: body.byte()?, took: Span::from_seconds(body.number()?) })
}

const FACTS: [Fact; 3] = [Fact::NotDeclared, Fact::Yes, Fact::No];

pub(super) fn write_facts(facts: SeatingFacts, body: &mut BodyWriter) {
    body.byte(facts.excess as u8 | (facts.depth as u8) << 4);
}

pub(super) fn read_facts(body: &mut BodyReader<'_>) -> Result<SeatingFacts, Wrong> {
    let byte = body.byte()?;
    let fact = |code: u8| FACTS.get(usize::from(code)).copied().ok_or(Wrong);
    Ok(SeatingFacts { excess: fact(byte & 15)?, depth: fact(byte >> 4)? })
}
