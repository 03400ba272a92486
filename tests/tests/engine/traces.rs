//! Recorded temperature series through the engine and the slow reference: every field of the report the same.
//!
//! Random histories are drawn to reach every ground; weather has what nobody draws: slow nights, the same count for
//! hours, thaw and frost in one day, cells left empty at midnight, a channel that is dead all day. Where the series
//! come from stands in `traces/README.md`.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_core::group::{Event, Verdict};
use holdoff_core::probe::Refusal;
use holdoff_tests::engine;
use holdoff_tests::invented::{celsius, plain, reading, settings};
use holdoff_tests::reference::{Act, History, Hole, RefSettings, Report, RowKind, Rule, run};
use holdoff_tests::trace::recorded;
use std::collections::BTreeMap;

fn both(history: &History) -> Report {
    let expected = run(history);
    let found = engine::run(history, |_, _, _, _| {});
    assert_eq!(found, expected, "{:?} {:?} {:#?}", history.rule, history.settings, history.acts);
    found
}

/// Every rule, hole and setting, with and without the limits that reject, from one injection.
fn all_ways(rows: &[RowKind], settings: &[RefSettings], inject: i64, met: &mut BTreeMap<String, u32>) {
    for (number, settings) in settings.iter().enumerate() {
        for rule in [Rule::Coldest, Rule::Accrual] {
            for hole in [Hole::Dry, Hole::Wet, Hole::Flooded] {
                for strict in [false, true] {
                    let seat = inject + 300 + 17 * i64::try_from(number).expect("few settings");
                    // the probe need not settle, must for the default time, or for one that needs several rows
                    let settle = [0, 180, 0, 900][(usize::from(strict) + number) % 4];
                    let settings = RefSettings { settle, ..settings.clone() };
                    let mut history = plain(rows.to_vec(), settings, hole, rule, (inject, seat));
                    if strict {
                        make_strict(&mut history);
                    }
                    let report = both(&history);
                    *met.entry(report.stage).or_default() += 1;
                    for reason in report.reasons {
                        *met.entry(reason).or_default() += 1;
                    }
                }
            }
        }
    }
}

/// Limits that reject, an in-hole reading, a cartridge, a hole that turns out wet after a day and is torqued after two.
fn make_strict(history: &mut History) {
    history.resin.reject_below = Some(celsius("-6.75"));
    history.resin.reject_above = Some(celsius("45"));
    history.resin.longest_hold = Some(12 * 3600);
    history.torque = Some((4000, 6000));
    let [Act::Inject { at, in_hole, cartridge, .. }, ..] = history.acts.as_mut_slice() else {
        panic!("a plain history starts with its injection")
    };
    let inject = *at;
    *in_hole = Some(celsius("6.25"));
    *cartridge = Some(celsius("17.3"));
    history.acts.push(Act::Hole { at: inject + 86_400, to: Hole::Wet });
    history.acts.push(Act::Torque { at: inject + 2 * 86_400, hundredths: 5000 });
    let end = history.rows.iter().map(RowKind::at).max().expect("rows");
    history.acts.retain(|act| act.at() <= end);
}

/// Every `step`-th row's time.
fn times(rows: &[RowKind], step: usize) -> impl Iterator<Item = i64> {
    rows.iter().step_by(step).map(RowKind::at)
}

#[test]
fn a_mountain_winter_is_judged_alike() {
    let rows = recorded("mountain-winter-5min");
    let settings = [
        settings("0", 300, 0),
        settings("1.0", 300, 100),
        settings("0.4016243", 299, 10_000),
        settings("2.5", 3600, 1),
    ];
    let mut met = BTreeMap::new();
    for inject in times(&rows, 115) {
        all_ways(&rows, &settings, inject, &mut met);
    }
    // what the series is there for does come up
    for word in ["cured", "held", "rejected", "released", "refused", "too-cold", "below-reject", "loaded-early"] {
        assert!(met.contains_key(word), "{word} never came up: {met:?}");
    }
}

#[test]
fn an_upland_winter_is_judged_alike() {
    let rows = recorded("upland-winter-10min");
    let settings = [settings("1.0", 900, 100), settings("0.25", 600, 0)];
    let mut met = BTreeMap::new();
    // a week from each injection on: the rest of the winter changes nothing for most fixings, and two see all of it
    for (number, start) in (0..rows.len()).step_by(1440).enumerate() {
        let end = if number < 1 { rows.len() } else { rows.len().min(start + 7 * 144) };
        all_ways(&rows[start..end], &settings, rows[start].at() + 60, &mut met);
    }
    for word in ["cured", "rejected"] {
        assert!(met.contains_key(word), "{word} never came up: {met:?}");
    }
}

#[test]
fn ten_minute_rows_under_a_five_minute_gap_leave_all_unobserved() {
    let rows = recorded("upland-winter-10min")[..1500].to_vec();
    let inject = rows[1000].at();
    let report = both(&plain(rows, settings("1.0", 300, 100), Hole::Dry, Rule::Accrual, (inject, inject + 300)));
    assert_eq!((report.counted, report.held, report.stage.as_str()), (0, 0, "curing"));
    assert_eq!(report.unobserved, report.elapsed);
}

#[test]
fn a_dead_probe_accepts_nothing_and_starts_nothing() {
    let rows = recorded("dead-probe-1min");
    let inject = rows[700].at();
    for rule in [Rule::Coldest, Rule::Accrual] {
        let history = plain(rows.clone(), settings("0", 3600, 0), Hole::Dry, rule, (inject, inject + 60));
        let report = both(&history);
        assert_eq!((report.accepted, report.refused, report.missing), (0, 1440, 0));
        assert_eq!((report.stage.as_str(), report.counted, report.elapsed), ("refused", 0, 0));
        assert_eq!(report.reasons, ["no-reading"]);
    }
}

#[test]
fn every_reading_of_a_dead_probe_lies_outside_the_sensors_range() {
    // no value of the series lies within -55 to 125 °C, so none is even a candidate: all 1440 fall under rule R2b
    let rows = recorded("dead-probe-1min");
    let history = plain(rows, settings("0", 3600, 0), Hole::Dry, Rule::Coldest, (0, 0));
    engine::run(&History { acts: Vec::new(), ..history }, |_, what, verdict, events| {
        assert_eq!(verdict, Verdict::Refused(Refusal::OutOfRange), "{what:?}");
        assert_eq!(events, []);
    });
}

#[test]
fn a_probe_that_dies_after_the_seating_earns_nothing_more() {
    let dead = recorded("dead-probe-1min");
    let start = dead[0].at() - 1800;
    let mut rows: Vec<RowKind> = (0..30).map(|minute| reading(start + 60 * minute, "12.5")).collect();
    rows.extend(dead);
    for rule in [Rule::Coldest, Rule::Accrual] {
        let history = plain(rows.clone(), settings("1.0", 300, 100), Hole::Dry, rule, (start + 60, start + 120));
        let report = both(&history);
        // the last accepted reading is the thirtieth: 27 min after the seating
        assert_eq!((report.accepted, report.refused), (30, 1440));
        assert_eq!((report.counted, report.held, report.unobserved), (27 * 60, 0, 0));
        assert_eq!((report.stage.as_str(), report.cured_at, report.announced_at), ("curing", None, None));
    }
}

#[test]
fn a_probe_that_comes_back_finds_the_dead_time_unobserved() {
    let dead = recorded("dead-probe-1min");
    let (start, end) = (dead[0].at() - 1800, dead[1439].at());
    let mut rows: Vec<RowKind> = (0..30).map(|minute| reading(start + 60 * minute, "12.5")).collect();
    rows.extend(dead);
    rows.extend((1..=60).map(|minute| reading(end + 60 * minute, "12.5")));
    let mut history = plain(rows, settings("1.0", 300, 100), Hole::Dry, Rule::Coldest, (start + 60, start + 120));
    let report = both(&history);
    assert_eq!((report.counted, report.unobserved), ((27 + 59) * 60, 1441 * 60));
    assert_eq!(report.stage, "curing");
    history.resin.longest_hold = Some(24 * 3600);
    assert_eq!(both(&history).reasons, ["held-too-long"]);
}

#[test]
fn a_series_has_no_warning_of_a_stuck_probe_that_it_should_not_have() {
    // weather moves: no count of the two live series stays the same for six hours
    for name in ["mountain-winter-5min", "upland-winter-10min"] {
        let history = plain(recorded(name), settings("1.0", 900, 100), Hole::Dry, Rule::Coldest, (0, 0));
        engine::run(&History { acts: Vec::new(), ..history }, |_, _, _, events| {
            assert!(!events.iter().any(|event| matches!(event, Event::Stuck { .. })), "{name}: {events:?}");
        });
    }
}
