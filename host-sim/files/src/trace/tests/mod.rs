#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop there")]

mod agreement;
mod bounded;
mod refused;
mod units;

use super::{Options, Row, Sample, Trace, Unit};
use crate::problem::Problem;
use holdoff_core::quantity::Count;

fn read_all(text: &[u8], options: &Options) -> Result<Vec<Row>, Problem> {
    let mut trace = Trace::new("t.csv", text, options)?;
    let mut rows = Vec::new();
    while let Some(row) = trace.next_row()? {
        rows.push(row);
    }
    Ok(rows)
}

fn rows(text: &str) -> Vec<Row> {
    read_all(text.as_bytes(), &Options::default()).unwrap()
}

fn count(raw: i16) -> Sample {
    Sample::Count(Count::new(raw))
}

fn readings(text: &str) -> Vec<Sample> {
    rows(text).into_iter().map(|row| row.reading).collect()
}

/// A column that does not name its unit.
fn of_reading(unit: Unit) -> Options {
    Options { temperature_column: "reading".to_owned(), unit: Some(unit), ..Options::default() }
}

/// One reading in a file of its own, read with everything else the same.
fn reading(field: &str, unit: Unit) -> Sample {
    let text = format!("time,reading\n2026-11-25T06:30:00Z,1\n2026-11-25T06:30:01Z,{field}\n{}", " ".repeat(200));
    read_all(text.as_bytes(), &of_reading(unit)).unwrap()[1].reading
}

#[test]
fn a_plain_file_gives_its_rows() {
    let found = rows("time,temperature_c\n2022-01-01T00:05:00-07:00,-10.59725\n2022-01-01T07:10:00Z,7.994\n");
    // -10.59725 x 256 = -2712.896, rounded down; 7.994 x 256 = 2046.464
    let expected = [
        Row { seconds: 1_641_020_700, offset_seconds: -25_200, reading: count(-2713) },
        Row { seconds: 1_641_021_000, offset_seconds: 0, reading: count(2046) },
    ];
    assert_eq!(found, expected);
}

#[test]
fn whatever_csv_allows_means_the_same() {
    let plain = rows("time,temperature_c\n2026-11-25T06:30:00Z,5.5\n2026-11-25T06:31:00Z,\n2026-11-25T06:32:00Z,6\n");
    assert_eq!(plain.iter().map(|row| row.reading).collect::<Vec<_>>(), [count(1408), Sample::Missing, count(1536)]);
    let same = [
        // carriage returns, with and without line feed
        "time,temperature_c\r\n2026-11-25T06:30:00Z,5.5\r\n2026-11-25T06:31:00Z,\r\n2026-11-25T06:32:00Z,6\r\n",
        "time,temperature_c\r2026-11-25T06:30:00Z,5.5\r2026-11-25T06:31:00Z,\r2026-11-25T06:32:00Z,6",
        // byte-order mark, no line end at the end
        "\u{FEFF}time,temperature_c\n2026-11-25T06:30:00Z,5.5\n2026-11-25T06:31:00Z,\n2026-11-25T06:32:00Z,6",
        // blank lines, also before the header and at the end
        "\n \t\ntime,temperature_c\n\n2026-11-25T06:30:00Z,5.5\n\r\n2026-11-25T06:31:00Z,\n   \n2026-11-25T06:32:00Z,6\n\n\n  ",
        // quotation marks and spaces around fields
        "\"time\", temperature_c \n \"2026-11-25T06:30:00Z\" , \"5.5\"\n\"2026-11-25T06:31:00Z\",\"\"\n2026-11-25T06:32:00Z ,\t+6.\n",
        // other columns, other order, a line feed and doubled quotation marks inside a field
        "note,temperature_c,,time\n\"a\n\"\"b\"\", c\",5.50,,2026-11-25T06:30:00Z\n,,x,2026-11-25T06:31:00Z\n5\" bolt,6e0,,2026-11-25T06:32:00Z\n",
        // other ways to write a time
        "time,temperature_c\n2026-11-25 06:30:00z,5.5\n2026-11-25T06:31:00.999Z,  \n2026-11-25t06:32:00-00:00,600e-2\n",
    ];
    for text in same {
        assert_eq!(rows(text), plain, "{text:?}");
    }
}

#[test]
fn columns_may_have_other_names() {
    let options = Options {
        time_column: "Zeit".to_owned(),
        temperature_column: "T innen, °F".to_owned(),
        unit: Some(Unit::Fahrenheit),
        sensor: None,
    };
    let found = read_all("id,\"T innen, °F\",Zeit\n1,212,2026-11-25T06:30:00Z\n".as_bytes(), &options).unwrap();
    assert_eq!(found[0].reading, count(100 * 256));
}

#[test]
fn the_sensors_range_is_judged_before_rounding() {
    let cases = [
        ("125", count(32_000)),
        ("125.000", count(32_000)),
        ("125.0000000000000000000000000", count(32_000)),
        ("125.001", Sample::OutOfRange),
        ("125.0000000000000000000000001", Sample::OutOfRange),
        ("-55", count(-14_080)),
        ("-55.0001", Sample::OutOfRange),
        ("-55.0000000000000000000000001", Sample::OutOfRange),
        ("-54.9999", count(-14_080)),
        ("-0.0000000000000000000000001", count(-1)),
        ("-1e-400", count(-1)),
        ("1e400", Sample::OutOfRange),
        ("-7999.0", Sample::OutOfRange),
        ("-0", count(0)),
        ("1.25e2", count(32_000)),
        ("", Sample::Missing),
        (" ", Sample::Missing),
    ];
    for (field, expected) in cases {
        assert_eq!(reading(field, Unit::Celsius), expected, "{field:?}");
    }
}

#[test]
fn fahrenheit_is_converted_exactly() {
    for (field, expected) in [
        ("257", count(32_000)),
        ("257.0001", Sample::OutOfRange),
        ("-67", count(-14_080)),
        ("-67.00000000000000000000001", Sample::OutOfRange),
        ("32", count(0)),
        ("31.99999999999999999999999", count(-1)),
        ("-40", count(-10_240)),
        ("41", count(1280)),
        ("", Sample::Missing),
    ] {
        assert_eq!(reading(field, Unit::Fahrenheit), expected, "{field:?}");
    }
    let mut random = fastrand::Rng::with_seed(1);
    for _ in 0..2_000 {
        let (millis, places) = (random.i64(-67_000..=257_000), random.usize(0..20));
        let field = format!(
            "{}{}.{:03}{}",
            if millis < 0 { "-" } else { "" },
            millis.abs() / 1000,
            millis.abs() % 1000,
            "0".repeat(places)
        );
        // floor(256 x 5/9 x (F - 32)) with F in thousandths
        let expected = (1280 * (millis - 32_000)).div_euclid(9000);
        assert_eq!(reading(&field, Unit::Fahrenheit), count(i16::try_from(expected).unwrap()), "{field}");
    }
}

#[test]
fn fractions_of_a_second_are_rounded_down_before_1970_too() {
    let found = rows("time,temperature_c\n1969-12-31T23:59:59.5Z,1\n1970-01-01T00:00:00.999999999999Z,1\n");
    assert_eq!((found[0].seconds, found[1].seconds), (-1, 0));
}

#[test]
fn the_offsets_and_the_line_of_a_row_are_known() {
    let text = "time,temperature_c\n\n2026-11-25T07:30:00+01:00,1\n2026-11-25T06:31:00Z,2\n\n2026-11-25T06:32:00Z,3\n";
    let mut trace = Trace::new("t.csv", text.as_bytes(), &Options::default()).unwrap();
    assert!(trace.read_as().offsets.is_empty());
    let mut lines = Vec::new();
    while trace.next_row().unwrap().is_some() {
        lines.push((trace.line(), trace.read_as().offsets.clone()));
    }
    assert_eq!(lines, [(3, vec![3600]), (4, vec![3600, 0]), (6, vec![3600, 0])]);
}

#[test]
fn missing_readings_do_not_end_the_reading() {
    assert_eq!(readings("time,temperature_c\n2026-11-25T06:30:00Z,\n2026-11-25T06:31:00Z,"), [Sample::Missing; 2]);
}
