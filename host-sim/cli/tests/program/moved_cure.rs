//! A cure that a stricter hole moves: what was signed for it is replaced, and proves as such, in every output.

use crate::folder::{Folder, holdoff, said};
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::Cartridge;
use holdoff_core::log::Source;
use holdoff_core::quantity::Count;
use holdoff_disk::Load;
use holdoff_evidence::keys::SecretFile;
use holdoff_evidence::recorder::{Loaded, Recorder};
use holdoff_files::deeds::build;
use holdoff_files::resin_file::ResinFile;
use holdoff_files::scenario::Scenario;
use holdoff_files::trace::{Options, Trace};
use holdoff_site::replay;
use serde_json::{Value, json};
use std::path::Path;
use std::process::Output;

/// A folder with the demo's resin and a logger's keys.
struct Site(Folder);

impl Site {
    fn new(name: &str) -> Self {
        let folder = Folder::new(name);
        folder.demo("harbour-slow.toml");
        folder.keys("k");
        Self(folder)
    }

    /// Steady at 12.5 °C, a row a minute from 08:00 on: a dry hole cures in five hours, a wet one in ten.
    fn scenario(&self, minutes: u32, hole: &str, actions: &[(&str, &str)]) -> String {
        let mut trace = "time,temperature_c\n".to_owned();
        for minute in 0..minutes {
            let at = 8 * 60 + minute;
            trace.push_str(&format!("2026-01-{:02}T{:02}:{:02}:00Z,12.5\n", 5 + at / 1440, at / 60 % 24, at % 60));
        }
        std::fs::write(self.0.path("t.csv"), trace).unwrap();
        let mut scenario = "trace = \"t.csv\"\nresin = \"harbour-slow.toml\"\n".to_owned();
        scenario.push_str(&format!("[[fixing]]\nname = \"bar 1\"\nhole = \"{hole}\"\n"));
        let set = [("08:10:00", "inject = {}"), ("08:15:00", "seat = true")];
        for (at, what) in set.iter().chain(actions) {
            scenario.push_str(&format!("[[fixing.action]]\nat = 2026-01-05T{at}Z\n{what}\n"));
        }
        std::fs::write(self.0.path("s.toml"), &scenario).unwrap();
        scenario
    }

    /// The memory of a logger after it.
    fn image(&self, name: &str, minutes: u32, hole: &str, actions: &[(&str, &str)]) -> String {
        self.scenario(minutes, hole, actions);
        let (image, scenario, key) = (self.0.path(name), self.0.path("s.toml"), self.0.path("k/secret.key"));
        said(&holdoff(&["replay", "--scenario", &scenario, "--image", &image, "--key", &key]), 0);
        image
    }

    /// The same of one and the same job, whatever was done: a memory that was read out now and then.
    fn view(&self, name: &str, minutes: u32, actions: &[(&str, &str)]) -> String {
        let scenario = Scenario::parse("s.toml", &self.scenario(minutes, "dry", actions)).unwrap();
        let resin = ResinFile::load(&self.0.path("harbour-slow.toml")).unwrap();
        let key = SecretFile::load(Path::new(&self.0.path("k/secret.key"))).unwrap();
        let plan = scenario.plan(|_| Cartridge::exactly(Count::from_degrees(12))).unwrap();
        let (settings, rule) = (Settings::DEFAULT, Rule::Coldest);
        let loaded = Loaded {
            resin: &resin,
            settings,
            rule,
            plan: &plan,
            job: "one job",
            key: &key,
            source: Source::Trace,
            period: None,
        };
        let mut memory = vec![0xFF; 65_536];
        let mut recorder = Recorder::new(loaded, &mut memory).unwrap();
        let file = std::fs::File::open(self.0.path("t.csv")).unwrap();
        let mut trace = Trace::new("t.csv", file, &Options::default()).unwrap();
        let group = build(resin.resin(), settings, rule, &plan).unwrap();
        replay::run(&mut trace, group, &plan, &mut recorder).unwrap();
        recorder.finish().unwrap();
        std::fs::write(self.0.path(name), memory).unwrap();
        self.0.path(name)
    }

    fn prove(&self, evidence: &str) -> (Option<i32>, Value) {
        let output = holdoff(&["prove", evidence, "--keys", &self.0.path("k/public.key"), "--json"]);
        let object: Value = serde_json::from_slice(&output.stdout).unwrap();
        (output.status.code(), object["fixings"][0].clone())
    }

    fn register(&self, site: &str, arguments: &[&str]) -> Output {
        holdoff(&[&["register", "--file", &self.0.path(site)], arguments].concat())
    }

    /// Adds to a register with the keys.
    fn add(&self, site: &str, evidence: &str) -> Output {
        self.register(site, &["add", evidence, "--keys", &self.0.path("k/public.key")])
    }

    fn list(&self, site: &str) -> Value {
        serde_json::from_slice(&self.register(site, &["list", "--json"]).stdout).unwrap()
    }
}

/// The release records of an image, in their order.
fn releases(image: &str) -> Vec<Value> {
    let listing: Value = serde_json::from_slice(&holdoff(&["read", image, "--json"]).stdout).unwrap();
    let records = listing["sessions"][0]["records"].as_array().unwrap().clone();
    records.into_iter().filter(|record| record["kind"] == "release").collect()
}

fn code(release: &Value) -> &str {
    release["code"].as_str().unwrap()
}

const DRY: &str = "2026-01-05T13:15:02Z";
const WET: &str = "2026-01-05T18:15:04Z";
const FOUND_WET: &[(&str, &str)] = &[("20:00:00", "hole = \"wet\"")];

/// What every output says of a fixing whose cure moved to `cured_at`.
fn is_proved_everywhere(site: &Site, image: &str, cured_at: &str) {
    let (status, proof) = site.prove(image);
    assert_eq!((status, &proof["proved"], &proof["cured_at"]), (Some(0), &json!(true), &json!(cured_at)), "{proof}");
    let text = said(&site.add("site.db", image), 0);
    assert_eq!(text.matches("PROVED").count(), 1, "the release in force alone is told: {text}");
    let list = site.list("site.db");
    assert_eq!(list["codes"], json!([]));
    let fixing = &list["fixings"][0];
    assert_eq!((&fixing["stage"], &fixing["verdict"]), (&json!("cured"), &json!("proved")), "{fixing}");
    assert_eq!(fixing["cured_at"], cured_at);
    said(&site.register("site.db", &["prove", "--keys", &site.0.path("k/public.key")]), 0);
    let page = said(&holdoff(&["board", "--register", &site.0.path("site.db")]), 0);
    assert!(page.contains("CURED") && !page.contains("DO NOT LOAD"), "{page}");
    for source in [&[image][..], &["--register", &site.0.path("site.db")]] {
        let keys = ["--keys", &site.0.path("k/public.key"), "--out", &site.0.path("page.html")];
        said(&holdoff(&[&["report"][..], source, &keys].concat()), 0);
        let report = std::fs::read_to_string(site.0.path("page.html")).unwrap();
        assert!(report.contains("which replaces the cure before") && report.contains(">CURED<"), "{source:?}");
        assert!(!report.contains("RELEASE NOT PROVED"));
    }
}

#[test]
fn a_hole_found_wet_after_both_cures_is_cured_at_the_later_one_and_proved() {
    let site = Site::new("wet");
    let image = site.image("m.bin", 1000, "dry", FOUND_WET);
    let account = said(&holdoff(&["replay", "--scenario", &site.0.path("s.toml")]), 0);
    assert!(
        account.contains("hole condition made stricter: cured at 2026-01-05 18:15:04 (UTC), which replaces"),
        "{account}"
    );
    is_proved_everywhere(&site, &image, WET);
    // both records stand in the memory, and say which of them is in force
    let found = releases(&image);
    let replaced: Vec<bool> = found.iter().map(|release| release["replaced"].as_bool().unwrap()).collect();
    assert_eq!(replaced, [true, false]);
    let text = said(&holdoff(&["read", &image, "--codes", &site.0.path("codes")]), 0);
    assert_eq!(text.matches(": REPLACED by a later one").count(), 1, "{text}");
    let drawn = std::fs::read_dir(site.0.path("codes")).unwrap();
    let names: Vec<String> = drawn.map(|file| file.unwrap().file_name().to_string_lossy().into_owned()).collect();
    assert_eq!(names.iter().filter(|name| name.ends_with("-replaced.png")).count(), 1, "{names:?}");
    // alone each was signed by the logger, for its own instant; beside the memory the earlier one was replaced
    assert_eq!(site.prove(code(&found[0])).1["cured_at"], DRY);
    assert_eq!(site.prove(code(&found[1])).1["cured_at"], WET);
    let (_, alone) = site.prove(code(&found[0]));
    assert!(alone["why"]["text"].as_str().unwrap().contains("whether it still stands"), "{alone}");
    let refused = site.add("site.db", code(&found[0]));
    assert_eq!(refused.status.code(), Some(3));
    let message = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(message.contains("was replaced by a later one"), "{message}");
}

#[test]
fn a_wet_hole_found_flooded_after_its_cure_is_signed_anew_for_the_same_instant() {
    let site = Site::new("flooded");
    let image = site.image("m.bin", 1000, "wet", &[("20:00:00", "hole = \"flooded\"")]);
    is_proved_everywhere(&site, &image, WET);
    assert_eq!(releases(&image).len(), 2);
}

#[test]
fn a_cure_withdrawn_and_reached_again_is_replaced_likewise() {
    let site = Site::new("withdrawn");
    let image = site.image("m.bin", 1000, "dry", &[("14:00:00", "hole = \"wet\"")]);
    let (status, proof) = site.prove(&image);
    assert_eq!((status, &proof["cured_at"]), (Some(0), &json!(WET)), "{proof}");
    said(&site.add("site.db", &image), 0);
    assert_eq!(site.list("site.db")["fixings"][0]["verdict"], "proved");
}

#[test]
fn a_register_takes_what_replaces_in_any_order_and_never_what_was_replaced() {
    let site = Site::new("orders");
    let early = site.view("early.bin", 700, &[]);
    let image = site.view("m.bin", 1000, FOUND_WET);
    let found = releases(&image);
    let (first, second) = (code(&found[0]), code(&found[1]));
    // the earlier code, then the later: of two codes the one of the stricter hole is in force
    said(&site.add("codes.db", first), 0);
    let told = said(&site.add("codes.db", second), 0);
    assert!(told.contains("is replaced by this one"), "{told}");
    let codes = site.list("codes.db")["codes"].clone();
    assert_eq!((codes.as_array().unwrap().len(), &codes[0]["cured_at"]), (1, &json!(WET)), "{codes}");
    said(&site.register("codes.db", &["prove", "--keys", &site.0.path("k/public.key")]), 0);
    let page = said(&holdoff(&["board", "--register", &site.0.path("codes.db")]), 0);
    assert!(!page.contains("DO NOT LOAD"), "{page}");
    let again = site.add("codes.db", first);
    assert!(String::from_utf8_lossy(&again.stderr).contains("was replaced by a later one"));
    // and when the memory comes it tells both
    said(&site.add("codes.db", &image), 0);
    let list = site.list("codes.db");
    assert_eq!((&list["codes"], &list["fixings"][0]["verdict"]), (&json!([]), &json!("proved")));
    // the later code, then the earlier
    said(&site.add("back.db", second), 0);
    let refused = site.add("back.db", first);
    assert_eq!(refused.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&refused.stderr).contains("was replaced by a later one"));
    // a memory of before, then the whole one, without keys: nobody has held the new release against any yet
    said(&site.add("views.db", &early), 0);
    assert_eq!(site.list("views.db")["fixings"][0]["verdict"], "proved");
    said(&site.register("views.db", &["add", &image]), 0);
    let fixing = site.list("views.db")["fixings"][0].clone();
    assert_eq!((&fixing["verdict"], &fixing["cured_at"]), (&json!("not-checked"), &json!(WET)), "{fixing}");
    said(&site.register("views.db", &["prove", "--keys", &site.0.path("k/public.key")]), 0);
    assert_eq!(site.list("views.db")["fixings"][0]["verdict"], "proved");
    let export = said(&site.register("views.db", &["export", "--json"]), 0);
    let rows: Vec<Value> = export.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let replaced: Vec<&Value> =
        rows.iter().filter(|row| row["table"] == "release").map(|row| &row["replaced"]).collect();
    assert_eq!(replaced, [&json!(true), &json!(false)], "in the order of their instants");
}

#[test]
fn a_later_code_is_taken_beside_a_memory_of_before_the_hole_was_found_wet() {
    let site = Site::new("beside");
    let early = site.view("early.bin", 700, &[]);
    let image = site.view("m.bin", 1000, FOUND_WET);
    said(&site.add("site.db", &early), 0);
    said(&site.add("site.db", code(&releases(&image)[1])), 0);
    said(&site.add("site.db", &image), 0);
    let list = site.list("site.db");
    assert_eq!((&list["codes"], &list["fixings"][0]["cured_at"]), (&json!([]), &json!(WET)));
}

#[test]
fn a_bar_torqued_before_its_wet_cure_is_rejected_when_its_hole_is_found_wet() {
    let site = Site::new("torqued");
    let torqued = [("15:00:00", "torque = 30.0"), ("20:00:00", "hole = \"wet\"")];
    let image = site.image("m.bin", 1000, "dry", &torqued);
    let (status, proof) = site.prove(&image);
    assert_eq!((status, &proof["proved"]), (Some(1), &json!(false)), "{proof}");
    said(&site.add("site.db", &image), 1);
    let fixing = site.list("site.db")["fixings"][0].clone();
    assert_eq!((&fixing["stage"], &fixing["reasons"]), (&json!("rejected"), &json!(["loaded-early"])), "{fixing}");
    let page = said(&holdoff(&["board", "--register", &site.0.path("site.db")]), 0);
    assert!(page.contains("DO NOT LOAD: REJECTED"), "{page}");
    // so does a report of one that had no effect when it was made
    let reported = [("15:00:00", "torqued_early = 30.0"), ("20:00:00", "hole = \"wet\"")];
    let image = site.image("r.bin", 1000, "dry", &reported);
    assert_eq!(site.prove(&image).0, Some(1));
}
