//! The device's log against a replay of the same readings and actions on the PC: the same bytes.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::Stage;
use holdoff_core::log::{Item, Record, ResetCause};
use holdoff_core::resin::Hole;
use holdoff_core::seal::{MODULES, SecretKey};
use holdoff_evidence::keys::{NamedKey, Ring};
use holdoff_evidence::{Subject, prove_image};
use holdoff_files::resin_file::ResinFile;
use holdoff_firmware::run::Press;
use holdoff_firmware::screen::frame;
use holdoff_firmware::view::{Item as MenuItem, Page};
use holdoff_tests::fake_board::{Bench, JobPlan, KEY, again, items, loaded, plan, planned_as, steady};
use holdoff_tests::random::{histories, numbers};

/// Invented; a resin for a quay in early spring.
const RESIN: &str = r#"
name = "Quay grey (invented)"
demo = true
[substrate]
install_least = 4.0
install_greatest = 35.0
cure_least = 2.0
cure_greatest = 35.0
reject_below = -6.0
reject_above = 60.0
longest_hold = "8h"
[cartridge]
least = 5.0
greatest = 35.0
[hole]
allowed = ["dry", "wet"]
wet_factor = 2
[accrual]
permitted = false
[[band]]
from = 2.0
working = "30min"
cure = "3h"
[[band]]
from = 8.0
working = "15min"
cure = "90min"
[[band]]
from = 16.0
working = "6min"
cure = "40min"
"#;

/// A device that is fed from the bench: one with a battery writes down its supply as well, which no replay has.
type Fed = Bench<65_536, false>;

fn site(fixings: usize) -> (ResinFile, JobPlan) {
    let file = ResinFile::parse("quay.toml", RESIN).expect("a resin");
    let plan = JobPlan { resin: loaded(&file), ..plan(fixings) };
    (file, plan)
}

/// Both images, or the first place where they differ.
fn assert_same(device: &[u8], pc: &[u8], what: &str) {
    let differ = device.iter().zip(pc).position(|(device, pc)| device != pc);
    assert_eq!(differ, None, "{what}: byte {differ:?} of slot {:?}", differ.map(|at| at / 512));
}

#[test]
fn a_whole_life_by_buttons_gives_the_log_of_a_replay_to_the_byte() {
    let (file, plan) = site(3);
    let mut bench = Fed::new();
    // 10 °C at first, warmer until noon, colder again
    bench.world.borrow_mut().probe.sixteenths = Box::new(|second| {
        let minutes = (second - holdoff_tests::fake_board::START) / 60;
        (160 + minutes.min(480 - minutes) / 2) as i32
    });
    bench.run(20);
    bench.load(&plan);
    bench.run(125);
    bench.look_at(0);
    bench.take(MenuItem::MeasureInHole);
    bench.run(190);
    // with a cartridge that was warmed in a pocket
    bench.look_at(0);
    bench.take(MenuItem::Inject);
    bench.press(Press::Up);
    bench.press(Press::Down);
    bench.press(Press::Select);
    bench.yes();
    bench.run(100);
    bench.seat(0);
    bench.run(300);
    bench.inject(1);
    bench.run(90);
    bench.look_at(1);
    bench.take(MenuItem::HoleWet);
    bench.yes();
    bench.run(2); // of two things done in one second a replay does the seating first
    bench.seat(1);
    bench.run(3 * 3600);
    assert!(matches!(bench.stage(0), Stage::Cured(_)));
    bench.torque(0);
    bench.run(1800);
    bench.look_at(1);
    bench.take(MenuItem::Torqued);
    for _ in 0..5 {
        bench.press(Press::Down); // too low first
    }
    bench.press(Press::Select);
    bench.yes();
    bench.run(10);
    bench.torque(1);
    bench.run(60);
    assert!(matches!(bench.stage(0), Stage::Released(_)), "{:?}", bench.stage(0));
    assert!(matches!(bench.stage(1), Stage::Released(_)), "{:?}", bench.stage(1));
    let image = bench.image();
    assert_same(&image, &again(&image, &file, &plan), "a life");
    // and both releases are proved, from the readings on
    let names: Vec<String> = proved(&image).into_iter().map(|(fixing, _)| fixing).collect();
    assert_eq!(names, ["quay stud 1", "quay stud 2"]);
}

/// The name of what is proved of an image by the device's key, and when it is said to have cured.
fn proved(image: &[u8]) -> Vec<(String, Option<i64>)> {
    let public = SecretKey::from_seed(KEY).expect("a key").public();
    let ring = Ring::of(NamedKey { name: "the device".to_owned(), device: None, public, enrolled: None });
    let (proofs, _) = prove_image(image, &ring).expect("a log");
    let name = |subject: &Subject| match subject {
        Subject::Fixing { label, .. } => label.clone(),
        Subject::Session { page } => page.to_string(),
    };
    let proofs = proofs.iter().filter(|proof| proof.is_proved());
    proofs.map(|proof| (name(&proof.subject), proof.cured.map(|cured| cured.at_s))).collect()
}

#[test]
fn a_cure_that_a_wet_hole_withdrew_takes_its_release_with_it_and_the_next_one_is_signed_anew() {
    let mut plan = plan(1);
    plan.fixings[0].torque = None;
    let mut bench = planned_as(steady(12 * 16), &plan);
    bench.inject(0);
    bench.run(60);
    bench.seat(0);
    bench.run(3900);
    assert!(matches!(bench.stage(0), Stage::Cured(_)), "{:?}", bench.stage(0));
    let first = proved(&bench.image());
    assert_eq!(first.len(), 1);
    let code = |bench: &mut Bench| {
        bench.look_at(0);
        bench.press(Press::Down);
        let shown = bench.page(|_, page| if let Page::Code(_) = page { Some(()) } else { None });
        shown.map(|()| bench.view(frame))
    };
    let drawn = code(&mut bench).expect("a code");
    bench.look_at(0);
    bench.take(MenuItem::HoleWet);
    bench.yes();
    bench.run(10);
    assert!(matches!(bench.stage(0), Stage::Curing), "{:?}", bench.stage(0));
    assert_eq!((code(&mut bench), proved(&bench.image())), (None, Vec::new()));
    // a restart knows it as well
    bench.boot(ResetCause::PowerOn);
    bench.run(30);
    assert_eq!((code(&mut bench), proved(&bench.image())), (None, Vec::new()));
    bench.run(3800);
    assert!(matches!(bench.stage(0), Stage::Cured(_)), "{:?}", bench.stage(0));
    let second = proved(&bench.image());
    assert_eq!(second.len(), 1);
    assert!(first < second, "{first:?} {second:?}");
    assert!(code(&mut bench).is_some_and(|code| code != drawn));
}

#[test]
fn a_cure_that_a_stricter_hole_moves_is_signed_anew_for_the_one_in_force() {
    let code = |bench: &mut Bench| -> Vec<bool> {
        bench.look_at(0);
        bench.press(Press::Down);
        let seen = bench.seen();
        let points = (0..MODULES).flat_map(|y| (0..MODULES).map(move |x| (x, y)));
        let code = bench.page(|_, page| match page {
            Page::Code(picture) => Some(points.map(|(x, y)| picture.0.is_dark(x, y)).collect()),
            _ => None,
        });
        code.unwrap_or_else(|| panic!("{seen}"))
    };
    // dry to wet once it would be cured in a wet hole as well; then wet to flooded, which needs no longer
    let mut plan = plan(1);
    plan.fixings[0].torque = None;
    let mut bench = planned_as(steady(12 * 16), &plan);
    bench.inject(0);
    bench.run(60);
    bench.seat(0);
    bench.run(3 * 3600);
    let (dry, cured) = (bench.status(0).cured_at, proved(&bench.image()));
    let mut codes = vec![code(&mut bench)];
    for item in [MenuItem::HoleWet, MenuItem::HoleFlooded] {
        bench.look_at(0);
        bench.take(item);
        bench.yes();
        bench.run(10);
        assert!(matches!(bench.stage(0), Stage::Cured(_)), "{:?}", bench.stage(0));
        codes.push(code(&mut bench));
        let again = proved(&bench.image());
        assert_eq!(again.len(), 1, "{item:?}: {again:?}");
        assert!(again > cured, "{item:?}: {again:?}, before {cured:?}");
    }
    assert!(bench.status(0).cured_at > dry);
    assert!(codes[0] != codes[1] && codes[1] != codes[2], "another hole, another record");
    // a restart knows it as well, and signs nothing again
    let releases = |bench: &Bench| {
        items(&bench.image()).iter().filter(|item| matches!(item, Item::Record(Record::Release { .. }))).count()
    };
    assert_eq!(releases(&bench), 3);
    bench.boot(ResetCause::PowerOn);
    bench.run(30);
    assert!(code(&mut bench) == codes[2]);
    assert_eq!((releases(&bench), proved(&bench.image()).len()), (3, 1));
}

#[test]
fn readings_keep_their_beat_from_the_second_of_the_load_and_every_action_has_its_own() {
    let (_, mut plan) = site(2);
    plan.period = 45;
    let mut bench = <Bench>::new();
    bench.run(10);
    bench.load(&plan);
    let loaded = bench.second();
    bench.run(200);
    bench.inject(0);
    bench.run(77);
    bench.seat(0);
    bench.run(700);
    let items = items(&bench.image());
    let readings: Vec<i64> = items
        .iter()
        .filter_map(|item| match item {
            Item::Reading { at, .. } => Some(at.seconds()),
            Item::Unusable { .. } | Item::Missing { .. } | Item::Refused { .. } | Item::Record(_) => None,
        })
        .collect();
    let first = readings[0];
    assert!((loaded - 1..=loaded).contains(&first), "the first at {first}, loaded at {loaded}");
    let actions: Vec<(usize, i64)> = items
        .iter()
        .enumerate()
        .filter_map(|(place, item)| match item {
            Item::Record(Record::Action { at, .. }) => Some((place, at.seconds())),
            Item::Reading { .. }
            | Item::Unusable { .. }
            | Item::Missing { .. }
            | Item::Refused { .. }
            | Item::Record(_) => None,
        })
        .collect();
    assert_eq!(actions.len(), 2);
    for (place, second) in &actions {
        assert!(readings.contains(second), "no reading of its own at {second}");
        let before = items[..*place].iter().rev().find_map(|item| match item {
            Item::Reading { at, .. } => Some(at.seconds()),
            Item::Unusable { .. } | Item::Missing { .. } | Item::Refused { .. } | Item::Record(_) => None,
        });
        assert_eq!(before, Some(*second), "taken before it");
    }
    let beat: Vec<i64> =
        readings.iter().copied().filter(|at| !actions.iter().any(|(_, second)| second == at)).collect();
    let expected: Vec<i64> =
        (0i64..).map(|turn| first + turn * 45).take_while(|at| *at <= *beat.last().unwrap()).collect();
    let missing = expected.iter().filter(|at| !readings.contains(at)).count();
    assert_eq!(missing, 0, "{beat:?}");
    assert!(beat.iter().all(|at| expected.contains(at)), "{beat:?}");
    assert!(expected.len() > 18);
}

/// Does something that is offered, or nothing, as chance has it.
fn anything(bench: &mut Fed, next: &mut impl FnMut() -> u64, fixings: u8) {
    let unseated = (0..fixings).find(|place| matches!(bench.stage(*place), Stage::Working));
    let place = unseated.filter(|_| next() % 8 > 0).unwrap_or((next() % u64::from(fixings)) as u8);
    // what ends a life comes seldom
    let items: Vec<MenuItem> = bench
        .offered(place)
        .into_iter()
        .filter(|item| match item {
            MenuItem::HoleFlooded | MenuItem::CarriedOut => next() % 24 == 0,
            // stands in a device's log where it was entered, in a replay where it was begun
            MenuItem::TorquedEarly => false,
            MenuItem::HoleWet => next() % 12 == 0,
            MenuItem::Inject
            | MenuItem::MeasureInHole
            | MenuItem::Seat
            | MenuItem::SeatedLate
            | MenuItem::MayItBeTorqued
            | MenuItem::Torqued
            | MenuItem::Accept
            | MenuItem::Remove => true,
        })
        .collect();
    let Some(item) = items.get((next() % items.len().max(1) as u64) as usize) else { return };
    bench.look_at(place);
    bench.take(*item);
    if *item == MenuItem::MeasureInHole {
        bench.run((next() % 400) as i64);
    }
    for _ in 0..6 {
        let asked = bench.page(|_, page| {
            if matches!(page, Page::Question { .. }) {
                Some(true)
            } else {
                matches!(page, Page::EnterTorque { .. } | Page::EnterCartridge { .. }).then_some(false)
            }
        });
        match asked {
            Some(true) => {
                bench.yes();
            }
            Some(false) => {
                for _ in 0..next() % 4 {
                    bench.press([Press::Up, Press::Down, Press::Right][(next() % 3) as usize]);
                }
                bench.press(Press::Select);
            }
            None => return,
        }
    }
}

#[test]
fn random_days_on_site_give_the_log_of_a_replay_to_the_byte() {
    let (mut released, mut rejected, mut refused) = (0, 0, 0);
    for day in 0..histories(14) {
        let (file, mut plan) = site(6);
        let mut next = numbers(0xDA7 + day);
        plan.period = [10, 30, 60, 120][(next() % 4) as usize];
        plan.fixings[1].torque = None;
        plan.fixings[2].hole = Hole::Wet;
        plan.fixings[3].torque = Some((1_995, 2_005));
        let mut bench = Fed::new();
        let (middle, swing) = (80 + (next() % 200) as i32, (next() % 160) as i32);
        let jump = next() % 5 == 0;
        bench.world.borrow_mut().probe.sixteenths = Box::new(move |second| {
            let minute = (second / 60 % 1440) as f64;
            let slow = middle + (f64::from(swing) * (minute * std::f64::consts::TAU / 700.0).sin()) as i32;
            // now and then a value that must be refused
            slow + if jump && second % 1009 < 61 { 700 } else { (second / 240 % 3) as i32 }
        });
        bench.run(5 + (next() % 50) as i64);
        bench.load(&plan);
        bench.run((next() % 400) as i64);
        for _ in 0..45 {
            let longest = [200, 200, 3000][(next() % 3) as usize];
            bench.run(2 + (next() % longest) as i64);
            anything(&mut bench, &mut next, 6);
        }
        bench.run(3);
        for place in 0..6 {
            match bench.stage(place) {
                Stage::Released(_) => released += 1,
                Stage::Rejected(_) | Stage::AcceptedAsIs(_) | Stage::Removed(_) => rejected += 1,
                Stage::Refused => refused += 1,
                Stage::Planned | Stage::Working | Stage::Curing | Stage::Held | Stage::Cured(_) => {}
            }
        }
        let image = bench.image();
        assert_same(&image, &again(&image, &file, &plan), &format!("day {day}"));
    }
    assert!(released > 5 && rejected > 5 && refused > 0, "{released} released, {rejected} rejected, {refused} refused");
}
