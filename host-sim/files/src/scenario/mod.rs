//! A scenario: one trace, one resin, a group of fixings with what was done to them in time.
//!
//! What for: `holdoff replay --scenario`, to replay a whole base plate. The file (TOML, `docs/interfaces.md`) names a
//! trace and a resin file, relative to itself, and up to sixteen fixings with their actions.
//! Invariants: unknown keys are refused; every refusal names line and column; decimals are taken exactly as written;
//! nothing is judged here that the engine judges.
//! What it does not do: open the trace or the resin file.

mod act;
mod hands;
mod reader;

use crate::decimal::Decimal;
use crate::deeds::{Act, Fixing, Plan};
use crate::hands::Hands;
use crate::problem::{Problem, shown};
use crate::trace::{Options, Unit};
use act::{Acts, Hundredths};
use holdoff_core::cure::Rule;
use holdoff_core::fixing::{Cartridge, FixingSpec, TorqueRange};
use holdoff_core::group::MOST_FIXINGS;
use holdoff_core::quantity::Torque;
use holdoff_core::resin::Hole;
use reader::{Reader, Table};

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
    /// A [`Problem`] with line and column for the first thing that is wrong.
    pub fn parse(file: &str, text: &str) -> Result<Self, Problem> {
        let reader = Reader::new(file, text);
        let document = reader.document()?;
        let root = Table::new(&reader, &document);
        root.only(&[KEYS, hands::KEYS].concat())?;
        let hands = hands::hands(&root)?;
        let mut options = Options::default();
        if let Some((name, _)) = root.text("time_column")? {
            options.time_column = name;
        }
        if let Some((name, _)) = root.text("temperature_column")? {
            options.temperature_column = name;
        }
        options.unit = match root.word("unit", &["celsius", "fahrenheit"])? {
            Some("fahrenheit") => Some(Unit::Fahrenheit),
            Some(_) => Some(Unit::Celsius),
            None => None,
        };
        let rule = match root.word("rule", &["coldest", "accrual"])? {
            Some("accrual") => Rule::Accrual,
            Some(_) | None => Rule::Coldest,
        };
        let mut fixings: Vec<Written> = Vec::new();
        for table in root.tables("fixing")? {
            if fixings.len() == MOST_FIXINGS {
                return Err(table.wrong("more than sixteen fixings share the probe", "split the group"));
            }
            let fixing = fixing(&table, &hands)?;
            if fixings.iter().any(|other| other.name == fixing.name) {
                return Err(table.wrong(
                    format!("a second fixing named {}", shown(fixing.name.as_bytes())),
                    "give each its own name",
                ));
            }
            fixings.push(fixing);
        }
        if fixings.is_empty() {
            return Err(root.wrong("no fixing is described", "add a [[fixing]] with its name, hole and actions"));
        }
        Ok(Self {
            trace: root.needed_text("trace")?,
            resin: root.needed_text("resin")?,
            rule,
            uncertainty: root.decimal("uncertainty")?.map_or("1.0".to_owned(), |(value, _)| value.to_string()),
            longest_gap: root.text("longest_gap")?.map_or("5min".to_owned(), |(text, _)| text),
            clock_ppm: root.decimal("clock_ppm")?.map_or("100".to_owned(), |(value, _)| value.to_string()),
            settle: root.text("settle")?.map_or("180s".to_owned(), |(text, _)| text),
            options,
            text: text.to_owned(),
            hands,
            fixings,
        })
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

fn fixing(table: &Table<'_, '_>, hands: &Hands) -> Result<Written, Problem> {
    table.only(FIXING_KEYS)?;
    let name = table.needed_text("name")?;
    let hole = hole(table, "hole")?.ok_or_else(|| table.missing("hole"))?;
    let least = act::torque(table, "torque_least", Hundredths::Up)?;
    let greatest = act::torque(table, "torque_greatest", Hundredths::Down)?;
    let torque = match (least, greatest) {
        (None, None) => None,
        (Some(least), Some(greatest)) => Some(range(table, least, greatest)?),
        (Some(_), None) => return Err(table.missing("torque_greatest")),
        (None, Some(_)) => return Err(table.missing("torque_least")),
    };
    Ok(Written { name, spec: FixingSpec { hole, torque }, acts: Acts::read(table, hands)? })
}

fn range(table: &Table<'_, '_>, least: Torque, greatest: Torque) -> Result<TorqueRange, Problem> {
    TorqueRange::new(least, greatest).ok_or_else(|| {
        table.wrong(
            "torque_least lies above torque_greatest, or both are zero",
            "give the specified torque with its tolerance",
        )
    })
}

fn hole(table: &Table<'_, '_>, key: &str) -> Result<Option<Hole>, Problem> {
    Ok(match table.word(key, &["dry", "wet", "flooded"])? {
        Some("dry") => Some(Hole::Dry),
        Some("wet") => Some(Hole::Wet),
        Some("flooded") => Some(Hole::Flooded),
        Some(_) | None => None,
    })
}

#[cfg(test)]
mod tests;
