//! The battery estimate of `docs/hardware.md`: what is counted there is counted again here, and what is reckoned from it is
//! reckoned again, so that the page cannot drift from the firmware.

use crate::emulated_support::{DEMO_RESIN, every, minutes};
use holdoff_core::quantity::Span;
use holdoff_core::resin::Hole;
use holdoff_disk::Load;
use holdoff_files::resin_file::ResinFile;
use holdoff_tests::emulator::{Counting, Cure, Felt, Image, Kind, Machine, Setup, Site, blank_memory};
use holdoff_tests::fake_board::{Bench, JobPlan, START, World, noisy, plan};
use std::collections::BTreeMap;
use std::path::Path;

const PAGE: &str = include_str!("../../../docs/hardware.md");
/// Bits of a byte on the bus, with its acknowledge, and bits in a second.
const BITS: f64 = 9.0;
const BIT_RATE: f64 = 100_000.0;

/// The rows of the page's table whose heading begins so: cells without the marks of code.
fn rows(heading: &str) -> Vec<Vec<String>> {
    let start = PAGE.find(heading).unwrap_or_else(|| panic!("no table with the heading {heading}"));
    let lines = PAGE[start..].lines().skip(2).take_while(|line| line.starts_with('|'));
    lines.map(|line| line.trim_matches('|').split('|').map(|cell| cell.trim().replace('`', "")).collect()).collect()
}

fn number(cell: &str) -> f64 {
    cell.replace(' ', "").parse().unwrap_or_else(|_| panic!("no number: {cell}"))
}

/// What an hour takes, with the display dark.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Hour {
    wakes: f64,
    bytes: f64,
    instructions: f64,
}

fn stated() -> BTreeMap<String, Hour> {
    let hour =
        |row: &Vec<String>| Hour { wakes: number(&row[1]), bytes: number(&row[2]), instructions: number(&row[3]) };
    rows("| dark for an hour |").iter().map(|row| (row[0].clone(), hour(row))).collect()
}

/// A job of this period, or none; the display has been dark for a while.
fn dark(period: Option<u32>) -> Bench {
    let mut bench = <Bench>::on(World::new(START, 65_536));
    bench.run(10);
    if let Some(period) = period {
        bench.load(&JobPlan { period, ..plan(4) });
        bench.run(185);
        bench.inject(0);
        bench.run(60);
        bench.seat(0);
    }
    bench.world.borrow_mut().probe.sixteenths = Box::new(noisy);
    bench.run(900);
    bench
}

/// Wakes and bytes on the bus of an hour, on the fake board.
fn counted(period: Option<u32>) -> (f64, f64) {
    let mut bench = dark(period);
    let (end, bytes) = (bench.world.borrow().now + 3_600_000_000, bench.world.borrow().carried);
    let mut wakes = 0;
    while bench.world.borrow().now < end {
        let until = bench.step();
        wakes += 1;
        assert!(!bench.world.borrow().lit);
        bench.world.borrow_mut().sleep_until(until);
    }
    (f64::from(wakes), (bench.world.borrow().carried - bytes) as f64)
}

/// The hours of the page, and the period of the job that is loaded in each.
const HOURS: [(&str, Option<u32>); 3] =
    [("no job", None), ("a reading every minute", Some(60)), ("a reading every 10 s", Some(10))];

#[test]
fn wakes_and_bytes_of_a_dark_hour_are_those_of_the_page() {
    let stated = stated();
    let mut wrong = Vec::new();
    for (name, period) in HOURS {
        let (wakes, bytes) = counted(period);
        let page = stated[name];
        if (page.wakes / wakes - 1.0).abs() > 0.05 || (page.bytes / bytes - 1.0).abs() > 0.05 {
            wrong.push(format!("{name}: {wakes} wakes and {bytes} bytes, the page says {page:?}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Instructions of an hour, on the emulated board.
fn executed(period: Option<i64>) -> f64 {
    let resin = ResinFile::load(DEMO_RESIN).unwrap();
    let directory = tempfile::tempdir().unwrap();
    let memory = directory.path().join("memory.bin");
    // a slow morning: the value changes with every other row
    let mut trace = minutes("2026-01-05T06:00:00Z", &[(0, 11.0), (60, 12.0), (90, 11.5)]);
    let begins = trace[0].seconds;
    if let Some(period) = period {
        trace = every(period, &trace);
    }
    let cure = Cure {
        rows: &trace,
        resin: &resin,
        hole: Hole::Dry,
        settle: Span::from_seconds(180),
        inject: begins + 190,
        seat: Some(begins + 250),
        torque: None,
        offset_minutes: 0,
        until: begins + 450,
    };
    blank_memory(&memory).unwrap();
    let (image, first) = (Image::get(Kind::Release).unwrap(), Felt::of(&trace[0]));
    let setup = Setup { counting: Counting::Yes, ..Setup::plain(image, &memory, begins - 6, first.sixteenths) };
    let machine = Machine::start(&setup).unwrap();
    let mut site = Site::new(machine, trace.iter().map(Felt::of).collect());
    if period.is_some() {
        cure.load(&mut site).unwrap();
        assert_eq!(cure.go(&mut site, Path::new(&memory)).unwrap(), []);
    } else {
        site.advance(cure.until).unwrap();
    }
    assert!(site.machine.look().unwrap().is_dark());
    site.machine.forget().unwrap();
    site.advance(cure.until + 600).unwrap();
    let counts = site.machine.counts().unwrap();
    6.0 * counts.iter().map(|(_, times)| f64::from(*times)).sum::<f64>()
}

#[test]
fn instructions_of_a_dark_hour_are_no_more_than_the_page_says() {
    let stated = stated();
    let mut wrong = Vec::new();
    for (name, period) in HOURS {
        let (executed, page) = (executed(period.map(i64::from)), stated[name].instructions);
        if !(0.66 * page..=page).contains(&executed) {
            wrong.push(format!("{name}: {executed} executed, the page says {page}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn the_days_of_the_page_follow_from_its_currents_and_counts() {
    let drawn: BTreeMap<String, f64> = rows("| drawn |").iter().map(|row| (row[0].clone(), number(&row[1]))).collect();
    let usable: Vec<f64> = rows("| cells of |").iter().map(|row| number(&row[1]) * number(&row[2])).collect();
    let stated = stated();
    let microamperes = |name: &str| drawn[name];
    let asleep: f64 = ["microcontroller", "probe", "clock chip", "memory", "display, dark", "leaks"]
        .map(microamperes)
        .into_iter()
        .sum();
    let average = |hour: Hour, lit_hours: f64, link_hours: f64| {
        let bus = hour.bytes * BITS / BIT_RATE;
        let work = hour.instructions * drawn["cycles an instruction"] / 64e6 + hour.wakes * drawn["seconds to wake"];
        asleep
            + drawn["awake"] * (bus + work) / 3600.0
            + drawn["display, lit"] * lit_hours / 24.0
            + drawn["link, plugged in"] * link_hours / 24.0
    };
    let mut seen = 0;
    for row in rows("| use |") {
        let hour = stated[&row[1]];
        let average = average(hour, number(&row[2]), number(&row[3]));
        assert_eq!(number(&row[4]), average.ceil(), "{row:?}: {average} µA");
        for (place, capacity) in usable.iter().enumerate() {
            let days = capacity * 1000.0 / average / 24.0;
            assert_eq!(number(&row[5 + place]), days.floor(), "{row:?}: {days} days");
        }
        seen += 1;
    }
    assert!(seen >= 5 && usable.len() == 4);
}
