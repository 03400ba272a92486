//! `holdoff link PORT clock`.

use crate::command::Streams;
use crate::link::{Effect, Talk, Trouble, problem};
use holdoff_files::problem::{Exit, Problem, shown};
use holdoff_files::stamp::{Stamp, format_seconds};
use holdoff_link::message::{Answer, Request};
use holdoff_link::status::ClockState;
use holdoff_present::words::{LinkPhrase as P, Speech};
use serde::Serialize;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

/// `holdoff link PORT clock`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// Set it to the clock of this computer. Refused while a fixing runs
    #[arg(long)]
    set: bool,
    /// Offset of local time from UTC, such as +01:00 [default: this computer's]
    #[arg(long, value_name = "±HH:MM", allow_hyphen_values = true, requires = "set")]
    offset: Option<String>,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Seconds since 1970-01-01T00:00:00Z and the rest of the second, by this computer.
pub(super) fn now() -> (i64, Duration) {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    (i64::try_from(since.as_secs()).unwrap_or(i64::MAX), Duration::from_nanos(since.subsec_nanos().into()))
}

/// The offset of local time that was given, or this computer's; minutes.
pub(super) fn offset(given: Option<&str>) -> Result<i16, Problem> {
    let seconds = match given {
        Some(text) => Stamp::parse(&format!("2000-01-01T00:00:00{text}"))
            .map_err(|_| {
                let what = format!("--offset {} is no offset from UTC", shown(text.as_bytes()));
                Problem::usage(what, "give it as +01:00 or -07:00, or Z")
            })?
            .offset_seconds(),
        None => chrono::Local::now().offset().local_minus_utc(),
    };
    Ok(i16::try_from(seconds / 60).unwrap_or(0))
}

#[derive(Serialize)]
struct ClockObject {
    clock: Option<String>,
    ahead_of_this_computer_s: Option<i64>,
    failed: bool,
    set: bool,
}

/// Says what the clock says, and sets it first where that is wanted.
pub(super) fn run(
    talk: &mut Talk,
    name: &str,
    arguments: &Arguments,
    speech: Speech,
    streams: &mut Streams,
) -> Result<Exit, Problem> {
    let trouble = |trouble: Trouble| problem(name, &trouble);
    if arguments.set {
        let offset_minutes = offset(arguments.offset.as_deref())?;
        // at the beginning of a second, so that the logger's seconds begin with this computer's
        std::thread::sleep(Duration::from_secs(1).saturating_sub(now().1));
        let request = Request::SetClock { utc: now().0, offset_minutes };
        talk.act(&request).map_err(trouble)?;
    }
    // it was taken, and what can't be looked at then stays open
    let behind = |why: Trouble| trouble(if arguments.set { why.leaves_open(Effect::Clock) } else { why });
    let Answer::Clock(clock) = talk.ask(&Request::Clock).map_err(behind)? else {
        return Err(trouble(Trouble::Unfitting));
    };
    let here = now().0;
    let shown = clock.utc.map(|utc| format_seconds(utc, i32::from(clock.offset_minutes) * 60));
    let ahead = clock.utc.map(|utc| utc.saturating_sub(here));
    if arguments.json {
        let failed = clock.state == ClockState::Failed;
        let object = ClockObject { clock: shown, ahead_of_this_computer_s: ahead, failed, set: arguments.set };
        return streams.object(&object);
    }
    let text = match (shown, ahead) {
        (Some(shown), Some(ahead)) => {
            let phrase = if arguments.set { P::ClockSet } else { P::ClockIs };
            speech.fill(phrase, &[("time", &shown), ("apart", &apart(speech, ahead))])
        }
        (None, _) | (_, None) if clock.state == ClockState::Failed => speech.say(P::ClockFailed).to_owned(),
        (None, _) | (_, None) => speech.say(P::NotSet).to_owned(),
    };
    Ok(streams.print(&(text + "\n")))
}

/// How far the logger's clock is from this computer's.
pub(super) fn apart(speech: Speech, ahead: i64) -> String {
    let length = speech.length(ahead.unsigned_abs());
    match ahead {
        0 => speech.say(P::AsThisComputer).to_owned(),
        ..0 => speech.fill(P::Behind, &[("length", &length)]),
        1.. => speech.fill(P::Ahead, &[("length", &length)]),
    }
}
