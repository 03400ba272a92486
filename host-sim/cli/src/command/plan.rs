//! `holdoff plan`: a shift plan from a job file and a forecast.

use super::columns::{self, ColumnArguments};
use super::setting::{decimal, duration, stamp, wrong};
use super::speech::SpeechArguments;
use super::{Streams, progress};
use holdoff_core::cure::Settings;
use holdoff_core::fixing::Injection;
use holdoff_core::group::GroupError;
use holdoff_core::quantity::{Instant, Span};
use holdoff_disk::Load;
use holdoff_disk::{Kind, Outputs};
use holdoff_files::decimal::Decimal;
use holdoff_files::job::{Group, JobFile};
use holdoff_files::problem::{Exit, Problem, shown, shown_file};
use holdoff_files::stamp::{Stamp, local_date, midnight};
use holdoff_files::trace::{Options, Trace};
use holdoff_present::plan::Starts;
use holdoff_present::plot::timeline_svg;
use holdoff_present::words::{Speech, length};
use holdoff_site::plan::{GroupPlan, Setup, ShiftPlan, Variant, sweep};
use holdoff_site::replay::{OtherOffset, Seen};
use holdoff_site::series::Series;
use std::path::PathBuf;

/// Most starts of a group: five weeks of minutes.
const MOST_STARTS: i64 = 50_400;
/// Most hours of the week that a torque is wanted by, where none is given.
const MOST_MORNINGS: usize = 7;

/// `holdoff plan`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The job file (TOML)
    job: String,
    /// The forecast, or a recorded day: CSV with the columns time and temperature_c; `-` for standard input
    #[arg(long, value_name = "TRACE")]
    forecast: String,
    /// How much colder it may also be, °C, one or several
    #[arg(long, value_name = "CELSIUS,...", allow_hyphen_values = true, default_value = "2,5", value_delimiter = ',')]
    colder: Vec<String>,
    /// When a torque is wanted: RFC 3339 with offset, or HH:MM for every day of the forecast [default: 07:00]
    #[arg(long, value_name = "TIME", value_delimiter = ',', num_args = 1..)]
    torque_by: Vec<String>,
    /// From the start of an injection to the seating
    #[arg(long, value_name = "DURATION", default_value = "10min")]
    seat_after: String,
    /// From one start that is tried to the next, 1min to 1h
    #[arg(long, value_name = "DURATION", default_value = "1min")]
    every: String,
    /// First start that is tried [default: that of the group's planned day, else of the forecast]
    #[arg(long, value_name = "TIME")]
    from: Option<String>,
    /// Last start that is tried [default: that of the group's planned day, else of the forecast]
    #[arg(long, value_name = "TIME")]
    until: Option<String>,
    /// Hours of the day in which somebody is there to inject, local time
    #[arg(long, value_name = "HH:MM-HH:MM")]
    shift: Option<String>,
    /// Only the group of this name
    #[arg(long, value_name = "NAME")]
    group: Option<String>,
    /// Print a JSON object instead of a plan to read
    #[arg(long)]
    json: bool,
    /// List every start in the JSON object, not only those on full hours
    #[arg(long, requires = "json")]
    starts: bool,
    /// Draw the timeline to an SVG file
    #[arg(long, value_name = "FILE.svg")]
    plot: Option<PathBuf>,
    #[command(flatten)]
    columns: ColumnArguments,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// What is asked about the starts of every group.
struct Asked {
    colder: Vec<(String, u16)>,
    seat_after: i64,
    every: i64,
    from: Option<i64>,
    until: Option<i64>,
    /// First and last second of the day at which a start is tried.
    shift: (i64, i64),
    /// Times of options, as they are written.
    times: Vec<(&'static str, Stamp)>,
}

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let asked = asked(arguments)?;
    let mut outputs = Outputs::beside([&arguments.job, &arguments.forecast]);
    let plot = arguments.plot.as_deref().map(|file| outputs.take(file, &Kind::Svg)).transpose()?;
    let file = JobFile::load(&arguments.job)?;
    streams.warn_of_job(&file);
    let source = progress::open(&arguments.forecast, streams.watched)?;
    let series =
        Series::read(&mut Trace::new(&arguments.forecast, source, &arguments.columns.over(Options::default()))?)?;
    let job = file.job();
    let settings = settings_for(&series, job.settings)?;
    let first = series.rows().iter().map(|row| row.seconds).min().unwrap_or(0);
    let last = series.rows().iter().map(|row| row.seconds).max().unwrap_or(first);
    let torque_by = torque_by(&arguments.torque_by, first, last, job.offset_seconds)?;
    let wanted = |group: &&Group| arguments.group.as_ref().is_none_or(|name| *name == group.name);
    let groups: Vec<&Group> = job.groups.iter().filter(wanted).collect();
    if groups.is_empty() {
        let name = arguments.group.as_deref().unwrap_or_default();
        let names: Vec<&str> = job.groups.iter().map(|group| group.name.as_str()).collect();
        let what = format!("the job has no group named {}", shown(name.as_bytes()));
        return Err(Problem::usage(what, format!("name one of: {}", names.join(", "))));
    }
    let mut variants = vec![("0".to_owned(), series.clone())];
    variants.extend(asked.colder.iter().map(|(words, counts)| (words.clone(), series.colder(*counts))));
    let mut plans = Vec::with_capacity(groups.len());
    for group in groups {
        let starts = starts(&asked, group, job.offset_seconds, (first, last))?;
        let cartridge = group.cartridge.as_ref().map(|celsius| super::replay::declared(file.resin(), celsius));
        let past_from = job.batch_of(group).map(|batch| batch.past_from(job.offset_seconds));
        let setup = Setup {
            resin: file.resin().resin(),
            settings,
            hole: group.condition,
            injection: Injection { in_hole: None, cartridge, past_from },
            seat_after: asked.seat_after,
        };
        let mut made = Vec::with_capacity(variants.len());
        for (colder, series) in &variants {
            let starts =
                sweep(setup, series, &starts).map_err(|error| refused_by_engine(error, file.resin().name()))?;
            made.push(Variant { colder: colder.clone(), starts });
        }
        plans.push(GroupPlan {
            name: group.name.clone(),
            number: group.number(),
            hole: group.condition,
            rule: group.rule,
            variants: made,
        });
    }
    let other_offsets = OtherOffset::among_options(&asked.times, series.read_as());
    let apart = series.apart(settings.longest_gap());
    let seen = Seen { read_as: series.read_as().clone(), apart, other_offsets };
    columns::warn(series.file(), &seen, streams);
    let job_gap = job.settings.longest_gap().seconds();
    let plan = ShiftPlan {
        job: job.name.clone(),
        site: job.site.clone(),
        forecast: series.file().to_owned(),
        seen,
        span: (Instant::from_seconds(first), Instant::from_seconds(last)),
        resin: file.resin().name().to_owned(),
        demo: file.resin().demo(),
        offset_seconds: job.offset_seconds,
        laxer: settings.laxer(),
        longest_gap_s: settings.longest_gap().seconds(),
        shorter_gap_s: Some(job_gap).filter(|gap| *gap != settings.longest_gap().seconds()),
        seat_after: asked.seat_after,
        every: asked.every,
        torque_by,
        groups: plans,
    };
    if let Some(wider) = holdoff_present::plan::wider_gap(&plan, Speech::PLAIN) {
        streams.warn(&format!("{}: {wider}", shown_file(&plan.forecast)));
    }
    if let Some(plot) = plot {
        plot.write(timeline_svg(&plan, &series, arguments.speech.speech()).as_bytes())?;
    }
    if !arguments.json {
        return Ok(streams.print(&holdoff_present::plan::text(&plan, arguments.speech.speech())));
    }
    let listed = if arguments.starts { Starts::All } else { Starts::Hourly };
    streams.object(&holdoff_present::plan::object(&plan, listed))
}

fn refused_by_engine(error: GroupError, resin: &str) -> Problem {
    let why = match error {
        GroupError::AccrualNotPermitted => "it does not permit the accrual rule",
        GroupError::Full => "it has more than sixteen fixings",
    };
    Problem::usage(format!("the engine refuses a group with {resin}: {why}"), "report this as a fault")
}

fn asked(arguments: &Arguments) -> Result<Asked, Problem> {
    let seconds = |option: &str, text: &str| duration(option, text).map(|span| i64::from(span.seconds()));
    let seat_after = seconds("--seat-after", &arguments.seat_after)?;
    if seat_after > 86_400 {
        return Err(Problem::usage(
            "--seat-after is longer than a day",
            "give the time from starting a hole to seating",
        ));
    }
    let every = seconds("--every", &arguments.every)?;
    if !(60..=3600).contains(&every) {
        return Err(Problem::usage("--every is not 1 min to 1 h", "give the time from one start to the next"));
    }
    let mut colder = Vec::new();
    for text in arguments.colder.iter().filter(|text| !text.trim().is_empty()) {
        let celsius: Decimal = decimal("--colder", text.trim())?;
        let inside = !celsius.is_negative() && celsius.cmp_whole(50).is_le();
        let counts = u16::try_from(celsius.ceil_counts()).ok().filter(|_| inside);
        let counts = counts.ok_or_else(|| {
            Problem::usage(format!("--colder {celsius} is not 0 to 50 °C"), "say how much colder than the forecast")
        })?;
        colder.push((celsius.to_string(), counts));
    }
    let from = arguments.from.as_deref().map(|text| stamp("--from", text)).transpose()?;
    let until = arguments.until.as_deref().map(|text| stamp("--until", text)).transpose()?;
    let mut times: Vec<(&'static str, Stamp)> =
        [("--from", from), ("--until", until)].into_iter().filter_map(|(option, at)| Some((option, at?))).collect();
    for text in arguments.torque_by.iter().filter(|text| clock(text).is_none()) {
        times.push(("--torque-by", torque_time(text)?));
    }
    let (from, until) = (from.map(|at| at.ceil_seconds()), until.map(|at| at.floor_seconds()));
    if let (Some(from), Some(until)) = (from, until)
        && from > until
    {
        return Err(Problem::usage("--until lies before --from", "give the first start and the last"));
    }
    let shift = match arguments.shift.as_deref() {
        None => (0, 86_399),
        Some(text) => shift(text).ok_or_else(|| {
            let what = format!("--shift {} is no two times of a day, the earlier first", shown(text.as_bytes()));
            Problem::usage(what, "write HH:MM-HH:MM, such as 07:00-17:00")
        })?,
    };
    Ok(Asked { colder, seat_after, every, from, until, shift, times })
}

/// The settings of the job, with a longest gap that a forecast's spacing fits into: no more than rule Q4's hour, and
/// named as laxer in the plan where it is.
fn settings_for(series: &Series, settings: Settings) -> Result<Settings, Problem> {
    let usual = series.usual_spacing().unwrap_or(0);
    let gap = i64::from(settings.longest_gap().seconds());
    if usual <= gap {
        return Ok(settings);
    }
    let span = u32::try_from(usual).map(Span::from_seconds).ok();
    let wider = span.and_then(|span| {
        Settings::new(settings.uncertainty(), span, settings.clock_ppm()).ok()?.with_settle(settings.settle()).ok()
    });
    wider.ok_or_else(|| {
        let apart = length(usual.unsigned_abs());
        let what =
            format!("the forecast's points lie {apart} apart; what lies over an hour apart says nothing of between");
        Problem::unusable(series.file(), what, "give an hourly forecast, or a finer one")
    })
}

/// The starts that are tried: in full steps from the local midnight of their first day, early enough for the seating to lie in the forecast.
fn starts(
    asked: &Asked,
    group: &Group,
    offset_seconds: i32,
    (first, last): (i64, i64),
) -> Result<Vec<Instant>, Problem> {
    let offset = i64::from(offset_seconds);
    let day = |at: i64| local_date(at, offset_seconds);
    let planned = group.planned.filter(|_| asked.from.is_none() && asked.until.is_none());
    let midnight = planned.map(|day| midnight(day) - offset);
    let from = asked.from.or(midnight).unwrap_or(first).max(first);
    let until = asked.until.or(midnight.map(|midnight| midnight + 86_399)).unwrap_or(last).min(last - asked.seat_after);
    // up to the next full step of its day
    let midnight = from - (from + offset).rem_euclid(86_400);
    let from = midnight + (from - midnight + asked.every - 1).div_euclid(asked.every) * asked.every;
    if (until - from) / asked.every >= MOST_STARTS {
        let what = format!("{} to {} are too many starts", day(from), day(until));
        return Err(Problem::usage(what, "give --from and --until, or a longer --every"));
    }
    let of_day = |at: &i64| (at + offset).rem_euclid(86_400);
    let all = (0..).map(|step| from + step * asked.every).take_while(|at| *at <= until);
    let manned = all.filter(|at| (asked.shift.0..=asked.shift.1).contains(&of_day(at)));
    Ok(manned.map(Instant::from_seconds).collect())
}

/// `HH:MM-HH:MM` as seconds of the day.
fn shift(text: &str) -> Option<(i64, i64)> {
    let (from, to) = text.split_once('-')?;
    let seconds = |text| clock(text).map(|(hour, minute)| hour * 3600 + minute * 60);
    let (from, to) = (seconds(from)?, seconds(to)?);
    (from <= to).then_some((from, to))
}

/// A time that a torque is wanted by, of one day.
fn torque_time(text: &str) -> Result<Stamp, Problem> {
    Stamp::parse(text).map_err(|error| {
        let remedy =
            "write HH:MM for every day of the forecast, such as 07:00, or a time like 2026-11-25T07:00:00+01:00";
        wrong("--torque-by", text, error, remedy)
    })
}

/// The times that a torque is wanted by, in order, once each.
fn torque_by(texts: &[String], first: i64, last: i64, offset_seconds: i32) -> Result<Vec<Instant>, Problem> {
    let mut times = Vec::new();
    let every_day = |hour: i64, minute: i64| {
        let offset = i64::from(offset_seconds);
        let midnight = (first + offset).div_euclid(86_400) * 86_400 - offset;
        let days = (0..).map(move |day| midnight + day * 86_400 + hour * 3600 + minute * 60);
        days.skip_while(move |at| *at <= first).take_while(move |at| *at <= last)
    };
    if texts.is_empty() {
        times.extend(every_day(7, 0).take(MOST_MORNINGS));
    }
    for text in texts {
        match clock(text) {
            Some((hour, minute)) => times.extend(every_day(hour, minute).take(31)),
            None => times.push(torque_time(text)?.floor_seconds()),
        }
    }
    times.sort_unstable();
    times.dedup();
    Ok(times.into_iter().map(Instant::from_seconds).collect())
}

/// `HH:MM`, 00:00 to 23:59.
fn clock(text: &str) -> Option<(i64, i64)> {
    let (hour, minute) = text.split_once(':')?;
    let two = |text: &str, most: i64| {
        let digits = text.len() == 2 && text.bytes().all(|byte| byte.is_ascii_digit());
        text.parse::<i64>().ok().filter(|value| digits && *value <= most)
    };
    Some((two(hour, 23)?, two(minute, 59)?))
}
