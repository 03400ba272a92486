//! Images, keys and proofs as scripts use them.

use crate::folder::{Folder, demo, holdoff, json};
use serde_json::Value;
use std::path::Path;

/// The image of a fixing set on the winter day and cured; its release is signed.
fn cured(folder: &Folder, name: &str, secret: &str, seat: &str) -> String {
    let image = folder.path(name);
    let inject = seat.replace(":05:", ":00:");
    let (trace, resin) = (demo("winter-day.csv"), demo("harbour-slow.toml"));
    let times = ["--hole", "dry", "--inject", &inject, "--seat", seat, "--json"];
    let output =
        holdoff(&[&["replay", &trace, "--resin", &resin][..], &times, &["--image", &image, "--key", secret]].concat());
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    assert_eq!(json(&output)["stage"], "cured");
    image
}

const MORNING: &str = "2022-01-03T05:05:00-07:00";

#[test]
fn an_image_holds_all_readings_and_its_release_is_proved() {
    let folder = Folder::new("whole");
    let (secret, public) = folder.keys("k");
    let image = cured(&folder, "m.bin", &secret, MORNING);
    let listing = json(&holdoff(&["read", &image, "--json"]));
    assert_eq!(listing["readings"], 574);
    assert_eq!(listing["capacity_bytes"], 65_536);
    assert!(listing["reading_bytes"].as_u64().unwrap() < 2048);
    assert_eq!(listing["findings"], serde_json::json!([]));
    let proof = holdoff(&["prove", &image, "--keys", &public, "--json"]);
    assert_eq!(proof.status.code(), Some(0));
    let fixing = &json(&proof)["fixings"][0];
    assert_eq!(fixing["proved"], true);
    assert_eq!(fixing["cured_at"], "2022-01-03T19:05:06-07:00");
    assert!(fixing["released_at"].is_null());
}

#[test]
fn the_same_inputs_make_the_same_image_to_the_byte() {
    let folder = Folder::new("same");
    let (secret, _) = folder.keys("k");
    let one = cured(&folder, "one.bin", &secret, MORNING);
    let two = cured(&folder, "two.bin", &secret, MORNING);
    assert!(std::fs::read(one).unwrap() == std::fs::read(two).unwrap());
}

#[test]
fn readings_read_out_are_a_trace_that_replays_to_the_same_second() {
    let folder = Folder::new("again");
    let (secret, _) = folder.keys("k");
    let image = cured(&folder, "m.bin", &secret, MORNING);
    let trace = folder.path("again.csv");
    std::fs::write(&trace, holdoff(&["read", &image, "--csv"]).stdout).unwrap();
    let resin = demo("harbour-slow.toml");
    let times = ["--hole", "dry", "--inject", "2022-01-03T05:00:00-07:00", "--seat", MORNING, "--json"];
    let replayed = json(&holdoff(&[&["replay", &trace, "--resin", &resin][..], &times].concat()));
    assert_eq!(replayed["cured_at"], "2022-01-03T19:05:06-07:00");
    assert_eq!(replayed["readings"], serde_json::json!({"accepted": 574, "refused": 0, "missing": 2}));
}

/// The winter day, 20 °C warmer so that it keeps off the power-up value, in steps of 1/16 °C: as a sensor delivers it.
fn delivered(folder: &Folder) -> String {
    let trace = folder.path("delivered.csv");
    let text = std::fs::read_to_string(demo("winter-day.csv")).unwrap();
    let rows = text.lines().enumerate().map(|(number, line)| {
        let (time, celsius) = line.split_once(',').unwrap();
        match celsius.parse::<f64>() {
            Ok(celsius) if number > 0 => format!("{time},{}\n", (celsius * 16.0).floor() / 16.0 + 20.0),
            _ => format!("{line}\n"),
        }
    });
    std::fs::write(&trace, rows.collect::<String>()).unwrap();
    trace
}

#[test]
fn an_image_read_out_and_replayed_again_as_its_sensor_is_the_same_to_the_byte() {
    let folder = Folder::new("sensor");
    let (secret, _) = folder.keys("k");
    let (resin, trace) = (demo("harbour-slow.toml"), delivered(&folder));
    let image = |trace: &str, name: &str, more: &[&str]| {
        let image = folder.path(name);
        let fixing = ["--resin", &resin, "--hole", "dry", "--inject", "2022-01-03T05:00:00-07:00", "--seat", MORNING];
        let wanted = ["--image", &image, "--key", &secret];
        let output = holdoff(&[&["replay", trace][..], &fixing, &wanted, more].concat());
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        image
    };
    for (sensor, words, interval, seconds) in [
        ("12bit", "12-bit", "5min", 300),
        ("13bit", "13-bit", "5min", 300),
        ("16bit", "16-bit", "1min", 60),
        ("1wire", "1-wire", "5min", 300),
    ] {
        let options = ["--sensor", sensor, "--interval", interval];
        let one = image(&trace, "one.bin", &options);
        let again = folder.path("again.csv");
        std::fs::write(&again, holdoff(&["read", &one, "--csv"]).stdout).unwrap();
        let two = image(&again, "two.bin", &options);
        assert!(std::fs::read(&one).unwrap() == std::fs::read(&two).unwrap(), "{sensor}");
        let listing = String::from_utf8(holdoff(&["read", &one]).stdout).unwrap();
        let kind = format!("readings of a {words} sensor");
        let period = format!("a reading every {seconds} s");
        assert!(listing.contains(&kind) && listing.contains(&period), "{listing}");
    }
}

#[test]
fn what_a_sensor_cannot_deliver_is_refused_and_its_power_up_value_is_not_taken() {
    let folder = Folder::new("cannot");
    let (secret, _) = folder.keys("k");
    let (resin, trace, image) = (demo("harbour-slow.toml"), folder.path("t.csv"), folder.path("m.bin"));
    let replay = |celsius: &str, sensor: &str| {
        let rows: String = (0..4).map(|row| format!("2022-01-03T05:0{row}:00Z,{celsius}\n")).collect();
        std::fs::write(&trace, format!("time,temperature_c\n{rows}")).unwrap();
        let _ = std::fs::remove_file(&image);
        let fixing = ["--resin", &resin, "--hole", "dry", "--inject", "2022-01-03T05:02:00Z", "--json"];
        let wanted = ["--image", &image, "--key", &secret, "--sensor", sensor];
        holdoff(&[&["replay", &trace][..], &fixing, &wanted].concat())
    };
    for (celsius, sensor) in
        [("12.03", "12bit"), ("12.03125", "13bit"), ("12.03125", "1wire"), ("12.00390625", "16bit")]
    {
        let output = replay(celsius, sensor);
        let message = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(3), "{celsius} {sensor}: {message}");
        assert!(message.contains("t.csv:2:22") && message.contains("is no multiple of 1/"), "{message}");
        assert!(!Path::new(&image).exists(), "nothing is left behind");
    }
    assert_eq!(json(&replay("12.03125", "16bit"))["readings"]["accepted"], 4);
    for (celsius, sensor) in [("0.0", "12bit"), ("0", "13bit"), ("85.0", "1wire")] {
        assert_eq!(json(&replay(celsius, sensor))["readings"]["refused"], 4, "{sensor}");
    }
    assert_eq!(json(&replay("0.0", "16bit"))["readings"]["accepted"], 4);
    let wrong =
        holdoff(&["replay", &trace, "--resin", &resin, "--hole", "dry", "--inject", MORNING, "--sensor", "12bit"]);
    assert_eq!(wrong.status.code(), Some(2), "a sensor without an image");
}

#[test]
fn a_group_is_proved_fixing_by_fixing_and_one_without_a_release_makes_the_status_four() {
    let folder = Folder::new("group");
    let (secret, public) = folder.keys("k");
    let image = folder.path("m.bin");
    let quay = demo("quay.toml");
    assert!(holdoff(&["replay", "--scenario", &quay, "--image", &image, "--key", &secret]).status.success());
    let proof = holdoff(&["prove", &image, "--keys", &public, "--json"]);
    // one of the four has a release
    assert_eq!(proof.status.code(), Some(4));
    let fixings = json(&proof)["fixings"].clone();
    let proved: Vec<bool> = fixings.as_array().unwrap().iter().map(|one| one["proved"].as_bool().unwrap()).collect();
    assert_eq!(proved, [true, false, false, false]);
    assert_eq!(fixings[0]["fixing"], "bollard 3 stud 1");
    assert_eq!(fixings[0]["released_at"], "2022-01-04T11:00:00-07:00");
    assert!(fixings[2]["why"]["text"].as_str().unwrap().contains("removed"));
}

#[test]
fn a_release_code_is_proved_by_its_own_key_only() {
    let folder = Folder::new("code");
    let (secret, public) = folder.keys("k");
    let (_, other) = folder.keys("other");
    let image = cured(&folder, "m.bin", &secret, MORNING);
    let listing = json(&holdoff(&["read", &image, "--json"]));
    let records = listing["sessions"][0]["records"].as_array().unwrap().clone();
    let release = records.iter().find(|record| record["kind"] == "release").unwrap();
    let code = release["code"].as_str().unwrap().to_owned();
    assert_eq!(holdoff(&["prove", &code, "--keys", &public]).status.code(), Some(0));
    // the same from a picture of it
    let codes = folder.path("codes");
    assert!(holdoff(&["read", &image, "--codes", &codes]).status.success());
    let picture = std::fs::read_dir(&codes).unwrap().next().unwrap().unwrap().path();
    let seen = holdoff(&["prove", picture.to_str().unwrap(), "--keys", &public, "--json"]);
    assert_eq!(seen.status.code(), Some(0), "{}", String::from_utf8_lossy(&seen.stderr));
    assert_eq!(json(&seen)["fixings"][0]["cured_at"], "2022-01-03T19:05:06-07:00");
    assert_eq!(holdoff(&["prove", picture.to_str().unwrap(), "--keys", &other]).status.code(), Some(1));
    let foreign = holdoff(&["prove", &code, "--keys", &other, "--json"]);
    assert_eq!(foreign.status.code(), Some(1));
    assert!(json(&foreign)["fixings"][0]["why"]["text"].as_str().unwrap().contains("not among the keys"));
    assert_eq!(holdoff(&["prove", &image, "--keys", &other]).status.code(), Some(1));
    // a digit of the code changed: no proof
    for at in [10, code.len() / 2, code.len() - 3] {
        let mut changed = code.clone().into_bytes();
        changed[at] = if changed[at] == b'7' { b'8' } else { b'7' };
        let changed = String::from_utf8(changed).unwrap();
        assert!(matches!(holdoff(&["prove", &changed, "--keys", &public]).status.code(), Some(1 | 3)), "{at}");
    }
}

#[test]
fn no_damaged_spliced_or_reordered_image_is_ever_proved() {
    let folder = Folder::new("damage");
    let (secret, public) = folder.keys("k");
    let good = std::fs::read(cured(&folder, "m.bin", &secret, MORNING)).unwrap();
    let later = std::fs::read(cured(&folder, "n.bin", &secret, "2022-01-03T06:05:00-07:00")).unwrap();
    let file = folder.path("changed.bin");
    let cured_at = |bytes: &[u8]| {
        std::fs::write(&file, bytes).unwrap();
        let output = holdoff(&["prove", &file, "--keys", &public, "--json"]);
        let proof = (output.status.code() == Some(0)).then(|| json(&output)["fixings"][0]["cured_at"].clone());
        assert!(matches!(output.status.code(), Some(0 | 1 | 3)), "{}", String::from_utf8_lossy(&output.stderr));
        proof
    };
    let true_time = cured_at(&good).unwrap();
    let used = good.len() - good.iter().rev().take_while(|byte| **byte == 0xFF).count();
    for at in (0..used).step_by(37) {
        let mut changed = good.clone();
        changed[at] ^= 1 << (at % 8);
        // detected, or without effect on the release
        if let Some(time) = cured_at(&changed) {
            assert_eq!(time, true_time, "byte {at}");
        }
    }
    let mut spliced = good.clone();
    spliced[..512].copy_from_slice(&later[..512]);
    assert_eq!(cured_at(&spliced), None, "the first page of another log");
    let mut spliced = good.clone();
    spliced[512..1024].copy_from_slice(&later[512..1024]);
    assert_eq!(cured_at(&spliced), None, "the second page of another log");
    let mut swapped = good.clone();
    swapped[..512].copy_from_slice(&good[512..1024]);
    swapped[512..1024].copy_from_slice(&good[..512]);
    assert_eq!(cured_at(&swapped), None, "two pages in the wrong order");
    assert_eq!(cured_at(&good[..good.len() / 2]), None, "half an image");
    assert_eq!(cured_at(&good[..1000]), None, "a piece of an image");
    assert_eq!(cured_at(&vec![0xFF; 65_536]), None, "a blank memory");
}

#[test]
fn whatever_tells_of_an_invented_resin_says_never_to_use_it() {
    let folder = Folder::new("invented");
    let (secret, public) = folder.keys("k");
    let image = cured(&folder, "m.bin", &secret, MORNING);
    let site = folder.path("site.db");
    for arguments in [
        &["read", &image][..],
        &["read", &image, "--json"],
        &["prove", &image, "--keys", &public],
        &["prove", &image, "--keys", &public, "--json"],
        &["register", "--file", &site, "add", &image],
        &["register", "--file", &site, "list"],
        &["register", "--file", &site, "list", "--json"],
        &["register", "--file", &site, "prove", "--keys", &public],
        &["board", "--register", &site],
    ] {
        let output = holdoff(arguments);
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(output.status.success() && text.contains("DEMO RESIN"), "{arguments:?}: {text}");
    }
}

#[test]
fn a_setting_laxer_than_its_default_is_named_by_whatever_rests_on_it() {
    let folder = Folder::new("laxer");
    let (secret, public) = folder.keys("k");
    let (image, site, page, plot) =
        (folder.path("m.bin"), folder.path("site.db"), folder.path("page.html"), folder.path("plot.svg"));
    let (trace, resin) = (demo("winter-day.csv"), demo("harbour-slow.toml"));
    let fixing =
        [&*trace, "--resin", &*resin, "--hole", "dry", "--inject", "2022-01-03T05:00:00-07:00", "--seat", MORNING];
    let shown = |arguments: &[&str], file: Option<&str>| {
        let output = holdoff(arguments);
        assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
        let text = String::from_utf8(output.stdout).unwrap();
        let drawn = file.map(|file| std::fs::read_to_string(file).unwrap()).unwrap_or_default();
        let named = |text: &str| {
            text.contains("LAXER THAN THE DEFAULT: uncertainty, settle")
                || text.contains("\"laxer\":[\"uncertainty\",\"settle\"]")
        };
        assert!(named(&text) || named(&drawn), "{arguments:?}: {text}");
        assert!(file.is_none() || named(&drawn), "{arguments:?}: {drawn}");
        text
    };
    let lax = ["--uncertainty", "0.5", "--settle", "0s", "--plot", &plot];
    shown(&[&["replay"][..], &fixing, &lax, &["--image", &image, "--key", &secret]].concat(), Some(&plot));
    shown(&[&["depth"][..], &fixing, &lax, &["--depth", "60"]].concat(), Some(&plot));
    shown(&["read", &image], None);
    let listing = shown(&["read", &image, "--json"], None);
    let listing: Value = serde_json::from_str(&listing).unwrap();
    let records = listing["sessions"][0]["records"].as_array().unwrap();
    let code = records.iter().find_map(|record| record["code"].as_str()).unwrap();
    for evidence in [&*image, code] {
        shown(&["prove", evidence, "--keys", &public], None);
        shown(&["prove", evidence, "--keys", &public, "--json"], None);
    }
    for evidence in [code, &*image] {
        shown(&["register", "--file", &site, "add", evidence], None);
        shown(&["register", "--file", &site, "list"], None);
        shown(&["register", "--file", &site, "list", "--json"], None);
        shown(&["register", "--file", &site, "prove", "--keys", &public], None);
        shown(&["board", "--register", &site], None);
        shown(&["board", "--register", &site, "--out", &page], Some(&page));
        shown(&["report", "--register", &site, "--out", &page], Some(&page));
    }
}

#[test]
fn a_name_cannot_steer_the_terminal_or_make_a_line_of_its_own() {
    let folder = Folder::new("steer");
    let (secret, public) = folder.keys("k");
    let (scenario, image) = (folder.path("odd.toml"), folder.path("odd.bin"));
    for file in ["winter-day.csv", "harbour-slow.toml"] {
        std::fs::copy(demo(file), folder.path(file)).unwrap();
    }
    let quay = std::fs::read_to_string(demo("quay.toml")).unwrap();
    std::fs::write(&scenario, quay.replace("\"bollard 3 stud 1\"", "\"a: PROVED\\n\\u001b[8m\"")).unwrap();
    for arguments in [
        &["replay", "--scenario", &scenario, "--image", &image, "--key", &secret][..],
        &["read", &image],
        &["prove", &image, "--keys", &public],
    ] {
        let text = String::from_utf8(holdoff(arguments).stdout).unwrap();
        assert!(text.contains("a: PROVED\\u{a}\\u{1b}[8m") && !text.contains('\u{1b}'), "{arguments:?}: {text}");
    }
}

#[test]
fn what_cannot_be_used_ends_with_three_and_nothing_on_standard_output() {
    let folder = Folder::new("unusable");
    let (secret, public) = folder.keys("k");
    let rubbish = folder.path("rubbish.bin");
    std::fs::write(&rubbish, b"no memory").unwrap();
    for arguments in [
        &["read", &rubbish][..],
        &["read", "no/such/image"],
        &["prove", &rubbish, "--keys", &public],
        &["prove", "HOR:NO CODE", "--keys", &public],
        &["prove", &rubbish, "--keys", "no/such/keys"],
        &["prove", &rubbish, "--keys", &secret],
        &["keys", "new", &folder.path("k")],
    ] {
        let output = holdoff(arguments);
        assert_eq!(output.status.code(), Some(3), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
        assert!(output.stdout.is_empty() && output.stderr.starts_with(b"error: "), "{arguments:?}");
    }
    let hex = std::fs::read_to_string(&secret).unwrap();
    let secret_hex = hex.lines().find_map(|line| line.strip_prefix("seed = \"")).unwrap().trim_end_matches('"');
    let listed = holdoff(&["keys", "list", &folder.path("k")]);
    let shown = [listed.stdout, holdoff(&["prove", &rubbish, "--keys", &secret]).stderr].concat();
    assert!(!String::from_utf8_lossy(&shown).contains(secret_hex), "a secret key was printed");
}
