//! The program as its users run it: exit status, standard output, standard error.

use crate::folder::{DAY, Folder, PROGRAM, RESIN, demo, holdoff, program};
use std::io::Write;
use std::process::{Command, Output, Stdio};

const HEADER: &str = "time,temperature_c\n";

/// A replay of `trace` with the usual times, and more options.
fn replay(trace: &str, more: &[&str]) -> Output {
    let mut arguments = vec!["replay", trace, "--resin", RESIN, "--hole", "dry"];
    if !more.contains(&"--inject") {
        arguments.extend(["--inject", "2026-01-05T08:10:00Z", "--seat", "2026-01-05T08:12:00Z"]);
    }
    arguments.extend(more);
    holdoff(&arguments)
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A steady trace, a row a minute from 08:00.
fn steady(minutes: u32, celsius: &str) -> String {
    let mut rows = HEADER.to_owned();
    for minute in 0..minutes {
        let (day, hour) = (5 + (8 * 60 + minute) / 1440, (8 * 60 + minute) / 60 % 24);
        rows.push_str(&format!("2026-01-{day:02}T{hour:02}:{:02}:00Z,{celsius}\n", minute % 60));
    }
    rows
}

fn json(output: &Output) -> serde_json::Value {
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

#[track_caller]
fn unusable(output: &Output, words: &[&str]) {
    let err = text(&output.stderr);
    assert_eq!(output.status.code(), Some(3), "{err}");
    assert!(output.stdout.is_empty(), "standard output of an unusable file: {}", text(&output.stdout));
    assert!(err.starts_with("error: ") || err.contains("\nerror: "), "{err}");
    for word in words {
        assert!(err.contains(word), "{word:?} is not in: {err}");
    }
    assert!(!err.contains("panicked"), "{err}");
}

#[track_caller]
fn wrong_usage(output: &Output, words: &[&str]) {
    let err = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{err}");
    assert!(output.stdout.is_empty());
    for word in words {
        assert!(err.contains(word), "{word:?} is not in: {err}");
    }
}

#[test]
fn the_demo_tells_and_draws_the_main_job() {
    let folder = Folder::new("demo");
    let plot = folder.root().join("demo.svg");
    let output = holdoff(&["demo", "--plot", plot.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let out = text(&output.stdout);
    for word in ["RELEASED", "LEAVE ALONE", "Do not load", "Never use it", "not a licence to load"] {
        assert!(out.contains(word), "{word:?} is not in: {out}");
    }
    let svg = std::fs::read_to_string(plot).unwrap();
    assert!(svg.starts_with("<svg") && svg.ends_with("</svg>\n") && svg.contains("DEMO RESIN"));
}

#[test]
fn an_account_says_what_may_be_done_and_json_the_same_for_scripts() {
    let folder = Folder::new("account");
    let trace = folder.file("steady.csv", steady(2000, "12.5"));
    let out = text(&replay(&trace, &[]).stdout);
    assert!(out.starts_with("CURED\nCured since 2026-01-05 "), "{out}");
    assert!(out.contains("not a licence to load") && out.contains("temperature undeclared"), "{out}");
    let object = json(&replay(&trace, &["--json"]));
    assert_eq!(object["stage"], "cured");
    assert_eq!(object["reasons"], serde_json::json!([]));
    assert_eq!(object["coldest_c"], 11.5);
    assert_eq!(object["readings"], serde_json::json!({"accepted": 2000, "refused": 0, "missing": 0}));
    assert_eq!(object["cured_at"], object["announced_at"]);
    assert!(object["caution"].as_str().unwrap().contains("Never use it"));
}

#[test]
fn an_account_speaks_the_language_and_the_units_asked_for_and_json_none_of_them() {
    let folder = Folder::new("speech");
    let trace = folder.file("steady.csv", steady(2000, "12.5"));
    let plain = text(&replay(&trace, &["--json"]).stdout);
    let spoken = ["--language", "de", "--unit", "fahrenheit", "--torque-unit", "ftlb"];
    assert_eq!(text(&replay(&trace, &[&spoken[..], &["--json"]].concat()).stdout), plain);
    let german = text(&replay(&trace, &spoken).stdout);
    for word in ["AUSGEHÄRTET\n", "52,70 °F", "keine Erlaubnis zu belasten", "DEMO-MÖRTEL", "1,80 °F"] {
        assert!(german.contains(word), "{word:?} is not in: {german}");
    }
    let mut french = program();
    let french =
        french.args(["demo", "--plot"]).arg(folder.root().join("demo.svg")).env("HOLDOFF_LANGUAGE", "fr").output();
    let french = text(&french.unwrap().stdout);
    for word in ["BON POUR MISE EN CHARGE", "REJETÉ, À DÉPOSER", "pas une autorisation de charger", "-0,70 °C"] {
        assert!(french.contains(word), "{word:?} is not in: {french}");
    }
    assert!(!french.contains('{') && !german.contains('{'), "an unfilled gap");
    wrong_usage(&replay(&trace, &["--language", "latin"]), &["latin"]);
}

#[test]
fn a_setting_laxer_than_its_default_is_named() {
    let folder = Folder::new("laxer");
    let trace = folder.file("steady.csv", steady(200, "12.5"));
    let lax = ["--uncertainty", "0.5", "--longest-gap", "15min", "--clock-ppm", "0"];
    let object = json(&replay(&trace, &[&lax[..], &["--json"]].concat()));
    assert_eq!(object["laxer"], serde_json::json!(["uncertainty", "longest-gap", "clock-ppm"]));
    assert!(text(&replay(&trace, &lax).stdout).contains("LAXER THAN THE DEFAULT: uncertainty, longest-gap, clock-ppm"));
}

#[test]
fn the_trace_is_taken_from_standard_input_and_other_columns_and_units() {
    let mut rows = "when;x".replace(';', ",") + ",note,degrees\r\n";
    for minute in 0..50 {
        rows.push_str(&format!("\"2026-01-05T08:{minute:02}:00.7Z\",1,\"a, \"\"b\"\"\",54.5\r\n"));
    }
    let mut child = program()
        .args(["replay", "-", "--resin", RESIN, "--hole", "wet", "--inject", "2026-01-05T08:10:00Z"])
        .args(["--time-column", "when", "--temperature-column", "degrees", "--fahrenheit", "--json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(format!("\u{feff}{rows}").as_bytes()).unwrap();
    let object = json(&child.wait_with_output().unwrap());
    assert_eq!(object["readings"]["accepted"], 50);
    assert!(object["coldest_c"].is_null() && object["seated_at"].is_null());
}

#[test]
fn traces_that_cannot_be_used_end_with_three_and_say_where_and_what_to_do() {
    let folder = Folder::new("bad-traces");
    let row = "2026-01-05T08:00:00Z,5.0\n";
    let long = format!("{HEADER}{row}2026-01-05T08:01:00Z,{}\n", "1".repeat(10 * 1024 * 1024));
    let unclosed = format!("{HEADER}{row}\"2026-01-05T08:01:00Z,5.0\n{}", row.repeat(100_000));
    let rubbish: Vec<u8> = (0..5000u32).map(|number| (number.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
    let cases: [(&str, Vec<u8>, &[&str]); 18] = [
        ("empty", Vec::new(), &["empty"]),
        ("header only", HEADER.into(), &["no rows"]),
        ("missing column", format!("time,celsius\n{row}").into(), &[":1:", "temperature_c", "--temperature-column"]),
        ("semicolons", "time;temperature_c\n2026-01-05T08:00:00Z;5.0\n".into(), &[":1:"]),
        ("no offset", format!("{HEADER}2026-01-05T08:00:00,5.0\n").into(), &[":2:1:", "+01:00"]),
        ("no such day", format!("{HEADER}{row}2026-02-30T08:00:00Z,5.0\n").into(), &[":3:1:"]),
        ("hour 24", format!("{HEADER}2026-01-05T24:00:00Z,5.0\n").into(), &[":2:1:"]),
        ("a word for a number", format!("{HEADER}{row}2026-01-05T08:01:00Z,warm\n").into(), &[":3:22:", "warm"]),
        ("nan", format!("{HEADER}2026-01-05T08:00:00Z,nan\n").into(), &[":2:22:"]),
        ("inf", format!("{HEADER}2026-01-05T08:00:00Z,-inf\n").into(), &[":2:22:"]),
        ("decimal comma", format!("{HEADER}2026-01-05T08:00:00Z,\"5,0\"\n").into(), &[":2:"]),
        ("ragged row", format!("{HEADER}{row}2026-01-05T08:01:00Z\n").into(), &[":3:"]),
        ("a long line", long.into(), &[":3:"]),
        ("a quote that never ends", unclosed.into(), &[":3:"]),
        ("NUL bytes", format!("{HEADER}2026-01-05T08:00:00Z,5.0\0\n").into(), &[":2:"]),
        ("binary rubbish", rubbish, &[]),
        ("no text", [HEADER.as_bytes(), b"2026-01-05T08:00:00Z,\xff\xfe\n"].concat(), &[":2:"]),
        ("ends before the seating", steady(12, "5.0").into(), &["seating", "2026-01-05T08:12:00Z"]),
    ];
    for (name, bytes, words) in cases {
        let trace = folder.file("bad.csv", bytes);
        let output = replay(&trace, &["--json"]);
        let mut all = vec![trace.as_str()];
        all.extend(words);
        println!("{name}");
        unusable(&output, &all);
    }
    unusable(&replay("no/such/trace.csv", &[]), &["no/such/trace.csv", "opened"]);
}

#[test]
fn wrong_usage_ends_with_two() {
    let folder = Folder::new("usage");
    let trace = folder.file("steady.csv", steady(60, "12.5"));
    let seated_first = ["--inject", "2026-01-05T08:10:00Z", "--seat", "2026-01-05T08:09:00Z"];
    wrong_usage(&replay(&trace, &seated_first), &["--seat lies before --inject"]);
    wrong_usage(&replay(&trace, &["--uncertainty", "10.1"]), &["0 to 10"]);
    wrong_usage(&replay(&trace, &["--uncertainty", "-0.1"]), &["0 to 10"]);
    wrong_usage(&replay(&trace, &["--uncertainty", "one"]), &["--uncertainty"]);
    wrong_usage(&replay(&trace, &["--longest-gap", "0s"]), &["1 s to 1 h"]);
    wrong_usage(&replay(&trace, &["--longest-gap", "1h 1s"]), &["1 s to 1 h"]);
    wrong_usage(&replay(&trace, &["--longest-gap", "5"]), &["--longest-gap"]);
    wrong_usage(&replay(&trace, &["--clock-ppm", "10001"]), &["0 to 10000"]);
    wrong_usage(&replay(&trace, &["--in-hole", "126"]), &["range"]);
    wrong_usage(&replay(&trace, &["--use-by", "2026-13-01"]), &["--use-by"]);
    wrong_usage(&replay(&trace, &["--inject", "2026-01-05T08:10:00"]), &["--inject"]);
    wrong_usage(&replay(&trace, &["--rule", "warmest"]), &["warmest"]);
    wrong_usage(&holdoff(&["replay", &trace]), &["--resin"]);
    wrong_usage(&holdoff(&["torque"]), &["torque"]);
    let strict = std::fs::read_to_string(RESIN).unwrap().replace("permitted = true", "permitted = false");
    let strict = folder.file("strict.toml", strict);
    let accrual = ["replay", &trace, "--resin", &strict, "--hole", "dry", "--inject", "2026-01-05T08:10:00Z"];
    wrong_usage(&holdoff(&[&accrual[..], &["--rule", "accrual"]].concat()), &["accrual"]);
}

#[test]
fn refused_readings_are_counted_and_told_with_their_cause() {
    let folder = Folder::new("refused");
    let mut rows = steady(30, "12.5");
    rows.push_str("2026-01-05T08:30:00Z,60.0\n2026-01-05T08:31:00Z,12.5\n2026-01-05T08:20:00Z,12.5\n");
    rows.push_str("2026-01-05T08:32:00Z,200\n2026-01-05T08:33:00Z,\n2026-01-05T08:34:00Z,12.5\n");
    let trace = folder.file("mixed.csv", rows);
    let object = json(&replay(&trace, &["--json"]));
    assert_eq!(object["readings"], serde_json::json!({"accepted": 32, "refused": 3, "missing": 1}));
    assert_eq!(object["unobserved_s"], 300);
    let out = text(&replay(&trace, &[]).stdout);
    for word in ["1 refused: not later", "1 refused: outside the sensor's range", "1 refused: too far", "unobserved"] {
        assert!(out.contains(word), "{word:?} is not in: {out}");
    }
}

#[test]
fn a_refused_start_stays_refused_with_every_reason() {
    let folder = Folder::new("start");
    let trace = folder.file("cold.csv", steady(60, "-30"));
    let object = json(&replay(&trace, &["--json", "--cartridge", "99", "--use-by", "2026-01-04"]));
    assert_eq!(object["stage"], "refused");
    assert_eq!(object["reasons"], serde_json::json!(["past-date", "too-cold", "cartridge"]));
    assert!(object["coldest_c"].is_null() && object["cured_at"].is_null() && object["announced_at"].is_null());
    assert_eq!((&object["required_s"], &object["elapsed_s"]), (&0.into(), &0.into()));
    let out = text(&replay(&trace, &["--cartridge", "99"]).stdout);
    assert!(out.starts_with("DO NOT INJECT\n"), "{out}");
}

#[test]
fn a_scenario_replays_a_whole_group_with_one_object_a_fixing() {
    let quay = &demo("quay.toml");
    let output = holdoff(&["replay", "--scenario", quay, "--json"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let out = text(&output.stdout);
    let objects: Vec<serde_json::Value> = out.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(objects.len(), 4);
    assert_eq!(objects[0]["stage"], "released");
    assert_eq!(objects[2]["reasons"], serde_json::json!(["loaded-early"]));
    assert_eq!(objects[2]["decision"], "remove");
}

#[test]
fn memory_does_not_grow_with_the_trace() {
    // a trace far longer than the memory allowed: two million rows on standard input, the program held to 64 MiB
    let mut child = Command::new("sh")
        .arg("-c")
        .arg("ulimit -v 65536; exec \"$@\"")
        .arg("sh")
        .arg(PROGRAM)
        .args(["replay", "-", "--resin", RESIN, "--hole", "dry", "--inject", "2026-01-05T08:10:00Z", "--json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = std::io::BufWriter::new(child.stdin.take().unwrap());
    input.write_all(HEADER.as_bytes()).unwrap();
    for second in 0..2_000_000u32 {
        let (day, hour) = (5 + second / 86_400, second / 3600 % 24);
        let (minute, second) = (second / 60 % 60, second % 60);
        writeln!(input, "2026-01-{day:02}T{hour:02}:{minute:02}:{second:02}Z,12.5").unwrap();
    }
    drop(input);
    let object = json(&child.wait_with_output().unwrap());
    assert_eq!(object["readings"]["accepted"], 2_000_000);
    assert_eq!(object["reasons"], serde_json::json!(["not-seated"]));
}

#[test]
fn the_winter_day_is_reproduced_to_the_second() {
    let trace = DAY;
    let times = ["--inject", "2022-01-03T10:20:00-07:00", "--seat", "2022-01-03T10:25:00-07:00", "--json"];
    let object = json(&replay(trace, &times));
    assert_eq!(object["stage"], "cured");
    assert!(object["cured_at"].as_str().unwrap().ends_with("-07:00"));
    let seconds = |key: &str| object[key].as_u64().unwrap();
    assert_eq!(seconds("elapsed_s"), seconds("counted_s") + seconds("held_s") + seconds("unobserved_s"));
}
