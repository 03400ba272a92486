//! `holdoff depth`: the temperature at the bottom of the hole, and what it does to the release.

use super::columns::{self, ColumnArguments};
use super::one_fixing::{self, OneFixing};
use super::setting::{SettingArguments, Written, decimal, holes, rules};
use super::speech::SpeechArguments;
use super::{Streams, progress};
use holdoff_core::cure::Rule;
use holdoff_core::group::FixingNumber;
use holdoff_core::resin::{Hole, Resin};
use holdoff_disk::{Kind, Outputs};
use holdoff_files::decimal::Decimal;
use holdoff_files::deeds::Plan;
use holdoff_files::hands::Hands;
use holdoff_files::problem::{Exit, Problem};
use holdoff_files::trace::{Options, Trace};
use holdoff_present::depth::{object, text};
use holdoff_present::plot::depth_svg;
use holdoff_site::depth::{
    Face, GREATEST_DIFFUSIVITY, LEAST_DIFFUSIVITY, OfFixing, Question, Report, below, check, contrast,
};
use holdoff_site::replay::{self, OtherOffset, Seen};
use holdoff_site::series::Series;
use std::path::PathBuf;

/// `holdoff depth`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The trace of the face: CSV with the columns time and temperature_c; `-` for standard input
    trace: String,
    /// Depth of the bottom of the hole below the face, mm: 10 to 2000
    #[arg(long, value_name = "MM")]
    depth: String,
    /// Diffusivity of the substrate, mm²/s: one number, or the least and the greatest [default: 0.55,1.67, concrete]
    #[arg(long, value_name = "LEAST,GREATEST")]
    diffusivity: Option<String>,
    /// Temperature of the substrate before the first reading, °C [default: that of the coldest reading]
    #[arg(long, value_name = "CELSIUS", allow_hyphen_values = true)]
    before: Option<String>,
    /// The resin file (TOML); with it, what the depth does to the release
    #[arg(long, value_name = "FILE", requires = "hole", requires = "inject")]
    resin: Option<String>,
    /// Hole condition
    #[arg(long, value_parser = holes(), requires = "resin")]
    hole: Option<Hole>,
    /// Start of injection, RFC 3339 with offset
    #[arg(long, value_name = "TIME", requires = "resin")]
    inject: Option<String>,
    /// Seating
    #[arg(long, value_name = "TIME", requires = "resin")]
    seat: Option<String>,
    /// How the cure is measured against the schedule [default: coldest]
    #[arg(long, value_parser = rules(), requires = "resin")]
    rule: Option<Rule>,
    #[command(flatten)]
    settings: SettingArguments,
    /// Reading at the bottom of the hole shortly before injection, °C
    #[arg(long, value_name = "CELSIUS", allow_hyphen_values = true, requires = "resin")]
    in_hole: Option<String>,
    /// Declared cartridge temperature, °C
    #[arg(long, value_name = "CELSIUS", allow_hyphen_values = true, requires = "resin")]
    cartridge: Option<String>,
    /// Last day the resin may be used, YYYY-MM-DD
    #[arg(long, value_name = "DATE", requires = "resin")]
    use_by: Option<String>,
    /// Print a JSON object instead of an account
    #[arg(long)]
    json: bool,
    /// Draw the temperatures to an SVG file
    #[arg(long, value_name = "FILE.svg")]
    plot: Option<PathBuf>,
    #[command(flatten)]
    columns: ColumnArguments,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let question = question(arguments)?;
    let mut outputs = Outputs::beside([Some(&arguments.trace), arguments.resin.as_ref()].into_iter().flatten());
    let plot = arguments.plot.as_deref().map(|file| outputs.take(file, &Kind::Svg)).transpose()?;
    let job = arguments.resin.is_some().then(|| one_fixing::job(&arguments.fixing(), streams)).transpose()?;
    let source = progress::open(&arguments.trace, streams.watched)?;
    let series = Series::read(&mut Trace::new(&arguments.trace, source, &arguments.columns.over(Options::default()))?)?;
    let settings = match &job {
        Some(job) => job.settings,
        None => arguments.settings.over(&Written::default())?,
    };
    let nothing = Plan { fixings: Vec::new(), hands: Hands::NONE };
    let (fresh, plan) = match &job {
        Some(job) => (one_fixing::group(job)?, &job.plan),
        // which readings are accepted does not depend on the resin
        None => (one_fixing::built(&any_resin()?, settings, Rule::Coldest, &nothing, "")?, &nothing),
    };
    let seen = Seen {
        read_as: series.read_as().clone(),
        apart: series.apart(settings.longest_gap()),
        other_offsets: OtherOffset::among_acts(plan, series.read_as()),
    };
    columns::warn(series.file(), &seen, streams);
    let mut face = Face::default();
    let outcome = replay::run(&mut series.replay(), fresh.clone(), plan, &mut face)?;
    let below = below(&question, face.readings());
    let Some(contrast) = contrast(face.readings(), &below) else {
        let remedy = "give a trace with temperatures that a sensor can have measured";
        return Err(Problem::unusable(series.file(), "no reading of the trace is accepted", remedy));
    };
    let number = FixingNumber::new(0);
    let statuses = number.and_then(|number| check(&fresh, &face, &outcome.group, &below, number));
    let injection = plan.fixings.first().and_then(|fixing| fixing.acts.first()).map(|act| act.at);
    let fixing = job.as_ref().zip(statuses).zip(injection).map(|((job, statuses), injection)| OfFixing {
        resin: job.resin.name(),
        demo: job.resin.demo(),
        group: &outcome.group,
        injection,
        statuses,
    });
    let offset_seconds = plan.fixings.first().map_or(series.read_as().first_offset(), |fixing| fixing.offset_seconds);
    let report = Report {
        trace: series.file(),
        seen: &seen,
        question,
        offset_seconds,
        readings: face.readings(),
        below: &below,
        contrast,
        fixing,
    };
    if let Some(plot) = plot {
        plot.write(depth_svg(&report, arguments.speech.speech()).as_bytes())?;
    }
    if !arguments.json {
        return Ok(streams.print(&text(&report, arguments.speech.speech())));
    }
    streams.object(&object(&report))
}

/// A resin for a group without fixings: nothing is read off it.
fn any_resin() -> Result<Resin, Problem> {
    const TEXT: &str = include_str!("../../../demo/harbour-slow.toml");
    holdoff_files::resin_file::ResinFile::parse("harbour-slow.toml", TEXT).map(|file| file.resin().clone())
}

one_fixing::has_one_fixing!(Arguments);

fn question(arguments: &Arguments) -> Result<Question, Problem> {
    let depth = decimal("--depth", &arguments.depth)?;
    let depth_mm = within(&depth, 10.0, 2000.0).ok_or_else(|| {
        Problem::usage(
            format!("--depth {depth} is not 10 to 2000 mm"),
            "give the depth of the hole's bottom in millimetres",
        )
    })?;
    let diffusivity = match arguments.diffusivity.as_deref() {
        None => (LEAST_DIFFUSIVITY, GREATEST_DIFFUSIVITY),
        Some(text) => {
            let (least, greatest) = text.split_once(',').unwrap_or((text, text));
            let one = |text: &str| -> Result<f64, Problem> {
                let value = decimal("--diffusivity", text.trim())?;
                within(&value, 0.05, 200.0).ok_or_else(|| {
                    let what = format!("--diffusivity {value} is not 0.05 to 200 mm²/s");
                    Problem::usage(what, "give it in mm²/s (1 mm²/s = 1e-6 m²/s = 0.0036 m²/h)")
                })
            };
            let (least, greatest) = (one(least)?, one(greatest)?);
            if least > greatest {
                let what = format!("--diffusivity {least},{greatest}: the least lies above the greatest");
                return Err(Problem::usage(what, "give the least first"));
            }
            (least, greatest)
        }
    };
    let before = arguments.before.as_deref().map(|text| {
        let celsius = decimal("--before", text)?;
        within(&celsius, -55.0, 125.0).ok_or_else(|| {
            let what = format!("--before {celsius} is not -55 to 125 °C");
            Problem::usage(what, "give the coldest the substrate can have been in the days before")
        })
    });
    Ok(Question { depth_mm, diffusivity, before: before.transpose()? })
}

fn within(value: &Decimal, least: f64, greatest: f64) -> Option<f64> {
    Some(value.to_f64()).filter(|value| (least..=greatest).contains(value))
}
