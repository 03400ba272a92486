//! The engine and the slow reference after every step of a history, not only at its end.
//!
//! The reference knows no steps: it is run anew on each beginning of the history. That is slow, so fewer histories go
//! through it than through the comparison at the end.
#![allow(clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use holdoff_tests::engine;
use holdoff_tests::random::{histories, numbers};
use holdoff_tests::reference::{History, Step, order, random_deed, random_history, run};

/// A history, every other one with what hands do.
fn any(seed: u64) -> History {
    if seed % 2 == 0 { random_history(&mut numbers(seed)) } else { random_deed(&mut numbers(seed)) }
}

/// The history as far as its first `steps` steps.
fn beginning(history: &History, steps: &[Step]) -> History {
    let rows = steps.iter().filter_map(|step| match step {
        Step::Row(row) => Some(history.rows[*row].clone()),
        Step::Act(_) | Step::Neighbour(_) => None,
    });
    let acts = steps.iter().filter_map(|step| match step {
        Step::Row(_) | Step::Neighbour(_) => None,
        Step::Act(act) => Some(history.acts[*act].clone()),
    });
    let neighbour = steps.iter().filter_map(|step| match step {
        Step::Row(_) | Step::Act(_) => None,
        Step::Neighbour(act) => Some(history.neighbour[*act].clone()),
    });
    let (rows, acts, neighbour) = (rows.collect(), acts.collect(), neighbour.collect());
    History { rows, acts, neighbour, ..history.clone() }
}

#[test]
fn engine_and_reference_agree_after_every_step() {
    let start = 9 << 40;
    for seed in start..start + histories(100_000) / 40 {
        let history = any(seed);
        let steps = order(&history);
        let (mut group, fixing) = engine::group(&history);
        for (number, what) in engine::happenings(&history, fixing).into_iter().enumerate() {
            let _ = group.step(what, &mut |_| {}); // what it refuses is in the report
            let so_far = beginning(&history, &steps[..=number]);
            let status = group.status(fixing).expect("it was added");
            let found = engine::report(&history, &status, group.readings());
            assert_eq!(found, run(&so_far), "seed {seed}, step {number}: {what:?} {so_far:#?}");
        }
    }
}

#[test]
fn a_beginning_takes_its_steps_in_the_order_of_the_whole() {
    for seed in 0..200 {
        let history = any(seed);
        let (_, fixing) = engine::group(&history);
        let whole = engine::happenings(&history, fixing);
        let steps = order(&history);
        for number in 0..steps.len() {
            let so_far = beginning(&history, &steps[..=number]);
            assert_eq!(engine::happenings(&so_far, fixing), whole[..=number], "seed {seed}, step {number}");
        }
    }
}
