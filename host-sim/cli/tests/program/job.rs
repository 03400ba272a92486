//! `holdoff job` as its users run it.

use crate::folder::{Folder, JOB, holdoff};

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The demo's files in a folder of their own, the job changed.
fn changed(folder: &Folder, from: &str, to: &str) -> String {
    folder.demo("harbour-slow.toml");
    let job = std::fs::read_to_string(JOB).unwrap();
    assert!(job.contains(from), "{from}");
    folder.file("job.toml", job.replacen(from, to, 1))
}

#[test]
fn the_demo_job_is_checked_and_says_what_it_understood() {
    let output = holdoff(&["job", "check", JOB]);
    assert_eq!((output.status.code(), text(&output.stderr).as_str()), (Some(0), ""));
    let shown = text(&output.stdout);
    for words in [
        "bollard 3: 4 x threaded stud M16",
        "torque 40 N·m ± 2 N·m",
        "drilled up, under SUSTAINED TENSION",
        "certified installer: A. Invented; inspector: B. Invented",
        "proof tests: 3 at 9 kN, held for 3 min",
        "after one failure: 6 in all; after more: 12 in all",
        "3 loggers: PH-1 to PH-8; PH-9 to PH-16; PH-17 to PH-24",
        "Never use it",
        "not a licence to load",
        "designs nothing",
    ] {
        assert!(shown.contains(words), "{words:?} in\n{shown}");
    }
}

#[test]
fn a_job_that_contradicts_itself_ends_with_three_and_prints_nothing() {
    let folder = Folder::new("contradiction");
    let file = changed(&folder, "embedment_mm = 125", "embedment_mm = 135");
    for arguments in [&["job", "check", &file][..], &["job", "take-off", &file]] {
        let output = holdoff(arguments);
        assert_eq!((output.status.code(), output.stdout.len()), (Some(3), 0));
        let error = text(&output.stderr);
        assert!(error.contains("embedment 135 mm is deeper than the hole, 130 mm") && error.contains("job.toml:32:16"));
    }
}

#[test]
fn a_job_that_looks_odd_is_used_with_a_warning() {
    let folder = Folder::new("odd");
    let file = changed(&folder, "torque_nm = 40.0", "torque_nm = 400.0");
    let output = holdoff(&["job", "check", &file]);
    assert_eq!(output.status.code(), Some(0));
    assert!(text(&output.stderr).starts_with("warning: 400 N·m would stress"), "{}", text(&output.stderr));
    assert!(text(&output.stdout).contains("One thing in the file looks odd"));
    let output = holdoff(&["job", "take-off", &file, "--json"]);
    assert_eq!(output.status.code(), Some(0));
    assert!(text(&output.stderr).starts_with("warning: "));
}

#[test]
fn the_resin_file_is_looked_for_beside_the_job() {
    let folder = Folder::new("resin");
    let file = changed(&folder, "resin = \"harbour-slow.toml\"", "resin = \"harbour-fast.toml\"");
    let output = holdoff(&["job", "check", &file]);
    assert_eq!((output.status.code(), output.stdout.len()), (Some(3), 0));
    let error = text(&output.stderr);
    assert!(error.contains("harbour-fast.toml\" can't be used") && error.contains("can't be read"), "{error}");
    for missing in ["check", "take-off"] {
        let output = holdoff(&["job", missing, "no-such-file.toml"]);
        assert_eq!((output.status.code(), output.stdout.len()), (Some(3), 0));
        assert!(text(&output.stderr).contains("the job file can't be read"));
    }
}

#[test]
fn the_canonical_form_reads_back_and_is_its_own() {
    let folder = Folder::new("canonical");
    let printed = text(&holdoff(&["job", "check", JOB, "--toml"]).stdout);
    changed(&folder, "name", "name");
    let file = folder.root().join("canonical.toml");
    std::fs::write(&file, &printed).unwrap();
    let again = holdoff(&["job", "check", &file.to_string_lossy(), "--toml"]);
    assert_eq!((again.status.code(), text(&again.stdout)), (Some(0), printed));
}

#[test]
fn the_take_off_is_a_table_or_an_object() {
    let table = holdoff(&["job", "take-off", JOB, "--spare", "10"]);
    assert_eq!((table.status.code(), text(&table.stderr).as_str()), (Some(0), ""));
    let table = text(&table.stdout);
    for words in
        ["9 x cartridge of 345 ml", "10 x nozzle", "27 x centring piece", "20 x 400 mm", "not a licence to load"]
    {
        assert!(table.contains(words), "{words:?} in\n{table}");
    }
    let object = holdoff(&["job", "take-off", JOB, "--spare", "10", "--json"]);
    let object: serde_json::Value = serde_json::from_slice(&object.stdout).unwrap();
    assert_eq!((&object["total"]["cartridges"], &object["total"]["holes"]), (&9.into(), &66.into()));
    assert_eq!((&object["groups"][3]["fill_ul"], &object["groups"][3]["working_s"]), (&83_776.into(), &1_500.into()));
}

#[test]
fn a_spare_that_is_no_percentage_is_wrong_usage() {
    for spare in ["-1", "ten", "1000.01", "2.505", "nan", ""] {
        let output = holdoff(&["job", "take-off", JOB, "--spare", spare]);
        assert_eq!((output.status.code(), output.stdout.len()), (Some(2), 0), "{spare}");
        assert!(text(&output.stderr).contains("--spare"), "{spare}");
    }
}
