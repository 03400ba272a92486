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

/// Runs the command.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Exit {
    let result = try_run(arguments, streams);
    streams.end(result)
}

fn try_run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let spare = spare(&arguments.spare)?;
    let file = JobFile::load(&arguments.file)?;
    for warning in file.findings().problems().chain(file.resin().warnings()) {
        streams.warn(&warning.to_string());
    }
    let found = take_off(&file, spare);
    if !arguments.json {
        return Ok(streams.print(&table(&found, arguments.speech.speech())));
    }
    let line = serde_json::to_string(&object(&found))
        .map_err(|error| Problem::unusable("standard output", error.to_string(), "report this as a fault"))?;
    Ok(streams.print_json(&format!("{line}\n")))
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
