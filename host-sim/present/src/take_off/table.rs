//! The take-off as a table for people.

use crate::job;
use crate::words::{JobPhrase, Speech, TakeOffPhrase as P};
use holdoff_files::job::{BlowWith, Length, Volume};
use holdoff_files::problem::shown_file;
use holdoff_site::take_off::{GroupNeeds, Note, Spare, TakeOff};
use std::fmt::Write as _;

/// The table with its cautions; each line ends with a line feed.
pub fn table(take_off: &TakeOff<'_>, speech: Speech) -> String {
    let (file, mut text) = (take_off.file, String::new());
    let _ = writeln!(text, "{}", speech.fill(P::Head, &[("job", &file.job().name), ("site", &file.job().site)]));
    let _ = writeln!(text, "{}", speech.fill(JobPhrase::Resin, &[("resin", &shown_file(file.resin().name()))]));
    if file.resin().demo() {
        let _ = writeln!(text, "{}", speech.demo_caution());
    }
    let _ = writeln!(text, "{}", speech.fill(P::Spare, &[("percent", &percent(take_off.spare, speech))]));
    let _ = writeln!(text, "\n{}\n{}", speech.say(P::AHole), columns(&holes(take_off, speech)).trim_end());
    let _ = writeln!(text, "\n{}\n{}", speech.say(P::EachGroup), columns(&pieces(take_off, speech)).trim_end());
    let _ = writeln!(text, "\n{}", speech.say(P::InAll));
    total(take_off, speech, &mut text);
    let notes = notes(take_off, speech);
    if !notes.is_empty() {
        let _ = writeln!(text, "\n{}\n{notes}", speech.say(P::LookAt));
    } else {
        text.push('\n');
    }
    let _ = writeln!(text, "{}\n\n{}", speech.say(P::Volumes), speech.caution());
    text
}

/// `10`, `2.5`.
fn percent(spare: Spare, speech: Speech) -> String {
    let text = format!("{}.{:02}", spare.hundredths() / 100, spare.hundredths() % 100);
    speech.decimal(text.trim_end_matches('0').trim_end_matches('.'))
}

fn header(speech: Speech, heads: &[P]) -> Vec<String> {
    heads.iter().map(|head| speech.say(*head).to_owned()).collect()
}

fn holes(take_off: &TakeOff<'_>, speech: Speech) -> Vec<Vec<String>> {
    let heads =
        [P::Group, P::Element, P::Hole, P::Around, P::Below, P::Fill, P::Covers, P::Inject, P::ToFill, P::Working];
    let mut rows = vec![header(speech, &heads)];
    for needs in &take_off.groups {
        let (volumes, drilled) = (&needs.volumes, &needs.group.drilled);
        rows.push(vec![
            needs.group.name.clone(),
            job::element(speech, &needs.group.element),
            format!("{} x {} mm", speech.decimal(drilled.diameter), speech.decimal(drilled.depth)),
            speech.decimal(volumes.annulus),
            if volumes.below == Volume::ZERO { "-".to_owned() } else { speech.decimal(volumes.below) },
            speech.decimal(volumes.fill),
            speech.say(if volumes.fill_covers() { P::Yes } else { P::No }).to_owned(),
            speech.decimal(volumes.inject()),
            needs.filling.seconds.map_or("?".to_owned(), |seconds| speech.length(seconds)),
            needs.filling.working.map_or("?".to_owned(), |working| speech.length(u64::from(working.seconds()))),
        ]);
    }
    rows
}

fn pieces(take_off: &TakeOff<'_>, speech: Speech) -> Vec<Vec<String>> {
    let heads = [
        P::Group,
        P::Fixings,
        P::WithSpare,
        P::Resin,
        P::Cartridges,
        P::Nozzles,
        P::Brushes,
        P::Tubes,
        P::BlowWith,
        P::Centring,
    ];
    let mut rows = vec![header(speech, &heads)];
    for needs in &take_off.groups {
        let sized = |sized: Option<(Length, u64)>, sign: &str| {
            sized.map_or("-".to_owned(), |(size, number)| format!("{number} x {sign}{} mm", speech.decimal(size)))
        };
        rows.push(vec![
            needs.group.name.clone(),
            needs.group.number().to_string(),
            needs.holes.to_string(),
            speech.decimal(needs.resin),
            needs.cartridges.map_or("?".to_owned(), |found| found.cartridges.to_string()),
            needs.cartridges.map_or("?".to_owned(), |found| found.nozzles.to_string()),
            sized(needs.brushes, "Ø"),
            sized(needs.tubes, "≥"),
            blow(needs, speech).to_owned(),
            if needs.centring_pieces == 0 { "-".to_owned() } else { needs.centring_pieces.to_string() },
        ]);
    }
    rows
}

fn blow(needs: &GroupNeeds<'_>, speech: Speech) -> &'static str {
    match needs.blow_with {
        Some(BlowWith::HandPump) => speech.say(P::HandPump),
        Some(BlowWith::CompressedAir) => speech.say(P::CompressedAir),
        None => "-",
    }
}

fn total(take_off: &TakeOff<'_>, speech: Speech, text: &mut String) {
    let total = &take_off.total;
    let mut line = |words: &str| {
        let _ = writeln!(text, "  {words}");
    };
    for (element, number) in total.elements.values() {
        line(&format!("{number} x {}", job::element(speech, element)));
    }
    let counted = |phrase: P, number: u64| speech.fill(phrase, &[("number", &number.to_string())]);
    let (volume, number) = (speech.decimal(total.resin), total.holes.to_string());
    line(&speech.fill(P::OfResin, &[("volume", &volume), ("number", &number)]));
    match (total.cartridges, total.nozzles, take_off.file.job().supplies) {
        (Some(cartridges), Some(nozzles), Some(supplies)) => {
            let number = cartridges.to_string();
            let [volume, discard, left] = [supplies.cartridge, supplies.discard, supplies.left]
                .map(|volume| speech.decimal(volume.millilitres()));
            let gaps = [("number", &*number), ("volume", &*volume), ("discard", &*discard), ("left", &*left)];
            line(&speech.fill(P::OfCartridges, &gaps));
            line(&counted(P::OfNozzles, nozzles));
        }
        (_, _, _) => line(speech.say(P::SuppliesUnknown)),
    }
    for (phrase, map) in [(P::OfBrushes, &total.brushes), (P::OfTubes, &total.tubes)] {
        for (size, number) in map {
            line(&speech.fill(phrase, &[("number", &number.to_string()), ("size", &speech.decimal(size))]));
        }
    }
    if total.hand_pump {
        line(speech.say(P::OneHandPump));
    }
    if total.compressed_air {
        line(speech.say(P::OilFreeAir));
    }
    if total.centring_pieces > 0 {
        line(&counted(P::OfCentring, total.centring_pieces));
    }
}

fn notes(take_off: &TakeOff<'_>, speech: Speech) -> String {
    let mut text = String::new();
    let mut line = |words: &str| {
        let _ = writeln!(text, "  {words}");
    };
    for needs in &take_off.groups {
        for note in &needs.notes {
            let gaps = [("group", needs.group.name.as_str()), ("note", speech.say(phrase(note)))];
            line(&speech.fill(P::Note, &gaps));
        }
    }
    for (batch, there, needed) in &take_off.short {
        let (there, needed) = (there.to_string(), needed.to_string());
        line(&speech.fill(P::Short, &[("batch", batch), ("there", &there), ("needed", &needed)]));
    }
    if take_off.groups.iter().any(|needs| needs.brushes.is_some())
        && take_off.file.job().supplies.is_none_or(|supplies| supplies.holes_per_brush.is_none())
    {
        line(speech.say(P::BrushesWear));
    }
    text
}

const fn phrase(note: &Note) -> P {
    match note {
        Note::FillTooSmall => P::FillTooSmall,
        Note::FillTooSlow => P::FillTooSlow,
        Note::LittleTimeLeft => P::LittleTimeLeft,
        Note::CartridgeChange => P::CartridgeChange,
        Note::HandPump => P::PumpPrescribed,
        Note::NoTemperature => P::NoTemperature,
        Note::NoPumpingRate => P::NoPumpingRate,
    }
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
