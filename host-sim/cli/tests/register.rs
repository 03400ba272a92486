//! The register of a site as people and scripts use it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a broken expectation must stop the test")]

use rusqlite::Connection;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A folder of its own for one test, removed with it.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("holdoff-register-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        Self(folder)
    }

    fn path(&self, name: &str) -> String {
        self.0.join(name).to_string_lossy().into_owned()
    }

    /// The register's file.
    fn site(&self) -> String {
        self.path("site.db")
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

    /// A key: its secret and its public file.
    fn keys(&self, name: &str) -> (String, String) {
        assert!(holdoff(&["keys", "new", &self.path(name)]).status.success());
        (self.path(&format!("{name}/secret.key")), self.path(&format!("{name}/public.key")))
    }

    /// The winter day up to a row, every temperature from row `from` on colder by `colder`.
    fn trace(&self, name: &str, rows: usize, from: usize, colder: f64) -> String {
        let text = std::fs::read_to_string(demo("winter-day.csv")).unwrap();
        let mut made = String::new();
        for (place, line) in text.lines().take(rows + 1).enumerate() {
            match line.split_once(',') {
                Some((time, celsius)) if place > from && colder != 0.0 && !celsius.is_empty() => {
                    made.push_str(&format!("{time},{:.2}\n", celsius.parse::<f64>().unwrap() - colder));
                }
                _ => made.push_str(&format!("{line}\n")),
            }
        }
        let file = self.path(name);
        std::fs::write(&file, made).unwrap();
        file
    }

    /// The image after a trace with one fixing seated at this time.
    fn image(&self, name: &str, secret: &str, trace: &str, seat: &str) -> String {
        let image = self.path(name);
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
        let image = self.path(name);
        assert!(
            holdoff(&["replay", "--scenario", &demo("quay.toml"), "--image", &image, "--key", secret]).status.success()
        );
        image
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Seated in the morning: cured with row 231 of the winter day, at 19:05:06.
const MORNING: &str = "2022-01-03T05:05:00-07:00";
/// All rows of the winter day.
const ALL: usize = 10_000;

fn holdoff(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_holdoff")).args(arguments).output().unwrap()
}

fn demo(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo").join(name).to_string_lossy().into_owned()
}

fn error(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", error(output)))
}

/// The release code in an image.
fn code(image: &str) -> String {
    let listing = json(&holdoff(&["read", image, "--json"]));
    let records = listing["sessions"][0]["records"].as_array().unwrap().clone();
    records.iter().find(|record| record["kind"] == "release").unwrap()["code"].as_str().unwrap().to_owned()
}

fn refused(output: &Output, words: &str) {
    assert_eq!(output.status.code(), Some(3), "{}", error(output));
    assert!(output.stdout.is_empty(), "{}", String::from_utf8_lossy(&output.stdout));
    assert!(error(output).contains(words), "{}", error(output));
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
    let folder = Folder::new("whole");
    let (secret, public) = folder.keys("k");
    let image = folder.quay("m.bin", &secret);
    taken(&folder.register(&["add", &image, "--keys", &public]));
    let list = folder.list();
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
    let text = String::from_utf8(folder.register(&["list"]).stdout).unwrap();
    assert!(text.contains("never on site") || text.contains("Never use it"), "{text}");
    assert!(text.contains("not a licence to load"), "{text}");
}

#[test]
fn a_duplicate_is_refused_and_changes_nothing() {
    let folder = Folder::new("duplicate");
    let (secret, _) = folder.keys("k");
    let image = folder.quay("m.bin", &secret);
    taken(&folder.register(&["add", &image]));
    let before = std::fs::read(folder.site()).unwrap();
    refused(&folder.register(&["add", &image]), "in the register already");
    refused(&folder.register(&["add", &code(&image)]), "in the register already");
    assert!(before == std::fs::read(folder.site()).unwrap());
}

#[test]
fn a_grown_image_tells_anew_and_an_older_one_is_kept_without_telling() {
    let folder = Folder::new("grown");
    let (secret, public) = folder.keys("k");
    let early = folder.image("early.bin", &secret, &folder.trace("early.csv", 100, 0, 0.0), MORNING);
    let middle = folder.image("middle.bin", &secret, &folder.trace("middle.csv", 180, 0, 0.0), MORNING);
    let late = folder.image("late.bin", &secret, &folder.trace("late.csv", ALL, 0, 0.0), MORNING);
    let images = || {
        let connection = Connection::open(folder.site()).unwrap();
        connection.query_row("SELECT count(*), sum(length(bytes)) FROM raw", [], |row| Ok((row.get(0)?, row.get(1)?)))
    };
    taken(&folder.register(&["add", &early, "--keys", &public]));
    assert_eq!(folder.stages(), ["curing"]);
    taken(&folder.register(&["add", &late, "--keys", &public]));
    assert_eq!(folder.stages(), ["cured"]);
    let told = folder.list();
    assert_eq!(told["fixings"][0]["cured_at"], "2022-01-03T19:05:06-07:00");
    assert_eq!(told["fixings"][0]["verdict"], "proved");
    let output = folder.register(&["add", &middle]);
    taken(&output);
    assert!(String::from_utf8_lossy(&output.stdout).contains("a later view is held already"));
    assert_eq!(folder.list(), told);
    assert_eq!(images().unwrap(), (3, 3 * 65_536));
}

#[test]
fn without_keys_a_verdict_stays_and_with_the_wrong_ones_the_status_says_so() {
    let folder = Folder::new("verdict");
    let (secret, public) = folder.keys("k");
    let (_, other) = folder.keys("other");
    let first = folder.image("a.bin", &secret, &folder.trace("a.csv", 300, 0, 0.0), MORNING);
    let second = folder.image("b.bin", &secret, &folder.trace("b.csv", 400, 0, 0.0), MORNING);
    let third = folder.image("c.bin", &secret, &folder.trace("c.csv", 500, 0, 0.0), MORNING);
    let verdict = || folder.list()["fixings"][0]["verdict"].clone();
    taken(&folder.register(&["add", &first]));
    assert_eq!(verdict(), "not-checked");
    taken(&folder.register(&["prove", "--keys", &public]));
    assert_eq!(verdict(), "proved");
    taken(&folder.register(&["add", &second]));
    assert_eq!(verdict(), "proved");
    assert_eq!(folder.register(&["add", &third, "--keys", &other]).status.code(), Some(1));
    assert_eq!(verdict(), "not-proved");
    let text = String::from_utf8(folder.register(&["list"]).stdout).unwrap();
    assert!(text.contains("DO NOT LOAD: RELEASE NOT PROVED"), "{text}");
    assert!(!text.contains("It may be torqued"), "{text}");
}

#[test]
fn rewritten_history_is_kept_and_contradicts_unless_the_memory_was_made_blank() {
    let folder = Folder::new("rewritten");
    let (secret, public) = folder.keys("k");
    let whole = folder.image("whole.bin", &secret, &folder.trace("whole.csv", 200, 0, 0.0), MORNING);
    // the same day, but a quarter of an hour of it a little colder
    let other = folder.image("other.bin", &secret, &folder.trace("other.csv", ALL, 150, 0.5), MORNING);
    let grown = folder.image("grown.bin", &secret, &folder.trace("grown.csv", ALL, 0, 0.0), MORNING);
    taken(&folder.register(&["add", &whole, "--keys", &public]));
    let output = folder.register(&["add", &other, "--keys", &public]);
    contradicted(&output, "two memories of logger");
    assert!(String::from_utf8_lossy(&output.stdout).contains("whole.bin"));
    assert_eq!(folder.list()["fixings"][0]["claim"], "contradicted");
    refused(&folder.register(&["add", &grown, "--keys", &public, "--blanked"]), "not made blank");
    // the one that came first goes on, and stays contradicted
    contradicted(&folder.register(&["add", &grown, "--keys", &public]), "two memories of logger");
    refused(&folder.register(&["add", &other, "--keys", &public]), "in the register already");
    assert_eq!(folder.list()["fixings"].as_array().unwrap().len(), 1);
    // made blank, and begun anew on the next day
    let text = std::fs::read_to_string(demo("winter-day.csv")).unwrap();
    let (head, rows) = text.split_once('\n').unwrap();
    let next: Vec<&str> = rows.lines().skip(288).collect();
    let trace = folder.path("next.csv");
    std::fs::write(&trace, format!("{head}\n{}\n", next.join("\n"))).unwrap();
    let next = folder.image("next.bin", &secret, &trace, "2022-01-04T05:05:00-07:00");
    contradicted(&folder.register(&["add", &next, "--keys", &public]), "two memories of logger");
    assert_eq!(folder.list()["fixings"].as_array().unwrap().len(), 1);
    // its owner says so afterwards
    taken(&folder.register(&["add", &next, "--keys", &public, "--blanked"]));
    let list = folder.list();
    let claims: Vec<&str> =
        list["fixings"].as_array().unwrap().iter().map(|one| one["claim"].as_str().unwrap()).collect();
    assert_eq!(claims, ["contradicted", "stage"], "{list}");
    // a later image of the first life is still told from one of the second
    let early = folder.image("early.bin", &secret, &folder.trace("early.csv", 120, 0, 0.0), MORNING);
    taken(&folder.register(&["add", &early, "--keys", &public]));
    assert_eq!(folder.list(), list);
}

#[test]
fn a_code_is_taken_in_listed_and_joined_by_its_memory() {
    let folder = Folder::new("code");
    let (secret, public) = folder.keys("k");
    let image = folder.image("m.bin", &secret, &folder.trace("m.csv", ALL, 0, 0.0), MORNING);
    let codes = folder.path("codes");
    assert!(holdoff(&["read", &image, "--codes", &codes]).status.success());
    let picture = std::fs::read_dir(&codes).unwrap().next().unwrap().unwrap().path();
    taken(&folder.register(&["add", picture.to_str().unwrap(), "--keys", &public]));
    let list = folder.list();
    assert_eq!(list["fixings"], serde_json::json!([]));
    assert_eq!(list["codes"][0]["verdict"], "proved");
    assert_eq!(list["codes"][0]["cured_at"], "2022-01-03T19:05:06-07:00");
    refused(&folder.register(&["add", &code(&image)]), "in the register already");
    taken(&folder.register(&["add", &image, "--keys", &public]));
    let list = folder.list();
    assert_eq!(list["codes"], serde_json::json!([]));
    assert_eq!(list["fixings"][0]["verdict"], "proved");
}

#[test]
fn a_code_that_contradicts_its_memory_is_kept_and_told_with_its_fixing() {
    let folder = Folder::new("contradiction");
    let (secret, public) = folder.keys("k");
    let image = folder.image("m.bin", &secret, &folder.trace("m.csv", ALL, 0, 0.0), MORNING);
    // the same seating on another day's temperatures, and a seating that the memory does not know
    let colder = folder.image("c.bin", &secret, &folder.trace("c.csv", ALL, 150, 0.5), MORNING);
    let earlier = folder.image("e.bin", &secret, &folder.trace("e.csv", ALL, 0, 0.0), "2022-01-03T04:05:00-07:00");
    for (image_of_code, words) in [(&colder, "no such release"), (&earlier, "knows no such seating")] {
        let _ = std::fs::remove_file(folder.site());
        taken(&folder.register(&["add", &image, "--keys", &public]));
        let code = code(image_of_code);
        contradicted(&folder.register(&["add", &code, "--keys", &public]), words);
        let list = folder.list();
        assert_eq!((&list["codes"], &list["fixings"][0]["claim"]), (&serde_json::json!([]), &"contradicted".into()));
        assert_eq!(list["fixings"][0]["contradicted"].as_array().unwrap().len(), 1, "{list}");
        refused(&folder.register(&["add", &code]), "in the register already");
    }
}

#[test]
fn a_memory_that_contradicts_a_code_is_taken_in_and_marked() {
    let folder = Folder::new("after-code");
    let (secret, public) = folder.keys("k");
    let image = folder.image("m.bin", &secret, &folder.trace("m.csv", ALL, 0, 0.0), MORNING);
    let earlier = folder.image("e.bin", &secret, &folder.trace("e.csv", ALL, 0, 0.0), "2022-01-03T04:05:00-07:00");
    for keys in [&["--keys", &*public][..], &[]] {
        let _ = std::fs::remove_file(folder.site());
        taken(&folder.register(&[&["add", &*code(&earlier)], keys].concat()));
        contradicted(&folder.register(&["add", &image, "--keys", &public]), "typed in");
        let list = folder.list();
        assert_eq!((&list["codes"], &list["fixings"][0]["claim"]), (&serde_json::json!([]), &"contradicted".into()));
        assert_eq!(list["fixings"][0]["verdict"], "proved");
        let text = String::from_utf8(folder.register(&["list"]).stdout).unwrap();
        assert!(text.contains("DO NOT LOAD: CONTRADICTED") && text.contains("typed in"), "{text}");
    }
    // two codes for the same time, proved or not
    for keys in [&["--keys", &*public][..], &[]] {
        let _ = std::fs::remove_file(folder.site());
        taken(&folder.register(&[&["add", &*code(&earlier)], keys].concat()));
        let other = folder.register(&["add", &code(&image), "--keys", &public]);
        contradicted(&other, "another release of the same fixing");
        let list = folder.list();
        let codes = list["codes"].as_array().unwrap();
        assert!(codes.len() == 2 && codes.iter().all(|code| code["contradicted"].is_object()), "{list}");
    }
}

#[test]
fn a_damaged_memory_is_kept_and_its_fixings_are_released_no_longer() {
    let folder = Folder::new("damaged");
    let (secret, public) = folder.keys("k");
    let first = folder.image("a.bin", &secret, &folder.trace("a.csv", 400, 0, 0.0), MORNING);
    let second = folder.image("b.bin", &secret, &folder.trace("b.csv", 500, 0, 0.0), MORNING);
    taken(&folder.register(&["add", &first, "--keys", &public]));
    assert_eq!(folder.stages(), ["cured"]);
    let good = std::fs::read(&second).unwrap();
    let mut damaged = good.clone();
    damaged[600] ^= 1; // in its second page
    std::fs::write(&second, damaged).unwrap();
    assert_ne!(folder.register(&["add", &second, "--keys", &public]).status.code(), Some(3));
    let list = folder.list();
    assert!(list["fixings"][0]["untrusted"]["code"] == "page-lost", "{list}");
    assert_eq!(list["fixings"][0]["reasons"], serde_json::json!(["untrusted-log"]));
    // read out again, whole this time
    std::fs::write(&second, good).unwrap();
    taken(&folder.register(&["add", &second, "--keys", &public]));
    assert_eq!(folder.stages(), ["cured"]);
    // its first page damaged: nothing can be rebuilt, and what was known is known no longer
    let third = folder.image("c.bin", &secret, &folder.trace("c.csv", 550, 0, 0.0), MORNING);
    let mut damaged = std::fs::read(&third).unwrap();
    damaged[100] ^= 1;
    std::fs::write(&third, damaged).unwrap();
    let output = folder.register(&["add", &third, "--keys", &public]);
    let (code, told) = (output.status.code(), folder.list());
    // either nobody can say whose it is, or it is kept and trusted by nobody
    match code {
        Some(3) => assert_eq!(folder.stages(), ["cured"], "{told}"),
        _ => assert_eq!(told["fixings"][0]["reasons"], serde_json::json!(["untrusted-log"])),
    }
}

#[test]
fn in_a_log_that_cannot_be_trusted_no_fixing_is_said_not_to_have_been_injected() {
    // a page before anything was done is lost, and one after everything was injected: then all that ran is rejected
    for (place, untrusted) in [(700, 4), (1_212, 0)] {
        let folder = Folder::new(&format!("untrusted-{place}"));
        let (secret, public) = folder.keys("k");
        let image = folder.quay("q.bin", &secret);
        let mut damaged = std::fs::read(&image).unwrap();
        damaged[place] ^= 0x10;
        std::fs::write(&image, damaged).unwrap();
        let added = folder.register(&["add", &image, "--keys", &public]);
        assert_eq!(added.status.code(), Some(1), "{}", error(&added));
        let list = folder.register(&["list"]).stdout;
        let board = holdoff(&["board", "--register", &folder.site()]).stdout;
        for text in [list, board].map(|text| String::from_utf8(text).unwrap()) {
            assert_eq!(text.matches("DO NOT LOAD: LOG NOT TRUSTED").count(), untrusted, "{text}");
            assert_eq!(text.matches("DO NOT LOAD: REJECTED").count(), 4 - untrusted, "{text}");
            assert!(!text.contains("NOT INJECTED"), "{text}");
        }
        let list = folder.list();
        for fixing in list["fixings"].as_array().unwrap() {
            let status = fixing["status"].as_str().unwrap();
            assert!(status.contains("o not load it"), "{list}");
        }
    }
}

#[test]
fn several_are_taken_in_one_by_one_and_each_refusal_is_told() {
    let folder = Folder::new("several");
    let (secret, _) = folder.keys("k");
    let image = folder.quay("m.bin", &secret);
    let junk = folder.path("junk.bin");
    std::fs::write(&junk, [7; 4096]).unwrap();
    let output = folder.register(&["add", &junk, &image, &folder.path("none.bin"), "--json"]);
    assert_eq!(output.status.code(), Some(3));
    assert_eq!(json(&output)["fixings"], 4);
    assert!(error(&output).contains("junk.bin") && error(&output).contains("none.bin"), "{}", error(&output));
    let alone = Folder::new("several-alone");
    refused(&alone.register(&["add", &folder.path("none.bin")]), "can't be read");
    assert!(!Path::new(&alone.site()).exists(), "no register is made for nothing");
}

#[test]
fn what_is_no_register_or_a_later_one_is_named_and_left_alone() {
    let folder = Folder::new("foreign");
    let (secret, public) = folder.keys("k");
    let image = folder.quay("m.bin", &secret);
    let all: [&[&str]; 4] =
        [&["add", &image], &["list"], &["prove", "--keys", &public], &["export", "--csv", &folder.path("out")]];
    let expect = |words: &str| {
        let before = std::fs::read(folder.site()).unwrap();
        for arguments in all {
            refused(&folder.register(arguments), words);
        }
        assert!(before == std::fs::read(folder.site()).unwrap());
    };
    std::fs::write(folder.site(), "a letter, long enough to be taken for a database: ".repeat(30)).unwrap();
    expect("no register");
    std::fs::remove_file(folder.site()).unwrap();
    Connection::open(folder.site()).unwrap().execute_batch("CREATE TABLE other (x)").unwrap();
    expect("no register");
    // nor is it one for having the mark without a version
    Connection::open(folder.site()).unwrap().pragma_update(None, "application_id", 0x686F_6C64).unwrap();
    expect("this is no register of holdoff\n");
    std::fs::remove_file(folder.site()).unwrap();
    refused(&folder.register(&["list"]), "no such register");
    taken(&folder.register(&["add", &image]));
    Connection::open(folder.site()).unwrap().pragma_update(None, "user_version", 77).unwrap();
    expect("version 77, written by a later holdoff");
}

#[test]
fn one_program_writes_at_a_time_and_readers_are_not_in_its_way() {
    let folder = Folder::new("busy");
    let (secret, _) = folder.keys("k");
    let image = folder.quay("m.bin", &secret);
    let other = folder.image("o.bin", &folder.keys("o").0, &demo("winter-day.csv"), MORNING);
    taken(&folder.register(&["add", &image]));
    let writer = Connection::open(folder.site()).unwrap();
    writer.execute_batch("BEGIN IMMEDIATE; UPDATE revision SET number = number + 1").unwrap();
    refused(&folder.register(&["add", &other]), "another program is writing");
    assert_eq!(folder.stages().len(), 4);
    writer.execute_batch("ROLLBACK").unwrap();
    taken(&folder.register(&["add", &other]));
    assert_eq!(folder.stages().len(), 5);
}

#[test]
fn raw_images_and_releases_cannot_be_changed_by_any_statement() {
    let folder = Folder::new("kept");
    let (secret, _) = folder.keys("k");
    taken(&folder.register(&["add", &folder.quay("m.bin", &secret)]));
    let connection = Connection::open(folder.site()).unwrap();
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
    let folder = Folder::new("export");
    let (secret, public) = folder.keys("k");
    let image = folder.quay("m.bin", &secret);
    taken(&folder.register(&["add", &image, "--keys", &public]));
    let out = folder.path("out");
    taken(&folder.register(&["export", "--csv", &out]));
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
    let lines = String::from_utf8(folder.register(&["export", "--json"]).stdout).unwrap();
    let rows: Vec<Value> = lines.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let count = |name: &str| rows.iter().filter(|row| row["table"] == name).count();
    assert_eq!(
        [count("image"), count("session"), count("fixing"), count("release"), count("reading")],
        [1, 1, 4, 1, 576]
    );
    let fixing = rows.iter().find(|row| row["table"] == "fixing").unwrap();
    assert_eq!((&fixing["label"], &fixing["torque_nm"]), (&"bollard 3 stud 1".into(), &40.0.into()));
}
