//! What a situation leaves, and the site that its evidence is taken in at.

use holdoff_core::fixing::{Decision, Ground, Grounds};
use holdoff_core::log::DeviceId;
use holdoff_core::seal::SecretKey;
use holdoff_evidence::decision::sign;
use holdoff_evidence::keys::to_hex;
use holdoff_files::decision::Said;
use holdoff_link::status::ClockState;
use holdoff_tests::fake_board::{Bench, KEY};
use holdoff_tests::link_command::{holdoff, holdoff_register};
use holdoff_tests::link_device::FakeDevice;
use holdoff_tests::link_line::serve;
use std::cell::RefCell;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// The number that the logger of the quay has.
pub(crate) const NUMBER: [u8; 8] = *b"quay-log";

/// A piece of evidence, in the order in which it is taken in.
#[derive(Clone)]
pub(crate) enum Evidence {
    /// A memory that was read out.
    Memory(Vec<u8>),
    /// The release code in a memory that nobody has.
    CodeOf(Vec<u8>),
    /// The logger itself, read over its line.
    Line(Reader),
    /// What the engineer of the site decided and signed.
    Signed(Decision),
}

/// A logger at the end of a line.
#[derive(Clone)]
pub(crate) struct Reader {
    pub(crate) memory: Vec<u8>,
    /// Its own seconds.
    pub(crate) now: i64,
    pub(crate) seed: Option<[u8; 32]>,
    pub(crate) clock: Wall,
}

/// How the clock of a logger at the end of a line goes.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wall {
    /// As its own seconds.
    Own,
    /// As the computer's.
    Right,
    /// So many seconds ahead of the computer's.
    Ahead(i64),
    /// It was never set.
    Unset,
    /// It failed, and was started again without a time of day.
    Failed,
}

impl Reader {
    pub(crate) fn device(&self) -> FakeDevice {
        let mut device = FakeDevice::of_other(self.memory.clone(), DeviceId(NUMBER), self.seed);
        device.now = self.now;
        device.ahead = match self.clock {
            Wall::Own | Wall::Right => Some(0),
            Wall::Ahead(seconds) => Some(now() + seconds - self.now),
            Wall::Unset | Wall::Failed => None,
        };
        if self.clock == Wall::Failed {
            device.group_lie = Some(|group| group.clock = ClockState::Failed);
        }
        if self.seed.is_none() {
            device.identity_lie = Some(|identity| identity.key = None);
        }
        device.right = self.clock == Wall::Right;
        device
    }
}

/// Now, by this computer.
pub(crate) fn now() -> i64 {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).expect("after 1970");
    i64::try_from(since.as_secs()).expect("a date")
}

/// Whose public key is given.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Keys {
    /// The logger's.
    Own,
    /// Another logger's.
    Other,
    /// Nobody's.
    None,
}

/// What `holdoff prove` is asked of.
#[derive(Clone, Copy)]
pub(crate) enum Asked {
    /// A piece of evidence.
    Of(usize),
    /// Nothing: there are no keys, or no evidence.
    Nothing,
}

/// What a situation leaves.
pub(crate) struct Played {
    /// What the fixing is called.
    pub(crate) name: &'static str,
    pub(crate) bench: Option<RefCell<Bench>>,
    pub(crate) link: Option<Reader>,
    pub(crate) evidence: Vec<Evidence>,
    pub(crate) keys: Keys,
    /// Job files that page, record and proof are given: their texts.
    pub(crate) jobs: Vec<String>,
    pub(crate) prove: Asked,
    pub(crate) files: Files,
}

/// Files that are there whatever is given.
#[derive(Clone, Default)]
pub(crate) struct Files {
    /// The resin.
    pub(crate) resin: String,
}

/// A folder with a register, removed with it.
pub(crate) struct Site(TempDir);

impl Site {
    pub(crate) fn new(number: &str, files: &Files) -> Self {
        let prefix = format!("holdoff-verdicts-{number}-");
        let site = Self(tempfile::Builder::new().prefix(&prefix).tempdir().expect("a folder"));
        std::fs::write(site.path("quay.toml"), &files.resin).expect("written");
        for (name, seed) in [("own.key", KEY), ("other.key", [0x17; 32])] {
            let public = SecretKey::from_seed(seed).expect("a key").public();
            let text = format!("[[key]]\nname = \"{name}\"\npublic = \"{}\"\n", to_hex(public.bytes()));
            std::fs::write(site.path(name), text).expect("written");
        }
        site
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn text(&self, name: &str) -> String {
        self.path(name).to_string_lossy().into_owned()
    }

    /// The file of a key that is given.
    fn keys(&self, keys: Keys) -> Option<String> {
        match keys {
            Keys::Own => Some(self.text("own.key")),
            Keys::Other => Some(self.text("other.key")),
            Keys::None => None,
        }
    }

    /// The file of a piece of evidence, or the code itself.
    fn evidence(&self, place: usize, evidence: &Evidence) -> Option<String> {
        let file = self.text(&format!("evidence-{place}.bin"));
        match evidence {
            Evidence::Memory(bytes) => {
                std::fs::write(&file, bytes).expect("written");
                Some(file)
            }
            Evidence::CodeOf(bytes) => {
                std::fs::write(&file, bytes).expect("written");
                Some(code(&file))
            }
            Evidence::Line(_) => None,
            Evidence::Signed(decision) => {
                std::fs::write(&file, signed(*decision)).expect("written");
                Some(file)
            }
        }
    }

    /// Takes a piece of evidence in.
    pub(crate) fn take_in(&self, played: &Played, place: usize, evidence: &Evidence) {
        let keys = self.keys(played.keys);
        let engineers = self.text("engineers.toml");
        std::fs::write(&engineers, crate::plays::job("engineers") + &engineer()).expect("written");
        let mut with: Vec<&str> = keys.iter().flat_map(|keys| ["--keys", keys]).collect();
        with.extend(["--job", &*engineers].iter().filter(|_| matches!(evidence, Evidence::Signed(_))));
        let (exit, out, err) = match (self.evidence(place, evidence), evidence) {
            (Some(file), _) => holdoff_register(&self.path("site.db"), &[&["add", &*file], &with[..]].concat()),
            (None, Evidence::Line(reader)) => {
                let socket = self.path("line.socket");
                let _served = serve(reader.device(), &socket, None);
                let port = format!("unix:{}", socket.display());
                holdoff_register(&self.path("site.db"), &[&["link", &*port], &with[..]].concat())
            }
            (None, Evidence::Memory(_) | Evidence::CodeOf(_) | Evidence::Signed(_)) => panic!("it has a file"),
        };
        assert!(matches!(exit, 0 | 1 | 4), "{exit}: {out}{err}");
    }

    /// What `holdoff register` prints.
    pub(crate) fn register(&self, arguments: &[&str]) -> String {
        let (exit, out, err) = holdoff_register(&self.path("site.db"), arguments);
        assert_eq!(exit, 0, "{err}");
        out
    }

    fn jobs(&self, played: &Played) -> Vec<String> {
        let mut arguments = Vec::new();
        for (place, job) in played.jobs.iter().enumerate() {
            let file = self.text(&format!("job-{place}.toml"));
            std::fs::write(&file, job).expect("written");
            arguments.extend(["--job".to_owned(), file]);
        }
        arguments
    }

    fn with_jobs(&self, played: &Played, arguments: &[&str]) -> (u8, String, String) {
        let jobs = self.jobs(played);
        let jobs: Vec<&str> = jobs.iter().map(String::as_str).collect();
        holdoff(&[arguments, &jobs].concat())
    }

    /// The page in the terminal.
    pub(crate) fn board(&self, played: &Played) -> String {
        let (exit, out, err) = self.with_jobs(played, &["board", "--register", &self.text("site.db")]);
        assert_eq!(exit, 0, "{err}");
        out
    }

    /// The page as a file.
    pub(crate) fn board_file(&self, played: &Played) -> String {
        let out = self.text("page.html");
        let (exit, _, err) = self.with_jobs(played, &["board", "--register", &self.text("site.db"), "--out", &out]);
        assert_eq!(exit, 0, "{err}");
        std::fs::read_to_string(out).expect("written").replace("&#39;", "'")
    }

    /// The hand-over record, and the exit status that came with it.
    pub(crate) fn report(&self, played: &Played) -> (String, u8) {
        let out = self.text("report.html");
        let keys = self.keys(played.keys);
        let mut arguments = vec!["report", "--register"];
        let register = self.text("site.db");
        arguments.extend([&*register, "--out", &*out]);
        arguments.extend(keys.iter().flat_map(|keys| ["--keys", keys]));
        let (exit, _, err) = self.with_jobs(played, &arguments);
        assert!(matches!(exit, 0 | 1), "{err}");
        (std::fs::read_to_string(out).expect("written"), exit)
    }

    /// What `holdoff prove` prints of a piece of evidence.
    pub(crate) fn prove(&self, played: &Played, place: usize) -> String {
        let evidence = match &played.evidence[place] {
            // what was read over a line stands in no file of its own
            Evidence::Line(reader) => Evidence::Memory(reader.memory.clone()),
            other => other.clone(),
        };
        let file = self.evidence(place, &evidence).expect("a file");
        let keys = self.keys(played.keys).expect("keys");
        let mut arguments = vec!["prove", &*file, "--keys", &*keys];
        let jobs = self.jobs(played);
        // of several it is asked with the one that the logger was loaded from: the first
        arguments.extend(jobs.iter().take(2).map(String::as_str));
        let (exit, out, err) = holdoff(&arguments);
        assert!(matches!(exit, 0 | 1 | 4), "{err}");
        out
    }
}

/// The engineer's secret key.
fn engineers_key() -> SecretKey {
    SecretKey::from_seed([0xE0; 32]).expect("a key")
}

/// The engineer in a job file.
fn engineer() -> String {
    format!("[[engineer]]\nname = \"E. Invented\"\npublic = \"{}\"\n", to_hex(engineers_key().public().bytes()))
}

/// The file of a decision on the first fixing, which was not seated in time.
fn signed(decision: Decision) -> String {
    let said = Said {
        fixing: "quay stud 1".to_owned(),
        device: DeviceId(NUMBER),
        grounds: Grounds::only(Ground::NotSeated),
        decision,
        reason: "nobody seated it".to_owned(),
        document: "letter 17".to_owned(),
        name: "E. Invented".to_owned(),
        at: holdoff_files::stamp::format_seconds(now(), 0),
    };
    sign(said, &engineers_key()).expect("a signature").to_toml()
}

/// The newest release code in a memory.
fn code(file: &str) -> String {
    let (exit, out, err) = holdoff(&["read", file, "--json"]);
    assert_eq!(exit, 0, "{err}");
    let listing: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let records = listing["sessions"][0]["records"].as_array().expect("records");
    let mut codes = records.iter().filter_map(|record| record["code"].as_str());
    codes.next_back().expect("a release").to_owned()
}

/// The memory that a PC writes of a trace of three hours at 12 °C, by the logger's key.
pub(crate) fn of_trace(resin: &str) -> Vec<u8> {
    let site = Site::new("trace", &Files { resin: resin.to_owned() });
    let begin = now() - 5 * 3600;
    let at = |seconds: i64| holdoff_files::stamp::format_seconds(begin + seconds, 3600);
    let mut trace = String::from("time,temperature_c\n");
    for row in 0..180 {
        writeln!(trace, "{},12.0", at(row * 60)).expect("a text");
    }
    std::fs::write(site.path("trace.csv"), trace).expect("written");
    let secret = format!("[secret]\ndevice = \"{}\"\nseed = \"{}\"\n", to_hex(&NUMBER), to_hex(&KEY));
    std::fs::write(site.path("secret.key"), secret).expect("written");
    let [trace, resin, key, image] = ["trace.csv", "quay.toml", "secret.key", "made.bin"].map(|name| site.text(name));
    let (inject, seat) = (at(600), at(660));
    let times = ["--hole", "dry", "--inject", &*inject, "--seat", &*seat];
    let (exit, _, err) =
        holdoff(&[&["replay", &*trace, "--resin", &*resin, "--image", &*image, "--key", &*key][..], &times].concat());
    assert_eq!(exit, 0, "{err}");
    std::fs::read(Path::new(&image)).expect("written")
}
