//! The fuzz targets on their corpus, and on random changes of it: no panic, no overflow, nothing that must not hold.

use holdoff_tests::fuzz;
use holdoff_tests::random::{histories, numbers};
use std::path::Path;

fn corpus(target: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(target);
    let mut files: Vec<_> =
        std::fs::read_dir(folder).expect("a corpus").map(|entry| entry.expect("an entry").path()).collect();
    files.sort();
    assert!(!files.is_empty(), "the corpus of {target} is empty");
    files.iter().map(|file| std::fs::read(file).expect("a corpus file")).collect()
}

/// Every corpus file, then changed ones: bytes flipped, cut out, doubled, spliced with another file.
fn smoke(target: &str, run: fn(&[u8]), times: u64) {
    let seeds = corpus(target);
    seeds.iter().for_each(|seed| run(seed));
    let mut number = numbers(0x5EED);
    for _ in 0..histories(times) {
        let mut bytes = seeds[number() as usize % seeds.len()].clone();
        for _ in 0..=number() % 4 {
            if bytes.is_empty() {
                break;
            }
            let at = number() as usize % bytes.len();
            let length = (number() as usize % 40).min(bytes.len() - at);
            match number() % 6 {
                0 => bytes[at] ^= 1 << (number() % 8),
                1 => bytes[at] = number() as u8,
                2 => drop(bytes.drain(at..at + length)),
                3 => bytes.extend_from_within(at..at + length),
                4 => bytes.truncate(at),
                _ => {
                    let other = &seeds[number() as usize % seeds.len()];
                    let from = number() as usize % other.len().max(1);
                    bytes.truncate(at);
                    bytes.extend(other.iter().skip(from));
                }
            }
        }
        run(&bytes);
    }
}

#[test]
fn a_memory_of_any_bytes_is_mounted_or_refused() {
    smoke("mount", fuzz::mount, 3_000);
}

#[test]
fn a_page_of_any_bytes_is_read_or_refused() {
    smoke("page", fuzz::page, 20_000);
}

#[test]
fn a_release_code_of_any_bytes_is_read_or_refused() {
    smoke("code", fuzz::code, 50_000);
}

#[test]
fn a_resin_file_of_any_text_is_taken_or_refused() {
    smoke("resin", fuzz::resin, 20_000);
}

#[test]
fn a_job_file_of_any_text_is_taken_or_refused() {
    smoke("job", fuzz::job, 20_000);
}

#[test]
fn a_scenario_of_any_text_is_taken_or_refused() {
    smoke("scenario", fuzz::scenario, 20_000);
}

#[test]
fn a_calibration_of_any_text_is_taken_or_refused() {
    smoke("calibration", fuzz::calibration, 20_000);
}

#[test]
fn a_decision_of_any_text_is_taken_or_refused() {
    smoke("decision", fuzz::decision, 20_000);
}

#[test]
fn a_trace_of_any_bytes_is_read_or_refused() {
    smoke("trace", fuzz::trace, 20_000);
}

#[test]
fn any_bytes_on_the_link_are_answered_or_let_be() {
    smoke("link", fuzz::link, 2_000);
}
