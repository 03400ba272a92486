//! The clock chip stops, jumps, runs away or is silent: it interrupts a count, and never hastens it.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Ground, Stage};
use holdoff_core::group::Darkness;
use holdoff_core::log::ResetCause;
use holdoff_firmware::link::message::{Answer, Refusal as Refused, Request};
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Fault, Item, Lack, Notice, State, View};
use holdoff_tests::fake_board::{
    Bench, START, World, curing, notice, plan, planned, planned_as, power_ups, shown, trusted,
};

/// Something that happens to the clock chip of a device.
type Trouble = fn(&mut World);

#[test]
fn a_clock_that_stops_jumps_or_runs_away_interrupts_the_count_and_never_hastens_it() {
    let troubles: [(&str, Trouble, Fault); 7] = [
        ("stopped", |world| world.clock.run(false, world.now), Fault::ClockStopped),
        ("set back", |world| world.clock.say(world.clock.says(world.now) - 100, world.now), Fault::ClockBack),
        ("set back to 2000", |world| world.clock.say(946_684_800, world.now), Fault::ClockBack),
        ("set forward", |world| world.clock.say(world.clock.says(world.now) + 200, world.now), Fault::ClockFast),
        ("twice as fast", |world| world.clock.pace(2000, world.now), Fault::ClockFast),
        ("half as fast", |world| world.clock.pace(500, world.now), Fault::ClockStopped),
        ("garbage", |world| world.clock.garbage = Some([0x7F; 7]), Fault::ClockStopped),
    ];
    for (what, trouble, fault) in troubles {
        let mut bench = curing();
        trouble(&mut bench.world.borrow_mut());
        bench.run(130);
        assert_eq!(shown(&mut bench), Some(fault), "{what}: {}", bench.seen());
        let ups = power_ups(&bench);
        assert!(ups.iter().all(|up| *up == (Darkness::Unknown, ResetCause::Software)), "{what}: {ups:?}");
        assert!((1..=3).contains(&ups.len()), "{what}: {} power-ups", ups.len());
        // the resin's longest hold may have been exceeded: nobody knows
        assert!(bench.status(0).grounds.has(Ground::HeldTooLong), "{what}: {:?}", bench.stage(0));
        bench.world.borrow_mut().clock.rate = 1000;
        bench.run(3 * 3600);
        assert!(!matches!(bench.stage(0), Stage::Cured(_) | Stage::Released(_)), "{what}");
        trusted(&bench);
    }
}

#[test]
fn a_clock_that_falls_silent_while_it_is_started_again_leaves_nothing_known_of_the_time_between() {
    let mut restarted = 0;
    for transfers in 0..40 {
        let mut bench = curing();
        {
            let world = &mut *bench.world.borrow_mut();
            world.clock.say(world.clock.says(world.now) + 200, world.now);
            world.clock.deaf = (transfers, 3); // as often as a transfer is tried
        }
        bench.run(30);
        // it is shown by itself: as fast; as one that went back, where it was set and could not be read; or that it goes on
        let raised = bench
            .view(|view| matches!(view, View::Fault(Fault::ClockFast | Fault::ClockBack | Fault::Restarted { .. })));
        assert!(raised, "silent after {transfers} transfers: {}", bench.seen());
        bench.run(100);
        let ups = power_ups(&bench);
        assert!(!ups.is_empty(), "silent after {transfers} transfers: {}", bench.seen());
        assert!(ups.iter().all(|up| *up == (Darkness::Unknown, ResetCause::Software)), "{transfers}: {ups:?}");
        assert!(bench.status(0).grounds.has(Ground::HeldTooLong), "{transfers}: {:?}", bench.stage(0));
        restarted += ups.len();
        trusted(&bench);
    }
    assert!(restarted < 80, "{restarted} power-ups");
}

#[test]
fn without_a_longest_hold_a_clock_that_failed_only_makes_the_cure_longer() {
    for (what, trouble) in [
        ("set forward", (|world: &mut World| world.clock.say(world.clock.says(world.now) + 250, world.now)) as Trouble),
        ("set back", |world| world.clock.say(world.clock.says(world.now) - 250, world.now)),
        ("stopped", |world| world.clock.run(false, world.now)),
    ] {
        let mut plan = plan(1);
        plan.resin.longest_hold = None;
        let mut bench = planned_as(<Bench>::new(), &plan);
        bench.inject(0);
        bench.run(60);
        bench.seat(0);
        let seated = bench.second();
        for _ in 0..6 {
            bench.run(500);
            trouble(&mut bench.world.borrow_mut());
            bench.run(100);
        }
        while !matches!(bench.stage(0), Stage::Cured(_)) {
            bench.run(10);
            assert!(bench.second() < seated + 4 * 3600, "{what}: {:?}", bench.status(0));
        }
        let took = bench.second() - seated;
        assert!(took >= 3600 + 60, "{what}: cured {took} s after the seating");
        trusted(&bench);
    }
}

#[test]
fn a_clock_that_is_silent_for_a_while_goes_on() {
    let mut bench = curing();
    bench.world.borrow_mut().clock.answers = false;
    bench.run(400);
    assert_eq!(shown(&mut bench), Some(Fault::ClockSilent));
    // nothing can be recorded without a time
    let before = bench.image();
    bench.press(Press::Down);
    bench.look_at(1);
    bench.press(Press::Select);
    bench.press(Press::Select);
    bench.press(Press::Select);
    bench.press(Press::Right);
    bench.press(Press::Select);
    assert_eq!(notice(&mut bench), Some(Notice::NotRecorded), "{}", bench.seen());
    assert_eq!(bench.image(), before);
    bench.world.borrow_mut().clock.answers = true;
    bench.run(130);
    assert_eq!(power_ups(&bench), []);
    assert!(matches!(bench.stage(0), Stage::Curing));
    assert!(bench.status(0).tally.unobserved >= 400);
}

#[test]
fn a_clock_that_stopped_while_the_logger_was_off_makes_the_dark_time_unknown() {
    for back in [true, false] {
        let mut bench = curing();
        {
            let mut world = bench.world.borrow_mut();
            let now = world.now;
            if back {
                let says = world.clock.says(now);
                world.clock.say(says - 3600, now);
            } else {
                world.clock.run(false, now);
                world.clock.run(true, now);
            }
        }
        bench.boot(ResetCause::PowerOn);
        bench.run(10);
        assert_eq!(power_ups(&bench), [(Darkness::Unknown, ResetCause::PowerOn)]);
        assert!(bench.status(0).grounds.has(Ground::HeldTooLong));
        // and the next restart knows how long it was dark
        bench.run(100);
        bench.boot(ResetCause::PowerOn);
        bench.run(10);
        assert_eq!(power_ups(&bench)[1..], [(Darkness::Known, ResetCause::PowerOn)]);
        trusted(&bench);
    }
}

#[test]
fn a_restart_in_the_very_second_of_a_reading_is_no_clock_that_stands_still() {
    let mut bench = curing();
    // until a reading has just been taken
    let due = bench.device.logger().session().last_at().expect("a reading").seconds() + 60;
    while bench.device.logger().session().last_at().map(|at| at.seconds()) != Some(due) {
        bench.step();
        bench.world.borrow_mut().now += 50_000;
    }
    bench.world.borrow_mut().byte = 1; // else a mount takes longer than the second lasts
    bench.boot(ResetCause::Watchdog);
    assert_eq!(power_ups(&bench), [], "it waits for the clock to go on");
    bench.run(5);
    assert_eq!(power_ups(&bench), [(Darkness::Known, ResetCause::Watchdog)]);
    assert!(matches!(bench.stage(0), Stage::Curing));
}

#[test]
fn the_clock_is_set_only_while_nothing_runs_and_moves_no_cure() {
    let mut bench = <Bench>::new();
    bench.run(10);
    bench.load(&plan(1));
    bench.run(100);
    let before = bench.device.logger().session().last_at().expect("a reading");
    assert_eq!(bench.ask(&Request::SetClock { utc: START + 90_000, offset_minutes: 120 }), Answer::Done);
    bench.run(70);
    let after = bench.device.logger().session().last_at().expect("a reading");
    assert!((60..140).contains(&after.since(before)), "the monotonic clock jumped by {}", after.since(before));
    let tie = bench.device.logger().session().tie().expect("a tie");
    assert!((tie.utc - tie.at.seconds() - 89_890).abs() < 20, "{tie:?}");
    assert_eq!(tie.offset_minutes, 120);
    // and a restart goes on with the same
    bench.boot(ResetCause::PowerOn);
    bench.run(70);
    assert_eq!(power_ups(&bench), [(Darkness::Known, ResetCause::PowerOn)]);
    bench.inject(0);
    let refused = Answer::Refused(Refused::Running { fixing: 0 });
    assert_eq!(bench.ask(&Request::SetClock { utc: START, offset_minutes: 0 }), refused);
    assert_eq!(bench.try_load(&plan(1)), refused);
    trusted(&bench);
}

#[test]
fn a_date_is_not_judged_by_a_clock_that_was_never_set() {
    let mut world = World::new(START, 65_536);
    world.seed = Some([7; 32]);
    world.clock.run(false, 0);
    let mut bench = <Bench>::on(world);
    bench.run(10);
    assert_eq!(shown(&mut bench), Some(Fault::ClockStopped));
    let mut plan = plan(1);
    plan.batch = Some(("batch 7".to_owned(), Some(START + 86_400)));
    bench.load(&plan);
    bench.run(100);
    bench.look_at(0);
    match bench.state() {
        State::NotInjected(may) => assert!(may.lacks.has(Lack::Clock), "{may:?}"),
        other => panic!("{other:?}"),
    }
    bench.take(holdoff_firmware::view::Item::Inject);
    assert!(matches!(bench.state(), State::NotInjected(_)), "nothing is asked");
    // set by the PC it can be, and the date counts
    assert_eq!(bench.ask(&Request::SetClock { utc: START + 200, offset_minutes: 60 }), Answer::Done);
    bench.run(100);
    bench.look_at(0);
    assert!(matches!(bench.state(), State::NotInjected(may) if may.is_yes()), "{}", bench.seen());
    assert_eq!(bench.ask(&Request::SetClock { utc: START + 90_000, offset_minutes: 60 }), Answer::Done);
    bench.run(100);
    bench.look_at(0);
    assert!(matches!(bench.state(), State::NotInjected(may) if may.grounds.has(Ground::PastDate)), "{}", bench.seen());
    bench.inject(0);
    assert!(bench.status(0).grounds.has(Ground::PastDate));
}

#[test]
fn a_cure_never_ends_before_its_time_after_the_very_moment_of_the_press_that_seated_it() {
    for microseconds in [0, 1_000, 500_000, 900_000, 985_000] {
        let mut bench = planned(1);
        bench.inject(0);
        bench.look_at(0);
        bench.take(Item::Seat);
        bench.press(Press::Right);
        let pressed = {
            let mut world = bench.world.borrow_mut();
            world.now = (world.now / 1_000_000 + 1) * 1_000_000 + microseconds;
            world.now
        };
        bench.press(Press::Select);
        let seated = bench.status(0).seated_at.expect("seated").seconds();
        bench.run(3_700);
        let cured = bench.status(0).cured_at.expect("cured").seconds();
        // the seating is dated at the second of the press, and one of the counted seconds is never credited
        let epoch = bench.world.borrow().epoch;
        assert!((seated - epoch) as u64 <= pressed / 1_000_000 + 1 && cured - seated == 3_601);
        let after = (cured - epoch) as u64 * 1_000_000 - pressed;
        assert!(after >= 3_600_000_000, "{after} us after a press {microseconds} us into its second");
    }
}
