//! No output replaces an input or a file of another kind, and what is no file is refused at once.

use crate::folder::{Folder, demo, program};
use std::fs;
use std::path::PathBuf;
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

/// A folder with one file of every kind that a site has.
struct Site(Folder);

/// What stands in the site's folder.
const FILES: [&str; 10] = [
    "site.db",
    "key/secret.key",
    "key/public.key",
    "trace.csv",
    "resin.toml",
    "quay.toml",
    "job.toml",
    "image.bin",
    "page.html",
    "plot.svg",
];

impl Site {
    fn new(name: &str) -> Self {
        let site = Self(Folder::new(name));
        let demo = |name: &str| fs::read_to_string(demo(name)).unwrap();
        let scenario =
            demo("quay.toml").replace("winter-day.csv", "trace.csv").replace("harbour-slow.toml", "resin.toml");
        fs::write(site.path("quay.toml"), scenario).unwrap();
        fs::write(site.path("job.toml"), demo("quay-job.toml").replace("harbour-slow.toml", "resin.toml")).unwrap();
        fs::write(site.path("trace.csv"), demo("winter-day.csv")).unwrap();
        fs::write(site.path("resin.toml"), demo("harbour-slow.toml")).unwrap();
        fs::write(site.path("page.html"), "<!DOCTYPE html>").unwrap();
        fs::write(site.path("plot.svg"), "<svg>").unwrap();
        site.ran("keys new key");
        site.ran("replay --scenario quay.toml --image image.bin --key key/secret.key");
        site.ran("register --file site.db add image.bin --keys key/public.key");
        site
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.root().join(name)
    }

    /// A command line in the folder.
    fn command(&self, line: &str) -> Command {
        let mut command = program();
        command.current_dir(self.0.root()).args(line.split(' '));
        command
    }

    fn run(&self, line: &str) -> Output {
        self.command(line).output().unwrap()
    }

    fn ran(&self, line: &str) {
        let output = self.run(line);
        assert!(output.status.success(), "{line}: {}", String::from_utf8_lossy(&output.stderr));
    }

    /// Every file, as it is.
    fn all(&self) -> Vec<(PathBuf, Vec<u8>)> {
        let mut all = Vec::new();
        let mut folders = vec![self.0.root().to_path_buf()];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                let found = fs::symlink_metadata(&path).unwrap();
                if found.is_dir() {
                    folders.push(path.clone());
                }
                let bytes = if found.is_file() { fs::read(&path).unwrap() } else { Vec::new() };
                all.push((path, bytes));
            }
        }
        all.sort();
        all
    }

    /// The command refuses with this status, says something, prints nothing, and changes no file.
    fn refuses(&self, status: i32, line: &str) {
        let before = self.all();
        let output = self.run(line);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(status), "{line}: {said}");
        assert!(output.stdout.is_empty() && said.starts_with("error: "), "{line}: {said}");
        assert!(said.contains("write") || said.contains("written") || said.contains("left alone"), "{line}: {said}");
        assert!(self.all() == before, "{line} changed a file");
    }
}

#[test]
fn an_output_that_is_an_input_is_refused() {
    let site = Site::new("inputs");
    for line in [
        "board --register site.db --out site.db",
        "board --register site.db --job job.toml --out job.toml",
        "report --register site.db --out site.db",
        "report --register site.db --out ./key/../site.db",
        "report image.bin --out image.bin",
        "report image.bin --keys key --out key/public.key",
        "replay --scenario quay.toml --image key/secret.key --key key/secret.key",
        "replay --scenario quay.toml --plot quay.toml",
        "replay --scenario quay.toml --plot trace.csv",
        "replay --scenario quay.toml --plot resin.toml",
        "depth trace.csv --depth 100 --plot trace.csv",
        "plan job.toml --forecast trace.csv --plot trace.csv",
        "plan job.toml --forecast trace.csv --plot job.toml",
        "register --file image.bin add image.bin",
    ] {
        site.refuses(2, line);
    }
}

#[cfg(unix)]
#[test]
fn an_input_is_known_through_links() {
    let site = Site::new("links");
    fs::hard_link(site.path("page.html"), site.path("hard.html")).unwrap();
    fs::hard_link(site.path("image.bin"), site.path("hard.bin")).unwrap();
    std::os::unix::fs::symlink(site.path("site.db"), site.path("soft.html")).unwrap();
    std::os::unix::fs::symlink(site.0.root(), site.path("inner")).unwrap();
    for line in [
        "board --register site.db --out soft.html",
        "board --register site.db --out inner/site.db",
        "board --register inner/site.db --out soft.html",
        "report hard.bin --out image.bin",
        "report page.html --out hard.html",
    ] {
        site.refuses(2, line);
    }
}

#[test]
fn two_outputs_are_never_the_same_file() {
    let site = Site::new("twice");
    site.refuses(2, "replay --scenario quay.toml --key key/secret.key --image new --plot ./new");
    site.refuses(2, "demo --files new --plot new/quay.toml");
}

#[test]
fn a_file_of_another_kind_is_refused() {
    let site = Site::new("kinds");
    let written = [
        ("board --register site.db --out FILE", "page.html"),
        ("report --register site.db --out FILE", "page.html"),
        ("replay --scenario quay.toml --image FILE --key key/secret.key", "image.bin"),
        ("replay --scenario quay.toml --plot FILE", "plot.svg"),
        ("demo --plot FILE", "plot.svg"),
        ("depth trace.csv --depth 100 --plot FILE", "plot.svg"),
        ("plan job.toml --forecast trace.csv --plot FILE", "plot.svg"),
        ("link unix:nowhere read FILE", "image.bin"),
        ("register --file FILE add image.bin", "site.db"),
        ("register --file FILE link unix:nowhere", "site.db"),
    ];
    for (line, kind) in written {
        for file in FILES.iter().filter(|file| **file != kind) {
            let line = line.replace("FILE", file);
            let words: Vec<&str> = line.split(' ').collect();
            let twice = words.iter().filter(|word| *word == file).count() > 1;
            let named = line.contains("quay.toml") && ["trace.csv", "resin.toml"].contains(file);
            site.refuses(if twice || named { 2 } else { 3 }, &line);
        }
        // what is no file
        site.refuses(3, &line.replace("FILE", "key"));
        if cfg!(unix) {
            site.refuses(3, &line.replace("FILE", "/dev/null"));
        }
    }
}

#[test]
fn the_folders_of_codes_tables_and_keys_keep_what_is_in_them() {
    let site = Site::new("folders");
    site.ran("read image.bin --codes codes");
    site.ran("register --file site.db export --csv tables");
    // made again over what they made
    site.ran("read image.bin --codes codes");
    site.ran("register --file site.db export --csv tables");
    site.ran("demo --files example --plot example.svg");
    site.ran("demo --files example --plot example.svg");
    let code = fs::read_dir(site.path("codes")).unwrap().next().unwrap().unwrap().path();
    fs::copy(site.path("key/secret.key"), code).unwrap();
    fs::copy(site.path("site.db"), site.path("tables/reading.csv")).unwrap();
    fs::write(site.path("example/quay-job.toml"), "# changed by somebody\n").unwrap();
    site.refuses(3, "read image.bin --codes codes");
    site.refuses(3, "register --file site.db export --csv tables");
    site.refuses(3, "demo --files example --plot example.svg");
    fs::copy(site.path("trace.csv"), site.path("tables/reading.csv")).unwrap();
    site.refuses(3, "register --file site.db export --csv tables");
    let output = site.run("keys new key");
    assert_eq!(output.status.code(), Some(3));
    // a part that is none
    fs::copy(site.path("site.db"), site.path("new.bin.part")).unwrap();
    site.refuses(3, "link unix:nowhere read new.bin");
}

#[test]
fn an_output_replaces_one_of_its_own_kind_and_an_empty_one() {
    let site = Site::new("again");
    for file in ["page.html", "empty", "new.html"] {
        fs::write(site.path("empty"), "").unwrap();
        site.ran(&format!("board --register site.db --out {file}"));
        assert!(fs::read_to_string(site.path(file)).unwrap().starts_with("<!DOCTYPE html>"), "{file}");
    }
    for file in ["image.bin", "empty", "new.bin"] {
        fs::write(site.path("empty"), "").unwrap();
        site.ran(&format!("replay --scenario quay.toml --image {file} --key key/secret.key --plot plot.svg"));
        assert_eq!(fs::metadata(site.path(file)).unwrap().len(), 65_536, "{file}");
    }
    assert!(fs::read_to_string(site.path("plot.svg")).unwrap().len() > 1000);
    fs::write(site.path("empty"), "").unwrap();
    site.ran("register --file empty add image.bin");
}

/// Waits a while for the end of a command; one that hangs is ended and told of.
fn within(mut child: Child, line: &str) -> Output {
    let end = Instant::now() + Duration::from_secs(60);
    while child.try_wait().unwrap().is_none() {
        if Instant::now() > end {
            child.kill().unwrap();
            panic!("{line} hangs");
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    child.wait_with_output().unwrap()
}

#[cfg(unix)]
#[test]
fn a_pipe_a_folder_and_a_device_are_refused_at_once() {
    let site = Site::new("pipes");
    assert!(Command::new("mkfifo").arg(site.path("pipe")).status().unwrap().success());
    for file in ["pipe", "key", "/dev/zero"] {
        for line in [
            "replay FILE --resin resin.toml --hole dry --inject 2022-01-03T10:15:00-07:00",
            "replay trace.csv --resin FILE --hole dry --inject 2022-01-03T10:15:00-07:00",
            "replay --scenario FILE",
            "replay --scenario quay.toml --image FILE --key key/secret.key",
            "replay --scenario quay.toml --image new.bin --key FILE",
            "depth FILE --depth 100",
            "plan job.toml --forecast FILE",
            "plan FILE --forecast trace.csv",
            "read FILE",
            "prove FILE --keys key",
            "resin check FILE",
            "job check FILE",
            "job take-off FILE",
            "report FILE --out new.html",
            "report --register FILE --out new.html",
            "report --register site.db --proof-tests FILE --out new.html",
            "board --register FILE",
            "board --register site.db --job FILE",
            "register --file FILE list",
            "register --file FILE add image.bin",
            "register --file new.db add FILE",
            "link unix:nowhere load FILE",
            "link unix:nowhere read FILE",
        ] {
            let line = line.replace("FILE", file);
            let child = site.command(&line).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
            let output = within(child, &line);
            let said = String::from_utf8(output.stderr).unwrap();
            assert_eq!(output.status.code(), Some(3), "{line}: {said}");
            assert!(said.contains(", no file") || said.contains("no register"), "{line}: {said}");
        }
    }
    let line = "keys list pipe";
    let child = site.command(line).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    assert_eq!(within(child, line).status.code(), Some(3));
}
