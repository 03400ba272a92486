//! The quick way, the CSV reader and another program's CSV reader agree.

use super::super::Trace;
use super::{Options, Row, Unit};
use crate::decimal::Decimal;
use crate::problem::Problem;
use crate::rounds::rounds;
use crate::stamp::{Stamp, format_seconds};
use crate::trace::Sample;

fn random_time(random: &mut fastrand::Rng) -> String {
    let offset = random.choice([0, 0, 0, 3600, -25_200, 20_700]).unwrap();
    let mut text = format_seconds(random.i64(0..4_000_000_000), offset);
    match random.u8(0..12) {
        0 => text = text.replace('T', " "),
        1 => text = text.replace('Z', ".5Z"),
        2 => text = text.replace('Z', "z"),
        _ => {}
    }
    text
}

fn random_number(random: &mut fastrand::Rng) -> String {
    match random.u8(0..12) {
        0 => String::new(),
        1 => format!("{:.12}", random.f64() * 300.0 - 100.0),
        2 => format!("{}e-3", random.i32(-60_000..130_000)),
        3 => random
            .choice(["125", "-55", "125.001", "-55.001", ".5", "5.", "+5", "-0", "-.0", "99999999", "123456789"])
            .unwrap()
            .to_owned(),
        _ => {
            let places = random.usize(0..6);
            format!("{:.places$}", random.f64() * 60.0 - 20.0)
        }
    }
}

/// Puts something wrong, or merely unusual, into a line.
fn spoil(random: &mut fastrand::Rng, line: &mut Vec<u8>) {
    let byte = random.choice(*b"\"\",, \t\r\n\0xZ:-+.e90\xC3\xFF").unwrap();
    let place = random.usize(0..=line.len());
    match random.u8(0..4) {
        0 => line.insert(place, byte),
        1 if place < line.len() => line[place] = byte,
        2 if place < line.len() => drop(line.remove(place)),
        _ => line.extend_from_slice(random.choice([&b",5"[..], b"\"", b" ", b"\r", b"\n\n", b"  \n"]).unwrap()),
    }
}

fn random_file(random: &mut fastrand::Rng) -> Vec<u8> {
    let line_end = random.choice(["\n", "\n", "\r\n"]).unwrap();
    let mut text = format!("time,reading{line_end}").into_bytes();
    let spoilt = random.choice([0, 20, 60, 200]).unwrap();
    for _ in 0..random.usize(1..60) {
        let mut line = format!("{},{}", random_time(random), random_number(random)).into_bytes();
        if spoilt > 0 && random.u32(0..spoilt) == 0 {
            spoil(random, &mut line);
        }
        text.extend_from_slice(&line);
        text.extend_from_slice(line_end.as_bytes());
    }
    if random.bool() {
        text.truncate(text.len() - random.usize(0..4));
    }
    text
}

/// Rows with their lines, and how it ended.
type ReadRows = (Vec<(Row, u64)>, Option<Problem>);

fn told(text: &[u8], unit: Unit, block: usize, in_order: bool) -> ReadRows {
    let options = super::of_reading(unit);
    let mut trace = match Trace::with_sizes("t.csv", text, &options, block, 100) {
        Ok(trace) => trace,
        Err(problem) => return (Vec::new(), Some(problem)),
    };
    trace.columns.in_order &= in_order;
    let mut rows = Vec::new();
    loop {
        match trace.next_row() {
            Ok(Some(row)) => rows.push((row, trace.line())),
            Ok(None) => return (rows, None),
            Err(problem) => return (rows, Some(problem)),
        }
    }
}

#[test]
fn the_quick_way_agrees_with_the_csv_reader_in_rows_errors_and_places() {
    let mut random = fastrand::Rng::with_seed(1);
    let (all, mut good, mut bad) = (rounds(8_000), 0, 0);
    for _ in 0..all {
        let text = random_file(&mut random);
        let unit = if random.u8(0..4) == 0 { Unit::Fahrenheit } else { Unit::Celsius };
        let expected = told(&text, unit, 100_000, false);
        // small blocks split lines at every place there is
        for block in [100_000, random.usize(204..400)] {
            for in_order in [true, false] {
                let found = told(&text, unit, block, in_order);
                assert_eq!(found, expected, "{:?}", String::from_utf8_lossy(&text));
            }
        }
        match expected.1 {
            None => good += 1,
            Some(_) => bad += 1,
        }
    }
    assert!(good * 6 > all && bad * 6 > all, "{good} {bad}");
}

/// The same meaning written down once more, with another CSV reader and nothing but exact decimals.
fn by_another_reader(text: &[u8]) -> Option<Vec<Row>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).trim(csv::Trim::All).flexible(true).from_reader(text);
    let mut records =
        reader.records().filter(|record| !matches!(record, Ok(record) if record.len() == 1 && record[0].is_empty()));
    let header = records.next()?.ok()?;
    let mut rows = Vec::new();
    for record in records {
        let record = record.ok()?;
        let stamp = Stamp::parse(&record[header.iter().position(|name| name == "time")?]).ok()?;
        let number = &record[header.iter().position(|name| name == "temperature_c")?];
        let reading = match Decimal::parse(number) {
            _ if number.is_empty() => Sample::Missing,
            Ok(decimal) if decimal.cmp_whole(-55).is_lt() || decimal.cmp_whole(125).is_gt() => Sample::OutOfRange,
            Ok(decimal) => Sample::Count(decimal.floor_count()?),
            Err(_) => return None,
        };
        rows.push(Row { seconds: stamp.floor_seconds(), offset_seconds: stamp.offset_seconds(), reading });
    }
    Some(rows)
}

fn quoted(random: &mut fastrand::Rng, text: &str) -> String {
    if random.u8(0..3) == 0 || text.contains(['"', ',', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

#[test]
fn well_formed_files_are_read_as_another_csv_reader_reads_them() {
    let mut random = fastrand::Rng::with_seed(2);
    for _ in 0..rounds(4_000) {
        let line_end = random.choice(["\n", "\r\n"]).unwrap();
        let notes = ["", "a", "a,b", "\"", "say \"when\"", "two\nlines", "\r\n", " x ", "°C", "5\" bolt"];
        let mut columns = vec!["time", "temperature_c"];
        columns.extend(std::iter::repeat_n("note", random.usize(0..3)));
        random.shuffle(&mut columns);
        let mut text = columns.join(",") + line_end;
        for _ in 0..random.usize(1..20) {
            let mut fields = Vec::new();
            for column in &columns {
                let field = match *column {
                    "time" => random_time(&mut random),
                    "temperature_c" => random_number(&mut random),
                    _ => random.choice(notes).unwrap().to_owned(),
                };
                fields.push(quoted(&mut random, &field));
            }
            text.push_str(&fields.join(","));
            text.push_str(line_end);
        }
        let expected = by_another_reader(text.as_bytes());
        assert!(expected.is_some(), "{text}");
        assert_eq!(super::read_all(text.as_bytes(), &Options::default()).ok(), expected, "{text}");
    }
}
