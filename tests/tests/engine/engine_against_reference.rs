//! The engine against the slow reference, on random histories.

use holdoff_tests::engine;
use holdoff_tests::random::{histories, numbers};
use holdoff_tests::reference::{random_history, run};

#[test]
fn engine_and_reference_agree_on_random_histories() {
    for seed in 0..histories(100_000) {
        let history = random_history(&mut numbers(seed));
        let expected = run(&history);
        let found = engine::run(&history, |_, _, _, _| {});
        assert_eq!(found, expected, "seed {seed}: {history:#?}");
    }
}
