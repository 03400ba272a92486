//! Every failure has its screen, its record, and never an earlier release.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Ground, Stage};
use holdoff_core::group::Darkness;
use holdoff_core::log::{Item, Loss, Record, ResetCause, Trust};
use holdoff_core::probe::Refusal;
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Battery, Fault, Held as Hold, Lack, Notice, State, View, Wait};
use holdoff_link::message::{Answer, Refusal as Refused};
use holdoff_tests::fake_board::{
    Bench, Held, JobPlan, START, World, curing, items, noisy, notice, plan, power_ups, records, shown, story, trusted,
    undisturbed,
};
use holdoff_tests::log_sample::device_of;

// ---- the probe

#[test]
fn a_probe_that_is_pulled_off_is_said_recorded_and_waited_for() {
    let mut bench = curing();
    let plug = |bench: &mut Bench, plugged| {
        let mut world = bench.world.borrow_mut();
        let now = world.now;
        world.probe.plug(plugged, now);
    };
    plug(&mut bench, false);
    bench.run(70);
    assert_eq!(shown(&mut bench), Some(Fault::ProbeSilent));
    assert!(bench.world.borrow().lit, "a fault lights the display while a fixing runs");
    bench.run(600);
    bench.look_at(0);
    assert_eq!(bench.state(), State::Wait(Wait::Held(Hold::NoReadings)));
    plug(&mut bench, true);
    bench.run(130);
    assert_ne!(shown(&mut bench), Some(Fault::ProbeSilent));
    let causes: Vec<Refusal> = items(&bench.image())
        .iter()
        .filter_map(|item| match item {
            Item::Unusable { cause, .. } => Some(*cause),
            _ => None,
        })
        .collect();
    assert!(causes.len() > 10 && causes[..causes.len() - 1].iter().all(|cause| *cause == Refusal::Bus), "{causes:?}");
    assert_eq!(causes.last(), Some(&Refusal::PowerUp), "it came up with nine bits and an old value");
    assert!(bench.status(0).tally.unobserved > 600);
    bench.run(3600);
    assert!(bench.status(0).cured_at.expect("cured").seconds() > undisturbed() + 600);
    trusted(&bench);
}

#[test]
fn a_bus_held_by_a_part_is_freed_and_nobody_notices() {
    let mut bench = curing();
    bench.world.borrow_mut().held = Held::ByAPart;
    bench.run(200);
    assert_eq!(bench.world.borrow().held, Held::No);
    assert_eq!(shown(&mut bench), None);
    assert!(items(&bench.image()).iter().all(|item| !matches!(item, Item::Unusable { .. })));
}

#[test]
fn a_shorted_bus_is_said_and_what_was_not_seen_does_not_count() {
    let mut bench = curing();
    bench.world.borrow_mut().held = Held::Short;
    bench.run(600);
    assert_eq!(shown(&mut bench), Some(Fault::BusStuck));
    let before = bench.image();
    bench.press(Press::Down);
    bench.press(Press::Select);
    assert_eq!(bench.image(), before);
    bench.world.borrow_mut().held = Held::No;
    bench.run(70);
    assert_eq!(shown(&mut bench), None, "{}", bench.seen());
    assert!(bench.status(0).tally.unobserved >= 600, "{:?}", bench.status(0).tally);
    bench.run(3600);
    assert!(bench.status(0).cured_at.expect("cured").seconds() > undisturbed() + 590);
    trusted(&bench);
}

#[test]
fn a_value_that_stays_for_six_hours_is_warned_of_and_nothing_else() {
    let mut bench = curing();
    bench.run(6 * 3600);
    let cured = bench.status(0).cured_at;
    assert_eq!(cured.map(|at| at.seconds()), Some(undisturbed()));
    assert_eq!(shown(&mut bench), Some(Fault::ProbeStuck));
    // also after a restart, and until it changes
    bench.boot(ResetCause::Pin);
    bench.run(70);
    bench.press(Press::Down);
    bench.run(10);
    assert!(matches!(bench.stage(0), Stage::Cured(_)));
    let stuck = |bench: &mut Bench| {
        for _ in 0..8 {
            if shown(bench) == Some(Fault::ProbeStuck) {
                return true;
            }
            bench.press(Press::Up);
        }
        false
    };
    assert!(stuck(&mut bench), "{}", bench.seen());
    bench.world.borrow_mut().probe.sixteenths = Box::new(|_| 12 * 16 + 1);
    bench.run(70);
    bench.look_at(0);
    assert!(!stuck(&mut bench), "{}", bench.seen());
}

#[test]
fn a_register_that_cannot_be_true_is_said_and_not_used() {
    let mut bench = curing();
    for sixteenths in [0, 126 * 16] {
        bench.world.borrow_mut().probe.sixteenths = Box::new(move |_| sixteenths);
        bench.run(130);
        assert_eq!(shown(&mut bench), Some(Fault::ProbeWrong));
        bench.world.borrow_mut().probe.sixteenths = Box::new(|_| 12 * 16);
        bench.run(130);
    }
    assert!(bench.status(0).tally.unobserved > 240);
}

// ---- the memory

#[test]
fn a_memory_that_does_not_answer_loses_readings_and_refuses_actions() {
    let mut bench = curing();
    bench.world.borrow_mut().memory.answers = false;
    bench.run(130);
    assert_eq!(shown(&mut bench), Some(Fault::MemorySilent));
    bench.look_at(0);
    bench.take(holdoff_firmware::view::Item::HoleWet);
    bench.yes();
    assert_eq!(notice(&mut bench), Some(Notice::NotRecorded), "{}", bench.seen());
    assert_eq!(bench.status(0).hole, holdoff_core::resin::Hole::Dry, "what was not recorded is not done");
    bench.run(600);
    bench.world.borrow_mut().memory.answers = true;
    bench.run(130);
    assert!(shown(&mut bench).is_none(), "{}", bench.seen());
    let lost =
        records(&bench.image()).iter().any(|record| matches!(record, Record::Loss(Loss { count, .. }) if *count > 10));
    assert!(lost, "the loss is on record");
    assert!(bench.status(0).tally.unobserved > 600);
    bench.run(3600);
    assert!(bench.status(0).cured_at.expect("cured").seconds() > undisturbed() + 600);
    trusted(&bench);
}

#[test]
fn a_memory_that_is_not_there_at_the_start_is_waited_for() {
    let mut bench = curing();
    bench.world.borrow_mut().memory.answers = false;
    bench.boot(ResetCause::BrownOut);
    bench.run(60);
    assert_eq!(shown(&mut bench), Some(Fault::MemorySilent));
    bench.world.borrow_mut().memory.answers = true;
    bench.run(30);
    assert_eq!(power_ups(&bench), [(Darkness::Known, ResetCause::BrownOut)]);
    assert!(matches!(bench.stage(0), Stage::Curing));
}

#[test]
fn a_full_memory_takes_no_new_injection_and_keeps_the_end_of_the_old_one() {
    let mut bench = <Bench<8_192>>::new();
    bench.run(10);
    let mut plan = plan(2);
    plan.period = 20;
    bench.load(&plan);
    bench.run(185);
    bench.inject(0);
    // a value that changes in every reading takes the most room
    bench.world.borrow_mut().probe.sixteenths = Box::new(noisy);
    bench.run(60);
    bench.seat(0);
    let mut hours = 0;
    while !matches!(bench.stage(0), Stage::Cured(_)) || shown(&mut bench) != Some(Fault::MemoryFull) {
        bench.run(1800);
        hours += 1;
        assert!(hours < 400, "it never fills: {:?}, {}", bench.device.logger().room(), bench.seen());
    }
    bench.look_at(1);
    match bench.state() {
        State::NotInjected(may) => assert!(may.lacks.has(Lack::MemoryFull), "{may:?}"),
        other => panic!("{other:?}"),
    }
    bench.take(holdoff_firmware::view::Item::Inject);
    assert!(matches!(bench.state(), State::NotInjected(_)), "nothing is asked");
    // even when readings find no room any more, the end of the first is written
    let losing = |bench: &mut Bench<8_192>| matches!(shown(bench), Some(Fault::Losing { .. }));
    while !losing(&mut bench) {
        bench.run(1800);
        hours += 1;
        assert!(hours < 1200, "{:?}", bench.device.logger().room());
    }
    bench.torque(0);
    assert!(matches!(bench.stage(0), Stage::Released(_)), "{}", bench.seen());
    let released = records(&bench.image()).iter().any(|record| matches!(record, Record::Release { .. }));
    assert!(released, "and its release is signed");
    assert_eq!(story(&bench.image()).1, Trust::Trusted);
}

#[test]
fn a_memory_that_holds_what_is_not_ours_is_left_alone() {
    // another device's log
    let image = curing().image();
    let mut world = World::new(START + 1000, 65_536);
    world.seed = Some([9; 32]);
    world.memory.bytes.clone_from(&image);
    let mut bench = <Bench>::on(world);
    bench.run(10);
    let device = device_of(holdoff_tests::fake_board::KEY);
    assert_eq!(shown(&mut bench), Some(Fault::LogForeign { device }));
    for press in [Press::Select, Press::Down, Press::Select, Press::Right, Press::Select, Press::Up] {
        bench.press(press);
    }
    assert!(matches!(shown(&mut bench), Some(Fault::LogForeign { .. })));
    assert_eq!(bench.try_load(&plan(1)), Answer::Refused(Refused::NoLog));
    bench.run(1000);
    assert_eq!(bench.image(), image);
    // something else
    let mut world = World::new(START, 65_536);
    world
        .memory
        .bytes
        .iter_mut()
        .zip(0u32..)
        .for_each(|(byte, place)| *byte = (place.wrapping_mul(2_654_435_761) >> 24) as u8);
    let mut bench = <Bench>::on(world);
    bench.run(10);
    assert_eq!(shown(&mut bench), Some(Fault::NoLog));
    // a log for a memory of another size
    let mut world = World::new(START, 32_768);
    world.memory.bytes.copy_from_slice(&image[..32_768]);
    let mut bench = <Bench<32_768>>::on(world);
    bench.run(10);
    assert_eq!(shown(&mut bench), Some(Fault::MemorySize));
}

#[test]
fn a_log_that_cannot_be_trusted_says_so_and_offers_nothing() {
    // its first page names the job; the second holds readings
    for page in [0, 1] {
        let mut bench = curing();
        bench.run(1800);
        bench.world.borrow_mut().probe.sixteenths = Box::new(noisy);
        bench.run(72 * 3600); // a few pages on
        bench.world.borrow_mut().memory.bytes[page * 512 + 100] ^= 4;
        bench.boot(ResetCause::PowerOn);
        bench.run(10);
        assert_eq!(shown(&mut bench), Some(Fault::LogUntrusted), "page {page}");
        if page == 1 {
            bench.look_at(0);
            assert!(matches!(bench.state(), State::DoNotLoad { grounds, .. } if grounds.has(Ground::UntrustedLog)));
            bench.press(Press::Select);
            assert!(matches!(bench.state(), State::DoNotLoad { .. }), "no menu");
            assert!(records(&bench.image()).iter().any(|record| matches!(record, Record::Untrusted)));
        } else {
            bench.press(Press::Down);
            bench.press(Press::Select);
            assert_eq!(shown(&mut bench), Some(Fault::LogUntrusted), "there is nothing else to see");
        }
        // a new job may be loaded, where what was rejected by it is asked for by name
        bench.load(&JobPlan { undecided: 0b11, ..plan(1) });
        bench.run(70);
        assert_eq!(story(&bench.image()).1, Trust::Trusted);
    }
}

// ---- the battery, and resets

#[test]
fn a_battery_that_goes_down_is_said_and_at_last_nothing_new_is_begun() {
    let mut bench = curing();
    bench.world.borrow_mut().battery_mv = Some(2_550);
    bench.run(70);
    assert_eq!(shown(&mut bench), Some(Fault::BatteryLow));
    bench.look_at(1);
    assert!(matches!(bench.state(), State::NotInjected(may) if may.is_yes()));
    bench.view(|view| match view {
        View::Fixing(head, _) => assert_eq!(head.around.battery, Battery::Low),
        other => panic!("{other:?}"),
    });
    bench.world.borrow_mut().battery_mv = Some(2_300);
    bench.run(70);
    assert_eq!(shown(&mut bench), Some(Fault::BatteryVeryLow));
    bench.look_at(1);
    assert!(matches!(bench.state(), State::NotInjected(may) if may.lacks.has(Lack::Battery)));
    bench.take(holdoff_firmware::view::Item::Inject);
    assert!(matches!(bench.stage(1), Stage::Planned));
    // what runs goes on
    bench.run(3600);
    assert!(matches!(bench.stage(0), Stage::Cured(_)));
}

#[test]
fn every_reset_is_recorded_with_its_cause_and_its_interval_earns_nothing() {
    let causes = [
        ResetCause::Unknown,
        ResetCause::PowerOn,
        ResetCause::BrownOut,
        ResetCause::Watchdog,
        ResetCause::Software,
        ResetCause::Pin,
    ];
    let mut bench = curing();
    for cause in causes {
        bench.run(200);
        bench.boot(cause);
        bench.run(10);
        assert!(matches!(shown(&mut bench), Some(Fault::Restarted { cause: said, dark: Some(_) }) if said == cause));
    }
    assert_eq!(power_ups(&bench), causes.map(|cause| (Darkness::Known, cause)));
    bench.run(3600);
    let later = bench.status(0).cured_at.expect("cured").seconds() - undisturbed();
    let unobserved = bench.status(0).tally.unobserved;
    assert!(
        later > 0 && i64::try_from(unobserved).expect("few") >= later,
        "{later} s later, {unobserved} s unobserved"
    );
    trusted(&bench);
}

#[test]
fn a_load_that_was_cut_off_is_no_job() {
    for bytes in [1_000, 1_500, 2_000, 2_500] {
        let mut bench = <Bench>::new();
        bench.run(10);
        bench.world.borrow_mut().memory.cut_after = Some(bytes);
        let loaded = bench.try_load_cut(&plan(6));
        bench.boot(ResetCause::PowerOn);
        bench.run(100);
        bench.press(Press::Down);
        let whole = bench.view(|view| matches!(view, View::Fixing(..) | View::Fault(_)));
        let none = bench.view(|view| matches!(view, View::NoJob(_)));
        assert!(whole || none, "{}", bench.seen());
        assert!(!loaded || whole, "what was acknowledged is there");
        bench.load(&plan(6));
        bench.run(70);
        bench.look_at(5);
    }
}
