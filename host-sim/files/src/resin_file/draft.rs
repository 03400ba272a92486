//! What a resin file says, value by value, before anything is compared with anything.
//!
//! A value that could not be read is absent, with its finding noted; checks look at what is there.

use super::Findings;
use crate::decimal::Decimal;
use crate::problem::shown;
pub(super) use crate::toml_file::At;
use crate::toml_file::{HOLES, Need, Table, document, wrong_kind};
use holdoff_core::quantity::Span;
use holdoff_core::resin::{GREATEST_WET_FACTOR, Holes, LEAST_WET_FACTOR};
use std::cmp::Ordering;
use std::ops::Range;
use toml::de::DeValue;

/// One `[[band]]`.
#[derive(Clone, Debug)]
pub(super) struct BandDraft {
    pub(super) span: Range<usize>,
    pub(super) from: Option<At<Decimal>>,
    pub(super) working: Option<At<Span>>,
    pub(super) cure: Option<At<Span>>,
}

/// What the file says.
#[derive(Clone, Debug, Default)]
pub(super) struct Draft {
    pub(super) name: Option<At<String>>,
    pub(super) demo: Option<At<bool>>,
    pub(super) install_least: Option<At<Decimal>>,
    pub(super) install_greatest: Option<At<Decimal>>,
    pub(super) cure_least: Option<At<Decimal>>,
    pub(super) cure_greatest: Option<At<Decimal>>,
    pub(super) reject_below: Option<At<Decimal>>,
    pub(super) reject_above: Option<At<Decimal>>,
    pub(super) longest_hold: Option<At<Span>>,
    pub(super) cartridge_least: Option<At<Decimal>>,
    pub(super) cartridge_greatest: Option<At<Decimal>>,
    pub(super) holes: Option<At<Holes>>,
    pub(super) wet_factor: Option<At<u8>>,
    pub(super) accrual: Option<At<bool>>,
    pub(super) bands: Vec<BandDraft>,
    /// Header of `[substrate]`, for what concerns all of it.
    pub(super) substrate: Range<usize>,
}

/// Reads the values. `None` when the text is no TOML; what is wrong is in the findings either way.
pub(super) fn read(text: &str, findings: &mut Findings) -> Option<Draft> {
    let document = document(text, findings)?;
    let root = Table::new(document.get_ref(), 0..0, "the file", example);
    root.only(&["name", "demo", "substrate", "cartridge", "hole", "accrual", "band"], findings);
    let mut draft = Draft {
        name: root.text("name", Need::Required, findings),
        demo: root.yes_or_no("demo", Need::Optional, findings),
        ..Draft::default()
    };
    if let Some(table) = root.table("substrate", "[substrate]", findings) {
        substrate(&table, &mut draft, findings);
    }
    if let Some(table) = root.table("cartridge", "[cartridge]", findings) {
        table.only(&["least", "greatest"], findings);
        draft.cartridge_least = table.degrees("least", Need::Required, findings);
        draft.cartridge_greatest = table.degrees("greatest", Need::Required, findings);
    }
    if let Some(table) = root.table("hole", "[hole]", findings) {
        table.only(&["allowed", "wet_factor"], findings);
        draft.holes = holes(&table, findings);
        draft.wet_factor = wet_factor(&table, findings);
    }
    if let Some(table) = root.table("accrual", "[accrual]", findings) {
        table.only(&["permitted"], findings);
        draft.accrual = table.yes_or_no("permitted", Need::Required, findings);
    }
    draft.bands = bands(&root, findings);
    Some(draft)
}

fn substrate(table: &Table<'_, '_>, draft: &mut Draft, findings: &mut Findings) {
    let limits = ["install_least", "install_greatest", "cure_least", "cure_greatest"];
    table.only(&[&limits[..], &["reject_below", "reject_above", "longest_hold"]].concat(), findings);
    draft.substrate = table.span.clone();
    draft.install_least = table.degrees("install_least", Need::Required, findings);
    draft.install_greatest = table.degrees("install_greatest", Need::Required, findings);
    draft.cure_least = table.degrees("cure_least", Need::Required, findings);
    draft.cure_greatest = table.degrees("cure_greatest", Need::Required, findings);
    draft.reject_below = table.degrees("reject_below", Need::Optional, findings);
    draft.reject_above = table.degrees("reject_above", Need::Optional, findings);
    draft.longest_hold = table.duration("longest_hold", Need::Optional, findings);
}

fn holes(table: &Table<'_, '_>, findings: &mut Findings) -> Option<At<Holes>> {
    let remedy = "list one or more of \"dry\", \"wet\" and \"flooded\"";
    let (value, span) = table.value("allowed", Need::Required, findings)?;
    let DeValue::Array(list) = value else { return wrong_kind("allowed", value, span, "a list", remedy, findings) };
    if list.is_empty() {
        findings.error(span, "no hole condition is allowed", remedy);
        return None;
    }
    let (mut allowed, mut good) = (Holes::NONE, true);
    for entry in list.iter() {
        let hole = match entry.get_ref() {
            DeValue::String(text) => {
                let hole = HOLES.iter().find(|(word, _)| word == text).map(|(_, hole)| *hole);
                if hole.is_none() {
                    findings.error(entry.span(), format!("{} is no hole condition", shown(text.as_bytes())), remedy);
                }
                hole
            }
            other => wrong_kind("a hole condition", other, entry.span(), "a text", remedy, findings),
        };
        let Some(hole) = hole else {
            good = false;
            continue;
        };
        if allowed.allows(hole) {
            findings.warn(entry.span(), "the hole condition is listed twice", "remove one of them");
        }
        allowed = allowed.with(hole);
    }
    good.then_some(At { value: allowed, span })
}

fn wet_factor(table: &Table<'_, '_>, findings: &mut Findings) -> Option<At<u8>> {
    let number = table.number("wet_factor", Need::Required, findings)?;
    let found = (LEAST_WET_FACTOR..=GREATEST_WET_FACTOR)
        .find(|factor| number.value.cmp_whole(i64::from(*factor)) == Ordering::Equal);
    if found.is_none() {
        let what = format!(
            "the wet factor {} is no whole number from {LEAST_WET_FACTOR} to {GREATEST_WET_FACTOR}",
            number.value
        );
        findings.error(
            number.span.clone(),
            what,
            "in a wet hole the cure time is at least doubled: write 2 or the maker's factor",
        );
    }
    found.map(|value| At { value, span: number.span })
}

fn bands(root: &Table<'_, '_>, findings: &mut Findings) -> Vec<BandDraft> {
    let remedy = "write [[band]], in double brackets, above each band";
    let Some((value, span)) = root.value("band", Need::Required, findings) else { return Vec::new() };
    let DeValue::Array(list) = value else {
        wrong_kind::<()>("band", value, span, "a list of bands", remedy, findings);
        return Vec::new();
    };
    if list.is_empty() {
        findings.error(span, "there is no band", remedy);
    }
    let mut made = Vec::new();
    for entry in list.iter() {
        let DeValue::Table(entries) = entry.get_ref() else {
            wrong_kind::<()>("a band", entry.get_ref(), entry.span(), "a table", remedy, findings);
            continue;
        };
        let table = Table::new(entries, entry.span(), "[[band]]", example);
        table.only(&["from", "working", "cure"], findings);
        made.push(BandDraft {
            span: entry.span(),
            from: table.degrees("from", Need::Required, findings),
            working: table.duration("working", Need::Required, findings),
            cure: table.duration("cure", Need::Required, findings),
        });
    }
    made
}

/// How a key is written.
fn example(key: &str) -> String {
    let value = match key {
        "name" => "\"the resin's name\"",
        "demo" | "permitted" => "false",
        "allowed" => "[\"dry\", \"wet\"]",
        "wet_factor" => "2",
        "working" => "\"90min\"",
        "cure" => "\"24h\"",
        "longest_hold" => "\"12h\"",
        "substrate" | "cartridge" | "hole" | "accrual" => return format!("[{key}] with its keys below it"),
        "band" => return "[[band]] with from, working and cure below it, once for each band".to_owned(),
        _ => "5.0",
    };
    format!("{key} = {value}")
}
