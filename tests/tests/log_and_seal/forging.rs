//! Two thousand memories that somebody made up, in the name of a logger that there is: none of them lets anybody torque or load,
//! in whatever order it comes, and none keeps the genuine one out.
//!
//! What the forger has: the program, every memory and every signature that ever left the logger, and keys of his own. What he has not:
//! the logger's secret key. What he can always do: show an older memory of the same logger, which says nothing false of its time; its
//! end is named wherever it is proved, and a later one replaces it.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Action, Cartridge, Injection};
use holdoff_core::group::{FixingNumber, Happening};
use holdoff_core::log::{
    Beginning, Bytes, ClockTie, DeviceId, Item, Logger, Owner, PAGE, Page, PageKey, Record, Source, StageWord, mount,
    read::Log,
};
use holdoff_core::quantity::{Count, Instant, Torque};
use holdoff_core::resin::Hole;
use holdoff_core::seal::{BatchHash, SecretKey, Unlogged, WallClock, answer, seal_due_head, seal_release};
use holdoff_evidence::keys::{NamedKey, Ring};
use holdoff_evidence::{Claim, Keep, Memory, claim, prove_image};
use holdoff_present::words::Speech;
use holdoff_register::{Life, Register, list_text};
use holdoff_tests::log_sample::{beginning, device_of, fixing, owner_of, retagged, spec};
use holdoff_tests::memory::FakeMemory;
use holdoff_tests::random::numbers;
use std::path::PathBuf;

/// Made-up memories.
const MADE_UP: u64 = 2_000;
const SIZE: usize = 16 * 1024;
/// The genuine logger's seed, and one of the forger's.
const OWN: [u8; 32] = [0x31; 32];
const FORGER: [u8; 32] = [0x66; 32];
/// 2025-11-03T08:00:00Z.
const BEGUN: i64 = 1_762_156_800;
const LABELS: [&str; 4] = ["quay 1", "quay 2", "quay 3", "quay 4"];
/// Minutes of the genuine day.
const MINUTES: i64 = 420;

/// What happens to a logger, in its order.
#[derive(Clone, Copy, Debug)]
enum Op {
    Happening(Happening),
    /// A signed release or head that is copied from another log.
    Copied(usize),
}

/// What was signed elsewhere.
#[derive(Clone)]
enum Signed {
    Release(FixingNumber, Bytes<255>),
    Head(Bytes<255>),
}

fn at(minute: i64) -> Instant {
    Instant::from_seconds(BEGUN + 60 * minute)
}

fn reading(minute: i64, raw: i16) -> Op {
    Op::Happening(Happening::Reading { at: at(minute), count: Count::new(raw) })
}

fn act(minute: i64, second: i64, place: u8, action: Action) -> Op {
    let at = Instant::from_seconds(BEGUN + 60 * minute + second);
    Op::Happening(Happening::Action { at, fixing: fixing(place), action })
}

/// Four fixings from a minute on: one is torqued after its cure, one is cured, one is found wet, one is loaded early.
fn day(from: i64, to: i64, number: &mut impl FnMut() -> u64) -> Vec<Op> {
    let injection = Injection { cartridge: Some(Cartridge::exactly(Count::from_degrees(16))), ..Injection::default() };
    let mut ops = Vec::new();
    for minute in from..to {
        ops.push(reading(minute, 16 * 256 + 16 * (number() % 9) as i16));
        match minute - from {
            12 => {
                for place in 0..4 {
                    ops.push(act(minute, 5 + i64::from(place), place, Action::Inject(injection)));
                }
                for place in 0..4 {
                    ops.push(act(minute, 20 + i64::from(place), place, Action::Seat));
                }
            }
            40 => ops.push(act(minute, 30, 2, Action::Hole(Hole::Wet))),
            60 => ops.push(act(minute, 30, 3, Action::TorquedEarly(Torque::from_hundredths(3_000)))),
            330 => ops.push(act(minute, 30, 0, Action::Torque(Torque::from_hundredths(4_000)))),
            _ => {}
        }
    }
    ops
}

/// A logger with a job of four fixings.
fn loaded(owner: Owner, beginning: &Beginning) -> Logger<FakeMemory> {
    let mut logger = mount(FakeMemory::blank(SIZE, 64), owner, &mut |_| {}, &mut |_| {}).expect("blank").0;
    logger.begin(beginning).expect("blank");
    for label in LABELS {
        logger.add(Bytes::cut(label), spec()).expect("room");
    }
    logger
}

/// Lets things happen; with a key, what is due is signed with it, as a logger does.
fn drive(logger: &mut Logger<FakeMemory>, ops: &[Op], copied: &[Signed], key: Option<&SecretKey>) {
    let mut hour = None;
    for op in ops {
        let what = match op {
            Op::Happening(what) => *what,
            Op::Copied(place) => {
                let _ = match &copied[*place] {
                    Signed::Release(fixing, signed) => logger.release(*fixing, *signed),
                    Signed::Head(signed) => logger.sign(*signed),
                };
                continue;
            }
        };
        if let Some(key) = key {
            let _ = seal_due_head(logger, key);
        }
        let (Happening::Reading { at, .. } | Happening::Action { at, .. }) = what else { panic!("{what:?}") };
        let this = at.seconds().div_euclid(3600);
        if hour.is_none_or(|before| this > before) {
            hour = Some(this);
            let _ = logger.clock(ClockTie { at, utc: at.seconds(), offset_minutes: 60 });
        }
        let _ = logger.happen(what, &mut |_| {});
        if let Some(key) = key {
            for fixing in logger.session().unsealed() {
                let clock = WallClock::Tied { ahead: 0, offset_minutes: 60 };
                let label = Bytes::cut(LABELS[fixing.place()]);
                let _ = seal_release(logger, fixing, &Unlogged { label, batch: BatchHash::UNDECLARED, clock }, key);
            }
        }
    }
    if let Some(key) = key {
        let _ = seal_due_head(logger, key);
    }
}

/// The happenings and signatures of a log, so that they can be written again, byte for byte or otherwise.
fn taken_down(image: &[u8]) -> (Vec<Op>, Vec<Signed>) {
    let (mut ops, mut signed) = (Vec::new(), Vec::new());
    let log = Log::open(image, &mut |_| {}).expect("a log");
    log.replay(
        log.newest_session(),
        &mut |_, _, _, (read, _)| match &read.item {
            Item::Reading { at, count } => ops.push(Op::Happening(Happening::Reading { at: *at, count: *count })),
            Item::Record(Record::Action { at, fixing, action }) => {
                ops.push(Op::Happening(Happening::Action { at: *at, fixing: *fixing, action: *action }));
            }
            Item::Record(Record::Release { fixing, signed: bytes }) => {
                ops.push(Op::Copied(signed.len()));
                signed.push(Signed::Release(*fixing, *bytes));
            }
            Item::Record(Record::Head { signed: bytes }) => {
                ops.push(Op::Copied(signed.len()));
                signed.push(Signed::Head(*bytes));
            }
            Item::Record(_) | Item::Refused { .. } => {}
            other => panic!("{other:?}"),
        },
        &mut |_| {},
        &mut |_| {},
    )
    .expect("an image");
    (ops, signed)
}

/// What the forger has to work with.
struct Stock {
    ops: Vec<Op>,
    signed: Vec<Signed>,
    genuine: Vec<u8>,
    /// Its first cure, as a place among the happenings: before it nothing may be torqued or loaded.
    first_cure: usize,
    /// Another genuine logger's memory.
    neighbour: Vec<u8>,
    own: SecretKey,
    forger: SecretKey,
}

impl Stock {
    fn new() -> Self {
        let [own, forger, other] = [OWN, FORGER, [0x77; 32]].map(|seed| SecretKey::from_seed(seed).expect("a key"));
        let mut number = numbers(1);
        let mut logger = loaded(owner_of(OWN), &beginning());
        drive(&mut logger, &day(0, MINUTES, &mut number), &[], Some(&own));
        let genuine = logger.memory().bytes().to_vec();
        let (ops, signed) = taken_down(&genuine);
        let mut again = loaded(owner_of(OWN), &beginning());
        drive(&mut again, &ops, &signed, None);
        assert!(pages(again.memory().bytes()) == pages(&genuine), "a log can be written again, but for its tags");
        let mut neighbour = loaded(owner_of([0x77; 32]), &beginning());
        drive(&mut neighbour, &day(3, MINUTES, &mut number), &[], Some(&other));
        let mut first_cure = 0;
        for place in 0..ops.len() {
            let mut logger = loaded(owner_of(OWN), &beginning());
            drive(&mut logger, &ops[..=place], &signed, None);
            let cured = |fixing: &FixingNumber| {
                logger.group().and_then(|group| group.status(*fixing)).is_some_and(|status| status.cured_at.is_some())
            };
            if (0..4).map(fixing).any(|fixing| cured(&fixing)) {
                first_cure = place;
                break;
            }
        }
        assert!(first_cure > 100, "{first_cure}");
        Self { ops, signed, genuine, first_cure, neighbour: neighbour.memory().bytes().to_vec(), own, forger }
    }

    /// The forger's owner: the genuine device's number, and a key of his own.
    fn posing(&self) -> Owner {
        Owner { device: device_of(OWN), key: PageKey::of_seed(&FORGER) }
    }

    /// A made-up memory, and what it was made by.
    fn forge(&self, number: &mut impl FnMut() -> u64) -> (&'static str, Vec<u8>) {
        let key = (number() % 3 > 0).then_some(&self.forger);
        let cut = 1 + (number() as usize) % (self.first_cure - 1);
        let (name, mut image) = match number() % 8 {
            0 => {
                let mut logger = loaded(self.posing(), &beginning());
                drive(&mut logger, &day(0, MINUTES, number), &[], key);
                ("another key", logger.memory().bytes().to_vec())
            }
            1 => {
                // the genuine log with its own signatures up to a place, then what the forger would like
                let mut logger = loaded(self.posing(), &beginning());
                drive(&mut logger, &self.ops[..cut], &self.signed, None);
                let last = logger.session().last_at().map_or(0, |last| (last.seconds() - BEGUN) / 60 + 1);
                let mut ops = day(last, last + MINUTES, number);
                if number() % 2 == 0 {
                    // and the torque of one that was seated by the logger itself
                    ops.push(act(last + MINUTES, 5, 0, Action::Torque(Torque::from_hundredths(4_000))));
                }
                drive(&mut logger, &ops, &[], key);
                ("a genuine beginning", logger.memory().bytes().to_vec())
            }
            2 => {
                // warmer readings under right hashes, with the genuine signatures copied
                let mut ops = self.ops.clone();
                let from = (number() as usize) % self.first_cure;
                for op in &mut ops[from..] {
                    if let Op::Happening(Happening::Reading { count, .. }) = op {
                        *count = Count::new(count.raw() + 16 * (1 + (number() % 60) as i16));
                    }
                }
                let mut logger = loaded(self.posing(), &beginning());
                drive(&mut logger, &ops, &self.signed, None);
                ("edited readings", logger.memory().bytes().to_vec())
            }
            3 => {
                // without the early torque: the rejected fixing would be cured
                let ops: Vec<Op> = self
                    .ops
                    .iter()
                    .filter(|op| {
                        !matches!(
                            op,
                            Op::Happening(Happening::Action { action: Action::TorquedEarly(_) | Action::Hole(_), .. })
                        )
                    })
                    .copied()
                    .collect();
                let mut logger = loaded(self.posing(), &beginning());
                drive(&mut logger, &ops, &self.signed, None);
                ("a deed left out", logger.memory().bytes().to_vec())
            }
            4 => {
                let device = DeviceId(number().to_le_bytes());
                let owner = Owner { device, key: PageKey::of_seed(&FORGER) };
                let mut logger = loaded(owner, &beginning());
                drive(&mut logger, &self.ops, &self.signed, None);
                ("another device with copied signatures", logger.memory().bytes().to_vec())
            }
            5 => {
                let of_trace = Beginning { source: Source::Trace, ..beginning() };
                let mut logger = loaded(self.posing(), &of_trace);
                drive(&mut logger, &day(0, MINUTES, number), &[], key);
                ("a typed trace", logger.memory().bytes().to_vec())
            }
            6 => {
                // pages of two memories
                let mut image = self.genuine.clone();
                let mut other = loaded(self.posing(), &beginning());
                drive(&mut other, &day(0, MINUTES, number), &[], Some(&self.forger));
                let others = [other.memory().bytes(), &self.neighbour];
                let source = others[(number() % 2) as usize];
                let slots = SIZE / PAGE;
                for _ in 0..=number() % 4 {
                    let slot = (number() as usize) % slots;
                    image[slot * PAGE..(slot + 1) * PAGE].copy_from_slice(&source[slot * PAGE..(slot + 1) * PAGE]);
                }
                ("pages of two memories", image)
            }
            _ => {
                // changed bytes under mended checks, in a page before the last
                let mut image = self.genuine.clone();
                let newest = Log::open(&image, &mut |_| {}).expect("a log").newest() as usize;
                let page = (number() as usize) % newest;
                let slot = &mut image[page * PAGE..(page + 1) * PAGE];
                let length = Page::find(slot).expect("a page").length();
                for _ in 0..=number() % 3 {
                    slot[21 + (number() as usize) % (length - 21 - 16)] ^= 1 << (number() % 8);
                }
                let check = crc::Crc::<u32>::new(&crc::CRC_32_ISO_HDLC).checksum(&slot[..length - 4]);
                slot[length - 4..length].copy_from_slice(&check.to_le_bytes());
                ("changed bytes", image)
            }
        };
        if number() % 2 == 0 {
            image = retagged(&image, &FORGER);
        }
        // an answer behind it: of the forger, or the genuine logger's to somebody else
        if number() % 3 == 0 {
            let (seed, key) = if number() % 2 == 0 { (OWN, &self.own) } else { (FORGER, &self.forger) };
            let mut other = loaded(Owner { device: device_of(OWN), ..owner_of(seed) }, &beginning());
            drive(&mut other, &self.ops[..cut], &self.signed, None);
            image.extend(answer(&other, key, at(MINUTES + 5), [9; 16]).expect("an answer").bytes());
        }
        (name, image)
    }
}

/// The pages of an image without their tags and checks.
fn pages(image: &[u8]) -> Vec<Vec<u8>> {
    let bare =
        |slot: &[u8]| Page::find(slot).map(|page| page.bytes()[..page.length() - 16].to_vec()).unwrap_or_default();
    image.chunks(PAGE).map(bare).collect()
}

/// Whether a claim lets anybody torque or load.
fn leads_on(claim: &Claim<'_>) -> bool {
    matches!(claim, Claim::Stage(StageWord::Cured | StageWord::Released | StageWord::AcceptedAsIs, _))
}

/// A register of its own, in memory where the system has a place for it.
struct Site(tempfile::TempDir);

impl Site {
    fn new() -> Self {
        let shared = PathBuf::from("/dev/shm");
        Self(if shared.is_dir() { tempfile::tempdir_in(shared) } else { tempfile::tempdir() }.expect("a folder"))
    }

    fn register(&self, name: &str) -> Register {
        Register::open_or_make(&self.0.path().join(name)).expect("a register")
    }
}

/// Claims of everything that a register tells, and its list for a person.
fn told(register: &Register) -> (Vec<(String, bool)>, String) {
    let fixings = register.fixings_since(-1).expect("read");
    let codes = register.codes().expect("read");
    let claims = fixings
        .iter()
        .map(|row| {
            let claim = row.fixing.claim(&row.session);
            (format!("{} of {}: {claim:?}", row.fixing.label, row.session.device), leads_on(&claim))
        })
        .collect();
    (claims, list_text(&fixings, &codes, Speech::PLAIN, BEGUN + 86_400))
}

#[test]
fn no_memory_that_was_made_up_lets_anybody_load_or_keeps_the_genuine_one_out() {
    let stock = Stock::new();
    let device = device_of(OWN);
    let name = "the logger".to_owned();
    let ring = Ring::of(NamedKey { name, device: Some(device), public: stock.own.public(), enrolled: None });
    let site = Site::new();
    // what there is to lose: three fixings may be torqued or loaded by the genuine memory
    let mut genuine = site.register("genuine.db");
    genuine.add_image("genuine.bin", &stock.genuine, Some(&ring), Life::GoesOn, BEGUN).expect("genuine");
    let (claims, _) = told(&genuine);
    assert_eq!(claims.iter().filter(|(_, leads)| *leads).count(), 3, "{claims:?}");
    drop(genuine);
    let genuine_pages = Memory::of(&stock.genuine, Some(&ring), Keep::Told).expect("genuine").pages;
    let mut number = numbers(20_251_103);
    let mut kinds = std::collections::BTreeMap::<&str, [u32; 3]>::new();
    let mut place = 0;
    while place < MADE_UP {
        let (kind, forged) = stock.forge(&mut number);
        let seen = Memory::of(&forged, Some(&ring), Keep::Told);
        if seen.as_ref().is_ok_and(|seen| seen.pages == genuine_pages) {
            continue; // an unlucky forger: not a page of the log is another
        }
        place += 1;
        let said = || format!("number {place}, {kind}");
        let counts = kinds.entry(kind).or_default();
        counts[0] += 1;
        // by itself
        if let Ok(memory) = seen {
            counts[1] += 1;
            for session in &memory.sessions {
                for fixing in &session.fixings {
                    let grounds = fixing.grounds(session);
                    let claim = claim(&grounds);
                    assert!(!leads_on(&claim), "{}: {} {claim:?}", said(), fixing.label);
                }
                assert!(session.answered.is_none(), "{}: nobody vouches for its end", said());
            }
            let (proofs, _) = prove_image(&forged, &ring).expect("walked a moment ago");
            assert!(proofs.iter().all(|proof| !proof.is_proved()), "{}: {proofs:?}", said());
        }
        // before the genuine one
        let file = format!("{place}.db");
        let mut register = site.register(&file);
        let taken = register.add_image("forged.bin", &forged, Some(&ring), Life::GoesOn, BEGUN);
        counts[2] += u32::from(taken.is_ok());
        let (claims, list) = told(&register);
        assert!(claims.iter().all(|(_, leads)| !leads), "{}: {claims:?}\n{list}", said());
        register
            .add_image("genuine.bin", &stock.genuine, Some(&ring), Life::GoesOn, BEGUN + 60)
            .unwrap_or_else(|refusal| panic!("{}: the genuine memory is refused: {refusal:?}", said()));
        with_both(&register, kind, taken.is_ok(), &said());
        drop(register);
        // and after it
        std::fs::copy(site.0.path().join("genuine.db"), site.0.path().join(&file)).expect("copied");
        let mut register = site.register(&file);
        let taken = register.add_image("forged.bin", &forged, Some(&ring), Life::GoesOn, BEGUN + 60);
        with_both(&register, kind, taken.is_ok(), &said());
        drop(register);
        std::fs::remove_file(site.0.path().join(&file)).expect("removed");
    }
    println!("kind: made up, read, taken in: {kinds:?}");
    assert!(kinds.len() == 8 && kinds.values().all(|[made, _, _]| *made > 50), "{kinds:?}");
    let read: u32 = kinds.values().map(|[_, read, _]| *read).sum();
    assert!(read > 1_500, "most can be read: {kinds:?}");
}

/// With both in the register: nothing of the forged one leads on, and the genuine one does only where nothing touches it.
fn with_both(register: &Register, kind: &str, forged_taken: bool, said: &str) {
    let (claims, list) = told(register);
    let genuine = device_of(OWN);
    let own: String = genuine.0.iter().map(|byte| format!("{byte:02x}")).collect();
    let leading: Vec<&String> = claims.iter().filter(|(_, leads)| *leads).map(|(what, _)| what).collect();
    // only those that the genuine log has, and nothing at all where the forged one is in its place
    assert!(leading.iter().all(|what| what.contains(&own)), "{said}: {leading:?}\n{list}");
    assert!(leading.len() <= 3, "{said}: {leading:?}");
    assert!(leading.iter().all(|what| !what.starts_with("quay 4 of")), "{said}: {leading:?}");
    // one that tells another story of the same logger touches all of it
    let another_story =
        ["another key", "a genuine beginning", "edited readings", "a deed left out", "a typed trace"].contains(&kind);
    if another_story && forged_taken {
        assert!(leading.is_empty(), "{said}: {leading:?}\n{list}");
    }
}
