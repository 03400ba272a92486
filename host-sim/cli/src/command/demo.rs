//! `holdoff demo`: the main job in one command.

use super::Streams;
use super::replay::{Form, Job, Wanted, show};
use super::speech::SpeechArguments;
use holdoff_core::cure::Settings;
use holdoff_disk::{Kind, Outputs};
use holdoff_files::problem::{Exit, Problem};
use holdoff_files::resin_file::ResinFile;
use holdoff_files::scenario::Scenario;
use holdoff_files::trace::{Options, Trace};
use holdoff_present::words::AccountPhrase as P;
use std::path::PathBuf;

/// The invented resin.
const RESIN: &str = include_str!("../../../demo/harbour-slow.toml");
/// The recorded winter day.
const TRACE: &str = include_str!("../../../demo/winter-day.csv");
/// The invented job.
const SCENARIO: &str = include_str!("../../../demo/quay.toml");

/// The job file that the scenario is part of.
const JOB: &str = include_str!("../../../demo/quay-job.toml");

/// The invented calibration of a probe.
const PROBE: &str = include_str!("../../../demo/probe-7.toml");

/// What `--files` writes.
const FILES: [(&str, &str); 5] = [
    ("harbour-slow.toml", RESIN),
    ("winter-day.csv", TRACE),
    ("quay.toml", SCENARIO),
    ("quay-job.toml", JOB),
    ("probe-7.toml", PROBE),
];

/// `holdoff demo`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Where the plot goes
    #[arg(long, value_name = "FILE.svg", default_value = "holdoff-demo.svg")]
    plot: PathBuf,
    /// Print one JSON object a fixing instead of an account
    #[arg(long)]
    json: bool,
    /// Write the demo's five files (resin, trace, scenario, job, calibration) into this folder, to play with; changed ones are left alone
    #[arg(long, value_name = "DIR")]
    files: Option<PathBuf>,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let speech = arguments.speech.speech();
    let scenario = Scenario::parse("quay.toml", SCENARIO)?;
    let resin = ResinFile::parse("harbour-slow.toml", RESIN)?;
    let plan = scenario.plan(|celsius| super::replay::declared(&resin, celsius))?;
    let mut outputs = Outputs::beside::<&str>([]);
    let drawn = outputs.take(&arguments.plot, &Kind::Svg)?;
    if let Some(folder) = &arguments.files {
        let files = outputs.take_in(folder, &FILES.map(|(name, text)| (name.to_owned(), Kind::Text(text))))?;
        files.iter().zip(FILES).try_for_each(|(file, (_, text))| file.write(text.as_bytes()))?;
    }
    let mut trace = Trace::new("winter-day.csv", TRACE.as_bytes(), &Options::default())?;
    let job = Job { resin, settings: Settings::DEFAULT, rule: scenario.rule, plan, text: SCENARIO.to_owned() };
    if let Form::Account = form(arguments) {
        let plot = speech.fill(P::DemoPlot, &[("file", &arguments.plot.display().to_string())]);
        let exit = streams.print(&format!("{}\n{plot}\n\n", speech.say(P::DemoIntro)));
        if exit != Exit::Ran {
            return Ok(exit);
        }
    }
    let wanted = Wanted { form: form(arguments), plot: Some(&drawn), image: None, speech };
    show(&job, &mut trace, wanted, streams)
}

fn form(arguments: &Arguments) -> Form {
    if arguments.json { Form::Json } else { Form::Account }
}
