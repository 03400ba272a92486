//! `holdoff decide`: sign a decision of the engineer on a rejected fixing, and prove one.

use super::speech::SpeechArguments;
use super::{Streams, now};
use holdoff_core::fixing::{Decision, Ground, Grounds};
use holdoff_core::log::DeviceId;
use holdoff_disk::{Kind, Load, Outputs};
use holdoff_evidence::decision::{Decided, engineer_of, sign};
use holdoff_evidence::keys::from_hex;
use holdoff_files::decision::{Said, Signed, WORDS};
use holdoff_files::job::JobFile;
use holdoff_files::problem::{Exit, Problem, shown, shown_file, visible};
use holdoff_files::stamp::{Stamp, format_seconds};
use holdoff_present::words::{DecisionPhrase, not_engineers};
use std::path::PathBuf;

/// `holdoff decide`.
#[derive(Debug, clap::Subcommand)]
pub enum Arguments {
    /// Sign a decision on a rejected fixing into a small file (docs/decision.md)
    Sign(Box<SignArguments>),
    /// Prove a decision: an engineer of the job signed it, and nothing in it was changed
    Check(CheckArguments),
}

/// `holdoff decide sign`.
#[derive(Debug, clap::Args)]
pub struct SignArguments {
    /// The name of the fixing, as the job file and the register have it
    #[arg(long, value_name = "NAME")]
    fixing: String,
    /// The number of its logger, 16 hexadecimal digits
    #[arg(long, value_name = "LOGGER")]
    device: String,
    /// A ground of its rejection; give every one
    #[arg(long, value_name = "WORD", required = true)]
    ground: Vec<String>,
    /// What becomes of it
    #[arg(long, value_name = "accept-as-is|remove", value_parser = ["accept-as-is", "remove"])]
    decision: String,
    /// Why
    #[arg(long, value_name = "TEXT")]
    because: String,
    /// Where the decision is written: number and date of a letter, a minute, a drawing
    #[arg(long, value_name = "TEXT")]
    document: String,
    /// Who decides, as the job file names the engineer
    #[arg(long, value_name = "NAME")]
    by: String,
    /// When [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// The engineer's secret key
    #[arg(long, value_name = "FILE")]
    key: PathBuf,
    /// Where the decision goes
    #[arg(long, value_name = "FILE.toml")]
    out: PathBuf,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// `holdoff decide check`.
#[derive(Debug, clap::Args)]
pub struct CheckArguments {
    /// The decision
    #[arg(value_name = "FILE.toml")]
    file: String,
    /// The job file that names the engineer; several where there are several
    #[arg(long, value_name = "JOB.toml", required = true)]
    job: Vec<String>,
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command.
///
/// # Errors
/// A file or a word of the command line that can't be used.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    match arguments {
        Arguments::Sign(arguments) => signed(arguments, streams),
        Arguments::Check(arguments) => checked(arguments, streams),
    }
}

/// What the command line says, checked as a file is.
fn said(arguments: &SignArguments) -> Result<Said, Problem> {
    let texts = [
        ("--fixing", &arguments.fixing),
        ("--because", &arguments.because),
        ("--document", &arguments.document),
        ("--by", &arguments.by),
    ];
    for (option, text) in texts {
        Said::check_text(option, text).map_err(|what| Problem::usage(what, "write it in plain letters"))?;
    }
    let device = from_hex(&arguments.device).ok_or_else(|| {
        let what = format!("--device {} is no number of a logger", shown(arguments.device.as_bytes()));
        Problem::usage(what, "give its 16 hexadecimal digits; `holdoff register list` has them")
    })?;
    let mut grounds = Grounds::NONE;
    for word in &arguments.ground {
        let ground = Ground::ALL.into_iter().find(|ground| ground.word() == word).ok_or_else(|| {
            let known: Vec<&str> = Ground::ALL.into_iter().map(Ground::word).collect();
            let what = format!("--ground {} is no ground of a rejection", shown(word.as_bytes()));
            Problem::usage(what, format!("give every ground of it, each one of {}", known.join(", ")))
        })?;
        grounds = grounds.with(ground);
    }
    let at = arguments.at.clone().unwrap_or_else(|| format_seconds(now(), 0));
    Stamp::parse(&at)
        .map_err(|error| Problem::usage(format!("--at {} {error}", shown(at.as_bytes())), error.remedy()))?;
    let decision = WORDS.iter().find(|(word, _)| *word == arguments.decision).map_or(Decision::Remove, |(_, one)| *one);
    Ok(Said {
        fixing: arguments.fixing.clone(),
        device: DeviceId(device),
        grounds,
        decision,
        reason: arguments.because.clone(),
        document: arguments.document.clone(),
        name: arguments.by.clone(),
        at,
    })
}

fn signed(arguments: &SignArguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let said = said(arguments)?;
    let out = Outputs::beside([&arguments.key]).take(&arguments.out, &Kind::Decision)?;
    let key = streams.secret(&arguments.key)?;
    let signed = sign(said, key.key()).map_err(|_| {
        let name = arguments.key.to_string_lossy();
        Problem::unusable(&name, "the signature just made does not verify", "do it again, on another computer")
    })?;
    out.write(signed.to_toml().as_bytes())?;
    let speech = arguments.speech.speech();
    let what = speech.decided(&Decided::of(&signed));
    let (file, no_leave) = (shown_file(out.name()), speech.say(DecisionPhrase::NoLeave));
    Ok(streams.print(&format!("{file}{}{what}\n\n{no_leave}\n{}\n", speech.colon(), speech.caution())))
}

fn checked(arguments: &CheckArguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let jobs: Vec<JobFile> = arguments.job.iter().map(JobFile::load).collect::<Result<_, _>>()?;
    let signed = Signed::load(&arguments.file)?;
    if let Err(why) = engineer_of(&signed, jobs.iter().map(JobFile::job)) {
        let (what, remedy) = not_engineers(&why);
        let problem = Problem::unusable(&arguments.file, what, remedy);
        streams.refuse(&problem);
        return Ok(Exit::NotProved);
    }
    let speech = arguments.speech.speech();
    let what = speech.decided(&Decided::of(&signed));
    let fixing = visible(&signed.said.fixing);
    let proved = speech.fill(DecisionPhrase::Proved, &[("fixing", &fixing), ("what", &what)]);
    Ok(streams.print(&format!("{proved}\n\n{}\n{}\n", speech.say(DecisionPhrase::NoLeave), speech.caution())))
}
