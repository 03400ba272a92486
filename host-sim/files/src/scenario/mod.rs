//! A scenario: one trace, one resin, a group of fixings with what was done to them in time.
//!
//! What for: `holdoff replay --scenario`, to replay a whole base plate. The file (TOML, `docs/interfaces.md`) names a
//! trace and a resin file, relative to itself, and up to sixteen fixings with their actions.
//! Invariants: unknown keys are refused; all that is wrong is told at once, with line and column; decimals are taken exactly as written;
//! nothing is judged here that the engine judges.
//! What it does not do: open the trace or the resin file.

mod act;
mod hands;

use crate::decimal::Decimal;
use crate::deeds::{Act, Fixing, Plan};
use crate::hands::Hands;
use crate::problem::{Problem, shown};
use crate::toml_file::{Findings, HOLES, Need, RULES, Table, document};
use crate::trace::{Options, Unit};
use act::Acts;
use holdoff_core::cure::Rule;
use holdoff_core::fixing::{Cartridge, FixingSpec, TorqueRange};
use holdoff_core::group::MOST_FIXINGS;

/// Most bytes of a scenario file.
pub const MOST_BYTES: u64 = 16 * 1024 * 1024;

/// A scenario as its file says it.
#[derive(Debug)]
pub struct Scenario {
    /// The trace, as a path from where the program runs.
    pub trace: String,
    /// The resin file, likewise.
    pub resin: String,
    /// The rule.
    pub rule: Rule,
    /// Expanded uncertainty in °C, as written; "1.0" where it is left out.
    pub uncertainty: String,
    /// Longest gap, as written; "5min" where it is left out.
    pub longest_gap: String,
    /// Clock allowance in ppm, as written; "100" where it is left out.
    pub clock_ppm: String,
    /// How long the probe must have said nearly the same before a start, as written; "180s" where it is left out.
    pub settle: String,
    /// Columns of the trace, and their unit where the file gives it.
    pub options: Options,
    /// The text of the file.
    pub text: String,
    /// What is demanded of hands, and whose they are.
    hands: Hands,
    fixings: Vec<Written>,
}

#[derive(Debug)]
struct Written {
    name: String,
    spec: FixingSpec,
    acts: Acts,
}

const KEYS: &[&str] = &[
    "trace",
    "resin",
    "rule",
    "uncertainty",
    "longest_gap",
    "clock_ppm",
    "settle",
    "time_column",
    "temperature_column",
    "unit",
    "fixing",
];
const FIXING_KEYS: &[&str] = &["name", "hole", "torque_least", "torque_greatest", "action"];

impl Scenario {
    /// Reads a scenario from its text; file names stay as written.
    ///
    /// # Errors
    /// All that is wrong with it in one [`Problem`].
    pub fn parse(file: &str, text: &str) -> Result<Self, Problem> {
        let mut findings = Findings::new(file, text);
        match scenario(text, &mut findings) {
            Some(scenario) if !findings.any_error() => Ok(scenario),
            Some(_) | None => Err(findings.into_problem()),
        }
    }

    /// The plan for the engine. `declared` says how a cartridge temperature stands to the resin's range.
    ///
    /// # Errors
    /// None today; a later action may have some.
    pub fn plan(&self, declared: impl Fn(&Decimal) -> Cartridge) -> Result<Plan, Problem> {
        let fixings = self.fixings.iter().map(|written| {
            let acts: Vec<Act> = written.acts.for_engine(&declared);
            let offset_seconds = written.acts.offset_seconds();
            Fixing { name: Some(written.name.clone()), spec: written.spec, acts, offset_seconds }
        });
        Ok(Plan { fixings: fixings.collect(), hands: self.hands.clone() })
    }
}

fn scenario(text: &str, findings: &mut Findings) -> Option<Scenario> {
    let document = document(text, findings)?;
    let root = Table::new(document.get_ref(), 0..0, "the file", example);
    only(&root, &[KEYS, hands::KEYS].concat(), findings);
    let hands = hands::hands(&root, findings);
    let usual = Options::default();
    let mut text_of = |key| root.text(key, Need::Optional, findings).map(|text| text.value);
    let (time_column, temperature_column) = (text_of("time_column"), text_of("temperature_column"));
    let (longest_gap, settle) = (text_of("longest_gap"), text_of("settle"));
    let mut number = |key| root.number(key, Need::Optional, findings).map(|number| number.value.to_string());
    let (uncertainty, clock_ppm) = (number("uncertainty"), number("clock_ppm"));
    let units = [("celsius", Unit::Celsius), ("fahrenheit", Unit::Fahrenheit)];
    let unit = root.word("unit", Need::Optional, &units, findings).map(|unit| unit.value);
    let rule = root.word("rule", Need::Optional, &RULES, findings).map_or(Rule::Coldest, |rule| rule.value);
    let tables = root.tables("fixing", "[[fixing]]", Need::Required, findings);
    let mut fixings: Vec<Written> = Vec::new();
    for table in tables.iter().take(MOST_FIXINGS) {
        let Some(fixing) = fixing(table, hands.as_ref(), findings) else { continue };
        if fixings.iter().any(|other| other.name == fixing.name) {
            let what = format!("a second fixing named {}", shown(fixing.name.as_bytes()));
            findings.error(table.span.clone(), what, "give each its own name");
        }
        fixings.push(fixing);
    }
    if let Some(table) = tables.get(MOST_FIXINGS) {
        findings.error(table.span.clone(), "more than sixteen fixings share the probe", "split the group");
    }
    let (trace, resin) = (filled(&root, "trace", findings), filled(&root, "resin", findings));
    Some(Scenario {
        trace: trace?,
        resin: resin?,
        rule,
        uncertainty: uncertainty.unwrap_or("1.0".to_owned()),
        longest_gap: longest_gap.unwrap_or("5min".to_owned()),
        clock_ppm: clock_ppm.unwrap_or("100".to_owned()),
        settle: settle.unwrap_or("180s".to_owned()),
        options: Options {
            time_column: time_column.unwrap_or(usual.time_column),
            temperature_column: temperature_column.unwrap_or(usual.temperature_column),
            unit,
            sensor: None,
        },
        text: text.to_owned(),
        hands: hands?,
        fixings,
    })
}

fn fixing(table: &Table<'_, '_>, hands: Option<&Hands>, findings: &mut Findings) -> Option<Written> {
    only(table, FIXING_KEYS, findings);
    let name = filled(table, "name", findings);
    let hole = table.word("hole", Need::Required, &HOLES, findings);
    // both or neither
    let given = table.has("torque_least") || table.has("torque_greatest");
    let need = if given { Need::Required } else { Need::Optional };
    let least = act::torque(table, "torque_least", need, Decimal::ceil_times, findings);
    let greatest = act::torque(table, "torque_greatest", need, Decimal::floor_times, findings);
    let torque = least.zip(greatest).and_then(|(least, greatest)| {
        let range = TorqueRange::new(least, greatest);
        if range.is_none() {
            let what = "torque_least lies above torque_greatest, or both are zero";
            findings.error(table.span.clone(), what, "give the specified torque with its tolerance");
        }
        range
    });
    let acts = Acts::read(table, hands, findings);
    Some(Written { name: name?, spec: FixingSpec { hole: hole?.value, torque }, acts: acts? })
}

/// Notes every key that isn't among these.
fn only(table: &Table<'_, '_>, known: &[&str], findings: &mut Findings) {
    for key in table.unknown(known) {
        let what = format!("the key {} is not known here", shown(key.get_ref().as_bytes()));
        findings.error(key.span(), what, format!("use one of: {}", known.join(", ")));
    }
}

/// A text that must be there and not be empty.
fn filled(table: &Table<'_, '_>, key: &str, findings: &mut Findings) -> Option<String> {
    let text = table.text(key, Need::Required, findings)?;
    if text.value.trim().is_empty() {
        findings.error(text.span, format!("{key} is empty"), "give it");
        return None;
    }
    Some(text.value)
}

/// Where it stands how a key is written.
fn example(key: &str) -> String {
    format!("{key}, as docs/interfaces.md shows it in a scenario")
}

#[cfg(test)]
mod tests;
