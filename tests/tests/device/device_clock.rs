//! The clock chip stops, jumps, runs away or is silent: it interrupts a count, and never hastens it.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Ground, Stage};
use holdoff_core::group::Darkness;
use holdoff_core::log::ResetCause;
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{ClockFailure, Fault, Goes, Held, Item, Lack, Notice, State, View, Wait};
use holdoff_link::message::{Answer, Refusal as Refused, Request};
use holdoff_link::status::{ClockState, Readings};
use holdoff_tests::fake_board::{
    Bench, START, World, curing, notice, plan, planned, planned_as, power_ups, shown, trusted,
};

/// Something that happens to the clock chip of a device.
type Trouble = fn(&mut World);

#[test]
fn a_clock_that_stops_jumps_or_runs_away_interrupts_the_count_and_never_hastens_it() {
    let troubles: [(&str, Trouble, ClockFailure); 7] = [
        ("stopped", |world| world.clock.run(false, world.now), ClockFailure::Stopped),
        ("set back", |world| world.clock.say(world.clock.says(world.now) - 100, world.now), ClockFailure::Back),
        ("set back to 2000", |world| world.clock.say(946_684_800, world.now), ClockFailure::Back),
        ("set forward", |world| world.clock.say(world.clock.says(world.now) + 200, world.now), ClockFailure::Fast),
        ("twice as fast", |world| world.clock.pace(2000, world.now), ClockFailure::Fast),
        ("half as fast", |world| world.clock.pace(500, world.now), ClockFailure::Stopped),
        ("garbage", |world| world.clock.garbage = Some([0x7F; 7]), ClockFailure::Stopped),
    ];
    for (what, trouble, fault) in troubles {
        let mut bench = curing();
        trouble(&mut bench.world.borrow_mut());
        bench.run(130);
        match shown(&mut bench) {
            Some(Fault::ClockFailed { how, .. }) if how == fault => {}
            other => panic!("{what}: {other:?}"),
        }
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
        let raised = bench.view(|view| {
            matches!(
                view,
                View::Fault(
                    Fault::ClockFailed { how: ClockFailure::Fast | ClockFailure::Back, .. } | Fault::Restarted { .. }
                )
            )
        });
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
        plan.resin.limits.longest_hold = None;
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
    assert!(matches!(bench.state(), State::NotInjected(may) if may.lacks.has(Lack::ClockSilent)), "{}", bench.seen());
    bench.take(Item::HoleWet);
    bench.yes();
    assert_eq!(notice(&mut bench), Some(Notice::ClockSilent), "{}", bench.seen());
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
    bench.run(120);
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
    assert_eq!(shown(&mut bench), Some(Fault::ClockFailed { how: ClockFailure::Stopped, goes: Goes::Again }));
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

/// A device with a fixing that cures, another in its working time and a third planned, whose clock fails and takes no time.
fn failed() -> Bench {
    let mut bench = planned(3);
    bench.inject(0);
    bench.run(60);
    bench.seat(0);
    bench.inject(1);
    {
        let world = &mut *bench.world.borrow_mut();
        world.clock.takes = false;
        world.clock.run(false, world.now);
    }
    bench.run(30);
    bench
}

fn clock_of(bench: &mut Bench) -> (ClockState, Readings, bool) {
    match bench.ask(&Request::Group) {
        Answer::Group(group) => (group.clock, group.readings, group.loaded.is_some()),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_clock_that_failed_is_told_in_one_word_and_its_screen_can_be_left_for_the_group() {
    let mut bench = failed();
    let down = Fault::ClockFailed { how: ClockFailure::Stopped, goes: Goes::Not };
    assert_eq!(shown(&mut bench), Some(down));
    bench.press(Press::Down);
    bench.look_at(0);
    assert!(matches!(bench.state(), State::Wait(Wait::Held(Held::NoReadings))), "{}", bench.seen());
    bench.look_at(1);
    assert_eq!(bench.state(), State::TooLate, "what is not seated by now will be rejected");
    bench.look_at(2);
    let lacking = |state| matches!(state, State::NotInjected(may) if may.lacks.has(Lack::ClockFailed));
    assert!(lacking(bench.state()), "{}", bench.seen());
    bench.press(Press::Up);
    assert!(bench.view(|view| matches!(view, View::Overview(_))), "{}", bench.seen());
    bench.look_at(0);
    bench.take(Item::HoleWet);
    bench.yes();
    assert_eq!(notice(&mut bench), Some(Notice::ClockFailed), "{}", bench.seen());
    // and over the link: the job is there, and whatever is refused is refused for the clock
    assert_eq!(clock_of(&mut bench), (ClockState::Down, Readings::NotTaken, true));
    assert!(matches!(bench.ask(&Request::Fixing { number: 0 }), Answer::Fixing(of) if of.label == "quay stud 1"));
    let refused = Answer::Refused(Refused::ClockFailed);
    assert_eq!(bench.ask(&Request::Clock), refused);
    assert_eq!(bench.try_load(&plan(1)), refused);
    assert_eq!(bench.ask(&Request::SetClock { utc: START + 9_000, offset_minutes: 60 }), refused, "it takes no time");
    trusted(&bench);
}

#[test]
fn a_clock_that_failed_is_set_whatever_runs_and_no_cure_is_the_shorter_for_it() {
    for fixed in [true, false] {
        let mut bench = failed();
        bench.run(200);
        bench.world.borrow_mut().clock.takes = true;
        let far = START + 300 * 86_400;
        if fixed {
            assert_eq!(bench.ask(&Request::SetClock { utc: far, offset_minutes: 60 }), Answer::Done);
        }
        bench.run(300);
        let wall = if fixed { ClockState::Set } else { ClockState::Failed };
        assert_eq!(clock_of(&mut bench), (wall, Readings::Recorded, true));
        assert_eq!(power_ups(&bench), [(Darkness::Unknown, ResetCause::Software)]);
        assert!(bench.status(0).grounds.has(Ground::HeldTooLong), "nobody knows how long: {:?}", bench.stage(0));
        assert!(bench.status(1).grounds.has(Ground::NotSeated), "{:?}", bench.stage(1));
        let tie = bench.device.logger().session().tie().expect("a tie");
        assert_eq!(tie.utc >= far, fixed, "{tie:?}");
        // from now on it is a clock like any other
        bench.run(180);
        bench.inject(2);
        let refused = Answer::Refused(Refused::Running { fixing: 2 });
        assert_eq!(bench.ask(&Request::SetClock { utc: START, offset_minutes: 0 }), refused);
        trusted(&bench);
    }
}

#[test]
fn a_clock_that_was_never_set_gives_no_date_on_any_page_nor_over_the_link() {
    let mut world = World::new(START, 65_536);
    world.clock.say(946_684_800, 0);
    let mut bench = <Bench>::on(world);
    bench.run(10);
    bench.load(&plan(2));
    bench.run(185);
    bench.inject(0);
    bench.run(60);
    bench.seat(0);
    bench.run(3_700);
    bench.torque(0);
    bench.inject(1);
    let mut seen = 0;
    for place in [0, 1] {
        bench.look_at(place);
        for press in [Press::Up; 4].into_iter().chain([Press::Down; 16]) {
            // every wall-clock label there is shows as its words do in `Debug`
            assert!(!bench.seen().contains("Wall("), "{}", bench.seen());
            bench.press(press);
            seen += 1;
        }
    }
    assert_eq!(seen, 40);
    assert!(matches!(bench.ask(&Request::Clock), Answer::Clock(clock) if clock.utc.is_none()));
    assert!(matches!(bench.ask(&Request::Group), Answer::Group(group) if group.ahead.is_none()));
}
