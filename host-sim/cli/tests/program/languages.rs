//! What a person reads, of every command, in every language: no English word is left in it, and what machines read is the
//! same.

use crate::english;
use crate::folder::{Folder, program};
use std::path::Path;

/// A folder with what a small site has.
struct Site(Folder);

impl Site {
    fn new() -> Self {
        let site = Self(Folder::new("languages"));
        for name in ["k1", "k2"] {
            site.run(&["keys", "new", name], 0);
        }
        site.run(&["demo", "--files", ".", "--plot", "demo.svg"], 0);
        site.run(&["replay", "--scenario", "quay.toml", "--image", "m.bin", "--key", "k1/secret.key"], 0);
        let mut damaged = site.bytes("m.bin");
        damaged[700] ^= 0x10;
        site.0.file("d.bin", damaged);
        let times = ["--hole", "dry", "--inject", "2022-01-03T05:00:00-07:00", "--seat", "2022-01-03T05:05:00-07:00"];
        let short =
            ["replay", "winter-day.csv", "--resin", "harbour-slow.toml", "--image", "w.bin", "--key", "k1/secret.key"];
        site.run(&[&short[..], &times, &["--uncertainty", "0.5"]].concat(), 0);
        site.run(&["register", "--file", "site.db", "add", "m.bin", "--keys", "k1/public.key"], 0);
        site.run(&["register", "--file", "other.db", "add", "m.bin", "--keys", "k2/public.key"], 1);
        let listed = site.run(&["read", "w.bin", "--json"], 0);
        let listed: serde_json::Value = serde_json::from_str(&listed).unwrap();
        let records = listed["sessions"][0]["records"].as_array().unwrap();
        let code = records.iter().find_map(|record| record["code"].as_str()).unwrap();
        site.0.file("c.txt", code);
        site.run(&["register", "--file", "code.db", "add", "c.txt", "--keys", "k1/public.key"], 0);
        site.run(&["register", "--file", "bare.db", "add", "c.txt"], 0);
        let tests = "[[test]]\nfixing = \"bollard 3 stud 1\"\nat = 2022-01-05T09:00:00-07:00\nload_kn = 9.0\n\
                     verdict = \"passed\"\ntester = \"Quay rebuilding, section 2\"\n";
        site.0.file("tests.toml", tests);
        // a probe checked at two points, one that is far off, and both of later than the job
        let probe = site.text("probe-7.toml");
        let parts: Vec<&str> = probe.split("[[point]]").collect();
        let two = format!("between_c = 0.1\n{}[[point]]{}[[point]]{}", parts[0], parts[2], parts[4]);
        site.0.file("narrow.toml", two.replace("2021-11-15", "2022-02-01").replace("repeatability_c", "# "));
        site.0.file("wide.toml", probe.replace("62.05", "60.05"));
        // a ten-minute logger in °F that changes to summer time, with a leap second
        let mut rows = "time,t_f\n2016-12-31T23:59:60Z,46\n".to_owned();
        for row in 1..60 {
            let at =
                holdoff_files::stamp::format_seconds(1_483_228_800 + row * 600, if row < 30 { 3600 } else { 7200 });
            rows.push_str(&format!("{at},46\n"));
        }
        site.0.file("ten.csv", rows);
        site
    }

    fn text(&self, name: &str) -> String {
        String::from_utf8(self.bytes(name)).unwrap()
    }

    fn bytes(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.0.path(name)).unwrap()
    }

    /// What a command prints.
    fn run(&self, arguments: &[&str], status: i32) -> String {
        let mut command = program();
        let output =
            command.args(arguments).current_dir(self.0.root()).env_remove("HOLDOFF_LANGUAGE").output().unwrap();
        let error = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(status), "{arguments:?}: {error}");
        String::from_utf8(output.stdout).unwrap()
    }

    /// What a person is shown: what is printed, or the text of the file that is written.
    fn shown(&self, command: &Shown, spoken: &[&str]) -> String {
        let printed = self.run(&[command.arguments, spoken].concat(), command.status);
        match command.file {
            None => printed,
            Some(file) => {
                let text = String::from_utf8(self.bytes(file)).unwrap();
                if Path::new(file).extension().is_some_and(|end| end == "html") {
                    of_page(&text)
                } else {
                    of_picture(&text)
                }
            }
        }
    }
}

/// A command that speaks to a person.
struct Shown {
    arguments: &'static [&'static str],
    status: i32,
    file: Option<&'static str>,
}

const fn printed(arguments: &'static [&'static str], status: i32) -> Shown {
    Shown { arguments, status, file: None }
}

const fn written(arguments: &'static [&'static str], file: &'static str) -> Shown {
    Shown { arguments, status: 0, file: Some(file) }
}

const ALL: &[Shown] = &[
    printed(&["demo", "--plot", "demo.svg"], 0),
    printed(&["read", "m.bin"], 0),
    printed(&["read", "w.bin"], 0),
    printed(&["read", "d.bin"], 0),
    printed(&["prove", "m.bin", "--keys", "k1/public.key"], 4),
    printed(&["prove", "w.bin", "--keys", "k1/public.key"], 0),
    printed(&["prove", "w.bin", "--keys", "k2/public.key"], 1),
    printed(&["prove", "d.bin", "--keys", "k1/public.key"], 1),
    printed(&["prove", "c.txt", "--keys", "k1/public.key"], 0),
    printed(&["register", "--file", "site.db", "list"], 0),
    printed(&["register", "--file", "other.db", "list"], 0),
    printed(&["register", "--file", "code.db", "list"], 0),
    printed(&["register", "--file", "site.db", "prove", "--keys", "k1/public.key"], 0),
    printed(&["register", "--file", "other.db", "prove", "--keys", "k2/public.key"], 1),
    printed(&["board", "--register", "site.db"], 0),
    printed(&["board", "--register", "site.db", "--job", "quay-job.toml"], 0),
    printed(&["board", "--register", "other.db"], 0),
    printed(&["board", "--register", "code.db"], 0),
    printed(&["board", "--register", "bare.db"], 0),
    printed(&["plan", "quay-job.toml", "--forecast", "winter-day.csv", "--every", "15min"], 0),
    printed(&["plan", "quay-job.toml", "--forecast", "winter-day.csv", "--every", "1h", "--torque-by", "23:00"], 0),
    printed(&["depth", "winter-day.csv", "--depth", "100"], 0),
    printed(&["resin", "check", "harbour-slow.toml"], 0),
    printed(&["job", "check", "quay-job.toml"], 0),
    printed(&["probe", "check", "probe-7.toml"], 0),
    printed(&["probe", "check", "probe-7.toml", "--job", "quay-job.toml", "--on", "2022-01-03"], 0),
    printed(&["probe", "check", "narrow.toml", "--job", "quay-job.toml", "--on", "2021-01-03"], 0),
    printed(&["probe", "check", "narrow.toml", "--resin", "harbour-slow.toml"], 0),
    printed(&["probe", "check", "wide.toml", "--job", "quay-job.toml", "--resin", "harbour-slow.toml"], 0),
    printed(&["job", "take-off", "quay-job.toml", "--spare", "7.5"], 0),
    printed(DEPTH, 0),
    printed(FAR_APART, 0),
    printed(&["depth", "ten.csv", "--depth", "100", "--temperature-column", "t_f"], 0),
    printed(PLAN_FAR_APART, 0),
    written(&["report", "m.bin", "--keys", "k1/public.key", "--job", "quay-job.toml", "--out", "r.html"], "r.html"),
    written(&["report", "d.bin", "--out", "r.html"], "r.html"),
    written(&["report", "--register", "code.db", "--out", "r.html"], "r.html"),
    written(&["report", "m.bin", "--job", "quay-job.toml", "--proof-tests", "tests.toml", "--out", "r.html"], "r.html"),
    written(&["report", "m.bin", "--calibration", "probe-7.toml", "--out", "r.html"], "r.html"),
    written(&["report", "m.bin", "--calibration", "narrow.toml", "--out", "r.html"], "r.html"),
    written(&["report", "--register", "code.db", "--calibration", "wide.toml", "--out", "r.html"], "r.html"),
    written(&["demo", "--plot", "p.svg"], "p.svg"),
    written(&["plan", "quay-job.toml", "--forecast", "winter-day.csv", "--every", "1h", "--plot", "p.svg"], "p.svg"),
    written(&["depth", "winter-day.csv", "--depth", "100", "--plot", "p.svg"], "p.svg"),
    written(&["board", "--register", "site.db", "--out", "b.html"], "b.html"),
    written(&["board", "--register", "other.db", "--job", "quay-job.toml", "--out", "b.html"], "b.html"),
];

/// A depth check of a fixing.
const DEPTH: &[&str] = &[
    "depth",
    "winter-day.csv",
    "--depth",
    "250",
    "--resin",
    "harbour-slow.toml",
    "--hole",
    "wet",
    "--inject",
    "2022-01-03T10:00:00-07:00",
    "--seat",
    "2022-01-03T10:05:00-07:00",
];

/// A replay of readings that lie too far apart, at another offset.
const FAR_APART: &[&str] = &[
    "replay",
    "ten.csv",
    "--temperature-column",
    "t_f",
    "--resin",
    "harbour-slow.toml",
    "--hole",
    "dry",
    "--inject",
    "2017-01-01T01:00:00-07:00",
    "--seat",
    "2017-01-01T01:05:00-07:00",
];

/// A plan on the same.
const PLAN_FAR_APART: &[&str] = &[
    "plan",
    "quay-job.toml",
    "--forecast",
    "ten.csv",
    "--temperature-column",
    "t_f",
    "--every",
    "1h",
    "--from",
    "2017-01-01T01:00:00-07:00",
];

/// The same for machines.
const MACHINES: &[&[&str]] = &[
    &["read", "m.bin", "--json"],
    &["read", "d.bin", "--json"],
    &["read", "m.bin", "--csv"],
    &["plan", "quay-job.toml", "--forecast", "winter-day.csv", "--every", "1h", "--json"],
    &["depth", "winter-day.csv", "--depth", "100", "--json"],
    &["job", "check", "quay-job.toml", "--toml"],
    &["job", "take-off", "quay-job.toml", "--json"],
    &["probe", "check", "probe-7.toml", "--job", "quay-job.toml", "--json"],
    &["prove", "w.bin", "--keys", "k1/public.key", "--json"],
    &["register", "--file", "site.db", "list", "--json"],
    &["register", "--file", "other.db", "export", "--json"],
];

/// Names of the invented site, in its files and not in the program.
const NAMES: &[&str] = &[
    "bollard 3 stud",
    "bollard 3",
    "ladder 2",
    "pipe hangers",
    "capping beam bars",
    "Harbour slow",
    "winter-day.csv",
    "demo.svg",
    "\"time\"",
    "\"temperature_c\"",
    "\"t_f\"",
    "ten.csv",
    "harbour-slow.toml",
    "Quay rebuilding, section 2",
    "Small harbour, quay section 2 (invented)",
    "quay-job.toml",
    "A. Invented",
    "B. Invented",
    "C. Invented",
];

/// Between tags, and in what a reader of the screen or the script says.
fn of_page(html: &str) -> String {
    let mut text = String::new();
    let mut rest = html;
    for element in ["style", "script"] {
        assert_eq!(html.matches(&format!("<{element}>")).count(), html.matches(&format!("</{element}>")).count());
    }
    while let Some((before, after)) = rest.split_once('<') {
        text.push_str(before);
        text.push('\n');
        let (tag, behind) = after.split_once('>').unwrap();
        for attribute in [
            "aria-label",
            "placeholder",
            "data-live",
            "data-lost",
            "data-failed",
            "data-just-now",
            "data-ago",
            "data-said",
        ] {
            if let Some((_, value)) = tag.split_once(&format!(" {attribute}=\"")) {
                text.push_str(value.split('"').next().unwrap());
                text.push('\n');
            }
        }
        let element = tag.split(' ').next().unwrap();
        rest = match element {
            "style" | "script" => behind.split_once(&format!("</{element}>")).unwrap().1,
            _ => behind,
        };
    }
    text.replace("&amp;", "&").replace("&quot;", "\"")
}

/// The texts of a drawing.
fn of_picture(svg: &str) -> String {
    svg.split("<text")
        .skip(1)
        .map(|part| part.split_once('>').unwrap().1.split('<').next().unwrap())
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn no_english_is_left_in_another_language_and_what_machines_read_is_the_same() {
    let site = Site::new();
    let mut amiss = Vec::new();
    for (place, language) in [(1, "de"), (2, "fr")] {
        let english = english::only(place);
        assert!(["the", "cured", "torqued", "not"].iter().all(|word| english.contains(*word)));
        let spoken = ["--language", language, "--unit", "fahrenheit", "--torque-unit", "ftlb"];
        for command in ALL {
            let mut text = site.shown(command, &spoken);
            assert_ne!(text, site.shown(command, &[]), "{:?} speaks English in {language}", command.arguments);
            for name in NAMES {
                text = text.replace(name, "");
            }
            for line in text.lines() {
                let left = english::left(line, &english);
                if !left.is_empty() {
                    amiss.push(format!("{:?} in {language}: {left:?} in {line:?}", command.arguments));
                }
            }
            // counts are of 1/256 °C in every unit
            let text = text.replace("1/256 °C", "");
            assert!(!text.contains("°C") && !text.contains("N·m"), "{:?} in {language}: {text}", command.arguments);
        }
        for machine in MACHINES {
            assert_eq!(site.run(machine, 0), site.run(&[machine, &spoken[..]].concat(), 0), "{machine:?}");
        }
    }
    assert!(amiss.is_empty(), "{}", amiss.join("\n"));
    // the language may also come from the surroundings, and the option comes first
    let spoken = |more: &[&str]| {
        let mut command = program();
        command
            .args(["job", "check", "quay-job.toml"])
            .args(more)
            .current_dir(site.0.root())
            .env("HOLDOFF_LANGUAGE", "de");
        String::from_utf8(command.output().unwrap().stdout).unwrap()
    };
    assert!(spoken(&[]).contains("nach oben, unter STÄNDIGER ZUGLAST"));
    assert!(spoken(&["--language", "fr"]).contains("sous TRACTION PERMANENTE"));
    let page = String::from_utf8(site.bytes("b.html")).unwrap();
    site.run(&["board", "--register", "site.db", "--out", "b.html", "--language", "fr"], 0);
    let french = String::from_utf8(site.bytes("b.html")).unwrap();
    assert!(page.contains("<html lang=\"en\"") && french.contains("<html lang=\"fr\""));
}
