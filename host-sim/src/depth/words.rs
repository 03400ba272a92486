//! A depth check for a person.

use super::{OfFixing, Report};
use crate::words::{CAUTION, DEMO_CAUTION, degrees, ground, laxer_words, length, stage, when};
use holdoff_core::fixing::Status;
use holdoff_core::quantity::{Count, Fine};
use std::fmt::Write;

/// From this share on what is not known of the time before the trace is said aloud.
const MUCH: f64 = 0.2;

/// Writes the check.
pub fn text(report: &Report<'_>) -> String {
    let mut text = String::new();
    if let Some(fixing) = &report.fixing {
        head(&mut text, report, fixing);
    }
    temperatures(&mut text, report);
    assumptions(&mut text, report);
    if let Some(fixing) = &report.fixing {
        let laxer = laxer_words(fixing.group.settings().laxer());
        if !laxer.is_empty() {
            let _ = writeln!(text, "\nLAXER THAN THE DEFAULT: {}. Everything above rests on it.", laxer.join(", "));
        }
        if fixing.demo {
            let _ = writeln!(text, "\n{DEMO_CAUTION}");
        }
    }
    let _ = writeln!(text, "\n{CAUTION}");
    text
}

fn head(text: &mut String, report: &Report<'_>, fixing: &OfFixing<'_>) {
    let stated = fixing.statuses.stated();
    let offset = report.offset_seconds;
    let _ = writeln!(text, "{}", stage(&stated.stage));
    let sentence = match (stated.cured_at, fixing.statuses.face.cured_at) {
        (Some(stated), Some(face)) if stated > face => format!(
            "With the temperature in the hole looked at, it is cured at {}, {} later than by the face alone ({}).",
            when(stated, offset),
            length(stated.since(face).unsigned_abs()),
            when(face, offset)
        ),
        (Some(stated), _) => {
            format!("The temperature in the hole changes nothing: cured at {}, as by the face.", when(stated, offset))
        }
        (None, Some(face)) => format!(
            "By the face alone it was cured at {}. With the temperature in the hole looked at, that cannot be said.",
            when(face, offset)
        ),
        (None, None) => "It is not cured, by the face or in the hole.".to_owned(),
    };
    let _ = writeln!(text, "{sentence}");
    if !stated.grounds.is_empty() {
        let words: Vec<&str> = stated.grounds.iter().map(ground).collect();
        let _ = writeln!(text, "Reasons: {}.", words.join("; "));
    }
    text.push('\n');
    let statuses = &fixing.statuses;
    for (name, status) in [
        ("by the face", &statuses.face),
        ("by the bottom", &statuses.bottom),
        ("by the coldest along the hole", &statuses.along),
    ] {
        let _ = writeln!(text, "  {name:30} {}", one(status, offset));
    }
    let _ = writeln!(text, "  (coldest: the probe's uncertainty taken off)\n");
}

fn one(status: &Status, offset: i32) -> String {
    let coldest = status.coldest.map_or(String::new(), |coldest| format!(", coldest {}", degrees(coldest)));
    match status.cured_at {
        Some(at) => format!("{}, cured at {}{coldest}", status.stage.word(), when(at, offset)),
        None => format!("{}{coldest}", status.stage.word()),
    }
}

fn temperatures(text: &mut String, report: &Report<'_>) {
    let contrast = &report.contrast;
    let count = |count: Count| degrees(count.fine());
    let depth = report.question.depth_mm;
    let most = degrees(Fine::new(contrast.most_counts));
    let at = when(contrast.most_at, report.offset_seconds);
    let _ = writeln!(text, "  bottom of the hole, {depth} mm below the face of {}:", report.trace);
    if contrast.most_counts > 0 {
        let _ = writeln!(text, "    up to {most} colder than the face, at {at}");
    } else {
        let _ = writeln!(text, "    never colder than the face");
    }
    let mean = if contrast.mean >= 0.0 { "colder" } else { "warmer" };
    let _ = writeln!(text, "    on the mean of all readings {:.2} °C {mean} than the face", contrast.mean.abs());
    let (face, bottom) = (count(contrast.coldest_face), count(contrast.coldest_bottom));
    let _ = writeln!(text, "    coldest {bottom}; the face's coldest reading is {face}");
}

fn assumptions(text: &mut String, report: &Report<'_>) {
    let (least, greatest) = report.question.diffusivity;
    let share = report.unknown_share();
    let then = if report.fixing.is_some() { "at the injection" } else { "at the end of the trace" };
    let origin = if report.question.before.is_some() { "as given" } else { "as cold as the coldest reading" };
    let _ = writeln!(text, "  taken as:");
    let _ = writeln!(text, "    diffusivity {least} to {greatest} mm²/s, the worst of the range at every reading");
    let _ = writeln!(text, "    before the first reading the concrete at {:.2} °C, {origin};", report.below.before);
    let _ = writeln!(text, "    {then} up to {:.0} % of the bottom's temperature rest on that", (share * 100.0).ceil());
    if report.below.gaps > 0 {
        let _ = writeln!(
            text,
            "    stretches without readings ({}): the face as cold as that, or as the readings about them",
            report.below.gaps
        );
    }
    if share > MUCH {
        let _ = writeln!(
            text,
            "  The trace begins too late for this depth: if the concrete was colder before, the bottom was so too.\n  Give \
             --before, a trace that begins days earlier, or a reading at the bottom of the hole."
        );
    }
    let _ = writeln!(
        text,
        "  An aid that can only make the answer later: one-dimensional conduction behind a plane face. Near edges and\n  \
         corners, and in steel or thin members, it is colder sooner. A reading at the bottom of the hole is worth more."
    );
}
