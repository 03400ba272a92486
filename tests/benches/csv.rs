//! Rows of a trace a second, through the reader alone and on through the engine, beside counting the newlines of the
//! same bytes in the same run. The ratios are what to quote; see `docs/performance.md`.
#![allow(clippy::expect_used, reason = "a broken expectation must stop the benchmark")]

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use holdoff_core::cure::{Rule, Settings};
use holdoff_files::deeds::{Plan, build};
use holdoff_files::hands::Hands;
use holdoff_files::trace::{Options, Trace};
use holdoff_site::replay::{Unwatched, run};
use holdoff_tests::invented;
use std::sync::LazyLock;

const ROWS: usize = 4_000_000;

static ZULU: LazyLock<Vec<u8>> = LazyLock::new(|| text("Z"));
static OFFSET: LazyLock<Vec<u8>> = LazyLock::new(|| text("+01:00"));

/// A row every ten seconds, temperatures with two decimals that wander like weather.
fn text(offset: &str) -> Vec<u8> {
    let mut text = b"time,temperature_c\n".to_vec();
    let mut hundredths = 500i32;
    let mut numbers = holdoff_tests::random::numbers(1);
    for row in 0..ROWS {
        let (second, minute, hour) = (row * 10 % 60, row / 6 % 60, row / 360 % 24);
        let day = row / 8640;
        let (year, month, day) = (2016 + day / 336, day / 28 % 12 + 1, day % 28 + 1);
        hundredths = (hundredths + i32::try_from(numbers() % 11).expect("small") - 5).clamp(-400, 2000);
        let (sign, size) = (if hundredths < 0 { "-" } else { "" }, hundredths.abs());
        let stamp = format!("{year}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}{offset}");
        text.extend(format!("{stamp},{sign}{}.{:02}\n", size / 100, size % 100).bytes());
    }
    text
}

fn main() {
    LazyLock::force(&ZULU);
    LazyLock::force(&OFFSET);
    divan::main();
}

#[divan::bench]
fn newlines_alone(bencher: Bencher) {
    let bytes: &[u8] = &ZULU;
    bencher.counter(ItemsCount::new(ROWS)).bench(|| memchr::memchr_iter(b'\n', black_box(bytes)).count());
}

fn read(bytes: &[u8]) -> usize {
    let mut trace = Trace::new("bench.csv", bytes, &Options::default()).expect("a header");
    let mut rows = 0;
    while let Some(row) = trace.next_row().expect("good rows") {
        black_box(row);
        rows += 1;
    }
    rows
}

#[divan::bench]
fn rows_in_utc(bencher: Bencher) {
    bencher.counter(ItemsCount::new(ROWS)).bench(|| read(black_box(&ZULU)));
}

#[divan::bench]
fn rows_with_an_offset(bencher: Bencher) {
    bencher.counter(ItemsCount::new(ROWS)).bench(|| read(black_box(&OFFSET)));
}

#[divan::bench]
fn rows_through_the_engine(bencher: Bencher) {
    let resin = holdoff_tests::engine::resin(&invented::s1());
    bencher.counter(ItemsCount::new(ROWS)).bench(|| {
        let plan = Plan { fixings: Vec::new(), hands: Hands::NONE };
        let group =
            build(&resin, Settings::DEFAULT, Rule::Coldest, &plan).expect("the coldest rule is always permitted");
        let mut trace = Trace::new("bench.csv", black_box(&ZULU[..]), &Options::default()).expect("a header");
        run(&mut trace, group, &plan, &mut Unwatched).expect("good rows").group.readings()
    });
}
