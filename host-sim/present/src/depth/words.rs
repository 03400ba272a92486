//! A depth check for a person.

use crate::words::{AccountPhrase, DepthPhrase as P, Speech, TemperatureUnit};
use holdoff_core::fixing::Status;
use holdoff_core::log::StageWord;
use holdoff_core::quantity::{Count, Fine};
use holdoff_site::depth::{OfFixing, Report};
use std::fmt::Write;

/// From this share on what is not known of the time before the trace is said aloud.
const MUCH: f64 = 0.2;

/// Writes the check.
pub fn text(report: &Report<'_>, speech: Speech) -> String {
    let mut text = speech.head(report.seen);
    if let Some(fixing) = &report.fixing {
        head(&mut text, report, fixing, speech);
    }
    temperatures(&mut text, report, speech);
    assumptions(&mut text, report, speech);
    if let Some(fixing) = &report.fixing {
        let laxer = speech.laxer(fixing.group.settings().laxer());
        if !laxer.is_empty() {
            let _ = writeln!(text, "\n{}", speech.fill(AccountPhrase::Laxer, &[("which", &laxer.join(", "))]));
        }
        if fixing.demo {
            let _ = writeln!(text, "\n{}", speech.demo_caution());
        }
    }
    let _ = writeln!(text, "\n{}", speech.caution());
    text
}

fn head(text: &mut String, report: &Report<'_>, fixing: &OfFixing<'_>, speech: Speech) {
    let stated = fixing.statuses.stated();
    let offset = report.offset_seconds;
    let _ = writeln!(text, "{}", speech.headline(StageWord::of(&stated.stage)));
    let sentence = match (stated.cured_at, fixing.statuses.face.cured_at) {
        (Some(stated), Some(face)) if stated > face => {
            let later = speech.length(stated.since(face).unsigned_abs());
            let (stated, face) = (speech.when(stated, offset), speech.when(face, offset));
            speech.fill(P::Later, &[("stated", &stated), ("later", &later), ("face", &face)])
        }
        (Some(stated), _) => speech.fill(P::Same, &[("stated", &speech.when(stated, offset))]),
        (None, Some(face)) => speech.fill(P::OnlyFace, &[("face", &speech.when(face, offset))]),
        (None, None) => speech.say(P::NotCured).to_owned(),
    };
    let _ = writeln!(text, "{sentence}");
    if !stated.grounds.is_empty() {
        let _ = writeln!(text, "{}", speech.fill(P::Reasons, &[("reasons", &speech.grounds(stated.grounds))]));
    }
    text.push('\n');
    let statuses = &fixing.statuses;
    let names = [P::ByFace, P::ByBottom, P::ByAlong].map(|name| speech.say(name).chars().count());
    let width = names.into_iter().max().unwrap_or(0).max(30);
    for (name, status) in [(P::ByFace, &statuses.face), (P::ByBottom, &statuses.bottom), (P::ByAlong, &statuses.along)]
    {
        let _ = writeln!(text, "  {:width$} {}", speech.say(name), one(status, offset, speech));
    }
    let _ = writeln!(text, "  {}\n", speech.say(P::UncertaintyOff));
}

fn one(status: &Status, offset: i32, speech: Speech) -> String {
    let what = match status.cured_at {
        Some(at) => speech.fill(P::CuredAt, &[("time", &speech.when(at, offset))]),
        None => speech.stage(StageWord::of(&status.stage)).to_owned(),
    };
    match status.coldest {
        Some(coldest) => speech.fill(P::WithColdest, &[("what", &what), ("degrees", &speech.degrees(coldest))]),
        None => what,
    }
}

fn temperatures(text: &mut String, report: &Report<'_>, speech: Speech) {
    let contrast = &report.contrast;
    let count = |count: Count| speech.degrees(count.fine());
    let gaps = [("depth", &*report.question.depth_mm.to_string()), ("trace", report.trace)];
    let _ = writeln!(text, "  {}", speech.fill(P::Bottom, &gaps));
    let most = if contrast.most_counts > 0 {
        let degrees = speech.degrees_apart(Fine::new(contrast.most_counts));
        let time = speech.when(contrast.most_at, report.offset_seconds);
        speech.fill(P::UpTo, &[("degrees", &degrees), ("time", &time)])
    } else {
        speech.say(P::NeverColder).to_owned()
    };
    let mean = if contrast.mean >= 0.0 { P::MeanColder } else { P::MeanWarmer };
    let mean = speech.fill(mean, &[("degrees", &apart(contrast.mean.abs(), speech))]);
    let (face, bottom) = (count(contrast.coldest_face), count(contrast.coldest_bottom));
    let coldest = speech.fill(P::Coldest, &[("bottom", &bottom), ("face", &face)]);
    let _ = writeln!(text, "    {most}\n    {mean}\n    {coldest}");
    let _ = writeln!(text, "  {}", speech.read_as(&report.seen.read_as));
}

fn assumptions(text: &mut String, report: &Report<'_>, speech: Speech) {
    let (least, greatest) = report.question.diffusivity;
    let share = report.unknown_share();
    let _ = writeln!(text, "  {}", speech.say(P::TakenAs));
    let mut line = |words: String| {
        let _ = writeln!(text, "    {words}");
    };
    line(speech.fill(P::Diffusivity, &[("least", &speech.decimal(least)), ("greatest", &speech.decimal(greatest))]));
    let before = if report.question.before.is_some() { P::BeforeGiven } else { P::BeforeColdest };
    line(speech.fill(before, &[("degrees", &speech.calculated(report.below.before, 2))]));
    let rest = if report.fixing.is_some() { P::RestAtInjection } else { P::RestAtEnd };
    line(speech.fill(rest, &[("percent", &format!("{:.0}", (share * 100.0).ceil()))]));
    if report.below.gaps > 0 {
        line(speech.fill(P::Gaps, &[("number", &report.below.gaps.to_string())]));
    }
    if share > MUCH {
        let late = if report.question.before.is_some() { P::TooLateGiven } else { P::TooLate };
        let _ = writeln!(text, "  {}", speech.say(late));
    }
    let _ = writeln!(text, "  {}", speech.say(P::Aid));
}

/// A difference of calculated temperatures to two decimals, for reading only.
fn apart(celsius: f64, speech: Speech) -> String {
    let difference = match speech.temperature {
        TemperatureUnit::Celsius => celsius,
        TemperatureUnit::Fahrenheit => celsius * 1.8,
    };
    format!("{} {}", speech.decimal(format!("{difference:.2}")), speech.temperature.sign())
}
