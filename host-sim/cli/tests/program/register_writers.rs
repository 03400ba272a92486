//! Writers of one register that are killed at random moments, or write at the same time: what was acknowledged stays.

use crate::folder::{Folder, demo, error, holdoff, program};
use rusqlite::Connection;
use serde_json::Value;
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::os::unix::process::ExitStatusExt;
use std::path::Path;
use std::process::{Output, Stdio};
use std::time::{Duration, Instant};

/// Kills that come while the program runs.
const KILLS: usize = 200;
/// Processes that write at once.
const WRITERS: usize = 4;

/// A folder with a register.
struct Site(Folder);

impl Site {
    fn new(name: &str) -> Self {
        Self(Folder::new(name))
    }

    /// A small memory of a logger of its own, with one fixing.
    fn image(&self, name: &str) -> String {
        let (key, image, trace) = (self.0.path(&format!("{name}-key")), self.0.path(name), self.0.path("short.csv"));
        if !Path::new(&trace).exists() {
            let day = std::fs::read_to_string(demo("winter-day.csv")).unwrap();
            let rows: Vec<&str> = day.lines().take(90).collect();
            std::fs::write(&trace, rows.join("\n") + "\n").unwrap();
        }
        assert!(holdoff(&["keys", "new", &key]).status.success());
        let (resin, secret) = (demo("harbour-slow.toml"), format!("{key}/secret.key"));
        let times = ["--inject", "2022-01-03T05:00:00-07:00", "--seat", "2022-01-03T05:05:00-07:00", "--hole", "dry"];
        let files = ["replay", &trace, "--resin", &resin, "--image", &image, "--image-size", "8", "--key", &secret];
        let made = holdoff(&[&files[..], &times].concat());
        assert!(made.status.success(), "{}", error(&made));
        image
    }
}

/// `register add` of these, begun.
fn adding(register: &str, images: &[String]) -> std::process::Child {
    let mut command = program();
    command.args(["register", "--file", register, "add", "--json"]).args(images);
    command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
}

/// The images that a program said it has taken in.
fn acknowledged(output: &Output) -> BTreeSet<String> {
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    // a line that the kill cut short acknowledges nothing
    let whole = text.split_inclusive('\n').filter(|line| line.ends_with('\n'));
    whole.map(|line| serde_json::from_str::<Value>(line).unwrap()["added"].as_str().unwrap().to_owned()).collect()
}

/// The images that a register holds, each of them whole; each has its fixing.
fn held(register: &str) -> BTreeSet<String> {
    let connection = Connection::open(register).unwrap();
    let sound: String = connection.query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap();
    assert_eq!(sound, "ok");
    let tables: usize = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0)).unwrap();
    if tables == 0 {
        return BTreeSet::new();
    }
    let text =
        "SELECT source, sha256, size, bytes, (SELECT count(*) FROM session JOIN fixing ON fixing.session = session.id
        WHERE session.image = image.id) FROM image LEFT JOIN raw ON raw.image = image.id";
    let mut statement = connection.prepare(text).unwrap();
    let rows = statement.query_map([], |row| {
        let (hash, bytes): ([u8; 32], Vec<u8>) = (row.get(1)?, row.get(3)?);
        assert_eq!(<[u8; 32]>::from(Sha256::digest(&bytes)), hash);
        assert_eq!((bytes.len(), 1), (row.get::<_, usize>(2)?, row.get::<_, usize>(4)?));
        row.get(0)
    });
    rows.unwrap().map(|row| row.unwrap()).collect()
}

/// What `list` says, by fixing; the register may have been killed before there was anything in it.
fn listed(register: &str) -> usize {
    let list = holdoff(&["register", "--file", register, "list", "--json"]);
    assert_eq!(list.status.code(), Some(0), "{}", error(&list));
    let list: Value = serde_json::from_slice(&list.stdout).unwrap();
    list["fixings"].as_array().unwrap().len()
}

#[test]
fn a_register_whose_writer_is_killed_at_any_moment_holds_what_was_acknowledged_and_can_be_added_to() {
    let site = Site::new("killed");
    let images = ["a.bin", "b.bin", "c.bin"].map(|name| site.image(name));
    let register = site.0.path("site.db");
    let started = Instant::now();
    let whole = adding(&register, &images).wait_with_output().unwrap();
    assert_eq!(whole.status.code(), Some(0), "{}", error(&whole));
    // how long an addition takes changes with what else the machine does: kills that come too late are made sooner
    let mut longest = started.elapsed();
    let mut random = fastrand::Rng::with_seed(11);
    let (mut kills, mut runs) = (0, 0);
    let mut moments = [0; 5]; // no file, nothing in it, one, two or three images held
    while kills < KILLS {
        runs += 1;
        assert!(runs < 20 * KILLS, "only {kills} of {runs} kills came while the program ran");
        let _ = std::fs::remove_file(&register);
        let mut child = adding(&register, &images);
        std::thread::sleep(longest.mul_f64(random.f64()));
        let _ = child.kill(); // SIGKILL
        let output = child.wait_with_output().unwrap();
        let said = acknowledged(&output);
        if output.status.signal().is_none() {
            assert_eq!((output.status.code(), said.len()), (Some(0), images.len()), "{}", error(&output));
            longest = longest.mul_f64(0.9).max(Duration::from_millis(2));
            continue;
        }
        kills += 1;
        longest = longest.mul_f64(1.02);
        if !Path::new(&register).exists() {
            assert!(said.is_empty());
            moments[0] += 1;
        } else {
            let told = listed(&register);
            let held = held(&register);
            assert!(said.is_subset(&held), "{said:?} were acknowledged and {held:?} are held");
            assert!(held.len() <= said.len() + 1, "{said:?} were acknowledged and {held:?} are held");
            assert_eq!(told, held.len());
            moments[1 + held.len()] += 1;
        }
        // the same command brings in what is missing; what is there is refused
        let again = adding(&register, &images).wait_with_output().unwrap();
        assert!(matches!(again.status.code(), Some(0 | 3)), "{}", error(&again));
        assert_eq!(held(&register), BTreeSet::from(images.clone()));
        assert_eq!(listed(&register), images.len());
    }
    println!("{kills} kills in {runs} runs: {moments:?} without a file, and with 0, 1, 2, 3 images held");
    assert!(moments[2] + moments[3] > 0, "no kill came between two additions: {moments:?}");
}

#[test]
fn what_was_killed_before_anything_stood_in_it_is_an_empty_register() {
    let site = Site::new("empty");
    let register = site.0.path("site.db");
    std::fs::write(&register, "").unwrap();
    assert_eq!(listed(&register), 0);
    let list = holdoff(&["register", "--file", &register, "list"]);
    assert!(String::from_utf8_lossy(&list.stdout).contains("the register is empty"), "{}", error(&list));
    assert_eq!(std::fs::metadata(&register).unwrap().len(), 0, "a look writes nothing");
    let board = holdoff(&["board", "--register", &register]);
    assert_eq!(board.status.code(), Some(0), "{}", error(&board));
    let image = site.image("a.bin");
    let added = adding(&register, &[image]).wait_with_output().unwrap();
    assert_eq!(added.status.code(), Some(0), "{}", error(&added));
    assert_eq!(listed(&register), 1);
}

#[test]
fn of_writers_at_once_each_has_all_taken_in_or_is_told_to_do_it_again_and_nothing_is_lost() {
    let site = Site::new("at-once");
    let register = site.0.path("site.db");
    let mine =
        |writer: usize| -> Vec<String> { (0..12).map(|place| site.image(&format!("w{writer}-{place}.bin"))).collect() };
    let all: Vec<Vec<String>> = (0..WRITERS).map(mine).collect();
    let (mut left, mut busy) = (all.clone(), 0);
    let first = adding(&register, &[left[0].remove(0)]).wait_with_output().unwrap();
    assert_eq!(first.status.code(), Some(0), "{}", error(&first));
    for round in 0..50 {
        // at first somebody else holds it for longer than a writer waits
        let other = (round == 0).then(|| {
            let holds = Connection::open(&register).unwrap();
            holds.execute_batch("BEGIN IMMEDIATE").unwrap();
            std::thread::spawn(move || {
                std::thread::sleep(Duration::from_secs(3));
                holds.execute_batch("ROLLBACK").unwrap();
            })
        });
        let writers: Vec<_> =
            left.iter().map(|images| (!images.is_empty()).then(|| adding(&register, images))).collect();
        for (writer, images) in writers.into_iter().zip(&mut left) {
            let Some(writer) = writer else { continue };
            let output = writer.wait_with_output().unwrap();
            let (said, err) = (acknowledged(&output), error(&output));
            let held = held(&register);
            assert!(said.is_subset(&held), "{said:?} were acknowledged and {held:?} are held");
            let refused: Vec<String> = images.iter().filter(|image| !said.contains(*image)).cloned().collect();
            match output.status.code() {
                Some(0) => assert!(refused.is_empty(), "{refused:?} {err}"),
                Some(3) => {
                    // one line for each that is not in, or one for all where the register could not even be opened
                    let told = err.matches("another program is writing to the register").count();
                    assert!(told == refused.len() || (told == 1 && said.is_empty()), "{refused:?} {err}");
                    assert!(err.contains("do it again"), "{err}");
                    busy += 1;
                }
                other => panic!("{other:?} {err}"),
            }
            *images = refused;
        }
        if let Some(other) = other {
            other.join().unwrap();
        }
    }
    println!("{WRITERS} writers: {busy} runs were told to do it again");
    assert!(busy > 0, "nobody met the lock");
    assert!(left.iter().all(Vec::is_empty), "{left:?} never came in");
    assert_eq!(held(&register), all.into_iter().flatten().collect());
}
