#![allow(clippy::unwrap_used, reason = "a broken expectation must stop the test")]
//! What is read of a calibration, and what is refused.

use super::{Calibration, OnDay, latest_day};
use chrono::NaiveDate;

const GOOD: &str = "probe = \"7\"\nby = \"C. Invented\"\ndate = 2021-11-15\ndue = 2022-11-15\nresolution_c = 0.0625\n\
                    [reference]\nnumber = \"R-12\"\nuncertainty_c = 0.05\n\
                    [[point]]\nreading_c = -12.1\nreference_c = -12.0\nuncertainty_c = 0.04\n\
                    [[point]]\nreading_c = 0.0625\nreference_c = 0\nuncertainty_c = 0.03\n\
                    [[point]]\nreading_c = 40.25\nreference_c = 40.0\nuncertainty_c = 0.04\n";

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn parsed(text: &str) -> Result<Calibration, String> {
    Calibration::parse("p.toml", text, day("2022-01-03")).map_err(|problem| problem.to_string())
}

#[test]
fn a_calibration_is_read_as_it_is_written() {
    let read = parsed(GOOD).unwrap();
    assert_eq!((read.probe.as_str(), read.reference.as_str(), read.by.as_str()), ("7", "R-12", "C. Invented"));
    assert_eq!((read.resolution, read.reference_uncertainty), (6_250_000, 5_000_000));
    assert_eq!((read.repeatability, read.between), (None, None));
    let corrections: Vec<i64> = read.points.iter().map(super::Point::correction).collect();
    assert_eq!(corrections, [10_000_000, -6_250_000, -25_000_000]);
    assert!(read.only("7").is_ok());
    assert!(
        read.only("8")
            .unwrap_err()
            .to_string()
            .starts_with("p.toml:1:9: this is the calibration of probe \"7\", and that of \"8\" is needed")
    );
}

#[test]
fn the_due_date_is_the_last_good_day_and_a_day_ends_last_where_the_clock_is_furthest_ahead() {
    let read = parsed(GOOD).unwrap();
    let days = [
        ("2021-11-14", OnDay::NotYet),
        ("2021-11-15", OnDay::Good),
        ("2022-11-15", OnDay::Good),
        ("2022-11-16", OnDay::PastDue),
    ];
    for (text, standing) in days {
        assert_eq!(read.on(day(text)), standing, "{text}");
    }
    // 2022-01-03T09:59:59Z and one second later, when 4 January begins at +14:00
    assert_eq!((latest_day(1_641_203_999), latest_day(1_641_204_000)), (day("2022-01-03"), day("2022-01-04")));
}

#[test]
fn a_wrong_file_is_refused_with_every_place() {
    let one_point = GOOD.split("[[point]]").take(2).collect::<Vec<_>>().join("[[point]]");
    let two_points = GOOD.split("[[point]]").take(3).collect::<Vec<_>>().join("[[point]]");
    let cases = [
        (String::new(), "point is missing in the file"),
        (GOOD.replace("by =", "buy ="), "2:1: unknown key"),
        (GOOD.replace("number =", "name ="), "7:1: unknown key"),
        (GOOD.replace("reading_c = 40.25", "reading = 40.25"), "18:1: unknown key"),
        (GOOD.replace("2021-11-15", "2022-01-04"), "3:8: date 2022-01-04 lies in the future: it is 2022-01-03"),
        (GOOD.replace("2022-11-15", "2021-11-15"), "4:7: due 2021-11-15 does not lie behind date 2021-11-15"),
        (GOOD.replace("2022-11-15", "2022-11-31"), "4:7"),
        (GOOD.replace("40.25", "-0.5"), "18:13: reading_c -0.5 lies below 0.0625, that of the point before"),
        (GOOD.replace("40.25", "0.06250"), "18:13: reading_c 0.0625 is that of the point before"),
        (GOOD.replace("reference_c = 40.0", "reference_c = -3"), "19:15: reference_c -3 lies below 0"),
        (GOOD.replace("reference_c = 40.0", "reference_c = 0.0"), "19:15: reference_c 0 is that of the point before"),
        (GOOD.replace("40.25", "140.25"), "18:13: reading_c 140.25 lies outside -100 to 120 °C"),
        (GOOD.replace("0.0625\n[", "0\n["), "5:16: resolution_c 0 is not above 0"),
        (GOOD.replace("0.03\n", "-0.03\n"), "16:17: uncertainty_c -0.03 is not above 0"),
        (GOOD.replace("0.03\n", "10.00000001\n"), "16:17: uncertainty_c 10.00000001 is not above 0 and up to 10 °C"),
        (GOOD.replace("0.05\n", "0.000000001\n"), "8:17: uncertainty_c 0.000000001 has more than 8 decimals"),
        (GOOD.replace("0.05\n", "nan\n"), "8:17"),
        (one_point, "9:1: there is only one point"),
        (two_points.clone(), "13:1: between_c is missing: two points can't show a curve"),
        (GOOD.replace("probe = \"7\"", "probe = 7"), "1:9: probe is a number where a text is needed"),
    ];
    for (text, words) in cases {
        let problem = parsed(&text).unwrap_err();
        assert!(problem.contains(words), "{words}: {problem}");
    }
    let given = two_points.replace("[reference]", "between_c = 0.1\n[reference]");
    assert_eq!(parsed(&given).unwrap().between, Some(10_000_000));
}

#[test]
fn all_that_is_wrong_is_told_in_one_go() {
    let problem = parsed(&GOOD.replace("40.25", "0.0").replace("2022-11-15", "2020-11-15")).unwrap_err();
    assert!(problem.contains("4:7") && problem.contains("18:13"), "{problem}");
}
