//! Cells below empty: the display stays dark unless a button lights it, and a supply that breaks down again and again fills no log.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::Stage;
use holdoff_core::group::Darkness;
use holdoff_core::log::ResetCause;
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Fault, State, View};
use holdoff_tests::fake_board::{Bench, curing, power_ups, shown, trusted, undisturbed};

/// The fake board's cells are empty below 2.4 V; the probe needs less.
const EMPTY: u16 = 2_300;

fn cells(bench: &Bench, millivolts: u16) {
    bench.world.borrow_mut().battery_mv = Some(millivolts);
}

/// Runs on for so many seconds, and says whether the display was ever lit.
fn ever_lit(bench: &mut Bench, seconds: i64) -> bool {
    (0..seconds).any(|_| {
        bench.run(1);
        bench.world.borrow().lit
    })
}

/// A device with a running cure, dark, whose cells are empty now.
fn starved() -> Bench {
    let mut bench = curing();
    bench.run(120);
    assert!(!bench.world.borrow().lit);
    cells(&bench, EMPTY);
    bench
}

#[test]
fn restarts_below_empty_light_nothing_and_write_nothing_while_they_come_one_after_another() {
    for cause in [ResetCause::BrownOut, ResetCause::PowerOn] {
        let mut bench = starved();
        let before = bench.image();
        for restart in 0..25 {
            bench.boot(cause);
            assert!(!bench.world.borrow().lit && !ever_lit(&mut bench, 20), "lit by restart {restart}");
            assert!(bench.image() == before, "restart {restart} wrote into the log");
        }
    }
}

#[test]
fn every_further_start_below_empty_waits_twice_as_long_and_an_hour_at_most() {
    let mut bench = starved();
    let mut waits = Vec::new();
    for _ in 0..9 {
        bench.boot(ResetCause::BrownOut);
        let (began, ups) = (bench.second(), power_ups(&bench).len());
        while power_ups(&bench).len() == ups {
            assert!(!ever_lit(&mut bench, 20), "it comes up in the dark");
            assert!(bench.second() < began + 4_000, "it never comes up: {waits:?}");
        }
        waits.push((bench.second() - began) / 60);
    }
    assert_eq!(waits, [1, 2, 4, 8, 16, 32, 60, 60, 60]);
    // one that forgot how often it was is no quicker for it
    bench.boot(ResetCause::PowerOn);
    let ups = power_ups(&bench).len();
    bench.run(900);
    assert_eq!(power_ups(&bench).len(), ups);
    bench.run(120);
    assert_eq!(power_ups(&bench).len(), ups + 1);
    // and a run that lasts ends the row
    bench.run(2 * 3_600);
    bench.boot(ResetCause::BrownOut);
    bench.run(90);
    assert_eq!(power_ups(&bench).len(), ups + 2);
}

#[test]
fn a_button_lights_the_display_which_says_why_it_was_dark_and_then_shows_the_group() {
    let mut bench = starved();
    bench.boot(ResetCause::BrownOut);
    bench.run(20);
    assert_eq!(power_ups(&bench), []);
    assert_eq!(shown(&mut bench), Some(Fault::BatteryVeryLow));
    assert!(bench.world.borrow().lit);
    // somebody is there, so it waits no longer
    bench.run(3);
    assert_eq!(power_ups(&bench), [(Darkness::Known, ResetCause::BrownOut)]);
    assert!(bench.view(|view| matches!(view, View::Fault(_))), "{}", bench.seen());
    bench.look_at(0);
    assert!(matches!(bench.state(), State::Wait(_)), "{}", bench.seen());
    // and nobody any more, so it is dark again, whatever runs and whatever is amiss
    bench.run(70);
    assert!(!ever_lit(&mut bench, 300));
    trusted(&bench);
}

#[test]
fn fresh_cells_are_found_by_themselves_and_a_cure_has_lost_nothing_but_the_time_in_the_dark() {
    let mut bench = starved();
    let served = bench.status(0).served;
    let dark = bench.second();
    for _ in 0..6 {
        bench.boot(ResetCause::BrownOut);
        bench.run(600);
        bench.world.borrow_mut().now += 1_000_000;
    }
    cells(&bench, 3_000);
    bench.run(130);
    let dark = bench.second() - dark;
    assert!(matches!(bench.stage(0), Stage::Curing), "{:?}", bench.stage(0));
    let after = bench.status(0);
    assert!(after.served >= served, "what was served before stays: {after:?}");
    bench.run(2 * 3_600);
    let cured = bench.status(0).cured_at.expect("cured").seconds();
    assert!(cured > undisturbed() + dark / 2, "{dark} s in the dark, cured only {} s later", cured - undisturbed());
    trusted(&bench);
}

#[test]
fn below_empty_no_fault_lights_the_display_and_none_keeps_it_lit() {
    let mut bench = starved();
    assert!(!ever_lit(&mut bench, 180), "the battery's own fault does not light it");
    {
        let mut world = bench.world.borrow_mut();
        let now = world.now;
        world.probe.plug(false, now);
    }
    assert!(!ever_lit(&mut bench, 180), "nor does another");
    bench.press(Press::Down);
    assert!(bench.world.borrow().lit);
    bench.run(62);
    assert!(!bench.world.borrow().lit, "a fault while a fixing runs does not keep it lit");
}
