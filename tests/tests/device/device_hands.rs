//! Whatever hands do to the buttons: nothing irreversible without its question, no cure shortened, something to see at any time.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Decision, Ground, Stage, Status};
use holdoff_core::quantity::{Instant, Torque};
use holdoff_core::resin::Hole;
use holdoff_firmware::board::Buttons;
use holdoff_firmware::run::{BOUNCE_MS, Press};
use holdoff_firmware::screen::frame;
use holdoff_firmware::view::{Answer, Item, Link, Page, Question, State, View, Wait};
use holdoff_link::message::Request;
use holdoff_tests::fake_board::{Bench, KEY, START, World, curing, plan, planned, planned_as, steady, trusted};
use holdoff_tests::random::{histories, numbers};

const PRESSES: [Press; 5] = [Press::Up, Press::Down, Press::Left, Press::Right, Press::Select];

/// What only an action can change.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Done {
    injected: Option<Instant>,
    seated: Option<Instant>,
    hole: Hole,
    torque: Option<Torque>,
    decision: Option<Decision>,
    refused: bool,
}

fn done(status: &Status) -> Done {
    Done {
        injected: status.injected_at,
        seated: status.seated_at,
        hole: status.hole,
        torque: status.torque,
        decision: status.decision,
        refused: matches!(status.stage, Stage::Refused),
    }
}

/// The question that stands at YES, and the fixing whose number is on the display.
fn armed(bench: &mut Bench) -> Option<(u8, Question)> {
    bench.page(|head, page| {
        if let Page::Question { question, answer: Answer::Yes } = page {
            Some((head.which.number - 1, *question))
        } else {
            None
        }
    })
}

/// What must hold of a fixing at 12 °C under the plan's schedule: an hour in a dry hole, two in a wet one.
fn holds(status: &Status) {
    let cure = if status.hole == Hole::Dry { 3600 } else { 7200 };
    match status.stage {
        Stage::Cured(_) | Stage::Released(_) => {
            let (seated, cured) = (status.seated_at.expect("seated"), status.cured_at.expect("cured"));
            assert!(cured.since(seated) >= cure, "cured after {} s: {status:?}", cured.since(seated));
        }
        Stage::Planned
        | Stage::Refused
        | Stage::Working
        | Stage::Curing
        | Stage::Held
        | Stage::Rejected(_)
        | Stage::AcceptedAsIs(_)
        | Stage::Removed(_) => {}
    }
    if let Stage::Released(released) = status.stage {
        assert!(released.at() >= status.cured_at.expect("cured"));
        assert!((3_800..=4_200).contains(&released.torque().hundredths()));
    }
}

#[test]
fn random_presses_do_nothing_without_their_question_and_shorten_no_cure() {
    let (mut actions, mut released, mut questions) = (0, 0, 0);
    for history in 0..histories(16) {
        let mut next = numbers(0x4A2D + history);
        let mut bench = planned(3);
        for _ in 0..3_000 {
            let armed = armed(&mut bench);
            questions += usize::from(armed.is_some());
            let before: Vec<Done> = (0..3).map(|place| done(&bench.status(place))).collect();
            // hands that want to get on more often than hands that don't
            let press = match next() % 20 {
                0..=7 => Some(Press::Select),
                8..=10 => Some(Press::Right),
                11..=14 => Some(PRESSES[(next() % 5) as usize]),
                15..=17 => None,
                _ => {
                    // two at once, or a whole hand
                    let some = |bits: u64| Buttons {
                        up: bits & 1 > 0,
                        down: bits & 2 > 0,
                        left: bits & 4 > 0,
                        right: bits & 8 > 0,
                        select: bits & 16 > 0,
                    };
                    let bits = next() % 32;
                    if bits.count_ones() > 1 {
                        bench.levels(some(bits), 1 + next() % 300);
                        bench.levels(Buttons::default(), 30 + next() % 200);
                    }
                    None
                }
            };
            match press {
                Some(press) => bench.hold(press, 30 + next() % 400),
                None => bench.run((next() % [3, 3, 30, 400][(next() % 4) as usize]) as i64),
            }
            for (place, before) in (0..3).zip(before) {
                let status = bench.status(place);
                let after = done(&status);
                if before != after {
                    actions += 1;
                    let asked = armed.filter(|_| press == Some(Press::Select)).map(|(asked, _)| asked);
                    assert_eq!(asked, Some(place), "without its question: {before:?} to {after:?}");
                }
                holds(&status);
                released += usize::from(matches!(status.stage, Stage::Released(_)) && before.torque != after.torque);
            }
            bench.view(|view| {
                frame(view);
            });
        }
        trusted(&bench);
    }
    assert!(
        actions > 50 && released > 0 && questions > 100,
        "{actions} actions, {released} released, {questions} armed"
    );
}

#[test]
fn a_question_begins_with_no_and_twenty_seconds_without_a_button_are_a_no() {
    let mut bench = planned(1);
    // select, select, select: the question stands at NO
    bench.look_at(0);
    bench.take(Item::Inject);
    bench.press(Press::Select);
    bench.press(Press::Select);
    assert!(matches!(bench.stage(0), Stage::Planned));
    assert!(matches!(bench.state(), State::NotInjected(_)));
    // at YES, and then nothing
    bench.take(Item::Inject);
    bench.press(Press::Select);
    bench.press(Press::Right);
    bench.run(21);
    bench.press(Press::Select);
    assert!(matches!(bench.stage(0), Stage::Planned), "{:?}", bench.stage(0));
    // back to NO
    bench.look_at(0);
    bench.take(Item::Inject);
    bench.press(Press::Select);
    bench.press(Press::Up);
    bench.press(Press::Down);
    bench.press(Press::Select);
    assert!(matches!(bench.stage(0), Stage::Planned));
}

#[test]
fn the_press_that_lights_the_display_does_nothing_else() {
    let mut bench = curing();
    bench.run(120);
    assert!(!bench.world.borrow().lit);
    bench.press(Press::Select);
    assert!(bench.world.borrow().lit);
    assert!(matches!(bench.state(), State::Wait(_)), "{}", bench.seen());
}

#[test]
fn a_thumb_across_two_buttons_cannot_choose_yes_and_confirm_it() {
    let (right, select) =
        (Buttons { right: true, ..Buttons::default() }, Buttons { select: true, ..Buttons::default() });
    let both = Buttons { right: true, ..select };
    for (first, apart, held) in
        [(right, 3, 100), (right, 30, 300), (right, 400, 900), (select, 3, 100), (select, 30, 300), (both, 5, 100)]
    {
        let mut bench = planned(1);
        bench.look_at(0);
        bench.take(Item::Inject);
        bench.press(Press::Select);
        bench.levels(first, apart);
        bench.levels(both, held);
        // one is let go before the other
        bench.levels(if first == right { select } else { right }, 40);
        bench.levels(Buttons::default(), 200);
        assert!(matches!(bench.stage(0), Stage::Planned), "{apart} ms apart: {}", bench.seen());
    }
}

/// Presses select for ten seconds, with contacts that bounce for as long as they may.
fn lean(bench: &mut Bench) {
    let select = Buttons { select: true, ..Buttons::default() };
    let began = bench.world.borrow().now;
    let bounces = u64::from(BOUNCE_MS) * 1000;
    let mut count = 0;
    // the board takes its time for a step
    while bench.world.borrow().now - began < bounces - 12_000 {
        bench.levels(select, 1);
        bench.levels(Buttons::default(), 1);
        count += 1;
    }
    assert!(count > 0 && bench.world.borrow().now - began < bounces, "it bounced for too long");
    bench.levels(select, 10_000);
    bench.levels(Buttons::default(), 100);
}

#[test]
fn a_hand_that_leans_on_select_and_contacts_that_bounce_press_it_once() {
    let mut bench = planned(1);
    bench.look_at(0);
    // dark, and lit by a press that bounces and is held for ten seconds: it does nothing else
    bench.run(70);
    assert!(!bench.world.borrow().lit);
    lean(&mut bench);
    assert!(matches!(bench.state(), State::NotInjected(_)), "{}", bench.seen());
    // the menu, and nothing of it
    lean(&mut bench);
    let menu = bench.page(|_, page| if let Page::Menu { chosen, .. } = page { Some(*chosen) } else { None });
    assert_eq!(menu, Some(Item::Inject), "{}", bench.seen());
    // confirmed once, and what comes after is asked for anew
    bench.press(Press::Select);
    bench.press(Press::Select);
    bench.press(Press::Right);
    bench.hold(Press::Select, 10_000);
    assert!(matches!(bench.stage(0), Stage::Working) && bench.status(0).seated_at.is_none(), "{}", bench.seen());
}

#[test]
fn not_yet_is_said_before_the_wrench_moves_and_with_the_time_left() {
    let mut bench = curing();
    bench.look_at(0);
    bench.take(Item::MayItBeTorqued);
    let left =
        bench.page(
            |_, page| {
                if let Page::NotYet(Wait::Curing(forecast)) = page { Some(forecast.left.seconds()) } else { None }
            },
        );
    let left = left.unwrap_or_else(|| panic!("{}", bench.seen()));
    assert!((3_200..=3_360).contains(&left), "{left}");
    assert!(matches!(bench.stage(0), Stage::Curing), "to ask is not to do");
    // the time left never runs out before the cure is announced
    bench.run(i64::from(left) - 30);
    for _ in 0..60 {
        bench.press(Press::Left); // one of two: lights the display, and the other one is looked at
        bench.look_at(0);
        match bench.state() {
            State::Wait(Wait::Curing(forecast)) => assert!(forecast.left.seconds() > 0),
            State::TorqueNow { .. } => {
                assert!(matches!(bench.stage(0), Stage::Cured(_)));
                return;
            }
            other => panic!("{other:?}"),
        }
        bench.run(2);
    }
    panic!("it is never cured: {:?}", bench.status(0));
}

#[test]
fn an_early_torque_that_is_told_rejects_even_when_the_cure_comes_while_it_is_told() {
    for before_the_end in [600, 90, 30] {
        let mut bench = curing();
        let ends = bench.status(0).announced_at.expect("a forecast").seconds();
        bench.run_until(ends - before_the_end);
        bench.look_at(0);
        assert!(matches!(bench.stage(0), Stage::Curing));
        bench.take(Item::TorquedEarly);
        // the hand hesitates for as long as it takes
        let begun = bench.second();
        while bench.second() < ends + 90 {
            bench.press(Press::Up);
            bench.press(Press::Down);
            bench.run(10);
        }
        assert!(matches!(bench.stage(0), Stage::Cured(_)), "readings go on, and one completes the cure");
        let last = bench.device.logger().group().expect("a group").last_reading();
        bench.press(Press::Select);
        assert!(matches!(bench.yes(), Question::TorquedEarly(_)));
        match bench.stage(0) {
            Stage::Rejected(rejection) => {
                assert!(rejection.grounds.has(Ground::LoadedEarly), "{rejection:?}");
                let since = rejection.at.seconds();
                assert!((begun - 2..=begun).contains(&since), "rejected from {since}, begun by {begun}");
            }
            other => panic!("{other:?}"),
        }
        assert_eq!(bench.device.logger().group().expect("a group").last_reading(), last, "it takes no reading");
        trusted(&bench);
    }
}

#[test]
fn what_does_not_apply_is_not_offered() {
    let mut bench = curing();
    let planned = [Item::Inject, Item::MeasureInHole, Item::HoleWet, Item::HoleFlooded];
    assert_eq!(bench.offered(1), planned);
    assert_eq!(bench.offered(0), [Item::MayItBeTorqued, Item::TorquedEarly, Item::HoleWet, Item::HoleFlooded]);
    bench.inject(1);
    let working = [Item::Seat, Item::MayItBeTorqued, Item::HoleWet, Item::HoleFlooded];
    assert_eq!(bench.offered(1), working);
    bench.run(3600);
    assert_eq!(bench.offered(0), [Item::MayItBeTorqued, Item::Torqued, Item::HoleWet, Item::HoleFlooded]);
    // not seated in time
    assert_eq!(bench.offered(1), [Item::SeatedLate, Item::Accept, Item::Remove]);
    bench.torque(0);
    assert_eq!(bench.offered(0), [Item::Torqued]);
    bench.look_at(1);
    bench.take(Item::Remove);
    bench.yes();
    assert_eq!(bench.offered(1), []);
}

#[test]
fn a_refused_start_is_recorded_and_one_that_was_carried_out_all_the_same_rejects() {
    let mut bench = planned_as(steady(4 * 16), &plan(1));
    bench.look_at(0);
    assert!(matches!(bench.state(), State::NotInjected(may) if may.grounds.has(Ground::TooCold)), "{}", bench.seen());
    bench.inject(0);
    assert!(
        matches!(bench.state(), State::Refused { grounds, .. } if grounds.has(Ground::TooCold)),
        "{}",
        bench.seen()
    );
    bench.take(Item::CarriedOut);
    bench.yes();
    assert!(
        matches!(bench.state(), State::DoNotLoad { grounds, .. } if grounds.has(Ground::TooCold)),
        "{}",
        bench.seen()
    );
    bench.take(Item::Accept);
    bench.yes();
    assert!(matches!(bench.state(), State::AcceptedAsIs { .. }), "{}", bench.seen());
}

#[test]
fn a_release_without_a_key_says_so_and_one_with_a_key_has_its_code() {
    for key in [Some(KEY), None] {
        let mut world = World::new(START, 65_536);
        world.seed = key;
        let mut bench = planned_as(<Bench>::on(world), &plan(2));
        bench.inject(0);
        bench.run(60);
        bench.seat(0);
        bench.run(3600 + 120);
        bench.torque(0);
        assert!(matches!(bench.state(), State::MayBeLoaded { .. }), "{}", bench.seen());
        bench.press(Press::Down);
        let seen = bench.seen();
        match key {
            Some(_) => {
                assert!(bench.view(|view| matches!(view, View::Fixing(_, Page::Code(_)))), "{seen}");
                bench.press(Press::Down);
                assert!(bench.view(|view| matches!(view, View::Fixing(_, Page::Short(_)))), "{}", bench.seen());
            }
            None => assert!(bench.view(|view| matches!(view, View::Fixing(_, Page::NoKey))), "{seen}"),
        }
    }
}

#[test]
fn what_a_pc_does_with_the_memory_is_shown_while_nothing_runs() {
    let mut bench = <Bench>::new();
    bench.run(10);
    assert!(bench.view(|view| matches!(view, View::NoJob(_))), "{}", bench.seen());
    bench.ask(&Request::Identity);
    assert!(bench.view(|view| matches!(view, View::Link(Link::Connected))), "{}", bench.seen());
    bench.load(&plan(2));
    bench.run(185);
    bench.look_at(0);
    bench.ask(&Request::Group);
    assert!(bench.view(|view| matches!(view, View::Fixing(..))), "to look is not to do: {}", bench.seen());
    bench.ask(&Request::Read { offset: 32_768, length: 256 });
    let half = Link::ReadingOut { done: 64, of: 128 };
    assert!(bench.view(|view| *view == View::Link(half)), "{}", bench.seen());
    bench.run(3);
    assert!(bench.view(|view| matches!(view, View::Fixing(..))), "{}", bench.seen());
    bench.inject(0);
    bench.ask(&Request::Read { offset: 32_768, length: 256 });
    assert!(matches!(bench.state(), State::SeatNow { .. }), "{}", bench.seen());
}

#[test]
fn a_reading_in_a_hole_stays_with_its_fixing_until_it_goes_with_a_start_or_is_too_old() {
    let mut bench = planned_as(steady(4 * 16), &plan(2));
    // both holes are measured, then the probe is put where it is warmer
    for place in 0..2 {
        bench.look_at(place);
        bench.take(Item::MeasureInHole);
        bench.run(185);
        assert!(bench.page(|_, page| matches!(page, Page::InHole { .. }).then_some(())).is_some(), "{}", bench.seen());
    }
    bench.world.borrow_mut().probe.sixteenths = Box::new(|_| 7 * 16);
    bench.run(180);
    for place in [0, 1, 0, 1] {
        bench.inject(place);
        assert!(matches!(bench.stage(place), Stage::Refused), "{:?}", bench.stage(place));
        assert!(bench.status(place).grounds.has(Ground::TooCold), "{:?}", bench.status(place));
        bench.run(60);
    }
    bench.run(15 * 60);
    for place in 0..2 {
        bench.inject(place);
        assert!(matches!(bench.stage(place), Stage::Working), "{:?}", bench.stage(place));
    }
}
