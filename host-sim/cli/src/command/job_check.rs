//! `holdoff job check FILE`: the specification as it was understood, to be held beside the engineer's own.
//!
//! What was understood goes to standard output; contradictions and what looks odd or is left out go to standard error,
//! each with its place in the file. A job that can be used ends with status 0, however odd it looks; one that can't with 3
//! and nothing on standard output.

use super::Streams;
use super::speech::SpeechArguments;
use holdoff_disk::{job_text, resin_beside};
use holdoff_files::job::JobFile;
use holdoff_files::problem::{Colour, Exit};
use holdoff_present::job;
use std::io::Write;

/// `holdoff job check`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The job file (TOML)
    #[arg(value_name = "FILE.toml")]
    file: String,
    /// Print the job file in its canonical form, with every default written out, instead of an account
    #[arg(long)]
    toml: bool,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Exit {
    let text = match job_text(&arguments.file) {
        Ok(text) => text,
        Err(problem) => return streams.refuse(&problem),
    };
    let examined = JobFile::examine(&arguments.file, &text, resin_beside(&arguments.file));
    let findings = match &examined {
        Ok(job) => job.findings(),
        Err(findings) => findings,
    };
    let plain = !streams.watched || std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    let colour = if plain { Colour::Plain } else { Colour::Ansi };
    // a large job may have a hundred thousand lines to say; standard error going away is no reason to fail
    let mut shown = Vec::new();
    let _ = findings.render(&mut shown, colour).and_then(|()| streams.err.write_all(&shown));
    if let Ok(job) = &examined {
        for warning in job.resin().warnings() {
            streams.warn(&warning.to_string());
        }
    }
    match &examined {
        Ok(job) if arguments.toml => streams.print(&job.job().to_toml()),
        Ok(job) => streams.print(&job::account(&arguments.file, job, arguments.speech.speech())),
        Err(_) => Exit::Unusable,
    }
}
