//! `holdoff plan` as its users run it.

use crate::folder::{DAY, Folder, JOB, RESIN, holdoff, refused};
use serde_json::Value;

fn out(arguments: &[&str]) -> String {
    let output = holdoff(arguments);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&out(arguments)).unwrap()
}

#[test]
fn the_harbour_plan_says_until_when_to_start_and_a_replay_of_that_start_agrees() {
    let plan = json(&[
        "plan",
        JOB,
        "--forecast",
        DAY,
        "--group",
        "bollard 3",
        "--shift",
        "07:00-17:00",
        "--torque-by",
        "07:00",
        "--json",
        "--starts",
    ]);
    let variants = plan["groups"][0]["variants"].as_array().unwrap();
    assert_eq!(variants.len(), 3, "the forecast, and 2 and 5 °C colder");
    let deadline = &variants[0]["torque_by"][1];
    assert_eq!(deadline["by"], "2022-01-04T07:00:00-07:00");
    let latest = deadline["latest_start"].as_str().unwrap();
    let starts = variants[0]["starts"].as_array().unwrap();
    assert_eq!(starts.len(), 601, "a start a minute from 07:00 to 17:00");
    for at in ["2022-01-03T08:00:00-07:00", "2022-01-03T13:00:00-07:00", latest] {
        let start = starts.iter().find(|start| start["at"] == at).unwrap();
        for rule in ["coldest", "accrual"] {
            let seat = start["seat_at"].as_str().unwrap();
            let replay = json(&[
                "replay",
                DAY,
                "--resin",
                RESIN,
                "--hole",
                "dry",
                "--inject",
                at,
                "--seat",
                seat,
                "--cartridge",
                "12",
                "--use-by",
                "2022-06-30",
                "--rule",
                rule,
                "--settle",
                "0s",
                "--json",
            ]);
            assert_eq!(replay["cured_at"], start[rule]["cured_at"], "{at} {rule}");
        }
    }
    // the minute after the latest start is too late
    let after = starts.iter().position(|start| start["at"] == latest).unwrap() + 1;
    assert!(starts[after]["coldest"]["torque_from"].as_str().unwrap() > "2022-01-04T07:00:00-07:00");
    assert!(plan["caution"].as_str().unwrap().contains("no measurement"));
}

#[test]
fn the_plan_reads_as_a_page_and_draws_a_timeline() {
    let folder = Folder::new("plan");
    let file = folder.path("plan.svg");
    let shift = ["plan", JOB, "--forecast", DAY, "--shift", "07:00-17:00", "--seat-after", "5min 30s"];
    let text = out(&[&shift[..], &["--plot", &file]].concat());
    let picture = std::fs::read_to_string(&file).unwrap();
    assert!(text.lines().count() < 60, "{text}");
    for words in
        ["SHIFT PLAN", "bollard 3: 4 fixings", "TORQUE  by Tue 07:00", "the logger decides", "DEMO RESIN", "printed"]
    {
        assert!(text.contains(words), "{words} is missing:\n{text}");
    }
    for words in ["bollard 3", "if 5 °C colder", "DEMO RESIN", "torque wanted", "Seating 5 min 30 s after"] {
        assert!(picture.contains(words), "{words} is missing in the picture");
    }
    // a cure may be complete a day later: no time of a start stands without its day
    let starts: Vec<&str> = picture.split(": torque from ").collect();
    assert!(starts.len() > 4 && starts[0].ends_with("Mon 07:00"), "{picture}");
    assert!(
        starts[1..].iter().all(|after| ["Mon ", "Tue ", "Wed "].iter().any(|day| after.starts_with(day))),
        "{picture}"
    );
}

#[test]
fn an_hourly_forecast_is_taken_with_its_gap_named_and_a_coarser_one_refused() {
    let folder = Folder::new("forecasts");
    let series = |name: &str, hours: u32| {
        let rows = (0..48 / hours).map(|row| {
            let (day, hour) = (3 + row * hours / 24, row * hours % 24);
            format!("2022-01-{day:02}T{hour:02}:00:00-07:00,{}\n", 4 + hour % 12)
        });
        folder.file(name, format!("time,temperature_c\n{}", rows.collect::<String>()))
    };
    let hourly = series("hourly.csv", 1);
    let plan = json(&["plan", JOB, "--forecast", &hourly, "--group", "bollard 3", "--json"]);
    let text = out(&["plan", JOB, "--forecast", &hourly]);
    let three = series("three.csv", 3);
    let coarse = holdoff(&["plan", JOB, "--forecast", &three]);
    assert_eq!((&plan["laxer"][0], &plan["longest_gap_s"]), (&Value::from("longest-gap"), &Value::from(3600)));
    assert_eq!(plan["groups"][0]["variants"][0]["starts"][8]["standing"], "cures", "{plan}");
    assert!(text.contains("LAXER THAN THE DEFAULT: longest-gap (longest gap 1 h)"), "{text}");
    let err = String::from_utf8(coarse.stderr).unwrap();
    assert_eq!(coarse.status.code(), Some(3), "{err}");
    assert!(coarse.stdout.is_empty() && err.contains("hourly"), "{err}");
}

#[test]
fn what_looks_odd_in_the_resin_of_the_job_is_said() {
    let folder = Folder::new("plan-odd");
    let resin = std::fs::read_to_string(RESIN).unwrap();
    folder.file("harbour-slow.toml", resin.replace("\"dry\", ", "\"dry\", \"dry\", "));
    let job = folder.demo("quay-job.toml");
    let output = holdoff(&["plan", &job, "--forecast", DAY]);
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(0), "{err}");
    assert!(err.contains("harbour-slow.toml") && err.contains("listed twice"), "{err}");
}

#[test]
fn wrong_usage_says_what_to_do() {
    for (more, words) in [
        (["--colder", "60"], "0 to 50"),
        (["--colder", "-1"], "--colder"),
        (["--shift", "17:00-07:00"], "07:00-17:00"),
        (["--torque-by", "7 o'clock"], "--torque-by"),
        (["--every", "10s"], "1 min to 1 h"),
        (["--seat-after", "ten"], "--seat-after"),
        (["--group", "crane"], "bollard 3"),
    ] {
        let mut arguments = vec!["plan", JOB, "--forecast", DAY];
        arguments.extend(more);
        refused(&holdoff(&arguments), 2, words);
    }
}

#[test]
fn days_begin_at_midnight_whatever_the_step_and_rounding_and_forms_are_said() {
    let plan = ["plan", JOB, "--forecast", DAY, "--group", "bollard 3"];
    let seven = json(&[&plan[..], &["--every", "7min", "--json", "--starts"]].concat());
    let starts = seven["groups"][0]["variants"][0]["starts"].as_array().unwrap();
    assert_eq!(starts[0]["at"], "2022-01-03T00:00:00-07:00");
    assert_eq!(starts[1]["at"], "2022-01-03T00:07:00-07:00");
    let text = out(&[&plan[..], &["--colder", "0.3,2"]].concat());
    assert!(text.contains("0.3 °C colder is reckoned as 77 times 1/256 °C, rounded up.\n"), "{text}");
    assert_eq!(text.matches("rounded up").count(), 1, "2 °C are whole counts: {text}");
    for (option, form) in [("--torque-by", "HH:MM for every day"), ("--shift", "HH:MM-HH:MM")] {
        let output = holdoff(&[&plan[..], &[option, "7:00"]].concat());
        let err = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{err}");
        assert!(err.contains("7:00\"") && err.contains(form), "{err}");
    }
}
