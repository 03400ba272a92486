//! An action as it is recorded: everything the step was told.

use super::body::{BodyReader, BodyWriter, Wrong};
use super::demands::{read_cleaned, read_facts, write_cleaned, write_facts};
use super::session::{hole_code, hole_of, instant_or};
use crate::fixing::{Action, Cartridge, Decision, Declaration, InHole, Injection};
use crate::group::FixingNumber;
use crate::quantity::{Count, Instant, Torque};

const INJECT: u8 = 0;
const CARRIED_OUT: u8 = 1;
const SEAT: u8 = 2;
const HOLE: u8 = 3;
const TORQUE: u8 = 4;
const ACCEPT: u8 = 5;
const REMOVE: u8 = 6;
const TORQUED_EARLY: u8 = 7;
const CLEANED: u8 = 8;
const NEW_NOZZLE: u8 = 9;
const DISCARDED: u8 = 10;
const SEATING: u8 = 11;

pub(super) fn write(at: Instant, fixing: FixingNumber, action: &Action, body: &mut BodyWriter) {
    let mut head = |kind: u8| {
        body.byte(fixing.place() as u8 | kind << 4);
        body.instant(at);
    };
    match action {
        Action::Inject(injection) => {
            head(INJECT);
            inject(injection, body);
        }
        Action::CarriedOut => head(CARRIED_OUT),
        Action::Seat => head(SEAT),
        Action::Hole(hole) => {
            head(HOLE);
            body.byte(hole_code(*hole));
        }
        Action::Torque(torque) => {
            head(TORQUE);
            body.number(torque.hundredths());
        }
        Action::TorquedEarly(torque) => {
            head(TORQUED_EARLY);
            body.number(torque.hundredths());
        }
        Action::Decide(Decision::Accept) => head(ACCEPT),
        Action::Decide(Decision::Remove) => head(REMOVE),
        Action::Declare(Declaration::Cleaned(done)) => {
            head(CLEANED);
            write_cleaned(*done, body);
        }
        Action::Declare(Declaration::NewNozzle) => head(NEW_NOZZLE),
        Action::Declare(Declaration::Discarded) => head(DISCARDED),
        Action::Declare(Declaration::Seating(facts)) => {
            head(SEATING);
            write_facts(*facts, body);
        }
    }
}

fn inject(injection: &Injection, body: &mut BodyWriter) {
    let judged_apart = injection.cartridge.is_some_and(|cartridge| cartridge.judged != cartridge.count);
    let flags = u8::from(injection.in_hole.is_some())
        | u8::from(injection.cartridge.is_some()) << 1
        | u8::from(judged_apart) << 2
        | u8::from(injection.past_from.is_some()) << 3;
    body.byte(flags);
    if let Some(in_hole) = injection.in_hole {
        body.instant(in_hole.at);
        body.count(in_hole.count);
    }
    if let Some(cartridge) = injection.cartridge {
        body.count(cartridge.count);
        if judged_apart {
            body.count(cartridge.judged);
        }
    }
    if let Some(past_from) = injection.past_from {
        body.instant(past_from);
    }
}

pub(super) fn read(body: &mut BodyReader<'_>) -> Result<(Instant, FixingNumber, Action), Wrong> {
    let head = body.byte()?;
    let fixing = FixingNumber::new(head & 15).ok_or(Wrong)?;
    let at = body.instant()?;
    let action = match head >> 4 {
        INJECT => Action::Inject(injection(body)?),
        CARRIED_OUT => Action::CarriedOut,
        SEAT => Action::Seat,
        HOLE => Action::Hole(hole_of(body.byte()?).ok_or(Wrong)?),
        TORQUE => Action::Torque(Torque::from_hundredths(body.number()?)),
        ACCEPT => Action::Decide(Decision::Accept),
        REMOVE => Action::Decide(Decision::Remove),
        TORQUED_EARLY => Action::TorquedEarly(Torque::from_hundredths(body.number()?)),
        CLEANED => Action::Declare(Declaration::Cleaned(read_cleaned(body)?)),
        NEW_NOZZLE => Action::Declare(Declaration::NewNozzle),
        DISCARDED => Action::Declare(Declaration::Discarded),
        SEATING => Action::Declare(Declaration::Seating(read_facts(body)?)),
        12.. => return Err(Wrong),
    };
    Ok((at, fixing, action))
}

fn injection(body: &mut BodyReader<'_>) -> Result<Injection, Wrong> {
    let flags = body.byte()?;
    if flags >> 4 != 0 || flags & 0b110 == 0b100 {
        return Err(Wrong);
    }
    let mut made = Injection::default();
    if flags & 1 != 0 {
        made.in_hole = Some(InHole { at: body.instant()?, count: body.count()? });
    }
    if flags & 2 != 0 {
        let count: Count = body.count()?;
        let judged = if flags & 4 == 0 { count } else { body.count()? };
        made.cartridge = Some(Cartridge { count, judged });
    }
    made.past_from = instant_or(body, flags & 8 != 0)?;
    Ok(made)
}
