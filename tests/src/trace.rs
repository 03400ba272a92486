//! Recorded temperature series, read for the tests.
//!
//! The series lie in `traces/` with their provenance and licences. The reader is a second one beside the program's,
//! kept as small as the three files allow: no quotes, no other column names, no fractions of a second. What it cannot
//! read stops the test.

use crate::reference::{Decimal, Row, RowKind};
use std::path::Path;

/// The rows of `traces/NAME.csv` in the order of the file: an empty temperature is a missing reading.
///
/// # Panics
/// When there is no such series, or a line of it is not `time,temperature`.
pub fn recorded(name: &str) -> Vec<RowKind> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("traces").join(name).with_extension("csv");
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let mut lines = text.lines();
    assert_eq!(lines.next(), Some("time,temperature_c"), "{name}");
    lines.map(|line| row(line).unwrap_or_else(|| panic!("{name}: {line}"))).collect()
}

fn row(line: &str) -> Option<RowKind> {
    let (time, temperature) = line.split_once(',')?;
    let temperature = match temperature {
        "" => None,
        text => Some(Decimal::parse(text)?.into_value()),
    };
    Some(RowKind::Reading(Row { at: seconds(time)?, temperature }))
}

/// Seconds since 1970-01-01T00:00:00Z of `YYYY-MM-DDTHH:MM:SS` with `Z` or an offset (RFC 3339, section 5.6), leap
/// seconds left aside.
pub fn seconds(time: &str) -> Option<i64> {
    let number = |from: usize, to: usize| time.get(from..to)?.parse::<i64>().ok();
    let date = days(number(0, 4)?, number(5, 7)?, number(8, 10)?);
    let clock = number(11, 13)? * 3600 + number(14, 16)? * 60 + number(17, 19)?;
    let offset = match time.get(19..)? {
        "Z" => 0,
        text => {
            let size = number(20, 22)? * 3600 + number(23, 25)? * 60;
            if text.starts_with('-') { -size } else { size }
        }
    };
    Some(date * 86_400 + clock - offset)
}

/// Days from 1970-01-01 to a date of the Gregorian calendar from 1970 on, counted year by year and month by month.
fn days(year: i64, month: i64, day: i64) -> i64 {
    let leap = |year: i64| i64::from(year % 4 == 0 && (year % 100 != 0 || year % 400 == 0));
    let years: i64 = (1970..year).map(|year| 365 + leap(year)).sum();
    let lengths = [31, 28 + leap(year), 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let months: i64 = (1..month).zip(lengths).map(|(_, length)| length).sum();
    years + months + day - 1
}

#[cfg(test)]
mod tests {
    use super::{recorded, seconds};

    #[test]
    fn instants_are_those_of_the_calendar() {
        // the published values of the clock limits and of one wall-clock time with an offset
        assert_eq!(seconds("2000-02-29T00:00:00Z"), Some(951_782_400));
        assert_eq!(seconds("2024-02-29T12:00:00Z"), Some(1_709_208_000));
        assert_eq!(seconds("2038-01-19T03:14:07Z"), Some(2_147_483_647));
        assert_eq!(seconds("2026-11-25T07:30:00+01:00"), Some(1_795_588_200));
        assert_eq!(seconds("1996-12-19T16:39:57-08:00"), Some(851_042_397));
    }

    #[test]
    fn series_have_as_many_rows_as_their_files_say() {
        assert_eq!(recorded("mountain-winter-5min").len(), 1_151);
        assert_eq!(recorded("upland-winter-10min").len(), 13_248);
        assert_eq!(recorded("dead-probe-1min").len(), 1_440);
    }
}
