//! What a stranger's file can do to whoever looks at it, and what a careless hand can do to a key.

use crate::board_support::harbour::Harbour;
use crate::folder::{PROGRAM, holdoff, package};
use serde_json::Value;
use std::path::Path;
use std::process::Command;

/// Characters that turn the direction of writing round, or mark it.
fn turned(text: &str) -> bool {
    let turns =
        |c: char| matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{200E}' | '\u{200F}' | '\u{061C}');
    text.chars().any(turns)
}

#[test]
fn labels_that_turn_writing_round_are_written_out_everywhere() {
    let harbour = Harbour::new("turned");
    harbour.labelled("a\u{202E}b\u{61C}");
    let (page, report) = (harbour.path("page.html"), harbour.path("report.html"));
    let (register, image, svg) = (harbour.register(), harbour.path("odd.bin"), harbour.path("odd.svg"));
    let scenario = harbour.path("odd.toml");
    for line in [
        &["board", "--register", &register, "--out", &page][..],
        &["report", "--register", &register, "--out", &report],
        &["board", "--register", &register],
        &["register", "--file", &register, "list"],
        &["register", "--file", &register, "list", "--json"],
        &["register", "--file", &register, "add", &image],
        &["read", &image],
        &["read", &image, "--json"],
        &["replay", "--scenario", &scenario, "--plot", &svg],
        &["replay", "--scenario", &scenario, "--json"],
    ] {
        let output = holdoff(line);
        let said = String::from_utf8([output.stdout, output.stderr].concat()).unwrap();
        assert!(!turned(&said), "{line:?}: {said}");
        if line.contains(&"--json") {
            let first = said.lines().next().unwrap();
            assert!(serde_json::from_str::<Value>(first).unwrap().to_string().contains('\u{202E}'), "{line:?}: {said}");
        }
    }
    for file in [page, report, svg] {
        let text = std::fs::read_to_string(&file).unwrap();
        assert!(!turned(&text), "{file}");
        assert!(text.contains("a\\u{202e}b\\u{61c}"), "{file}");
    }
    let served = harbour.serve(&[]);
    let page = served.ask(&format!("GET / HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", served.host()));
    assert!(page.contains("a\\u{202e}b") && !turned(&page));
}

#[test]
fn a_table_for_a_spreadsheet_holds_no_formula() {
    let harbour = Harbour::new("formula");
    harbour.labelled("=1+1,@x");
    let folder = harbour.path("tables");
    assert!(holdoff(&["register", "--file", &harbour.register(), "export", "--csv", &folder]).status.success());
    let mut csv = csv::Reader::from_path(Path::new(&folder).join("fixing.csv")).unwrap();
    let label = csv.headers().unwrap().iter().position(|name| name == "label").unwrap();
    let row = csv.records().next().unwrap().unwrap();
    assert_eq!(&row[label], "'=1+1,@x");
    assert_eq!(row[label].strip_prefix('\''), Some("=1+1,@x"), "what a program reads");
}

#[cfg(unix)]
#[test]
fn a_secret_key_that_others_can_read_is_warned_of() {
    use std::os::unix::fs::PermissionsExt;
    let harbour = Harbour::new("secret");
    harbour.ladder();
    let (scenario, secret) = (harbour.path("ladder.toml"), harbour.path("logger-2/secret.key"));
    let image = harbour.path("new.bin");
    let line = ["replay", "--scenario", &scenario, "--image", &image, "--key", &secret];
    let said = |mode: u32| {
        std::fs::set_permissions(&secret, std::fs::Permissions::from_mode(mode)).unwrap();
        let output = holdoff(&line);
        assert!(output.status.success());
        String::from_utf8(output.stderr).unwrap()
    };
    assert!(!said(0o600).contains("chmod"));
    for mode in [0o640, 0o604, 0o644] {
        let said = said(mode);
        assert!(said.contains("warning: ") && said.contains("chmod 600") && said.contains("secret.key"), "{said}");
    }
}

#[cfg(unix)]
#[test]
fn a_public_key_is_written_by_its_owner_alone_whatever_is_usual() {
    use std::os::unix::fs::PermissionsExt;
    let harbour = Harbour::new("umask");
    for usual in ["000", "022", "077"] {
        let folder = harbour.path(usual);
        let line = format!("umask {usual}; exec \"$0\" keys new \"$1\"");
        let made = Command::new("sh").args(["-c", &line, PROGRAM, &folder]).output().unwrap();
        assert!(made.status.success());
        let mode = |name: &str| std::fs::metadata(Path::new(&folder).join(name)).unwrap().permissions().mode() & 0o777;
        assert_eq!((mode("public.key"), mode("secret.key")), (0o644, 0o600), "{usual}");
    }
}

#[test]
fn what_is_wrong_with_evidence_is_said_in_words() {
    let harbour = Harbour::new("words");
    let (image, keys) = harbour.stair_unread();
    let listing = holdoff(&["read", &image, "--json"]);
    let listing: Value = serde_json::from_slice(&listing.stdout).unwrap();
    let records = listing["sessions"][0]["records"].as_array().unwrap();
    let record = records.iter().find(|record| record["kind"] == "release").unwrap();
    let (code, short) = (record["code"].as_str().unwrap(), record["short"].as_str().unwrap());
    // a code that a text program saved with a byte order mark
    let file = harbour.path("code.txt");
    std::fs::write(&file, format!("\u{FEFF}{code}\r\n")).unwrap();
    let proved = holdoff(&["prove", &file, "--keys", &keys]);
    assert_eq!(proved.status.code(), Some(0), "{}", String::from_utf8_lossy(&proved.stderr));
    assert!(holdoff(&["register", "--file", &harbour.register(), "add", &file]).status.success());
    // spoilt ones, and a short form
    let mut lower = code.to_owned();
    lower.replace_range(20..21, "a");
    let spoilt = [lower.as_str(), &code[..code.len() - 1], "HOR:", "HOR:::::::", short];
    for evidence in spoilt {
        for line in
            [&["prove", evidence, "--keys", &keys][..], &["register", "--file", &harbour.register(), "add", evidence]]
        {
            let output = holdoff(line);
            let said = String::from_utf8(output.stderr).unwrap();
            assert_eq!(output.status.code(), Some(3), "{line:?}: {said}");
            assert!(
                !said.contains(['{', '}', '[']) && !said.contains("Base45") && !said.contains("os error"),
                "{said}"
            );
        }
    }
    let said = String::from_utf8(holdoff(&["prove", short, "--keys", &keys]).stderr).unwrap();
    assert!(said.contains("short form of a release"), "{said}");
    // a memory that is too small for what is to be written
    let (scenario, secret) = (harbour.path("stair.toml"), harbour.path("logger-3/secret.key"));
    let line = ["replay", "--scenario", &scenario, "--image", &harbour.path("small.bin"), "--key", &secret];
    let output = holdoff(&[&line[..], &["--image-size", "4"]].concat());
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(!said.contains(['{', '}']), "{said}");
    // a file that bears the mark of a register and nothing else of one
    let marked = harbour.path("marked.db");
    let database = rusqlite::Connection::open(&marked).unwrap();
    database.execute_batch("CREATE TABLE image (id INTEGER); PRAGMA application_id = 1752132708").unwrap();
    drop(database);
    for line in [&["register", "--file", &marked, "list"][..], &["register", "--file", &marked, "add", &image]] {
        let output = holdoff(line);
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(output.status.code() == Some(3) && said.contains("no register") && !said.contains("TABLE"), "{said}");
    }
}

/// The program's own lines of a source file: those before its tests.
fn lines(file: &Path) -> Vec<String> {
    let text = std::fs::read_to_string(file).unwrap();
    let own = text.split("#[cfg(test)]").next().unwrap_or_default();
    own.lines().map(str::to_owned).collect()
}

#[test]
fn no_message_is_made_of_debug_text() {
    let mut folders = vec![package().join("..")];
    let mut looked_at = 0;
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if path.is_dir() {
                if name != "tests" {
                    folders.push(path);
                }
                continue;
            }
            // what only tests use, and the names of phrases by which tests speak of them
            let of_tests =
                name.ends_with("tests.rs") || path.ends_with("series/random.rs") || path.ends_with("table/mod.rs");
            if of_tests || !name.ends_with(".rs") {
                continue;
            }
            looked_at += 1;
            for line in lines(&path) {
                let debug = line.contains(":?}") || line.contains(":#?}") || line.contains(":x?}");
                assert!(!debug, "{}: {line}", path.display());
            }
        }
    }
    assert!(looked_at > 100, "{looked_at}");
}

#[test]
fn a_time_that_has_passed_is_said_in_the_list_as_on_the_page() {
    let harbour = Harbour::new("passed-list");
    harbour.ladder();
    let list = |arguments: &[&str]| {
        let register = harbour.register();
        let output = holdoff(&[&["register", "--file", &register, "list"], arguments].concat());
        String::from_utf8(output.stdout).unwrap()
    };
    let passed = "This time has passed. That is no release: read the logger out.";
    assert!(!list(&[]).contains("This time has passed"), "{}", list(&[]));
    // the same three weeks later: its clock was that much earlier
    let database = rusqlite::Connection::open(harbour.register()).unwrap();
    database.execute("UPDATE hold SET ahead = ahead - 1814400", []).unwrap();
    drop(database);
    let text = list(&[]);
    assert!(text.contains(passed) && text.contains("If it was not seated by then, it is rejected"), "{text}");
    assert!(String::from_utf8(harbour.board(&[]).stdout).unwrap().contains(passed));
    let object: Value = serde_json::from_str(&list(&["--json"])).unwrap();
    let of = |stage: &str| {
        let fixings = object["fixings"].as_array().unwrap();
        fixings.iter().filter(|one| one["stage"] == stage).map(|one| one["time_passed"].clone()).collect::<Vec<_>>()
    };
    assert_eq!(of("curing"), [true]);
    assert_eq!(of("working"), [true]);
    assert_eq!(of("planned"), [false]);
}
