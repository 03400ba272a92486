//! The take-off as a table for people.

use super::{GroupNeeds, Spare, TakeOff};
use crate::job::{BlowWith, Length, Volume};
use crate::problem::shown_file;
use crate::words::{CAUTION, DEMO_CAUTION, length};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// The table with its cautions; each line ends with a line feed.
pub fn table(take_off: &TakeOff<'_>) -> String {
    let (file, mut text) = (take_off.file, String::new());
    let _ = writeln!(text, "Take-off: {}, {}", file.job().name, file.job().site);
    let _ = writeln!(text, "Resin: {}", shown_file(file.resin().name()));
    if file.resin().demo() {
        let _ = writeln!(text, "{DEMO_CAUTION}");
    }
    let _ = writeln!(
        text,
        "Spare: {}. Everything is rounded up; each group begins a new cartridge.",
        percent(take_off.spare)
    );
    text.push_str("\nA hole\n");
    text.push_str(&columns(&holes(take_off)));
    text.push_str("\nWhat each group needs\n");
    text.push_str(&columns(&pieces(take_off)));
    text.push_str("\nIn all\n");
    total(take_off, &mut text);
    let notes = notes(take_off);
    if !notes.is_empty() {
        let _ = writeln!(text, "\nLook at\n{notes}");
    } else {
        text.push('\n');
    }
    let _ = writeln!(
        text,
        "Volumes: around the element over its embedment (threads by the stress area of ISO 898-1), below it, and two thirds of\n\
         the hole as the fill. The fill and the rules for air, tubes and centring pieces are common practice without a source;\n\
         the maker's instructions come first.\n\n{CAUTION}"
    );
    text
}

/// `10 %`, `2.5 %`.
fn percent(spare: Spare) -> String {
    let text = format!("{}.{:02}", spare.hundredths() / 100, spare.hundredths() % 100);
    format!("{} %", text.trim_end_matches('0').trim_end_matches('.'))
}

fn row(cells: &[&str]) -> Vec<String> {
    cells.iter().map(|cell| (*cell).to_owned()).collect()
}

fn holes(take_off: &TakeOff<'_>) -> Vec<Vec<String>> {
    let mut rows = vec![row(&[
        "group", "element", "hole", "around", "below", "2/3 fill", "covers", "inject", "to fill", "working",
    ])];
    for needs in &take_off.groups {
        let volumes = &needs.volumes;
        rows.push(vec![
            needs.group.name.clone(),
            needs.group.element.to_string(),
            format!("{} x {} mm", needs.group.drilled.diameter, needs.group.drilled.depth),
            volumes.annulus.to_string(),
            if volumes.below == Volume::ZERO { "-".to_owned() } else { volumes.below.to_string() },
            volumes.fill.to_string(),
            if volumes.fill_covers() { "yes" } else { "NO" }.to_owned(),
            volumes.inject().to_string(),
            needs.filling.seconds.map_or("?".to_owned(), length),
            needs.filling.working.map_or("?".to_owned(), |working| length(u64::from(working.seconds()))),
        ]);
    }
    rows
}

fn pieces(take_off: &TakeOff<'_>) -> Vec<Vec<String>> {
    let header = [
        "group",
        "fixings",
        "with spare",
        "resin",
        "cartridges",
        "nozzles",
        "brushes",
        "tubes",
        "blow with",
        "centring",
    ];
    let mut rows = vec![row(&header)];
    for needs in &take_off.groups {
        let sized = |sized: Option<(Length, u64)>, sign: &str| {
            sized.map_or("-".to_owned(), |(size, number)| format!("{number} x {sign}{size} mm"))
        };
        rows.push(vec![
            needs.group.name.clone(),
            needs.group.number().to_string(),
            needs.holes.to_string(),
            needs.resin.to_string(),
            needs.cartridges.map_or("?".to_owned(), |found| found.cartridges.to_string()),
            needs.cartridges.map_or("?".to_owned(), |found| found.nozzles.to_string()),
            sized(needs.brushes, "Ø"),
            sized(needs.tubes, "≥"),
            blow(needs).to_owned(),
            if needs.centring_pieces == 0 { "-".to_owned() } else { needs.centring_pieces.to_string() },
        ]);
    }
    rows
}

fn blow(needs: &GroupNeeds<'_>) -> &'static str {
    match needs.blow_with {
        Some(BlowWith::HandPump) => "hand pump",
        Some(BlowWith::CompressedAir) => "compressed air",
        None => "-",
    }
}

fn total(take_off: &TakeOff<'_>, text: &mut String) {
    let total = &take_off.total;
    for (element, number) in &total.elements {
        let _ = writeln!(text, "  {number} x {element}");
    }
    let _ = writeln!(text, "  {} of resin in {} holes, without waste", total.resin, total.holes);
    match (total.cartridges, total.nozzles, take_off.file.job().supplies) {
        (Some(cartridges), Some(nozzles), Some(supplies)) => {
            let _ = writeln!(
                text,
                "  {cartridges} x cartridge of {} ml ({} ml of each discarded with its nozzle, {} ml left in it)",
                supplies.cartridge.millilitres(),
                supplies.discard.millilitres(),
                supplies.left.millilitres()
            );
            let _ = writeln!(text, "  {nozzles} x nozzle");
        }
        (_, _, _) => text.push_str("  cartridges and nozzles: not known, the job file has no [supplies]\n"),
    }
    let mut sized = |what: &str, map: &BTreeMap<Length, u64>| {
        for (size, number) in map {
            let _ = writeln!(text, "  {number} x {what}{size} mm");
        }
    };
    sized("brush Ø", &total.brushes);
    sized("extension tube, at least ", &total.tubes);
    if total.hand_pump {
        text.push_str("  a hand pump\n");
    }
    if total.compressed_air {
        text.push_str("  compressed air, 6 bar, oil-free\n");
    }
    if total.centring_pieces > 0 {
        let _ = writeln!(text, "  {} x centring piece", total.centring_pieces);
    }
}

fn notes(take_off: &TakeOff<'_>) -> String {
    let mut text = String::new();
    for needs in &take_off.groups {
        for note in &needs.notes {
            let _ = writeln!(text, "  {}: {}", needs.group.name, note.sentence());
        }
    }
    for (batch, there, needed) in &take_off.short {
        let _ = writeln!(text, "  batch {batch}: there are {there} cartridges, and its groups need {needed}");
    }
    if take_off.groups.iter().any(|needs| needs.brushes.is_some())
        && take_off.file.job().supplies.is_none_or(|supplies| supplies.holes_per_brush.is_none())
    {
        text.push_str(
            "  brushes: one of each is reckoned; they wear, and the job file doesn't say how fast (holes_per_brush)\n",
        );
    }
    text
}

/// Rows in columns two blanks apart: the first column to the left, numbers and the rest likewise.
fn columns(rows: &[Vec<String>]) -> String {
    let width = |column: usize| {
        rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..rows.first().map_or(0, Vec::len)).map(width).collect();
    let mut text = String::new();
    for row in rows {
        let mut line = String::new();
        for (cell, width) in row.iter().zip(&widths) {
            let _ = write!(line, "  {cell:<width$}");
        }
        let _ = writeln!(text, "{}", line.trim_end());
    }
    text
}
