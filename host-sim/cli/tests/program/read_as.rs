//! How a trace is read: its columns, their unit, its offsets, and how far apart its readings lie.

use crate::folder::{DAY, Folder, JOB, RESIN, holdoff};
use serde_json::{Value, json};
use std::process::Output;

const INJECT: &str = "2026-01-05T08:10:00Z";

fn replay(trace: &str, more: &[&str]) -> Output {
    let usual = ["replay", trace, "--resin", RESIN, "--hole", "dry"];
    let times = ["--inject", INJECT, "--seat", "2026-01-05T08:12:00Z"];
    let times = if more.contains(&"--inject") { &[][..] } else { &times[..] };
    holdoff(&[&usual[..], times, more].concat())
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[track_caller]
fn out(output: &Output) -> String {
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    text(&output.stdout)
}

#[track_caller]
fn object(output: &Output) -> Value {
    serde_json::from_str(&out(output)).unwrap()
}

#[track_caller]
fn refused(output: &Output, words: &[&str]) {
    let err = text(&output.stderr);
    assert_eq!(output.status.code(), Some(3), "{err}");
    assert!(output.stdout.is_empty());
    assert!(words.iter().all(|word| err.contains(word)), "{err}");
}

/// Rows from 2026-01-05T08:00:00Z on, so many seconds apart, in an offset.
fn rows(column: &str, seconds: i64, number: i64, value: &str, offset_seconds: i32) -> String {
    let mut text = format!("time,{column}\n");
    for row in 0..number {
        let at = holdoff_files::stamp::format_seconds(1_767_600_000 + row * seconds, offset_seconds);
        text.push_str(&format!("{at},{value}\n"));
    }
    text
}

#[test]
fn a_column_that_names_fahrenheit_is_read_so_without_an_option() {
    let folder = Folder::new("fahrenheit");
    // -2 °C; read as °C it would be a warm day, and cured before the trace ends
    let trace = folder.file("cold.csv", rows("\"Temp, °F\"", 60, 2880, "28.4", 0));
    let column = ["--temperature-column", "Temp, °F"];
    let found = object(&replay(&trace, &[&column[..], &["--json"]].concat()));
    // -2 °C, and the uncertainty taken off; as 28.4 °C it would be cured within hours
    assert_eq!(found["coldest_c"], -3.0, "{found}");
    assert_eq!(found["required_s"], 86_400);
    let read = json!({"time_column": "time", "temperature_column": "Temp, °F", "unit": "fahrenheit", "unit_by": "name",
        "offset": "+00:00", "other_offsets": []});
    assert_eq!(found["trace"], read);
    let account = out(&replay(&trace, &column));
    assert!(
        account.contains(
            "read as degrees Fahrenheit (as the column's name says) from column \"Temp, °F\"; times from column \"time\", UTC\n"
        ),
        "{account}"
    );
}

#[test]
fn an_option_or_a_scenario_that_contradicts_the_name_is_refused_with_both_named() {
    let folder = Folder::new("contradicted");
    let trace = folder.file("cold.csv", rows("\"Temp, °F\"", 60, 200, "28.4", 0));
    let column = ["--temperature-column", "Temp, °F"];
    let both = ["cold.csv:1: ", "\"Temp, °F\" is in °F by its name, and °C is asked for"];
    refused(&replay(&trace, &[&column[..], &["--celsius"]].concat()), &both);
    refused(&holdoff(&[&["depth", &trace, "--depth", "100", "--celsius"], &column[..]].concat()), &both);
    refused(&holdoff(&[&["plan", JOB, "--forecast", &trace, "--celsius"], &column[..]].concat()), &both);
    let plain = folder.file("plain.csv", rows("temperature_c", 60, 200, "28.4", 0));
    let other = ["plain.csv:1: ", "\"temperature_c\" is in °C by its name, and °F is asked for"];
    refused(&replay(&plain, &["--fahrenheit"]), &other);
    let scenario = |unit: &str, column: &str| {
        let head = format!("trace = \"cold.csv\"\nresin = {RESIN:?}\ntemperature_column = {column:?}\n{unit}\n");
        let act =
            format!("[[fixing]]\nname = \"A1\"\nhole = \"dry\"\n[[fixing.action]]\nat = {INJECT}\ninject = {{}}\n");
        folder.file("scenario.toml", &(head + &act))
    };
    let of = |unit: &str| holdoff(&["replay", "--scenario", &scenario(unit, "Temp, °F"), "--json"]);
    refused(&of("unit = \"celsius\""), &both);
    assert_eq!(object(&of(""))["trace"]["unit"], "fahrenheit");
    assert_eq!(object(&of("unit = \"fahrenheit\""))["trace"]["unit_by"], "name");
    folder.file("cold.csv", rows("t", 60, 200, "28.4", 0));
    let of = |unit: &str| holdoff(&["replay", "--scenario", &scenario(unit, "t"), "--json"]);
    assert_eq!(object(&of("unit = \"fahrenheit\""))["trace"]["unit_by"], "asked");
    assert_eq!(object(&of(""))["trace"]["unit_by"], "default");
}

#[test]
fn kelvin_and_a_name_that_may_mean_a_unit_are_refused_with_what_to_do() {
    let folder = Folder::new("kelvin");
    let kelvin = folder.file("kelvin.csv", rows("T [K]", 60, 200, "280", 0));
    refused(&replay(&kelvin, &["--temperature-column", "T [K]"]), &["kelvin", "°C or °F"]);
    let sensor = folder.file("sensor.csv", rows("Sensor F", 60, 200, "8", 0));
    let column = ["--temperature-column", "Sensor F"];
    refused(&replay(&sensor, &column), &["\"Sensor F\" may be in °F", "--celsius"]);
    let found = object(&replay(&sensor, &[&column[..], &["--celsius", "--json"]].concat()));
    assert_eq!((&found["trace"]["unit"], &found["trace"]["unit_by"]), (&json!("celsius"), &json!("asked")));
}

#[test]
fn every_account_says_column_unit_and_offset() {
    let folder = Folder::new("everywhere");
    let mut summer = rows("t_c", 60, 2880, "8", 3600);
    summer.push_str(
        &rows("t_c", 60, 3000, "8", 7200).lines().skip(2881).map(|row| format!("{row}\n")).collect::<String>(),
    );
    let trace = folder.file("summer.csv", &summer);
    let column = ["--temperature-column", "t_c"];
    let said = "read as degrees Celsius (as the column's name says) from column \"t_c\"; times from column \"time\", \
                UTC+01:00 at first, then also UTC+02:00\n";
    let read = json!({"time_column": "time", "temperature_column": "t_c", "unit": "celsius", "unit_by": "name",
        "offset": "+01:00", "other_offsets": ["+02:00"]});
    let replay: &[&str] =
        &["replay", &trace, "--resin", RESIN, "--hole", "dry", "--inject", "2026-01-05T09:10:00+01:00"];
    let depth: &[&str] = &["depth", &trace, "--depth", "100"];
    let plan: &[&str] = &["plan", JOB, "--forecast", &trace, "--from", "2026-01-05T10:00:00+01:00", "--every", "1h"];
    for command in [replay, depth, plan] {
        let spoken = [command, &column].concat();
        let account = out(&holdoff(&spoken));
        assert!(account.contains(said), "{account}");
        assert_eq!(object(&holdoff(&[&spoken[..], &["--json"]].concat()))["trace"], read, "{command:?}");
    }
    let plot = folder.root().join("demo.svg");
    let demo = ["demo", "--plot", plot.to_str().unwrap()];
    assert!(out(&holdoff(&demo)).contains("from column \"temperature_c\"; times from column \"time\", UTC-07:00\n"));
    let first = out(&holdoff(&[&demo[..], &["--json"]].concat()));
    let first: Value = serde_json::from_str(first.lines().next().unwrap()).unwrap();
    assert_eq!((&first["trace"]["unit"], &first["trace"]["offset"]), (&json!("celsius"), &json!("-07:00")));
}

#[test]
fn an_offset_that_differs_from_the_traces_is_warned_of_with_both_read_out() {
    let folder = Folder::new("offsets");
    let trace = folder.file("winter.csv", rows("temperature_c", 60, 200, "8", 3600));
    let inject = ["--inject", INJECT];
    let output = replay(&trace, &inject);
    let err = text(&output.stderr);
    let told = ["warning: ", "injection at 2026-01-05T08:10:00Z", "(UTC+01:00)", "2026-01-05T09:10:00+01:00"];
    assert!(told.iter().all(|word| err.contains(word)), "{err}");
    let account = out(&output);
    assert!(
        account.starts_with("injection at 2026-01-05 08:10:00 (UTC) is not in the offset of the trace"),
        "{account}"
    );
    let found = object(&replay(&trace, &[&inject[..], &["--json"]].concat()));
    let listed = json!([{"action": "injection", "at": INJECT, "in_trace": "2026-01-05T09:10:00+01:00"}]);
    assert_eq!(found["in_other_offset"], listed);
    // the trace's own digits and offset: nothing is warned of
    let output = replay(&trace, &["--inject", "2026-01-05T09:10:00+01:00"]);
    assert_eq!(text(&output.stderr), "");
    assert!(!out(&output).contains("offset of the trace"));
    // an action beyond the trace may be so by its offset
    let beyond = replay(&trace, &["--inject", "2026-01-05T09:10:00-07:00"]);
    refused(&beyond, &["warning: ", "2026-01-05T17:10:00+01:00", "the trace ends"]);
    let depth = ["depth", &trace, "--depth", "100", "--resin", RESIN, "--hole", "dry", "--inject", INJECT];
    assert!(text(&holdoff(&depth).stderr).contains("2026-01-05T09:10:00+01:00"));
    let plan = |from: &str| holdoff(&["plan", JOB, "--forecast", &trace, "--every", "1h", "--from", from, "--json"]);
    let output = plan("2026-01-05T09:00:00Z");
    let err = text(&output.stderr);
    assert!(err.contains("`--from` at 2026-01-05T09:00:00Z") && err.contains("2026-01-05T10:00:00+01:00"), "{err}");
    assert_eq!(object(&output)["in_other_offset"][0]["action"], "--from");
    assert_eq!(text(&plan("2026-01-05T10:00:00+01:00").stderr), "");
}

#[test]
fn a_scenario_in_another_offset_is_warned_of_once_and_each_fixing_lists_its_own() {
    let folder = Folder::new("group");
    folder.file("winter.csv", rows("temperature_c", 60, 200, "8", 3600));
    let mut scenario = format!("trace = \"winter.csv\"\nresin = {RESIN:?}\n");
    for number in 1..=16 {
        let act = |minute: i64, what: &str| {
            let at = holdoff_files::stamp::format_seconds(1_767_600_000 + (number + minute) * 60, 0);
            format!("[[fixing.action]]\nat = {at}\n{what}\n")
        };
        scenario += &format!("[[fixing]]\nname = \"A{number}\"\nhole = \"dry\"\n");
        scenario += &act(9, "inject = {}");
        scenario += &act(14, "seat = true");
    }
    let output = holdoff(&["replay", "--scenario", &folder.file("group.toml", &scenario), "--json"]);
    let err = text(&output.stderr);
    assert_eq!(err.matches("warning: ").count(), 1, "{err}");
    assert!(err.contains("A1: injection at 2026-01-05T08:10:00Z") && err.contains("offset: 31."), "{err}");
    let lines = out(&output);
    assert_eq!(lines.lines().count(), 16);
    for line in lines.lines() {
        let found: Value = serde_json::from_str(line).unwrap();
        assert_eq!(found["in_other_offset"].as_array().unwrap().len(), 2, "{found}");
    }
}

#[test]
fn summer_time_inside_the_trace_raises_no_alarm_for_either_of_its_offsets() {
    let folder = Folder::new("summer");
    let mut summer = rows("temperature_c", 60, 100, "8", 3600);
    let later = rows("temperature_c", 60, 200, "8", 7200);
    summer.push_str(&later.lines().skip(101).map(|row| format!("{row}\n")).collect::<String>());
    let trace = folder.file("summer.csv", &summer);
    for inject in ["2026-01-05T09:10:00+01:00", "2026-01-05T10:10:00+02:00", "2026-01-05T11:10:00+02:00"] {
        let output = replay(&trace, &["--inject", inject]);
        assert_eq!(text(&output.stderr), "", "{inject}");
        assert!(object(&replay(&trace, &["--inject", inject, "--json"]))["in_other_offset"].is_null());
    }
    let other = text(&replay(&trace, &["--inject", INJECT]).stderr);
    assert!(other.contains("(UTC+01:00 at first, then also UTC+02:00)"), "{other}");
}

#[test]
fn a_ten_minute_logger_is_told_the_cause_first_and_what_to_set() {
    let folder = Folder::new("ten-minutes");
    let trace = folder.file("ten.csv", rows("temperature_c", 600, 200, "8", 0));
    // within the working time of 8 °C, but that is not observed
    let seat = ["--inject", "2026-01-05T08:10:00Z", "--seat", "2026-01-05T08:30:00Z"];
    let output = replay(&trace, &seat);
    let err = text(&output.stderr);
    let first = err.lines().next().unwrap();
    assert!(first.starts_with("warning: ") && first.contains("MOST READINGS LIE TOO FAR APART"), "{err}");
    assert!(first.contains("of 199 intervals between two readings 199 are over the longest gap (5 min)"), "{err}");
    assert!(first.contains("`--longest-gap 10min`, which is laxer than the default"), "{err}");
    // no reading is near enough to say that the probe has settled; where it need not, the working time is not observed
    let unsettled = [&seat[..], &["--settle", "0s"]].concat();
    let ways =
        [(&seat[..], "DO NOT INJECT", "probe-not-settled"), (&unsettled[..], "DO NOT LOAD: REJECTED", "seated-late")];
    for (arguments, headline, reason) in ways {
        let account = out(&replay(&trace, arguments));
        assert!(
            account.starts_with("MOST READINGS LIE TOO FAR APART") && account.contains(&format!("\n\n{headline}\n")),
            "{account}"
        );
        let found = object(&replay(&trace, &[arguments, &["--json"]].concat()));
        assert_eq!(found["reasons"], json!([reason]));
    }
    let found = object(&replay(&trace, &[&seat[..], &["--json"]].concat()));
    assert_eq!(found["spacing"], json!({"intervals": 199, "over_longest_gap": 199, "set_longest_gap_s": 600}));
    // with what was told it is cured, named as laxer, and nothing is warned of
    let set = [&seat[..], &["--longest-gap", "10min"]].concat();
    let output = replay(&trace, &set);
    assert_eq!(text(&output.stderr), "");
    let account = out(&output);
    assert!(account.starts_with("CURED\n") && account.contains("LAXER THAN THE DEFAULT: longest-gap"), "{account}");
    let found = object(&replay(&trace, &[&set[..], &["--json"]].concat()));
    assert_eq!(found["spacing"], json!({"intervals": 199, "over_longest_gap": 0, "set_longest_gap_s": null}));
    // rows without a temperature in between observe nothing
    let minutes: String = (0..2000)
        .map(|row| {
            let at = holdoff_files::stamp::format_seconds(1_767_600_000 + row * 60, 0);
            if row % 10 == 0 { format!("{at},8\n") } else { format!("{at},\n") }
        })
        .collect();
    let sparse = folder.file("sparse.csv", format!("time,temperature_c\n{minutes}"));
    assert!(text(&replay(&sparse, &seat).stderr).contains("--longest-gap 10min"));
}

#[test]
fn readings_too_far_apart_for_any_setting_are_told_so() {
    let folder = Folder::new("two-hours");
    let trace = folder.file("two.csv", rows("temperature_c", 7200, 20, "8", 0));
    let output = replay(&trace, &["--json"]);
    let err = text(&output.stderr);
    assert!(err.contains("too far apart for any setting (1 h at most): log more often"), "{err}");
    assert!(!err.contains("--longest-gap"), "{err}");
    let found = object(&output);
    assert_eq!(found["spacing"], json!({"intervals": 19, "over_longest_gap": 19, "set_longest_gap_s": null}));
    // stricter than the default, a finer setting is no laxer one
    let minute = folder.file("minute.csv", rows("temperature_c", 60, 200, "8", 0));
    let err = text(&replay(&minute, &["--longest-gap", "30s"]).stderr);
    assert!(err.contains("Set `--longest-gap 1min`, or log more often"), "{err}");
}

#[test]
fn depth_and_plan_say_so_first_as_well() {
    let folder = Folder::new("far-everywhere");
    let trace = folder.file("ten.csv", rows("temperature_c", 600, 300, "8", -25_200));
    let depth = ["depth", &trace, "--depth", "100"];
    let output = holdoff(&depth);
    assert!(text(&output.stderr).contains("--longest-gap 10min"));
    assert!(out(&output).starts_with("MOST READINGS LIE TOO FAR APART"));
    assert_eq!(object(&holdoff(&[&depth[..], &["--json"]].concat()))["spacing"]["set_longest_gap_s"], 600);
    let from = ["--from", "2026-01-05T08:00:00-07:00", "--every", "1h"];
    let plan = [&["plan", JOB, "--forecast", &trace], &from[..]].concat();
    let output = holdoff(&plan);
    let err = text(&output.stderr);
    assert!(err.contains("over the job's longest gap of 5 min") && err.contains("10 min is taken instead"), "{err}");
    assert!(out(&output).starts_with("THE FORECAST'S POINTS LIE FAR APART"));
    let found = object(&holdoff(&[&plan[..], &["--json"]].concat()));
    assert_eq!((&found["longest_gap_s"], &found["shorter_gap_s"]), (&json!(600), &json!(300)));
    assert_eq!(found["spacing"], json!({"intervals": 299, "over_longest_gap": 0, "set_longest_gap_s": null}));
    let usual = object(&holdoff(&["plan", JOB, "--forecast", DAY, "--every", "1h", "--json"]));
    assert!(usual["shorter_gap_s"].is_null());
}

#[test]
fn a_leap_second_is_warned_of_with_its_line() {
    let folder = Folder::new("leap");
    let rows = "time,temperature_c\n2016-12-31T23:59:00Z,8\n2016-12-31T23:59:59Z,8\n2016-12-31T23:59:60Z,8\n\
                2017-01-01T00:00:00Z,8\n2017-01-01T00:01:00Z,8\n";
    let trace = folder.file("leap.csv", rows);
    let output = replay(&trace, &["--inject", "2016-12-31T23:59:30Z", "--json"]);
    let err = text(&output.stderr);
    assert!(err.contains("Line 4 lies in a leap second, which is taken as the second after it"), "{err}");
    assert_eq!(object(&output)["readings"], json!({"accepted": 4, "refused": 1, "missing": 0}));
}

#[test]
fn an_action_that_did_not_apply_is_told_with_the_stage_and_no_torque_is_said_where_none_is_specified() {
    let folder = Folder::new("stage");
    folder.file("day.csv", rows("temperature_c", 60, 2880, "12", 0));
    let scenario = format!(
        "trace = \"day.csv\"\nresin = {RESIN:?}\n[[fixing]]\nname = \"A1\"\nhole = \"dry\"\n\
         [[fixing.action]]\nat = {INJECT}\ninject = {{}}\n\
         [[fixing.action]]\nat = 2026-01-05T08:12:00Z\nseat = true\n\
         [[fixing.action]]\nat = 2026-01-05T08:20:00Z\ninject = {{}}\n"
    );
    let account = out(&holdoff(&["replay", "--scenario", &folder.file("stage.toml", &scenario)]));
    assert!(account.contains("it does not apply to a fixing that is at this stage: curing"), "{account}");
    assert!(
        account.starts_with("A1: CURED\nCured since ") && account.contains("No torque is specified here"),
        "{account}"
    );
    assert!(!account.contains("torqued as specified"), "{account}");
}
