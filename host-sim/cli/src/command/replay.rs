//! `holdoff replay`: a recorded trace through the engine.

use super::columns::{self, ColumnArguments};
use super::one_fixing::{self, OneFixing};
use super::setting::{SettingArguments, Written, holes, rules};
use super::speech::SpeechArguments;
use super::{Streams, loaded_from, progress, setting};
use clap::builder::TypedValueParser;
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::Cartridge;
use holdoff_core::group::{FixingNumber, Group};
use holdoff_core::log::Source;
use holdoff_core::probe::SensorKind;
use holdoff_core::quantity::{Count, Span};
use holdoff_core::resin::Hole;
use holdoff_disk::Load;
use holdoff_disk::{Kind, Output, Outputs};
use holdoff_evidence::keys::SecretFile;
use holdoff_evidence::recorder::{Loaded, NotRecorded, Recorder};
use holdoff_files::decimal::Decimal;
use holdoff_files::deeds::Plan;
use holdoff_files::problem::{Exit, Problem};
use holdoff_files::resin_file::ResinFile;
use holdoff_files::scenario::Scenario;
use holdoff_files::trace::{self, Trace};
use holdoff_present::memory::{log_error, not_recorded};
use holdoff_present::plot::{self, Picture};
use holdoff_present::replay::{Shared, object};
use holdoff_present::words::{Account, Speech, account, length};
use holdoff_site::replay::{self, Apart, Both, OtherOffset, Outcome, Seen, Story, Unwatched};
use std::io::Read;
use std::path::PathBuf;

/// Sensors.
fn sensors() -> impl TypedValueParser<Value = SensorKind> {
    setting::one_of(&[
        ("12bit", SensorKind::TwelveBit, "12 bits, steps of 1/16 °C"),
        ("13bit", SensorKind::ThirteenBit, "13 bits, steps of 1/16 °C"),
        ("16bit", SensorKind::SixteenBit, "16 bits, steps of 1/128 °C"),
        ("1wire", SensorKind::OneWire, "On a single wire, steps of 1/16 °C"),
    ])
}

/// `holdoff replay`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The trace: CSV with the columns time (RFC 3339 with offset) and temperature_c; `-` for standard input
    #[arg(required_unless_present = "scenario")]
    trace: Option<String>,
    /// The resin file (TOML)
    #[arg(long, value_name = "FILE", required_unless_present = "scenario")]
    resin: Option<String>,
    /// Hole condition
    #[arg(long, value_parser = holes(), required_unless_present = "scenario")]
    hole: Option<Hole>,
    /// Start of injection, RFC 3339 with offset
    #[arg(long, value_name = "TIME", required_unless_present = "scenario")]
    inject: Option<String>,
    /// Seating; left out, the fixing is injected and not seated
    #[arg(long, value_name = "TIME")]
    seat: Option<String>,
    /// A whole group of fixings with their actions in time (TOML), instead of the options above
    #[arg(long, value_name = "FILE", conflicts_with_all = ["resin", "hole", "inject", "seat", "rule", "in_hole", "cartridge", "use_by"])]
    scenario: Option<String>,
    /// How the cure is measured against the schedule [default: coldest]
    #[arg(long, value_parser = rules())]
    rule: Option<Rule>,
    #[command(flatten)]
    settings: SettingArguments,
    /// Reading at the bottom of the hole shortly before injection, °C
    #[arg(long, value_name = "CELSIUS", allow_hyphen_values = true)]
    in_hole: Option<String>,
    /// Declared cartridge temperature, °C
    #[arg(long, value_name = "CELSIUS", allow_hyphen_values = true)]
    cartridge: Option<String>,
    /// Last day the resin may be used, YYYY-MM-DD
    #[arg(long, value_name = "DATE")]
    use_by: Option<String>,
    /// Print one JSON object a fixing instead of an account
    #[arg(long)]
    json: bool,
    /// Draw temperature, bands and cure to an SVG file
    #[arg(long, value_name = "FILE.svg")]
    plot: Option<PathBuf>,
    /// Write the memory that a logger would hold after the same readings and actions
    #[arg(long, value_name = "OUT.bin", requires = "key")]
    image: Option<PathBuf>,
    /// The secret key that signs the releases in the image
    #[arg(long, value_name = "DIR/secret.key", requires = "image")]
    key: Option<PathBuf>,
    /// Size of the image in KiB: 4 to 256, a power of two
    #[arg(long, value_name = "KIB", default_value_t = 64, requires = "image")]
    image_size: u32,
    /// The sensor that the readings come from, for the very image that a logger with it would hold
    #[arg(long, value_parser = sensors(), requires = "image")]
    sensor: Option<SensorKind>,
    /// The logger's time between two readings [default: that of the first two rows]
    #[arg(long, value_name = "DURATION", requires = "image")]
    interval: Option<String>,
    /// The job file that the logger of the image was loaded from; it must say of the fixings what the scenario says
    #[arg(long, value_name = "JOB.toml", requires_all = ["image", "scenario"])]
    job: Option<String>,
    #[command(flatten)]
    columns: ColumnArguments,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Everything a replay needs, checked.
#[derive(Debug)]
pub(super) struct Job {
    pub(super) resin: ResinFile,
    pub(super) settings: Settings,
    pub(super) rule: Rule,
    pub(super) plan: Plan,
    /// Text of the file that a logger was loaded from: the job file, else the scenario; empty where there is none.
    pub(super) text: String,
}

/// An image to be written.
#[derive(Debug)]
pub(super) struct Image {
    file: Output,
    key: SecretFile,
    bytes: usize,
    source: Source,
    period: Option<Span>,
}

/// What is printed.
#[derive(Clone, Copy, Debug)]
pub(super) enum Form {
    Account,
    Json,
}

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let scenario = arguments.scenario.as_deref().map(Scenario::load).transpose()?;
    let mut outputs = Outputs::beside(arguments.inputs(scenario.as_ref()));
    let plot = arguments.plot.as_deref().map(|file| outputs.take(file, &Kind::Svg)).transpose()?;
    let image = image(arguments, &mut outputs, streams)?;
    let (trace_name, job, options) = match scenario {
        Some(scenario) => from_scenario(arguments, scenario, streams)?,
        None => from_options(arguments, streams)?,
    };
    let form = if arguments.json { Form::Json } else { Form::Account };
    let source = progress::open(&trace_name, streams.watched)?;
    let mut trace = Trace::new(&trace_name, source, &options)?;
    let wanted = Wanted { form, plot: plot.as_ref(), image, speech: arguments.speech.speech() };
    show(&job, &mut trace, wanted, streams)
}

fn image(arguments: &Arguments, outputs: &mut Outputs, streams: &mut Streams) -> Result<Option<Image>, Problem> {
    let (Some(file), Some(key)) = (&arguments.image, &arguments.key) else { return Ok(None) };
    let bytes = usize::try_from(arguments.image_size).unwrap_or(0).saturating_mul(1024);
    if !bytes.is_power_of_two() || !(4096..=256 * 1024).contains(&bytes) {
        let what = format!("--image-size {} is not a power of two from 4 to 256 (KiB)", arguments.image_size);
        return Err(Problem::usage(what, "give the size of the logger's memory"));
    }
    let source = arguments.sensor.map_or(Source::Trace, Source::Sensor);
    let period = arguments.interval.as_deref().map(|text| setting::interval("--interval", text)).transpose()?;
    let file = outputs.take(file, &Kind::Image)?;
    let key = streams.secret(key)?;
    Ok(Some(Image { file, key, bytes, source, period }))
}

fn from_options(arguments: &Arguments, streams: &mut Streams) -> Result<(String, Job, trace::Options), Problem> {
    let job = one_fixing::job(&arguments.fixing(), streams)?;
    let options = trace_options(arguments, trace::Options::default());
    Ok((one_fixing::needed(arguments.trace.as_deref(), "TRACE")?.to_owned(), job, options))
}

one_fixing::has_one_fixing!(Arguments);

impl Arguments {
    /// The files that are read.
    fn inputs(&self, scenario: Option<&Scenario>) -> impl Iterator<Item = PathBuf> {
        let given = self.trace.iter().chain(&self.resin).chain(&self.scenario).chain(&self.job).map(PathBuf::from);
        let named: Vec<PathBuf> =
            scenario.map_or_else(Vec::new, |named| vec![(&named.trace).into(), (&named.resin).into()]);
        given.chain(named).chain(self.key.clone())
    }
}

fn from_scenario(
    arguments: &Arguments,
    scenario: Scenario,
    streams: &mut Streams,
) -> Result<(String, Job, trace::Options), Problem> {
    let settings = arguments.settings.over(&Written::of(&scenario))?;
    let resin = load(&scenario.resin, streams)?;
    let plan = scenario.plan(|celsius| declared(&resin, celsius))?;
    let options = trace_options(arguments, scenario.options.clone());
    let trace = arguments.trace.clone().unwrap_or_else(|| scenario.trace.clone());
    let mut job = Job { resin, settings, rule: scenario.rule, plan, text: scenario.text };
    if let Some(file) = &arguments.job {
        job.text = loaded_from::text_of(file, &job)?;
    }
    Ok((trace, job, options))
}

/// How the trace is read; `usual` is what the command line does not say.
fn trace_options(arguments: &Arguments, usual: trace::Options) -> trace::Options {
    trace::Options { sensor: arguments.sensor, ..arguments.columns.over(usual) }
}

/// Loads a resin file; its warnings go to standard error.
pub(super) fn load(file: &str, streams: &mut Streams) -> Result<ResinFile, Problem> {
    let resin = ResinFile::load(file)?;
    streams.warn_all(resin.warnings());
    Ok(resin)
}

/// A declared cartridge temperature, held against the file's own decimals.
pub(super) fn declared(resin: &ResinFile, celsius: &Decimal) -> Cartridge {
    let to_count = |counts: i32| Count::new(counts.clamp(i32::from(i16::MIN), i32::from(i16::MAX)) as i16);
    let count = to_count(celsius.floor_counts());
    let (least, greatest) = resin.cartridge();
    let judged = if celsius < least {
        to_count(i32::from(resin.resin().cartridge_least().raw()) - 1)
    } else if celsius > greatest {
        to_count(i32::from(resin.resin().cartridge_greatest().raw()) + 1)
    } else {
        let (low, high) = (resin.resin().cartridge_least(), resin.resin().cartridge_greatest());
        count.max(low).min(high)
    };
    Cartridge { count, judged }
}

/// What is to come of a replay.
#[derive(Debug)]
pub(super) struct Wanted<'a> {
    pub(super) form: Form,
    pub(super) plot: Option<&'a Output>,
    pub(super) image: Option<Image>,
    pub(super) speech: Speech,
}

/// Replays, then prints and draws.
pub(super) fn show<R: Read>(
    job: &Job,
    trace: &mut Trace<R>,
    wanted: Wanted<'_>,
    streams: &mut Streams,
) -> Result<Exit, Problem> {
    let Wanted { form, plot, image, speech } = wanted;
    let group = one_fixing::group(job)?;
    let unseen = Apart::new(job.settings.longest_gap());
    let mut story = if plot.is_some() { Story::drawn() } else { Story::told() };
    let outcome = match (form, plot, image) {
        (Form::Json, None, None) => replay::run(trace, group, &job.plan, &mut Unwatched),
        (Form::Account | Form::Json, _, None) => replay::run(trace, group, &job.plan, &mut story),
        (Form::Account | Form::Json, _, Some(image)) => recorded(job, trace, group, &mut story, &image, streams),
    };
    // an action that lies beyond the trace may do so by its offset
    let read_as = trace.read_as().clone();
    let apart = outcome.as_ref().map_or(unseen, |outcome| outcome.apart);
    let seen = Seen { other_offsets: OtherOffset::among_acts(&job.plan, &read_as), apart, read_as };
    columns::warn(trace.file(), &seen, streams);
    let outcome = outcome?;
    if let Some(uneven) = outcome.spacing.uneven() {
        let words = |seconds: i64| match u64::try_from(seconds) {
            Ok(seconds) => length(seconds),
            Err(_) => format!("{seconds} s"),
        };
        streams.warn(&format!(
            "{}: the rows are not evenly spaced: {} apart at first, {} differ, from {} to {}",
            trace.file(),
            words(uneven.usual),
            uneven.others,
            words(uneven.least),
            words(uneven.greatest)
        ));
    }
    if let Some(file) = plot {
        write_plot(job, &outcome, &story, speech, file)?;
    }
    let text = match form {
        Form::Account => account(&Account {
            trace: trace.file(),
            seen: &seen,
            resin: job.resin.name(),
            demo: job.resin.demo(),
            edges: &job.resin.edges().map(ToString::to_string).collect::<Vec<_>>(),
            plan: &job.plan,
            outcome: &outcome,
            story: &story,
            speech,
        }),
        Form::Json => json(job, &seen, &outcome)?,
    };
    Ok(match form {
        Form::Account => streams.print(&text),
        Form::Json => streams.print_json(&text),
    })
}

/// Replays with a log being written, and puts the log in its place.
fn recorded<R: Read>(
    job: &Job,
    trace: &mut Trace<R>,
    group: Group,
    story: &mut Story,
    image: &Image,
    streams: &mut Streams,
) -> Result<Outcome, Problem> {
    let name = image.file.name().to_owned();
    let failed = |failed: NotRecorded| {
        let (what, remedy) = not_recorded(&failed);
        Problem::unusable(&name, what, remedy)
    };
    let mut memory = vec![0xFF; image.bytes];
    let loaded = Loaded {
        resin: &job.resin,
        settings: job.settings,
        rule: job.rule,
        plan: &job.plan,
        job: &job.text,
        key: &image.key,
        source: image.source,
        period: image.period,
    };
    let mut recorder = Recorder::new(loaded, &mut memory).map_err(failed)?;
    let outcome = replay::run(trace, group, &job.plan, &mut Both(story, &mut recorder))?;
    let (lost, refused) = recorder.finish().map_err(failed)?;
    if lost > 0 {
        streams.warn(&format!("{name}: {lost} readings found no room in the memory and are recorded as lost"));
    }
    for refused in refused {
        let fixing = refused.fixing.place() + 1;
        streams.warn(&format!(
            "{name}: the logger would have refused an action on fixing {fixing}: {}",
            log_error(&refused.why)
        ));
    }
    image.file.write(&memory)?;
    Ok(outcome)
}

fn json(job: &Job, seen: &Seen, outcome: &Outcome) -> Result<String, Problem> {
    let edges: Vec<f64> = job.resin.edges().map(Decimal::to_f64).collect();
    let shared = Shared {
        resin: job.resin.name(),
        demo: job.resin.demo(),
        edges: &edges,
        seen,
        outcome,
        hands: &job.plan.hands,
    };
    let mut text = String::new();
    for (place, fixing) in (0u8..).zip(&job.plan.fixings) {
        let Some(object) = FixingNumber::new(place).and_then(|number| object(&shared, number, fixing)) else {
            continue;
        };
        let line = serde_json::to_string(&object)
            .map_err(|error| Problem::unusable("standard output", error.to_string(), "report this as a fault"))?;
        text.push_str(&line);
        text.push('\n');
    }
    Ok(text)
}

fn write_plot(job: &Job, outcome: &Outcome, story: &Story, speech: Speech, file: &Output) -> Result<(), Problem> {
    let first = FixingNumber::new(0).and_then(|first| outcome.group.status(first)).zip(job.plan.fixings.first());
    let Some((status, fixing)) = first else { return Ok(()) };
    let edges: Vec<f64> = job.resin.edges().map(Decimal::to_f64).collect();
    let resin = job.resin.resin();
    let celsius = |count: Count| f64::from(count.raw()) / 256.0;
    let picture = plot::svg(&Picture {
        resin: job.resin.name(),
        demo: job.resin.demo(),
        edges: &edges,
        coldest_usable: celsius(resin.coldest_usable_edge()),
        cure_greatest: celsius(resin.limits().cure_greatest),
        uncertainty: f64::from(job.settings.uncertainty().counts()) / 256.0,
        fixing,
        status: &status,
        outcome,
        story,
        speech,
    });
    file.write(picture.as_bytes())
}
