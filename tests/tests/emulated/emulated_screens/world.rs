//! What the world does to a board: power that goes, a clock that is not set, a slow resin, no probe, a PC at the line.

use super::lists::{DEMO, LINK, NO_PROBE, SLOW, UNSET};
use super::parts::{CURE, SETTLE, TORQUE, batch, curing, items, newton_metres, resin};
use super::scene::{Fixings, START, Scene, Start, range, wall};
use holdoff::link::{Part, Patience, Talk, read_image};
use holdoff_core::cure::{Laxer, Rule, Settings, Uncertainty};
use holdoff_core::fixing::Grounds;
use holdoff_core::log::ResetCause;
use holdoff_core::quantity::Span;
use holdoff_files::resin_file::ResinFile;
use holdoff_firmware::view::{
    Alert, ClockFailure, Fault, Forecast, Glance, Goes, Item, Lack, Lacks, Link, May, Overview, Page, Setting, State,
    View, Wait, Which,
};
use holdoff_tests::emulator::Button::{Down, Left, Right, Select, Up};
use holdoff_tests::emulator::{Photo, Probe, port, talk};

/// The same resin, marked as the demo that it is, and quick.
fn demo() -> ResinFile {
    let text =
        resin().source().replace("demo = false", "demo = true").replace("\"1h\"", "\"5min\"").replace("30min", "5min");
    ResinFile::parse("demo.toml", &text).expect("a resin")
}

#[test]
fn a_demo_resin_is_never_on_site_and_power_cuts_are_said() {
    let mut scene = Scene::start(&Start { seed: None, ..Start::at(START - SETTLE - 8) }, None);
    let mut fixings: Fixings = vec![(TORQUE, None); 6];
    fixings[1].0 = None;
    scene.load(START - SETTLE, &demo(), Settings::DEFAULT, fixings, 60);
    scene.at(START + 10);
    scene.light();
    scene.see_state("demo-may-inject", State::NotInjected(May::YES));
    scene.press(&[Select]);
    let before = items(&[Item::Inject, Item::MeasureInHole, Item::HoleWet, Item::HoleFlooded]);
    scene.see("demo-menu", Page::Menu { items: before, chosen: Item::Inject });
    scene.press(&[Left]);
    for number in [1, 2] {
        scene.inject(number, None);
        scene.seat(number, None);
    }
    // 301 s to cure, announced with the next reading
    scene.at(START + 370);
    scene.fixing(1);
    let range = range(3_800, 4_200).expect("a range");
    scene.see_state("demo-torque-now", State::TorqueNow { range, too_low: None });
    scene.menu(1);
    scene.press(&[Select]);
    scene.yes(Some(START + 375));
    let loaded = State::MayBeLoaded { torque: newton_metres(4_000), at: Some(wall(START + 375)) };
    scene.see_state("demo-may-be-loaded", loaded);
    scene.press(&[Down]);
    scene.see("no-key", Page::NoKey);
    scene.fixing(2);
    scene.see_state("demo-cured", State::Cured { at: None });
    scene.press(&[Up]);
    let mut fixings = [None; 16];
    let six = [
        Glance::Load,
        Glance::Cured,
        Glance::NotInjected,
        Glance::NotInjected,
        Glance::NotInjected,
        Glance::NotInjected,
    ];
    fixings.iter_mut().zip(six).for_each(|(place, glance)| *place = Some(glance));
    let overview = Overview { fixings, chosen: Which { number: 2, of: 6 }, resin: scene.resin };
    scene.see_view("overview", &View::Overview(overview));

    // the power goes ten seconds after the reading of the ninth minute, for an hour and ten minutes
    scene.fixing(3);
    scene.inject(3, None);
    scene.seat(3, None);
    scene.at(START + 550);
    let mut scene = scene.cut_until(START + 540 + 4_210);
    scene.at(START + 540 + 4_213);
    let dark = Some(Span::from_seconds(4_210));
    scene.see_view("restarted", &View::Fault(Fault::Restarted { cause: ResetCause::PowerOn, dark }));
    // and the clock says less than the log knows
    let mut scene = scene.cut_until(START);
    scene.at(START + 3);
    scene.see_view("clock-back", &View::Fault(Fault::ClockFailed { how: ClockFailure::Back, goes: Goes::Again }));
    scene.seen.are(DEMO);
}

#[test]
fn a_clock_that_was_never_set_shows_no_time_of_day() {
    // 2000-01-01T00:00:20Z
    let begin = 946_684_820;
    let mut scene = Scene::start(&Start::at(begin - 10), None);
    scene.at(begin - 5);
    scene.see_view("clock-not-set", &View::Fault(Fault::ClockNotSet));
    scene.load(begin, &resin(), Settings::DEFAULT, vec![(TORQUE, None), (TORQUE, batch(0))], 60);
    (scene.clock, scene.alert) = (false, Alert::Fault);
    scene.at(begin + SETTLE + 8);
    scene.fixing(2);
    let may = May { grounds: Grounds::NONE, lacks: Lacks::NONE.with(Lack::Clock) };
    scene.see_state("do-not-inject-clock", State::NotInjected(may));
    scene.inject(1, None);
    scene.seat(1, Some(begin + SETTLE + 20));
    scene.at(begin + SETTLE + 50);
    scene.press(&[Right, Left]);
    let forecast = Forecast { left: Span::from_seconds((CURE - 30) as u32), ends: None };
    scene.see_state("leave-alone-no-clock", State::Wait(Wait::Curing(forecast)));
    scene.seen.are(UNSET);
}

#[test]
fn a_slow_resin_is_waited_for_until_tomorrow_or_for_a_fortnight() {
    let text =
        resin().source().replace("20min", "30h").replace("\"2h\"", "\"14d\"").replace("from = 10.0", "from = 5.5");
    let text = text.replace("12min", "27h").replace("\"1h\"", "\"23h 30min\"");
    let slow = ResinFile::parse("slow.toml", &text).expect("a resin");
    let uncertainty = Uncertainty::from_counts(128).expect("half a degree");
    let lax = Settings::new(uncertainty, Span::from_seconds(900), 100).expect("settings");
    // 6.4 °C, half a degree off: in the second band
    let mut scene = Scene::start(&Start { sixteenths: 102, ..Start::at(START - SETTLE - 8) }, None);
    scene.load(START - SETTLE, &slow, lax, vec![(TORQUE, None)], 60);
    scene.at(START + 8);
    scene.inject(1, Some(START + 15));
    scene.at(START + 25);
    scene.press(&[Right, Left]);
    let working = 27 * 3_600;
    let left = Span::from_seconds(working - 10);
    scene.see_state("seat-now-long", State::SeatNow { left, by: Some(wall(START + 15 + i64::from(working))) });
    let seated = START + 35;
    scene.seat(1, Some(seated));
    scene.at(START + 65);
    scene.press(&[Right, Left]);
    let ends = |cure: i64| seated + (cure..).find(|n| n - (n * 100 + 999_999) / 1_000_000 >= cure).expect("an end");
    let forecast = curing(START + 65, ends(23 * 3_600 + 1_800));
    scene.see_state("leave-alone-tomorrow", State::Wait(forecast));
    scene.press(&[Down; 5]);
    let setting = Setting {
        rule: Rule::Coldest,
        uncertainty: 128,
        longest_gap: Span::from_seconds(900),
        clock_ppm: 100,
        settle: Span::from_seconds(180),
        laxer: Laxer { uncertainty: true, longest_gap: true, clock_ppm: false, settle: false },
    };
    scene.see("setting-laxer", Page::Setting(setting));
    // 5.7 °C: in the first band, and so is the whole cure
    scene.probe(91);
    scene.at(START + 125);
    scene.press(&[Right, Left]);
    scene.see_state("leave-alone-days", State::Wait(curing(START + 125, ends(14 * 86_400))));
    scene.seen.are(SLOW);
}

#[test]
fn a_probe_that_is_not_there_is_said_as_soon_as_a_job_is_loaded() {
    let mut scene = Scene::start(&Start { probe: Probe::Unplugged, ..Start::at(START - 8) }, None);
    scene.load(START, &resin(), Settings::DEFAULT, vec![(TORQUE, None)], 60);
    scene.at(START + 3);
    scene.see_view("probe-silent", &View::Fault(Fault::ProbeSilent));
    scene.seen.are(NO_PROBE);
}

#[test]
fn what_a_pc_does_is_shown_while_nothing_runs() {
    let mut scene = Scene::start(&Start::at(START - 8), None);
    let album = tempfile::tempdir().expect("a folder");
    scene.at(START - 4);
    scene.machine.keep_pictures(album.path()).expect("a folder");
    scene.load(START, &resin(), Settings::DEFAULT, vec![(TORQUE, None); 3], 60);
    scene.at(START + 5);
    let out = album.path().join("part");
    let read = talk(&mut scene.machine, |socket| {
        let mut talk = Talk::begin(&port(socket), Patience::default()).expect("it answers");
        talk.identity().expect("it has said so");
        let mut part = Part::open(&out).expect("a part");
        read_image(&mut talk, &mut part, &mut |_, _| {}).expect("it is read").whole
    });
    assert!(read.expect("it runs"));
    // pictures come and go while the PC talks; every one was kept
    let files = std::fs::read_dir(album.path()).expect("an album").map(|file| file.expect("a file").path());
    let shown: Vec<Photo> = files.filter_map(|path| Photo::read(&path).ok()).collect();
    for (name, link) in [
        ("pc-connected", Link::Connected),
        ("pc-loading", Link::Loading),
        ("pc-reading-out", Link::ReadingOut { done: 41, of: 128 }),
    ] {
        let view = View::Link(link);
        let wanted = Photo::of(&holdoff_firmware::screen::frame(&view));
        let found = shown.iter().find(|photo| **photo == wanted);
        scene.seen.see(name, &view, found.unwrap_or(&shown[0]));
    }
    scene.seen.are(LINK);
}
