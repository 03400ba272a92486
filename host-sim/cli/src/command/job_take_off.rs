//! `holdoff job take-off FILE`: what a job needs brought to the site.

use super::speech::SpeechArguments;
use super::{Streams, setting};
use holdoff_disk::Load;
use holdoff_files::job::JobFile;
use holdoff_files::problem::{Exit, Problem};
use holdoff_present::take_off::{object, table};
use holdoff_site::take_off::{Spare, take_off};

/// `holdoff job take-off`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The job file (TOML)
    #[arg(value_name = "FILE.toml")]
    file: String,
    /// Spare holes, in percent of each group, rounded up to whole ones
    #[arg(long, value_name = "PERCENT", default_value = "0", allow_hyphen_values = true)]
    spare: String,
    /// Print one JSON object instead of a table
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let spare = spare(&arguments.spare)?;
    let file = JobFile::load(&arguments.file)?;
    streams.warn_of_job(&file);
    let found = take_off(&file, spare);
    if !arguments.json {
        return Ok(streams.print(&table(&found, arguments.speech.speech())));
    }
    streams.object(&object(&found))
}

fn spare(text: &str) -> Result<Spare, Problem> {
    let percent = setting::decimal("--spare", text)?;
    let (floor, ceil) = (percent.floor_times(100), percent.ceil_times(100));
    let spare = u32::try_from(floor).ok().filter(|_| floor == ceil).and_then(Spare::from_hundredths);
    spare.ok_or_else(|| {
        let what = format!("--spare {percent} is not 0 to 1000 percent in steps of 0.01");
        Problem::usage(what, "give the spare in percent, such as --spare 10")
    })
}
