//! The check for a person.

use super::sentence::{apart, cells, decides, first_line, heads, judged, on_day, reading};
use super::{Check, Report};
use crate::words::{ProbePhrase as P, Rounding, Speech};
use holdoff_site::calibration::{Reckoned, Row};
use std::fmt::Write;

/// Writes the check.
pub fn text(report: &Report<'_>, speech: Speech) -> String {
    let calibration = report.calibration;
    let mut text = format!("{}\n", first_line(speech, calibration));
    if let (Some(least), Some(greatest)) = (calibration.points.first(), calibration.points.last()) {
        let number = calibration.points.len().to_string();
        let [least, greatest] = [least, greatest].map(|point| reading(speech, point.reading));
        let gaps = [("number", number.as_str()), ("least", &least), ("greatest", &greatest)];
        let _ = writeln!(text, "{}", speech.fill(P::Points, &gaps));
    }
    let _ = writeln!(text, "{}", on_day(speech, calibration, report.on).1);
    for check in &report.checks {
        one(&mut text, report, check, speech);
    }
    let _ = writeln!(text, "\n{}\n{}", speech.say(P::NotApplied), speech.say(P::LeftOut));
    if report.checks.iter().any(|check| check.demo) {
        let _ = writeln!(text, "\n{}", speech.demo_caution());
    }
    let _ = writeln!(text, "\n{}", speech.caution());
    text
}

fn one(text: &mut String, report: &Report<'_>, check: &Check<'_>, speech: Speech) {
    let head = match check.resin {
        Some(resin) => speech.fill(P::OfResin, &[("resin", resin)]),
        None => speech.say(P::AtPoints).to_owned(),
    };
    let _ = writeln!(text, "\n{head}{}", speech.colon().trim_end());
    let heads = heads(speech);
    let width = |head: &str| head.chars().count().max(11);
    let _ = write!(text, " ");
    for (place, head) in heads.iter().enumerate() {
        let _ = if place < 4 { write!(text, " {head:>width$}", width = width(head)) } else { write!(text, "  {head}") };
    }
    text.push('\n');
    for row in &check.rows {
        let (at, found) = cells(speech, row);
        let _ = write!(text, "  {at:>width$}", width = heads.first().map_or(0, |head| width(head)));
        match found {
            Some(found) => {
                for (cell, head) in found.iter().zip(heads.iter().skip(1)) {
                    let _ = write!(text, " {cell:>width$}", width = width(head));
                }
            }
            None => {
                let _ = write!(text, "  {}", speech.say(P::Outside));
            }
        }
        let _ = writeln!(text, "  {}", decides(speech, row));
    }
    let _ = writeln!(text, "{}", judged(speech, &check.rows, check.job).1);
    let most = check.rows.iter().filter_map(|row| Some((row, row.reckoned?)));
    if let Some((row, found)) = most.max_by_key(|(_, found)| found.needed()) {
        terms(text, report, (row, &found), speech);
    }
}

/// Each term with its source.
fn terms(text: &mut String, report: &Report<'_>, (row, found): (&Row, &Reckoned), speech: Speech) {
    let given = &found.terms;
    let value = |parts: i64| apart(speech, parts, Rounding::Up);
    let of = |phrase: P, parts: i64| {
        let (value, reference) = (value(parts), report.calibration.reference.as_str());
        speech.fill(phrase, &[("value", &value), ("reference", reference)])
    };
    let scatter = match given.repeatability {
        0 => speech.say(P::TermNoRepeatability).to_owned(),
        parts => of(P::TermRepeatability, parts),
    };
    let head = speech.fill(P::Terms, &[("reading", &reading(speech, row.at))]);
    let _ = writeln!(text, "{head}{}", speech.colon().trim_end());
    let lines = [
        (of(P::TermReference, given.reference), "JCGM 100:2008, 4.3.3"),
        (of(P::TermPoint, given.point), "JCGM 100:2008, 4.3.3"),
        (of(P::TermResolution, given.resolution), "JCGM 100:2008, F.2.2.1"),
        (scatter, "JCGM 100:2008, 4.2.2"),
        (of(P::TermBetween, given.between), "JCGM 100:2008, 4.3.7"),
        (
            format!("{}{}{}", speech.say(P::TermSum), speech.colon(), value(found.expanded)),
            "JCGM 100:2008, 5.1.2, 6.2.1",
        ),
    ];
    for (line, source) in lines {
        let _ = writeln!(text, "  {line} [{source}]");
    }
}
