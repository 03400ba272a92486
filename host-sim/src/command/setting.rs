//! Values of the command line that are more than a word: times, temperatures, lengths of time.

use crate::decimal::Decimal;
use crate::duration;
use crate::problem::{Problem, shown};
use crate::stamp::{Stamp, parse_date};
use holdoff_core::cure::{Settings, Uncertainty};
use holdoff_core::probe::{SENSOR_GREATEST, SENSOR_LEAST};
use holdoff_core::quantity::{Count, Instant, Span};

/// A time of an option.
pub(super) fn stamp(option: &str, text: &str) -> Result<Stamp, Problem> {
    Stamp::parse(text)
        .map_err(|error| Problem::usage(format!("{option} {}: {error}", shown(text.as_bytes())), error.remedy()))
}

/// A temperature of an option.
pub(super) fn decimal(option: &str, text: &str) -> Result<Decimal, Problem> {
    Decimal::parse(text)
        .map_err(|error| Problem::usage(format!("{option} {}: {error}", shown(text.as_bytes())), error.remedy()))
}

/// The settings of rule Q4.
pub(super) fn settings(uncertainty: &str, longest_gap: &str, clock_ppm: &str) -> Result<Settings, Problem> {
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
    let gap = duration::parse(longest_gap).map_err(|error| {
        Problem::usage(format!("--longest-gap {}: {error}", shown(longest_gap.as_bytes())), error.remedy())
    })?;
    let ppm = clock_ppm.parse::<u16>().ok().filter(|ppm| *ppm <= 10_000).ok_or_else(|| {
        let what = format!("--clock-ppm {} is not a whole number from 0 to 10000", shown(clock_ppm.as_bytes()));
        Problem::usage(what, "give the clock's allowance in parts per million")
    })?;
    Settings::new(uncertainty, gap, ppm).map_err(|_| {
        let what = format!("--longest-gap {} is not 1 s to 1 h", duration::format(gap));
        Problem::usage(what, "give the longest time between two readings that still counts as observed")
    })
}

/// The time between two readings: 1 s to the longest gap there can be.
pub(super) fn interval(option: &str, text: &str) -> Result<Span, Problem> {
    let span = duration::parse(text)
        .map_err(|error| Problem::usage(format!("{option} {}: {error}", shown(text.as_bytes())), error.remedy()))?;
    if !(1..=3600).contains(&span.seconds()) {
        let what = format!("{option} {} is not 1 s to 1 h", duration::format(span));
        return Err(Problem::usage(what, "give the time from one reading to the next"));
    }
    Ok(span)
}

/// An in-hole temperature: inside the sensor's own range, rounded down.
pub(super) fn in_hole(option: &str, celsius: &Decimal) -> Result<Count, Problem> {
    let (least, greatest) = (i64::from(SENSOR_LEAST.raw() / 256), i64::from(SENSOR_GREATEST.raw() / 256));
    let inside = celsius.cmp_whole(least).is_ge() && celsius.cmp_whole(greatest).is_le();
    celsius.floor_count().filter(|_| inside).ok_or_else(|| {
        let what = format!("{option} {celsius} is outside the sensor's range, {least} to {greatest} °C");
        Problem::usage(what, "read the temperature at the bottom of the hole again")
    })
}

/// From when on the resin is past its date: the end of that day where the injection is made.
pub(super) fn past_from(option: &str, date: &str, offset_seconds: i32) -> Result<Instant, Problem> {
    let day = parse_date(date)
        .map_err(|error| Problem::usage(format!("{option} {}: {error}", shown(date.as_bytes())), error.remedy()))?;
    let next = day.succ_opt().unwrap_or(day).and_time(chrono::NaiveTime::MIN).and_utc().timestamp();
    Ok(Instant::from_seconds(next.saturating_sub(i64::from(offset_seconds))))
}
