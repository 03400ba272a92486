//! Instructions a reading costs in the step, counted under valgrind: the same on a busy machine as on a quiet one.
//!
//! `cargo bench -p holdoff-tests --bench engine_instructions` needs valgrind and the runner of the same version as the
//! library (`cargo install gungraun-runner --version 0.20.0`). Setting up is not counted; divide by 196 608 readings.
#![allow(clippy::expect_used, reason = "a benchmark that cannot set up must stop")]
#![allow(missing_docs, reason = "the macros make items of their own")]

mod engine_series;

use engine_series::{Row, Series, curing, plain_sum, step_through};
use gungraun::{library_benchmark, library_benchmark_group, main};
use holdoff_core::cure::Rule;
use holdoff_core::group::Group;
use std::hint::black_box;

fn with(series: Series, fixings: usize, rule: Rule) -> (Group, Vec<Row>) {
    (curing(fixings, rule), series.rows())
}

#[library_benchmark(setup = with)]
#[bench::smooth_1(Series::Smooth, 1, Rule::Coldest)]
#[bench::smooth_16(Series::Smooth, 16, Rule::Coldest)]
#[bench::recorded_1(Series::Recorded, 1, Rule::Coldest)]
#[bench::within_bands_1(Series::WithinBands, 1, Rule::Coldest)]
#[bench::across_limits_1(Series::AcrossLimits, 1, Rule::Coldest)]
#[bench::across_limits_16(Series::AcrossLimits, 16, Rule::Coldest)]
#[bench::with_refusals_1(Series::WithRefusals, 1, Rule::Coldest)]
#[bench::with_refusals_16(Series::WithRefusals, 16, Rule::Coldest)]
#[bench::with_refusals_16_accrual(Series::WithRefusals, 16, Rule::Accrual)]
fn step((mut group, rows): (Group, Vec<Row>)) -> (Group, u64) {
    let cures = black_box(step_through(&mut group, black_box(&rows)));
    (group, cures)
}

fn counts(series: Series) -> Vec<i16> {
    series.rows().into_iter().map(|(_, count)| count.raw()).collect()
}

#[library_benchmark(setup = counts)]
#[bench::smooth(Series::Smooth)]
fn sum(counts: Vec<i16>) -> (Vec<i16>, i64) {
    let sum = black_box(plain_sum(black_box(&counts)));
    (counts, sum)
}

library_benchmark_group!(name = engine; benchmarks = step, sum);
main!(library_benchmark_groups = engine);
