//! `tests/emulate`: the firmware on the emulated board, with a recorded trace at its probe.

use clap::Parser;
use holdoff_core::cure::Settings;
use holdoff_core::fixing::TorqueRange;
use holdoff_core::log::DeviceId;
use holdoff_core::quantity::Torque;
use holdoff_core::resin::Hole;
use holdoff_core::seal::SecretKey;
use holdoff_disk::Load;
use holdoff_evidence::keys::{NamedKey, from_hex};
use holdoff_files::problem::Problem;
use holdoff_files::resin_file::ResinFile;
use holdoff_files::stamp::{Stamp, format_seconds};
use holdoff_files::trace::{self, Row};
use holdoff_present::words::{CAUTION, DEMO_CAUTION};
use holdoff_tests::emulator::{Cure, EmulatorError, Held, known_seed};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Runs the firmware image on the emulated board: loads the job over its link in the second of the trace's first row, feeds
/// the trace to its probe, presses its buttons at the given seconds.
#[derive(Parser, Debug)]
#[command(name = "emulate")]
struct Arguments {
    /// Temperatures: CSV with the columns `time` and `temperature_c`
    #[arg(value_name = "TRACE.csv")]
    trace: String,
    /// Resin file
    #[arg(long, value_name = "FILE.toml")]
    resin: String,
    /// Condition of the hole
    #[arg(long, value_enum)]
    hole: HoleArgument,
    /// How long the probe must have said nearly the same before the injection, 0s to 1h; 0s: not at all
    #[arg(long, value_name = "DURATION", default_value = "180s")]
    settle: String,
    /// When the injection starts, RFC 3339 with offset
    #[arg(long, value_name = "TIME")]
    inject: String,
    /// When the element is seated
    #[arg(long, value_name = "TIME")]
    seat: Option<String>,
    /// The torque that is applied, N·m in tenths: as soon as the logger says cured, or at --torque-at
    #[arg(long, value_name = "NM")]
    torque: Option<String>,
    /// When it is applied, also too early
    #[arg(long, value_name = "TIME", requires = "torque")]
    torque_at: Option<String>,
    /// The specified torque [default: a tenth below to a tenth above --torque]
    #[arg(long, value_name = "LEAST..GREATEST", requires = "torque")]
    torque_range: Option<String>,
    /// Where the memory is left; its public key is put beside it, as OUT.bin.public.key
    #[arg(long, value_name = "OUT.bin")]
    image: Option<PathBuf>,
    /// Where a PNG of every screen shown is left
    #[arg(long, value_name = "DIR")]
    shots: Option<PathBuf>,
    /// When it ends [default: the trace's last row]
    #[arg(long, value_name = "TIME")]
    until: Option<String>,
    /// The device's secret key, as `holdoff keys new` makes it [default: one that is known to everybody]
    #[arg(long, value_name = "FILE")]
    key: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum HoleArgument {
    Dry,
    Wet,
    Flooded,
}

/// Why it came to nothing, and the exit status.
enum Failed {
    /// Wrong usage: 2.
    Usage(String),
    /// A file, or the emulator, cannot be used: 3.
    Unusable(String),
}

impl From<EmulatorError> for Failed {
    fn from(error: EmulatorError) -> Self {
        Self::Unusable(error.to_string())
    }
}

impl From<std::io::Error> for Failed {
    fn from(error: std::io::Error) -> Self {
        Self::Unusable(error.to_string())
    }
}

impl From<Problem> for Failed {
    fn from(problem: Problem) -> Self {
        Self::Unusable(problem.to_string())
    }
}

fn main() -> ExitCode {
    match run(&Arguments::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(Failed::Usage(why)) => {
            eprintln!("error: {why}");
            ExitCode::from(2)
        }
        Err(Failed::Unusable(why)) => {
            eprintln!("error: {why}");
            ExitCode::from(3)
        }
    }
}

fn run(arguments: &Arguments) -> Result<(), Failed> {
    let inject = time("--inject", &arguments.inject)?;
    let seat = arguments.seat.as_ref().map(|text| time("--seat", text)).transpose()?;
    let torque_at = arguments.torque_at.as_ref().map(|text| time("--torque-at", text)).transpose()?;
    let until = arguments.until.as_ref().map(|text| time("--until", text)).transpose()?;
    let torque = torque(arguments, torque_at)?;
    let settle = holdoff_files::duration::parse(&arguments.settle)
        .ok()
        .filter(|settle| Settings::DEFAULT.with_settle(*settle).is_ok())
        .ok_or_else(|| Failed::Usage(format!("--settle {}: give 0s to 1h", arguments.settle)))?;
    let resin = ResinFile::load(&arguments.resin)?;
    let rows = rows(&arguments.trace)?;
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
        return Err(Failed::Unusable(format!("{}: there are no rows", arguments.trace)));
    };
    let until = until.map_or(last.seconds, Stamp::floor_seconds);
    let (inject_at, seat_at) = (inject.floor_seconds(), seat.map(Stamp::ceil_seconds));
    let in_order: Vec<i64> = [Some(first.seconds), Some(inject_at), seat_at, torque_at.map(Stamp::ceil_seconds)]
        .into_iter()
        .flatten()
        .collect();
    if !in_order.is_sorted_by(|before, after| before < after) {
        return Err(Failed::Usage(
            "first row, --inject, --seat and --torque-at must follow each other in this order".to_owned(),
        ));
    }
    if in_order.last().is_some_and(|latest| *latest > until) || until > last.seconds {
        return Err(Failed::Unusable(format!(
            "{}: the last row is of {}; an action or --until lies after it",
            arguments.trace,
            format_seconds(last.seconds, last.offset_seconds)
        )));
    }
    let seed = arguments.key.as_deref().map_or_else(|| Ok(known_seed()), seed)?;
    let cure = Cure {
        rows: &rows,
        resin: &resin,
        hole: match arguments.hole {
            HoleArgument::Dry => Hole::Dry,
            HoleArgument::Wet => Hole::Wet,
            HoleArgument::Flooded => Hole::Flooded,
        },
        settle,
        inject: inject_at,
        seat: seat_at,
        torque,
        offset_minutes: i16::try_from(seat.unwrap_or(inject).offset_seconds() / 60).unwrap_or(0),
        until,
    };
    let directory = tempfile::tempdir()?;
    let memory = directory.path().join("memory.bin");
    let mut site = cure.switch_on(&memory, seed)?;
    if let Some(shots) = &arguments.shots {
        site.machine.keep_pictures(shots)?;
    }
    cure.load(&mut site)?;
    let undone = cure.go(&mut site, &memory)?;
    site.machine.cut()?;
    for undone in undone {
        eprintln!("warning: {} was not pressed: the fixing is {}", undone.what, undone.stage);
    }
    if let Some(image) = &arguments.image {
        std::fs::copy(&memory, image)?;
        write_key(image, seed)?;
    }
    told(&memory, &cure);
    Ok(())
}

fn time(option: &str, text: &str) -> Result<Stamp, Failed> {
    Stamp::parse(text).map_err(|error| Failed::Usage(format!("{option} {text}: {error}")))
}

type TorqueWish = Option<(Torque, TorqueRange, Option<i64>)>;

fn torque(arguments: &Arguments, at: Option<Stamp>) -> Result<TorqueWish, Failed> {
    let Some(text) = &arguments.torque else { return Ok(None) };
    let torque = newton_metres("--torque", text)?;
    if torque % 10 != 0 {
        return Err(Failed::Usage(format!("--torque {text}: the logger's buttons enter tenths of a newton metre")));
    }
    let (least, greatest) = match &arguments.torque_range {
        None => (torque - torque / 10, torque + torque / 10),
        Some(range) => {
            let (least, greatest) = range
                .split_once("..")
                .ok_or_else(|| Failed::Usage(format!("--torque-range {range}: write it as 18..22")))?;
            (newton_metres("--torque-range", least)?, newton_metres("--torque-range", greatest)?)
        }
    };
    let range = TorqueRange::new(Torque::from_hundredths(least), Torque::from_hundredths(greatest))
        .ok_or_else(|| Failed::Usage("--torque-range: the least is above the greatest, or zero".to_owned()))?;
    Ok(Some((Torque::from_hundredths(torque), range, at.map(Stamp::ceil_seconds))))
}

/// Hundredths of a newton metre.
fn newton_metres(option: &str, text: &str) -> Result<u32, Failed> {
    let wrong = || Failed::Usage(format!("{option} {text}: give newton metres, such as 20 or 20.5"));
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    if part.len() > 2 || text.is_empty() || !text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') {
        return Err(wrong());
    }
    format!("{whole}{part:0<2}").parse().ok().filter(|hundredths| *hundredths > 0).ok_or_else(wrong)
}

fn rows(name: &str) -> Result<Vec<Row>, Failed> {
    let mut trace = holdoff_disk::open_trace(name, &trace::Options::default())?;
    let mut rows = Vec::new();
    while let Some(row) = trace.next_row()? {
        if rows.last().is_some_and(|before: &Row| row.seconds <= before.seconds) {
            let what = format!("{name}: line {}: this row is not later than the one before", trace.line());
            return Err(Failed::Unusable(what));
        }
        rows.push(row);
    }
    Ok(rows)
}

/// The seed that a secret key file holds.
fn seed(path: &Path) -> Result<[u8; 32], Failed> {
    holdoff_evidence::keys::SecretFile::load(path)?; // says what is wrong with it
    let text = std::fs::read_to_string(path)?;
    let line = text.lines().find_map(|line| line.trim().strip_prefix("seed")).unwrap_or_default();
    let hex = line.trim_matches(|letter: char| !letter.is_ascii_hexdigit());
    from_hex(hex).ok_or_else(|| Failed::Unusable(format!("{}: no seed on a line of its own", path.display())))
}

fn write_key(image: &Path, seed: [u8; 32]) -> Result<(), Failed> {
    let secret = SecretKey::from_seed(seed).map_err(|_| Failed::Unusable("the seed is all zeros".to_owned()))?;
    let public = secret.public();
    let key = NamedKey {
        name: "emulated device".to_owned(),
        device: Some(DeviceId::of_key(&public)),
        public,
        enrolled: None,
    };
    let mut path = image.as_os_str().to_owned();
    path.push(".public.key");
    std::fs::write(path, key.to_toml())?;
    Ok(())
}

/// Says what became of it.
fn told(memory: &Path, cure: &Cure<'_>) {
    let status = Held::read(memory).ok().flatten().and_then(|held| held.status(0));
    if let Some(status) = status {
        let offset = i32::from(cure.offset_minutes) * 60;
        let cured = status.cured_at.map(|at| format!(", cured at {}", format_seconds(at.seconds(), offset)));
        println!("the emulated logger says: {}{}", status.stage.word(), cured.unwrap_or_default());
    }
    if cure.resin.demo() {
        println!("\n{DEMO_CAUTION}");
    }
    println!("\n{CAUTION}");
}
