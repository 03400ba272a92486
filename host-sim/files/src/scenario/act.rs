//! The actions of a fixing in a scenario.

use super::hands::{by, cleaned, facts};
use super::hole;
use super::reader::Table;
use crate::decimal::Decimal;
use crate::deeds::Act;
use crate::hands::Hands;
use crate::problem::{Problem, shown};
use crate::stamp::{Stamp, parse_date};
use holdoff_core::fixing::{Action, Cartridge, Decision, Declaration, InHole, Injection, SeatingFacts};
use holdoff_core::log::PersonNumber;
use holdoff_core::probe::{SENSOR_GREATEST, SENSOR_LEAST};
use holdoff_core::quantity::{Count, Instant, Span, Torque};

const KEYS: &[&str] = &[
    "inject",
    "seat",
    "hole",
    "carried_out",
    "torque",
    "torqued_early",
    "decide",
    "clean",
    "nozzle",
    "discard",
    "seating",
];
const KEYS_BESIDE: &[&str] = &["at", "from", "by"];
const INJECT_KEYS: &[&str] = &["in_hole", "cartridge", "use_by"];

/// Which way a torque finer than 0.01 N·m is rounded: always so that the fixing is judged the more strictly.
#[derive(Clone, Copy, Debug)]
pub(super) enum Hundredths {
    Up,
    Down,
}

#[derive(Debug)]
struct Written {
    at: Stamp,
    what: What,
    by: Option<PersonNumber>,
}

#[derive(Debug)]
enum What {
    Inject {
        in_hole: Option<Count>,
        cartridge: Option<Decimal>,
        past_from: Option<Instant>,
    },
    Other(Action),
    /// The facts that a seating was written with.
    Facts(SeatingFacts),
}

/// The actions of one fixing, in the order of the file.
#[derive(Debug)]
pub(super) struct Acts(Vec<Written>);

impl Acts {
    pub(super) fn read(fixing: &Table<'_, '_>, hands: &Hands) -> Result<Self, Problem> {
        let mut acts = Vec::new();
        for table in &fixing.tables("action")? {
            let at = stamp(table, "at")?.ok_or_else(|| table.missing("at"))?;
            let by = by(table, &hands.people)?;
            acts.extend(written(table, &at)?.into_iter().map(|what| Written { at, what, by }));
        }
        Ok(Self(acts))
    }

    /// The actions for the engine, each rounded to its second as its kind asks (rule Q2).
    pub(super) fn for_engine(&self, declared: &impl Fn(&Decimal) -> Cartridge) -> Vec<Act> {
        let act = |written: &Written| {
            let floor = Instant::from_seconds(written.at.floor_seconds());
            let ceil = Instant::from_seconds(written.at.ceil_seconds());
            let (at, action) = match &written.what {
                What::Inject { in_hole, cartridge, past_from } => {
                    let in_hole = in_hole.map(|count| InHole { at: floor, count });
                    let cartridge = cartridge.as_ref().map(declared);
                    (floor, Action::Inject(Injection { in_hole, cartridge, past_from: *past_from }))
                }
                What::Other(Action::Seat) => (ceil, Action::Seat),
                What::Facts(facts) => (ceil, Action::Declare(Declaration::Seating(*facts))),
                What::Other(action) => (floor, *action),
            };
            Act { at, action, offset_seconds: written.at.offset_seconds(), by: written.by }
        };
        self.0.iter().map(act).collect()
    }

    /// The offset times are shown in: the seating's, else the first action's, else none.
    pub(super) fn offset_seconds(&self) -> i32 {
        let seat = self.0.iter().find(|written| matches!(written.what, What::Other(Action::Seat)));
        seat.or(self.0.first()).map_or(0, |written| written.at.offset_seconds())
    }
}

fn stamp(table: &Table<'_, '_>, key: &str) -> Result<Option<Stamp>, Problem> {
    let Some((text, span)) = table.time(key)? else { return Ok(None) };
    let parsed = Stamp::parse(&text);
    parsed
        .map(Some)
        .map_err(|error| table.wrong_at(&span, format!("{}: {error}", shown(text.as_bytes())), error.remedy()))
}

/// What an action does: a cleaning each of its steps, a seating with its facts two things.
fn written(table: &Table<'_, '_>, at: &Stamp) -> Result<Vec<What>, Problem> {
    table.only(&[KEYS_BESIDE, KEYS].concat())?;
    let named = KEYS.iter().filter(|key| table.has(key)).count();
    if named != 1 {
        let remedy = "name exactly one of: inject, seat, hole, carried_out, torque, torqued_early, decide, clean, nozzle, \
                      discard, seating";
        return Err(table.wrong(format!("an action with {named} things done"), remedy));
    }
    if table.has("from") && !table.has("clean") {
        return Err(table.wrong("from stands beside something other than a cleaning", "leave from out"));
    }
    let only = |action| Ok(vec![What::Other(action)]);
    if let Some(steps) = cleaned(table, took(table, at)?)? {
        let steps = steps.into_iter().map(|done| What::Other(Action::Declare(Declaration::Cleaned(done))));
        return Ok(steps.collect());
    }
    if let Some(inject) = table.table("inject")? {
        return Ok(vec![injection(&inject, at)?]);
    }
    if table.has("seat") {
        return Ok(match table.table_or_so("seat")? {
            Some(seat) => vec![What::Other(Action::Seat), What::Facts(facts(&seat)?)],
            None => vec![What::Other(Action::Seat)],
        });
    }
    if let Some(seating) = table.table("seating")? {
        return Ok(vec![What::Facts(facts(&seating)?)]);
    }
    if table.word("nozzle", &["new"])?.is_some() {
        return only(Action::Declare(Declaration::NewNozzle));
    }
    if table.is_so("discard")? {
        return only(Action::Declare(Declaration::Discarded));
    }
    if table.is_so("carried_out")? {
        return only(Action::CarriedOut);
    }
    if let Some(hole) = hole(table, "hole")? {
        return only(Action::Hole(hole));
    }
    if let Some(torque) = applied(table, "torque")? {
        return only(Action::Torque(torque));
    }
    if let Some(torque) = applied(table, "torqued_early")? {
        return only(Action::TorquedEarly(torque));
    }
    match table.word("decide", &["accept", "remove"])? {
        Some("accept") => only(Action::Decide(Decision::Accept)),
        Some(_) | None => only(Action::Decide(Decision::Remove)),
    }
}

/// How long a step of a cleaning took, where its beginning is given.
fn took(table: &Table<'_, '_>, at: &Stamp) -> Result<Option<Span>, Problem> {
    let Some(from) = stamp(table, "from")? else { return Ok(None) };
    let seconds = at.floor_seconds().saturating_sub(from.floor_seconds());
    let seconds = u32::try_from(seconds).ok().filter(|seconds| *seconds <= 86_400);
    seconds.map(|seconds| Some(Span::from_seconds(seconds))).ok_or_else(|| {
        table.wrong(
            "from is later than at, or more than a day before it",
            "give the first and the last instant of the step",
        )
    })
}

fn injection(table: &Table<'_, '_>, at: &Stamp) -> Result<What, Problem> {
    table.only(INJECT_KEYS)?;
    let in_hole = match table.decimal("in_hole")? {
        None => None,
        Some((celsius, span)) => {
            let (least, greatest) = (i64::from(SENSOR_LEAST.raw() / 256), i64::from(SENSOR_GREATEST.raw() / 256));
            let inside = celsius.cmp_whole(least).is_ge() && celsius.cmp_whole(greatest).is_le();
            let count = celsius.floor_count().filter(|_| inside).ok_or_else(|| {
                let what = format!("in_hole {celsius} is outside the sensor's range, {least} to {greatest} °C");
                table.wrong_at(&span, what, "give the reading at the bottom of the hole")
            })?;
            Some(count)
        }
    };
    let past_from = match table.time("use_by")? {
        None => None,
        Some((text, span)) => {
            let day = parse_date(&text).map_err(|error| {
                table.wrong_at(&span, format!("{}: {error}", shown(text.as_bytes())), error.remedy())
            })?;
            let next = day.succ_opt().unwrap_or(day).and_time(chrono::NaiveTime::MIN).and_utc().timestamp();
            Some(Instant::from_seconds(next.saturating_sub(i64::from(at.offset_seconds()))))
        }
    };
    let cartridge = table.decimal("cartridge")?.map(|(celsius, _)| celsius);
    Ok(What::Inject { in_hole, cartridge, past_from })
}

/// A torque of the specification.
pub(super) fn torque(table: &Table<'_, '_>, key: &str, way: Hundredths) -> Result<Option<Torque>, Problem> {
    let Some((value, span)) = table.decimal(key)? else { return Ok(None) };
    let hundredths = match way {
        Hundredths::Up => value.ceil_times(100),
        Hundredths::Down => value.floor_times(100),
    };
    let fits = u32::try_from(hundredths).ok().filter(|hundredths| *hundredths <= 10_000_000);
    fits.map(|hundredths| Some(Torque::from_hundredths(hundredths)))
        .ok_or_else(|| table.wrong_at(&span, format!("{key} {value} is not 0 to 100000 N·m"), "give the torque in N·m"))
}

/// A torque that was applied. Between two hundredths it is rounded up when its floor could still be a release, so that
/// over the tolerance stays over; a value a hair under the least is under it by its own floor.
fn applied(table: &Table<'_, '_>, key: &str) -> Result<Option<Torque>, Problem> {
    let (up, down) = (torque(table, key, Hundredths::Up)?, torque(table, key, Hundredths::Down)?);
    match (up, down) {
        (Some(up), Some(down)) if up != down => {
            let span = table.decimal(key)?.map_or(0..0, |(_, span)| span);
            Err(table.wrong_at(&span, format!("{key} is finer than 0.01 N·m"), "give it as the wrench shows it"))
        }
        (found, _) => Ok(found),
    }
}
