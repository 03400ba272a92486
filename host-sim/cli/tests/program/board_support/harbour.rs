//! A small harbour that rebuilds its quay (invented): three loggers on the recorded winter day, moved to now.

use super::loaded::loaded;
use crate::folder::{Folder, demo, done, holdoff, program};
use holdoff_core::fixing::{Action, Injection};
use holdoff_files::stamp::{Stamp, format_seconds};
use std::path::Path;
use std::process::{Child, Output, Stdio};
use std::time::{SystemTime, UNIX_EPOCH};

/// A folder of its own for one test, removed with it.
pub(crate) struct Harbour {
    folder: Folder,
    /// Seconds that the winter day is moved by.
    shift: i64,
}

/// The winter day's time that is *now* in the harbour.
const NOW: &str = "2022-01-04T09:03:00-07:00";

/// Scenario of the group that the logger at the ladder watches: to be seated, curing, refused, planned.
const LADDER: &str = r#"
[[fixing]]
name = "ladder 2 bolt 1"
hole = "dry"
torque_least = 18.0
torque_greatest = 22.0
[[fixing.action]]
at = 2022-01-04T08:50:00-07:00
inject = { cartridge = 12.0 }
[[fixing]]
name = "ladder 2 bolt 2"
hole = "dry"
torque_least = 18.0
torque_greatest = 22.0
[[fixing.action]]
at = 2022-01-03T21:06:00-07:00
inject = { cartridge = 12.0 }
[[fixing.action]]
at = 2022-01-03T21:10:00-07:00
seat = true
[[fixing]]
name = "ladder 2 bolt 3"
hole = "dry"
torque_least = 18.0
torque_greatest = 22.0
[[fixing.action]]
at = 2022-01-04T08:55:00-07:00
inject = { cartridge = 2.0 }
[[fixing]]
name = "ladder 2 bolt 4"
hole = "dry"
torque_least = 18.0
torque_greatest = 22.0
"#;

/// Starter bars without a torque, one of them in a wet hole.
const STAIR: &str = r#"
[[fixing]]
name = "stair 1 bar 1"
hole = "dry"
[[fixing.action]]
at = 2022-01-03T05:00:00-07:00
inject = { cartridge = 12.0 }
[[fixing.action]]
at = 2022-01-03T05:05:00-07:00
seat = true
[[fixing]]
name = "stair 1 bar 2"
hole = "wet"
[[fixing.action]]
at = 2022-01-03T14:00:00-07:00
inject = { cartridge = 12.0 }
[[fixing.action]]
at = 2022-01-03T14:08:00-07:00
seat = true
"#;

impl Harbour {
    /// An empty one, its now the real one.
    pub(crate) fn new(name: &str) -> Self {
        let folder = Folder::new(name);
        let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap().as_secs() as i64;
        let shift = (now - Stamp::parse(NOW).unwrap().floor_seconds()).div_euclid(60) * 60;
        folder.demo("harbour-slow.toml");
        Self { folder, shift }
    }

    /// A file in its folder.
    pub(crate) fn path(&self, name: &str) -> String {
        self.folder.path(name)
    }

    /// A time of the winter day as it is in the harbour.
    pub(crate) fn at(&self, time: &str) -> String {
        let stamp = Stamp::parse(time).unwrap();
        format_seconds(stamp.floor_seconds() + self.shift, stamp.offset_seconds())
    }

    /// The winter day up to a time, and what was done, moved to now.
    fn scenario(&self, name: &str, until: &str, text: &str) -> String {
        let until = Stamp::parse(until).unwrap().floor_seconds();
        let mut trace = String::new();
        for line in std::fs::read_to_string(demo("winter-day.csv")).unwrap().lines() {
            match line.split_once(',') {
                Some((time, celsius)) if time.starts_with("20") => {
                    if Stamp::parse(time).unwrap().floor_seconds() <= until {
                        trace.push_str(&format!("{},{celsius}\n", self.at(time)));
                    }
                }
                _ => trace.push_str(&format!("{line}\n")),
            }
        }
        std::fs::write(self.path(&format!("{name}.csv")), trace).unwrap();
        let mut scenario = String::new();
        for line in text.lines() {
            match line.strip_prefix("at = ") {
                Some(rest) => scenario.push_str(&format!("at = {}\n", self.at(rest.split(' ').next().unwrap()))),
                None => scenario.push_str(&format!("{line}\n")),
            }
        }
        let file = self.path(&format!("{name}.toml"));
        std::fs::write(&file, scenario).unwrap();
        file
    }

    /// The memory of a logger after what was done, signed with the key of that name.
    fn image(&self, key: &str, name: &str, until: &str, text: &str) -> String {
        let file = self.scenario(name, until, text);
        let secret = self.path(&format!("{key}/secret.key"));
        if !Path::new(&secret).exists() {
            done(&["keys", "new", &self.path(key)]);
        }
        let image = self.path(&format!("{name}.bin"));
        done(&["replay", "--scenario", &file, "--image", &image, "--key", &secret]);
        image
    }

    /// Adds an image with its logger's key.
    fn add(&self, key: &str, image: &str) {
        let public = self.path(&format!("{key}/public.key"));
        done(&["register", "--file", &self.register(), "add", image, "--keys", &public]);
    }

    /// The register's file.
    pub(crate) fn register(&self) -> String {
        self.path("quay.db")
    }

    /// The bollard's logger, read out this morning: one stud cured, one curing in a wet hole, one rejected.
    pub(crate) fn bollard(&self) -> &Self {
        self.bollard_until("2022-01-04T09:00:00-07:00")
    }

    /// The same, read out at another time.
    pub(crate) fn bollard_until(&self, until: &str) -> &Self {
        let text = std::fs::read_to_string(demo("quay.toml"))
            .unwrap()
            .replace("winter-day.csv", "bollard.csv")
            .replace("2022-06-30", "2099-12-31");
        // what happens after this morning is left out
        let text = text.replace("\n[[fixing.action]]\nat = 2022-01-04T11:00:00-07:00\ntorque = 40.0\n", "\n");
        self.add("logger-1", &self.image("logger-1", "bollard", until, &text));
        self
    }

    /// The ladder's logger, read out a few minutes ago.
    pub(crate) fn ladder(&self) -> &Self {
        let text = format!("trace = \"ladder.csv\"\nresin = \"harbour-slow.toml\"\n{LADDER}");
        self.add("logger-2", &self.image("logger-2", "ladder", "2022-01-04T09:00:00-07:00", &text));
        self
    }

    /// The stair's logger, read out a few minutes ago: a bar cured, another with a forecast.
    pub(crate) fn stair(&self) -> &Self {
        let text = format!("trace = \"stair.csv\"\nresin = \"harbour-slow.toml\"\n{STAIR}");
        self.add("logger-3", &self.image("logger-3", "stair", "2022-01-04T09:00:00-07:00", &text));
        self
    }

    /// The stair's memory before it is taken in, and the public key of its logger.
    pub(crate) fn stair_unread(&self) -> (String, String) {
        let text = format!("trace = \"stair.csv\"\nresin = \"harbour-slow.toml\"\n{STAIR}");
        let image = self.image("logger-3", "stair", "2022-01-04T09:00:00-07:00", &text);
        (image, self.path("logger-3/public.key"))
    }

    /// The job file of the demo.
    pub(crate) fn job(&self) -> String {
        let file = self.path("job.toml");
        std::fs::copy(demo("quay-job.toml"), &file).unwrap();
        file
    }

    /// The bollard's logger, loaded from a job file: one stud curing.
    pub(crate) fn bollard_of_job(&self, job: &str) -> &Self {
        done(&["keys", "new", &self.path("logger-5")]);
        let at = |text: &str| Stamp::parse(&self.at(text)).unwrap().floor_seconds();
        let acts = vec![
            (at("2022-01-03T21:06:00-07:00"), Action::Inject(Injection::default())),
            (at("2022-01-03T21:10:00-07:00"), Action::Seat),
        ];
        self.scenario("loaded", "2022-01-04T09:00:00-07:00", "");
        let secret = self.path("logger-5/secret.key");
        let memory = loaded(job, "bollard 3", &self.path("loaded.csv"), &secret, &[acts]);
        std::fs::write(self.path("loaded.bin"), memory).unwrap();
        self.add("logger-5", &self.path("loaded.bin"));
        self
    }

    /// A fixing with this label, planned, on a logger of its own.
    pub(crate) fn labelled(&self, label: &str) -> &Self {
        let text = format!(
            "trace = \"odd.csv\"\nresin = \"harbour-slow.toml\"\n[[fixing]]\nname = {}\nhole = \"dry\"\n",
            serde_json::to_string(label).unwrap()
        );
        self.add("logger-4", &self.image("logger-4", "odd", "2022-01-03T03:00:00-07:00", &text));
        self
    }

    /// `holdoff board` with more arguments.
    pub(crate) fn board(&self, arguments: &[&str]) -> Output {
        holdoff(&[&["board", "--register", &self.register()], arguments].concat())
    }

    /// A page that is served, and its address.
    pub(crate) fn serve(&self, arguments: &[&str]) -> Served {
        let mut child = program()
            .args(["board", "--register", &self.register(), "--listen", "127.0.0.1:0"])
            .args(arguments)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        std::io::BufRead::read_line(&mut std::io::BufReader::new(child.stdout.as_mut().unwrap()), &mut line).unwrap();
        assert!(line.starts_with("http://127.0.0.1:"), "{line}");
        Served { child, address: line.trim().to_owned() }
    }
}

/// A page that is served until this is dropped.
pub(crate) struct Served {
    child: Child,
    /// `http://127.0.0.1:PORT/`, with the token where there is one.
    pub(crate) address: String,
}

impl Served {
    /// `127.0.0.1:PORT`.
    pub(crate) fn host(&self) -> &str {
        self.address.trim_start_matches("http://").split('/').next().unwrap()
    }

    /// Sends a request as it stands; the whole answer.
    pub(crate) fn ask(&self, request: &str) -> String {
        use std::io::{Read, Write};
        let mut stream = std::net::TcpStream::connect(self.host()).unwrap();
        stream.set_read_timeout(Some(std::time::Duration::from_secs(20))).unwrap();
        stream.write_all(request.as_bytes()).unwrap();
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        String::from_utf8_lossy(&answer).into_owned()
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
