//! `holdoff depth` as its users run it.

use crate::folder::{DAY, Folder, RESIN, holdoff, refused};

const FIXING: [&str; 8] =
    ["--resin", RESIN, "--hole", "dry", "--inject", "2022-01-03T10:15:00-07:00", "--seat", "2022-01-03T10:22:00-07:00"];

fn json(arguments: &[&str]) -> serde_json::Value {
    let output = holdoff(arguments);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn a_winter_morning_is_cured_hours_later_in_the_hole_than_at_the_face() {
    let mut check = vec!["depth", DAY, "--depth", "110", "--json"];
    check.extend(FIXING);
    let found = json(&check);
    let mut replay = vec!["replay", DAY, "--json"];
    replay.extend(FIXING);
    let face = json(&replay);
    assert_eq!(found["face"]["cured_at"], face["cured_at"], "the face is a plain replay");
    assert_eq!(found["face"]["stage"], "cured");
    let (face, stated) = (found["face"]["cured_at"].as_str(), found["stated"]["cured_at"].as_str());
    assert!(stated > face, "{found}");
    assert!(found["later_s"].as_i64().unwrap() > 3600, "{found}");
    assert!(found["bottom_colder_by_c"].as_f64().unwrap() > 5.0);
    assert!(found["coldest_bottom_c"].as_f64().unwrap() >= found["before_c"].as_f64().unwrap());
    assert!(found["caution"].as_str().unwrap().starts_with("DEMO RESIN"));
}

#[test]
fn a_shallower_hole_and_a_warmer_past_are_no_later() {
    let later = |more: &[&str]| {
        let mut arguments = vec!["depth", DAY, "--json"];
        arguments.extend(FIXING);
        arguments.extend(more);
        json(&arguments)["bottom"]["cured_at"].as_str().unwrap().to_owned()
    };
    assert!(later(&["--depth", "40", "--before", "5"]) < later(&["--depth", "110", "--before", "-5"]));
}

#[test]
fn without_a_resin_only_temperatures_are_told_and_a_picture_is_drawn() {
    let folder = Folder::new("depth");
    let file = folder.path("depth.svg");
    let output = holdoff(&["depth", DAY, "--depth", "110", "--plot", &file]);
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.contains("colder than the face, at 2022-01-03 10:"), "{text}");
    assert!(text.contains("printed instructions"), "{text}");
    assert!(!text.contains("CURED"), "{text}");
    let picture = std::fs::read_to_string(&file).unwrap();
    assert!(picture.contains("bottom of the hole") && picture.ends_with("</svg>\n"));
}

#[test]
fn a_temperature_that_is_rounded_to_zero_is_told_without_a_minus() {
    // -17.778 °C are -0.0004 °F
    for (before, unit, told) in [("-0.001", "celsius", "0.00 °C"), ("-17.778", "fahrenheit", "0.00 °F")] {
        let output = holdoff(&["depth", DAY, "--depth", "110", "--before", before, "--unit", unit]);
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(text.contains(&format!(" {told}")) && !text.contains("-0.00"), "{text}");
    }
}

#[test]
fn what_is_out_of_bounds_is_wrong_usage_and_says_what_to_do() {
    for (more, words) in [
        (["--depth", "5"], "10 to 2000 mm"),
        (["--depth", "nan"], "--depth"),
        (["--diffusivity", "1.6,0.5"], "least first"),
        (["--diffusivity", "0"], "mm²/s"),
        (["--before", "300"], "-55 to 125"),
    ] {
        let mut arguments = vec!["depth", DAY];
        if more[0] != "--depth" {
            arguments.extend(["--depth", "110"]);
        }
        arguments.extend(more);
        refused(&holdoff(&arguments), 2, words);
    }
}

#[test]
fn what_was_given_already_is_not_asked_for() {
    let told = |more: &[&str]| {
        let output = holdoff(&[&["depth", DAY, "--depth", "125"], &FIXING[..], more].concat());
        String::from_utf8(output.stdout).unwrap()
    };
    assert!(told(&[]).contains("Give --before, a trace that begins days earlier"));
    let given = told(&["--before", "-2"]);
    assert!(given.contains("colder before than was given") && !given.contains("--before"), "{given}");
}
