//! The calibration of a probe: what is told of it, and what is refused.

use crate::folder::{Folder, demo, program};
use serde_json::Value;
use std::process::Output;

struct Site(Folder);

impl Site {
    fn new(name: &str) -> Self {
        let site = Self(Folder::new(name));
        for file in ["probe-7.toml", "quay-job.toml", "harbour-slow.toml", "winter-day.csv", "quay.toml"] {
            site.0.demo(file);
        }
        site
    }

    fn run(&self, line: &str) -> Output {
        program().args(line.split(' ')).current_dir(self.0.root()).env_remove("HOLDOFF_LANGUAGE").output().unwrap()
    }

    /// What is printed by a line that ends well.
    fn printed(&self, line: &str) -> String {
        let output = self.run(line);
        assert_eq!(output.status.code(), Some(0), "{line}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    }

    /// What is said of a line that is refused.
    fn refused(&self, line: &str, status: i32) -> String {
        let output = self.run(line);
        assert_eq!((output.status.code(), output.stdout.len()), (Some(status), 0), "{line}");
        String::from_utf8(output.stderr).unwrap()
    }
}

fn probe() -> String {
    std::fs::read_to_string(demo("probe-7.toml")).unwrap()
}

#[test]
fn a_calibration_that_cannot_be_used_is_refused_with_its_place_and_what_to_do() {
    let site = Site::new("probe-refused");
    let good = probe();
    let parts: Vec<&str> = good.split("[[point]]").collect();
    let put = |points: &[usize]| {
        let points: Vec<&str> = points.iter().map(|point| parts[*point]).collect();
        format!("{}[[point]]{}", parts[0], points.join("[[point]]"))
    };
    let tomorrow_at_the_earliest = "2999-12-31";
    let cases = [
        (
            "points out of order",
            put(&[2, 1, 3]),
            "p.toml:19:13: reading_c -15.0625 lies below 0.0625",
            "from cold to warm",
        ),
        ("one point", put(&[1]), "p.toml:13:1: there is only one point", "give two at least"),
        ("equal points", put(&[1, 1]), "reading_c -15.0625 is that of the point before", "the mean of both"),
        ("unknown key", good.replace("due =", "due_date ="), "p.toml:5:1: unknown key \"due_date\"", "remove it"),
        (
            "in the future",
            good.replace("2021-11-15", tomorrow_at_the_earliest).replace("2022-11-15", "3000-12-31"),
            "p.toml:4:8: date 2999-12-31 lies in the future",
            "correct the date, or this computer's clock",
        ),
        (
            "due before it was made",
            good.replace("2022-11-15", "2020-11-15"),
            "p.toml:5:7: due 2020-11-15",
            "the last day",
        ),
        ("two points without between_c", put(&[1, 2]), "between_c is missing", "add a point"),
        ("no TOML", good.replace("[reference]", "[reference"), "p.toml:9:", "correct the file"),
    ];
    for (what, text, place, remedy) in cases {
        site.0.file("p.toml", text);
        for line in ["probe check p.toml", "probe check p.toml --json --job quay-job.toml"] {
            let told = site.refused(line, 3);
            assert!(told.contains(place) && told.contains(remedy), "{what}: {told}");
        }
    }
    let told = site.refused("probe check probe-7.toml --probe 8", 3);
    assert!(
        told.starts_with(
            "error: probe-7.toml:2:9: this is the calibration of probe \"7\", and that of \"8\" is needed"
        ),
        "{told}"
    );
    assert!(site.refused("probe check probe-7.toml --on 2022-02-30", 2).contains("--on \"2022-02-30\""));
    site.refused("probe check none.toml", 3);
}

#[test]
fn covered_too_small_and_not_known_are_told_apart_and_end_well() {
    let site = Site::new("probe-told");
    let on = "--on 2022-01-03";
    let account = |file: &str, more: &str| site.printed(&format!("probe check {file} --job quay-job.toml {on}{more}"));
    let covered = account("probe-7.toml", "");
    assert!(covered.contains("Quay rebuilding, section 2: the uncertainty of 1.000 °C COVERS"), "{covered}");
    assert!(covered.contains("On 2022-01-03 the calibration holds; its last day is 2022-11-15."));
    assert!(covered.contains("No correction is applied to any reading") && covered.contains("not a licence to load"));
    assert!(covered.contains("Never use") && covered.contains("JCGM 100:2008, 4.3.7"));
    site.0.file("far.toml", probe().replace("62.05", "60.05"));
    assert!(account("far.toml", "").contains("IS TOO SMALL: the probe alone needs"));
    site.0.file("short.toml", probe().replace("62.375", "52.375").replace("62.05", "52.25"));
    let short = account("short.toml", "");
    assert!(short.contains("IS NOT KNOWN: 60.000 °C lies outside the points"), "{short}");
    assert!(short.contains("outside the points, and never extrapolated: not known  rejected above"), "{short}");
    for (day, words) in [
        ("2022-11-15", "the calibration holds"),
        ("2022-11-16", "PAST ITS DUE DATE: on 2022-11-16"),
        ("2021-11-14", "MADE LATER: on 2021-11-14"),
    ] {
        let told = site.printed(&format!("probe check probe-7.toml --on {day}"));
        assert!(told.contains(words) && told.contains("At its own points"), "{told}");
    }
    // without a day it is today, and the demo's calibration is long past
    assert!(site.printed("probe check probe-7.toml").contains("PAST ITS DUE DATE"));
    let object =
        |file: &str| -> Value { serde_json::from_str(&account(file, " --resin harbour-slow.toml --json")).unwrap() };
    let found = ["probe-7.toml", "far.toml", "short.toml"].map(object);
    assert_eq!(found.each_ref().map(|object| &object["checks"][1]["cover"]), ["covered", "too-small", "not-known"]);
    assert_eq!((&found[0]["standing"], &found[0]["checks"][0]["cover"]), (&"good".into(), &Value::Null));
    assert_eq!(found[2]["checks"][0]["outside_c"], serde_json::json!([60.0]));
    let rows = found[0]["checks"][1]["rows"].as_array().unwrap();
    let worst = rows.iter().map(|row| row["needed_c"].as_f64().unwrap()).fold(0.0, f64::max);
    assert_eq!(found[0]["checks"][1]["needed_c"].as_f64(), Some(worst));
    let zero =
        rows.iter().find(|row| row["decides"] == serde_json::json!(["band"]) && row["reading_c"] == 0.0).unwrap();
    // on the line from (-15.0625, 0.0625) to (0.0625, -0.0625), by hand
    let correction = 0.0625 - 0.125 * 15.0625 / 15.125;
    assert!((zero["correction_c"].as_f64().unwrap() - correction).abs() < 1.1e-8, "{zero}");
}

#[test]
fn the_hand_over_record_tells_the_calibration_and_that_no_log_names_the_probe() {
    let site = Site::new("probe-report");
    let page = |more: &str, file: &str| {
        site.0.file("p.toml", file);
        site.printed(&format!("report m.bin --job quay-job.toml --calibration p.toml --out r.html{more}"));
        std::fs::read_to_string(site.0.path("r.html")).unwrap()
    };
    site.printed("keys new k");
    site.printed("replay --scenario quay.toml --job quay-job.toml --image m.bin --key k/secret.key");
    let good = page("", &probe());
    assert!(good.contains("Probe 7, calibrated 2021-11-15 by C. Invented") && good.contains("due 2022-11-15"));
    assert!(
        good.contains("<p class=\"standing panel\">On 2022-01-05 the calibration holds")
            || good.contains("<p class=\"standing panel\">On 2022-01-04 the calibration holds"),
        "the day of the log's end"
    );
    assert!(good.contains("No log says yet which probe its logger used"));
    assert!(good.contains("<p class=\"standing panel\">Harbour slow, as loaded: the uncertainty of 1.000 °C COVERS"));
    let past = page("", &probe().replace("2022-11-15", "2022-01-02"));
    assert!(past.contains("<p class=\"standing alarm\">PAST ITS DUE DATE: on 2022-01-0"));
    let later = page("", &probe().replace("2021-11-15", "2022-01-04"));
    assert!(later.contains("<p class=\"standing alarm\">MADE LATER: on 2022-01-03"));
    let far = page("", &probe().replace("62.05", "60.05"));
    assert!(
        far.contains("<p class=\"standing alarm\">Harbour slow, as loaded: the uncertainty of 1.000 °C IS TOO SMALL")
    );
    site.printed("report m.bin --out r.html");
    assert!(!std::fs::read_to_string(site.0.path("r.html")).unwrap().contains("Calibration of the probe"));
    // what was read is never written over, and nothing is written where the calibration can't be used
    site.refused("report m.bin --calibration p.toml --out p.toml", 2);
    site.0.file("p.toml", "probe = 7\n");
    site.refused("report m.bin --calibration p.toml --out new.html", 3);
    assert!(!site.0.root().join("new.html").exists());
}
