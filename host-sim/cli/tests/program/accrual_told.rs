//! The sum over the bands is told to people only where the resin permits that it counts.

use crate::folder::{Folder, program};

/// A folder with the demo's files.
struct Site(Folder);

impl Site {
    fn new(permitted: &str) -> Self {
        let site = Self(Folder::new("accrual"));
        site.run(&["demo", "--files", ".", "--plot", "demo.svg"]);
        let resin = site.text("harbour-slow.toml").replace("permitted = true", &format!("permitted = {permitted}"));
        assert!(resin.contains(&format!("permitted = {permitted}")));
        site.0.file("harbour-slow.toml", resin);
        site.run(&["keys", "new", "logger"]);
        site
    }

    fn text(&self, file: &str) -> String {
        std::fs::read_to_string(self.0.path(file)).unwrap()
    }

    fn run(&self, arguments: &[&str]) -> String {
        let mut command = program();
        let output =
            command.args(arguments).current_dir(self.0.root()).env_remove("HOLDOFF_LANGUAGE").output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    }

    /// Everything that people are told of the quay's fixings.
    fn told(&self, language: &str) -> Vec<(&'static str, String)> {
        let run = |arguments: &[&str]| self.run(&[arguments, &["--language", language]].concat());
        let account = run(&[
            "replay",
            "--scenario",
            "quay.toml",
            "--image",
            "m.bin",
            "--key",
            "logger/secret.key",
            "--plot",
            "p.svg",
        ]);
        run(&["report", "m.bin", "--keys", "logger/public.key", "--out", "r.html"]);
        if !self.0.root().join("s.db").exists() {
            self.run(&["register", "--file", "s.db", "add", "m.bin", "--keys", "logger/public.key"]);
        }
        vec![
            ("account", account),
            ("plot", self.text("p.svg")),
            ("report", self.text("r.html")),
            ("read", run(&["read", "m.bin"])),
            ("board", run(&["board", "--register", "s.db"])),
            ("list", run(&["register", "--file", "s.db", "list"])),
        ]
    }
}

/// How the sum, and the shares of it, are called.
const WORDS: [(&str, [&str; 3]); 3] = [
    ("en", ["accrued", "by the sum over the bands", "Share of required"]),
    ("de", ["aufsummiert", "nach der Summe über die Bereiche", "Anteil am Erforderlichen"]),
    ("fr", ["cumulé", "par la somme sur les tranches", "Part du requis"]),
];

#[test]
fn where_the_resin_forbids_accrual_nobody_is_told_a_sum_over_the_bands() {
    let site = Site::new("false");
    for (language, words) in WORDS {
        for (what, text) in site.told(language) {
            for word in words {
                assert!(!text.contains(word), "{word} in the {what} in {language}");
            }
            assert!(what != "report" || !text.contains(" %<"), "a share in the {what} in {language}");
        }
    }
    // scripts have it as documented
    let lines = site.run(&["replay", "--scenario", "quay.toml", "--json"]);
    let first: serde_json::Value = serde_json::from_str(lines.lines().next().unwrap()).unwrap();
    assert!(first["accrued"].as_f64().unwrap() > 1.0, "{first}");
}

#[test]
fn where_the_resin_permits_accrual_the_sum_is_told() {
    let site = Site::new("true");
    for (language, words) in WORDS {
        let told = site.told(language);
        assert!(told[0].1.contains(words[0]) && told[0].1.contains(words[1]), "{}", told[0].1);
        let report = &told[2].1;
        assert!(report.contains(words[2]) && report.contains(" %<"), "the report in {language}");
    }
}
