//! The working time ends by the clock: the display says so in that second, and nobody is asked for what would cost the fixing.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Ground, Stage};
use holdoff_core::quantity::Instant;
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Answer, Glance, Item, Page, Question, State, View, Wait};
use holdoff_tests::fake_board::{Bench, JobPlan, plan, planned_as, trusted};

/// Two fixings of a job with a reading every five minutes, the first of them injected; and the last second to seat it.
fn injected() -> (Bench, i64) {
    let mut bench = planned_as(<Bench>::new(), &JobPlan { period: 300, ..plan(2) });
    bench.inject(0);
    let by = bench.status(0).seat_by.map(Instant::seconds).expect("it is in its working time");
    (bench, by)
}

/// The question on the display and its answer.
fn asked(bench: &mut Bench) -> Option<(Question, Answer)> {
    bench.page(|_, page| if let Page::Question { question, answer } = page { Some((*question, *answer)) } else { None })
}

fn last_reading(bench: &Bench) -> Instant {
    bench.device.logger().group().and_then(|group| group.last_reading()).expect("a reading").0
}

#[test]
fn too_late_is_said_in_the_first_second_after_the_working_time_and_waits_for_no_reading() {
    let (mut bench, by) = injected();
    bench.run_until(by);
    bench.look_at(0);
    assert!(matches!(bench.state(), State::SeatNow { .. }), "{}", bench.seen());
    bench.run_until(by + 2);
    let read = last_reading(&bench);
    assert_eq!(bench.state(), State::TooLate);
    assert!(bench.world.borrow().lit);
    assert!(matches!(bench.stage(0), Stage::Working), "the engine judges with the next reading");
    bench.press(Press::Up);
    let glance = bench.view(|view| if let View::Overview(of) = view { of.fixings[0] } else { None });
    assert_eq!(glance, Some(Glance::TooLate), "{}", bench.seen());
    assert_eq!(bench.offered(0), [Item::SeatedLate, Item::MayItBeTorqued, Item::HoleWet, Item::HoleFlooded]);
    // whoever asks whether it may be torqued is not sent to seat it
    bench.look_at(0);
    bench.take(Item::MayItBeTorqued);
    assert!(!bench.view(|view| matches!(view, View::Fixing(_, Page::NotYet(Wait::NotSeated)))), "{}", bench.seen());
    assert_eq!(bench.state(), State::TooLate);
    assert_eq!(last_reading(&bench), read);
    bench.run(300);
    bench.look_at(0);
    assert!(matches!(bench.state(), State::DoNotLoad { grounds, .. } if grounds.has(Ground::NotSeated)));
    trusted(&bench);
}

#[test]
fn a_question_that_the_clock_overtakes_is_asked_anew_and_no_press_before_it_costs_the_fixing() {
    for yes in [Answer::No, Answer::Yes] {
        let (mut bench, by) = injected();
        bench.run_until(by - 5);
        bench.look_at(0);
        bench.take(Item::Seat);
        if yes == Answer::Yes {
            bench.press(Press::Right);
        }
        assert_eq!(asked(&mut bench), Some((Question::Seat, yes)));
        // the press falls in the very step that finds the time over
        let after = (by + 1 - bench.world.borrow().epoch) as u64 * 1_000_000 + 300_000;
        bench.world.borrow_mut().now = after;
        bench.press(Press::Select);
        assert_eq!(bench.status(0).seated_at, None, "{}", bench.seen());
        assert!(matches!(bench.stage(0), Stage::Working), "{:?}", bench.stage(0));
        match yes {
            Answer::No => assert_eq!(bench.state(), State::TooLate),
            Answer::Yes => assert_eq!(asked(&mut bench), Some((Question::SeatedLate, Answer::No))),
        }
    }
    let (mut bench, by) = injected();
    bench.run_until(by - 3);
    bench.look_at(0);
    bench.press(Press::Select);
    bench.run_until(by + 2);
    let chosen = bench.page(|_, page| if let Page::Menu { chosen, .. } = page { Some(*chosen) } else { None });
    assert_eq!(chosen, Some(Item::SeatedLate), "the menu that stood there says it too");
    // who seated it all the same says so, by name
    bench.press(Press::Select);
    assert_eq!(bench.yes(), Question::SeatedLate);
    assert!(bench.status(0).grounds.has(Ground::SeatedLate) || bench.status(0).grounds.has(Ground::NotSeated));
    assert!(bench.status(0).seated_at.is_some());
    trusted(&bench);
}

#[test]
fn a_clock_that_falls_silent_does_not_keep_seat_now_up() {
    let (mut bench, by) = injected();
    bench.look_at(0);
    bench.world.borrow_mut().clock.answers = false;
    bench.run_until(by - 60);
    bench.look_at(0);
    match bench.state() {
        State::SeatNow { left, .. } => assert!((20..=60).contains(&left.seconds()), "{left:?} left"),
        other => panic!("{other:?}"),
    }
    bench.run_until(by + 2);
    bench.look_at(0);
    assert_eq!(bench.state(), State::TooLate);
    assert!(matches!(bench.stage(0), Stage::Working));
}
