//! A file of one kind given where another is read: every kind, every place.

use crate::folder::{Folder, program};
use std::process::Output;

/// A folder with a file of each kind, removed with it.
struct Kinds(Folder);

/// A file of each kind, and what it is called.
const KINDS: [(&str, &str); 18] = [
    ("harbour-slow.toml", "a resin file"),
    ("quay-job.toml", "a job file"),
    ("quay.toml", "a scenario"),
    ("tests.toml", "a file of proof tests"),
    ("probe-7.toml", "a calibration record"),
    ("key/public.key", "a file of public keys"),
    ("key/secret.key", "a secret key"),
    ("winter-day.csv", "a table in CSV"),
    ("m.bin", "the memory of a logger"),
    ("m.bin.part", "the part of a memory"),
    ("site.db", "a database, such as a register"),
    ("code.txt", "a release code"),
    ("code.png", "a PNG picture"),
    ("code.jpg", "a JPEG picture"),
    ("report.html", "an HTML page"),
    ("demo.svg", "an SVG drawing"),
    ("man/holdoff.1", "a manual page of holdoff"),
    ("fixing.parquet", "a Parquet table"),
];

const IMAGE: &[&str] = &["m.bin"];
const JOB: &[&str] = &["quay-job.toml"];
const LOADED: &[&str] = &["quay-job.toml", "quay.toml"];
const RESIN: &[&str] = &["harbour-slow.toml"];
const TRACE: &[&str] = &["winter-day.csv"];
const KEYS: &[&str] = &["key/public.key"];
const SECRET: &[&str] = &["key/secret.key"];
const SITE: &[&str] = &["site.db"];
const TESTS: &[&str] = &["tests.toml"];
const PROBE: &[&str] = &["probe-7.toml"];
const EVIDENCE: &[&str] = &["m.bin", "code.txt", "code.png", "code.jpg"];

/// Every place that a file is read at, as FILE, and the files that are of use there.
const READERS: [(&str, &[&str]); 35] = [
    ("resin check FILE", RESIN),
    ("replay winter-day.csv --resin FILE --hole dry --inject 2022-01-03T10:15:00-07:00", RESIN),
    ("replay FILE --resin harbour-slow.toml --hole dry --inject 2022-01-03T10:15:00-07:00", TRACE),
    ("replay --scenario FILE", &["quay.toml"]),
    ("replay FILE --scenario quay.toml", TRACE),
    ("replay --scenario quay.toml --image new.bin --key FILE", SECRET),
    ("replay --scenario quay.toml --image new.bin --key key/secret.key --job FILE", JOB),
    ("depth FILE --depth 100", TRACE),
    ("depth winter-day.csv --depth 100 --resin FILE --hole dry --inject 2022-01-03T10:15:00-07:00", RESIN),
    ("plan FILE --forecast winter-day.csv", JOB),
    ("plan quay-job.toml --forecast FILE --every 1h", TRACE),
    ("job check FILE", JOB),
    ("job take-off FILE", JOB),
    ("read FILE", IMAGE),
    ("prove FILE --keys key/public.key", EVIDENCE),
    ("prove m.bin --keys FILE", KEYS),
    ("prove m.bin --keys key --job FILE", LOADED),
    ("prove m.bin --keys key --resin FILE", RESIN),
    ("register --file FILE list", SITE),
    ("register --file FILE export --json", SITE),
    ("register --file new.db add FILE", EVIDENCE),
    ("register --file new.db add m.bin --keys FILE", KEYS),
    ("register --file site.db settle 0123456789abcdef --by A --because B --keep FILE", IMAGE),
    ("board --register FILE", SITE),
    ("board --register site.db --job FILE", JOB),
    ("report FILE --out new.html", IMAGE),
    ("report --register FILE --out new.html", SITE),
    ("report m.bin --job FILE --out new.html", JOB),
    ("report m.bin --proof-tests FILE --out new.html", TESTS),
    ("report m.bin --calibration FILE --out new.html", PROBE),
    ("probe check FILE", PROBE),
    ("probe check probe-7.toml --resin FILE", RESIN),
    ("probe check probe-7.toml --job FILE", JOB),
    ("keys list FILE", KEYS),
    ("link unix:nobody --patience 0 load FILE", LOADED),
];

impl Kinds {
    fn new() -> Self {
        let made = Self(Folder::new("kinds"));
        for line in [
            "demo --files . --plot demo.svg",
            "keys new key",
            "replay --scenario quay.toml --image m.bin --key key/secret.key",
            "register --file site.db add m.bin",
            "report m.bin --out report.html",
            "read m.bin --codes codes",
            "man --out man",
        ] {
            let output = made.run(line);
            assert!(output.status.success(), "{line}: {}", String::from_utf8_lossy(&output.stderr));
        }
        let listing: serde_json::Value = serde_json::from_slice(&made.run("read m.bin --json").stdout).unwrap();
        let records = listing["sessions"][0]["records"].as_array().unwrap();
        let code = records.iter().find_map(|record| record["code"].as_str()).unwrap();
        made.write("code.txt", code.as_bytes());
        let picture = std::fs::read_dir(made.0.root().join("codes")).unwrap().next().unwrap().unwrap().path();
        std::fs::copy(picture, made.0.root().join("code.png")).unwrap();
        // by its first bytes alone: nothing here writes such a file
        made.write("code.jpg", b"\xFF\xD8\xFF\xE0 and so on");
        made.write("fixing.parquet", b"PAR1 and so on");
        made.write("m.bin.part", b"holdoff part 1\n and so on");
        made.write(
            "tests.toml",
            b"[[test]]\nfixing = \"bollard 3 stud 1\"\nat = 2022-01-05T09:00:00-07:00\nload_kn = 9.0\n\
              verdict = \"passed\"\ntester = \"A. Invented\"\n",
        );
        made
    }

    fn write(&self, name: &str, bytes: &[u8]) {
        std::fs::write(self.0.root().join(name), bytes).unwrap();
    }

    fn run(&self, line: &str) -> Output {
        let mut command = program();
        command.args(line.split(' ')).current_dir(self.0.root()).env_remove("HOLDOFF_LANGUAGE").output().unwrap()
    }
}

#[test]
fn a_file_of_one_kind_given_as_another_is_told_what_it_is_and_nothing_else_is_complained_of() {
    let folder = Kinds::new();
    let mut amiss = Vec::new();
    for (reader, useful) in READERS {
        for (file, called) in KINDS {
            let line = reader.replace("FILE", file);
            let output = folder.run(&line);
            let err = String::from_utf8_lossy(&output.stderr).into_owned();
            if useful.contains(&file) {
                if err.contains(" is needed here") {
                    amiss.push(format!("{line}: is of use there: {err}"));
                }
                continue;
            }
            let told = err.lines().filter(|line| line.contains(&format!("this is {called}")));
            let errors = err.lines().filter(|line| line.starts_with("error: ")).count();
            let code = output.status.code();
            if code != Some(3)
                || !output.stdout.is_empty()
                || told.count() != 1
                || errors != 1
                || err.lines().count() > 2
            {
                amiss.push(format!("{line}: {code:?} {err}"));
            }
        }
    }
    assert!(amiss.is_empty(), "{} amiss\n{}", amiss.len(), amiss.join("\n"));
    for new in ["new.bin", "new.db", "new.html"] {
        let _ = std::fs::remove_file(folder.0.root().join(new));
    }
    // refused before anything is written
    assert_eq!(folder.run("register --file new.db add quay.toml").status.code(), Some(3));
    assert!(!folder.0.root().join("new.db").exists());
}
