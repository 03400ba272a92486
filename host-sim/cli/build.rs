//! What `holdoff --version` says: the version of the package and the commit that it was built from.
//!
//! Why only in a release build: Cargo builds a crate anew whenever its build script has run, and a developer's tests would be
//! built anew at each commit. Why changed files are said: a commit that does not hold what was built would mislead whoever looks
//! into it. The script runs again where the commit changes, or a source of which the program is built; there is no date in it,
//! so the same sources give the same program.

use std::path::Path;
use std::process::Command;

/// What the program is made of, from the top of the repository.
const SOURCES: [&str; 4] = ["core", "host-sim", "Cargo.toml", "Cargo.lock"];

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    let version = std::env::var("CARGO_PKG_VERSION").unwrap_or_default();
    let commit = match std::env::var("PROFILE").as_deref() {
        Ok("release") => commit().unwrap_or_else(|| "commit unknown".to_owned()),
        _ => "commit unknown: a development build".to_owned(),
    };
    println!("cargo::rustc-env=HOLDOFF_VERSION={version} ({commit})");
}

/// The commit, and whether its files were changed; `None` outside a repository that holds this very file.
fn commit() -> Option<String> {
    git(&["ls-files", "--error-unmatch", "build.rs"])?;
    let commit = git(&["rev-parse", "--short=12", "HEAD"])?;
    let top = git(&["rev-parse", "--show-toplevel"])?;
    let branch = git(&["symbolic-ref", "--quiet", "HEAD"]);
    let head = git(&["rev-parse", "--git-path", "HEAD"])?;
    watch(Path::new(&head));
    if let Some(branch) = branch.and_then(|branch| git(&["rev-parse", "--git-path", &branch])) {
        // a branch that is packed has no file until the next commit
        Path::new(&branch).ancestors().find(|place| place.exists()).into_iter().for_each(watch);
    }
    let sources: Vec<String> = SOURCES.iter().map(|source| format!("{top}/{source}")).collect();
    sources.iter().map(Path::new).filter(|source| source.exists()).for_each(watch);
    let status = ["status", "--porcelain", "--"].into_iter().chain(sources.iter().map(String::as_str));
    let changed = git(&status.collect::<Vec<_>>())?;
    Some(if changed.is_empty() { commit } else { format!("{commit}, with files changed since") })
}

fn watch(place: &Path) {
    println!("cargo::rerun-if-changed={}", place.display());
}

/// What git says, without blanks around it; `None` where there is no git or it fails.
fn git(arguments: &[&str]) -> Option<String> {
    let output = Command::new("git").args(arguments).output().ok()?;
    let said = String::from_utf8(output.stdout).ok()?;
    output.status.success().then(|| said.trim().to_owned())
}
