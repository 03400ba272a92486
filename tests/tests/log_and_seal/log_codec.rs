//! What readings cost, and that every series comes back.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::group::Happening;
use holdoff_core::log::read::{Found, Log};
use holdoff_core::log::{Acknowledged, Beginning, Clock, ClockTie, Item, Logger, Source};
use holdoff_core::probe::SensorKind;
use holdoff_core::quantity::{Count, Instant};
use holdoff_tests::log_sample::{DEVICE, beginning, blank};
use holdoff_tests::log_series::{entropy, minutes};
use holdoff_tests::memory::FakeMemory;
use holdoff_tests::random::numbers;

/// Logs the readings, the hourly word on the clocks included, and gives the memory.
fn logged(beginning: &Beginning, readings: &[(i64, i16)]) -> FakeMemory {
    let mut logger: Logger<FakeMemory> = blank(256 * 1024, DEVICE);
    logger.begin(beginning).expect("blank");
    let mut hour = None;
    for (at, raw) in readings {
        let at = Instant::from_seconds(*at);
        if hour != Some(at.seconds().div_euclid(3600)) {
            hour = Some(at.seconds().div_euclid(3600));
            logger.clock(ClockTie { at, utc: at.seconds() + 5, offset_minutes: 60 }).expect("room");
        }
        match logger.happen(Happening::Reading { at, count: Count::new(*raw) }, &mut |_| {}) {
            Ok(Acknowledged::Stored(_)) => {}
            other => panic!("{other:?}"),
        }
    }
    logger.into_memory()
}

/// The readings, and how many hourly words say that the clocks agreed.
fn read_back(memory: &FakeMemory) -> (Vec<(i64, i16)>, usize) {
    let log = Log::open(memory.bytes(), &mut |_| {}).expect("a log");
    let (mut readings, mut agreed) = (Vec::new(), 0);
    for found in log.pages() {
        let Found::Page(_, page) = found else { panic!("{found:?}") };
        for read in page.read() {
            let read = read.expect("a whole page");
            agreed += usize::from(read.clock == Some(Clock::Agreed));
            if let Item::Reading { at, count } = read.item {
                readings.push((at.seconds(), count.raw()));
            }
        }
    }
    (readings, agreed)
}

/// Names, minutes between recorded rows, noise in °C.
const SERIES: [(&str, u32, f64); 6] = [
    ("mountain-winter-5min", 5, 0.0),
    ("mountain-winter-5min", 5, 0.02),
    ("mountain-winter-5min", 5, 0.06),
    ("upland-winter-10min", 10, 0.0),
    ("upland-winter-10min", 10, 0.02),
    ("upland-winter-10min", 10, 0.05),
];

#[test]
fn one_minute_series_cost_little_more_than_their_entropy_with_all_headers() {
    println!("{:28} {:>8} {:>9} {:>9} {:>6}", "series, noise in °C", "readings", "entropy", "log", "ratio");
    for (name, every, noise) in SERIES {
        let counts: Vec<i16> = minutes(name, every, noise).into_iter().take(60_000).collect();
        let readings: Vec<(i64, i16)> =
            counts.iter().zip(0i64..).map(|(count, minute)| (1_700_000_000 + 60 * minute, *count)).collect();
        let memory = logged(&beginning(), &readings);
        let (back, agreed) = read_back(&memory);
        let usage = Log::open(memory.bytes(), &mut |_| {}).expect("a log").usage();
        assert_eq!(usage.readings, readings.len() as u64);
        assert!(back == readings, "{name}, {noise} °C");
        assert!(agreed >= readings.len() / 60 - 1, "{agreed} hourly words on the clocks");
        let (least, found) = (entropy(&counts), usage.reading_bytes as f64 / readings.len() as f64);
        let ratio = found / least;
        println!("{:28} {:8} {least:9.3} {found:9.3} {ratio:6.3}", format!("{name}, {noise}"), readings.len());
        assert!(ratio <= 1.15, "{name}, {noise} °C: {found} of {least}");
    }
}

#[test]
fn random_series_come_back_whatever_their_times_and_counts() {
    let sources = [
        Source::Trace,
        Source::Sensor(SensorKind::TwelveBit),
        Source::Sensor(SensorKind::ThirteenBit),
        Source::Sensor(SensorKind::SixteenBit),
        Source::Sensor(SensorKind::OneWire),
    ];
    for seed in 0..2_000u64 {
        let mut numbers = numbers(seed);
        let source = sources[(numbers() % 5) as usize];
        let (wild, uneven) = (numbers() % 3, numbers() % 3);
        let mut at = (numbers() as i64) >> (2 + numbers() % 60);
        let mut raw = 0i16;
        let readings: Vec<(i64, i16)> = (0..1 + numbers() % 400)
            .map(|_| {
                at += match (uneven, numbers() % 16) {
                    (0, _) | (1, 1..) => 60,
                    (1, 0) => 300,
                    _ => (numbers() % 400) as i64 - 20,
                };
                raw = match (wild, numbers() % 16) {
                    (0, _) | (1, 1..) => raw.wrapping_add((numbers() % 5) as i16 * 16 - 32),
                    (1, 0) => numbers() as i16,
                    _ => raw.wrapping_add((numbers() % 700) as i16 - 350),
                };
                (at, raw)
            })
            .collect();
        let beginning = Beginning { source, ..beginning() };
        assert!(read_back(&logged(&beginning, &readings)).0 == readings, "seed {seed}");
    }
}

#[test]
fn the_budget_of_the_reserve_covers_a_probe_that_jumps_over_all_that_is_accepted() {
    println!("{:34} {:>9}", "worst series", "B/reading");
    for (source, most, budget) in [(Source::Sensor(SensorKind::TwelveBit), 96, 10.0), (Source::Trace, 1536, 16.0)] {
        let mut numbers = numbers(3);
        let unit = 1i16 << source.quantum_bits();
        let mut raw = 20 * 256i16;
        let readings: Vec<(i64, i16)> = (0..20_000i64)
            .map(|minute| {
                let step = (numbers() % (2 * most + 1)) as i16 - most as i16;
                let next = raw + step * unit;
                raw = if next.abs_diff(20 * 256) > 25 * 256 { raw - step * unit } else { next };
                (1_700_000_000 + 60 * minute, raw)
            })
            .collect();
        let memory = logged(&Beginning { source, ..beginning() }, &readings);
        let usage = Log::open(memory.bytes(), &mut |_| {}).expect("a log").usage();
        let found = usage.reading_bytes as f64 / readings.len() as f64;
        println!("{:34} {found:9.3}", format!("{source:?}"));
        assert!(found * 8.0 < budget, "{found}");
    }
}
