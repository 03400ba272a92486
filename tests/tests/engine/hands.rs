//! Rules H2 to H5, each by a small life of one fixing: engine and reference say the same, and what the rule says.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_tests::engine;
use holdoff_tests::invented::{levels, plain, settings};
use holdoff_tests::reference::{Act, History, Hole, RefDemands, Report, Rule, Work, run};

const DAY: i64 = 86_400;
const PRESCRIBED: [(Work, u64); 3] = [(Work::Blow, 4), (Work::Brush, 4), (Work::Blow, 4)];

fn both(history: &History) -> Report {
    let found = engine::run(history, |_, _, _, _| {});
    assert_eq!(found, run(history), "{history:#?}");
    found
}

/// Injected at two days and an hour, seated a minute later, at 20 °C; nothing else is done.
fn history(demands: RefDemands) -> History {
    let rows = levels(60, &[(2 * DAY + 7_200, "20")]);
    let injected = 2 * DAY + 3_600;
    History { demands, ..plain(rows, settings("0", 300, 0), Hole::Dry, Rule::Coldest, (injected, injected + 60)) }
}

const INJECTED: i64 = 2 * DAY + 3_600;

fn cleaning() -> RefDemands {
    RefDemands { cleaning: PRESCRIBED.to_vec(), cleaning_required: true, ..RefDemands::none() }
}

fn cleaned(history: &mut History, at: i64, steps: &[(Work, u64)]) {
    history.acts.extend(steps.iter().map(|(work, times)| Act::Clean { at, work: *work, times: *times }));
}

fn reasons(report: &Report) -> Vec<&str> {
    report.reasons.iter().map(String::as_str).collect()
}

/// The grounds of a start after this cleaning, done an hour before.
fn after(steps: &[(Work, u64)]) -> Vec<String> {
    let mut history = history(cleaning());
    cleaned(&mut history, INJECTED - 3_600, steps);
    both(&history).reasons
}

#[test]
fn a_cleaning_needs_every_step_with_its_count_in_the_order() {
    use Work::{Blow, Brush, ExtractingBit};
    let none: [&str; 0] = [];
    assert_eq!(after(&PRESCRIBED), none);
    assert_eq!(after(&[(Blow, 6), (Brush, 4), (Blow, 3), (Blow, 1)]), none, "more strokes, and strokes in parts");
    assert_eq!(after(&[(Brush, 9), (Blow, 4), (Brush, 4), (Blow, 4)]), none, "it begins anew");
    assert_eq!(after(&[]), ["not-cleaned"]);
    assert_eq!(after(&[(Blow, 4), (Brush, 4), (Blow, 3)]), ["not-cleaned"]);
    assert_eq!(after(&[(Brush, 4), (Blow, 8)]), ["not-cleaned"]);
    assert_eq!(after(&[(Blow, 4), (Brush, 3), (Blow, 4)]), ["not-cleaned"]);
    assert_eq!(after(&[(ExtractingBit, 1)]), ["not-cleaned"], "the bit was not prescribed");
}

#[test]
fn a_cleaning_is_good_for_a_day_to_the_second() {
    for (age, refused) in [(DAY, false), (DAY + 1, true)] {
        let mut history = history(cleaning());
        cleaned(&mut history, INJECTED - age, &PRESCRIBED);
        assert_eq!(both(&history).reasons.is_empty(), !refused, "{age} s");
    }
}

#[test]
fn a_dry_hole_found_wet_after_its_cleaning_is_cleaned_again() {
    let mut history = history(cleaning());
    cleaned(&mut history, INJECTED - 600, &PRESCRIBED);
    history.acts.push(Act::Hole { at: INJECTED - 500, to: Hole::Wet });
    assert_eq!(reasons(&both(&history)), ["not-cleaned"]);
    cleaned(&mut history, INJECTED - 400, &PRESCRIBED);
    assert!(both(&history).cleaned);
}

#[test]
fn what_is_only_noted_refuses_nothing() {
    let demands = RefDemands { cleaning_required: false, ..cleaning() };
    let report = both(&history(demands.clone()));
    assert!(report.reasons.is_empty() && !report.cleaned && !report.even);
    let mut clean = history(demands);
    cleaned(&mut clean, INJECTED - 600, &PRESCRIBED);
    clean.acts.push(Act::Discard { at: INJECTED - 10 });
    let report = both(&clean);
    assert!(report.cleaned && report.even);
}

#[test]
fn the_first_injection_and_a_new_nozzle_need_a_discard() {
    let demands = RefDemands { nozzle_required: true, ..RefDemands::none() };
    let mut first = history(demands);
    assert_eq!(reasons(&both(&first)), ["nozzle"]);
    first.acts.push(Act::Discard { at: INJECTED - 30 });
    assert!(both(&first).even);
    first.acts.push(Act::NewNozzle { at: INJECTED - 20 });
    assert_eq!(reasons(&both(&first)), ["nozzle"]);
    first.acts.push(Act::Discard { at: INJECTED - 10 });
    assert!(both(&first).even);
}

#[test]
fn a_pause_longer_than_the_working_time_needs_a_discard() {
    let demands = RefDemands { nozzle_required: true, ..RefDemands::none() };
    let injection = |at| Act::Inject { at, in_hole: None, cartridge: None, use_by_end: None };
    let working = 1_800; // of S1 throughout
    for (seated_before, pause, refused) in
        [(true, working, false), (true, working + 1, true), (false, working, false), (false, working + 1, true)]
    {
        let mut later = history(demands.clone());
        let end = INJECTED - pause;
        let begun = if seated_before { end - 60 } else { end };
        later.neighbour = vec![Act::Discard { at: begun - 5 }, injection(begun)];
        if seated_before {
            later.neighbour.push(Act::Seat { at: end });
        }
        let expected: &[&str] = if refused { &["nozzle"] } else { &[] };
        assert_eq!(reasons(&both(&later)), expected, "seated: {seated_before}, {pause} s");
    }
}

#[test]
fn a_no_at_the_seating_rejects_and_what_is_not_declared_stays_so() {
    let declared = |excess, depth, at| {
        let mut history = history(RefDemands::none());
        history.acts.push(Act::Seating { at, excess, depth });
        both(&history)
    };
    let seated = INJECTED + 60;
    assert_eq!(reasons(&declared(Some(false), None, seated)), ["underfilled"]);
    assert_eq!(reasons(&declared(Some(false), Some(false), seated)), ["underfilled", "not-to-depth"]);
    let late = declared(Some(true), Some(false), seated + 600);
    assert_eq!((reasons(&late), late.facts), (vec!["not-to-depth"], (Some(true), Some(false))));
    let silent = declared(None, Some(true), seated);
    assert_eq!((silent.reasons.len(), silent.facts), (0, (None, Some(true))));
}
