//! How fast rows are read. Not run by default; needs a release build to say anything:
//! `cargo test --release -p holdoff --lib trace::speed -- --ignored --nocapture`.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a measurement prints, and stops where it can't go on")]

use super::{Options, Sample, Trace};
use std::fs::File;
use std::io::{BufWriter, Read, Write};
use std::time::Instant;

const ROWS: u32 = 12_000_000;

/// One row a second; temperatures wander like a real series and have 1 to 5 decimals.
fn write_trace(path: &std::path::Path, zone: &str, extra: &str, offset: i32) {
    let mut random = fastrand::Rng::with_seed(1);
    let mut file = BufWriter::with_capacity(1 << 20, File::create(path).unwrap());
    writeln!(file, "time,temperature_c{}", if extra.is_empty() { "" } else { ",note" }).unwrap();
    let (mut temperature, mut stamp) = (5.0f64, String::new());
    for row in 0..ROWS {
        let second = 1_700_000_000 + i64::from(row);
        if row % 60 == 0 || stamp.is_empty() {
            stamp = crate::stamp::format_seconds(second, offset);
        }
        let clock = &stamp[..17];
        temperature = (temperature + (random.f64() - 0.5) * 0.05).clamp(-15.0, 35.0);
        let places = [3, 3, 5, 2, 1][random.usize(0..5)];
        writeln!(file, "{clock}{:02}{zone},{temperature:.places$}{extra}", (second % 60)).unwrap();
    }
    file.flush().unwrap();
}

fn newlines(path: &std::path::Path) -> u64 {
    let (mut file, mut block, mut count) = (File::open(path).unwrap(), vec![0; super::BLOCK], 0);
    loop {
        let read = file.read(&mut block).unwrap();
        if read == 0 {
            return count;
        }
        count += memchr::memchr_iter(b'\n', &block[..read]).count() as u64;
    }
}

fn rows(path: &std::path::Path, in_order: bool) -> (u64, i64) {
    let mut trace = Trace::new("speed", File::open(path).unwrap(), &Options::default()).unwrap();
    trace.columns.in_order &= in_order;
    let (mut count, mut sum) = (0, 0);
    while let Some(row) = trace.next_row().unwrap() {
        count += 1;
        sum += row.seconds;
        if let Sample::Count(reading) = row.reading {
            sum += i64::from(reading.raw());
        }
    }
    (count, sum)
}

fn best_of<T>(tries: usize, mut work: impl FnMut() -> T) -> (f64, T) {
    let timed = |work: &mut dyn FnMut() -> T| {
        let start = Instant::now();
        let result = work();
        (start.elapsed().as_secs_f64(), result)
    };
    let mut best = timed(&mut work);
    for _ in 1..tries {
        let next = timed(&mut work);
        if next.0 < best.0 {
            best = next;
        }
    }
    best
}

#[test]
#[ignore = "a measurement: writes some gigabytes of traces and needs a release build"]
fn rows_a_second() {
    let path = std::env::temp_dir().join(format!("trace-speed-{}.csv", std::process::id()));
    for (name, zone, extra, offset) in
        [("Z", "Z", "", 0), ("+01:00", "+01:00", "", 3600), ("Z, third column", "Z", ",a", 0)]
    {
        // the offset of a stamp is written as asked; the seconds of the file are minutes of that offset
        write_trace(&path, zone, extra, offset);
        let bytes = std::fs::metadata(&path).unwrap().len();
        let (counting, lines) = best_of(5, || newlines(&path));
        let (reading, (count, sum)) = best_of(5, || rows(&path, true));
        let (general, same) = best_of(3, || rows(&path, false));
        assert_eq!((u64::from(ROWS), lines - 1, (count, sum)), (count, count, same));
        let speed = |seconds: f64| count as f64 / seconds / 1e6;
        println!(
            "{name}: {count} rows, {bytes} bytes; newlines alone {:.0} M rows/s; rows {:.1} M rows/s; general way only {:.1} M rows/s; x{:.1} of counting newlines",
            speed(counting),
            speed(reading),
            speed(general),
            reading / counting
        );
    }
    std::fs::remove_file(&path).unwrap();
}
