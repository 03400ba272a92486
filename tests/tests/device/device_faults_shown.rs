//! A fault on the display and the hand that presses meanwhile: no press is lost, and no fault goes unseen.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::log::ResetCause;
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Fault, Page, View};
use holdoff_tests::fake_board::{Bench, curing, shown};

fn plug(bench: &mut Bench, plugged: bool) {
    let mut world = bench.world.borrow_mut();
    let now = world.now;
    world.probe.plug(plugged, now);
}

/// A device whose probe was silent for a while and answers again.
fn over() -> Bench {
    let mut bench = curing();
    bench.look_at(0);
    plug(&mut bench, false);
    bench.run(70);
    assert_eq!(shown(&mut bench), Some(Fault::ProbeSilent));
    plug(&mut bench, true);
    bench.press(Press::Down);
    bench.press(Press::Up);
    bench.press(Press::Up); // the overview, and the fault above it
    while bench.view(|view| matches!(view, View::Fault(_))) {
        bench.run(1);
    }
    assert!(bench.view(|view| matches!(view, View::Fixing(_, Page::Status(_)))), "{}", bench.seen());
    bench
}

#[test]
fn the_first_press_after_a_fault_is_one_on_what_is_to_be_seen_then() {
    let mut bench = over();
    bench.press(Press::Select);
    assert!(bench.view(|view| matches!(view, View::Fixing(_, Page::Menu { .. }))), "{}", bench.seen());
    let mut bench = over();
    bench.press(Press::Down);
    assert!(bench.view(|view| matches!(view, View::Fixing(_, Page::Materials(_)))), "{}", bench.seen());
    let mut bench = over();
    bench.press(Press::Up);
    assert!(bench.view(|view| matches!(view, View::Overview(_))), "{}", bench.seen());
}

#[test]
fn a_fault_that_was_seen_leaves_nothing_behind_that_takes_a_press() {
    let mut bench = curing();
    bench.boot(ResetCause::PowerOn);
    bench.run(10);
    assert!(matches!(shown(&mut bench), Some(Fault::Restarted { .. })));
    bench.press(Press::Up); // there is nothing above it, and with this press it was seen
    assert!(bench.view(|view| matches!(view, View::Fixing(_, Page::Status(_)))), "{}", bench.seen());
    bench.press(Press::Select);
    assert!(bench.view(|view| matches!(view, View::Fixing(_, Page::Menu { .. }))), "{}", bench.seen());
}

#[test]
fn a_press_in_the_moment_of_a_fault_is_for_what_was_on_the_display_and_the_fault_is_shown_after() {
    let mut bench = curing();
    bench.look_at(0);
    plug(&mut bench, false);
    // the step of the next reading, with a button down in it
    let read = bench.device.logger().group().expect("a group").last_reading().expect("a reading").0;
    while bench.second() < read.seconds() + 59 {
        bench.press(Press::Right);
        bench.press(Press::Left);
    }
    {
        let mut world = bench.world.borrow_mut();
        world.now = (read.seconds() + 60 - world.epoch) as u64 * 1_000_000 + 10_000;
        world.buttons.select = true;
    }
    bench.step();
    assert!(bench.view(|view| matches!(view, View::Fixing(_, Page::Menu { .. }))), "{}", bench.seen());
    bench.world.borrow_mut().buttons.select = false;
    bench.run(1);
    bench.press(Press::Left);
    assert_eq!(shown(&mut bench), Some(Fault::ProbeSilent), "{}", bench.seen());
}
