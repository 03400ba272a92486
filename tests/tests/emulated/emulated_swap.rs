//! Two emulated loggers and one cable, which is moved, torn and shorted at random moments while every command of the link runs.
//!
//! How: both boards start once and go on; a command runs until it ends, whatever happens to the cable meanwhile, then both boards
//! measure on for a while. What each memory holds says what was loaded where, and is held against all that the commands said.
//! More moments than usual: `HOLDOFF_HISTORIES=2000`.

use holdoff_core::log::{Item, Record};
use holdoff_core::seal::HeadView;
use holdoff_tests::emulator::{Boards, Image, Kind, Machine, Plug, Setup, blank_memory};
use holdoff_tests::link_cable::Mishap;
use holdoff_tests::link_command::{holdoff_link_awaiting, holdoff_register, holdoff_register_awaiting};
use holdoff_tests::random::{histories, numbers};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// 2026-01-05T06:00:00Z.
const MORNING: i64 = 1_767_592_800;
/// Moments of one test run, unless another number is asked for.
const MOMENTS: u64 = 100;
/// How long the boards measure on behind every command, in milliseconds of theirs.
const MEANWHILE_MS: i64 = 90_000;
/// A held board answers as soon as it has all that it was asked: nobody waits for its time to pass.
const ANSWER: Duration = Duration::from_millis(80);

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Command {
    Watch,
    WatchJson,
    Load,
    Read,
    Register,
}

impl Command {
    const ALL: [Self; 5] = [Self::Watch, Self::WatchJson, Self::Load, Self::Read, Self::Register];

    /// The most bytes from one moment to the next.
    const fn longest(self) -> u64 {
        match self {
            Self::Watch | Self::WatchJson => 2_000,
            Self::Load => 900,
            Self::Read | Self::Register => 12_000,
        }
    }
}

/// What a memory holds.
struct Memory {
    bytes: Vec<u8>,
    device: String,
    /// Names of the fixings of every session, the oldest first.
    sessions: Vec<BTreeSet<String>>,
    readings: u64,
}

impl Memory {
    fn of(bytes: Vec<u8>) -> Self {
        let listing = holdoff_present::memory::list(&bytes).unwrap();
        let (mut device, mut sessions) = (String::new(), Vec::new());
        for session in &listing.sessions {
            let mut names = BTreeSet::new();
            for entry in &session.entries {
                match &entry.item {
                    Item::Record(Record::Identity(identity)) => {
                        device = holdoff_evidence::keys::to_hex(&identity.device.0)
                    }
                    Item::Record(Record::Fixing(fixing)) => {
                        names.insert(fixing.label.text().unwrap().to_owned());
                    }
                    _ => {}
                }
            }
            sessions.push(names);
        }
        Self { bytes, device, sessions, readings: listing.readings }
    }

    fn newest(&self) -> &BTreeSet<String> {
        self.sessions.last().unwrap()
    }

    fn names(&self) -> BTreeSet<String> {
        self.sessions.iter().flatten().cloned().collect()
    }
}

struct Bench {
    boards: Boards,
    plug: Plug,
    memories: [PathBuf; 2],
    folder: tempfile::TempDir,
    /// Names that a command said were loaded, and the logger that has them.
    loaded: Vec<(usize, String)>,
    /// Every name that a memory has ever held.
    held: [BTreeSet<String>; 2],
    /// What a command said was taken in: logger and name.
    taken: BTreeSet<(String, String)>,
    /// What the register told of when it was looked at last.
    told: BTreeSet<(String, String)>,
}

impl Bench {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let image = Image::get(Kind::Release).unwrap();
        let memories = ["first.bin", "second.bin"].map(|name| folder.path().join(name));
        let started = |which: usize| {
            blank_memory(&memories[which]).unwrap();
            let seed = Some([0x51 + which as u8; 32]);
            let setup = Setup { seed, ..Setup::plain(image, &memories[which], MORNING, (12 + 4 * which as i32) * 16) };
            let mut machine = Machine::start(&setup).unwrap();
            machine.run_to((MORNING + 5) * 1000).unwrap();
            machine
        };
        let boards = Boards::new([started(0), started(1)]).unwrap();
        let (loaded, held, taken, told) = (Vec::new(), Default::default(), BTreeSet::new(), BTreeSet::new());
        let mut bench = Self { boards, plug: Plug::into(0), memories, folder, loaded, held, taken, told };
        for which in 0..2 {
            bench.plug = Plug::into(which);
            let (exit, _, err) = bench.run(Command::Load, &format!("first {which}"), "20");
            assert_eq!(exit, 0, "{err}");
            bench.loaded.push((which, format!("first {which} a")));
        }
        bench.meanwhile();
        bench
    }

    fn memory(&self, which: usize) -> Memory {
        Memory::of(std::fs::read(&self.memories[which]).unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// A scenario with two fixings.
    fn job(&self, name: &str) -> String {
        let demo = |name: &str| format!("{}/../host-sim/demo/{name}", env!("CARGO_MANIFEST_DIR"));
        let (trace, resin) = (demo("winter-day.csv"), demo("harbour-slow.toml"));
        let fixing = |letter: &str| format!("[[fixing]]\nname = \"{name} {letter}\"\nhole = \"dry\"\n");
        let text = format!("trace = \"{trace}\"\nresin = \"{resin}\"\n{}{}", fixing("a"), fixing("b"));
        let file = self.path("job.toml");
        std::fs::write(&file, text).unwrap();
        file.to_string_lossy().into_owned()
    }

    /// Exit status, standard output, standard error.
    fn run(&mut self, command: Command, name: &str, patience: &str) -> (u8, String, String) {
        let job = if command == Command::Load { self.job(name) } else { String::new() };
        let (out, site) = (self.path("read.bin").to_string_lossy().into_owned(), self.path("site.db"));
        let run = |socket: &Path| {
            let port = format!("unix:{}", socket.display());
            let arguments: &[&str] = match command {
                Command::Watch => &["status", "--watch", "--every", "0"],
                Command::WatchJson => &["status", "--watch", "--every", "0", "--json"],
                Command::Load => &["load", &job, "--offset", "Z"],
                Command::Read => &["read", &out],
                Command::Register => {
                    let arguments = ["link", &port, "--patience", patience, "--read-out"];
                    return holdoff_register_awaiting(&site, &arguments, ANSWER);
                }
            };
            holdoff_link_awaiting(&port, &[&["--patience", patience], arguments].concat(), ANSWER)
        };
        self.boards.talk(&mut self.plug, run).unwrap()
    }

    fn meanwhile(&mut self) {
        for machine in &mut self.boards.machines {
            let now = machine.now_ms().unwrap();
            machine.run_to(now + MEANWHILE_MS).unwrap();
        }
        for which in 0..2 {
            let names = self.memory(which).names();
            self.held[which].extend(names);
        }
    }

    /// Loggers and names that the register tells of.
    fn told(&self) -> BTreeSet<(String, String)> {
        let site = self.path("site.db");
        if !site.exists() {
            return BTreeSet::new();
        }
        let (exit, out, err) = holdoff_register(&site, &["list", "--json"]);
        assert_eq!(exit, 0, "{err}");
        let list: Value = serde_json::from_str(&out).unwrap();
        let text = |row: &Value, key: &str| row[key].as_str().unwrap().to_owned();
        list["fixings"].as_array().unwrap().iter().map(|row| (text(row, "device"), text(row, "fixing"))).collect()
    }
}

/// The device that an answer behind a memory names.
fn signer(answer: Option<&[u8]>) -> String {
    let head = HeadView::parse(answer.unwrap()).unwrap();
    holdoff_evidence::keys::to_hex(&head.unverified().device.0)
}

/// What is to happen to the cable while a command runs, and whether it is cut for good. A watch ends only with another logger, so
/// the plug is moved until it does; one that does not is cut off in the end, and fails.
fn moments(command: Command, number: &mut impl FnMut() -> u64) -> (Vec<(u64, Mishap)>, bool) {
    let mut moments = Vec::new();
    let cut = loop {
        // a long reading meets more of them, and is to end well now and then
        let kinds = if command.longest() > 2_000 { 60 } else { 20 };
        let mishap = match number() % kinds {
            11..16 => Mishap::Moved,
            16..19 => Mishap::TornAndMoved,
            19 => Mishap::Cut,
            kind if kind % 3 == 0 => Mishap::Shorted,
            _ => Mishap::Torn,
        };
        moments.push((1 + number() % command.longest(), mishap));
        match mishap {
            Mishap::Moved | Mishap::TornAndMoved => break false,
            Mishap::Cut => break true,
            _ if moments.len() == 6 => break false,
            _ => {}
        }
    };
    if !cut && matches!(command, Command::Watch | Command::WatchJson) {
        moments.extend((0..20).map(|_| (1 + number() % command.longest(), Mishap::Moved)));
        moments.push((20_000, Mishap::Cut));
    }
    (moments, cut)
}

/// What a load said, held against the memories.
fn load_is_as_it_said(
    bench: &mut Bench,
    name: &str,
    (exit, out, err): &(u8, String, String),
    case: &str,
) -> &'static str {
    let name = format!("{name} a");
    let has: Vec<usize> = (0..2).filter(|which| bench.memory(*which).newest().contains(&name)).collect();
    assert!(has.len() < 2, "{case}");
    let (said, open) = (out.contains("loaded from"), err.contains("whether the job is loaded is not known"));
    let not = err.contains("nothing of it has taken effect");
    if *exit == 0 || said {
        assert_eq!(has.len(), 1, "{case}");
        bench.loaded.push((has[0], name));
        return "loaded";
    }
    assert!(!(open && not), "{case}");
    if open || not {
        assert!(err.contains(" status`"), "{case}");
    }
    // only who says that it is not known may have loaded it
    assert!(open || has.is_empty(), "{case}");
    match (open, has.first()) {
        (true, Some(_)) => "not known, and loaded",
        (true, None) => "not known, and not loaded",
        (false, _) => "not loaded",
    }
}

/// Every look tells of one logger, and of nothing that another has.
fn looks_tell_of_one(memories: &[Memory; 2], command: Command, out: &str, case: &str) -> usize {
    let mut devices = BTreeSet::new();
    let mut looks = 0;
    if command == Command::WatchJson {
        for line in out.lines() {
            let look: Value = serde_json::from_str(line).unwrap();
            let memory = memories.iter().find(|memory| look["device"] == memory.device.as_str()).expect(case);
            let told = look["fixings"].as_array().unwrap().iter().map(|fixing| fixing["fixing"].as_str().unwrap());
            assert_eq!(&told.map(str::to_owned).collect::<BTreeSet<_>>(), memory.newest(), "{case}");
            devices.insert(memory.device.clone());
            looks += 1;
        }
    } else {
        for (memory, other) in [(&memories[0], &memories[1]), (&memories[1], &memories[0])] {
            if out.contains(&memory.device) {
                assert!(!other.names().iter().any(|name| out.contains(name)), "{case}");
                devices.insert(memory.device.clone());
                looks += out.matches(&memory.device).count();
            }
        }
    }
    assert!(devices.len() < 2, "{case}");
    looks
}

#[test]
fn whatever_is_done_to_the_cable_two_emulated_loggers_are_never_mixed_and_lose_nothing() {
    let mut number = numbers(0x5_3A9);
    let mut bench = Bench::new();
    let wanted = histories(MOMENTS) as usize;
    let (mut happened, mut turn, mut looks) = (0, 0, 0);
    let (mut ends, mut loads) = (std::collections::BTreeMap::new(), std::collections::BTreeMap::new());
    while happened < wanted {
        turn += 1;
        let command = Command::ALL[number() as usize % Command::ALL.len()];
        let name = format!("turn {turn}");
        let (moments, cut) = moments(command, &mut number);
        bench.plug.expect(moments.clone());
        let before = [bench.memory(0), bench.memory(1)];
        let said = bench.run(command, &name, if cut { "1" } else { "20" });
        happened += bench.plug.happened;
        let shown: Vec<_> = moments.iter().take(bench.plug.happened).collect();
        let (exit, out, err) = &said;
        let case = format!("turn {turn}, {command:?}, {shown:?}: {exit}\n{out}\n{err}");
        assert!(matches!(exit, 0 | 3), "{case}");
        *ends.entry((format!("{command:?}"), *exit)).or_insert(0) += 1;
        let harmless = shown.iter().all(|(_, mishap)| matches!(mishap, Mishap::Torn | Mishap::Shorted));
        assert!(*exit == 0 || !harmless, "{case}");
        let after = [bench.memory(0), bench.memory(1)];
        match command {
            Command::Watch | Command::WatchJson => {
                assert_eq!(*exit, 3, "{case}");
                looks += looks_tell_of_one(&before, command, out, &case);
                let other = after.iter().all(|memory| err.contains(&memory.device));
                assert!(other || cut, "{case}");
            }
            Command::Load => {
                *loads.entry(load_is_as_it_said(&mut bench, &name, &said, &case)).or_insert(0) += 1;
            }
            Command::Read => {
                let file = bench.path("read.bin");
                match exit {
                    // nothing was written between the last look and the end
                    0 => {
                        let read = std::fs::read(&file).unwrap();
                        let (memory, answer) = holdoff_evidence::split(&read);
                        assert!(after.iter().any(|after| after.bytes == memory), "{case}");
                        // and signed by the one that it is of: no answer of the other stands behind it
                        assert!(answer.is_some(), "{case}");
                        assert_eq!(signer(answer), Memory::of(memory.to_vec()).device, "{case}");
                        std::fs::remove_file(&file).unwrap();
                    }
                    _ => assert!(!file.exists() || out.contains("KiB"), "{case}"),
                }
            }
            Command::Register => {
                if out.contains("taken in") {
                    let whose: Vec<_> = after.iter().filter(|memory| out.contains(&memory.device)).collect();
                    assert_eq!(whose.len(), 1, "{case}");
                    let names = whose[0].newest().iter().map(|name| (whose[0].device.clone(), name.clone()));
                    bench.taken.extend(names);
                }
            }
        }
        // nobody has anything of the other
        if command == Command::Register {
            bench.told = bench.told();
        }
        let told = bench.told.clone();
        for which in 0..2 {
            let (memory, other) = (&after[which], &after[1 - which]);
            bench.held[which].extend(memory.names());
            assert!(memory.names().is_disjoint(&other.names()), "{case}");
            let names = told.iter().filter(|(device, _)| *device == memory.device);
            assert!(names.into_iter().all(|(_, name)| bench.held[which].contains(name)), "{case}");
            assert!(memory.newest() != before[which].newest() || memory.readings >= before[which].readings, "{case}");
        }
        // what was loaded stands in its memory, or was read out of it into the register
        for (which, name) in &bench.loaded {
            let read = told.contains(&(after[*which].device.clone(), name.clone()));
            assert!(read || after[*which].names().contains(name), "{name} is lost\n{case}");
        }
        assert!(bench.taken.is_subset(&told), "{case}");
        bench.meanwhile();
    }
    let devices: BTreeSet<_> = bench.told().into_iter().map(|(device, _)| device).collect();
    println!(
        "{happened} moments in {turn} commands: {ends:?}; {looks} looks; loads: {loads:?}; {} in the register",
        devices.len()
    );
    assert!(looks > 20 && loads.contains_key("loaded") && devices.len() == 2, "{looks} {loads:?} {devices:?}");
}
