//! `holdoff resin check FILE`: the schedule as it was understood, to be held beside the maker's printed sheet.
//!
//! The schedule goes to standard output; what is wrong or looks odd goes to standard error, each with its place in the
//! file. A file that can be used ends with status 0, however odd it looks; one that can't with 3 and nothing on standard
//! output.

use super::Streams;
use super::speech::SpeechArguments;
use holdoff_core::cure::Uncertainty;
use holdoff_core::quantity::Span;
use holdoff_core::resin::{Accrual, Hole};
use holdoff_disk::resin_text;
use holdoff_files::decimal::Decimal;
use holdoff_files::duration::format;
use holdoff_files::kinetics::{GREATEST, LEAST, Step, Times, steps, suspicions};
use holdoff_files::problem::{Exit, Problem, shown_file};
use holdoff_files::resin_file::{Findings, ResinFile};
use holdoff_present::words::{ResinPhrase as P, Speech, TemperatureUnit, fahrenheit, rounded};
use std::fmt::Write as _;

/// `holdoff resin check`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The resin file (TOML)
    #[arg(value_name = "FILE.toml")]
    file: String,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let text = resin_text(&arguments.file)?;
    let (shown, findings, exit) = check(&arguments.file, &text, arguments.speech.speech());
    streams.show(&findings);
    Ok(if exit == Exit::Ran { streams.print(&shown) } else { exit })
}

/// What is printed of a file (nothing when it can't be used), what was found in it, and how that ends.
fn check(file: &str, text: &str, speech: Speech) -> (String, Findings, Exit) {
    let resin = match ResinFile::examine(file, text) {
        Ok(resin) => resin,
        Err(findings) => return (String::new(), findings, Exit::Unusable),
    };
    let mut findings = resin.findings().clone();
    for suspicion in suspicions(&resin.exact().bands) {
        let Some(band) = resin.exact().bands.get(suspicion.step.band) else { continue };
        let at = match suspicion.times {
            Times::Working => band.working_at.clone(),
            Times::Cure => band.cure_at.clone(),
        };
        let remedy = "compare this band and its neighbours with the maker's printed sheet, digit by digit";
        findings.warn(at, suspicion.to_string(), remedy);
    }
    (account(file, &resin, findings.iter().count(), speech), findings, Exit::Ran)
}

fn account(file: &str, resin: &ResinFile, odd: usize, speech: Speech) -> String {
    let mut text = String::new();
    let gaps = [("resin", &*visible(resin.name())), ("file", &*shown_file(file))];
    let _ = writeln!(text, "{}\n", speech.fill(P::Head, &gaps));
    if resin.demo() {
        let _ = writeln!(text, "{}\n", speech.demo_caution());
    }
    let _ = writeln!(text, "{}", speech.say(P::Schedule));
    text.push_str(&table(resin, speech));
    let _ = writeln!(text, "\n{}", speech.say(P::Limits));
    for line in limits(resin, speech) {
        let _ = writeln!(text, "  {line}");
    }
    let _ = writeln!(text, "\n{}", plausibility(resin, speech));
    let things = match odd {
        0 => speech.say(P::NothingOdd).to_owned(),
        1 => speech.say(P::OneOdd).to_owned(),
        more => speech.fill(P::ManyOdd, &[("number", &more.to_string())]),
    };
    let _ = writeln!(text, "{things} {}\n\n{}", speech.say(P::Compare), speech.caution());
    text
}

fn visible(name: &str) -> String {
    shown_file(name) // the same care as for a file's name
}

/// A duration as the file writes it, with the language's sign of a day.
fn length(speech: Speech, span: Span) -> String {
    format(span).replace('d', speech.language.day())
}

/// A temperature without its unit: the file's decimal in °C; in °F to 0.01, for reading only.
fn bare(speech: Speech, celsius: &Decimal) -> String {
    match speech.temperature {
        TemperatureUnit::Celsius => speech.decimal(celsius),
        TemperatureUnit::Fahrenheit => {
            let text = rounded(fahrenheit(celsius.to_f64()), 2);
            speech.decimal(text.trim_end_matches('0').trim_end_matches('.'))
        }
    }
}

fn degrees(speech: Speech, celsius: &Decimal) -> String {
    format!("{} {}", bare(speech, celsius), speech.temperature.sign())
}

fn table(resin: &ResinFile, speech: Speech) -> String {
    let (wet, flooded) = (resin.resin().holes().allows(Hole::Wet), resin.resin().holes().allows(Hole::Flooded));
    let longer = match (wet, flooded) {
        (true, true) => Some(P::CureWetOrFlooded),
        (true, false) => Some(P::CureWet),
        (false, true) => Some(P::CureFlooded),
        (false, false) => None,
    };
    let head = |word: P| speech.say(word).to_owned();
    let mut rows = vec![[head(P::From), head(P::Working), head(P::CureDry), longer.map(head).unwrap_or_default()]];
    for band in &resin.exact().bands {
        let factor = u32::from(resin.resin().factor(Hole::Wet));
        // at most 14 days times 10
        let wet = longer.map(|_| length(speech, Span::from_seconds(band.cure.seconds().saturating_mul(factor))));
        let dry = if resin.resin().holes().allows(Hole::Dry) { length(speech, band.cure) } else { "-".to_owned() };
        rows.push([degrees(speech, &band.from), length(speech, band.working), dry, wet.unwrap_or_default()]);
    }
    let mut text = String::new();
    for row in &rows {
        let mut line = String::from(" ");
        for (column, cell) in row.iter().enumerate() {
            let width =
                rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max().unwrap_or(0);
            let _ = write!(line, " {cell:>width$}  ");
        }
        let _ = writeln!(text, "{}", line.trim_end());
    }
    text
}

fn limits(resin: &ResinFile, speech: Speech) -> Vec<String> {
    let exact = resin.exact();
    let range = |phrase: P, least: &Decimal, greatest: &Decimal| {
        speech.fill(phrase, &[("least", &bare(speech, least)), ("greatest", &degrees(speech, greatest))])
    };
    let mut lines = vec![
        range(P::Install, &exact.install_least, &exact.install_greatest),
        range(P::Counted, resin.coldest_usable_edge(), &exact.cure_greatest),
    ];
    lines.push(match (&exact.reject_below, &exact.reject_above) {
        (Some(below), Some(above)) => {
            speech.fill(P::RejectBoth, &[("below", &bare(speech, below)), ("above", &degrees(speech, above))])
        }
        (Some(below), None) => speech.fill(P::RejectBelow, &[("below", &degrees(speech, below))]),
        (None, Some(above)) => speech.fill(P::RejectAbove, &[("above", &degrees(speech, above))]),
        (None, None) => speech.say(P::NoReject).to_owned(),
    });
    lines.push(match resin.resin().limits().longest_hold {
        Some(hold) => speech.fill(P::LongestHold, &[("length", &length(speech, hold))]),
        None => speech.say(P::NoHold).to_owned(),
    });
    lines.push(range(P::Cartridge, &exact.cartridge_least, &exact.cartridge_greatest));
    lines.push(speech.fill(P::Holes, &[("holes", &speech.holes(resin.resin().holes()))]));
    lines.push(
        speech
            .say(match resin.resin().accrual() {
                Accrual::Permitted => P::AccrualPermitted,
                Accrual::Forbidden => P::AccrualForbidden,
            })
            .to_owned(),
    );
    let uncertainty = speech.apart("1.0", i32::from(Uncertainty::DEFAULT.counts()));
    lines.push(speech.fill(P::Uncertainty, &[("degrees", &uncertainty)]));
    lines
}

fn plausibility(resin: &ResinFile, speech: Speech) -> String {
    let list = |steps: Vec<Step>| match steps.is_empty() {
        true => speech.say(P::NoSteps).to_owned(),
        false => steps.iter().map(|step| format!("{:.0}", step.energy)).collect::<Vec<_>>().join(", "),
    };
    let bands = &resin.exact().bands;
    let limits = [("least", &*format!("{LEAST:.0}")), ("greatest", &*format!("{GREATEST:.0}"))];
    let (head, cure) = (speech.fill(P::Energy, &limits), list(steps(bands, Times::Cure)));
    let (cure, working) = (
        speech.fill(P::CureTimes, &[("energies", &cure)]),
        speech.fill(P::WorkingTimes, &[("energies", &list(steps(bands, Times::Working)))]),
    );
    format!("{head}\n  {cure}\n  {working}\n")
}

#[cfg(test)]
mod tests {
    use super::check;
    use holdoff_files::problem::{Colour, Exit};
    use holdoff_present::words::{Speech, TemperatureUnit};

    const DEMO: &str = include_str!("../../../demo/harbour-slow.toml");

    #[test]
    fn a_temperature_that_is_rounded_to_zero_is_shown_without_a_minus() {
        let speech = Speech { temperature: TemperatureUnit::Fahrenheit, ..Speech::PLAIN };
        // -17.778 °C are -0.0004 °F
        let text = DEMO.replace("-5.0", "-17.778").replace("-12.0", "-20.0");
        let (shown, ..) = check("r.toml", &text, speech);
        assert!(shown.contains("  0 °F ") && shown.contains("from 0 to 104 °F") && !shown.contains("-0"), "{shown}");
    }

    fn errors(text: &str) -> (String, String, Exit) {
        let (shown, findings, exit) = check("r.toml", text, Speech::PLAIN);
        let mut rendered = Vec::new();
        let written = findings.render(&mut rendered, Colour::Plain);
        assert!(written.is_ok());
        (shown, String::from_utf8_lossy(&rendered).into_owned(), exit)
    }

    #[test]
    fn the_demo_resin_is_shown_whole_and_nothing_looks_odd() {
        let (shown, errors, exit) = errors(DEMO);
        assert_eq!((errors.as_str(), exit), ("", Exit::Ran));
        for words in [
            "Harbour slow (r.toml)",
            "Never use it",
            "  -5 °C   1h 30min          1d                     2d\n",
            "  30 °C       6min    1h 15min               2h 30min\n",
            "cure is counted from -5 to 40 °C",
            "start of injection: substrate -5 to 40 °C",
            "below -12 or above 60 °C",
            "more than 12h in all",
            "dry, wet, flooded",
            "printed instructions",
            "Nothing in the file looks odd",
        ] {
            assert!(shown.contains(words), "{words:?} in\n{shown}");
        }
    }

    #[test]
    fn a_suspected_time_is_shown_in_its_line_and_the_file_is_usable() {
        let (shown, errors, exit) = errors(&DEMO.replace("75min", "15min"));
        assert_eq!(exit, Exit::Ran);
        assert!(errors.contains("warning: the cure time falls steeply"), "{errors}");
        assert!(errors.contains("r.toml:54:8") && errors.contains("cure = \"15min\""), "{errors}");
        assert!(shown.contains("One thing in the file looks odd"), "{shown}");
    }

    #[test]
    fn an_unusable_file_prints_nothing_and_all_its_errors() {
        let (shown, errors, exit) =
            errors(&DEMO.replace("wet_factor = 2 ", "wet_factor = 1 ").replace("\"8h\"", "\"80h\""));
        assert_eq!((shown.as_str(), exit), ("", Exit::Unusable));
        assert_eq!(errors.matches("error: ").count(), 2, "{errors}");
    }
}
