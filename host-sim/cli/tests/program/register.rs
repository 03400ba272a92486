//! The register of a site as people and scripts use it.

use crate::folder::{Folder, code, demo, error, holdoff, json};
use rusqlite::Connection;
use serde_json::Value;
use std::path::Path;
use std::process::Output;

/// A site with a register.
struct Site(Folder);

impl Site {
    fn new(name: &str) -> Self {
        Self(Folder::new(name))
    }

    /// The register's file.
    fn site(&self) -> String {
        self.0.path("site.db")
    }

    fn register(&self, arguments: &[&str]) -> Output {
        holdoff(&[&["register", "--file", &self.site()], arguments].concat())
    }

    /// What the register lists.
    fn list(&self) -> Value {
        json(&self.register(&["list", "--json"]))
    }

    /// The stages it lists, in order.
    fn stages(&self) -> Vec<String> {
        let list = self.list();
        let fixings = list["fixings"].as_array().unwrap();
        fixings.iter().map(|fixing| fixing["stage"].as_str().unwrap().to_owned()).collect()
    }

    /// The image after a trace with one fixing seated at this time.
    fn image(&self, name: &str, secret: &str, trace: &str, seat: &str) -> String {
        let image = self.0.path(name);
        let inject = seat.replace(":05:", ":00:");
        let resin = demo("harbour-slow.toml");
        let times = ["--hole", "dry", "--inject", &inject, "--seat", seat];
        let output = holdoff(
            &[&["replay", trace, "--resin", &resin][..], &times, &["--image", &image, "--key", secret]].concat(),
        );
        assert!(output.status.success(), "{}", error(&output));
        image
    }

    /// The image of the scenario with four studs.
    fn quay(&self, name: &str, secret: &str) -> String {
        let image = self.0.path(name);
        assert!(
            holdoff(&["replay", "--scenario", &demo("quay.toml"), "--image", &image, "--key", secret]).status.success()
        );
        image
    }
}

/// Seated in the morning: cured with row 231 of the winter day, at 19:05:06.
const MORNING: &str = "2022-01-03T05:05:00-07:00";
/// All rows of the winter day.
const ALL: usize = 10_000;

#[track_caller]
fn refused(output: &Output, words: &str) {
    crate::folder::refused(output, 3, words);
}

fn contradicted(output: &Output, words: &str) {
    let text = String::from_utf8_lossy(&output.stdout);
    assert_eq!(output.status.code(), Some(4), "{}{text}", error(output));
    assert!(text.contains("DO NOT LOAD: CONTRADICTED") && text.contains(words), "{text}");
}

fn taken(output: &Output) {
    assert_eq!(output.status.code(), Some(0), "{}", error(output));
}

#[test]
fn a_memory_is_taken_in_proved_and_listed_with_the_words_of_the_replay() {
    let site = Site::new("whole");
    let (secret, public) = site.0.keys("k");
    let image = site.quay("m.bin", &secret);
    taken(&site.register(&["add", &image, "--keys", &public]));
    let list = site.list();
    let fixings = list["fixings"].as_array().unwrap();
    let replayed = holdoff(&["replay", "--scenario", &demo("quay.toml"), "--json"]);
    let replayed = String::from_utf8(replayed.stdout).unwrap();
    for (fixing, line) in fixings.iter().zip(replayed.lines()) {
        let replayed: Value = serde_json::from_str(line).unwrap();
        for key in ["fixing", "stage", "reasons", "cured_at", "announced_at", "required_s", "served_s"] {
            assert_eq!(fixing[key], replayed[key], "{key} of {}", fixing["fixing"]);
        }
        // a cure that nothing signed covers is told in other words than the replay's
        if fixing["claim"] == "stage" {
            assert_eq!(fixing["status"], replayed["status"], "{}", fixing["fixing"]);
        }
    }
    assert_eq!(replayed.lines().count(), 4);
    assert_eq!(fixings.len(), 4);
    assert_eq!(fixings[0]["verdict"], "proved");
    assert_eq!(fixings[0]["group"], "bollard 3 stud");
    assert!(fixings[3]["verdict"].is_null());
    let text = String::from_utf8(site.register(&["list"]).stdout).unwrap();
    assert!(text.contains("never on site") || text.contains("Never use it"), "{text}");
    assert!(text.contains("not a licence to load"), "{text}");
}

#[test]
fn a_duplicate_is_refused_and_changes_nothing() {
    let site = Site::new("duplicate");
    let (secret, _) = site.0.keys("k");
    let image = site.quay("m.bin", &secret);
    taken(&site.register(&["add", &image]));
    let before = std::fs::read(site.site()).unwrap();
    refused(&site.register(&["add", &image]), "in the register already");
    refused(&site.register(&["add", &code(&image)]), "in the register already");
    assert!(before == std::fs::read(site.site()).unwrap());
}

#[test]
fn a_grown_image_tells_anew_and_an_older_one_is_kept_without_telling() {
    let site = Site::new("grown");
    let (secret, public) = site.0.keys("k");
    let early = site.image("early.bin", &secret, &site.0.winter_day("early.csv", 100, 0, 0.0), MORNING);
    let middle = site.image("middle.bin", &secret, &site.0.winter_day("middle.csv", 180, 0, 0.0), MORNING);
    let late = site.image("late.bin", &secret, &site.0.winter_day("late.csv", ALL, 0, 0.0), MORNING);
    let images = || {
        let connection = Connection::open(site.site()).unwrap();
        connection.query_row("SELECT count(*), sum(length(bytes)) FROM raw", [], |row| Ok((row.get(0)?, row.get(1)?)))
    };
    taken(&site.register(&["add", &early, "--keys", &public]));
    assert_eq!(site.stages(), ["curing"]);
    taken(&site.register(&["add", &late, "--keys", &public]));
    assert_eq!(site.stages(), ["cured"]);
    let told = site.list();
    assert_eq!(told["fixings"][0]["cured_at"], "2022-01-03T19:05:06-07:00");
    assert_eq!(told["fixings"][0]["verdict"], "proved");
    let output = site.register(&["add", &middle]);
    taken(&output);
    assert!(String::from_utf8_lossy(&output.stdout).contains("a later view is held already"));
    assert_eq!(site.list(), told);
    assert_eq!(images().unwrap(), (3, 3 * 65_536));
}

#[test]
fn without_keys_a_verdict_stays_and_with_the_wrong_ones_the_status_says_so() {
    let site = Site::new("verdict");
    let (secret, public) = site.0.keys("k");
    let (_, other) = site.0.keys("other");
    let first = site.image("a.bin", &secret, &site.0.winter_day("a.csv", 300, 0, 0.0), MORNING);
    let second = site.image("b.bin", &secret, &site.0.winter_day("b.csv", 400, 0, 0.0), MORNING);
    let third = site.image("c.bin", &secret, &site.0.winter_day("c.csv", 500, 0, 0.0), MORNING);
    let verdict = || site.list()["fixings"][0]["verdict"].clone();
    taken(&site.register(&["add", &first]));
    assert_eq!(verdict(), "not-checked");
    taken(&site.register(&["prove", "--keys", &public]));
    assert_eq!(verdict(), "proved");
    taken(&site.register(&["add", &second]));
    assert_eq!(verdict(), "proved");
    assert_eq!(site.register(&["add", &third, "--keys", &other]).status.code(), Some(1));
    assert_eq!(verdict(), "not-proved");
    let text = String::from_utf8(site.register(&["list"]).stdout).unwrap();
    assert!(text.contains("DO NOT LOAD: RELEASE NOT PROVED"), "{text}");
    assert!(!text.contains("It may be torqued"), "{text}");
}

#[test]
fn rewritten_history_is_kept_and_contradicts_unless_the_memory_was_made_blank() {
    let site = Site::new("rewritten");
    let (secret, public) = site.0.keys("k");
    let whole = site.image("whole.bin", &secret, &site.0.winter_day("whole.csv", 200, 0, 0.0), MORNING);
    // the same day, but a quarter of an hour of it a little colder
    let other = site.image("other.bin", &secret, &site.0.winter_day("other.csv", ALL, 150, 0.5), MORNING);
    let grown = site.image("grown.bin", &secret, &site.0.winter_day("grown.csv", ALL, 0, 0.0), MORNING);
    taken(&site.register(&["add", &whole, "--keys", &public]));
    let output = site.register(&["add", &other, "--keys", &public]);
    contradicted(&output, "two memories of logger");
    assert!(String::from_utf8_lossy(&output.stdout).contains("whole.bin"));
    assert_eq!(site.list()["fixings"][0]["claim"], "contradicted");
    refused(&site.register(&["add", &grown, "--keys", &public, "--blanked"]), "not made blank");
    // the one that came first goes on, and stays contradicted
    contradicted(&site.register(&["add", &grown, "--keys", &public]), "two memories of logger");
    refused(&site.register(&["add", &other, "--keys", &public]), "in the register already");
    assert_eq!(site.list()["fixings"].as_array().unwrap().len(), 1);
    // made blank, and begun anew on the next day
    let text = std::fs::read_to_string(demo("winter-day.csv")).unwrap();
    let (head, rows) = text.split_once('\n').unwrap();
    let next: Vec<&str> = rows.lines().skip(288).collect();
    let trace = site.0.path("next.csv");
    std::fs::write(&trace, format!("{head}\n{}\n", next.join("\n"))).unwrap();
    let next = site.image("next.bin", &secret, &trace, "2022-01-04T05:05:00-07:00");
    contradicted(&site.register(&["add", &next, "--keys", &public]), "two memories of logger");
    assert_eq!(site.list()["fixings"].as_array().unwrap().len(), 1);
    // its owner says so afterwards
    taken(&site.register(&["add", &next, "--keys", &public, "--blanked"]));
    let list = site.list();
    let claims: Vec<&str> =
        list["fixings"].as_array().unwrap().iter().map(|one| one["claim"].as_str().unwrap()).collect();
    assert_eq!(claims, ["contradicted", "stage"], "{list}");
    // a later image of the first life is still told from one of the second
    let early = site.image("early.bin", &secret, &site.0.winter_day("early.csv", 120, 0, 0.0), MORNING);
    taken(&site.register(&["add", &early, "--keys", &public]));
    assert_eq!(site.list(), list);
}

#[test]
fn a_code_is_taken_in_listed_and_joined_by_its_memory() {
    let site = Site::new("code");
    let (secret, public) = site.0.keys("k");
    let image = site.image("m.bin", &secret, &site.0.winter_day("m.csv", ALL, 0, 0.0), MORNING);
    let codes = site.0.path("codes");
    assert!(holdoff(&["read", &image, "--codes", &codes]).status.success());
    let picture = std::fs::read_dir(&codes).unwrap().next().unwrap().unwrap().path();
    taken(&site.register(&["add", picture.to_str().unwrap(), "--keys", &public]));
    let list = site.list();
    assert_eq!(list["fixings"], serde_json::json!([]));
    assert_eq!(list["codes"][0]["verdict"], "proved");
    assert_eq!(list["codes"][0]["cured_at"], "2022-01-03T19:05:06-07:00");
    refused(&site.register(&["add", &code(&image)]), "in the register already");
    taken(&site.register(&["add", &image, "--keys", &public]));
    let list = site.list();
    assert_eq!(list["codes"], serde_json::json!([]));
    assert_eq!(list["fixings"][0]["verdict"], "proved");
}

#[test]
fn a_code_that_contradicts_its_memory_is_kept_and_told_with_its_fixing() {
    let site = Site::new("contradiction");
    let (secret, public) = site.0.keys("k");
    let image = site.image("m.bin", &secret, &site.0.winter_day("m.csv", ALL, 0, 0.0), MORNING);
    // the same seating on another day's temperatures, and a seating that the memory does not know
    let colder = site.image("c.bin", &secret, &site.0.winter_day("c.csv", ALL, 150, 0.5), MORNING);
    let earlier = site.image("e.bin", &secret, &site.0.winter_day("e.csv", ALL, 0, 0.0), "2022-01-03T04:05:00-07:00");
    for (image_of_code, words) in [(&colder, "no such release"), (&earlier, "knows no such seating")] {
        let _ = std::fs::remove_file(site.site());
        taken(&site.register(&["add", &image, "--keys", &public]));
        let code = code(image_of_code);
        contradicted(&site.register(&["add", &code, "--keys", &public]), words);
        let list = site.list();
        assert_eq!((&list["codes"], &list["fixings"][0]["claim"]), (&serde_json::json!([]), &"contradicted".into()));
        assert_eq!(list["fixings"][0]["contradicted"].as_array().unwrap().len(), 1, "{list}");
        refused(&site.register(&["add", &code]), "in the register already");
    }
}

#[test]
fn a_memory_that_contradicts_a_code_is_taken_in_and_marked() {
    let site = Site::new("after-code");
    let (secret, public) = site.0.keys("k");
    let image = site.image("m.bin", &secret, &site.0.winter_day("m.csv", ALL, 0, 0.0), MORNING);
    let earlier = site.image("e.bin", &secret, &site.0.winter_day("e.csv", ALL, 0, 0.0), "2022-01-03T04:05:00-07:00");
    for keys in [&["--keys", &*public][..], &[]] {
        let _ = std::fs::remove_file(site.site());
        taken(&site.register(&[&["add", &*code(&earlier)], keys].concat()));
        contradicted(&site.register(&["add", &image, "--keys", &public]), "typed in");
        let list = site.list();
        assert_eq!((&list["codes"], &list["fixings"][0]["claim"]), (&serde_json::json!([]), &"contradicted".into()));
        assert_eq!(list["fixings"][0]["verdict"], "proved");
        let text = String::from_utf8(site.register(&["list"]).stdout).unwrap();
        assert!(text.contains("DO NOT LOAD: CONTRADICTED") && text.contains("typed in"), "{text}");
    }
    // two codes for the same time, proved or not
    for keys in [&["--keys", &*public][..], &[]] {
        let _ = std::fs::remove_file(site.site());
        taken(&site.register(&[&["add", &*code(&earlier)], keys].concat()));
        let other = site.register(&["add", &code(&image), "--keys", &public]);
        contradicted(&other, "another release of the same fixing");
        let list = site.list();
        let codes = list["codes"].as_array().unwrap();
        assert!(codes.len() == 2 && codes.iter().all(|code| code["contradicted"].is_object()), "{list}");
    }
}

#[test]
fn a_damaged_memory_is_kept_and_its_fixings_are_released_no_longer() {
    let site = Site::new("damaged");
    let (secret, public) = site.0.keys("k");
    let first = site.image("a.bin", &secret, &site.0.winter_day("a.csv", 400, 0, 0.0), MORNING);
    let second = site.image("b.bin", &secret, &site.0.winter_day("b.csv", 500, 0, 0.0), MORNING);
    taken(&site.register(&["add", &first, "--keys", &public]));
    assert_eq!(site.stages(), ["cured"]);
    let good = std::fs::read(&second).unwrap();
    let mut damaged = good.clone();
    damaged[600] ^= 1; // in its second page
    std::fs::write(&second, damaged).unwrap();
    assert_ne!(site.register(&["add", &second, "--keys", &public]).status.code(), Some(3));
    let list = site.list();
    assert!(list["fixings"][0]["untrusted"]["code"] == "page-lost", "{list}");
    assert_eq!(list["fixings"][0]["reasons"], serde_json::json!(["untrusted-log"]));
    // read out again, whole this time
    std::fs::write(&second, good).unwrap();
    taken(&site.register(&["add", &second, "--keys", &public]));
    assert_eq!(site.stages(), ["cured"]);
    // its first page damaged: nothing can be rebuilt, and what was known is known no longer
    let third = site.image("c.bin", &secret, &site.0.winter_day("c.csv", 550, 0, 0.0), MORNING);
    let mut damaged = std::fs::read(&third).unwrap();
    damaged[100] ^= 1;
    std::fs::write(&third, damaged).unwrap();
    let output = site.register(&["add", &third, "--keys", &public]);
    let (code, told) = (output.status.code(), site.list());
    // either nobody can say whose it is, or it is kept and trusted by nobody
    match code {
        Some(3) => assert_eq!(site.stages(), ["cured"], "{told}"),
        _ => assert_eq!(told["fixings"][0]["reasons"], serde_json::json!(["untrusted-log"])),
    }
}

#[test]
fn in_a_log_that_cannot_be_trusted_no_fixing_is_said_not_to_have_been_injected() {
    // a page before anything was done is lost, and one after everything was injected: then all that ran is rejected
    for (place, untrusted) in [(700, 4), (1_212, 0)] {
        let site = Site::new(&format!("untrusted-{place}"));
        let (secret, public) = site.0.keys("k");
        let image = site.quay("q.bin", &secret);
        let mut damaged = std::fs::read(&image).unwrap();
        damaged[place] ^= 0x10;
        std::fs::write(&image, damaged).unwrap();
        let added = site.register(&["add", &image, "--keys", &public]);
        assert_eq!(added.status.code(), Some(1), "{}", error(&added));
        let list = site.register(&["list"]).stdout;
        let board = holdoff(&["board", "--register", &site.site()]).stdout;
        for text in [list, board].map(|text| String::from_utf8(text).unwrap()) {
            assert_eq!(text.matches("DO NOT LOAD: LOG NOT TRUSTED").count(), untrusted, "{text}");
            assert_eq!(text.matches("DO NOT LOAD: REJECTED").count(), 4 - untrusted, "{text}");
            assert!(!text.contains("NOT INJECTED"), "{text}");
        }
        let list = site.list();
        for fixing in list["fixings"].as_array().unwrap() {
            let status = fixing["status"].as_str().unwrap();
            assert!(status.contains("o not load it"), "{list}");
        }
    }
}

#[test]
fn several_are_taken_in_one_by_one_and_each_refusal_is_told() {
    let site = Site::new("several");
    let (secret, _) = site.0.keys("k");
    let image = site.quay("m.bin", &secret);
    let junk = site.0.path("junk.bin");
    std::fs::write(&junk, [7; 4096]).unwrap();
    let output = site.register(&["add", &junk, &image, &site.0.path("none.bin"), "--json"]);
    assert_eq!(output.status.code(), Some(3));
    assert_eq!(json(&output)["fixings"], 4);
    assert!(error(&output).contains("junk.bin") && error(&output).contains("none.bin"), "{}", error(&output));
    let alone = Site::new("several-alone");
    refused(&alone.register(&["add", &site.0.path("none.bin")]), "can't be read");
    assert!(!Path::new(&alone.site()).exists(), "no register is made for nothing");
}

#[test]
fn what_is_no_register_or_a_later_one_is_named_and_left_alone() {
    let site = Site::new("foreign");
    let (secret, public) = site.0.keys("k");
    let image = site.quay("m.bin", &secret);
    let all: [&[&str]; 4] =
        [&["add", &image], &["list"], &["prove", "--keys", &public], &["export", "--csv", &site.0.path("out")]];
    let expect = |words: &str| {
        let before = std::fs::read(site.site()).unwrap();
        for arguments in all {
            refused(&site.register(arguments), words);
        }
        assert!(before == std::fs::read(site.site()).unwrap());
    };
    std::fs::write(site.site(), "a letter, long enough to be taken for a database: ".repeat(30)).unwrap();
    expect("no register");
    std::fs::remove_file(site.site()).unwrap();
    Connection::open(site.site()).unwrap().execute_batch("CREATE TABLE other (x)").unwrap();
    expect("no register");
    // nor is it one for having the mark without a version
    Connection::open(site.site()).unwrap().pragma_update(None, "application_id", 0x686F_6C64).unwrap();
    expect("this is no register of holdoff\n");
    std::fs::remove_file(site.site()).unwrap();
    refused(&site.register(&["list"]), "no such register");
    taken(&site.register(&["add", &image]));
    Connection::open(site.site()).unwrap().pragma_update(None, "user_version", 77).unwrap();
    expect("version 77, written by a later holdoff");
}

#[test]
fn one_program_writes_at_a_time_and_readers_are_not_in_its_way() {
    let site = Site::new("busy");
    let (secret, _) = site.0.keys("k");
    let image = site.quay("m.bin", &secret);
    let other = site.image("o.bin", &site.0.keys("o").0, &demo("winter-day.csv"), MORNING);
    taken(&site.register(&["add", &image]));
    let writer = Connection::open(site.site()).unwrap();
    writer.execute_batch("BEGIN IMMEDIATE; UPDATE revision SET number = number + 1").unwrap();
    refused(&site.register(&["add", &other]), "another program is writing");
    assert_eq!(site.stages().len(), 4);
    writer.execute_batch("ROLLBACK").unwrap();
    taken(&site.register(&["add", &other]));
    assert_eq!(site.stages().len(), 5);
}

#[test]
fn raw_images_and_releases_cannot_be_changed_by_any_statement() {
    let site = Site::new("kept");
    let (secret, _) = site.0.keys("k");
    taken(&site.register(&["add", &site.quay("m.bin", &secret)]));
    let connection = Connection::open(site.site()).unwrap();
    for statement in [
        "UPDATE raw SET bytes = x'00'",
        "DELETE FROM raw",
        "DELETE FROM image",
        "UPDATE release SET sealed = x'00'",
        "DELETE FROM release",
    ] {
        let refusal = connection.execute_batch(statement).unwrap_err().to_string();
        assert!(refusal.contains("never"), "{statement}: {refusal}");
    }
}

#[test]
fn readings_exported_are_those_of_the_image() {
    let site = Site::new("export");
    let (secret, public) = site.0.keys("k");
    let image = site.quay("m.bin", &secret);
    taken(&site.register(&["add", &image, "--keys", &public]));
    let out = site.0.path("out");
    taken(&site.register(&["export", "--csv", &out]));
    let mut reader = csv::Reader::from_path(format!("{out}/reading.csv")).unwrap();
    let column = |reader: &mut csv::Reader<std::fs::File>, name: &str| {
        reader.headers().unwrap().iter().position(|header| header == name).unwrap()
    };
    let (at, celsius) = (column(&mut reader, "read_at"), column(&mut reader, "celsius"));
    let exported: Vec<String> = reader
        .records()
        .map(|record| record.unwrap())
        .map(|record| format!("{},{}", &record[at], &record[celsius]))
        .collect();
    let read = String::from_utf8(holdoff(&["read", &image, "--csv"]).stdout).unwrap();
    let read: Vec<String> =
        read.lines().skip(1).map(|line| line.splitn(3, ',').take(2).collect::<Vec<_>>().join(",")).collect();
    assert_eq!(exported, read);
    assert_eq!(read.len(), 576);
    // the same rows as JSON lines
    let lines = String::from_utf8(site.register(&["export", "--json"]).stdout).unwrap();
    let rows: Vec<Value> = lines.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let count = |name: &str| rows.iter().filter(|row| row["table"] == name).count();
    assert_eq!(
        [count("image"), count("session"), count("fixing"), count("release"), count("reading")],
        [1, 1, 4, 1, 576]
    );
    let fixing = rows.iter().find(|row| row["table"] == "fixing").unwrap();
    assert_eq!((&fixing["label"], &fixing["torque_nm"]), (&"bollard 3 stud 1".into(), &40.0.into()));
}
