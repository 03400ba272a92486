//! What only the running image tells of its budgets: stack and instructions. `tests/budgets` runs this and holds the lines
//! `name figure` against its limits.
//!
//! How: the RAM above everything static is painted before the start; what is not painted any more was stack. Instructions are
//! counted one by one from one reading to the next, with all that the run loop asks in between, and given to the part of the
//! firmware that they stand in. A copy, a division or a hash is counted to the part that called it.

use holdoff::link::{BatchText, Patience};
use holdoff_core::fixing::{FixingSpec, Stage, TorqueRange};
use holdoff_core::log::Bytes;
use holdoff_core::quantity::{Span, Torque};
use holdoff_core::resin::Hole;
use holdoff_disk::Load;
use holdoff_files::resin_file::ResinFile;
use holdoff_tests::emulator::{
    Button, Counting, Deed, EmulatorError, Felt, Held, Image, Kind, MEMORY_SIZE, Machine, Part, Parts, RAM, RAM_SIZE,
    Setup, Site, blank_memory, known_seed, load_job, shipment, talk,
};
use holdoff_tests::link_command::holdoff_link;
use holdoff_tests::log_sample;
use holdoff_tests::page_turn::{Filler, filler};
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
    fn curing(
        directory: &Path,
        filler: Filler,
        counting: Counting<'_>,
        paint: Option<u8>,
    ) -> Result<Self, EmulatorError> {
        let memory = directory.join("memory.bin");
        blank_memory(&memory)?;
        let mut bench = Self::start(memory, MORNING - 6, counting, paint)?;
        bench.site.advance(MORNING)?;
        bench.load(filler)?;
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

    fn load(&mut self, filler: Filler) -> Result<(), EmulatorError> {
        let resin = ResinFile::load(RESIN).map_err(|problem| EmulatorError::File(format!("{problem:?}")))?;
        let spec = FixingSpec { hole: Hole::Wet, torque: Some(range()) };
        let batch = |number| (number <= filler.fixings).then(|| BatchText { text: filler.batch(), use_by: None });
        let fixings = (1..=FIXINGS).map(|number| (format!("quay stud {number}"), spec, batch(number))).collect();
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

/// What each part executed.
type Executed = BTreeMap<Part, u64>;

/// After a reading so many seconds belong to what it makes due: the head that is signed over a cure.
const AFTER: i64 = 4;

impl Bench {
    /// Sees one reading, and what follows it at once.
    fn reading(&mut self, parts: &Parts, at: i64, before: Executed) -> Result<Seen, EmulatorError> {
        self.site.machine.forget()?;
        self.site.advance(at + 1)?;
        let mut reading = parts.sum(&self.site.machine.counts()?)?;
        for (part, executed) in before {
            *reading.entry(part).or_default() += executed;
        }
        self.site.machine.forget()?;
        self.site.advance(at + AFTER)?;
        let after = parts.sum(&self.site.machine.counts()?)?;
        Ok(Seen { reading, after })
    }
}

/// What was executed for one reading, from the end of the one before it on; and in the seconds after it.
struct Seen {
    reading: Executed,
    after: Executed,
}

impl Seen {
    /// What the seconds after it leave for the next reading: all, where nothing was signed in them.
    fn rest(&self) -> Executed {
        if self.after[&Part::Seal] == 0 { self.after.clone() } else { Executed::new() }
    }
}

fn of_log(executed: &Executed) -> u64 {
    executed[&Part::Engine] + executed[&Part::Log]
}

/// What each part executed for a reading, on average over those before the first cure, and at most over all up to the last cure;
/// and for one while the display is lit. The memory as it is then.
fn readings(directory: &Path, parts: &Parts) -> Result<(Vec<u8>, i64, u64), EmulatorError> {
    let mut bench = Bench::curing(directory, Filler::NONE, Counting::ByPart(parts), None)?;
    let first = (bench.site.machine.now_ms()?.div_euclid(1000) - MORNING) / PERIOD + 3; // the display is dark by then
    bench.site.advance(MORNING + first * PERIOD + AFTER)?;
    let (mut all, mut rest) = (Vec::new(), Executed::new());
    let mut reading = first;
    while reading < first + READINGS || !bench.is_cured()? {
        reading += 1;
        let seen = bench.reading(parts, MORNING + reading * PERIOD, rest)?;
        rest = seen.rest();
        all.push(seen);
    }
    let average = READINGS as usize;
    let print = |name: &str, of: &dyn Fn(&Executed) -> u64| {
        let sums: Vec<u64> = all.iter().map(|seen| of(&seen.reading)).collect();
        let mean = sums[..average].iter().sum::<u64>().div_ceil(average as u64);
        let most = sums.iter().max().copied().unwrap_or(0);
        println!("{name} {mean} {most}");
        most
    };
    for part in Part::ALL {
        print(&format!("part {}", part.name()), &|sums| sums[&part]);
    }
    let most = print("engine_and_log", &of_log);
    let signed = all.iter().filter(|seen| seen.after[&Part::Seal] > 0).map(|seen| of_log(&seen.after)).max();
    println!("part log_of_a_head {}", signed.unwrap_or(0));
    let memory = std::fs::read(&bench.memory)?;
    // once more with the display lit for the second half of the minute
    let lit = MORNING + (reading + 1) * PERIOD;
    bench.site.advance(lit - PERIOD / 2)?;
    bench.site.press(Button::Right)?;
    bench.site.advance(lit - PERIOD / 2 + 3)?;
    bench.site.machine.forget()?;
    bench.site.advance(lit + 1)?;
    for (part, executed) in parts.sum(&bench.site.machine.counts()?)? {
        println!("part lit_{} {executed}", part.name());
    }
    Ok((memory, reading, most))
}

/// The same run once more, with so much text in its batches that the reading of the cures begins a page: what that one takes.
fn page_turn(directory: &Path, parts: &Parts, memory: &[u8], reading: i64) -> Result<u64, EmulatorError> {
    let filler = filler(memory, known_seed()).map_err(EmulatorError::Device)?;
    let mut bench = Bench::curing(directory, filler, Counting::ByPart(parts), None)?;
    bench.site.advance(MORNING + (reading - 1) * PERIOD + AFTER)?;
    let pages = |bench: &Bench| Held::read(&bench.memory).map(|held| held.and_then(|held| held.replay.head()));
    let before = pages(&bench)?;
    let seen = bench.reading(parts, MORNING + reading * PERIOD, Executed::new())?;
    match (before, pages(&bench)?, bench.is_cured()?) {
        (Some(before), Some(after), true) if before.page < after.page => Ok(of_log(&seen.reading)),
        (before, after, cured) => {
            Err(EmulatorError::Device(format!("no page turned at the cure: {before:?} {after:?} {cured}")))
        }
    }
}

/// A memory that is full of one session with sixteen fixings; the time of the reading that found no room.
fn full_memory() -> (Vec<u8>, i64) {
    let mut logger = log_sample::blank(MEMORY_SIZE, log_sample::owner_of(known_seed()));
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
    let mut bench = Bench::curing(directory, Filler::NONE, Counting::No, Some(PAINT))?;
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
        let parts = Parts::of(Image::get(Kind::Release)?)?;
        let (memory, reading, most) = readings(directory.path(), &parts)?;
        let turn = page_turn(directory.path(), &parts, &memory, reading)?;
        println!("part page_turn_with_all_cures {turn}");
        println!("worst_reading {}", most.max(turn));
        Ok(())
    });
    match measured {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("measure: {error}");
            ExitCode::FAILURE
        }
    }
}
