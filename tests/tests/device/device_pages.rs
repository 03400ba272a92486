//! The pages below a fixing's status: what it was set with is to be seen, and what nobody declared is said to be undeclared.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::fixing::{Ground, Stage};
use holdoff_core::log::ResetCause;
use holdoff_core::quantity::{Count, Date};
use holdoff_firmware::run::Press;
use holdoff_firmware::view::{Cartridge, Declared, Item, Page};
use holdoff_tests::fake_board::{Bench, JobPlan, START, plan, planned_as};

/// What stands on the page of a fixing's cartridge, leafed to from its status.
fn cartridge(bench: &mut Bench, place: u8) -> Cartridge {
    bench.look_at(place);
    for _ in 0..10 {
        bench.press(Press::Down);
        let found = bench.page(|_, page| if let Page::Cartridge(found) = page { Some(*found) } else { None });
        if let Some(found) = found {
            return found;
        }
    }
    panic!("no page of the cartridge: {}", bench.seen());
}

/// Injects it with a cartridge of so many degrees: the entry begins with 20.
fn inject_at(bench: &mut Bench, place: u8, degrees: i8) {
    bench.look_at(place);
    bench.take(Item::Inject);
    bench.press(Press::Up);
    for _ in 0..(20 - degrees) {
        bench.press(Press::Down);
    }
    bench.press(Press::Select);
    bench.yes();
}

#[test]
fn what_was_declared_of_a_cartridge_is_to_be_seen_and_what_was_not_is_undeclared() {
    let mut plan = plan(4);
    // good through 27 November 2026, local time being an hour ahead
    let past_from = START / 86_400 * 86_400 + 3 * 86_400 - 3_600;
    plan.batch = Some(("L-2231 B".to_owned(), Some(past_from)));
    let mut bench = planned_as(<Bench>::new(), &plan);
    assert_eq!(cartridge(&mut bench, 0).temperature, Declared::NotYet);
    inject_at(&mut bench, 0, 12);
    bench.inject(1);
    inject_at(&mut bench, 2, 4);
    assert!(matches!(bench.stage(2), Stage::Refused) && bench.status(2).grounds.has(Ground::Cartridge));
    let degrees = |degrees| Declared::Degrees(Count::from_degrees(degrees));
    let expected = [degrees(12), Declared::Not, degrees(4), Declared::NotYet];
    for restart in [false, true] {
        if restart {
            bench.boot(ResetCause::PowerOn);
            bench.run(10);
        }
        for (place, temperature) in (0..).zip(expected) {
            let found = cartridge(&mut bench, place);
            assert_eq!((found.temperature, found.batch.text()), (temperature, Some("L-2231 B")));
            assert_eq!(found.use_by.expect("a date").date(), Date { year: 2026, month: 11, day: 27 });
        }
    }
}

#[test]
fn a_job_without_batches_says_so_and_keeps_nothing_of_the_one_before() {
    let mut named = plan(1);
    named.batch = Some(("L-2231 B".to_owned(), None));
    let mut bench = planned_as(<Bench>::new(), &named);
    inject_at(&mut bench, 0, 15);
    assert_eq!(cartridge(&mut bench, 0).temperature, Declared::Degrees(Count::from_degrees(15)));
    bench.run(3_600); // not seated: nothing runs
    bench.load(&JobPlan { undecided: 1, ..plan(1) });
    bench.run(65);
    let found = cartridge(&mut bench, 0);
    assert_eq!((found.temperature, found.batch.text(), found.use_by), (Declared::NotYet, Some(""), None));
}
