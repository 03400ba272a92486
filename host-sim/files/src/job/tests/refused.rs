//! What makes a job unusable, and what merely looks odd.

use super::{DEMO, RESIN, findings, said, with};
use crate::job::JobFile;
use crate::problem::Colour;
use crate::resin_file::ResinFile;
use crate::toml_file::Severity::{Error, Warning};

/// One error in the demo so changed, with these words.
#[track_caller]
fn refused(from: &str, to: &str, words: &[&str]) {
    let errors = said(&with(from, to), Error);
    assert_eq!(errors.len(), 1, "{errors:#?}");
    assert!(words.iter().all(|word| errors[0].contains(word)), "{words:?} in {errors:#?}");
}

/// One warning in the demo so changed, and no error.
#[track_caller]
fn odd(from: &str, to: &str, words: &[&str]) {
    let text = with(from, to);
    assert_eq!(said(&text, Error), Vec::<String>::new());
    let warnings = said(&text, Warning);
    assert_eq!(warnings.len(), 1, "{warnings:#?}");
    assert!(words.iter().all(|word| warnings[0].contains(word)), "{words:?} in {warnings:#?}");
}

#[test]
fn contradictions_of_the_hole_are_refused() {
    refused("embedment_mm = 125", "embedment_mm = 135", &["embedment 135 mm is deeper than the hole, 130 mm"]);
    refused("hole_diameter_mm = 18", "hole_diameter_mm = 16", &["16 mm wide, is too narrow for the threaded stud M16"]);
    refused("outer_diameter_mm = 16", "outer_diameter_mm = 10", &["thread M10 inside can't be 10 mm wide"]);
    refused(
        "edge_distance_mm = 180",
        "edge_distance_mm = 59.9",
        &["edge distance 59.9 mm is below the stated least, 60 mm"],
    );
    refused("\nspacing_mm = 220", "\nspacing_mm = 22", &["spacing 22 mm is below the stated least, 60 mm"]);
}

#[test]
fn torque_is_given_with_its_tolerance_or_said_to_be_none() {
    refused(
        "torque_nm = 40.0\ntorque_tolerance_nm = 2.0\n",
        "",
        &["installation torque is missing", "torque = \"none\""],
    );
    refused("torque_tolerance_nm = 2.0\n", "", &["torque_tolerance_nm is missing"]);
    refused("torque_nm = 40.0\n", "", &["torque_nm is missing"]);
    refused("torque_tolerance_nm = 2.0", "torque_tolerance_nm = 40.0", &["tolerance is not less than the torque"]);
    refused("torque_nm = 40.0", "torque = \"none\"", &["\"none\" and a torque is given"]);
    refused("torque_nm = 40.0", "torque_nm = 40.005", &["steps of 0.01"]);
    refused(
        "\ndiameter_mm = 16\nhole",
        "\ndiameter_mm = 16\ntorque_nm = 1\ntorque_tolerance_nm = 0\nhole",
        &["no thread to tighten"],
    );
    assert_eq!(said(&with("torque_nm = 40.0\ntorque_tolerance_nm = 2.0", "torque = \"none\""), Error), [""; 0]);
}

#[test]
fn a_batch_past_its_date_is_refused_and_good_through_its_last_day() {
    // two groups are planned a day later than the batch is good, two on its last day
    let errors = said(&with("use_by = 2022-06-30", "use_by = 2022-01-03"), Error);
    assert_eq!(errors.len(), 2, "{errors:#?}");
    assert!(errors.iter().all(|error| error.contains("past its date, 2022-01-03, on the planned day 2022-01-04")));
    assert_eq!(said(&with("use_by = 2022-06-30", "use_by = 2022-01-04"), Error), [""; 0]);
    refused("batch = \"HS-2107-04\"\nplanned", "batch = \"HS-2107-40\"\nplanned", &["no batch \"HS-2107-40\""]);
}

#[test]
fn concrete_younger_than_asked_is_refused_and_old_enough_on_the_day() {
    // cast 2021-12-13, planned 2022-01-03: 21 days
    assert_eq!(said(&with("cast = 2021-11-22", "cast = 2021-12-13"), Error), [""; 0]);
    refused(
        "cast = 2021-11-22",
        "cast = 2021-12-14",
        &["is 20 days old, and 21 are asked for", "set it on 2022-01-04"],
    );
    refused("cast = 2021-11-22", "cast = 2022-01-04", &["cast on 2022-01-04, after the planned day"]);
    refused("least_age_days = 21", "least_age_days = 0", &["no whole number from 1"]);
    refused("cast = 2021-11-22", "cast = 2021-11-31", &["is no TOML"]);
    refused("cast = 2021-11-22", "cast = \"2021-11-31\"", &["names a day that does not exist"]);
    refused("cast = 2021-11-22", "cast = 2021-11-22T08:00:00Z", &["is not a date"]);
}

#[test]
fn the_resin_has_a_word_on_hole_and_rule() {
    let strict = RESIN.replace("allowed = [\"dry\", \"wet\", \"flooded\"]", "allowed = [\"dry\"]");
    let strict = strict.replace("permitted = true", "permitted = false");
    let Err(findings) = JobFile::examine("j.toml", DEMO, |name| ResinFile::parse(name, &strict)) else {
        panic!("a wet hole and accrual where neither is allowed");
    };
    let errors: Vec<_> =
        findings.iter().filter(|finding| finding.severity == Error).map(|one| one.what.clone()).collect();
    assert_eq!(
        errors,
        [
            "Harbour slow excludes a wet hole",
            "Harbour slow excludes a wet hole",
            "the accrual rule is asked for, and Harbour slow does not permit it",
        ]
    );
}

#[test]
fn a_resin_file_that_cannot_be_used_is_named_where_it_is_named() {
    let Err(findings) = JobFile::examine("j.toml", DEMO, |name| ResinFile::parse(name, "name = 1\n")) else {
        panic!("a resin file with nothing in it");
    };
    let error = findings.iter().next().unwrap();
    assert!(error.what.contains("harbour-slow.toml\" can't be used") && error.what.contains("line 1"), "{error:?}");
    assert_eq!(findings.place(error.span.start), (5, 9));
}

#[test]
fn work_for_certified_people_names_them() {
    let without = "certified_installer = \"A. Invented\"\ninspector = \"B. Invented\"\n";
    refused(without, "", &["drilled up under sustained tension, and a certified installer and an inspector not named"]);
    refused("inspector = \"B. Invented\"\n", "", &["an inspector not named"]);
    refused("certified_installer = \"A. Invented\"\n", "", &["a certified installer not named"]);
    let level = DEMO.replace("direction = \"up\"", "direction = \"level\"").replace(without, "");
    assert!(said(&level, Error)[0].contains("drilled level under sustained tension"));
    let down = DEMO.replace("direction = \"up\"", "direction = \"down\"").replace(without, "");
    assert_eq!(said(&down, Error), [""; 0]);
    // one of both is asked after, and a group that names its people is not
    let overhead = DEMO.replace("load = \"sustained-tension\"", "load = \"other\"");
    assert_eq!((said(&overhead, Error), said(&overhead, Warning)), (Vec::new(), Vec::new()));
    for (text, words) in
        [(overhead.replace(without, ""), "fixings overhead"), (down, "fixings under sustained tension")]
    {
        let warnings = said(&text, Warning);
        assert_eq!(warnings.len(), 1, "{warnings:#?}");
        assert!(warnings[0].contains(words) && warnings[0].contains("not both named"), "{warnings:#?}");
    }
    odd("inspector = \"B. Invented\"", "inspector = \"A. Invented\"", &["the installer is the inspector too"]);
}

#[test]
fn names_are_given_once_and_fit_a_logger() {
    refused("name = \"ladder 2\"", "name = \"bollard 3\"", &["a second group \"bollard 3\""]);
    refused(
        "name = \"ladder 2\"",
        "name = \"capping beam bars / 2\"",
        &["a second logger group \"capping beam bars / 2\""],
    );
    refused("name_prefix = \"L2-\"", "name_prefix = \"PH-\"", &["a second fixing \"PH-1\""]);
    refused(
        "name_prefix = \"bollard 3 stud \"",
        "name_prefix = \"bollard 3 studs \"",
        &["17 bytes long, and a logger keeps 16"],
    );
    refused(
        "number = 4\nname_prefix = \"bollard 3 stud \"",
        "number = 4\nnames = [\"a\", \"b\", \"a\"]",
        &["3 names for 4"],
    );
    refused(
        "number = 4\nname_prefix = \"bollard 3 stud \"",
        "number = 3\nnames = [\"a\", \"b\", \"a\"]",
        &["second fixing \"a\""],
    );
    refused("name_prefix = \"bollard 3 stud \"", "names = [\"a\", \"b\", \"c\", \" d\"]", &["blanks around it"]);
    refused(
        "name_prefix = \"bollard 3 stud \"",
        "names = [\"a\", \"b\", \"c\", 4]",
        &["a number where a list of texts"],
    );
    refused("name = \"HS-2107-04\"", "name = \"HS-2107-04 of the third lorry\"", &["a logger keeps 24"]);
}

#[test]
fn more_than_sixteen_are_split_into_loggers_explicitly() {
    refused("loggers = [8, 8, 8]\n", "", &["24 fixings are more than the 16"]);
    refused("loggers = [8, 8, 8]", "loggers = [8, 8, 7]", &["watch 23 fixings, and the group has 24"]);
    refused("loggers = [8, 8, 8]", "loggers = [7, 17]", &["not from 1 to 16"]);
    refused("loggers = [8, 8, 8]", "loggers = 3", &["a number where a list"]);
    refused("number = 4", "number = 0", &["no whole number from 1"]);
}

#[test]
fn unknown_and_misplaced_keys_are_refused() {
    refused("site = ", "sites = \"x\"\nsite = ", &["unknown key \"sites\"", "write site if that is meant"]);
    refused("embedment_mm = 125", "embedment_mm = 125\nembedment_cm = 12.5", &["unknown key \"embedment_cm\""]);
    refused("size = \"M16\"", "size = \"M16\"\ndiameter_mm = 16", &["diameter_mm says nothing here"]);
    refused("size = \"M16\"", "size = \"M15\"", &["no metric coarse thread"]);
    refused("element = \"threaded-stud\"", "element = \"bolt\"", &["\"bolt\", which is not known", "reinforcing-bar"]);
    refused("hold = \"3min\"", "holding = \"3min\"", &["unknown key \"holding\" in [group.proof]"]);
    refused("share_percent = 2.5", "share_percent = 250", &["share_percent 250 is not 0.01 to 100"]);
    refused("after_more_failures = \"all\"", "after_more_failures = \"every\"", &["write one of \"all\""]);
    refused("utc_offset = \"-07:00\"", "utc_offset = \"-7\"", &["utc_offset \"-7\""]);
    refused("utc_offset = \"-07:00\"", "utc_offset = \".5-07:00\"", &["utc_offset \".5-07:00\" is no offset"]);
    refused("cleaning = \"blow 4, brush 4, blow 4\"", "cleaning = \"wipe\"", &["\"wipe\", which is no step"]);
    refused("discard_ml = 10 ", "discard_ml = 340 ", &["holds no more than is discarded"]);
}

#[test]
fn settings_keep_their_bounds_and_laxer_ones_are_told() {
    refused("uncertainty_c = 1.0", "uncertainty_c = 10.1", &["not 0 to 10 °C"]);
    refused("clock_ppm = 100", "clock_ppm = 10001", &["from 0 to 10000"]);
    refused("longest_gap = \"5min\"", "longest_gap = \"2h\"", &["longest_gap 2h is not 1s to 1h"]);
    refused("period = \"1min\"", "period = \"6min\"", &["every 6min leaves gaps longer than 5min"]);
    odd("uncertainty_c = 1.0", "uncertainty_c = 0.5", &["uncertainty_c is laxer"]);
    odd("longest_gap = \"5min\"", "longest_gap = \"10min\"", &["longest_gap is laxer"]);
    odd("clock_ppm = 100", "clock_ppm = 20", &["clock_ppm is laxer"]);
}

#[test]
fn what_is_demanded_of_hands_keeps_its_bounds_and_what_is_laxer_is_told() {
    refused("period = \"1min\"", "clean_within = \"15d\"", &["clean_within 15d is not 1s to 14d"]);
    refused("period = \"1min\"", "cleaning_record = \"maybe\"", &["\"maybe\", which is not known"]);
    refused("[settings]", "people = [\"A\", \"A\"]\n[settings]", &["people names \"A\" twice"]);
    refused("[settings]", "people = [\"Zo\u{eb}\"]\n[settings]", &["a sign that the logger's display lacks"]);
    refused(
        "[settings]",
        "people = [\"1\",\"2\",\"3\",\"4\",\"5\",\"6\",\"7\",\"8\",\"9\"]\n[settings]",
        &["a logger knows 8"],
    );
    let many = "cleaning = \"blow 1, brush 1, blow 1, brush 1, blow 1, brush 1, blow 1, brush 1, blow 1\"";
    refused("cleaning = \"blow 4, brush 4, blow 4\"", many, &["more than eight steps", "cleaning_record"]);
    odd("period = \"1min\"", "clean_within = \"25h\"", &["clean_within is laxer"]);
    odd("period = \"1min\"", "cleaning_record = \"noted\"", &["cleaning_record is laxer"]);
    odd("period = \"1min\"", "nozzle_record = \"noted\"", &["nozzle_record is laxer"]);
}

#[test]
fn what_is_left_out_is_told() {
    odd("least_edge_distance_mm = 60\nedge_distance_mm = 180\n", "", &["no least edge distance is stated"]);
    odd("\nedge_distance_mm = 180", "", &["drawn edge distance is not given"]);
    odd("least_spacing_mm = 60\nspacing_mm = 220\n", "", &["no least spacing"]);
    odd("\nspacing_mm = 220", "", &["drawn spacing is not given"]);
    odd("least_age_days = 21\n", "", &["no least age", "21 days"]);
    odd("cast = 2021-11-22\n", "", &["day of casting is not given"]);
    odd("batch = \"HS-2107-04\"\n", "", &["no resin batch is named"]);
    odd("planned = 2022-01-03\n", "", &["no day is planned"]);
    odd("blow_with = \"compressed-air\"\n", "", &["not said what the holes are blown out with"]);
    odd("after_one_failure = { share_percent = 5, least = 6 }\n", "", &["what follows a failed proof test"]);
    odd("after_more_failures = \"all\"\n", "", &["after_more_failures"]);
}

#[test]
fn slips_of_the_pen_look_odd() {
    odd("torque_nm = 40.0", "torque_nm = 400.0", &["400 N·m would stress the thread M16 by about 797 N/mm²"]);
    odd(
        "torque_nm = 20.0\ntorque_tolerance_nm = 1.0",
        "torque_nm = 2.0\ntorque_tolerance_nm = 0.1",
        &["2 N·m would stress"],
    );
    let shallow = said(&with("embedment_mm = 125", "embedment_mm = 12.5"), Warning);
    assert!(shallow.iter().any(|odd| odd.contains("12.5 mm is not the usual 4 to 20 diameters")), "{shallow:#?}");
    odd("hole_depth_mm = 130", "hole_depth_mm = 1300", &["more than twice as deep"]);
    odd("hole_diameter_mm = 18", "hole_diameter_mm = 17", &["leaves little room around the threaded stud M16"]);
    odd("hole_diameter_mm = 18", "hole_diameter_mm = 32", &["don't fill what is around"]);
    odd(
        "diameter_mm = 16\nhole_diameter_mm = 20",
        "diameter_mm = 32\nhole_diameter_mm = 40",
        &["outside the usual sizes, 6 to 28 mm"],
    );
    odd("blow_with = \"compressed-air\"", "blow_with = \"hand-pump\"", &["a hand pump for holes wider than 16 mm"]);
    odd("blow 4, brush 4, blow 4", "blow 4, brush 4", &["4 blows and 4 brushings are fewer"]);
    odd(
        "cleaning = \"blow 4, brush 4, blow 4\"",
        "cleaning = \"dust-extracting bit\"",
        &["nothing is blown out after"],
    );
    odd("expected_c = 6.0", "expected_c = 43.0", &["a start would be refused"]);
    odd("expected_c = 6.0", "expected_c = -4.5", &["a start would be refused"]);
    odd("cartridge_c = 12.0", "cartridge_c = 2.0", &["the cartridge, 2 °C, lies outside 5 to 35 °C"]);
    odd("use_by = 2022-06-30", "use_by = 2032-06-30", &["more than three years"]);
    odd(
        "[[batch]]",
        "[[batch]]\nname = \"other\"\nuse_by = 2022-06-30\n[[batch]]",
        &["no group is set with the batch \"other\""],
    );
}

#[test]
fn everything_wrong_is_told_at_once_and_in_its_line() {
    let text = with("embedment_mm = 125", "embedment_mm = 135").replace("size = \"M10\"\nhole", "size = \"M11\"\nhole");
    let text = text.replacen("utc_offset = \"-07:00\"", "utc_offset = \"7\"", 1);
    let found = findings(&text);
    let mut rendered = Vec::new();
    found.render(&mut rendered, Colour::Plain).unwrap();
    let rendered = String::from_utf8(rendered).unwrap();
    assert_eq!(rendered.matches("error: ").count(), 3, "{rendered}");
    assert!(rendered.contains("embedment_mm = 135") && rendered.contains("size = \"M11\""), "{rendered}");
    let line = text.lines().position(|line| line == "embedment_mm = 135").unwrap() + 1;
    assert!(rendered.contains(&format!("j.toml:{line}:16")), "{rendered}");
}
