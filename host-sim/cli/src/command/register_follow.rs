//! `holdoff register link --follow`: a logger looked at again and again, and what is new taken in.
//!
//! Why the line is closed between two looks: another program, or the plug of another logger, may have it meanwhile.
//! Why only what is new: a closed page never changes, and the link of a page binds all before it. So the first look reads
//! the memory in full, and every later one the pages that were open or begun since; the rest is what the look before read.
//! Invariants: all looks are at the logger that answered first; another one on the cable is named, and nothing of it is
//! read. What was taken in is in the register whenever this ends.
//! What it does not do: mark anything as read out.

use super::Streams;
use super::link::LineArguments;
use super::register_link::{beside, clock_of, warn_of_end};
use crate::link::{Part, ReadOut as MemoryRead, ReadTrouble, Stop, Talk, Trouble, part_file, problem, read_image};
use holdoff_disk::{Kind, Outputs};
use holdoff_evidence::keys::{Ring, to_hex};
use holdoff_evidence::row::{ReadOut, Verdict};
use holdoff_files::problem::{Exit, Problem, visible};
use holdoff_files::stamp::format_seconds;
use holdoff_link::message::{Answer, Head, Identity, Request};
use holdoff_present::words::{RegisterPhrase as P, Speech, Worded};
use holdoff_register::{Added, Life, Refusal, Register};
use serde_json::json;
use std::path::Path;
use std::sync::atomic::Ordering;
use std::time::{Duration, Instant};

/// Where what is read goes, and where it comes from.
pub(super) struct Site<'a> {
    pub(super) file: &'a Path,
    pub(super) ring: Option<&'a Ring>,
    pub(super) line: &'a LineArguments,
}

/// What a look came to.
enum Look {
    /// Something new is in the register.
    New(Added),
    /// Nothing happened on the logger since.
    Same,
    /// Another program writes to the register just now; the next look takes it in.
    Busy,
    /// The logger could not be read, and why.
    Away(String),
    /// Another logger is on the cable.
    Other(Box<Identity>),
}

/// What the looks know of their logger.
struct Known {
    identity: Identity,
    /// The end of its log that the register has.
    head: Option<Head>,
    /// Its memory as it was read last.
    image: Vec<u8>,
}

/// Looks until somebody wants it to end.
pub(super) fn follow(
    site: &Site<'_>,
    every: Duration,
    json: bool,
    speech: Speech,
    streams: &mut Streams,
) -> Result<Exit, Problem> {
    let stop = interrupted()?;
    let mut known: Option<Known> = None;
    loop {
        let begun = Instant::now();
        let mut bytes = 0;
        let looked = look(site, &mut known, &stop, &mut bytes, streams);
        let (look, clock) = match looked {
            Ok(looked) => looked,
            Err(Ended::ByHand) => return Ok(Exit::Ran),
            Err(Ended::For(problem)) => return Err(*problem),
        };
        let device = known.as_ref().map(|known| to_hex(&known.identity.device));
        let told = LookLine {
            look: &look,
            clock,
            device: device.as_deref().unwrap_or_default(),
            bytes,
            port: &site.line.port,
        };
        told.warn(streams);
        let text = if json { told.json() } else { told.text(speech) };
        let printed = streams.print(&text);
        if printed != Exit::Ran {
            return Ok(printed);
        }
        while begun.elapsed() < every {
            if stop.load(Ordering::Relaxed) {
                return Ok(Exit::Ran);
            }
            std::thread::sleep(Duration::from_millis(50).min(every));
        }
        if stop.load(Ordering::Relaxed) {
            return Ok(Exit::Ran);
        }
    }
}

/// Why there are no more looks.
enum Ended {
    ByHand,
    For(Box<Problem>),
}

/// Set when the person interrupts the program, or the system ends it.
fn interrupted() -> Result<Stop, Problem> {
    let stop = Stop::default();
    let set = stop.clone();
    let failed = |error: std::io::Error| {
        Problem::unusable("this system", format!("it gives no signals: {error}"), "leave --follow out")
    };
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().map_err(failed)?;
    // caught from here on, and not only when the thread has got to it
    let mut signals = runtime.block_on(async { Signals::caught() }).map_err(failed)?;
    std::thread::spawn(move || {
        runtime.block_on(signals.next());
        set.store(true, Ordering::Relaxed);
    });
    Ok(stop)
}

#[cfg(unix)]
struct Signals(tokio::signal::unix::Signal, tokio::signal::unix::Signal);

#[cfg(unix)]
impl Signals {
    fn caught() -> std::io::Result<Self> {
        use tokio::signal::unix::{SignalKind, signal};
        Ok(Self(signal(SignalKind::interrupt())?, signal(SignalKind::terminate())?))
    }

    async fn next(&mut self) {
        let (interrupt, terminate) = (self.0.recv(), self.1.recv());
        futures_util::future::select(Box::pin(interrupt), Box::pin(terminate)).await;
    }
}

#[cfg(not(unix))]
struct Signals(tokio::signal::windows::CtrlC);

#[cfg(not(unix))]
impl Signals {
    fn caught() -> std::io::Result<Self> {
        tokio::signal::windows::ctrl_c().map(Self)
    }

    async fn next(&mut self) {
        self.0.recv().await;
    }
}

/// One look: the line is opened, what is new read, the line closed, and what was read taken in.
fn look(
    site: &Site<'_>,
    known: &mut Option<Known>,
    stop: &Stop,
    bytes: &mut u64,
    streams: &mut Streams,
) -> Result<(Look, Option<ReadOut>), Ended> {
    let mut talk = match site.line.talk_until(stop.clone()) {
        Ok(talk) => talk,
        Err(trouble) => return away(&site.line.port, trouble),
    };
    let read = read_new(site, known, &mut talk);
    *bytes = talk.carried();
    drop(talk);
    let (read, clock) = match read {
        Ok(read) => read,
        Err(ReadTrouble::Talk(trouble)) => return away(&site.line.port, trouble),
        Err(ReadTrouble::Part(error)) => {
            let what = format!("what was read can't be kept: {error}");
            let name = site.file.to_string_lossy();
            let remedy = "check that you may write beside the register";
            return Err(Ended::For(Box::new(Problem::unusable(&name, what, remedy))));
        }
        Err(ReadTrouble::Restless) => {
            return Ok((Look::Away("the logger writes faster than this line can read".to_owned()), None));
        }
    };
    if let Some(read) = &read {
        warn_of_end(&site.line.port, read, streams);
    }
    let Some(known) = known else { return away(&site.line.port, Trouble::Unfitting) };
    let device = to_hex(&known.identity.device);
    let added = take_in(site, &device, read.as_ref(), clock);
    let look = match added {
        Ok(Some(added)) => Look::New(added),
        Ok(None) | Err(Refusal::Duplicate(_)) => Look::Same,
        Err(Refusal::Busy) => Look::Busy,
        Err(refusal @ (Refusal::Database(_) | Refusal::NoRegister | Refusal::Later { .. } | Refusal::Missing)) => {
            return Err(Ended::For(Box::new(refusal.problem(&site.file.to_string_lossy()))));
        }
        Err(refusal) => {
            // it may be wanted as evidence
            if let Some(read) = &read {
                let image = std::path::PathBuf::from(format!("{}.bin", beside(site.file, &device).display()));
                let kept = Outputs::beside([site.file]).take(&image, &Kind::Image);
                let kept = kept.and_then(|kept| kept.write(&read.file()));
                kept.map_err(|problem| Ended::For(Box::new(problem)))?;
                let port = &site.line.port;
                streams.warn(&format!("{port}: the memory that was read is kept in {}", image.display()));
            }
            return Err(Ended::For(Box::new(refusal.problem(&site.line.port))));
        }
    };
    match (&look, read) {
        // what the register does not have yet is read again
        (Look::Busy, _) | (_, None) => {}
        (Look::New(_) | Look::Same | Look::Away(_) | Look::Other(_), Some(read)) => {
            (known.head, known.image) = (read.log.head, read.bytes);
            let _ = std::fs::remove_file(part_file(&beside(site.file, &device)));
        }
    }
    Ok((look, Some(clock)))
}

fn away(port: &str, trouble: Trouble) -> Result<(Look, Option<ReadOut>), Ended> {
    match trouble {
        Trouble::Stopped => Err(Ended::ByHand),
        Trouble::Other { found, .. } => Ok((Look::Other(found), None)),
        other => Ok((Look::Away(problem(port, &other).what().to_owned()), None)),
    }
}

/// The memory where something is new in it, and how the clock goes. The first look's logger is the one of all looks.
fn read_new(
    site: &Site<'_>,
    known: &mut Option<Known>,
    talk: &mut Talk,
) -> Result<(Option<MemoryRead>, ReadOut), ReadTrouble> {
    let found = talk.identity()?.clone();
    match known {
        Some(before) if (before.identity.device, before.identity.key) != (found.device, found.key) => {
            let begun = Box::new(before.identity.clone());
            return Err(Trouble::Other { begun, found: Box::new(found) }.into());
        }
        Some(_) => {}
        None => *known = Some(Known { identity: found.clone(), head: None, image: Vec::new() }),
    }
    let clock = clock_of(talk)?;
    let Some(before) = known.as_ref() else { return Err(Trouble::Unfitting.into()) };
    let Answer::Log(log) = talk.ask(&Request::Log)? else { return Err(Trouble::Unfitting.into()) };
    if log.head.is_some() && log.head == before.head {
        return Ok((None, clock));
    }
    let mut part = if before.image.is_empty() {
        let part = part_file(&beside(site.file, &to_hex(&found.device)));
        let kept = Outputs::beside([site.file]).take(&part, &Kind::Part);
        Part::open(kept.map_err(|problem| std::io::Error::other(problem.what().to_owned()))?.path())?
    } else {
        Part::of_image(found.device, &before.image)
    };
    let read = read_image(talk, &mut part, &mut |_, _| {})?;
    Ok((Some(read), clock))
}

fn take_in(site: &Site<'_>, device: &str, read: Option<&MemoryRead>, clock: ReadOut) -> Result<Option<Added>, Refusal> {
    let mut register = Register::open_or_make(site.file)?;
    let added = match read {
        Some(read) => register.add_image(&site.line.port, &read.file(), site.ring, Life::GoesOn, clock.at).map(Some),
        None => Ok(None),
    };
    match &added {
        Ok(_) | Err(Refusal::Duplicate(_)) => register.read_out(device, clock)?,
        Err(refusal) => register.refused_read_out(device, &site.line.port, refusal, clock.at)?,
    }
    added
}

/// A look, to be told.
struct LookLine<'a> {
    look: &'a Look,
    clock: Option<ReadOut>,
    device: &'a str,
    bytes: u64,
    port: &'a str,
}

impl LookLine<'_> {
    /// One line.
    fn text(&self, speech: Speech) -> String {
        let offset = chrono::Local::now().offset().local_minus_utc();
        let at = format_seconds(super::now(), offset);
        let what = match self.look {
            Look::New(added) => {
                let (changed, bytes) = (added.changed.to_string(), self.bytes.to_string());
                speech.fill(P::LookNew, &[("changed", &changed), ("bytes", &bytes)])
            }
            Look::Same => speech.say(P::LookSame).to_owned(),
            Look::Busy => speech.say(P::LookBusy).to_owned(),
            Look::Away(what) => speech.fill(P::LookAway, &[("what", what)]),
            Look::Other(found) => speech.fill(P::LookOther, &[("found", &to_hex(&found.device))]),
        };
        let clock = self.clock.map_or_else(String::new, |clock| {
            let weight = speech.clock_warning(self.device, &clock);
            format!("; {}", weight.unwrap_or_else(|| speech.read_words(&clock, offset)))
        });
        speech.fill(P::Look, &[("at", &at), ("device", self.device), ("what", &what)]) + &clock + "\n"
    }

    /// What is amiss with what was taken in.
    fn warn(&self, streams: &mut Streams) {
        let Look::New(added) = self.look else { return };
        for finding in &added.findings {
            streams.warn(&format!("{}: {}", self.port, visible(&finding.words(Speech::PLAIN))));
        }
        for conflict in &added.conflicts {
            streams.warn(&format!("{}: do not load: {}", self.port, visible(&conflict.words(Speech::PLAIN))));
        }
        for release in added.releases.iter().filter(|release| release.verdict == Verdict::NotProved) {
            let why = release.why.words(Speech::PLAIN);
            let name = Speech::PLAIN.name(&release.fixing, release.number);
            let (fixing, why) = (visible(&name), visible(&why));
            streams.warn(&format!("{}: do not load {fixing}: its release is not proved: {why}", self.port));
        }
    }

    /// The same as a JSON object.
    fn json(&self) -> String {
        let (look, added, why, found) = match self.look {
            Look::New(added) => ("new", Some(added), None, None),
            Look::Same => ("same", None, None, None),
            Look::Busy => ("busy", None, Some(Refusal::Busy.problem("").what().to_owned()), None),
            Look::Away(what) => ("away", None, Some(what.clone()), None),
            Look::Other(found) => ("other", None, None, Some(to_hex(&found.device))),
        };
        let added = added.map(|added| super::register::added_object(self.port, added));
        let object = json!({
            "look": look,
            "at": format_seconds(super::now(), 0),
            "device": self.device,
            "bytes": self.bytes,
            "added": added,
            "other": found,
            "why": why,
            "clock_ahead_s": self.clock.and_then(|clock| clock.ahead),
            "clock_misleads": self.clock.map(|clock| clock.misleads()),
        });
        format!("{object}\n")
    }
}
