//! Temperatures and resins for the emulated board.

pub(crate) mod life;
pub(crate) mod surviving;

use holdoff_core::quantity::Count;
use holdoff_disk::open_trace;
use holdoff_files::stamp::Stamp;
use holdoff_files::trace::{Options, Row, Sample};

/// The demo's resin, an invented one.
pub(crate) const DEMO_RESIN: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../host-sim/demo/harbour-slow.toml");

/// The recorded winter in the mountains, a row in five minutes.
pub(crate) fn winter() -> Vec<Row> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/traces/mountain-winter-5min.csv");
    let mut trace = open_trace(path, &Options::default()).unwrap();
    let mut rows = Vec::new();
    while let Some(row) = trace.next_row().unwrap() {
        rows.push(row);
    }
    rows
}

/// The rows from one time to another that have a temperature.
pub(crate) fn kept_rows(rows: Vec<Row>, from: &str, to: &str) -> Vec<Row> {
    let at = |time: &str| Stamp::parse(time).unwrap().floor_seconds();
    let kept = at(from)..=at(to);
    rows.into_iter().filter(|row| kept.contains(&row.seconds) && matches!(row.reading, Sample::Count(_))).collect()
}

/// A row a minute, from a time on, straight between the given points (minute, °C), and the last value for an hour more.
pub(crate) fn minutes(from: &str, points: &[(i64, f64)]) -> Vec<Row> {
    let from = Stamp::parse(from).unwrap();
    let last = points.last().unwrap().0;
    let value = |minute: i64| {
        let after = points.iter().position(|(at, _)| *at >= minute).unwrap_or(points.len() - 1);
        let (right, high) = points[after];
        let (left, low) = points[after.saturating_sub(1)];
        if right <= left || minute >= right {
            high
        } else {
            low + (high - low) * (minute - left) as f64 / (right - left) as f64
        }
    };
    (0..=last + 60)
        .map(|minute| Row {
            seconds: from.floor_seconds() + minute * 60,
            offset_seconds: from.offset_seconds(),
            reading: Sample::Count(Count::new((value(minute) * 256.0) as i16)),
        })
        .collect()
}

/// Rows at another period, s, of rows a minute apart: each has the reading of the minute that it falls in.
pub(crate) fn every(period: i64, minutes: &[Row]) -> Vec<Row> {
    let row = |after: i64| Row { seconds: minutes[0].seconds + after, ..minutes[(after / 60) as usize] };
    (0..minutes.len() as i64 * 60 / period).map(|turn| row(turn * period)).collect()
}
