//! Logs of released versions stay readable, and their releases provable.

use crate::folder::{program, repository};
use serde_json::Value;
use std::path::PathBuf;

fn golden(name: &str) -> PathBuf {
    repository().join("tests/golden").join(name)
}

#[test]
fn the_log_of_version_one_reads_as_it_did() {
    let output = program().arg("read").arg(golden("log-v1.bin")).arg("--json").output();
    let found: Value = serde_json::from_slice(&output.unwrap().stdout).unwrap();
    let expected: Value = serde_json::from_slice(&std::fs::read(golden("log-v1.json")).unwrap()).unwrap();
    for (key, value) in expected.as_object().unwrap() {
        assert_eq!(&found[key], value, "{key}");
    }
}

#[test]
fn the_release_in_the_log_of_version_one_is_proved() {
    let mut command = program();
    command.arg("prove").arg(golden("log-v1.bin")).arg("--keys").arg(golden("log-v1.public.key")).arg("--json");
    let output = command.output().unwrap();
    assert_eq!(output.status.code(), Some(4), "three of the four fixings were not released");
    let proofs: Value = serde_json::from_slice(&output.stdout).unwrap();
    let proved: Vec<bool> =
        proofs["fixings"].as_array().unwrap().iter().map(|proof| proof["proved"].as_bool().unwrap()).collect();
    assert_eq!(proved, [true, false, false, false]);
}
