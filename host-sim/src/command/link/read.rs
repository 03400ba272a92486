//! `holdoff link PORT read`.

use crate::command::Streams;
use crate::link::{Part, ReadTrouble, Talk, part_file, problem, read_image, sign_out};
use crate::memory_image::list;
use crate::problem::{Exit, Problem};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::fmt::Write;
use std::path::{Path, PathBuf};

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

/// A bar where a person waits.
fn bar(streams: &Streams, what: &'static str) -> ProgressBar {
    let target = if streams.watched { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let bar = ProgressBar::with_draw_target(None, target).with_message(what);
    match ProgressStyle::with_template("{msg} {bar:40} {pos} of {len}, {eta} left") {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}

/// Reads the memory out, and signs it out where that is wanted.
pub(super) fn run(talk: &mut Talk, name: &str, arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let out = &arguments.out;
    let kept = part_file(out);
    let unusable = |error: std::io::Error| {
        let what = format!("it can't be written: {error}");
        Problem::unusable(&kept.to_string_lossy(), what, "check that its folder exists and that you may write there")
    };
    let mut part = Part::open(&kept).map_err(unusable)?;
    let shown_bar = bar(streams, "reading slots of the memory");
    let read = read_image(talk, &mut part, &mut |done, of| {
        shown_bar.set_length(of.into());
        shown_bar.set_position(done.into());
    });
    shown_bar.finish_and_clear();
    let read = read.map_err(|trouble| match trouble {
        ReadTrouble::Talk(trouble) => problem(name, &trouble),
        ReadTrouble::Part(error) => unusable(error),
        ReadTrouble::Restless => Problem::unusable(
            name,
            "the logger writes faster than this line can read",
            "use a faster line (--baud on both sides), or a longer time between readings",
        ),
    })?;
    crate::command::save::whole(out, &read.bytes)?;
    let _ = std::fs::remove_file(&kept);
    let mut text = summary(out, &read.bytes);
    if read.continued > 0 {
        let _ = writeln!(text, "went on from an earlier reading that had {} slots", read.continued);
    }
    if !read.whole {
        streams.warn(&format!(
            "{name}: what the memory holds does not end where the logger says; `holdoff read {}` shows what is amiss",
            out.display()
        ));
    }
    let exit = streams.print(&text);
    if !arguments.read_out || exit != Exit::Ran {
        return Ok(exit);
    }
    let shown_bar = bar(streams, "showing the logger what was read");
    let signed = sign_out(talk, &read, &mut |done, of| {
        shown_bar.set_length(of.into());
        shown_bar.set_position(done.into());
    });
    shown_bar.finish_and_clear();
    let (marked, below) = signed.map_err(|trouble| problem(name, &trouble))?;
    if marked == 0 {
        return Ok(streams.print("nothing to mark as read out: the only page that was not is still written on\n"));
    }
    Ok(streams.print(&format!(
        "{marked} pages marked as read out; those below page {below} may be overwritten when room is needed, but for the \
         running session's\n"
    )))
}

fn summary(out: &Path, bytes: &[u8]) -> String {
    let size = bytes.len() / 1024;
    match list(bytes) {
        Ok(listing) => {
            let records: usize = listing.sessions.iter().map(|session| session.entries.len()).sum();
            format!("{}: {size} KiB, {} sessions with {records} entries\n", out.display(), listing.sessions.len())
        }
        Err(why) => format!("{}: {size} KiB; {why}\n", out.display()),
    }
}
