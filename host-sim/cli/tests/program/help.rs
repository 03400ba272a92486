//! What the program says of itself: help with examples that work, manual pages, completions, version.

use crate::folder::{Folder, PROGRAM, program};
use holdoff::command::examples::{EXAMPLES, of};
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// A folder of its own for one test, removed with it.
struct Shell(Folder);

impl Shell {
    fn new(name: &str) -> Self {
        Self(Folder::new(&format!("help-{name}")))
    }

    fn run(&self, arguments: &[&str]) -> Output {
        program().args(arguments).current_dir(self.0.root()).output().unwrap()
    }

    /// Standard output of what must end well.
    fn said(&self, arguments: &[&str]) -> String {
        let output = self.run(arguments);
        let err = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(0), "{arguments:?}: {err}");
        String::from_utf8(output.stdout).unwrap()
    }

    /// A line as a user types it, in a shell that finds the program.
    fn shell(&self, line: &str) -> Command {
        let program = Path::new(PROGRAM).parent().unwrap();
        let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
        let mut shell = Command::new("bash");
        shell.args(["-c", line]).current_dir(self.0.root()).env("PATH", path).env_remove("HOLDOFF_LANGUAGE");
        shell
    }

    fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.0.root().join(name)).unwrap()
    }
}

/// The help of each command that there is, by its path.
fn helps(folder: &Shell) -> Vec<(Vec<String>, String)> {
    let (mut paths, mut helps) = (vec![Vec::<String>::new()], Vec::new());
    while let Some(path) = paths.pop() {
        let words: Vec<&str> = std::iter::once("help").chain(path.iter().map(String::as_str)).collect();
        let help = folder.said(if path.is_empty() { &["--help"] } else { &words });
        if let Some((_, commands)) = help.split_once("\nCommands:\n") {
            let named = commands.lines().take_while(|line| line.starts_with("  "));
            let named =
                named.filter(|line| !line.starts_with("   ")).map(|line| line.split_whitespace().next().unwrap());
            paths.extend(named.filter(|name| *name != "help").map(|name| [&path[..], &[name.to_owned()]].concat()));
        }
        helps.push((path, help));
    }
    helps
}

/// The long options that a help text lists.
fn options(help: &str) -> impl Iterator<Item = &str> {
    let lines = help.lines().map(str::trim_start).filter(|line| line.starts_with('-'));
    lines.filter_map(|line| line.split([' ', ',']).find(|word| word.starts_with("--")))
}

#[test]
fn every_help_ends_with_examples_and_the_caution() {
    let folder = Shell::new("texts");
    let helps = helps(&folder);
    assert!(helps.len() > 25, "{} commands", helps.len());
    for (path, help) in &helps {
        let path: Vec<&str> = path.iter().map(String::as_str).collect();
        assert!(of(&path).count() > 0, "no example of {path:?}");
        assert!(of(&path).all(|example| help.contains(example.line)), "{path:?}: {help}");
        assert!(help.trim_end().ends_with(holdoff_present::words::CAUTION), "{path:?}: {help}");
    }
    let known = |path: &[&str]| helps.iter().any(|(known, _)| known == path);
    assert!(EXAMPLES.iter().all(|example| known(example.path)));
}

#[test]
fn every_example_ends_as_it_says() {
    let folder = Shell::new("examples");
    let mut ran = 0;
    // those with a logger are run in `link_client`
    for example in EXAMPLES.iter().filter(|example| !example.line.contains("/dev/")) {
        let mut line = example.line.to_owned();
        if example.path == ["register", "settle"] {
            line = line.replace("0123456789abcdef", &contradicted(&folder));
        }
        if line.contains("--listen") {
            served(&folder, &line.replace(":8080", ":0"));
        } else {
            let output = folder.shell(&line).output().unwrap();
            let err = String::from_utf8_lossy(&output.stderr);
            assert_eq!(output.status.code(), Some(example.exit), "{line}: {err}");
        }
        ran += 1;
    }
    assert!(ran > 25, "{ran} examples");
    for made in ["demo.svg", "board.html", "bollard-3.html", "tables/fixing.csv", "man/man1/holdoff-job-check.1"] {
        assert!(folder.0.root().join(made).exists(), "{made}");
    }
}

/// Puts a second memory of the same logger beside the first; the logger's number.
fn contradicted(folder: &Shell) -> String {
    let key = ["--image", "test.bin", "--key", "logger-1/secret.key", "--uncertainty", "2"];
    folder.said(&[&["replay", "--scenario", "quay.toml"][..], &key].concat());
    assert_eq!(folder.run(&["register", "--file", "quay.db", "add", "test.bin"]).status.code(), Some(4));
    let listed = folder.said(&["register", "--file", "quay.db", "list", "--json"]);
    let listed: serde_json::Value = serde_json::from_str(&listed).unwrap();
    listed["fixings"][0]["device"].as_str().unwrap().to_owned()
}

/// Serves until it has said where.
fn served(folder: &Shell, line: &str) {
    let mut child = folder.shell(&format!("exec {line}")).stdout(Stdio::piped()).spawn().unwrap();
    let mut said = String::new();
    BufReader::new(child.stdout.take().unwrap()).read_line(&mut said).unwrap();
    child.kill().unwrap();
    child.wait().unwrap();
    assert!(said.contains("http://127.0.0.1:"), "{said}");
}

#[test]
fn every_command_has_a_manual_page_with_its_options_examples_and_the_caution() {
    let folder = Shell::new("pages");
    folder.said(&["man", "--out", "new/man1"]);
    let helps = helps(&folder);
    for (path, help) in &helps {
        let name = path.iter().fold("holdoff".to_owned(), |name, word| format!("{name}-{word}"));
        // as it is read: hyphens and dots are written with a stroke before them
        let page = folder.text(&format!("new/man1/{name}.1")).replace('\\', "");
        assert!(page.contains(&format!(".TH {name} 1")), "{page}");
        for option in options(help) {
            assert!(page.contains(option), "{name}: {option}");
        }
        for words in [".SH SYNOPSIS", ".SH EXAMPLES", ".SH CAUTION", "not a licence to load"] {
            assert!(page.contains(words), "{name}: {words} in {page}");
        }
        let path: Vec<&str> = path.iter().map(String::as_str).collect();
        assert!(of(&path).all(|example| page.contains(&example.line.replace('\\', ""))), "{name}: {page}");
    }
    let there = std::fs::read_dir(folder.0.root().join("new/man1")).unwrap().count();
    assert_eq!(there, helps.len(), "pages of commands that there are not");
    let formatted = Command::new("man").args(["-l", "new/man1/holdoff-plan.1"]).current_dir(folder.0.root()).output();
    if let Ok(formatted) = formatted {
        let shown = String::from_utf8_lossy(&formatted.stdout).into_owned();
        assert!(formatted.status.success() && shown.contains("--forecast"), "{shown}");
    }
}

#[test]
fn manual_pages_replace_manual_pages_and_nothing_else() {
    let folder = Shell::new("kept");
    folder.said(&["man", "--out", "."]);
    folder.said(&["man", "--out", "."]);
    std::fs::write(folder.0.root().join("holdoff-read.1"), "the notes of somebody\n").unwrap();
    std::fs::write(folder.0.root().join("holdoff-replay.1"), ".TH holdoff-replay 1\nold\n").unwrap();
    let output = folder.run(&["man", "--out", "."]);
    assert_eq!((output.status.code(), output.stdout.len()), (Some(3), 0));
    assert!(String::from_utf8_lossy(&output.stderr).contains("only a manual page of holdoff is replaced here"));
    assert_eq!(folder.text("holdoff-read.1"), "the notes of somebody\n");
    assert!(folder.text("holdoff-replay.1").ends_with("old\n"), "nothing was written");
}

#[test]
fn completions_are_read_by_their_shells_and_complete_commands_and_options() {
    let folder = Shell::new("completions");
    for (shell, check) in [("bash", "bash -n"), ("zsh", "zsh -n"), ("fish", "fish --no-execute")] {
        let script = folder.said(&["completions", shell]);
        assert!(script.contains("take-off") && script.contains("forecast"), "{script}");
        std::fs::write(folder.0.root().join(shell), script).unwrap();
        if folder.shell(&format!("command -v {shell}")).output().unwrap().status.success() {
            let read = folder.shell(&format!("{check} {shell}")).output().unwrap();
            assert!(read.status.success(), "{shell}: {}", String::from_utf8_lossy(&read.stderr));
        } else {
            println!("{shell} is not installed: its completions are not read");
        }
    }
    for (words, completed) in
        [("re", "replay resin read register report"), ("job t", "take-off"), ("plan --fo", "--forecast")]
    {
        let line = format!(
            "source ./bash; COMP_WORDS=(holdoff {words}); COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1))
             _holdoff holdoff \"${{COMP_WORDS[-1]}}\" \"${{COMP_WORDS[-2]}}\"; echo \"${{COMPREPLY[@]}}\""
        );
        let output = folder.shell(&line).output().unwrap();
        let said = String::from_utf8(output.stdout).unwrap();
        assert_eq!(said.trim(), completed, "{words}: {}", String::from_utf8_lossy(&output.stderr));
    }
    assert_eq!(folder.run(&["completions", "cobbler"]).status.code(), Some(2));
}

/// What the build script has the program say, run in a folder.
fn version(script: &Path, folder: &Path, profile: &str) -> String {
    let mut run = Command::new(script);
    run.current_dir(folder).env("PROFILE", profile).env("CARGO_PKG_VERSION", "1.2.3");
    let output = run.env("GIT_CEILING_DIRECTORIES", std::env::temp_dir()).output().unwrap();
    assert!(output.status.success());
    let said = String::from_utf8(output.stdout).unwrap();
    let version = said.lines().find_map(|line| line.strip_prefix("cargo::rustc-env=HOLDOFF_VERSION="));
    version.unwrap().to_owned()
}

#[test]
fn a_release_build_names_its_commit_and_whether_files_were_changed() {
    let folder = Shell::new("version");
    let script = folder.0.root().join("build");
    let compiler = std::env::var("RUSTC").unwrap_or_else(|_| "rustc".to_owned());
    let source = concat!(env!("CARGO_MANIFEST_DIR"), "/build.rs");
    let compiled = Command::new(compiler).args(["--edition", "2024", source, "-o"]).arg(&script).status().unwrap();
    assert!(compiled.success());
    let package = folder.0.root().join("host-sim");
    std::fs::create_dir(&package).unwrap();
    std::fs::copy(source, package.join("build.rs")).unwrap();
    assert_eq!(version(&script, &package, "release"), "1.2.3 (commit unknown)");
    let git = |arguments: &[&str]| {
        let identity = ["-c", "user.name=A. Invented", "-c", "user.email=a@example.org"];
        let output = Command::new("git").args(identity).args(arguments).current_dir(folder.0.root()).output().unwrap();
        assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap().trim().to_owned()
    };
    git(&["init", "--quiet"]);
    assert_eq!(version(&script, &package, "release"), "1.2.3 (commit unknown)", "a repository of something else");
    git(&["add", "host-sim"]);
    git(&["commit", "--quiet", "-m", "host-sim: begun"]);
    let commit = git(&["rev-parse", "--short=12", "HEAD"]);
    assert_eq!(version(&script, &package, "release"), format!("1.2.3 ({commit})"));
    std::fs::write(package.join("main.rs"), "fn main() {}\n").unwrap();
    assert_eq!(version(&script, &package, "release"), format!("1.2.3 ({commit}, with files changed since)"));
    assert_eq!(version(&script, &package, "debug"), "1.2.3 (commit unknown: a development build)");
    let said = folder.said(&["--version"]);
    assert!(said.starts_with(concat!("holdoff ", env!("CARGO_PKG_VERSION"), " (")), "{said}");
}
