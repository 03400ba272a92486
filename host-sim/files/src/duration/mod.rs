//! Lengths of time as people write them: `90min`, `24h`, `1h 30min`.
//!
//! What for: resin files and options (`docs/interfaces.md`, Durations). Terms: a *part* is a whole number and a unit;
//! units are `d` (24 h), `h`, `min` and `s`; parts go from large to small, each unit once; spaces may stand between
//! parts and between a number and its unit.
//! A bare `m` is refused: it has been read as months and as metres, and a cure time is no place to guess.
//! Invariant: every [`Span`] made here was written in full; a number too large is an error, never wrapped or held.
//! What it does not do: fractions, signs, weeks, other languages' units.

use holdoff_core::quantity::Span;
use thiserror::Error;

/// A unit of time, large to small.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Unit {
    Day,
    Hour,
    Minute,
    Second,
}

impl Unit {
    const ALL: [Self; 4] = [Self::Day, Self::Hour, Self::Minute, Self::Second];

    const fn name(self) -> &'static str {
        match self {
            Self::Day => "d",
            Self::Hour => "h",
            Self::Minute => "min",
            Self::Second => "s",
        }
    }

    const fn seconds(self) -> u32 {
        match self {
            Self::Day => 86_400,
            Self::Hour => 3_600,
            Self::Minute => 60,
            Self::Second => 1,
        }
    }
}

/// Why a text is no duration.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
pub enum DurationError {
    /// Nothing there.
    #[error("is empty where a duration is needed")]
    Empty,
    /// A number was expected and something else stands there.
    #[error("is no duration: a whole number is missing")]
    NumberMissing,
    /// A number that is not whole.
    #[error("is no duration: its number is not whole")]
    NotWhole,
    /// A number without a unit.
    #[error("is no duration: a unit is missing")]
    UnitMissing,
    /// A unit that isn't known.
    #[error("is no duration: {found} is no unit of time")]
    UnitUnknown {
        /// The unit, in quotation marks, shortened.
        found: String,
    },
    /// A unit that is not smaller than the one before.
    #[error("is no duration: its units are not in falling order, each once")]
    Order,
    /// More than 4 294 967 295 s (136 years).
    #[error("is longer than can be counted")]
    TooLong,
}

impl DurationError {
    /// What to do about it, a sentence without a full stop.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Empty | Self::NumberMissing => "write whole numbers with units, such as \"90min\" or \"1h 30min\"",
            Self::NotWhole => "write whole numbers and chain units, such as \"1h 30min\" for one and a half hours",
            Self::UnitMissing | Self::UnitUnknown { .. } => "use the units s, min, h or d, such as \"90min\"",
            Self::Order => "chain units from large to small, each once: d, h, min, s",
            Self::TooLong => "give a shorter time; 136 years is the most that is counted",
        }
    }
}

/// Reads a duration. Spaces around it are allowed.
///
/// # Errors
/// [`DurationError`] for whatever is not a chain of whole numbers and units from large to small.
pub fn parse(text: &str) -> Result<Span, DurationError> {
    let mut rest = text.trim_matches(' ');
    if rest.is_empty() {
        return Err(DurationError::Empty);
    }
    let (mut total, mut last) = (0u32, None);
    while !rest.is_empty() {
        let (number, after) = split(rest, |character| character.is_ascii_digit());
        if number.is_empty() {
            return Err(DurationError::NumberMissing);
        }
        if after.starts_with(['.', ',']) {
            return Err(DurationError::NotWhole);
        }
        let (name, after) =
            split(after.trim_start_matches(' '), |character| !character.is_ascii_digit() && character != ' ');
        if name.is_empty() {
            return Err(DurationError::UnitMissing);
        }
        let unit = Unit::ALL
            .into_iter()
            .find(|unit| unit.name() == name)
            .ok_or_else(|| DurationError::UnitUnknown { found: crate::problem::shown(name.as_bytes()) })?;
        if last.is_some_and(|last| last >= unit) {
            return Err(DurationError::Order);
        }
        let seconds = number.parse::<u32>().ok().and_then(|number| number.checked_mul(unit.seconds()));
        total = seconds.and_then(|seconds| total.checked_add(seconds)).ok_or(DurationError::TooLong)?;
        (last, rest) = (Some(unit), after.trim_start_matches(' '));
    }
    Ok(Span::from_seconds(total))
}

fn split(text: &str, belongs: impl Fn(char) -> bool) -> (&str, &str) {
    text.split_at(text.find(|character| !belongs(character)).unwrap_or(text.len()))
}

/// Writes a duration in the same form, largest units first, no zero part: `1h 30min`, `1d`, `0s`.
pub fn format(span: Span) -> String {
    let (mut rest, mut parts) = (span.seconds(), Vec::new());
    for unit in Unit::ALL {
        let (number, left) = (rest / unit.seconds(), rest % unit.seconds());
        if number > 0 {
            parts.push(format!("{number}{}", unit.name()));
        }
        rest = left;
    }
    if parts.is_empty() { "0s".to_owned() } else { parts.join(" ") }
}

#[cfg(test)]
mod tests {
    use super::{DurationError, format, parse};
    use holdoff_core::quantity::Span;

    #[test]
    fn whole_numbers_and_units_are_read() {
        let cases = [
            ("90min", 5_400),
            ("24h", 86_400),
            ("1h 30min", 5_400),
            ("1h30min", 5_400),
            ("1 h 30 min", 5_400),
            (" 2d  3h 4min 5s ", 183_845),
            ("0s", 0),
            ("007min", 420),
            ("0h 0min", 0),
            ("4294967295s", u32::MAX),
            ("49710d 6h 28min 15s", u32::MAX),
        ];
        for (text, seconds) in cases {
            assert_eq!(parse(text), Ok(Span::from_seconds(seconds)), "{text:?}");
        }
    }

    #[test]
    fn everything_else_is_refused_with_its_reason() {
        let unknown = |found: &str| DurationError::UnitUnknown { found: format!("\"{found}\"") };
        let cases = [
            ("", DurationError::Empty),
            ("  ", DurationError::Empty),
            ("min", DurationError::NumberMissing),
            ("-5min", DurationError::NumberMissing),
            ("1h -5min", DurationError::NumberMissing),
            ("1.5h", DurationError::NotWhole),
            ("1,5h", DurationError::NotWhole),
            ("90", DurationError::UnitMissing),
            ("1h 30", DurationError::UnitMissing),
            ("1 000s", DurationError::UnitMissing),
            ("90m", unknown("m")),
            ("90 MIN", unknown("MIN")),
            ("1hour", unknown("hour")),
            ("1h,30min", unknown("h,")),
            ("5\tmin", unknown("\\u{9}min")),
            ("30min 1h", DurationError::Order),
            ("1h 1h", DurationError::Order),
            ("4294967296s", DurationError::TooLong),
            ("49711d", DurationError::TooLong),
            ("49710d 6h 28min 16s", DurationError::TooLong),
            ("99999999999999999999h", DurationError::TooLong),
        ];
        for (text, error) in cases {
            assert_eq!(parse(text), Err(error), "{text:?}");
        }
    }

    #[test]
    fn what_is_written_reads_back() {
        assert_eq!(format(Span::from_seconds(5_400)), "1h 30min");
        assert_eq!(format(Span::from_seconds(86_400)), "1d");
        assert_eq!(format(Span::ZERO), "0s");
        let mut random = fastrand::Rng::with_seed(1);
        for _ in 0..50_000 {
            let span = Span::from_seconds(random.u32(..) >> random.u32(0..32));
            assert_eq!(parse(&format(span)), Ok(span));
        }
    }
}
