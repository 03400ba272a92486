//! The engine against the slow reference, on random histories.

use holdoff_tests::engine;
use holdoff_tests::random::{histories, numbers};
use holdoff_tests::reference::{History, random_deed, random_history, run};
use std::collections::BTreeMap;

#[test]
fn engine_and_reference_agree_on_random_histories() {
    for seed in 0..histories(100_000) {
        let history = random_history(&mut numbers(seed));
        let expected = run(&history);
        let found = engine::run(&history, |_, _, _, _| {});
        assert_eq!(found, expected, "seed {seed}: {history:#?}");
    }
}

#[test]
fn engine_and_reference_agree_on_what_hands_do() {
    let mut met: BTreeMap<String, u64> = BTreeMap::new();
    let start = 21 << 40;
    let all = histories(100_000);
    for seed in start..start + all {
        let history: History = random_deed(&mut numbers(seed));
        let expected = run(&history);
        let found = engine::run(&history, |_, _, _, _| {});
        assert_eq!(found, expected, "seed {seed}: {history:#?}");
        for what in expected.reasons.into_iter().chain([expected.stage]) {
            *met.entry(what).or_default() += 1;
        }
        *met.entry(format!("cleaned {} even {}", expected.cleaned, expected.even)).or_default() += 1;
    }
    for what in ["not-cleaned", "nozzle", "underfilled", "not-to-depth", "cleaned true even true", "cured", "released"]
    {
        assert!(met.get(what).is_some_and(|times| times * 100 > all), "{what} hardly came up: {met:?}");
    }
}
