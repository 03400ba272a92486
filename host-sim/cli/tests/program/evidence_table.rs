//! False things that somebody brings along, each tried in every output: nothing of it lets anybody torque or load.

use crate::board_support::harbour::{Harbour, Served};
use crate::folder::{Folder, code, demo, holdoff, said};
use serde_json::Value;
use std::process::Output;
use std::time::{Duration, Instant};

/// A folder with a logger's keys.
struct Site(Folder);

/// Seated in the morning: cured with row 231 of the winter day, at 19:05:06.
const MORNING: &str = "2022-01-03T05:05:00-07:00";
/// All rows of the winter day.
const ALL: usize = 10_000;

impl Site {
    fn new(name: &str) -> Self {
        let folder = Folder::new(name);
        folder.keys("k");
        Self(folder)
    }

    /// The key of the logger, and what it is proved by.
    fn key(&self) -> (String, String) {
        (self.0.path("k/secret.key"), self.0.path("k/public.key"))
    }

    /// A key of somebody's own that says it is the logger's.
    fn made_up_key(&self) -> String {
        said(&holdoff(&["keys", "new", &self.0.path("made-up")]), 0);
        let device = |text: &str| text.lines().find(|line| line.starts_with("device")).unwrap().to_owned();
        let own = std::fs::read_to_string(self.key().0).unwrap();
        let other = std::fs::read_to_string(self.0.path("made-up/secret.key")).unwrap();
        let file = self.0.path("made-up/as-logger.key");
        std::fs::write(&file, other.replace(&device(&other), &device(&own))).unwrap();
        file
    }

    /// The memory of a logger with one fixing, after a trace.
    fn image(&self, name: &str, secret: &str, trace: &str, resin: &str) -> String {
        let image = self.0.path(name);
        let times = ["--hole", "dry", "--inject", "2022-01-03T05:00:00-07:00", "--seat", MORNING];
        let wanted = ["--image", &image, "--key", secret];
        said(&holdoff(&[&["replay", trace, "--resin", resin][..], &times, &wanted].concat()), 0);
        image
    }

    /// The memory of a logger after a scenario.
    fn after(&self, name: &str, secret: &str, scenario: &str) -> String {
        for file in ["winter-day.csv", "harbour-slow.toml"] {
            std::fs::copy(demo(file), self.0.path(file)).unwrap();
        }
        let (file, image) = (self.0.path("scenario.toml"), self.0.path(name));
        std::fs::write(&file, scenario).unwrap();
        said(&holdoff(&["replay", "--scenario", &file, "--image", &image, "--key", secret]), 0);
        image
    }

    fn register(&self, arguments: &[&str]) -> Output {
        holdoff(&[&["register", "--file", &self.0.path("site.db")], arguments].concat())
    }

    fn list(&self) -> Value {
        serde_json::from_slice(&self.register(&["list", "--json"]).stdout).unwrap()
    }

    /// What list, page and hand-over record show a person.
    fn outputs(&self) -> [String; 4] {
        let (register, page, report) = (self.0.path("site.db"), self.0.path("page.html"), self.0.path("report.html"));
        let text = |output: Output| String::from_utf8(output.stdout).unwrap();
        let list = text(self.register(&["list"]));
        let board = text(holdoff(&["board", "--register", &register]));
        said(&holdoff(&["board", "--register", &register, "--out", &page]), 0);
        let _ = holdoff(&["report", "--register", &register, "--out", &report]);
        [list, board, without_notes(&std::fs::read_to_string(page).unwrap()), std::fs::read_to_string(report).unwrap()]
    }
}

/// The rows of a page: headings and notes of empty sections stand on every one.
fn without_notes(page: &str) -> String {
    page.split("<tr ").skip(1).map(|row| row.split("</tr>").next().unwrap_or_default()).collect()
}

/// Whether a text leads anybody to torque or load.
fn leads_on(text: &str) -> bool {
    ["It may be torqued now", "It may be loaded", "may let the next trade load"]
        .iter()
        .any(|words| text.contains(words))
}

#[test]
fn a_made_up_memory_that_came_first_does_not_keep_the_genuine_one_out_and_marks_what_it_touches() {
    for keys in [true, false] {
        let site = Site::new(&format!("made-up-{keys}"));
        let (secret, public) = site.key();
        // the logger's own day up to row 150, and from there on somebody's own
        let forged = site.0.winter_day("forged.csv", ALL, 150, 2.5);
        let forged = site.image("forged.bin", &site.made_up_key(), &forged, &demo("harbour-slow.toml"));
        let genuine = site.image(
            "genuine.bin",
            &secret,
            &site.0.winter_day("genuine.csv", ALL, 0, 0.0),
            &demo("harbour-slow.toml"),
        );
        let with: &[&str] = if keys { &["--keys", &public] } else { &[] };
        let first = site.register(&[&["add", &forged], with].concat());
        assert_eq!(first.status.code(), Some(if keys { 1 } else { 0 }));
        let second = said(&site.register(&[&["add", &genuine], with].concat()), 4);
        assert!(second.contains("forged.bin") && second.contains("genuine.bin"), "{second}");
        let list = site.list();
        let fixing = &list["fixings"][0];
        assert_eq!(
            (list["fixings"].as_array().unwrap().len(), &fixing["claim"]),
            (1, &"contradicted".into()),
            "{list}"
        );
        let conflict = &fixing["contradicted"][0];
        assert_eq!(conflict["code"], "other-history");
        assert!(conflict["pieces"][0]["source"].as_str().unwrap().ends_with("forged.bin"), "{conflict}");
        assert!(conflict["pieces"][1]["source"].as_str().unwrap().ends_with("genuine.bin"), "{conflict}");
        // what a known key signed is what is told, and it stands contradicted all the same
        assert_eq!(fixing["cured_at"] == "2022-01-03T19:05:06-07:00", keys, "{fixing}");
        for text in site.outputs() {
            assert!(text.contains("DO NOT LOAD: CONTRADICTED") && !leads_on(&text), "{text}");
            assert!(text.contains("forged.bin") && text.contains("genuine.bin"), "{text}");
        }
        // keys that come later tell the signed one too
        said(&site.register(&["prove", "--keys", &public]), 0);
        assert_eq!(site.list()["fixings"][0]["cured_at"], "2022-01-03T19:05:06-07:00");
        assert_eq!(site.list()["fixings"][0]["claim"], "contradicted");
        // both files are there for whoever settles it
        let held = site.register(&["export", "--json"]);
        assert_eq!(said(&held, 0).lines().filter(|line| line.contains("\"table\":\"image\"")).count(), 2);
    }
}

#[test]
fn who_answers_for_it_settles_a_contradiction_and_what_was_made_up_stays_in_the_register() {
    let site = Site::new("settled");
    let (secret, public) = site.key();
    let forged = site.0.winter_day("forged.csv", ALL, 150, 2.5);
    let forged = site.image("forged.bin", &site.made_up_key(), &forged, &demo("harbour-slow.toml"));
    let genuine =
        site.image("genuine.bin", &secret, &site.0.winter_day("genuine.csv", ALL, 0, 0.0), &demo("harbour-slow.toml"));
    said(&site.register(&["add", &forged]), 0);
    said(&site.register(&["add", &genuine]), 4);
    let device = site.list()["fixings"][0]["device"].as_str().unwrap().to_owned();
    let settle = |more: &[&str]| {
        let who = ["settle", &device, "--by", "B. Invented", "--because", "forged.bin was typed"];
        site.register(&[&who[..], more].concat())
    };
    said(&settle(&[]), 3);
    said(&settle(&["--keep", &site.0.winter_day("other.csv", 10, 0, 0.0)]), 3);
    said(&site.register(&["settle", &device, "--by", " ", "--because", "x", "--keep", &genuine]), 2);
    assert_eq!(site.list()["fixings"][0]["claim"], "contradicted");
    let settled = said(&settle(&["--keep", &genuine]), 0);
    assert!(settled.contains("both sides stay in the register"), "{settled}");
    let fixing = site.list()["fixings"][0].clone();
    assert_eq!((&fixing["claim"], &fixing["cured_at"]), (&"stage".into(), &"2022-01-03T19:05:06-07:00".into()));
    said(&settle(&["--keep", &genuine]), 3);
    // keys tell nothing else, and the forged one is still held
    said(&site.register(&["prove", "--keys", &public]), 0);
    assert_eq!(site.list()["fixings"][0]["verdict"], "proved");
    said(&site.register(&["add", &forged]), 3);
}

#[test]
fn a_register_says_its_number_and_its_schema() {
    let [one, other] = ["id", "id-other"].map(Site::new);
    for site in [&one, &other] {
        let image =
            site.image("m.bin", &site.key().0, &site.0.winter_day("t.csv", 100, 0, 0.0), &demo("harbour-slow.toml"));
        said(&site.register(&["add", &image]), 0);
    }
    let register = |site: &Site| site.list()["register"].clone();
    assert_eq!((register(&one)["id"].as_str().unwrap().len(), &register(&one)["schema"]), (32, &1.into()));
    assert_ne!(register(&one)["id"], register(&other)["id"]);
    std::fs::copy(other.0.path("site.db"), one.0.path("site.db")).unwrap();
    assert_eq!(register(&one), register(&other));
}

#[test]
fn the_neighbour_of_a_release_that_is_not_proved_is_not_believed() {
    let site = Site::new("neighbour");
    said(&holdoff(&["keys", "new", &site.0.path("other")]), 0);
    let quay = std::fs::read_to_string(demo("quay.toml")).unwrap();
    let image = site.after("m.bin", &site.key().0, &quay);
    said(&site.register(&["add", &image, "--keys", &site.0.path("other/public.key")]), 1);
    let list = site.list();
    let claims: Vec<&str> =
        list["fixings"].as_array().unwrap().iter().map(|fixing| fixing["claim"].as_str().unwrap()).collect();
    // released, curing in a wet hole, removed, cured
    assert_eq!(claims, ["void", "log-void", "stage", "log-void"], "{list}");
    for text in site.outputs() {
        assert!(!leads_on(&text), "{text}");
        assert!(text.contains("A SIGNATURE IN ITS LOG DOES NOT HOLD"), "{text}");
    }
}

#[test]
fn a_memory_rolled_back_to_before_an_over_torque_is_proved_up_to_an_end_that_is_named() {
    let site = Site::new("rolled-back");
    let (secret, public) = site.key();
    let day = |rows: usize, name: &str| {
        site.image(name, &secret, &site.0.winter_day("day.csv", rows, 0, 0.0), &demo("harbour-slow.toml"))
    };
    // what came after row 400 was taken away
    let rolled_back = day(400, "rolled-back.bin");
    let proof = said(&holdoff(&["prove", &rolled_back, "--keys", &public]), 0);
    assert!(proof.contains("nothing signed says that it ended there"), "{proof}");
    assert!(!proof.contains("whole"), "{proof}");
    let object = said(&holdoff(&["prove", &rolled_back, "--keys", &public, "--json"]), 0);
    let object: Value = serde_json::from_str(&object).unwrap();
    let end = &object["fixings"][0]["rests_on"]["end"];
    assert_eq!((&end["signed"], end["at"].as_str().is_some()), (&false.into(), true), "{object}");
    let later = said(&holdoff(&["prove", &day(500, "later.bin"), "--keys", &public, "--json"]), 0);
    let later: Value = serde_json::from_str(&later).unwrap();
    assert!(later["fixings"][0]["rests_on"]["end"]["at_s"].as_i64() > end["at_s"].as_i64());
}

#[test]
fn a_typed_trace_is_told_as_one_everywhere() {
    let site = Site::new("typed");
    let (secret, public) = site.key();
    let image = site.image("m.bin", &secret, &site.0.winter_day("t.csv", ALL, 0, 0.0), &demo("harbour-slow.toml"));
    said(&site.register(&["add", &image, "--keys", &public]), 0);
    assert_eq!(site.list()["fixings"][0]["source"], "trace");
    for text in site.outputs() {
        assert!(text.contains("RECORDED TRACE, not a logger's probe"), "{text}");
    }
    let proof = said(&holdoff(&["prove", &image, "--keys", &public]), 0);
    assert!(proof.contains("a recorded trace") && !proof.contains("its device made it"), "{proof}");
    let object = said(&holdoff(&["prove", &image, "--keys", &public, "--json"]), 0);
    assert!(object.contains("\"source\":\"trace\""), "{object}");
}

#[test]
fn a_resin_by_anothers_name_is_named_with_its_hash_and_held_against_the_file() {
    let site = Site::new("one-minute");
    let (secret, public) = site.key();
    let quick = site.0.path("quick.toml");
    let real = std::fs::read_to_string(demo("harbour-slow.toml")).unwrap();
    let made = real.replace("cure = \"14h\"", "cure = \"13h\"");
    assert_ne!(made, real);
    std::fs::write(&quick, made).unwrap();
    let image = site.image("m.bin", &secret, &site.0.winter_day("t.csv", ALL, 0, 0.0), &quick);
    let prove = |more: &[&str]| holdoff(&[&["prove", &image, "--keys", &public][..], more].concat());
    let proof = said(&prove(&[]), 0);
    for words in ["Harbour slow, SHA-256 ", "46800 s, coldest-band rule", "job", "clock", "device", "key"] {
        assert!(proof.contains(words), "{words}: {proof}");
    }
    said(&prove(&["--resin", &quick]), 0);
    let other = said(&prove(&["--resin", &demo("harbour-slow.toml"), "--json"]), 1);
    let other: Value = serde_json::from_str(&other).unwrap();
    assert_eq!(other["fixings"][0]["why"]["code"], "resin-file-differs", "{other}");
    let job = said(&prove(&["--job", &demo("quay-job.toml"), "--json"]), 1);
    assert!(job.contains("job-file-differs"), "{job}");
    // of a code as well
    let code = code(&image);
    said(&holdoff(&["prove", &code, "--keys", &public, "--resin", &quick]), 0);
    said(&holdoff(&["prove", &code, "--keys", &public, "--resin", &demo("harbour-slow.toml")]), 1);
}

#[test]
fn an_old_code_beside_a_rejection_is_one_line_with_the_conflict_named() {
    for code_first in [true, false] {
        let site = Site::new(&format!("old-code-{code_first}"));
        let (secret, public) = site.key();
        let resin = demo("harbour-slow.toml");
        let released = code(&site.image("released.bin", &secret, &site.0.winter_day("a.csv", ALL, 0, 0.0), &resin));
        // the same seating, and a frost before the cure
        let rejected = site.image("rejected.bin", &secret, &site.0.winter_day("b.csv", ALL, 150, 40.0), &resin);
        let add = |evidence: &str| site.register(&["add", evidence, "--keys", &public]);
        let (first, second) = if code_first { (&released, &rejected) } else { (&rejected, &released) };
        said(&add(first), 0);
        said(&add(second), 4);
        let list = site.list();
        assert_eq!((list["fixings"].as_array().unwrap().len(), &list["codes"]), (1, &serde_json::json!([])), "{list}");
        assert_eq!(list["fixings"][0]["claim"], "contradicted");
        assert_eq!(list["fixings"][0]["contradicted"][0]["code"], "rejected-before", "{list}");
        for text in site.outputs() {
            assert!(text.contains("DO NOT LOAD: CONTRADICTED") && text.contains("rejected.bin"), "{text}");
            assert!(!leads_on(&text), "{text}");
        }
        assert_eq!(site.outputs()[1].matches("\n  fixing 1").count(), 1, "{}", site.outputs()[1]);
    }
}

/// Asks for the page until it says something; how long that took.
fn until(served: &Served, says: &dyn Fn(&str) -> bool) -> Duration {
    let started = Instant::now();
    loop {
        let page = served.ask(&format!("GET / HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", served.host()));
        if says(&page) {
            return started.elapsed();
        }
        assert!(started.elapsed() < Duration::from_secs(20), "never said: {page}");
        std::thread::sleep(Duration::from_millis(100));
    }
}

#[test]
fn a_register_that_is_copied_over_the_live_one_is_noticed_and_shown() {
    let (harbour, other) = (Harbour::new("evidence-copied"), Harbour::new("evidence-copied-other"));
    harbour.ladder();
    other.stair();
    let served = harbour.serve(&[]);
    until(&served, &|page| page.contains("ladder 2 bolt 1"));
    std::fs::copy(other.register(), harbour.register()).unwrap();
    until(&served, &|page| page.contains("stair 1 bar 1") && !page.contains("ladder 2 bolt 1"));
}

#[test]
fn a_register_that_stays_locked_is_said_within_seconds() {
    let harbour = Harbour::new("evidence-locked");
    harbour.ladder();
    let served = harbour.serve(&[]);
    until(&served, &|page| page.contains("ladder 2 bolt 1"));
    let writer = rusqlite::Connection::open(harbour.register()).unwrap();
    writer.execute_batch("BEGIN EXCLUSIVE; UPDATE revision SET number = number + 1").unwrap();
    let took = hears(&served, "another program is writing to the register");
    assert!(took < Duration::from_secs(15), "{took:?}");
    writer.execute_batch("ROLLBACK").unwrap();
}

/// Listens as an open page does until it hears something; how long that took.
fn hears(served: &Served, what: &str) -> Duration {
    use std::io::{Read, Write};
    let started = Instant::now();
    let mut page = std::net::TcpStream::connect(served.host()).unwrap();
    page.write_all(format!("GET /events HTTP/1.1\r\nHost: {}\r\n\r\n", served.host()).as_bytes()).unwrap();
    page.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
    let (mut heard, mut buffer) = (Vec::new(), [0; 4096]);
    while !String::from_utf8_lossy(&heard).contains(what) {
        let read = match page.read(&mut buffer) {
            Err(error) if error.kind() == std::io::ErrorKind::Interrupted => continue,
            read => read.expect("it goes on"),
        };
        assert!(read > 0 && started.elapsed() < Duration::from_secs(20), "{}", String::from_utf8_lossy(&heard));
        heard.extend_from_slice(&buffer[..read]);
    }
    started.elapsed()
}
