//! Signed decisions of the engineer: signed, proved, taken in, and refused.

use crate::folder::{Folder, demo, error, holdoff, json, program, refused};
use rusqlite::Connection;
use std::process::{Output, Stdio};

/// The stud of the demo's bollard that was torqued before its cure, and that the logger was told is removed.
const STUD: &str = "bollard 3 stud 3";
/// The day after.
const AFTER: &str = "2022-01-05T08:00:00-07:00";

/// A site with a register that holds the demo's bollard, an engineer with a key, and a job file that names the engineer.
struct Site {
    folder: Folder,
    device: String,
    key: String,
    job: String,
}

impl Site {
    fn new(name: &str) -> Self {
        let folder = Folder::new(name);
        let (secret, public) = folder.keys("logger");
        let (key, engineer) = folder.keys("engineer");
        let image = folder.path("bollard.bin");
        done(&holdoff(&["replay", "--scenario", &demo("quay.toml"), "--image", &image, "--key", &secret]));
        let of_key = |file: &str, word: &str| {
            let text = std::fs::read_to_string(file).unwrap();
            let line = text.lines().find(|line| line.starts_with(&format!("{word} = "))).unwrap().to_owned();
            line.split('"').nth(1).unwrap().to_owned()
        };
        let engineers =
            format!("\n[[engineer]]\nname = \"E. Invented\"\npublic = \"{}\"\n", of_key(&engineer, "public"));
        let job = std::fs::read_to_string(demo("quay-job.toml")).unwrap() + &engineers;
        folder.file("harbour-slow.toml", std::fs::read(demo("harbour-slow.toml")).unwrap());
        let job = folder.file("job.toml", job);
        let site = Self { device: of_key(&public, "device"), key, job, folder };
        done(&site.register(&["add", &image, "--keys", &public]));
        site
    }

    fn register(&self, arguments: &[&str]) -> Output {
        holdoff(&[&["register", "--file", &self.folder.path("site.db")], arguments].concat())
    }

    fn sign_with(&self, file: &str, changes: &[(&str, &str)]) -> Output {
        let out = self.folder.path(file);
        let mut values = vec![
            ("--fixing", STUD),
            ("--device", &self.device),
            ("--ground", "loaded-early"),
            ("--decision", "remove"),
            ("--because", "it was torqued before its cure"),
            ("--document", "letter 17"),
            ("--by", "E. Invented"),
            ("--at", AFTER),
            ("--key", &self.key),
            ("--out", &out),
        ];
        for (option, value) in changes {
            values.iter_mut().find(|(known, _)| known == option).unwrap().1 = value;
        }
        let arguments: Vec<&str> = values.iter().flat_map(|(option, value)| [*option, *value]).collect();
        holdoff(&[&["decide", "sign"], &arguments[..]].concat())
    }

    /// The file of a decision with these values changed.
    fn signed(&self, file: &str, changes: &[(&str, &str)]) -> String {
        done(&self.sign_with(file, changes));
        self.folder.path(file)
    }

    fn add(&self, file: &str) -> Output {
        self.register(&["add", file, "--job", &self.job])
    }

    /// What the list says of the decision on the stud, and whether it is signed.
    fn told(&self) -> (String, Option<bool>) {
        let list = json(&self.register(&["list", "--json"]));
        let fixing = list["fixings"].as_array().unwrap().iter().find(|one| one["fixing"] == STUD).unwrap().clone();
        (fixing["decided"].as_str().unwrap_or_default().to_owned(), fixing["decision_signed"].as_bool())
    }

    fn connection(&self) -> Connection {
        Connection::open(self.folder.path("site.db")).unwrap()
    }

    fn number(&self, query: &str) -> i64 {
        self.connection().query_row(query, [], |row| row.get(0)).unwrap()
    }
}

#[track_caller]
fn done(output: &Output) {
    assert_eq!(output.status.code(), Some(0), "{}", error(output));
}

fn text(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

#[test]
fn a_signed_decision_is_told_by_name_and_document_in_list_page_and_record() {
    let site = Site::new("decision-told");
    assert_eq!(site.told(), ("entered at the logger, no signed decision".to_owned(), Some(false)));
    let file = site.signed("d.toml", &[]);
    let checked = holdoff(&["decide", "check", &file, "--job", &site.job]);
    done(&checked);
    assert!(
        text(&checked).contains("is proved: decided by E. Invented, letter 17, signed: remove"),
        "{}",
        text(&checked)
    );
    done(&site.add(&file));
    let says = "decided by E. Invented, letter 17, signed: remove";
    assert_eq!(site.told(), (says.to_owned(), Some(true)));
    let again = site.add(&file);
    done(&again);
    assert!(text(&again).contains("in the register already"), "{}", text(&again));
    assert_eq!(site.number("SELECT count(*) FROM decision"), 1);
    let database = site.folder.path("site.db");
    let page = text(&holdoff(&["board", "--register", &database]));
    assert!(page.contains(says), "{page}");
    let record = |job: &str| {
        let out = site.folder.path("record.html");
        holdoff(&["report", "--register", &database, "--job", job, "--out", &out]);
        std::fs::read_to_string(out).unwrap()
    };
    assert!(record(&site.job).contains(says));
    // a job file that no longer names the engineer
    let without = record(&demo("quay-job.toml"));
    assert!(!without.contains("decided by") && without.contains("entered at the logger, no signed decision"));
    let tables = text(&site.register(&["export", "--json"]));
    let row = tables.lines().find(|line| line.contains("\"table\":\"decision\"")).unwrap();
    assert!(row.contains("\"engineer\":\"E. Invented\"") && row.contains("\"reasons\":\"loaded-early\""), "{row}");
    for (language, words) in
        [("de", "entschieden von E. Invented, letter 17, signiert"), ("fr", "décidé par E. Invented, letter 17, signé")]
    {
        let list = text(&site.register(&["list", "--language", language]));
        assert!(list.contains(words), "{list}");
    }
}

#[test]
fn what_is_no_decision_on_a_rejected_fixing_by_an_engineer_of_the_job_is_refused() {
    let site = Site::new("decision-refused");
    let other_key = site.folder.keys("other").0;
    let no_such = site.signed("no.toml", &[("--fixing", "bollard 3 stud 4")]);
    refused(&site.add(&no_such), 3, "is not rejected: its log has it as cured");
    let cases = [
        ("key", vec![("--key", &*other_key)], "no [[engineer]] of the job has the key"),
        ("name", vec![("--by", "F. Invented")], "is that of engineer E. Invented"),
        ("fixing", vec![("--fixing", "bollard 3 stud 9")], "has no fixing of this name"),
        ("device", vec![("--device", "0123456789abcdef")], "the register has no fixing of this name on this logger"),
        ("released", vec![("--fixing", "bollard 3 stud 1")], "its log has it as released"),
        ("ground", vec![("--ground", "seated-late")], "rejected for other grounds: its log has loaded-early"),
        ("before", vec![("--at", "2022-01-03T15:29:59-07:00")], "decided before the fixing was rejected"),
    ];
    // before its release: it was not rejected then nor later
    let early = site.signed("early.toml", &[("--fixing", "bollard 3 stud 1"), ("--at", "2022-01-03T06:00:00-07:00")]);
    let early = site.add(&early);
    refused(&early, 3, "is not rejected: its log has it as released");
    for (file, changes, words) in cases {
        let file = site.signed(&format!("{file}.toml"), &changes);
        refused(&site.add(&file), 3, words);
    }
    let file = site.signed("d.toml", &[]);
    refused(&site.register(&["add", &file]), 3, "no [[engineer]] of the job");
    refused(&holdoff(&["decide", "check", &file, "--job", &demo("quay-job.toml")]), 1, "no [[engineer]]");
    let elsewhere = site.folder.path("none.db");
    refused(&holdoff(&["register", "--file", &elsewhere, "add", &file, "--job", &site.job]), 3, "no such register");
    assert!(!std::path::Path::new(&elsewhere).exists());
    assert_eq!(site.number("SELECT count(*) FROM decision"), 0);
    assert_eq!(site.number("SELECT number FROM revision"), 1, "the memory alone");
}

#[test]
fn a_decision_with_any_character_changed_is_refused() {
    let site = Site::new("decision-forged");
    let file = site.signed("d.toml", &[]);
    let whole = std::fs::read(&file).unwrap();
    let forged = site.folder.path("forged.toml");
    let jobs = [&*site.job];
    // every fifth byte, and the last digit of the signature
    for place in (0..whole.len()).step_by(5).chain([whole.len() - 3]) {
        let mut bytes = whole.clone();
        bytes[place] = if bytes[place] == b'1' { b'2' } else { b'1' };
        std::fs::write(&forged, bytes).unwrap();
        let output = holdoff(&["decide", "check", &forged, "--job", jobs[0]]);
        assert!(matches!(output.status.code(), Some(1 | 3)), "byte {place}: {}", text(&output));
        assert!(output.stdout.is_empty());
    }
    let other = site.signed("stud-1.toml", &[("--fixing", "bollard 3 stud 1")]);
    let moved = String::from_utf8(std::fs::read(&other).unwrap()).unwrap().replace("stud 1", "stud 3");
    std::fs::write(&forged, moved).unwrap();
    refused(&site.add(&forged), 3, "its signature fails");
    assert_eq!(site.number("SELECT count(*) FROM decision"), 0);
}

#[test]
fn a_decision_against_what_the_logger_was_told_is_a_contradiction_of_both() {
    let site = Site::new("decision-contradicts");
    let accept = site.signed("accept.toml", &[("--decision", "accept-as-is")]);
    let output = site.add(&accept);
    assert_eq!(output.status.code(), Some(4), "{}", error(&output));
    assert!(text(&output).contains("DO NOT LOAD: CONTRADICTED"), "{}", text(&output));
    let list = text(&site.register(&["list"]));
    assert!(list.contains("of another rejection, or decides otherwise") && !list.contains("decided by"), "{list}");
    // who answers for it settles it; the decision counts for nothing then
    done(&site.register(&["settle", &site.device, "--by", "E. Invented", "--because", "the letter was withdrawn"]));
    assert_eq!(site.told(), ("entered at the logger, no signed decision".to_owned(), Some(false)));
    // to be removed holds against a later letter
    done(&site.add(&site.signed("remove.toml", &[])));
    let later = site.signed("later.toml", &[("--decision", "accept-as-is"), ("--document", "letter 18")]);
    refused(&site.add(&later), 3, "the engineer decided that the fixing is to be removed");
    assert_eq!(site.told().1, Some(true));
}

#[test]
fn a_decision_that_a_later_memory_contradicts_is_kept_and_contradicted() {
    let site = Site::new("decision-later");
    done(&site.add(&site.signed("d.toml", &[])));
    // the logger's own memory once more, in which the stud was never torqued early
    let scenario = std::fs::read_to_string(demo("quay.toml")).unwrap();
    let early = "[[fixing.action]]\nat = 2022-01-03T15:30:00-07:00\ntorque = 40.0             # in a hurry\n";
    let decide = "[[fixing.action]]\nat = 2022-01-04T09:00:00-07:00\ndecide = \"remove\"\n";
    let scenario = scenario.replace(early, "").replace(decide, "").replace("winter-day.csv", &demo("winter-day.csv"));
    let scenario = scenario.replace("harbour-slow.toml", &demo("harbour-slow.toml"));
    assert!(!scenario.contains("in a hurry") && !scenario.contains("decide = "));
    let (scenario, image) = (site.folder.file("other.toml", scenario), site.folder.path("other.bin"));
    let secret = site.folder.path("logger/secret.key");
    done(&holdoff(&["replay", "--scenario", &scenario, "--image", &image, "--key", &secret]));
    let public = site.folder.path("logger/public.key");
    let added = site.register(&["add", &image, "--keys", &public]);
    assert_eq!(added.status.code(), Some(4), "{}", error(&added));
    let keep = ["--by", "E. Invented", "--because", "that is the logger's", "--keep", &image];
    done(&site.register(&[&["settle", &site.device][..], &keep].concat()));
    let list = text(&site.register(&["list"]));
    assert!(list.contains("of another rejection, or decides otherwise"), "{list}");
    assert_eq!(site.number("SELECT count(*) FROM decision WHERE contradicted IS NOT NULL"), 1);
}

#[test]
fn what_is_wrong_on_the_command_line_is_refused_and_nothing_is_written() {
    let site = Site::new("decision-usage");
    let cases = [
        ("--device", "0123", "is no number of a logger"),
        ("--ground", "too late", "is no ground of a rejection"),
        ("--because", "", "is empty"),
        ("--by", " E.", "blanks around it"),
        ("--document", "a\u{202E}b", "can't be seen"),
        ("--at", "tomorrow", "--at \"tomorrow\""),
        ("--decision", "load", "accept-as-is"),
    ];
    for (option, value, words) in cases {
        refused(&site.sign_with("d.toml", &[(option, value)]), 2, words);
        assert!(!std::path::Path::new(&site.folder.path("d.toml")).exists());
    }
    let file = site.signed("d.toml", &[]);
    let before = std::fs::read(&file).unwrap();
    refused(&site.sign_with("d.toml", &[("--document", "letter 18")]), 3, "a signed decision is there already");
    assert_eq!(std::fs::read(&file).unwrap(), before);
    refused(&holdoff(&["prove", &file, "--keys", &site.folder.path("logger/public.key")]), 3, "holdoff decide check");
}

#[cfg(unix)]
#[test]
fn a_secret_key_that_others_may_read_is_warned_of_when_it_signs() {
    use std::os::unix::fs::PermissionsExt;
    let site = Site::new("decision-exposed");
    std::fs::set_permissions(&site.key, std::fs::Permissions::from_mode(0o644)).unwrap();
    let output = site.sign_with("d.toml", &[]);
    done(&output);
    assert!(error(&output).contains("chmod 600"), "{}", error(&output));
}

#[test]
fn a_decision_is_never_changed_and_a_killed_addition_leaves_all_of_it_or_nothing() {
    let site = Site::new("decision-kept");
    let file = site.signed("d.toml", &[]);
    for pause in 0..12u64 {
        let (database, job) = (site.folder.path("site.db"), site.job.clone());
        let arguments = ["register", "--file", &*database, "add", &*file, "--job", &*job];
        let mut child = program().args(arguments).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        std::thread::sleep(std::time::Duration::from_millis(pause * 2));
        let _ = child.kill();
        child.wait().unwrap();
        let held = site.number("SELECT count(*) FROM decision");
        assert!(held <= 1);
        assert_eq!(site.number("SELECT number FROM revision"), 1 + held, "the addition and its revision are one");
        assert_eq!(site.number("SELECT count(*) FROM fixing WHERE revision = 2"), held);
    }
    done(&site.add(&file));
    let raw: Vec<u8> = site.connection().query_row("SELECT raw FROM decision", [], |row| row.get(0)).unwrap();
    assert_eq!(raw, std::fs::read(&file).unwrap());
    for change in
        ["UPDATE decision SET engineer = 'F. Invented'", "UPDATE decision SET raw = x''", "DELETE FROM decision"]
    {
        assert!(site.connection().execute(change, []).is_err(), "{change}");
    }
}

#[test]
fn a_job_file_names_an_engineer_once_with_a_key_of_their_own() {
    let site = Site::new("decision-engineers");
    let whole = std::fs::read_to_string(&site.job).unwrap();
    let engineer = whole.split_once("\n[[engineer]]").unwrap().1.to_owned();
    let public = engineer.split('"').nth(3).unwrap().to_owned();
    let cases = [
        (whole.replace(&public, &public[1..]), "public is not 32 bytes in 64 hexadecimal digits"),
        (whole.replace("name = \"E. Invented\"\n", ""), "name is missing"),
        (whole.replace("public = ", "key = "), "unknown key"),
        (format!("{whole}[[engineer]]{engineer}"), "engineer \"E. Invented\" stands here twice"),
        (
            format!("{whole}[[engineer]]{}", engineer.replace("E. I", "F. I")),
            "stands here for engineer \"E. Invented\" already",
        ),
        (whole.replace("E. Invented\"\npublic", &format!("{}\"\npublic", "E".repeat(41))), "longer than 40 characters"),
    ];
    for (text, words) in cases {
        let file = site.folder.file("wrong.toml", text);
        refused(&holdoff(&["decide", "check", &file, "--job", &file]), 3, words);
    }
}
