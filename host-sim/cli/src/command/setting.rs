//! Values of the command line that are more than a word: times, temperatures, lengths of time.

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use holdoff_core::cure::{Rule, Settings, Uncertainty};
use holdoff_core::quantity::{Count, Instant, Span};
use holdoff_core::resin::Hole;
use holdoff_files::decimal::Decimal;
use holdoff_files::problem::{Problem, shown};
use holdoff_files::scenario::Scenario;
use holdoff_files::stamp::{Stamp, parse_date};
use holdoff_files::{deeds, duration, stamp};
use std::fmt::Display;

/// What is said of an option that can't be read.
pub(super) fn wrong(option: &str, text: &str, error: impl Display, remedy: &str) -> Problem {
    Problem::usage(format!("{option} {}: {error}", shown(text.as_bytes())), remedy)
}

/// A time of an option.
pub(super) fn stamp(option: &str, text: &str) -> Result<Stamp, Problem> {
    Stamp::parse(text).map_err(|error| wrong(option, text, error, error.remedy()))
}

/// A temperature of an option.
pub(super) fn decimal(option: &str, text: &str) -> Result<Decimal, Problem> {
    Decimal::parse(text).map_err(|error| wrong(option, text, error, error.remedy()))
}

/// A length of time of an option.
pub(super) fn duration(option: &str, text: &str) -> Result<Span, Problem> {
    duration::parse(text).map_err(|error| wrong(option, text, &error, error.remedy()))
}

/// A value of a few that have words, each with what the help says of it.
pub(super) fn one_of<T: Copy + Send + Sync + 'static>(
    words: &'static [(&'static str, T, &'static str)],
) -> impl TypedValueParser<Value = T> {
    let values = words.iter().map(|(word, _, help)| match *help {
        "" => PossibleValue::new(*word),
        help => PossibleValue::new(*word).help(help),
    });
    PossibleValuesParser::new(values).try_map(|word| {
        let found = words.iter().find(|(known, ..)| *known == word);
        found.map(|(_, value, _)| *value).ok_or("no such word")
    })
}

/// Hole conditions.
pub(super) fn holes() -> impl TypedValueParser<Value = Hole> {
    one_of(&[("dry", Hole::Dry, ""), ("wet", Hole::Wet, ""), ("flooded", Hole::Flooded, "")])
}

/// Rules of the count.
pub(super) fn rules() -> impl TypedValueParser<Value = Rule> {
    one_of(&[
        ("coldest", Rule::Coldest, "The cure time of the coldest band met"),
        ("accrual", Rule::Accrual, "The sum over the bands, where the resin permits it"),
    ])
}

/// The settings of a count as they are written; the default where nothing is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Written<'a> {
    pub(super) uncertainty: &'a str,
    pub(super) longest_gap: &'a str,
    pub(super) clock_ppm: &'a str,
    pub(super) settle: &'a str,
}

impl Default for Written<'_> {
    fn default() -> Self {
        Self { uncertainty: "1.0", longest_gap: "5min", clock_ppm: "100", settle: "180s" }
    }
}

impl<'a> Written<'a> {
    /// Those of a scenario.
    pub(super) fn of(scenario: &'a Scenario) -> Self {
        Self {
            uncertainty: &scenario.uncertainty,
            longest_gap: &scenario.longest_gap,
            clock_ppm: &scenario.clock_ppm,
            settle: &scenario.settle,
        }
    }
}

/// The settings of a count as options.
#[derive(Debug, clap::Args)]
pub(super) struct SettingArguments {
    /// Expanded uncertainty of a reading, probe and placement together, °C [default: 1.0]
    #[arg(long, value_name = "CELSIUS", allow_hyphen_values = true)]
    uncertainty: Option<String>,
    /// Longest time between two readings that still counts as observed [default: 5min]
    #[arg(long, value_name = "DURATION")]
    longest_gap: Option<String>,
    /// Clock allowance, parts per million [default: 100]
    #[arg(long, value_name = "PPM", allow_hyphen_values = true)]
    clock_ppm: Option<String>,
    /// How long the probe must have said nearly the same before a start, 0s to 1h; 0s: not at all [default: 180s]
    #[arg(long, value_name = "DURATION")]
    settle: Option<String>,
}

impl SettingArguments {
    /// The settings; `usual` is what the command line does not say.
    pub(super) fn over(&self, usual: &Written<'_>) -> Result<Settings, Problem> {
        settings(&Written {
            uncertainty: self.uncertainty.as_deref().unwrap_or(usual.uncertainty),
            longest_gap: self.longest_gap.as_deref().unwrap_or(usual.longest_gap),
            clock_ppm: self.clock_ppm.as_deref().unwrap_or(usual.clock_ppm),
            settle: self.settle.as_deref().unwrap_or(usual.settle),
        })
    }
}

/// The settings of rule Q4.
pub(super) fn settings(written: &Written<'_>) -> Result<Settings, Problem> {
    let Written { uncertainty, longest_gap, clock_ppm, settle } = *written;
    let celsius = decimal("--uncertainty", uncertainty)?;
    let counts = celsius.ceil_counts();
    let inside = !celsius.is_negative() && celsius.cmp_whole(10).is_le();
    let uncertainty = u16::try_from(counts).ok().filter(|_| inside);
    let uncertainty = uncertainty.and_then(|counts| Uncertainty::from_counts(counts).ok()).ok_or_else(|| {
        Problem::usage(
            format!("--uncertainty {celsius} is not 0 to 10 °C"),
            "give the probe's and its placement's together",
        )
    })?;
    let gap = duration("--longest-gap", longest_gap)?;
    let ppm = clock_ppm.parse::<u16>().ok().filter(|ppm| *ppm <= 10_000).ok_or_else(|| {
        let what = format!("--clock-ppm {} is not a whole number from 0 to 10000", shown(clock_ppm.as_bytes()));
        Problem::usage(what, "give the clock's allowance in parts per million")
    })?;
    let settings = Settings::new(uncertainty, gap, ppm).map_err(|_| {
        let what = format!("--longest-gap {} is not 1 s to 1 h", duration::format(gap));
        Problem::usage(what, "give the longest time between two readings that still counts as observed")
    })?;
    let settle = duration("--settle", settle)?;
    settings.with_settle(settle).map_err(|_| {
        let what = format!("--settle {} is longer than 1 h", duration::format(settle));
        Problem::usage(what, "give how long the probe must have said nearly the same before a start; 0s: not at all")
    })
}

/// The time between two readings: 1 s to the longest gap there can be.
pub(super) fn interval(option: &str, text: &str) -> Result<Span, Problem> {
    let span = duration(option, text)?;
    if !(1..=3600).contains(&span.seconds()) {
        let what = format!("{option} {} is not 1 s to 1 h", duration::format(span));
        return Err(Problem::usage(what, "give the time from one reading to the next"));
    }
    Ok(span)
}

/// An in-hole temperature: inside the sensor's own range, rounded down.
pub(super) fn in_hole(option: &str, celsius: &Decimal) -> Result<Count, Problem> {
    deeds::in_hole(celsius).map_err(|what| {
        Problem::usage(format!("{option} {what}"), "read the temperature at the bottom of the hole again")
    })
}

/// From when on the resin is past its date: the end of that day where the injection is made.
pub(super) fn past_from(option: &str, date: &str, offset_seconds: i32) -> Result<Instant, Problem> {
    let day = parse_date(date).map_err(|error| wrong(option, date, error, error.remedy()))?;
    Ok(stamp::past_from(day, offset_seconds))
}
