//! The invented schedule S1 that published and computed check values are taken through, and histories over it.
//!
//! S1, minutes in a dry hole, lower edge inclusive: [-5, 0) 1440, [0, 5) 720, [5, 10) 360, [10, 20) 180, [20, 30) 90,
//! [30, 40) 60; else not permitted. A wet hole doubles. No published cure-time table is free of a product, hence an
//! invented one. Working times are 30 min throughout: the check values say nothing of them.

use crate::reference::{Act, Decimal, History, Hole, RefBand, RefDemands, RefResin, RefSettings, Row, RowKind, Rule};
use num::BigRational;

/// Edges in °C and cure times in minutes of S1.
pub const S1: [(&str, u64); 6] = [("-5", 1440), ("0", 720), ("5", 360), ("10", 180), ("20", 90), ("30", 60)];

/// The value of a decimal text, °C.
///
/// # Panics
/// When the text is no decimal.
pub fn celsius(text: &str) -> BigRational {
    Decimal::parse(text).unwrap_or_else(|| panic!("{text} is no decimal")).into_value()
}

/// S1 as a resin: substrate limits -5 to 40 °C, no reject temperature, no longest hold.
pub fn s1() -> RefResin {
    RefResin {
        install_least: celsius("-5"),
        install_greatest: celsius("40"),
        cure_least: celsius("-5"),
        cure_greatest: celsius("40"),
        reject_below: None,
        reject_above: None,
        longest_hold: None,
        cartridge_least: celsius("5"),
        cartridge_greatest: celsius("35"),
        allowed: vec![Hole::Dry, Hole::Wet, Hole::Flooded],
        wet_factor: 2,
        bands: S1
            .iter()
            .map(|(from, minutes)| RefBand { from: celsius(from), working: 1800, cure: minutes * 60 })
            .collect(),
    }
}

/// Settings from U in °C, longest gap in seconds and clock allowance in parts per million. The probe need not settle (R6).
pub fn settings(uncertainty: &str, longest_gap: u64, clock_ppm: u64) -> RefSettings {
    RefSettings { uncertainty: celsius(uncertainty), longest_gap, clock_ppm, settle: 0 }
}

/// A fixing that is injected and seated at these seconds and then left alone, under S1.
pub fn plain(rows: Vec<RowKind>, settings: RefSettings, hole: Hole, rule: Rule, (inject, seat): (i64, i64)) -> History {
    let acts =
        vec![Act::Inject { at: inject, in_hole: None, cartridge: None, use_by_end: None }, Act::Seat { at: seat }];
    let (demands, neighbour) = (RefDemands::none(), Vec::new());
    History { resin: s1(), settings, hole, rule, rows, acts, torque: None, demands, neighbour }
}

/// A row.
pub fn reading(at: i64, temperature: &str) -> RowKind {
    RowKind::Reading(Row { at, temperature: Some(celsius(temperature)) })
}

/// Rows at an even spacing: each level lasts so many seconds, and the last row repeats the last level.
///
/// The lower of two readings holds between them, so a level that is followed by a warmer one lasts up to the warmer
/// one's first row.
pub fn levels(spacing: i64, levels: &[(i64, &str)]) -> Vec<RowKind> {
    let mut rows = Vec::new();
    let mut at = 0;
    for (seconds, temperature) in levels {
        for _ in 0..seconds / spacing {
            rows.push(reading(at, temperature));
            at += spacing;
        }
    }
    rows.extend(levels.last().map(|(_, temperature)| reading(at, temperature)));
    rows
}
