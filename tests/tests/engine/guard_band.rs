//! Guard-banding a reading: from reading and uncertainty to the band or limit it is held against.
//!
//! The principle is that of ISO 14253-1:2017 (uncertainty counts against whoever proves conformity; read in secondary
//! pages) and of JCGM 106 (acceptance limit inside the tolerance limit by the guard band; its examples from memory).
//! The rows below are those of the published check values that end in a band or a limit. Status: *computed* with a
//! statistics library from y, u and the limit; u is a standard uncertainty and U = 2 u.
//!
//! Rows that do not apply, because the program computes no probability and no uncertainty budget and takes U as given:
//! one-sided quantiles of the normal and of Student's distribution, the conformance probabilities of the JCGM 106
//! examples, the risks of guard bands r x U (ILAC-G8:09/2019), rectangular to standard uncertainty, the combination of
//! three contributions (its result, U = 0.4016243, is used here as an input).
//!
//! Direction: for the cure time the guard is always towards the colder band; for greatest limits and the working time
//! towards the warmer. Rounding (rule Q1) adds to it and never takes off.

use holdoff_tests::engine;
use holdoff_tests::invented::{celsius, plain, reading, settings};
use holdoff_tests::reference::{Act, History, Hole, RefResin, Report, Rule, ceil_to_counts, run};
use num::BigRational;

fn both(history: &History) -> Report {
    let expected = run(history);
    let found = engine::run(history, |_, _, _, _| {});
    assert_eq!(found, expected);
    found
}

/// A fixing seated at once, and one minute at this temperature, under S1 as `change` alters it.
fn minute_under(change: impl FnOnce(&mut RefResin), temperature: &str, uncertainty: &str) -> Report {
    let rows = vec![reading(0, temperature), reading(60, temperature)];
    let mut history = plain(rows, settings(uncertainty, 300, 0), Hole::Dry, Rule::Coldest, (0, 0));
    // installation limits out of the way: these rows are about the cure
    history.resin.install_least = celsius("-100");
    history.resin.install_greatest = celsius("120");
    change(&mut history.resin);
    both(&history)
}

fn minute(temperature: &str, uncertainty: &str) -> Report {
    minute_under(|_| {}, temperature, uncertainty)
}

/// Place of the band that the minute counted in; `None` when it was held.
fn band(report: &Report) -> Option<usize> {
    assert_eq!(report.elapsed, 60);
    report.bands.iter().position(|seconds| *seconds == 60)
}

/// The decimal of a whole number of counts.
fn counts(raw: i64) -> String {
    // 1/256 = 0.00390625
    let sign = if raw < 0 { "-" } else { "" };
    let parts = raw.unsigned_abs() * 390_625;
    format!("{sign}{}.{:08}", parts / 100_000_000, parts % 100_000_000)
}

#[test]
fn a_reading_just_above_an_edge_counts_in_the_band_below() {
    // reading 5.30, limit 5.0, u = 0.25: p = 0.884930 (computed); 5.30 - 0.5 = 4.80, and with 1.645 u 4.888787: [0, 5)
    assert_eq!(band(&minute("5.30", "0.5")), Some(1));
    assert_eq!(band(&minute("5.30", "0.411214")), Some(1));
    // without uncertainty (w = 0, risk 50 %) it would be [5, 10)
    assert_eq!(band(&minute("5.30", "0")), Some(2));
}

#[test]
fn a_reading_two_standard_uncertainties_above_an_edge_counts_in_the_band_above() {
    // reading 5.50, same: p = 0.977250 (computed); 5.50 - 0.5 = 5.0 exactly, and the edge belongs to its band
    assert_eq!(band(&minute("5.50", "0.5")), Some(2));
    assert_eq!(band(&minute(&counts(1408 - 1), "0.5")), Some(1));
}

#[test]
fn the_95_percent_edge_lies_between_the_two_published_readings() {
    // readings 5.41 / 5.42, same: p = 0.949497 / 0.953521, the 95 % edge at 5.411214 (computed); 1.644854 x 0.25 =
    // 0.4112135
    assert_eq!(band(&minute("5.41", "0.4112135")), Some(1));
    assert_eq!(band(&minute("5.42", "0.4112135")), Some(2));
    // U rounded up and the reading rounded down: 5.4112140 is 1385 counts, U is 106 counts, together one count short
    assert_eq!(band(&minute("5.411214", "0.4112135")), Some(1));
    assert_eq!(band(&minute(&counts(1386), "0.4112135")), Some(2));
}

#[test]
fn a_least_limit_met_exactly_is_met() {
    // low limit 0 °C, y = 0.2, u = 0.1: p = 0.977250, y - 2u = 0.0 exactly (computed; a test of >= against >). Neither
    // 0.2 nor U = 0.2 is a whole count: the reading becomes 51 counts and U 52, so the exact decimal tie is held
    let freezing = |resin: &mut RefResin| resin.cure_least = celsius("0");
    assert_eq!(band(&minute_under(freezing, "0.2", "0.2")), None);
    // where both are whole counts the tie counts
    assert_eq!(band(&minute_under(freezing, "0.25", "0.25")), Some(1));
    assert_eq!(band(&minute_under(freezing, &counts(63), "0.25")), None);
}

#[test]
fn a_reading_near_a_greatest_limit_is_outside() {
    // high limit 40 °C, y = 39.7, u = 0.25: p(T >= 40) = 0.115070, y + 2u = 40.2: reject (computed)
    let report = minute("39.7", "0.5");
    assert_eq!((band(&report), report.held, report.stage.as_str()), (None, 60, "held"));
    assert_eq!(band(&minute("39.7", "0")), Some(5));
}

#[test]
fn high_has_the_count_that_rounding_down_took_off() {
    // a reading of r counts stands for temperatures up to r + 1: high = r + U + 1 (rule R1)
    assert_eq!(band(&minute(&counts(10_240 - 128 - 1), "0.5")), Some(5)); // high = 40 °C: not above it
    assert_eq!(band(&minute(&counts(10_240 - 128), "0.5")), None);
    // a decimal within the last count is still the count below it
    assert_eq!(band(&minute("39.4999", "0.5")), Some(5));
    assert_eq!(band(&minute("39.5", "0.5")), None);
}

#[test]
fn an_uncertainty_is_rounded_up_to_a_count() {
    // the budget's U(k = 2) = 0.4016243 (computed) is 102.82 counts; a whole count stays
    for (text, expected) in [("0.4016243", 103), ("1.0", 256), ("0.00390625", 1), ("0.0039", 1), ("0", 0), ("10", 2560)]
    {
        assert_eq!(ceil_to_counts(&celsius(text)), expected, "{text}");
    }
    assert_eq!(band(&minute(&counts(1280 + 102), "0.4016243")), Some(1));
    assert_eq!(band(&minute(&counts(1280 + 103), "0.4016243")), Some(2));
}

#[test]
fn band_edges_and_least_limits_are_rounded_up() {
    // an edge of 5.001 °C is 1280.256 counts: 1281
    let edge = |resin: &mut RefResin| resin.bands[2].from = celsius("5.001");
    assert_eq!(band(&minute_under(edge, &counts(1280), "0")), Some(1));
    assert_eq!(band(&minute_under(edge, &counts(1281), "0")), Some(2));
    let least = |resin: &mut RefResin| resin.cure_least = celsius("0.001");
    assert_eq!(band(&minute_under(least, &counts(0), "0")), None);
    assert_eq!(band(&minute_under(least, &counts(1), "0")), Some(1));
    // a greatest limit is rounded down: 39.999 is 10239.7 counts
    let greatest = |resin: &mut RefResin| resin.cure_greatest = celsius("39.999");
    assert_eq!(band(&minute_under(greatest, &counts(10_238), "0")), Some(5));
    assert_eq!(band(&minute_under(greatest, &counts(10_239), "0")), None);
}

#[test]
fn a_start_is_refused_a_count_beyond_the_installation_limits_and_not_at_them() {
    let start = |raw: i64| {
        let mut history =
            plain(vec![reading(0, &counts(raw))], settings("1", 300, 0), Hole::Dry, Rule::Coldest, (0, 0));
        history.resin.install_greatest = celsius("30");
        both(&history).reasons
    };
    assert_eq!(start(-1280 + 256 - 1), ["too-cold"]);
    assert!(start(-1280 + 256).is_empty());
    assert!(start(7680 - 256 - 1).is_empty());
    assert_eq!(start(7680 - 256), ["too-warm"]);
}

#[test]
fn a_reading_rejects_a_count_beyond_the_reject_temperatures_and_not_at_them() {
    let rejecting = |resin: &mut RefResin| {
        resin.reject_below = Some(celsius("-10"));
        resin.reject_above = Some(celsius("50"));
    };
    let reasons = |raw: i64| minute_under(rejecting, &counts(raw), "1").reasons;
    assert_eq!(reasons(-2560 + 256 - 1), ["below-reject"]);
    assert!(reasons(-2560 + 256).is_empty());
    assert!(reasons(12_800 - 256 - 1).is_empty());
    assert_eq!(reasons(12_800 - 256), ["above-reject"]);
}

#[test]
fn the_working_time_is_that_of_the_warmer_band() {
    // U = 1 °C: from 9 °C less a count on, `high` reaches 10 °C, where the resin stiffens in 20 min instead of 40
    let seated_after = |raw: i64, seconds: i64| {
        let rows = (0..=seconds / 60 + 1).map(|minute| reading(minute * 60, &counts(raw))).collect();
        let mut history = plain(rows, settings("1", 300, 0), Hole::Dry, Rule::Coldest, (0, seconds));
        for (band, minutes) in history.resin.bands.iter_mut().zip([90, 60, 40, 20, 10, 5]) {
            band.working = minutes * 60;
        }
        both(&history).reasons
    };
    assert!(seated_after(9 * 256 - 2, 2400).is_empty());
    assert_eq!(seated_after(9 * 256 - 1, 2400), ["seated-late"]);
    assert!(seated_after(9 * 256 - 1, 1200).is_empty());
    assert_eq!(seated_after(9 * 256 - 1, 1201), ["seated-late"]);
}

#[test]
fn a_larger_uncertainty_never_moves_a_reading_to_a_warmer_band() {
    let rank = |report: &Report| band(report).map_or(0, |place| place + 1);
    for raw in (-2000..10_400).step_by(97) {
        let of = |u: i64| rank(&minute(&counts(raw), &counts(u)));
        let ranks: Vec<usize> = [0, 1, 64, 256, 700, 2560].into_iter().map(of).collect();
        assert!(ranks.is_sorted_by(|colder, warmer| colder >= warmer), "{raw}: {ranks:?}");
    }
}

#[test]
fn an_in_hole_reading_is_guarded_like_any_other() {
    // probe at 8 °C, bottom of the hole at 5.5 °C, U = 0.5: 5.0 °C, still its own band; a count lower is the band below
    let with_in_hole = |in_hole: BigRational| {
        let rows = vec![reading(0, "8"), reading(60, "8")];
        let mut history = plain(rows, settings("0.5", 300, 0), Hole::Dry, Rule::Coldest, (0, 0));
        history.acts[0] = Act::Inject { at: 0, in_hole: Some(in_hole), cartridge: None, use_by_end: None };
        band(&both(&history))
    };
    assert_eq!(with_in_hole(celsius("5.5")), Some(2));
    assert_eq!(with_in_hole(celsius("5.499")), Some(1));
}
