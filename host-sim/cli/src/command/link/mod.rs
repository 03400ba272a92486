//! `holdoff link`: a logger at the other end of a line.

mod clock;
mod enrol;
mod load;
pub(super) mod read;

use super::Streams;
use super::speech::SpeechArguments;
use crate::link::{Patience, Port, Stop, Talk, Trouble, log_state, problem, status_object, table, watch};
use holdoff_core::seal::PublicKey;
use holdoff_evidence::keys::to_hex;
use holdoff_files::problem::{Exit, Problem, visible};
use holdoff_link::message::{Answer, Log, Request};
use holdoff_present::words::{LinkPhrase as P, Speech};
use load::Loading;
use serde::Serialize;
use std::fmt::Write;
use std::io::IsTerminal;
use std::time::Duration;

/// `holdoff link`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    #[command(flatten)]
    line: LineArguments,
    #[command(flatten)]
    speech: SpeechArguments,
    #[command(subcommand)]
    command: Command,
}

/// Where a logger is, and how it is spoken to.
#[derive(Debug, clap::Args)]
pub(super) struct LineArguments {
    /// Where the logger is: a serial port, a pseudo terminal, unix:PATH or tcp:HOST:PORT
    #[arg(value_name = "PORT")]
    pub(super) port: String,
    /// Speed of a serial port, bits a second
    #[arg(long, value_name = "BITS", default_value_t = 115_200, global = true)]
    baud: u32,
    /// How long a broken line is waited for before the command gives up, seconds
    #[arg(long, value_name = "SECONDS", default_value_t = 20, global = true)]
    patience: u16,
    /// How long an answer is waited for before the request is sent again: on no command line, but a line whose logger answers in
    /// simulated time needs no seconds
    #[arg(skip = Patience::default().answer)]
    pub(super) answer: Duration,
}

impl LineArguments {
    /// Begins a talk with the logger.
    pub(super) fn talk(&self) -> Result<Talk, Problem> {
        self.talk_until(Stop::default()).map_err(|trouble| problem(&self.port, &trouble))
    }

    /// The same, until somebody wants it to end.
    pub(super) fn talk_until(&self, stop: Stop) -> Result<Talk, Trouble> {
        let port = Port { name: self.port.clone(), baud: self.baud };
        let (usual, line) = (Patience::default(), Duration::from_secs(self.patience.into()));
        // as long in all: a logger on a busy machine is not silent
        let times = usual.answer.as_millis().checked_div(self.answer.as_millis()).unwrap_or(1);
        let tries = usual.tries.saturating_mul(u32::try_from(times).unwrap_or(1).max(1));
        let patience = Patience { line, answer: self.answer, tries, ..usual };
        Talk::begin_until(&port, patience, stop)
    }
}

impl Arguments {
    /// The same, with another time to wait for an answer before a request is sent again.
    #[must_use]
    pub const fn awaiting(mut self, answer: Duration) -> Self {
        self.line.answer = answer;
        self
    }
}

#[derive(Debug, clap::Subcommand)]
enum Command {
    /// Who it is, what it runs, how its memory stands
    Identity(JsonArguments),
    /// What its clock says; set it
    Clock(clock::Arguments),
    /// Load a job: resin, settings, fixings. Refused while a fixing runs
    Load(load::Arguments),
    /// How the group stands
    Status(StatusArguments),
    /// Read the memory out; goes on where it was broken off
    Read(read::Arguments),
    /// Take the logger's public key into a key file
    Enrol(enrol::Arguments),
}

/// A command that has nothing but this.
#[derive(Debug, clap::Args)]
pub struct JsonArguments {
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

#[derive(Debug, clap::Args)]
struct StatusArguments {
    /// Again and again, until interrupted
    #[arg(long)]
    watch: bool,
    /// Seconds between two looks
    #[arg(long, value_name = "SECONDS", default_value_t = 2, requires = "watch")]
    every: u16,
    /// Print one JSON object a look
    #[arg(long)]
    json: bool,
}

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let (name, speech) = (&arguments.line.port, arguments.speech.speech());
    // what can be seen to be wrong is said before the logger is spoken to
    let job = match &arguments.command {
        Command::Load(load) => Some(Loading::prepare(load, streams)?),
        Command::Enrol(enrol) => {
            enrol.check()?;
            None
        }
        Command::Identity(_) | Command::Clock(_) | Command::Status(_) | Command::Read(_) => None,
    };
    let targets = match &arguments.command {
        Command::Read(read) => Some(read.targets()?),
        Command::Identity(_) | Command::Clock(_) | Command::Status(_) | Command::Load(_) | Command::Enrol(_) => None,
    };
    let mut talk = arguments.line.talk()?;
    match (&arguments.command, job) {
        (Command::Identity(identity), _) => {
            let (log, object) = who(&mut talk).map_err(|trouble| problem(name, &trouble))?;
            if identity.json { streams.object(&object) } else { Ok(streams.print(&who_text(&log, &object, speech))) }
        }
        (Command::Clock(clock), _) => clock::run(&mut talk, name, clock, speech, streams),
        (Command::Load(_), Some(job)) => job.load(&mut talk, name, speech, streams),
        (Command::Load(_), None) => Ok(Exit::Usage), // a load was prepared above
        (Command::Status(status), _) => status_command(&mut talk, name, status, speech, streams),
        (Command::Enrol(enrol), _) => Ok(streams.print(&enrol::run(&mut talk, name, enrol, speech)?)),
        (Command::Read(read), _) => match &targets {
            Some(targets) => read::run(&mut talk, name, (read, targets), speech, streams),
            None => Ok(Exit::Usage), // they were looked at above
        },
    }
}

#[derive(Serialize)]
struct IdentityObject {
    device: String,
    board: String,
    firmware: String,
    public_key: Option<String>,
    key_id: Option<String>,
    log_version: u8,
    memory_bytes: u32,
    memory: &'static str,
    pages: u32,
    pages_left: u32,
    pages_reserved: u32,
    unread_from: u32,
    newest_page: Option<u32>,
}

fn who(talk: &mut Talk) -> Result<(Log, IdentityObject), Trouble> {
    let Answer::Log(log) = talk.ask(&Request::Log)? else { return Err(Trouble::Unfitting) };
    let identity = talk.identity()?.clone();
    let [major, minor, patch] = identity.firmware;
    let key = identity.key.map(PublicKey::from_bytes);
    let object = IdentityObject {
        device: to_hex(&identity.device),
        board: identity.board.as_str().to_owned(),
        firmware: format!("{major}.{minor}.{patch}"),
        public_key: key.map(|key| to_hex(key.bytes())),
        key_id: key.map(|key| to_hex(&key.id().0)),
        log_version: identity.log_version,
        memory_bytes: identity.memory,
        memory: Speech::PLAIN.say(log_state(log.state)),
        pages: log.slots,
        pages_left: log.left,
        pages_reserved: log.reserved,
        unread_from: log.unread_from,
        newest_page: log.head.map(|head| head.page),
    };
    Ok((log, object))
}

fn who_text(log: &Log, object: &IdentityObject, speech: Speech) -> String {
    let key = match (&object.public_key, &object.key_id) {
        (Some(key), Some(id)) => speech.fill(P::Key, &[("key", key), ("id", id)]),
        (None, _) | (_, None) => speech.say(P::NoKey).to_owned(),
    };
    let (size, version) = ((object.memory_bytes / 1024).to_string(), object.log_version.to_string());
    let gaps = [("size", &*size), ("version", &*version), ("state", speech.say(log_state(log.state)))];
    let memory = speech.fill(P::MemoryHolds, &gaps);
    let [left, pages, reserved] =
        [object.pages_left, object.pages, object.pages_reserved].map(|number| number.to_string());
    let room = speech.fill(P::RoomLeft, &[("left", &left), ("pages", &pages), ("reserved", &reserved)]);
    let read_out = match object.newest_page {
        Some(page) => {
            let (number, pages) = (log.unread_from.min(page).to_string(), page.to_string());
            speech.fill(P::ReadOutPages, &[("number", &number), ("pages", &pages)])
        }
        None => speech.say(P::NothingToRead).to_owned(),
    };
    let board = visible(&object.board);
    let board = speech.fill(P::BoardFirmware, &[("board", &board), ("version", &object.firmware)]);
    let lines = [
        (P::Logger, object.device.clone()),
        (P::Board, board),
        (P::PublicKey, key),
        (P::Memory, memory),
        (P::Room, room),
        (P::ReadOut, read_out),
    ];
    let width = lines.iter().map(|(word, _)| speech.say(*word).chars().count()).max().unwrap_or(0);
    let mut text = String::new();
    for (word, what) in lines {
        let _ = writeln!(text, "{:width$}  {what}", speech.say(word));
    }
    text
}

fn status_command(
    talk: &mut Talk,
    name: &str,
    arguments: &StatusArguments,
    speech: Speech,
    streams: &mut Streams,
) -> Result<Exit, Problem> {
    let screen = arguments.watch && !arguments.json && std::io::stdout().is_terminal();
    loop {
        let standing = watch(talk).map_err(|trouble| problem(name, &trouble))?;
        let exit = if arguments.json {
            streams.object(&status_object(&standing))?
        } else {
            // home, the table, and nothing below it
            let home = if screen { "\x1b[H\x1b[2J" } else { "" };
            streams.print(&format!("{home}{}", table(&standing, speech)))
        };
        if !arguments.watch || exit != Exit::Ran {
            return Ok(exit);
        }
        std::thread::sleep(Duration::from_secs(arguments.every.into()));
    }
}
