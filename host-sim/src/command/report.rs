//! `holdoff report`: the hand-over record as one HTML file.

use super::register::now;
use super::speech::SpeechArguments;
use super::{Streams, load, save};
use crate::job::JobFile;
use crate::keys::Ring;
use crate::problem::{Exit, Problem, shown};
use crate::report::{Page, Proving, sessions};
use holdoff_core::fixing::Stage;
use std::path::PathBuf;

/// `holdoff report`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The raw memory image
    #[arg(value_name = "IMAGE")]
    image: String,
    /// The public keys that count
    #[arg(long, value_name = "FILE")]
    keys: Option<PathBuf>,
    /// The job file with the specification; give earlier versions of it too, the newest last
    #[arg(long, value_name = "JOB.toml")]
    job: Vec<String>,
    /// Only the fixing of this name
    #[arg(long, value_name = "NAME")]
    fixing: Option<String>,
    /// Where the page goes
    #[arg(long, value_name = "FILE.html")]
    out: PathBuf,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Exit {
    let result = try_run(arguments);
    streams.end(result)
}

fn try_run(arguments: &Arguments) -> Result<Exit, Problem> {
    let ring = arguments.keys.as_deref().map(Ring::load).transpose()?;
    let jobs: Vec<JobFile> = arguments.job.iter().map(|file| JobFile::load(file)).collect::<Result<_, _>>()?;
    let image = load::bytes(&arguments.image)?;
    let remedy = "give the raw memory of a logger, as it was read out";
    let unusable = |what: String| Problem::unusable(&arguments.image, what, remedy);
    let (sessions, findings) = sessions(&image, ring.as_ref()).map_err(unusable)?;
    let mut page = Page::new(arguments.speech.speech(), &jobs);
    findings.into_iter().for_each(|finding| page.finding(finding));
    let mut exit = Exit::Ran;
    for session in &sessions {
        page.add(session, arguments.fixing.as_deref());
        for fixing in session.fixings.iter().filter(|fixing| wanted(arguments, &fixing.label)) {
            if let (Proving::NotProved(_), Stage::Cured(_) | Stage::Released(_)) =
                (&fixing.proving, fixing.status.stage)
            {
                exit = Exit::NotProved;
            }
        }
    }
    if let Some(name) = arguments.fixing.as_deref().filter(|_| page.is_empty()) {
        let labels: Vec<&str> =
            sessions.iter().flat_map(|session| &session.fixings).map(|one| one.label.as_str()).collect();
        let what = format!("there is no fixing named {} in it", shown(name.as_bytes()));
        let known: Vec<String> = labels.iter().map(|label| shown(label.as_bytes())).collect();
        return Err(Problem::unusable(&arguments.image, what, format!("name one of {}", known.join(", "))));
    }
    save::whole(&arguments.out, page.html(now()).as_bytes())?;
    Ok(exit)
}

fn wanted(arguments: &Arguments, label: &str) -> bool {
    arguments.fixing.as_deref().is_none_or(|name| name == label)
}
