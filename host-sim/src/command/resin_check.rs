//! `holdoff resin check FILE`: the schedule as it was understood, to be held beside the maker's printed sheet.
//!
//! The schedule goes to standard output; what is wrong or looks odd goes to standard error, each with its place in the
//! file. A file that can be used ends with status 0, however odd it looks; one that can't with 3 and nothing on standard
//! output.

use super::Streams;
use crate::duration::format;
use crate::plausible::{GREATEST, LEAST, Step, Times, steps, suspicions};
use crate::problem::{Colour, Exit, shown_file};
use crate::resin_file::{Findings, ResinFile, text_of};
use crate::words::{CAUTION, DEMO_CAUTION};
use holdoff_core::quantity::Span;
use holdoff_core::resin::{Accrual, Hole};
use std::fmt::Write as _;
use std::io::Write;

/// `holdoff resin check`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The resin file (TOML)
    #[arg(value_name = "FILE.toml")]
    file: String,
}

/// Runs the command.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Exit {
    let plain = !streams.watched || std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    let colour = if plain { Colour::Plain } else { Colour::Ansi };
    let text = match text_of(&arguments.file) {
        Ok(text) => text,
        Err(problem) => return streams.refuse(&problem),
    };
    let (shown, findings, exit) = check(&arguments.file, &text);
    // standard error going away is no reason to fail
    let _ = findings.render(&mut *streams.err, colour).and_then(|()| streams.err.flush());
    match exit {
        Exit::Ran => streams.print(&shown),
        Exit::NotProved | Exit::Refused | Exit::Usage | Exit::Unusable => exit,
    }
}

/// What is printed of a file (nothing when it can't be used), what was found in it, and how that ends.
fn check(file: &str, text: &str) -> (String, Findings, Exit) {
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
    (account(file, &resin, findings.iter().count()), findings, Exit::Ran)
}

fn account(file: &str, resin: &ResinFile, odd: usize) -> String {
    let mut text = String::new();
    let _ = writeln!(text, "{} ({})\n", visible(resin.name()), shown_file(file));
    if resin.demo() {
        let _ = writeln!(text, "{DEMO_CAUTION}\n");
    }
    text.push_str("Schedule as understood; a band holds up to the next one\n");
    text.push_str(&table(resin));
    text.push_str("\nLimits\n");
    for line in limits(resin) {
        let _ = writeln!(text, "  {line}");
    }
    let _ = writeln!(text, "\n{}", plausibility(resin));
    let things = match odd {
        0 => "Nothing in the file looks odd.".to_owned(),
        1 => "One thing in the file looks odd: see above.".to_owned(),
        more => format!("{more} things in the file look odd: see above."),
    };
    let _ = writeln!(text, "{things} Compare every line with the maker's printed sheet all the same.\n\n{CAUTION}");
    text
}

fn visible(name: &str) -> String {
    shown_file(name) // the same care as for a file's name
}

fn table(resin: &ResinFile) -> String {
    let (wet, flooded) = (resin.resin().holes().allows(Hole::Wet), resin.resin().holes().allows(Hole::Flooded));
    let longer = match (wet, flooded) {
        (true, true) => Some("cure, wet or flooded"),
        (true, false) => Some("cure, wet"),
        (false, true) => Some("cure, flooded"),
        (false, false) => None,
    };
    let mut rows =
        vec![["from".to_owned(), "working".to_owned(), "cure, dry".to_owned(), longer.unwrap_or("").to_owned()]];
    for band in &resin.exact().bands {
        let factor = u32::from(resin.resin().factor(Hole::Wet));
        // at most 14 days times 10
        let wet = longer.map(|_| format(Span::from_seconds(band.cure.seconds().saturating_mul(factor))));
        let dry = if resin.resin().holes().allows(Hole::Dry) { format(band.cure) } else { "-".to_owned() };
        rows.push([format!("{} °C", band.from), format(band.working), dry, wet.unwrap_or_default()]);
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

fn limits(resin: &ResinFile) -> Vec<String> {
    let exact = resin.exact();
    let mut lines = vec![
        format!("start of injection: substrate {} to {} °C", exact.install_least, exact.install_greatest),
        format!("cure is counted from {} to {} °C and held outside", resin.coldest_usable_edge(), exact.cure_greatest),
    ];
    lines.push(match (&exact.reject_below, &exact.reject_above) {
        (Some(below), Some(above)) => {
            format!("rejected when it gets below {below} or above {above} °C before it is cured")
        }
        (Some(below), None) => format!("rejected when it gets below {below} °C before it is cured"),
        (None, Some(above)) => format!("rejected when it gets above {above} °C before it is cured"),
        (None, None) => "no reject temperature".to_owned(),
    });
    lines.push(match resin.resin().limits().longest_hold {
        Some(hold) => format!("rejected when held or unobserved for more than {} in all", format(hold)),
        None => "no longest hold".to_owned(),
    });
    lines.push(format!("cartridge {} to {} °C", exact.cartridge_least, exact.cartridge_greatest));
    let holes: Vec<&str> =
        Hole::ALL.into_iter().filter(|hole| resin.resin().holes().allows(*hole)).map(hole_name).collect();
    lines.push(format!("hole conditions allowed: {}", holes.join(", ")));
    lines.push(match resin.resin().accrual() {
        Accrual::Permitted => "the cure may be summed up over the bands (accrual) where the job asks for it".to_owned(),
        Accrual::Forbidden => "only the coldest-band rule; accrual is not permitted".to_owned(),
    });
    lines.push("a reading counts with its uncertainty (1.0 °C unless set): against least limits as colder, against greatest as warmer".to_owned());
    lines
}

fn hole_name(hole: Hole) -> &'static str {
    match hole {
        Hole::Dry => "dry",
        Hole::Wet => "wet",
        Hole::Flooded => "flooded",
    }
}

fn plausibility(resin: &ResinFile) -> String {
    let list = |steps: Vec<Step>| match steps.is_empty() {
        true => "none".to_owned(),
        false => steps.iter().map(|step| format!("{:.0}", step.energy)).collect::<Vec<_>>().join(", "),
    };
    let bands = &resin.exact().bands;
    format!(
        "Apparent activation energy from band to band, kJ/mol (suspicious below {LEAST:.0} or above {GREATEST:.0})\n  \
         cure times: {}\n  working times: {}\n",
        list(steps(bands, Times::Cure)),
        list(steps(bands, Times::Working))
    )
}

#[cfg(test)]
mod tests {
    use super::check;
    use crate::problem::{Colour, Exit};

    const DEMO: &str = include_str!("../../demo/harbour-slow.toml");

    fn errors(text: &str) -> (String, String, Exit) {
        let (shown, findings, exit) = check("r.toml", text);
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
