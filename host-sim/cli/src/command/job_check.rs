//! `holdoff job check FILE`: the specification as it was understood, to be held beside the engineer's own.
//!
//! What was understood goes to standard output; contradictions and what looks odd or is left out go to standard error,
//! each with its place in the file. A job that can be used ends with status 0, however odd it looks; one that can't with 3
//! and nothing on standard output.

use super::Streams;
use super::speech::SpeechArguments;
use holdoff_disk::{job_text, resin_beside};
use holdoff_files::job::JobFile;
use holdoff_files::problem::{Exit, Problem};
use holdoff_present::job;

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

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let text = job_text(&arguments.file)?;
    let examined = JobFile::examine(&arguments.file, &text, resin_beside(&arguments.file));
    let findings = match &examined {
        Ok(job) => job.findings(),
        Err(findings) => findings,
    };
    streams.show(findings);
    if let Ok(job) = &examined {
        streams.warn_all(job.resin().warnings());
    }
    Ok(match &examined {
        Ok(job) if arguments.toml => streams.print(&job.job().to_toml()),
        Ok(job) => streams.print(&job::account(&arguments.file, job, arguments.speech.speech())),
        Err(_) => Exit::Unusable,
    })
}
