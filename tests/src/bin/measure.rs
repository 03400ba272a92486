//! What only the running image tells of its budgets: stack and instructions. `tests/budgets` runs this and holds the lines
//! `name figure` against its limits.
//!
//! How: the RAM above everything static is painted before the start; what is not painted any more was stack. Instructions are
//! counted one by one from one reading to the next, with all that the run loop asks in between, and given to the part of the
//! firmware that they stand in. A copy, a division or a hash is counted to the part that called it.

use holdoff::link::Patience;
use holdoff::resin_file::ResinFile;
use holdoff_core::fixing::{FixingSpec, Stage, TorqueRange};
use holdoff_core::log::Bytes;
use holdoff_core::quantity::{Span, Torque};
use holdoff_core::resin::Hole;
use holdoff_tests::emulator::{
    Button, Counting, Deed, EmulatorError, Felt, Held, Image, Kind, MEMORY_SIZE, Machine, Part, Parts, RAM, RAM_SIZE,
    Setup, Site, blank_memory, known_seed, load_job, shipment, talk,
};
use holdoff_tests::link_command::holdoff_link;
use holdoff_tests::log_sample;
use holdoff_tests::random::numbers;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The demo's resin, an invented one.
const RESIN: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../host-sim/demo/harbour-slow.toml");
/// 2026-01-05T06:00:00Z.
const MORNING: i64 = 1_767_592_800;
/// Seconds between readings.
const PERIOD: i64 = 60;
/// As many as a logger takes.
const FIXINGS: usize = 16;
/// Readings that are counted: nine hours, before the first cure, with a page of the log that becomes full.
const READINGS: i64 = 540;
/// Readings without noise at the beginning, in which the probe settles and everything is injected and seated.
const STEADY: i64 = 30;
/// What the RAM is painted with.
const PAINT: u8 = 0xC5;

/// A logger on its board.
struct Bench {
    site: Site,
    memory: PathBuf,
    image: &'static Image,
}

/// 15 °C while the probe settles and the fixings are set; then 15 °C to 16 °C, anything between in every minute: more than a
/// sensor's noise, so that no reading is as cheap as one expected.
fn felt() -> Vec<Felt> {
    let mut dice = numbers(15);
    let mut noise = |minute| if minute < STEADY { 0 } else { (dice() % 16) as i32 };
    (0..24 * 60).map(|minute| Felt { at: MORNING + minute * PERIOD, sixteenths: 240 + noise(minute) }).collect()
}

impl Bench {
    fn start(memory: PathBuf, clock: i64, counting: Counting<'_>, paint: Option<u8>) -> Result<Self, EmulatorError> {
        let (image, felt) = (Image::get(Kind::Release)?, felt());
        let setup = Setup { counting, paint, ..Setup::plain(image, &memory, clock, felt[0].sixteenths) };
        let machine = Machine::start(&setup)?;
        Ok(Self { site: Site::new(machine, felt), memory, image })
    }

    /// A logger with a job of sixteen fixings, all of them curing.
    fn curing(directory: &Path, counting: Counting<'_>, paint: Option<u8>) -> Result<Self, EmulatorError> {
        let memory = directory.join("memory.bin");
        blank_memory(&memory)?;
        let mut bench = Self::start(memory, MORNING - 6, counting, paint)?;
        bench.site.advance(MORNING)?;
        bench.load()?;
        bench.site.advance(MORNING + 4 * PERIOD + PERIOD / 2)?;
        bench.site.press(Button::Right)?;
        for deed in [Deed::Inject, Deed::Seat] {
            for _ in 0..FIXINGS {
                bench.site.press_all(&deed.presses())?;
                bench.site.press(Button::Right)?;
            }
        }
        let count = bench.count(|stage| matches!(stage, Stage::Curing))?;
        if count == FIXINGS { Ok(bench) } else { Err(EmulatorError::Device(format!("{count} fixings are curing"))) }
    }

    /// How many fixings are at such a stage.
    fn count(&self, such: fn(Stage) -> bool) -> Result<usize, EmulatorError> {
        let held = Held::read(&self.memory)?;
        let status = |place| held.as_ref().and_then(|held| held.status(place));
        Ok((0..16).filter_map(status).filter(|status| such(status.stage)).count())
    }

    fn is_cured(&self) -> Result<bool, EmulatorError> {
        Ok(self.count(|stage| matches!(stage, Stage::Cured(_)))? == FIXINGS)
    }

    fn load(&mut self) -> Result<(), EmulatorError> {
        let resin = ResinFile::load(RESIN).map_err(|problem| EmulatorError::File(format!("{problem:?}")))?;
        let spec = FixingSpec { hole: Hole::Wet, torque: Some(range()) };
        let fixings = (1..=FIXINGS).map(|number| (format!("quay stud {number}"), spec, None)).collect();
        let shipment = shipment(&resin, Span::from_seconds(PERIOD as u32), 60, fixings);
        load_job(&mut self.site.machine, &shipment, Patience::default())
    }

    /// Bytes from the end of the RAM down to the last that is not painted.
    fn stack(&mut self) -> Result<usize, EmulatorError> {
        let ram = self.site.machine.ram()?;
        let from = (self.image.static_end - RAM) as usize;
        let painted = ram[from..].iter().take_while(|byte| **byte == PAINT).count();
        Ok(RAM_SIZE as usize - from - painted)
    }
}

fn range() -> TorqueRange {
    let newton_metres = Torque::from_hundredths;
    TorqueRange::new(newton_metres(1800), newton_metres(2200)).expect("18 is less than 22")
}

/// What each part executed for a reading, on average over those before the first cure, and at most over all up to the last cure;
/// and for one while the display is lit.
fn readings(directory: &Path) -> Result<(), EmulatorError> {
    let parts = Parts::of(Image::get(Kind::Release)?)?;
    let mut bench = Bench::curing(directory, Counting::ByPart(&parts), None)?;
    let first = (bench.site.machine.now_ms()?.div_euclid(1000) - MORNING) / PERIOD + 3; // the display is dark by then
    bench.site.advance(MORNING + first * PERIOD + 1)?;
    let mut sums = Vec::new();
    for reading in first + 1..=first + READINGS {
        bench.site.machine.forget()?;
        bench.site.advance(MORNING + reading * PERIOD + 1)?;
        sums.push(parts.sum(&bench.site.machine.counts()?)?);
    }
    let average = sums.len();
    let mut reading = first + READINGS;
    while !bench.is_cured()? {
        reading += 1;
        bench.site.machine.forget()?;
        bench.site.advance(MORNING + reading * PERIOD + 1)?;
        sums.push(parts.sum(&bench.site.machine.counts()?)?);
    }
    let print = |name: &str, of: &dyn Fn(&BTreeMap<Part, u64>) -> u64| {
        let all: Vec<u64> = sums.iter().map(of).collect();
        let mean = all[..average].iter().sum::<u64>().div_ceil(average as u64);
        let most = all.iter().max().copied().unwrap_or(0);
        println!("{name} {mean} {most}");
        most
    };
    for part in Part::ALL {
        print(&format!("part {}", part.name()), &|sums| sums[&part]);
    }
    let most = print("engine_and_log", &|sums| sums[&Part::Engine] + sums[&Part::Log]);
    println!("worst_reading {most}");
    // once more with the display lit for the second half of the minute
    let reading = MORNING + (reading + 1) * PERIOD;
    bench.site.advance(reading - PERIOD / 2)?;
    bench.site.press(Button::Right)?;
    bench.site.advance(reading - PERIOD / 2 + 3)?;
    bench.site.machine.forget()?;
    bench.site.advance(reading + 1)?;
    for (part, executed) in parts.sum(&bench.site.machine.counts()?)? {
        println!("part lit_{} {executed}", part.name());
    }
    Ok(())
}

/// A memory that is full of one session with sixteen fixings; the time of the reading that found no room.
fn full_memory() -> (Vec<u8>, i64) {
    let mut logger = log_sample::blank(MEMORY_SIZE, log_sample::device_of(known_seed()));
    logger.begin(&log_sample::beginning()).expect("blank");
    for number in 1..=FIXINGS {
        logger.add(Bytes::cut(&format!("quay stud {number}")), log_sample::spec()).expect("room");
    }
    let last = log_sample::fill(&mut logger, MORNING - 100 * 86_400);
    (logger.memory().bytes().to_vec(), last)
}

/// The deepest stack of a logger that does everything: job and read-out over the link, sixteen fixings, every page of each, a
/// release that is signed, its code, coming up again with all that in its memory, and with a memory that is full.
fn stack(directory: &Path) -> Result<(), EmulatorError> {
    let mut bench = Bench::curing(directory, Counting::No, Some(PAINT))?;
    println!("part stack_until_cure {}", bench.stack()?);
    let walk = [&[Button::Right][..], &[Button::Down; 12], &[Button::Up; 14], &[Button::Select, Button::Left]].concat();
    bench.site.press_all(&walk)?;
    println!("part stack_pages {}", bench.stack()?);
    bench.site.advance(MORNING + 12 * 3600)?;
    let middle = holdoff_firmware::view::middle(range());
    bench.site.press_all(&[Button::Right, Button::Right])?;
    bench.site.press_all(&Deed::Torque(middle, middle).presses())?;
    println!("part stack_release {}", bench.stack()?);
    for _ in 0..FIXINGS {
        bench.site.press_all(&walk)?;
    }
    println!("part stack_all_pages {}", bench.stack()?);
    let read = directory.join("read.bin").to_string_lossy().into_owned();
    for arguments in [&["identity"][..], &["status"], &["read", &read]] {
        let (exit, _, errors) =
            talk(&mut bench.site.machine, |port: &Path| holdoff_link(&format!("unix:{}", port.display()), arguments))?;
        if exit != 0 {
            return Err(EmulatorError::Device(errors));
        }
    }
    let first = bench.stack()?;
    println!("part stack_link {first}");
    let clock = bench.site.machine.now_ms()?.div_euclid(1000) + 60;
    let held = Held::read(&bench.memory)?;
    let released = (0..16).filter_map(|place| held.as_ref()?.status(place));
    if released.filter(|status| matches!(status.stage, Stage::Released(_))).count() == 0 {
        return Err(EmulatorError::Device("nothing is released".to_owned()));
    }
    let memory = bench.memory.clone();
    bench.site.machine.cut()?;
    let mut bench = Bench::start(memory, clock, Counting::No, Some(PAINT))?;
    bench.site.advance(clock + 90)?;
    let second = bench.stack()?;
    println!("part stack_after_restart {second}");
    bench.site.machine.cut()?;
    let (memory, last) = (directory.join("full.bin"), full_memory());
    std::fs::write(&memory, last.0)?;
    let clock = last.1.max(MORNING);
    let mut bench = Bench::start(memory, clock, Counting::No, Some(PAINT))?;
    bench.site.advance(clock + 90)?;
    bench.site.press_all(&walk)?;
    let third = bench.stack()?;
    println!("part stack_full_memory {third}");
    println!("stack {}", first.max(second).max(third));
    Ok(())
}

fn main() -> ExitCode {
    let measured = tempfile::tempdir().map_err(EmulatorError::from).and_then(|directory| {
        stack(directory.path())?;
        readings(directory.path())
    });
    match measured {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("measure: {error}");
            ExitCode::FAILURE
        }
    }
}
