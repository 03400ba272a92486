//! Memories that hold what they hold when the emulated board starts: a damaged log, a full one, somebody else's.
//!
//! Most come from the fake board, which makes hours of log in a moment; the board that starts with them is the emulated one.

use super::lists::{FOREIGN, FULL, LOSING, STUCK, UNTRUSTED};
use super::parts::{TORQUE, resin};
use super::scene::{START, Scene, Start};
use holdoff_core::cure::Settings;
use holdoff_core::fixing::{Ground, Grounds};
use holdoff_core::log::{Bytes, PAGE, Page as LogPage};
use holdoff_files::resin_file::ResinFile;
use holdoff_firmware::view::{Alert, Fault, Lack, Lacks, May, State, View};
use holdoff_tests::emulator::Button::Down;
use holdoff_tests::emulator::known_seed;
use holdoff_tests::fake_board::{Bench, KEY, World, curing, noisy, plan};
use holdoff_tests::log_sample;

/// The board that the fake one's memory is put into, switched on at this second.
fn with_memory(second: i64, memory: &[u8]) -> Scene {
    let mut scene = Scene::start(&Start { seed: Some(KEY), sixteenths: 12 * 16, ..Start::at(second) }, Some(memory));
    (scene.label, scene.of) = ("quay stud", 2);
    scene.resin = holdoff_core::resin::ResinUse::Demo;
    scene
}

#[test]
fn a_damaged_log_releases_nothing_and_begins_nothing() {
    let mut bench = curing();
    bench.world.borrow_mut().probe.sixteenths = Box::new(noisy);
    bench.run(48 * 3_600);
    bench.world.borrow_mut().memory.bytes[PAGE + 100] ^= 4;
    let second = bench.second() + 100;
    let mut scene = with_memory(second, &bench.image());
    scene.at(second + 5);
    scene.see_view("log-untrusted", &View::Fault(Fault::LogUntrusted));
    scene.at(second + 250); // its probe has settled
    scene.light();
    scene.press(&[Down]);
    scene.alert = Alert::Fault;
    let grounds = Grounds::only(Ground::UntrustedLog);
    scene.see_state("do-not-load-log", State::DoNotLoad { grounds, at: None });
    scene.fixing(2);
    scene.see_state("do-not-inject-log", State::NotInjected(May { grounds, lacks: Lacks::NONE }));
    scene.seen.are(UNTRUSTED);
}

#[test]
fn a_memory_without_room_for_another_fixing_takes_none() {
    // a reading a second for a fortnight and its longest hold: more than 64 KiB take
    let text = resin().source().replace("\"2h\"", "\"14d\"");
    let slow = ResinFile::parse("slow.toml", &text).expect("a resin");
    let mut scene = Scene::start(&Start::at(START - 8), None);
    scene.load(START, &slow, Settings::DEFAULT, vec![(TORQUE, None)], 1);
    scene.at(START + 2);
    scene.see_view("memory-full", &View::Fault(Fault::MemoryFull));
    scene.at(START + 190); // its probe has settled
    scene.light();
    scene.press(&[Down]);
    scene.alert = Alert::Fault;
    let may = May { grounds: Grounds::NONE, lacks: Lacks::NONE.with(Lack::MemoryFull) };
    scene.see_state("do-not-inject-memory-full", State::NotInjected(may));
    scene.seen.are(FULL);
}

#[test]
fn readings_that_find_no_room_are_counted_as_lost() {
    let mut logger = log_sample::blank(65_536, log_sample::owner_of(known_seed()));
    logger.begin(&log_sample::beginning()).expect("blank");
    logger.add(Bytes::cut("quay stud 1"), log_sample::spec()).expect("room");
    let at = log_sample::fill(&mut logger, START - 100 * 86_400);
    assert!(at < START, "{at}");
    let mut scene = Scene::start(&Start::at(START), Some(logger.memory().bytes()));
    // one before, and the reading right after the start, which takes a while with a full memory; the next is a minute later
    scene.at(START + 20);
    scene.see_view("losing", &View::Fault(Fault::Losing { count: 2 }));
    scene.seen.are(LOSING);
}

#[test]
fn six_hours_of_the_same_reading_are_doubted() {
    let mut bench = curing();
    bench.run(6 * 3_600);
    let second = bench.second() + 100;
    let mut scene = with_memory(second, &bench.image());
    scene.at(second + 5);
    scene.see_view("probe-stuck", &View::Fault(Fault::ProbeStuck));
    scene.seen.are(STUCK);
}

#[test]
fn a_memory_that_is_none_of_this_loggers_is_named() {
    let own = curing().image();
    let mut all = Vec::new();
    let mut version = own.clone();
    for slot in version.chunks_mut(PAGE) {
        let Ok(length) = LogPage::find(slot).map(|page| page.length()) else { continue };
        slot[1] = 2;
        let check = crc::Crc::<u32>::new(&crc::CRC_32_ISO_HDLC).checksum(&slot[..length - 4]);
        slot[length - 4..length].copy_from_slice(&check.to_le_bytes());
    }
    all.push(("log-version", version, Fault::LogVersion { found: 2 }, KEY));
    let mut small = <Bench<32_768>>::on({
        let mut world = World::new(START, 32_768);
        world.seed = Some(KEY);
        world
    });
    small.run(10);
    small.load(&plan(1));
    let mut half = small.image();
    half.resize(65_536, 0xFF);
    all.push(("memory-size", half, Fault::MemorySize, KEY));
    let noise = (0u32..65_536).map(|place| (place.wrapping_mul(2_654_435_761) >> 24) as u8).collect();
    all.push(("no-log", noise, Fault::NoLog, KEY));
    let made_up = log_sample::retagged(&own, &[7; 32]);
    all.push(("log-not-own", made_up, Fault::LogNotOwn, KEY));
    all.push(("log-foreign", own, Fault::LogForeign { device: log_sample::device_of(KEY) }, known_seed()));
    let mut seen = super::seen::Seen::nothing();
    for (name, memory, fault, seed) in all {
        let mut scene = Scene::start(&Start { seed: Some(seed), ..Start::at(START + 86_400) }, Some(&memory));
        scene.at(START + 86_405);
        let display = scene.machine.look().expect("a picture");
        seen.see(name, &View::Fault(fault), &display);
        let untouched = std::fs::read(scene.memory()).expect("a memory") == memory;
        assert!(untouched, "{name}: it was written on");
    }
    seen.are(FOREIGN);
}
