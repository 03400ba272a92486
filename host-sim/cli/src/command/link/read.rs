//! `holdoff link PORT read`.

use crate::command::Streams;
use crate::link::{Part, ReadOut, ReadTrouble, Talk, part_file, problem_that_goes_on, read_image, sign_out};
use holdoff_disk::{Kind, Output, Outputs};
use holdoff_files::problem::{Exit, Problem, shown_file};
use holdoff_present::memory::{list, mount_error};
use holdoff_present::words::{LinkPhrase as P, Speech};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::path::PathBuf;

/// `holdoff link PORT read`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// Where the raw memory goes; until it is whole, what was read stands in OUT.bin.part
    #[arg(value_name = "OUT.bin")]
    out: PathBuf,
    /// Then mark what was read as read out, so that it may be overwritten when room is needed
    #[arg(long)]
    read_out: bool,
}

/// Where a memory goes, and its part while it is being read.
pub(super) struct Targets {
    out: Output,
    part: Output,
}

impl Arguments {
    /// Looks whether both may be written; said before the logger is spoken to.
    pub(super) fn targets(&self) -> Result<Targets, Problem> {
        let mut outputs = Outputs::beside::<&str>([]);
        let out = outputs.take(&self.out, &Kind::Image)?;
        Ok(Targets { out, part: outputs.take(&part_file(&self.out), &Kind::Part)? })
    }
}

/// A bar where a person waits.
fn bar(streams: &Streams, what: &'static str) -> ProgressBar {
    let target = if streams.watched { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let bar = ProgressBar::with_draw_target(None, target).with_message(what);
    match ProgressStyle::with_template("{msg} {bar:40} {pos} of {len}, {eta} left") {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}

/// Reads the memory out; what is read stands in `kept` from the first slot on, and stays there.
pub(in crate::command) fn fetch(
    talk: &mut Talk,
    name: &str,
    kept: &Output,
    streams: &Streams,
) -> Result<ReadOut, Problem> {
    let unusable = |error: std::io::Error| {
        let what = format!("it can't be written: {error}");
        Problem::unusable(kept.name(), what, "check that its folder exists and that you may write there")
    };
    let mut part = Part::open(kept.path()).map_err(unusable)?;
    let shown_bar = bar(streams, "reading slots of the memory");
    let read = read_image(talk, &mut part, &mut |done, of| {
        shown_bar.set_length(of.into());
        shown_bar.set_position(done.into());
    });
    shown_bar.finish_and_clear();
    read.map_err(|trouble| match trouble {
        ReadTrouble::Talk(trouble) => problem_that_goes_on(name, &trouble),
        ReadTrouble::Part(error) => unusable(error),
        ReadTrouble::Restless => Problem::unusable(
            name,
            "the logger writes faster than this line can read",
            "use a faster line (--baud on both sides), or a longer time between readings",
        ),
    })
}

/// Says that an earlier reading was gone on with; empty where none was.
pub(in crate::command) fn went_on(read: &ReadOut, speech: Speech) -> String {
    if read.continued == 0 {
        return String::new();
    }
    speech.fill(P::WentOn, &[("slots", &read.continued.to_string())]) + "\n"
}

/// Marks what was read as read out; what came of it in words.
pub(in crate::command) fn sign(
    talk: &mut Talk,
    name: &str,
    read: &ReadOut,
    speech: Speech,
    streams: &Streams,
) -> Result<String, Problem> {
    let shown_bar = bar(streams, "showing the logger what was read");
    let signed = sign_out(talk, read, &mut |done, of| {
        shown_bar.set_length(of.into());
        shown_bar.set_position(done.into());
    });
    shown_bar.finish_and_clear();
    let (marked, below) = signed.map_err(|trouble| problem_that_goes_on(name, &trouble))?;
    if marked == 0 {
        return Ok(format!("{}\n", speech.say(P::NothingToMark)));
    }
    let gaps = [("number", &*marked.to_string()), ("below", &*below.to_string())];
    Ok(speech.fill(P::Marked, &gaps) + "\n")
}

/// Reads the memory out, and signs it out where that is wanted.
pub(super) fn run(
    talk: &mut Talk,
    name: &str,
    (arguments, targets): (&Arguments, &Targets),
    speech: Speech,
    streams: &mut Streams,
) -> Result<Exit, Problem> {
    let out = targets.out.name();
    let read = fetch(talk, name, &targets.part, streams)?;
    targets.out.write(&read.file())?;
    let _ = std::fs::remove_file(targets.part.path());
    let text = summary(out, &read.bytes, speech) + &went_on(&read, speech);
    if !read.whole {
        streams.warn(&format!(
            "{name}: what the memory holds does not end where the logger says; `holdoff read {}` shows what is amiss",
            shown_file(out)
        ));
    }
    let exit = streams.print(&text);
    if !arguments.read_out || exit != Exit::Ran {
        return Ok(exit);
    }
    let text = sign(talk, name, &read, speech, streams)?;
    Ok(streams.print(&text))
}

fn summary(out: &str, bytes: &[u8], speech: Speech) -> String {
    let (file, size) = (shown_file(out), (bytes.len() / 1024).to_string());
    let (file, size) = (("file", file.as_str()), ("size", size.as_str()));
    let text = match list(bytes) {
        Ok(listing) => {
            let entries: usize = listing.sessions.iter().map(|session| session.entries.len()).sum();
            let (sessions, entries) = (listing.sessions.len().to_string(), entries.to_string());
            speech.fill(P::ReadHolds, &[file, size, ("sessions", &sessions), ("entries", &entries)])
        }
        Err(why) => speech.fill(P::ReadHoldsNone, &[file, size, ("why", &mount_error(&why))]),
    };
    text + "\n"
}
