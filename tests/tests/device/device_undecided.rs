//! Rejected fixings that the engineer has not decided on: no job is loaded over them unless it names each.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Ground, Stage};
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Item, State, View};
use holdoff_link::message::{Answer, Refusal};
use holdoff_tests::fake_board::{Bench, JobPlan, plan, planned, trusted};

/// A device with four fixings, of which the first and the third were not seated in time.
fn rejected() -> Bench {
    let mut bench = planned(4);
    bench.inject(0);
    bench.inject(2);
    bench.run(900);
    for place in [0, 2] {
        assert!(matches!(bench.stage(place), Stage::Rejected(_)), "{:?}", bench.stage(place));
    }
    bench
}

fn without(undecided: u16) -> JobPlan {
    JobPlan { undecided, ..plan(1) }
}

#[test]
fn a_job_over_rejected_fixings_without_a_decision_is_refused_unless_it_names_each() {
    let mut bench = rejected();
    bench.look_at(3);
    bench.take(Item::MeasureInHole);
    let before = bench.image();
    for (named, missing) in [(0, 0b101), (0b001, 0b100), (0b100, 0b001), (0b1010, 0b101)] {
        let refused = Answer::Refused(Refusal::Undecided { fixings: missing });
        assert_eq!(bench.try_load(&without(named)), refused, "{named:#b} named");
    }
    // the job that is there goes on as it was, to the reading in the hole
    assert_eq!(bench.device.logger().group().expect("a group").fixings().count(), 4);
    bench.run(120);
    assert!(bench.image() != before, "readings go on");
    bench.look_at(0);
    bench.take(Item::Accept);
    bench.yes();
    assert_eq!(bench.try_load(&without(0)), Answer::Refused(Refusal::Undecided { fixings: 0b100 }));
    assert_eq!(bench.try_load(&without(0b100)), Answer::Done);
    assert_eq!(bench.device.logger().group().expect("a group").fixings().count(), 1);
    trusted(&bench);
}

#[test]
fn what_a_pc_loads_never_stands_over_a_rejection_that_waits_for_its_decision() {
    let mut bench = rejected();
    bench.look_at(0);
    assert_ne!(bench.try_load(&without(0)), Answer::Done);
    assert!(matches!(bench.state(), State::DoNotLoad { grounds, .. } if grounds.has(Ground::NotSeated)));
    // decided, what the PC does is shown as ever
    for place in [0, 2] {
        bench.look_at(place);
        bench.take(Item::Remove);
        bench.yes();
    }
    bench.press(Press::Down);
    bench.run(70);
    bench.press(Press::Down);
    let refused = bench.try_load(&JobPlan { fixings: Vec::new(), ..plan(1) });
    assert_ne!(refused, Answer::Done, "a job of no fixing");
    assert!(!bench.view(|view| matches!(view, View::NoJob(_))), "{}", bench.seen());
}
