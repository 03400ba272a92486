//! Readings a second through the step, on arrays in memory.
//!
//! `cargo bench -p holdoff-tests --bench engine` prints the statistics of each series and, after them, a table of
//! medians from rounds that alternate with a plain sum of the same counts: on a machine that does other things as well,
//! the ratio of the two says more than the seconds do.
#![allow(clippy::expect_used, reason = "a benchmark that cannot set up must stop")]

mod engine_series;

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use engine_series::{ROWS, Row, Series, curing, plain_sum, step_through};
use holdoff_core::cure::Rule;
use holdoff_core::group::Group;
use std::time::{Duration, Instant};

fn main() {
    divan::main();
    // a benchmark asked for by name, or a list of them, wants no table
    if std::env::args().skip(1).all(|argument| argument == "--bench") {
        table();
    }
}

#[divan::bench(args = [1, 16])]
fn smooth(bencher: Bencher, fixings: usize) {
    stepped(bencher, Series::Smooth, fixings, Rule::Coldest);
}

#[divan::bench(args = [1, 16])]
fn recorded_winter(bencher: Bencher, fixings: usize) {
    stepped(bencher, Series::Recorded, fixings, Rule::Coldest);
}

#[divan::bench(args = [1, 16])]
fn random_within_the_bands(bencher: Bencher, fixings: usize) {
    stepped(bencher, Series::WithinBands, fixings, Rule::Coldest);
}

#[divan::bench(args = [1, 16])]
fn random_across_the_limits(bencher: Bencher, fixings: usize) {
    stepped(bencher, Series::AcrossLimits, fixings, Rule::Coldest);
}

#[divan::bench(args = [1, 16])]
fn random_with_refusals(bencher: Bencher, fixings: usize) {
    stepped(bencher, Series::WithRefusals, fixings, Rule::Coldest);
}

#[divan::bench(args = [1, 16])]
fn random_with_refusals_by_accrual(bencher: Bencher, fixings: usize) {
    stepped(bencher, Series::WithRefusals, fixings, Rule::Accrual);
}

#[divan::bench]
fn plain_sum_of_the_counts(bencher: Bencher) {
    let counts = raw(&Series::Smooth.rows());
    bencher.counter(ItemsCount::new(ROWS)).bench(|| plain_sum(black_box(&counts)));
}

fn stepped(bencher: Bencher, series: Series, fixings: usize, rule: Rule) {
    let (rows, group) = (series.rows(), curing(fixings, rule));
    bencher
        .counter(ItemsCount::new(ROWS))
        .with_inputs(|| group.clone())
        .bench_refs(|group| step_through(group, black_box(&rows)));
}

fn raw(rows: &[Row]) -> Vec<i16> {
    rows.iter().map(|(_, count)| count.raw()).collect()
}

/// Rounds of the table, of which the median counts.
const ROUNDS: usize = 61;

fn table() {
    use Series::{AcrossLimits, Recorded, Smooth, WithRefusals, WithinBands};
    println!("\nmedians of {ROUNDS} rounds of {ROWS} readings, each round the engine and the plain sum in turn");
    println!(
        "{:<14} {:<8} {:>8} {:>14} {:>12} {:>12}",
        "series", "rule", "fixings", "M readings/s", "sum, M/s", "sum/engine"
    );
    for series in [Smooth, Recorded, WithinBands, AcrossLimits, WithRefusals] {
        let rows = series.rows();
        let counts = raw(&rows);
        for (fixings, rule) in [(1, Rule::Coldest), (16, Rule::Coldest), (1, Rule::Accrual), (16, Rule::Accrual)] {
            let group = curing(fixings, rule);
            let (mut engine, mut sum) = (Vec::new(), Vec::new());
            for _ in 0..ROUNDS {
                engine.push(engine_round(&group, &rows));
                sum.push(timed(|| plain_sum(black_box(&counts))));
            }
            let (engine, sum) = (rate(engine), rate(sum));
            let (series, rule) = (format!("{series:?}"), format!("{rule:?}"));
            println!("{series:<14} {rule:<8} {fixings:>8} {engine:>14.1} {sum:>12.0} {:>12.1}", sum / engine);
        }
    }
}

fn engine_round(group: &Group, rows: &[Row]) -> Duration {
    let mut group = group.clone();
    timed(|| step_through(&mut group, black_box(rows)))
}

fn timed<T>(work: impl FnOnce() -> T) -> Duration {
    let start = Instant::now();
    black_box(work());
    start.elapsed()
}

/// Millions of readings a second at the median duration.
fn rate(mut durations: Vec<Duration>) -> f64 {
    durations.sort();
    let median = durations.get(durations.len() / 2).copied().unwrap_or_default();
    ROWS as f64 / median.as_secs_f64() / 1e6
}
