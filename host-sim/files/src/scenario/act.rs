//! The actions of a fixing in a scenario.

use super::hands::{by, cleaned, facts};
use crate::decimal::Decimal;
use crate::deeds::{Act, in_hole};
use crate::hands::Hands;
use crate::stamp::{Stamp, past_from};
use crate::toml_file::{Findings, HOLES, Need, Table};
use holdoff_core::fixing::{Action, Cartridge, Decision, Declaration, InHole, Injection, SeatingFacts};
use holdoff_core::log::PersonNumber;
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
    /// `None`, with findings, where any of them can't be used.
    pub(super) fn read(fixing: &Table<'_, '_>, hands: Option<&Hands>, findings: &mut Findings) -> Option<Self> {
        let tables = fixing.tables("action", "[[fixing.action]]", Need::Optional, findings);
        let acts: Vec<_> = tables.iter().map(|table| written(table, hands, findings)).collect();
        let acts: Vec<Vec<Written>> = acts.into_iter().collect::<Option<_>>()?;
        Some(Self(acts.into_iter().flatten().collect()))
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

/// What an action says: a cleaning each of its steps, a seating with its facts two things.
fn written(table: &Table<'_, '_>, hands: Option<&Hands>, findings: &mut Findings) -> Option<Vec<Written>> {
    super::only(table, &[KEYS_BESIDE, KEYS].concat(), findings);
    let at = table.stamp("at", Need::Required, findings);
    let by = by(table, hands, findings);
    let named = KEYS.iter().filter(|key| table.has(key)).count();
    if named != 1 {
        let remedy = format!("name exactly one of: {}", KEYS.join(", "));
        findings.error(table.span.clone(), format!("an action with {named} things done"), remedy);
        return None;
    }
    if table.has("from") && !table.has("clean") {
        findings.error(table.span.clone(), "from stands beside something other than a cleaning", "leave from out");
    }
    let all = done(table, at, findings)?;
    let at = at?;
    Some(all.into_iter().map(|what| Written { at, what, by }).collect())
}

fn done(table: &Table<'_, '_>, at: Option<Stamp>, findings: &mut Findings) -> Option<Vec<What>> {
    if table.has("clean") {
        let took = took(table, at, findings);
        let steps = cleaned(table, took, findings)?.into_iter();
        return Some(steps.map(|step| What::Other(Action::Declare(Declaration::Cleaned(step)))).collect());
    }
    if let Some(inject) = table.table_if_there("inject", "inject = {}", findings) {
        return Some(vec![injection(&inject, at?, findings)]);
    }
    if table.is_table("seat") {
        let seat = table.table("seat", "seat = {}", findings)?;
        return Some(vec![What::Other(Action::Seat), What::Facts(facts(&seat, findings))]);
    }
    if let Some(seating) = table.table_if_there("seating", "seating = {}", findings) {
        return Some(vec![What::Facts(facts(&seating, findings))]);
    }
    let action = if is_so(table, "seat", findings) {
        Action::Seat
    } else if is_so(table, "carried_out", findings) {
        Action::CarriedOut
    } else if is_so(table, "discard", findings) {
        Action::Declare(Declaration::Discarded)
    } else if let Some(nozzle) = table.word("nozzle", Need::Optional, &[("new", Declaration::NewNozzle)], findings) {
        Action::Declare(nozzle.value)
    } else if let Some(hole) = table.word("hole", Need::Optional, &HOLES, findings) {
        Action::Hole(hole.value)
    } else if let Some(torque) = applied(table, "torque", findings) {
        Action::Torque(torque)
    } else if let Some(torque) = applied(table, "torqued_early", findings) {
        Action::TorquedEarly(torque)
    } else {
        let decisions = [("accept", Decision::Accept), ("remove", Decision::Remove)];
        Action::Decide(table.word("decide", Need::Optional, &decisions, findings)?.value)
    };
    Some(vec![What::Other(action)])
}

/// How long a step of a cleaning took, where its beginning is given.
fn took(table: &Table<'_, '_>, at: Option<Stamp>, findings: &mut Findings) -> Option<Span> {
    let from = table.stamp("from", Need::Optional, findings)?;
    let seconds = at?.floor_seconds().saturating_sub(from.floor_seconds());
    let seconds = u32::try_from(seconds).ok().filter(|seconds| *seconds <= 86_400);
    if seconds.is_none() {
        let what = "from is later than at, or more than a day before it";
        findings.error(table.span.clone(), what, "give the first and the last instant of the step");
    }
    seconds.map(Span::from_seconds)
}

/// Whether the key is there and true; false is refused, since it would say nothing.
fn is_so(table: &Table<'_, '_>, key: &str, findings: &mut Findings) -> bool {
    let Some(said) = table.yes_or_no(key, Need::Optional, findings) else { return false };
    if !said.value {
        findings.error(said.span, format!("{key} = false says nothing"), "leave the line out");
    }
    said.value
}

fn injection(table: &Table<'_, '_>, at: Stamp, findings: &mut Findings) -> What {
    super::only(table, INJECT_KEYS, findings);
    let in_hole = table.number("in_hole", Need::Optional, findings).and_then(|celsius| {
        let found = in_hole(&celsius.value);
        if let Err(what) = &found {
            let remedy = "give the reading at the bottom of the hole";
            findings.error(celsius.span, format!("in_hole {what}"), remedy);
        }
        found.ok()
    });
    let use_by = table.date("use_by", Need::Optional, findings);
    let past_from = use_by.map(|day| past_from(day.value, at.offset_seconds()));
    let cartridge = table.number("cartridge", Need::Optional, findings).map(|celsius| celsius.value);
    What::Inject { in_hole, cartridge, past_from }
}

/// A torque of the specification. One that is finer than 0.01 N·m is rounded so that the fixing is judged the more strictly.
pub(super) fn torque(
    table: &Table<'_, '_>,
    key: &str,
    need: Need,
    rounded_times: impl Fn(&Decimal, u16) -> i64,
    findings: &mut Findings,
) -> Option<Torque> {
    let hundredths = |newton_metres: &Decimal| {
        let hundredths = u32::try_from(rounded_times(newton_metres, 100)).ok();
        hundredths.filter(|found| *found <= 10_000_000).map(Torque::from_hundredths)
    };
    let wrong = ("is not 0 to 100000 N·m", "give the torque in N·m");
    table.number_as(key, need, hundredths, wrong, findings).map(|found| found.value)
}

/// A torque that was applied. Between two hundredths it is refused: rounded down it could be a release.
fn applied(table: &Table<'_, '_>, key: &str, findings: &mut Findings) -> Option<Torque> {
    let found = torque(table, key, Need::Optional, Decimal::floor_times, findings)?;
    let number = table.number(key, Need::Optional, findings)?;
    if number.value.exactly(100).is_none() {
        findings.error(number.span, format!("{key} is finer than 0.01 N·m"), "give it as the wrench shows it");
    }
    Some(found)
}
