//! A folder for a test, the files of the demo, and the program itself.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

/// A folder of its own for one test, removed with it.
pub(crate) struct Folder(TempDir);

impl Folder {
    /// An empty one; the name is for whoever finds it after a run that was killed.
    pub(crate) fn new(name: &str) -> Self {
        Self(tempfile::Builder::new().prefix(&format!("holdoff-{name}-")).tempdir().unwrap())
    }

    /// Where it is.
    pub(crate) fn root(&self) -> &Path {
        self.0.path()
    }

    /// A path in it.
    pub(crate) fn path(&self, name: &str) -> String {
        self.root().join(name).to_string_lossy().into_owned()
    }

    /// Writes a file in it; its path.
    pub(crate) fn file(&self, name: &str, bytes: impl AsRef<[u8]>) -> String {
        std::fs::write(self.root().join(name), bytes).unwrap();
        self.path(name)
    }

    /// A file of the demo in it; its path.
    pub(crate) fn demo(&self, name: &str) -> String {
        std::fs::copy(demo(name), self.root().join(name)).unwrap();
        self.path(name)
    }

    /// New keys in it: the secret file and the public one.
    pub(crate) fn keys(&self, name: &str) -> (String, String) {
        done(&["keys", "new", &self.path(name)]);
        (self.path(&format!("{name}/secret.key")), self.path(&format!("{name}/public.key")))
    }

    /// The demo's winter day up to a row, every temperature from row `from` on colder by `colder`.
    pub(crate) fn winter_day(&self, name: &str, rows: usize, from: usize, colder: f64) -> String {
        let mut made = String::new();
        let day = std::fs::read_to_string(demo("winter-day.csv")).unwrap();
        for (place, line) in day.lines().take(rows + 1).enumerate() {
            match line.split_once(',') {
                Some((time, celsius)) if place > from && colder != 0.0 && !celsius.is_empty() => {
                    made.push_str(&format!("{time},{:.2}\n", celsius.parse::<f64>().unwrap() - colder));
                }
                _ => made.push_str(&format!("{line}\n")),
            }
        }
        self.file(name, made)
    }
}

/// The demo's job file.
pub(crate) const JOB: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/quay-job.toml");
/// The demo's recorded winter day.
pub(crate) const DAY: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/winter-day.csv");
/// The demo's resin, an invented one.
pub(crate) const RESIN: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../demo/harbour-slow.toml");

/// A file of the demo.
pub(crate) fn demo(name: &str) -> String {
    package().join("../demo").join(name).to_string_lossy().into_owned()
}

/// Where the program's manifest is.
pub(crate) fn package() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The root of the repository.
pub(crate) fn repository() -> PathBuf {
    package().join("../..")
}

/// The program's file.
pub(crate) const PROGRAM: &str = env!("CARGO_BIN_EXE_holdoff");

/// The program, to be started.
pub(crate) fn program() -> Command {
    Command::new(PROGRAM)
}

/// Runs it.
pub(crate) fn holdoff(arguments: &[&str]) -> Output {
    program().args(arguments).output().unwrap()
}

/// Runs it; it ends well.
#[track_caller]
pub(crate) fn done(arguments: &[&str]) -> Output {
    let output = holdoff(arguments);
    assert!(output.status.success(), "{arguments:?}: {}", error(&output));
    output
}

/// What it printed, where it ended with this status.
#[track_caller]
pub(crate) fn said(output: &Output, status: i32) -> String {
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert_eq!(output.status.code(), Some(status), "{}\n{text}", error(output));
    text
}

/// It ended with this status, said these words, and printed nothing.
#[track_caller]
pub(crate) fn refused(output: &Output, status: i32, words: &str) {
    let said = error(output);
    assert_eq!(output.status.code(), Some(status), "{said}");
    assert!(output.stdout.is_empty() && said.contains(words), "{words}: {said}");
}

/// What it complained of.
pub(crate) fn error(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// What it printed, as JSON.
#[track_caller]
pub(crate) fn json(output: &Output) -> serde_json::Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", error(output)))
}

/// The release code in an image.
pub(crate) fn code(image: &str) -> String {
    let listing = json(&holdoff(&["read", image, "--json"]));
    let records = listing["sessions"][0]["records"].as_array().unwrap().clone();
    records.iter().find(|record| record["kind"] == "release").unwrap()["code"].as_str().unwrap().to_owned()
}
