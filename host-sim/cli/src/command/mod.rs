//! One file a command: parse what the command line says, call a capability, print.
//!
//! Invariants: on an unusable file or wrong usage nothing goes to standard output, the message goes to standard error,
//! and the exit status says which (`docs/interfaces.md`).

#[cfg(feature = "register")]
pub mod board;
mod columns;
#[cfg(feature = "terminal")]
pub mod completions;
pub mod decide;
pub mod demo;
pub mod depth;
pub mod examples;
pub mod job_check;
pub mod job_take_off;
pub mod keys;
#[cfg(feature = "link")]
pub mod link;
mod load;
mod loaded_from;
#[cfg(feature = "terminal")]
pub mod man;
mod one_fixing;
pub mod plan;
pub mod probe_check;
mod progress;
pub mod prove;
pub mod read;
#[cfg(feature = "register")]
pub mod register;
#[cfg(feature = "register")]
mod register_decision;
#[cfg(feature = "register")]
mod register_follow;
#[cfg(feature = "register")]
mod register_link;
pub mod replay;
pub mod report;
#[cfg(feature = "register")]
mod report_register;
pub mod resin_check;
mod setting;
mod speech;

use holdoff_disk::Load;
use holdoff_disk::keys::exposed;
use holdoff_evidence::keys::SecretFile;
use holdoff_files::job::JobFile;
use holdoff_files::problem::{Colour, Exit, Problem, json_without_format, shown_file, without_format};
use holdoff_files::toml_file::Findings;
use serde::Serialize;
use std::io::{IsTerminal, Write};
use std::path::Path;
use std::time::{SystemTime, UNIX_EPOCH};

/// Seconds since 1970-01-01T00:00:00Z.
fn now() -> i64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    i64::try_from(since).unwrap_or(i64::MAX)
}

/// Where a command prints.
pub struct Streams {
    /// Standard output.
    pub out: Box<dyn Write>,
    /// Standard error.
    pub err: Box<dyn Write>,
    /// Whether standard error is a terminal a person looks at.
    pub watched: bool,
}

impl Streams {
    /// The program's own.
    pub fn standard() -> Self {
        let err = std::io::stderr();
        let watched = err.is_terminal();
        Self { out: Box::new(std::io::stdout()), err: Box::new(err), watched }
    }

    /// Prints what a person reads. What turns the direction of writing round in it comes from a file, and is written out.
    fn print(&mut self, text: &str) -> Exit {
        self.put(&without_format(text))
    }

    /// Prints JSON, which means the same with such characters escaped.
    fn print_json(&mut self, text: &str) -> Exit {
        self.put(&json_without_format(text))
    }

    /// Writes a result. A reader that has gone away (a closed pipe) is no error of ours.
    fn put(&mut self, text: &str) -> Exit {
        let written = self.out.write_all(text.as_bytes()).and_then(|()| self.out.flush());
        match written {
            Ok(()) => Exit::Ran,
            Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Exit::Ran,
            Err(error) => self.refuse(&Problem::unusable("standard output", error.to_string(), "check where it leads")),
        }
    }

    /// Prints one JSON object as a line.
    fn object(&mut self, object: &impl Serialize) -> Result<Exit, Problem> {
        let line = serde_json::to_string(object)
            .map_err(|error| Problem::unusable("standard output", error.to_string(), "report this as a fault"))?;
        Ok(self.print_json(&format!("{line}\n")))
    }

    /// Shows what was found in a file, each in its line; standard error going away is no reason to fail.
    fn show(&mut self, findings: &Findings) {
        let plain = !self.watched || std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        // a large job may have a hundred thousand lines to say
        let mut shown = Vec::new();
        let colour = if plain { Colour::Plain } else { Colour::Ansi };
        let _ = findings.render(&mut shown, colour).and_then(|()| self.err.write_all(&shown));
    }

    /// Prints warnings.
    fn warn_all(&mut self, warnings: impl Iterator<Item = Problem>) {
        warnings.for_each(|warning| self.warn(&warning.to_string()));
    }

    /// Warns of what looks odd in a job file and in its resin file.
    fn warn_of_job(&mut self, file: &JobFile) {
        self.warn_all(file.findings().problems().chain(file.resin().warnings()));
    }

    /// Reads a secret key; warns where others than its owner may read it too.
    fn secret(&mut self, file: &Path) -> Result<SecretFile, Problem> {
        let secret = SecretFile::load(file)?;
        if let Some(warning) = exposed(file) {
            self.warn(&format!("{}: {warning}", shown_file(&file.to_string_lossy())));
        }
        Ok(secret)
    }

    /// Prints a warning.
    fn warn(&mut self, text: &str) {
        let _ = writeln!(self.err, "warning: {}", without_format(text));
    }

    /// The exit of a command that has run, or why it could not.
    pub fn end(&mut self, result: Result<Exit, Problem>) -> Exit {
        result.unwrap_or_else(|problem| self.refuse(&problem))
    }

    /// Prints why it can't be done.
    fn refuse(&mut self, problem: &Problem) -> Exit {
        let _ = writeln!(self.err, "error: {}", without_format(&problem.to_string()));
        problem.exit()
    }
}

impl std::fmt::Debug for Streams {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Streams").field("watched", &self.watched).finish_non_exhaustive()
    }
}
