//! A register of a hundred thousand fixings with ten million readings: opened, listed, drawn as the foreman's page, and
//! updated, beside a plain SQLite count in the same run; see `docs/performance.md`.
//!
//! The register is built first, which takes minutes: 6 250 loggers with sixteen fixings and 1 600 readings each, and
//! one of a hundredth of that, to see what an update costs with fewer fixings that did not change.
#![allow(clippy::expect_used, reason = "a broken expectation must stop the benchmark")]

use holdoff_core::fixing::{Action, FixingSpec, Injection};
use holdoff_core::group::{FixingNumber, Happening};
use holdoff_core::log::{Bytes, ClockTie, DeviceId, RamMemory, mount};
use holdoff_core::quantity::{Count, Instant};
use holdoff_core::resin::Hole;
use holdoff_present::page::{Board, BoardPage, Shown, plain, static_file};
use holdoff_register::{Life, Register};
use holdoff_tests::log_sample::beginning;
use holdoff_tests::random::numbers;
use std::path::Path;
use std::time::{Duration, Instant as Clock};

/// Loggers of the large register.
const LOGGERS: u64 = 6_250;
/// Readings of each.
const READINGS: i64 = 1_600;
/// Bytes of each memory.
const MEMORY: usize = 32_768;
/// Rounds of each measurement.
const ROUNDS: usize = 7;

/// The memory of a logger with sixteen fixings; `readings` of them.
fn memory(number: u64, readings: i64) -> Vec<u8> {
    let device = DeviceId(number.to_be_bytes());
    let mut bytes = vec![0xFF; MEMORY];
    let (mut logger, _) = mount(RamMemory(&mut bytes), device, &mut |_| {}, &mut |_| {}).expect("blank");
    logger.begin(&beginning()).expect("room");
    let spec = FixingSpec { hole: Hole::Dry, torque: holdoff_tests::log_sample::spec().torque };
    for place in 0..16 {
        logger.add(Bytes::cut(&format!("pier {} {place}", number % 1000)), spec).expect("room");
    }
    let (start, mut random, mut raw) = (1_700_000_000, numbers(number), 16 * 256i16);
    for minute in 0..readings {
        let at = start + 60 * minute;
        if minute == 0 {
            let tie = ClockTie { at: Instant::from_seconds(at), utc: at, offset_minutes: 60 };
            logger.clock(tie).expect("room");
        }
        raw += 16 * ((random() % 16 == 0) as i16 - (random() % 16 == 0) as i16);
        let reading = Happening::Reading { at: Instant::from_seconds(at), count: Count::new(raw) };
        let _ = logger.happen(reading, &mut |_| {}).expect("room");
        // every second fixing is injected and seated, one after another
        let place = (minute / 80) as u8;
        let act = |action| {
            let fixing = FixingNumber::new(place).expect("below sixteen");
            Happening::Action { at: Instant::from_seconds(at + 1), fixing, action }
        };
        if place < 16 && place % 2 == 0 && minute % 80 == 1 {
            let _ = logger.happen(act(Action::Inject(Injection::default())), &mut |_| {});
        }
        if place < 16 && place % 2 == 0 && minute % 80 == 3 {
            let _ = logger.happen(act(Action::Seat), &mut |_| {});
        }
    }
    bytes
}

fn build(file: &Path, loggers: u64) {
    let mut register = Register::open_or_make(file).expect("a new file");
    for number in 1..=loggers {
        register.add_image("bench", &memory(number, READINGS), None, Life::GoesOn, 1_700_000_000).expect("taken in");
    }
}

/// A time taken several times.
#[derive(Clone, Copy)]
struct Taken {
    median: Duration,
    /// The one that other work on the machine disturbed least.
    fastest: Duration,
}

impl Taken {
    fn of(mut times: Vec<Duration>) -> Self {
        times.sort_unstable();
        Self { median: times[times.len() / 2], fastest: times[0] }
    }
}

/// The time of a piece of work.
fn time<T>(mut work: impl FnMut() -> T) -> Taken {
    let times = (0..ROUNDS).map(|_| {
        let started = Clock::now();
        std::hint::black_box(work());
        started.elapsed()
    });
    Taken::of(times.collect())
}

fn filled(file: &Path) -> Board {
    let mut board = Board::new(None);
    Register::open(file).expect("there").fill(&mut board).expect("read");
    board
}

fn main() {
    let folder = std::env::temp_dir().join(format!("holdoff-register-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let (large, small) = (folder.join("large.db"), folder.join("small.db"));
    let started = Clock::now();
    build(&large, LOGGERS);
    build(&small, LOGGERS / 100);
    let bytes = std::fs::metadata(&large).expect("there").len();
    println!("built in {:.0?}, {} MiB", started.elapsed(), bytes / 1024 / 1024);

    let count = time(|| {
        let plain = rusqlite::Connection::open(&large).expect("there");
        plain.query_row("SELECT count(*) FROM fixing", [], |row| row.get::<_, i64>(0)).expect("counted")
    });
    let tell = |what: &str, taken: Taken| {
        let ratio = taken.fastest.as_secs_f64() / count.fastest.as_secs_f64();
        println!("{what}: median {:.1?}, fastest {:.1?}, {ratio:.1} times the count", taken.median, taken.fastest);
    };
    tell("plain count of the fixings", count);
    tell("opened", time(|| Register::open(&large).expect("there")));
    tell("listed", time(|| Register::open(&large).expect("there").fixings_since(-1).expect("read").len()));
    tell("board filled after start", time(|| filled(&large).len()));
    let board = filled(&large);
    let page = |shown| BoardPage { board: &board, group: None, shown, now: 1_700_100_000, since: Some("0-1") };
    println!("{} fixings, {} bytes of page", board.len(), page(Shown::Few).html().len());
    tell("page drawn", time(|| page(Shown::Few).html().len()));
    tell("page of one group", time(|| BoardPage { group: Some("pier 7"), ..page(Shown::Few) }.html().len()));
    tell("file with every fixing", time(|| static_file(&board, 1_700_100_000).len()));
    tell("terminal with every fixing", time(|| plain(&board, None, 1_700_100_000).len()));
    for (name, file) in [("large", &large), ("small", &small)] {
        tell(&format!("update after an addition, {name} register"), updated(file));
    }
    std::fs::remove_dir_all(&folder).expect("removed");
}

/// The time that a board takes to follow the addition of one memory.
fn updated(file: &Path) -> Taken {
    let mut board = filled(file);
    let reader = Register::open(file).expect("there");
    let times = (0..ROUNDS as u64)
        .map(|round| {
            let mut writer = Register::open_or_make(file).expect("there");
            let image = memory(1 << 40 | round, 200);
            writer.add_image("bench", &image, None, Life::GoesOn, 1_700_000_000).expect("taken in");
            let started = Clock::now();
            let changed = reader.fill(&mut board).expect("read");
            let time = started.elapsed();
            assert_eq!(changed, 16, "one logger's fixings and no others");
            time
        })
        .collect();
    Taken::of(times)
}
