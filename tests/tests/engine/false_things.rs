//! Ways in which something false got into a record, each closed: what the engine counts was measured, by a probe that was there.
//!
//! | way | where it is tried besides here |
//! | --- | --- |
//! | 1 a probe out of a warm pocket | `board_model/check.py`, `device_settling` |
//! | 2 a starved probe | `board_model/check.py`, `device_supply`, `device_starved` |
//! | 3 a column of °F read as °C | `host-sim/cli/tests/program/read_as.rs` |
//! | 4 offsets that differ | `host-sim/cli/tests/program/read_as.rs` |
//! | 5 an early torque, a torque where none is specified, a cure that moves | `host-sim`, `device_hands` |
//! | 6 a longest gap shorter than the time between readings | `host-sim/cli/tests/program/read_as.rs` |
//! | 7 a working time that ends between two readings | `board_model/check.py`, `device_too_late` |
//! | 8 a clock that failed | `device_clock`, `link_emulated` |
//! | 9 a lost reading | `log_history` through every log test |
//! | 10 a job over undecided rejections | `device_undecided` |
//! | 11 a share of the accrual where it is forbidden | `host-sim/cli/tests/program/accrual_told.rs` |
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::cure::Settings;
use holdoff_core::fixing::{Action, Ground, Grounds, Injection, NotApplicable, Stage};
use holdoff_core::group::{Event, FixingNumber, Group, Happening, Verdict};
use holdoff_core::quantity::{Count, Instant, Torque};
use holdoff_core::resin::Hole;
use holdoff_tests::engine;
use holdoff_tests::invented::{levels, plain, reading, settings};
use holdoff_tests::reference::{self, Act, History, RefSettings, Report, RowKind, Rule, run};

fn both(history: &History) -> Report {
    let expected = run(history);
    let found = engine::run(history, |_, _, _, _| {});
    assert_eq!(found, expected);
    found
}

/// Concrete at -8 °C, which the resin excludes by 3 °C; the probe comes from +20 °C and has a time constant of 5 min. A row a minute.
fn out_of_a_warm_pocket() -> Vec<RowKind> {
    let celsius = |minute: i64| -8.0 + 28.0 * (-(minute as f64) * 60.0 / 300.0).exp();
    (0..180).map(|minute| reading(minute * 60, &format!("{:.4}", celsius(minute)))).collect()
}

/// The history of an injection at this second, judged with the time to settle.
fn injected_at(at: i64, settle: u64) -> History {
    let settings = RefSettings { settle, ..settings("1.0", 300, 100) };
    plain(out_of_a_warm_pocket(), settings, reference::Hole::Dry, Rule::Coldest, (at, at + 60))
}

#[test]
fn a_probe_out_of_a_warm_pocket_lets_no_injection_begin() {
    for at in (0..10_000).step_by(67) {
        let report = both(&injected_at(at, 180));
        assert_eq!(report.stage, "refused", "{at} s");
    }
    // without the rule one begins while the probe still says what the pocket was
    assert_eq!(both(&injected_at(67, 0)).stage, "held");
}

/// A group with one fixing, S1 at 20 °C and the default settings; readings of the first ten minutes are in it.
fn at_twenty(torque: Option<reference::Torque>) -> (Group, FixingNumber) {
    let settings = RefSettings { settle: 180, ..settings("0", 300, 0) };
    let mut history = plain(Vec::new(), settings, reference::Hole::Dry, Rule::Coldest, (0, 0));
    history.torque = torque;
    let (mut group, fixing) = engine::group(&history);
    readings(&mut group, 0, 600);
    (group, fixing)
}

/// A reading of 20 °C a minute, from `from` s to `to` s; what came of them.
fn readings(group: &mut Group, from: i64, to: i64) -> Vec<Event> {
    let mut events = Vec::new();
    for at in (from..=to).step_by(60) {
        let what = Happening::Reading { at: Instant::from_seconds(at), count: Count::from_degrees(20) };
        assert_eq!(group.step(what, &mut |event| events.push(event)), Verdict::Accepted);
    }
    events
}

fn act(group: &mut Group, fixing: FixingNumber, at: i64, action: Action) -> (Verdict, Vec<Event>) {
    let mut events = Vec::new();
    let at = Instant::from_seconds(at);
    (group.step(Happening::Action { at, fixing, action }, &mut |event| events.push(event)), events)
}

/// Injected and seated at 600 s; a dry hole is cured 90 min after that, at 6 000 s, a wet one at 11 400 s.
fn seated(torque: Option<reference::Torque>) -> (Group, FixingNumber) {
    let (mut group, fixing) = at_twenty(torque);
    assert_eq!(act(&mut group, fixing, 600, Action::Inject(Injection::default())).0, Verdict::Done);
    assert_eq!(act(&mut group, fixing, 600, Action::Seat).0, Verdict::Done);
    (group, fixing)
}

fn stage(group: &Group, fixing: FixingNumber) -> Stage {
    group.status(fixing).expect("it is there").stage
}

const SOME: Torque = Torque::from_hundredths(1_000);

#[test]
fn a_reading_that_completes_the_cure_turns_no_report_of_an_early_torque_into_a_release() {
    // the report is begun at 5 970 s; while it is entered the reading of 6 000 s comes, with which the cure is known
    for (begun, expected) in [(5_970, Verdict::Done), (6_000, Verdict::NotApplicable(NotApplicable::Cured))] {
        let (mut group, fixing) = seated(Some((1_000, 2_000)));
        readings(&mut group, 660, 6_000);
        assert!(matches!(stage(&group, fixing), Stage::Cured(_)));
        assert_eq!(act(&mut group, fixing, begun, Action::TorquedEarly(SOME)).0, expected, "{begun} s");
        match (expected, stage(&group, fixing)) {
            (Verdict::Done, Stage::Rejected(rejection)) => {
                assert_eq!(rejection.grounds, Grounds::only(Ground::LoadedEarly));
                assert_eq!(rejection.at, Instant::from_seconds(begun));
            }
            (Verdict::NotApplicable(_), Stage::Cured(_)) => {}
            (_, other) => panic!("{begun} s: {other:?}"),
        }
    }
}

#[test]
fn a_report_of_an_early_torque_releases_nothing_and_needs_a_seated_fixing() {
    let (mut group, fixing) = at_twenty(Some((1_000, 2_000)));
    assert_eq!(act(&mut group, fixing, 600, Action::Inject(Injection::default())).0, Verdict::Done);
    let early = Action::TorquedEarly(Torque::from_hundredths(1_500));
    assert_eq!(act(&mut group, fixing, 610, early).0, Verdict::NotApplicable(NotApplicable::Stage));
    assert_eq!(act(&mut group, fixing, 620, Action::Seat).0, Verdict::Done);
    readings(&mut group, 660, 12_000);
    // within the specified torque and after the cure, it is still no torque
    assert_eq!(act(&mut group, fixing, 12_000, early).0, Verdict::NotApplicable(NotApplicable::Cured));
    assert!(matches!(stage(&group, fixing), Stage::Cured(_)));
}

#[test]
fn a_torque_before_a_wet_holes_cure_rejects_where_none_is_specified() {
    let early = |act: &dyn Fn(i64) -> Act| {
        let rows = levels(60, &[(20_000, "20")]);
        let mut history = plain(rows, settings("0", 300, 0), reference::Hole::Dry, Rule::Coldest, (600, 600));
        history.acts.push(act(7_000));
        history.acts.push(Act::Hole { at: 8_000, to: reference::Hole::Wet });
        both(&history)
    };
    // dry it is cured at 6 000 s, wet it would be at 11 400 s
    for act in [&(|at| Act::Torque { at, hundredths: 1_000 }) as &dyn Fn(i64) -> Act, &|at| Act::TorquedEarly {
        at,
        hundredths: 1_000,
    }] {
        let report = early(act);
        assert_eq!((report.stage.as_str(), report.reasons), ("rejected", vec!["loaded-early".to_owned()]));
    }
}

#[test]
fn a_cure_that_a_stricter_hole_moves_is_told_with_its_new_second() {
    let (mut group, fixing) = seated(None);
    readings(&mut group, 660, 12_000);
    let (verdict, events) = act(&mut group, fixing, 12_000, Action::Hole(Hole::Wet));
    let moved =
        |cured| Event::CureMoved { fixing, at: Instant::from_seconds(12_000), cured: Instant::from_seconds(cured) };
    assert_eq!((verdict, events), (Verdict::Done, vec![moved(11_400)]));
    let (verdict, events) = act(&mut group, fixing, 12_000, Action::Hole(Hole::Flooded));
    assert_eq!((verdict, events), (Verdict::Done, vec![moved(11_400)]));
    // before the wet hole's cure the same change withdraws it
    let (mut group, fixing) = seated(None);
    readings(&mut group, 660, 9_000);
    let (_, events) = act(&mut group, fixing, 9_000, Action::Hole(Hole::Wet));
    assert_eq!(events, vec![Event::Withdrawn { fixing, at: Instant::from_seconds(9_000) }]);
}

#[test]
fn a_lost_reading_breaks_the_interval_that_it_lies_in() {
    let between = |lost: bool| {
        let mut rows = levels(60, &[(1_200, "20")]);
        rows.truncate(20); // up to 1 140 s
        rows.extend(lost.then_some(RowKind::Lost { at: 1_260 }));
        rows.extend((1_380..=2_400).step_by(60).map(|at| reading(at, "20")));
        both(&plain(rows, settings("0", 300, 0), reference::Hole::Dry, Rule::Coldest, (600, 600)))
    };
    // 240 s lie between two readings, less than the longest gap
    assert_eq!((between(false).counted, between(false).unobserved), (1_800, 0));
    assert_eq!((between(true).counted, between(true).unobserved), (1_560, 240));
}

#[test]
fn a_lost_reading_unsettles_the_probe() {
    let start = |lost: bool| {
        let mut rows = levels(60, &[(600, "20")]);
        rows.truncate(10); // up to 540 s
        rows.extend(lost.then_some(RowKind::Lost { at: 560 }));
        rows.extend([reading(600, "20"), reading(660, "20")]);
        let settings = RefSettings { settle: 180, ..settings("0", 300, 0) };
        both(&plain(rows, settings, reference::Hole::Dry, Rule::Coldest, (610, 620))).reasons
    };
    assert_eq!(start(false), Vec::<String>::new());
    assert_eq!(start(true), ["probe-not-settled"]);
}

#[test]
fn a_reading_outside_the_installation_limits_before_the_seating_is_named_and_not_judged() {
    let mut history = plain(
        vec![reading(0, "1"), reading(60, "1"), reading(120, "-4.5"), reading(180, "-4.75"), reading(240, "-4")],
        settings("1.0", 300, 0),
        reference::Hole::Dry,
        Rule::Coldest,
        (60, 200),
    );
    let report = both(&history);
    // -4.75 °C is -1 216 counts, and with 1 °C taken off it lies under -5 °C
    assert_eq!((report.stage.as_str(), report.outside_at_seating), ("curing", Some(-1_216)));
    history.acts[1] = Act::Seat { at: 100 };
    assert_eq!(both(&history).outside_at_seating, None);
}

#[test]
fn a_setting_that_lets_the_probe_settle_for_less_is_laxer() {
    use holdoff_core::quantity::Span;
    let with = |seconds| Settings::DEFAULT.with_settle(Span::from_seconds(seconds));
    assert!(with(179).is_ok_and(|settings| settings.laxer().settle));
    assert!(with(180).is_ok_and(|settings| !settings.laxer().settle));
    assert!(with(3_600).is_ok() && with(3_601).is_err());
}
