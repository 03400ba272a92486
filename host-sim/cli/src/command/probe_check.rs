//! `holdoff probe check FILE`: what the calibration of a probe is worth where a resin decides.
//!
//! An uncertainty that does not cover the probe, a limit outside the points, and a due date that is past are findings: they are
//! told, and the command ends with status 0. A file that can't be used ends it with 3 and nothing on standard output.

use super::speech::SpeechArguments;
use super::{Streams, now};
use holdoff_disk::{Load, calibration};
use holdoff_files::calibration::latest_day;
use holdoff_files::job::JobFile;
use holdoff_files::problem::{Exit, Problem, shown};
use holdoff_files::resin_file::ResinFile;
use holdoff_files::stamp::parse_date;
use holdoff_present::probe::{Check, Report, object, text};
use holdoff_site::calibration::{Asked, rows};

/// `holdoff probe check`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The calibration record (TOML, docs/probe.md)
    #[arg(value_name = "FILE.toml")]
    file: String,
    /// A resin file: its limits and band edges are looked at
    #[arg(long, value_name = "RESIN.toml")]
    resin: Vec<String>,
    /// A job file: its resin, and whether its uncertainty covers the probe
    #[arg(long, value_name = "JOB.toml")]
    job: Vec<String>,
    /// The number that the probe has to have
    #[arg(long, value_name = "NUMBER")]
    probe: Option<String>,
    /// The day that it is judged on, YYYY-MM-DD [default: today]
    #[arg(long, value_name = "DATE")]
    on: Option<String>,
    /// Print a JSON object instead of an account
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command.
///
/// # Errors
/// A file or a word of the command line that can't be used.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let today = latest_day(now());
    let on = arguments.on.as_deref().map(|text| {
        parse_date(text)
            .map_err(|error| Problem::usage(format!("--on {}: {error}", shown(text.as_bytes())), error.remedy()))
    });
    let on = on.transpose()?.unwrap_or(today);
    let calibration = calibration(&arguments.file, today)?;
    arguments.probe.as_deref().map_or(Ok(()), |probe| calibration.only(probe))?;
    let resins: Vec<ResinFile> = arguments.resin.iter().map(ResinFile::load).collect::<Result<_, _>>()?;
    let jobs: Vec<JobFile> = arguments.job.iter().map(JobFile::load).collect::<Result<_, _>>()?;
    streams.warn_all(resins.iter().flat_map(ResinFile::warnings));
    jobs.iter().for_each(|job| streams.warn_of_job(job));
    let of = |resin: &ResinFile| rows(&calibration, Asked::Resin(resin.resin()));
    let mut checks: Vec<Check<'_>> = resins
        .iter()
        .map(|resin| Check { resin: Some(resin.name()), demo: resin.demo(), job: None, rows: of(resin) })
        .collect();
    checks.extend(jobs.iter().map(|job| Check {
        resin: Some(job.resin().name()),
        demo: job.resin().demo(),
        job: Some((&job.job().name, job.job().settings.uncertainty())),
        rows: of(job.resin()),
    }));
    if checks.is_empty() {
        checks.push(Check { resin: None, demo: false, job: None, rows: rows(&calibration, Asked::Points) });
    }
    let report = Report { calibration: &calibration, on, checks };
    if !arguments.json {
        return Ok(streams.print(&text(&report, arguments.speech.speech())));
    }
    streams.object(&object(&report))
}
