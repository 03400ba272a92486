//! Check values of the banded schedule: exact rational arithmetic, and recorded weather through an invented schedule.
//!
//! Every expected value stands with its source and its status: *hand* and *identity* are worked out in the comment, and
//! *computed* comes from an independent implementation in exact integers. No published cure-time table is free of a
//! product, so none is used; nothing here claims agreement with a standard's worked example. There is no published
//! standard known that doubles the cure time in a wet hole: it is common practice, and checked as an identity.
//!
//! Each row goes through the engine and the slow reference, which must agree in every field.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_tests::engine;
use holdoff_tests::invented::{S1, levels, plain, reading, settings};
use holdoff_tests::reference::{History, Hole, RefSettings, Report, RowKind, Rule, run};
use holdoff_tests::trace::{recorded, seconds};
use num::{BigInt, BigRational, One, Signed, pow};

/// Seconds of the longest gap of the exact rows.
const GAP: u64 = 300;

fn both(history: &History) -> Report {
    let expected = run(history);
    let found = engine::run(history, |_, _, _, _| {});
    assert_eq!(found, expected, "{:#?}", history.acts);
    found
}

fn exact() -> RefSettings {
    settings("0", GAP, 0)
}

/// Rows 1.1 and 1.2: 120 min at 4.9 °C, 120 at 5.0, 60 at 12, 10 at 21, nothing taken off.
fn mixed(hole: Hole) -> Report {
    let rows = levels(300, &[(7200, "4.9"), (7200, "5.0"), (3600, "12"), (600, "21")]);
    both(&plain(rows, exact(), hole, Rule::Accrual, (0, 0)))
}

/// The sum of seconds over cure time of the reported bands, without any rounding.
fn exact_sum(report: &Report, factor: u64) -> BigRational {
    report.bands.iter().zip(S1).map(|(s, (_, minutes))| ratio(*s, minutes * 60 * factor)).sum()
}

fn ratio(a: u64, b: u64) -> BigRational {
    BigRational::new(a.into(), b.into())
}

/// The engine's sum has one floor for each of the four cure times that occur: less than 4 / 2^64 below the exact one.
fn is_floored(report: &Report, exact: &BigRational) -> bool {
    let short = exact - &report.accrued;
    !short.is_negative() && short < BigRational::new(BigInt::from(4), pow(BigInt::from(2), 64))
}

#[test]
fn a_mixed_history_in_a_dry_hole_sums_to_17_of_18() {
    // 1.1, hand and computed, exact: 1/6 + 1/3 + 1/3 + 1/9 = 17/18 = 0.9444444
    let report = mixed(Hole::Dry);
    assert_eq!(report.bands, [0, 7200, 7200, 3600, 600, 0]);
    assert_eq!(exact_sum(&report, 1), ratio(17, 18));
    assert!(is_floored(&report, &ratio(17, 18)));
    assert_eq!(report.stage, "curing");
}

#[test]
fn a_mixed_history_in_a_wet_hole_sums_to_half_as_much() {
    // 1.2, hand, exact: 17/36 = 0.4722222
    for hole in [Hole::Wet, Hole::Flooded] {
        let report = mixed(hole);
        assert_eq!(exact_sum(&report, 2), ratio(17, 36));
        assert!(is_floored(&report, &ratio(17, 36)));
    }
}

#[test]
fn a_second_before_the_sum_is_whole_it_is_not_cured() {
    // 1.1 carried on, hand: 1/18 of 90 min is 5 min more at 21 °C
    let rows = levels(300, &[(7200, "4.9"), (7200, "5.0"), (3600, "12"), (900, "21")]);
    let report = both(&plain(rows.clone(), exact(), Hole::Dry, Rule::Accrual, (0, 0)));
    // the floors of four terms keep the sum a hair under 1: the next second makes it whole, never an earlier one
    assert!(report.accrued < BigRational::one());
    assert_eq!(report.stage, "curing");
    let mut rows = rows;
    rows.push(reading(7200 + 7200 + 3600 + 901, "21"));
    let report = both(&plain(rows, exact(), Hole::Dry, Rule::Accrual, (0, 0)));
    assert_eq!(report.cured_at, Some(7200 + 7200 + 3600 + 901));
}

#[test]
fn at_a_constant_temperature_both_rules_give_the_cure_time_of_the_band() {
    // 1.3, identity: accumulated time = coldest-band time = cure time of T; edges belong to the band above
    let at = [("-5", 0), ("-0.01", 0), ("0", 1), ("4.99", 1), ("5", 2), ("7.3", 2), ("10", 3), ("20", 4), ("30", 5)];
    for (temperature, band) in at {
        let minutes = S1[band].1;
        for (hole, factor) in [(Hole::Dry, 1), (Hole::Wet, 2), (Hole::Flooded, 2)] {
            let seconds = i64::try_from(minutes * 60 * factor).expect("a day or two");
            let rows = levels(300, &[(seconds + 600, temperature)]);
            for rule in [Rule::Coldest, Rule::Accrual] {
                let report = both(&plain(rows.clone(), exact(), hole, rule, (0, 0)));
                assert_eq!(report.cured_at, Some(seconds), "{temperature} °C, {hole:?}, {rule:?}");
                assert!(report.accrued.is_one(), "{temperature} °C, {hole:?}");
                assert_eq!(report.required, report.served);
            }
        }
    }
}

#[test]
fn splitting_time_changes_no_sum() {
    // 1.4, identity: exact in rationals, and one floor for each cure time whatever the parts
    let of = |rows| both(&plain(rows, settings("0", 3600, 100), Hole::Dry, Rule::Accrual, (0, 0)));
    let whole = of(vec![reading(0, "7"), reading(3600, "7")]);
    for part in [1, 7, 60, 300, 900, 3599] {
        let mut rows: Vec<RowKind> = (0..3600).step_by(part).map(|at| reading(at, "7")).collect();
        rows.push(reading(3600, "7"));
        let parts = of(rows);
        assert_eq!(Report { accepted: whole.accepted, ..parts }, whole, "{part} s");
    }
}

#[test]
fn the_coldest_band_never_asks_for_less_than_the_sum_over_the_bands() {
    // 1.5, identity, on the rows of this file; on random histories it is a property of its own
    for (trace, seat, hole, settings) in weather_rows() {
        let of = |rule| both(&plain(recorded(trace), settings.clone(), hole, rule, (seat - 300, seat))).cured_at;
        if let Some(coldest) = of(Rule::Coldest) {
            assert!(of(Rule::Accrual).is_some_and(|sum| sum <= coldest));
        }
    }
}

/// The seven rows of section 3 of `docs/check-values.md`: series, seating, hole, settings.
fn weather_rows() -> [(&'static str, i64, Hole, RefSettings); 7] {
    let at = |time| seconds(time).expect("a time");
    let (mountain, upland) = ("mountain-winter-5min", "upland-winter-10min");
    let (early, late) = (at("2022-01-03T07:05:00-07:00"), at("2022-01-03T10:25:00-07:00"));
    let (none, usual) = (settings("0", 300, 0), settings("1.0", 300, 100));
    let ten_minutes = settings("1.0", 900, 100);
    [
        (mountain, early, Hole::Dry, none.clone()),
        (mountain, late, Hole::Dry, none.clone()),
        (mountain, late, Hole::Dry, usual.clone()),
        (mountain, early, Hole::Wet, none),
        (mountain, late, Hole::Wet, usual),
        (upland, at("2016-11-08T08:00:00Z"), Hole::Dry, ten_minutes.clone()),
        (upland, at("2016-12-20T08:05:00Z"), Hole::Wet, ten_minutes),
    ]
}

#[test]
fn recorded_weather_cures_in_the_seconds_that_an_independent_computation_found() {
    // section 3, computed: seconds from the seating to cured under the coldest-band rule and under the accrual rule;
    // injection 300 s before the seating
    let expected = [
        (Some(43_200), 22_501),
        (Some(21_600), 14_101),
        (Some(21_603), 14_702),
        (Some(87_000), 33_601),
        (None, 42_009),
        (Some(86_409), 79_209),
        (Some(86_409), 86_409),
    ];
    for ((trace, seat, hole, settings), (coldest, accrual)) in weather_rows().into_iter().zip(expected) {
        for (rule, expected) in [(Rule::Coldest, coldest), (Rule::Accrual, Some(accrual))] {
            let report = both(&plain(recorded(trace), settings.clone(), hole, rule, (seat - 300, seat)));
            let cured = report.cured_at.map(|at| at - seat);
            assert_eq!(cured, expected, "{trace} seated at {seat}, {hole:?}, {rule:?}: {report:#?}");
        }
    }
}

#[test]
fn recorded_weather_counts_the_classes_that_an_independent_computation_found() {
    // section 3, computed: row 4 has 600 unobserved seconds; row 5 is not cured at the end
    let [_, _, _, wet_early, wet_late, _, _] = weather_rows();
    let of = |(trace, seat, hole, settings): (&str, i64, Hole, RefSettings)| {
        both(&plain(recorded(trace), settings, hole, Rule::Coldest, (seat - 300, seat)))
    };
    assert_eq!(of(wet_early).unobserved, 600);
    let report = of(wet_late);
    assert_eq!((report.counted, report.held, report.unobserved), (131_100, 3_000, 600));
    // not cured: -5.045 °C less U is below the least curing temperature at the end
    assert_eq!((report.required, report.stage.as_str()), (172_800, "held"));
}
