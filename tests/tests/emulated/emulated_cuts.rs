//! Power cuts on the emulated board, at any instruction of a cure and in the middle of what is being written.
//!
//! How: one cure runs undisturbed, and its diary says what had been written and shown by which instruction. Then the same cure
//! again and again, its power cut at a random instruction; the board starts anew on the memory that is left, with a clock that
//! went on in the dark, and whoever stands at the buttons goes on. The emulator never tears a write, so for most of the cuts
//! that fall among the bytes of one the memory is made to be one whose next write had just begun.
//! More cuts than usual: `HOLDOFF_HISTORIES=500`.

use crate::emulated_support::life::{Heading, Life};
use crate::emulated_support::surviving::{reports, too_late};
use crate::emulated_support::{every, minutes};
use holdoff_core::fixing::{Stage, Status, TorqueRange};
use holdoff_core::group::Darkness;
use holdoff_core::log::{Item, Record, ResetCause, Trust};
use holdoff_core::quantity::{Instant, Span, Torque};
use holdoff_core::resin::Hole;
use holdoff_files::resin_file::ResinFile;
use holdoff_files::stamp::{Stamp, format_seconds};
use holdoff_tests::emulator::{
    Counting, Cure, EmulatorError, Felt, Held, Idle, Image, Kind, Machine, Setup, Site, holdoff, known_seed, memories,
    write_keys,
};
use holdoff_tests::fake_board::items;
use holdoff_tests::invented::celsius;
use holdoff_tests::random::{histories, numbers};
use holdoff_tests::reference::{self, RefBand, RefResin};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU64, Ordering};

/// Invented, and quicker than any resin.
const RESIN: &str = r#"
name = "Harbour quick (invented)"
demo = true
[substrate]
install_least = 5.0
install_greatest = 35.0
cure_least = 5.0
cure_greatest = 35.0
reject_below = -5.0
reject_above = 60.0
longest_hold = "2h"
[cartridge]
least = 5.0
greatest = 35.0
[hole]
allowed = ["dry", "wet"]
wet_factor = 2
[accrual]
permitted = false
[[band]]
from = 5.0
working = "10min"
cure = "30min"
[[band]]
from = 20.0
working = "3min"
cure = "4min"
"#;

/// The same for the slow reference, its numbers stated once more; times in seconds.
fn quick() -> RefResin {
    RefResin {
        install_least: celsius("5"),
        install_greatest: celsius("35"),
        cure_least: celsius("5"),
        cure_greatest: celsius("35"),
        reject_below: Some(celsius("-5")),
        reject_above: Some(celsius("60")),
        longest_hold: Some(7200),
        cartridge_least: celsius("5"),
        cartridge_greatest: celsius("35"),
        allowed: vec![reference::Hole::Dry, reference::Hole::Wet],
        wet_factor: 2,
        bands: vec![
            RefBand { from: celsius("5"), working: 600, cure: 1800 },
            RefBand { from: celsius("20"), working: 180, cure: 240 },
        ],
    }
}

/// Seconds between readings.
const PERIOD: i64 = 10;
/// Cuts that one test run makes, unless another number is asked for.
const CUTS: u64 = 25;

/// What every run begins with.
struct Scene {
    felt: Vec<Felt>,
    life: Life,
    /// The memory with the job in it.
    loaded: Vec<u8>,
    /// The second that the board is switched on at with it.
    begins: i64,
}

/// The cure that nothing disturbs.
struct Undisturbed {
    idles: Vec<Idle>,
    /// Instructions at which a byte went out over the bus between two idles with a write to the memory.
    sent: Vec<u64>,
    memories: Vec<Vec<u8>>,
    cured: i64,
}

/// What one test writes, in a folder of its own, with what the programs read besides memories.
struct Folder {
    directory: tempfile::TempDir,
    keys: PathBuf,
}

/// A power cut.
struct Cut {
    memory: Vec<u8>,
    strips: u32,
    /// The latest that the board's clock can have shown.
    clock: i64,
}

fn torque() -> (Torque, TorqueRange) {
    let newton_metres = Torque::from_hundredths;
    (newton_metres(2000), TorqueRange::new(newton_metres(1800), newton_metres(2200)).unwrap())
}

/// Both, made once for all tests: it takes longest.
fn prepared() -> &'static (Scene, Undisturbed) {
    static PREPARED: OnceLock<(Scene, Undisturbed)> = OnceLock::new();
    PREPARED.get_or_init(|| {
        let directory = tempfile::tempdir().unwrap();
        let scene = Scene::set(directory.path());
        let undisturbed = scene.undisturbed(directory.path());
        (scene, undisturbed)
    })
}

impl Scene {
    fn set(directory: &Path) -> Self {
        let resin = ResinFile::parse("quick.toml", RESIN).unwrap();
        // 24 °C, a little up and down
        let rows = minutes("2026-04-07T08:00:00Z", &[(0, 24.0), (9, 24.9), (25, 23.6), (60, 24.4), (200, 24.0)]);
        let start = rows[0].seconds;
        let rows = every(PERIOD, &rows);
        let loading = Cure {
            rows: &rows,
            resin: &resin,
            hole: Hole::Dry,
            settle: Span::from_seconds(180),
            inject: start,
            seat: None,
            torque: Some((torque().0, torque().1, None)),
            offset_minutes: 120,
            until: start,
        };
        let memory = directory.join("loaded.bin");
        let mut site = loading.switch_on(&memory, known_seed()).unwrap();
        loading.load(&mut site).unwrap();
        site.advance(start + 3).unwrap();
        site.machine.cut().unwrap();
        Self {
            felt: rows.iter().map(Felt::of).collect(),
            // switched on at `begins`, its probe settles first
            life: Life { inject: start + 225, seat: start + 280, torque: torque(), until: start + 3 * 3600 },
            loaded: std::fs::read(&memory).unwrap(),
            begins: start + 14,
        }
    }

    fn setup<'a>(&self, memory: &'a Path, clock: i64, counting: Counting<'a>) -> Setup<'a> {
        let due = self.felt.iter().rev().find(|felt| felt.at <= clock);
        let image = Image::get(Kind::Release).unwrap();
        Setup { counting, ..Setup::plain(image, memory, clock, due.unwrap().sixteenths) }
    }

    fn undisturbed(&self, directory: &Path) -> Undisturbed {
        let (memory, writes) = (directory.join("undisturbed.bin"), directory.join("writes"));
        std::fs::write(&memory, &self.loaded).unwrap();
        let machine = Machine::start_with_diary(&self.setup(&memory, self.begins, Counting::Yes), &writes).unwrap();
        let mut site = Site::new(machine, self.felt.clone());
        self.life.go_on(&mut site, &memory).unwrap();
        let idles = site.machine.diary().to_vec();
        let writing: Vec<_> = idles.windows(2).filter(|pair| pair[0].writes < pair[1].writes).collect();
        let mut sent = site.machine.bytes_sent().unwrap();
        sent.retain(|at| writing.iter().any(|pair| (pair[0].executed..pair[1].executed).contains(at)));
        site.machine.cut().unwrap();
        let memories = memories(self.loaded.clone(), &writes).unwrap();
        assert!(*memories.last().unwrap() == std::fs::read(&memory).unwrap());
        let status = Held::read(&memory).unwrap().unwrap().status(0).unwrap();
        assert!(matches!(status.stage, Stage::Released(_)), "{status:?}");
        Undisturbed { idles, sent, memories, cured: status.cured_at.unwrap().seconds() }
    }

    /// Lets a board go on with a memory until its power is cut after so many instructions.
    fn cut(&self, memory: &Path, clock: i64, instructions: u64) -> Cut {
        let mut seen = None;
        let ended = Machine::start(&self.setup(memory, clock, Counting::UntilCut(instructions))).and_then(|machine| {
            let mut site = Site::new(machine, self.felt.clone());
            let ended = self.life.go_on(&mut site, memory);
            seen = site.machine.seen_ms();
            ended
        });
        let Err(EmulatorError::Cut { strips }) = ended else { panic!("no cut: {ended:?}") };
        let clock = seen.map_or(clock, |ms| ms.div_euclid(1000)) + 2;
        Cut { memory: std::fs::read(memory).unwrap(), strips, clock }
    }
}

impl Folder {
    fn new() -> Self {
        let directory = tempfile::tempdir().unwrap();
        let (_, keys) = write_keys(directory.path(), known_seed()).unwrap();
        std::fs::write(directory.path().join("quick.toml"), RESIN).unwrap();
        Self { directory, keys }
    }

    fn place(&self, name: &str) -> PathBuf {
        self.directory.path().join(name)
    }

    /// What the programs say of a memory: it is read, a release is proved. The second at which a replay of what was read is cured.
    fn replayed(&self, memory: &Path, status: &Status) -> Option<i64> {
        let program = |arguments: &[&str]| {
            let output = holdoff(arguments).unwrap();
            let errors = String::from_utf8_lossy(&output.stderr).into_owned();
            (output.status.code(), String::from_utf8_lossy(&output.stdout).into_owned(), errors)
        };
        let path = |path: &Path| path.to_str().unwrap().to_owned();
        let (image, trace) = (path(memory), path(&memory.with_extension("csv")));
        if let Stage::Released(_) = status.stage {
            let (code, out, errors) = program(&["prove", &image, "--keys", &path(&self.keys)]);
            assert_eq!(code, Some(0), "{out}{errors}");
        }
        let (code, read, errors) = program(&["read", &image, "--csv"]);
        assert_eq!(code, Some(0), "{errors}");
        std::fs::write(&trace, read).unwrap();
        let stamp = |at: Option<Instant>| at.map(|at| format_seconds(at.seconds(), 0));
        let (inject, seat) = (stamp(status.injected_at)?, stamp(status.seated_at)?);
        let resin = path(&self.place("quick.toml"));
        let acts = ["--hole", "dry", "--inject", &inject, "--seat", &seat, "--json"];
        let (code, said, errors) = program(&[&["replay", &trace, "--resin", &resin][..], &acts].concat());
        assert_eq!(code, Some(0), "{errors}");
        let said: serde_json::Value = serde_json::from_str(&said).unwrap();
        said["cured_at"].as_str().map(|at| Stamp::parse(at).unwrap().floor_seconds())
    }
}

impl Undisturbed {
    /// Between which two idles an instruction was executed: what was written by the first and by the second.
    fn around(&self, instruction: u64) -> (usize, usize) {
        let after = self.idles.partition_point(|idle| idle.executed < instruction);
        let writes = |place: usize| self.idles.get(place).map(|idle| idle.writes);
        (after.checked_sub(1).and_then(writes).unwrap_or(0), writes(after).unwrap_or(self.memories.len() - 1))
    }

    /// What the display has said at most when it had shown so many strips.
    fn said(&self, strips: u32) -> Option<Heading> {
        let seen = self.idles.iter().take_while(|idle| idle.strips <= strips);
        seen.filter_map(|idle| idle.look.as_ref().and_then(Heading::of)).max()
    }

    /// An instruction: any of the whole run, or one right before or after a byte went out over the bus.
    fn moment(&self, next: &mut impl FnMut() -> u64) -> u64 {
        if next() % 3 == 0 {
            1 + next() % self.idles.last().unwrap().executed
        } else {
            self.sent[(next() % self.sent.len() as u64) as usize] + next() % 2
        }
    }
}

/// A memory while the second of two is being made of the first: the part takes its bytes in any order, or in theirs.
fn torn(before: &[u8], after: &[u8], next: &mut impl FnMut() -> u64) -> Vec<u8> {
    let changed: Vec<usize> = (0..before.len()).filter(|place| before[*place] != after[*place]).collect();
    let mut memory = before.to_vec();
    let some = (next() % (changed.len() as u64 + 1)) as usize;
    let in_order = next() % 2 == 0;
    for (turn, place) in changed.into_iter().enumerate() {
        if if in_order { turn < some } else { next() % 2 == 0 } {
            memory[place] = after[place];
        }
    }
    memory
}

fn power_ups(items: &[Item]) -> usize {
    items.iter().filter(|item| matches!(item, Item::Record(Record::PowerUp { .. }))).count()
}

#[test]
fn at_every_idle_of_an_undisturbed_cure_the_memory_holds_what_is_due_and_what_the_display_has_said() {
    let (scene, undisturbed) = prepared();
    println!("{} idles, {} instructions", undisturbed.idles.len(), undisturbed.idles.last().unwrap().executed);
    let mut said = Vec::new();
    let mut facts: Option<(usize, Option<Heading>, i64)> = None;
    for idle in &undisturbed.idles {
        let (_, stage, newest) = match facts {
            Some(known) if known.0 == idle.writes => known,
            _ => {
                let held = Held::of(&undisturbed.memories[idle.writes]).unwrap().unwrap();
                let newest = held.items.iter().rev().find_map(|item| match item {
                    Item::Reading { at, .. } => Some(at.seconds()),
                    Item::Refused { .. } | Item::Unusable { .. } | Item::Missing { .. } | Item::Record(_) => None,
                });
                (idle.writes, Heading::at(&held.status(0).unwrap().stage), newest.unwrap())
            }
        };
        facts = Some((idle.writes, stage, newest));
        assert!(idle.board_ms.div_euclid(1000) - newest <= PERIOD || newest < scene.begins, "{newest}: {idle:?}");
        if let Some(heading) = idle.look.as_ref().and_then(Heading::of) {
            assert!(Some(heading) <= stage, "{heading:?} is shown, {stage:?} is in the memory");
            if said.last() != Some(&heading) {
                said.push(heading);
            }
        }
    }
    assert_eq!(said, [Heading::SeatNow, Heading::LeaveAlone, Heading::TorqueNow, Heading::MayBeLoaded]);
}

#[test]
fn whenever_the_power_is_cut_what_was_shown_is_kept_the_count_goes_on_and_no_release_comes_earlier() {
    let (scene, undisturbed) = prepared();
    let folder = Folder::new();
    let (cuts, turn, tally) = (histories(CUTS), AtomicU64::new(0), Tally::default());
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                loop {
                    let history = turn.fetch_add(1, Ordering::Relaxed);
                    if history >= cuts {
                        return;
                    }
                    live_through(scene, undisturbed, &folder, history, &tally);
                }
            });
        }
    });
    let counts = [&tally.released, &tally.torn, &tally.twice, &tally.said].map(|count| count.load(Ordering::Relaxed));
    let [released, torn, twice, said] = counts;
    println!(
        "{cuts} cuts: {torn} with a torn write, {twice} twice, {said} after something was said, {released} released"
    );
    assert!(released * 3 > cuts * 2 && torn * 6 > cuts && twice * 8 > cuts && said * 2 > cuts, "{counts:?} of {cuts}");
}

/// How many of the cuts had this.
#[derive(Default)]
struct Tally {
    released: AtomicU64,
    torn: AtomicU64,
    twice: AtomicU64,
    said: AtomicU64,
}

fn live_through(scene: &Scene, undisturbed: &Undisturbed, folder: &Folder, history: u64, tally: &Tally) {
    let mut next = numbers(0xC0_75ED + history);
    let memory = folder.place(&format!("{history}.bin"));
    std::fs::write(&memory, &scene.loaded).unwrap();
    let count = |what: &AtomicU64| what.fetch_add(1, Ordering::Relaxed);

    // the same as in the undisturbed run, as far as it came
    let instruction = undisturbed.moment(&mut next);
    let mut cut = scene.cut(&memory, scene.begins, instruction);
    let (least, most) = undisturbed.around(instruction);
    let write = (least..=most).find(|write| undisturbed.memories[*write] == cut.memory);
    let write = write.unwrap_or_else(|| panic!("history {history}, {instruction}: a memory that never was"));
    let said = undisturbed.said(cut.strips);
    if said.is_some() {
        count(&tally.said);
    }
    let recorded = items(&undisturbed.memories[least]);
    if write < most && next() % 4 > 0 {
        count(&tally.torn);
        cut.memory = torn(&undisturbed.memories[write], &undisturbed.memories[write + 1], &mut next);
    }
    // nothing that was recorded by the idle before, or shown before the cut, is lost
    let context = format!("history {history}, cut at {instruction} after write {write}");
    let left = Held::of(&cut.memory).unwrap().unwrap();
    assert!(left.items.starts_with(&recorded), "{context}");
    assert!(Heading::at(&left.status(0).unwrap().stage) >= said, "{context}: {said:?}, {:?}", left.status(0));

    let mut restarts = 1;
    let mut outage = || 1 + (next() % [3, 40, 400][(next() % 3) as usize]) as i64;
    let mut clock = cut.clock + outage();
    std::fs::write(&memory, &cut.memory).unwrap();
    if history % 4 == 0 {
        // and once more before it has found itself again
        count(&tally.twice);
        let again = scene.cut(&memory, clock, 1 + numbers(history)() % 2_000_000);
        (clock, restarts) = (again.clock + outage(), 2);
    }

    let mut site = Site::new(Machine::start(&scene.setup(&memory, clock, Counting::No)).unwrap(), scene.felt.clone());
    scene.life.go_on(&mut site, &memory).unwrap_or_else(|error| panic!("{context}: {error}"));
    let shows = Heading::of(&site.machine.look().unwrap());
    site.machine.cut().unwrap();
    let held = Held::read(&memory).unwrap().unwrap();
    let status = held.status(0).unwrap();
    let context = format!("{context}, again at {clock}: {status:?}");
    assert_eq!(held.replay.trust(), Trust::Trusted, "{context}");
    assert_eq!(shows, Heading::at(&status.stage), "{context}");
    assert!(held.items.starts_with(&left.items), "{context}");
    // one power-up was there before the cut, if that came after it was recorded
    let ups = power_ups(&held.items) - power_ups(&left.items);
    assert!((1..=restarts).contains(&ups), "{ups} power-ups, {context}");
    assert!(
        held.items.iter().all(|item| !matches!(item, Item::Record(Record::PowerUp { dark, cause })
        if (*dark, *cause) != (Darkness::Known, ResetCause::PowerOn))),
        "{context}"
    );

    // by the slow reference, to the second: so the interval with the restart has earned nothing
    let (reference, device) = reports(quick(), &held, torque().1);
    assert_eq!(device, reference, "{context}");
    // and by a replay that knows of no restart, nothing is earlier
    let replayed = folder.replayed(&memory, &status);
    if let Some(cured) = status.cured_at {
        assert!(cured.seconds() >= undisturbed.cured, "{context}");
        assert!(cured.seconds() >= replayed.unwrap(), "{context}, replayed {replayed:?}");
    }
    match status.stage {
        Stage::Released(at) => {
            count(&tally.released);
            // it is taken notice of with a reading, and after a restart there is one at once: not a second before the cure
            assert!(at.at().seconds() >= undisturbed.cured, "{context}");
        }
        Stage::Rejected(rejection) => assert!(too_late(&rejection.grounds), "{context}"),
        Stage::Planned
        | Stage::Refused
        | Stage::Working
        | Stage::Curing
        | Stage::Held
        | Stage::Cured(_)
        | Stage::AcceptedAsIs(_)
        | Stage::Removed(_) => panic!("{context}"),
    }
}
