//! An invented site with a logger whose memory is reported on.

use crate::board_support::loaded::loaded;
use crate::folder::{Folder, demo, done};
use holdoff_core::fixing::{Action, Injection};
use holdoff_core::quantity::Torque;
use serde_json::Value;
use std::fmt::Write;

/// A folder of its own for one test, removed with it, with a logger's keys in it.
pub(crate) struct Site {
    folder: Folder,
    /// The public key of its logger.
    public: String,
}

/// Fixings in a trace that is held by the cold and has a gap.
const HARD: &str = r#"
[[fixing]]
name = "stair 1 stud 1"
hole = "wet"
torque_least = 38.0
torque_greatest = 42.0
[[fixing.action]]
at = 2022-01-03T06:10:00+01:00
inject = { cartridge = 12.0 }
[[fixing.action]]
at = 2022-01-03T06:17:30+01:00
seat = true
[[fixing.action]]
at = 2022-01-06T08:00:20+01:00
torque = 39.5
[[fixing]]
name = "stair 1 bar 2"
hole = "dry"
[[fixing.action]]
at = 2022-01-03T06:30:00+01:00
inject = { cartridge = 12.0, in_hole = 3.0 }
[[fixing.action]]
at = 2022-01-03T06:33:00+01:00
seat = true
[[fixing]]
name = "stair 1 bar 3"
hole = "dry"
[[fixing.action]]
at = 2022-01-03T06:30:00+01:00
inject = { cartridge = 12.0 }
[[fixing.action]]
at = 2022-01-03T06:33:00+01:00
seat = true
[[fixing.action]]
at = 2022-01-03T15:00:00+01:00
hole = "wet"
"#;

/// A proof test of a sleeve by an invented tester, as a table of the file of `--proof-tests`.
pub(crate) fn proof_test(sleeve: &str, at: &str, [load, hold]: [&str; 2], displacement: &str, verdict: &str) -> String {
    format!(
        "[[test]]\nfixing = \"{sleeve}\"\nat = {at}\nload_kn = {load}\nhold = \"{hold}\"\n\
         displacement_mm = {displacement}\nverdict = \"{verdict}\"\ntester = \"B. Invented\"\n"
    )
}

impl Site {
    pub(crate) fn new(name: &str) -> Self {
        let folder = Folder::new(name);
        for file in ["harbour-slow.toml", "winter-day.csv"] {
            folder.demo(file);
        }
        let mut site = Self { folder, public: String::new() };
        site.public = site.keys("logger");
        site
    }

    /// A file in its folder.
    pub(crate) fn path(&self, name: &str) -> String {
        self.folder.path(name)
    }

    /// The public key of its logger.
    pub(crate) fn public(&self) -> String {
        self.public.clone()
    }

    /// New keys; the public one.
    pub(crate) fn keys(&self, name: &str) -> String {
        done(&["keys", "new", &self.path(name)]);
        self.path(&format!("{name}/public.key"))
    }

    /// A scenario on the winter day.
    pub(crate) fn with_trace(&self, fixings: &str) -> String {
        format!("trace = \"winter-day.csv\"\nresin = \"harbour-slow.toml\"\n{fixings}")
    }

    /// A scenario in which it freezes for some hours and readings are missing for half an hour.
    pub(crate) fn hard(&self, rule: &str) -> String {
        let mut trace = "time,temperature_c\n".to_owned();
        let start = 1_641_182_400; // 2022-01-03T04:00:00Z
        for row in (0..960).filter(|row| !(144..150).contains(row)) {
            let hour = f64::from(row) / 12.0;
            let celsius = match hour {
                hour if hour < 3.0 => 12.0,
                hour if hour < 5.0 => 12.0 - (hour - 3.0) * 9.5,
                hour if hour < 7.0 => -7.0,
                hour if hour < 10.0 => -7.0 + (hour - 7.0) * 5.25,
                hour => 8.75 + (hour * 1.7).sin() / 2.0,
            };
            let time = holdoff_files::stamp::format_seconds(start + i64::from(row) * 300, 3600);
            let _ = writeln!(trace, "{time},{celsius:.3}");
        }
        std::fs::write(self.path("hard.csv"), trace).unwrap();
        format!("trace = \"hard.csv\"\nresin = \"harbour-slow.toml\"\nrule = \"{rule}\"\n{HARD}")
    }

    /// The memory of the logger after a scenario, and what the engine makes of each fixing.
    pub(crate) fn image(&self, name: &str, scenario: &str) -> (String, Vec<Value>) {
        let (file, image) = (self.path(&format!("{name}.toml")), self.path(&format!("{name}.bin")));
        std::fs::write(&file, scenario).unwrap();
        let secret = self.path("logger/secret.key");
        let output = done(&["replay", "--scenario", &file, "--json", "--image", &image, "--key", &secret]);
        let text = String::from_utf8(output.stdout).unwrap();
        (image, text.lines().map(|line| serde_json::from_str(line).unwrap()).collect())
    }

    /// The job file of the demo.
    pub(crate) fn job(&self) -> String {
        let file = self.path("job.toml");
        std::fs::copy(demo("quay-job.toml"), &file).unwrap();
        file
    }

    /// The register of the site with the memory of the logger at the ladder: four sleeves injected, seated and torqued an
    /// hour after each other, the others not injected.
    pub(crate) fn register(&self, job: &str) -> String {
        let _ = self.hard("coldest");
        let torque = |at: i64| (at, Action::Torque(Torque::from_hundredths(2000)));
        let start = 1_641_186_000; // 2022-01-03T05:00:00Z
        let acts = |from: i64| {
            vec![(from, Action::Inject(Injection::default())), (from + 120, Action::Seat), torque(from + 70 * 3600)]
        };
        let acts: Vec<_> = (0..4).map(|number| acts(start + number * 3600)).collect();
        let secret = self.path("logger/secret.key");
        let memory = loaded(job, "ladder 2", &self.path("hard.csv"), &secret, &acts);
        std::fs::write(self.path("ladder.bin"), memory).unwrap();
        let register = self.path("quay.db");
        done(&["register", "--file", &register, "add", &self.path("ladder.bin"), "--keys", &self.public]);
        register
    }

    /// Writes a report into its folder; the page.
    pub(crate) fn report(&self, out: &str, arguments: &[&str]) -> String {
        let out = self.path(out);
        done(&[&["report"], arguments, &["--out", &out]].concat());
        out
    }
}
