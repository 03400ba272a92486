//! `holdoff register link`: a logger's memory read out over its line and taken in.
//!
//! Order, so that nothing is lost whenever the program or the line is stopped: what is read stands beside the register from
//! the first slot on (`SITE.db.DEVICE.part`) and stays there until the register has it on the disk; only then is the logger
//! told what may be overwritten. Whoever does it again goes on where it was: with the part, or, where the register holds
//! this very memory already, with telling the logger.

use super::link::LineArguments;
use super::link::read::{fetch, sign, went_on};
use super::now;
use super::register::added_json;
use super::register_follow::{Site, follow};
use super::{Streams, setting};
use crate::link::{ReadOut as MemoryRead, Talk, Trouble, part_file, problem, problem_that_goes_on};
use holdoff_disk::Load;
use holdoff_disk::ring_file;
use holdoff_disk::{Kind, Outputs};
use holdoff_evidence::keys::{Ring, to_hex};
use holdoff_evidence::row::{ReadOut, Verdict};
use holdoff_files::problem::{Exit, Problem, shown_file};
use holdoff_link::message::{Answer, Request};
use holdoff_present::words::{RegisterPhrase as P, Speech, Worded};
use holdoff_register::{Life, Refusal, Register, added_text, release_cautions};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// `holdoff register link`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    pub(super) line: LineArguments,
    /// The public keys that count
    #[arg(long, value_name = "FILE")]
    keys: Option<PathBuf>,
    /// The logger's memory was made blank by its owner since it was read out last
    #[arg(long)]
    blanked: bool,
    /// When the register has it, mark it on the logger as read out, so that it may be overwritten when room is needed
    #[arg(long)]
    read_out: bool,
    /// Again and again, until interrupted: what is new is read, and the line is free between two looks
    #[arg(long, conflicts_with_all = ["blanked", "read_out"])]
    follow: bool,
    /// Time from one look to the next, 1 s to 1 h
    #[arg(long, value_name = "DURATION", default_value = "30s", requires = "follow")]
    every: String,
    /// Print one JSON object for what was taken in, or for each look
    #[arg(long)]
    json: bool,
}

/// The name, without its ending, of what stands beside a register for a logger.
pub(super) fn beside(file: &Path, device: &str) -> PathBuf {
    let mut beside = file.as_os_str().to_owned();
    beside.push(format!(".{device}"));
    PathBuf::from(beside)
}

/// How the logger's clock goes beside this computer's, now.
pub(super) fn clock_of(talk: &mut Talk) -> Result<ReadOut, Trouble> {
    let utc = match talk.ask(&Request::Clock) {
        Ok(Answer::Clock(clock)) => clock.utc,
        // a clock that does not answer says no more than one that was not set
        Err(Trouble::Refused(_)) => None,
        Ok(_) => return Err(Trouble::Unfitting),
        Err(trouble) => return Err(trouble),
    };
    let at = now();
    Ok(ReadOut { at, ahead: utc.map(|utc| utc.saturating_sub(at)) })
}

/// Warns of a memory whose log does not end where its logger says.
pub(super) fn warn_of_end(port: &str, read: &MemoryRead, streams: &mut Streams) {
    if !read.whole {
        streams.warn(&format!("{port}: what the memory holds does not end where the logger says"));
    }
}

/// Runs the command.
pub(super) fn run(file: &Path, arguments: &Arguments, speech: Speech, streams: &mut Streams) -> Result<Exit, Problem> {
    let (name, port) = (file.to_string_lossy(), &arguments.line.port);
    let of_register = |refusal: Refusal| refusal.problem(&name);
    // what can be seen to be wrong is said before a memory is read for it
    let ring = arguments.keys.as_deref().map(Ring::load).transpose()?;
    let mut outputs = Outputs::beside(arguments.keys.as_deref().map(ring_file));
    let register = outputs.take(file, &Kind::Register)?;
    if register.path().exists() {
        Register::open(file).map_err(of_register)?;
    }
    if arguments.follow {
        let every = setting::interval("--every", &arguments.every)?;
        let site = Site { file, ring: ring.as_ref(), line: &arguments.line };
        return follow(&site, Duration::from_secs(every.seconds().into()), arguments.json, speech, streams);
    }
    let mut talk = arguments.line.talk()?;
    let device = to_hex(&talk.identity().map_err(|trouble| problem(port, &trouble))?.device);
    let beside = beside(file, &device);
    let kept = outputs.take(&part_file(&beside), &Kind::Part)?;
    let image = outputs.take(Path::new(&format!("{}.bin", beside.display())), &Kind::Image)?;
    let read = fetch(&mut talk, port, &kept, streams)?;
    let clock = clock_of(&mut talk).map_err(|trouble| problem_that_goes_on(port, &trouble))?;
    warn_of_end(port, &read, streams);
    let life = if arguments.blanked { Life::BeginsAnew } else { Life::GoesOn };
    let mut register = Register::open_or_make(file).map_err(of_register)?;
    let taken = register.add_image(port, &read.file(), ring.as_ref(), life, now());
    let (text, exit) = match taken {
        Ok(added) => {
            let proved = added.releases.iter().all(|one| one.verdict != Verdict::NotProved);
            let text = match (arguments.json, added.releases.is_empty()) {
                (true, _) => added_json(port, &added),
                (false, true) => added_text(port, &added, speech),
                (false, false) => added_text(port, &added, speech) + &release_cautions(&added.releases, speech) + "\n",
            };
            let exit = match (added.conflicts.is_empty(), proved) {
                (false, _) => Exit::Contradicted,
                (true, false) => Exit::NotProved,
                (true, true) => Exit::Ran,
            };
            (text, exit)
        }
        // these very bytes stand in it, synced: nothing happened on the logger since
        Err(Refusal::Duplicate(_)) if arguments.json => {
            (format!("{}\n", serde_json::json!({"added": null, "device": device})), Exit::Ran)
        }
        Err(Refusal::Duplicate(known)) => {
            let known = known.words(speech);
            (speech.fill(P::NothingNew, &[("device", &device), ("known", &known)]) + "\n", Exit::Ran)
        }
        // the part stays where the register could not be written; another reading would give the same
        Err(refusal @ (Refusal::Busy | Refusal::Database(_))) => return Err(of_register(refusal)),
        // it may be wanted as evidence, and the logger may be read by others next
        Err(refusal) => {
            register.refused_read_out(&device, port, &refusal, now()).map_err(of_register)?;
            image.write(&read.file())?;
            let _ = std::fs::remove_file(kept.path());
            streams.warn(&format!("{port}: the memory that was read is kept in {}", shown_file(image.name())));
            return Err(refusal.problem(port));
        }
    };
    register.read_out(&device, clock).map_err(of_register)?;
    drop(register);
    let _ = std::fs::remove_file(kept.path());
    if let Some(warning) = Speech::PLAIN.clock_warning(&device, &clock) {
        streams.warn(&format!("{port}: {warning}"));
    }
    let said = if arguments.json { text } else { text + &went_on(&read, speech) };
    let printed = if arguments.json { streams.print_json(&said) } else { streams.print(&said) };
    if !arguments.read_out || printed != Exit::Ran || exit == Exit::Contradicted {
        if arguments.read_out && exit == Exit::Contradicted {
            streams.warn(&format!(
                "{port}: nothing was marked as read out: this memory contradicts what the register holds"
            ));
        }
        return Ok(if printed == Exit::Ran { exit } else { printed });
    }
    let signed = sign(&mut talk, port, &read, speech, streams)?;
    let printed = if arguments.json { Exit::Ran } else { streams.print(&signed) };
    Ok(if printed == Exit::Ran { exit } else { printed })
}
