//! All that a memory image holds, in order.

use super::words::{finding_words, mount_error, source_words, trust_words};
use crate::keys::to_hex;
use crate::replay::refusal_word;
use crate::stamp::format_seconds;
use crate::words::{degrees, ground, hole, torque};
use holdoff_core::fixing::{Action, Decision};
use holdoff_core::group::Darkness;
use holdoff_core::log::read::{Found, Log};
use holdoff_core::log::{Item, Record, ResetCause, Standing};
use holdoff_core::quantity::{Count, Instant};
use holdoff_core::seal::{ReleaseCode, SHORT_TEXT, SealedView, ShortForm};
use serde_json::{Map, Value, json};
use std::fmt::Write;

/// What an image holds.
#[derive(Debug)]
pub struct Listing {
    /// Bytes of the memory.
    pub capacity: u32,
    /// Bytes that readings take, with header and trailer of every page that holds one.
    pub used: u64,
    /// Readings recorded, of whatever verdict.
    pub readings: u64,
    /// What is amiss.
    pub findings: Vec<String>,
    /// The sessions that are still there, oldest first.
    pub sessions: Vec<Session>,
}

/// One session.
#[derive(Debug, Default)]
pub struct Session {
    /// Its first page.
    pub first_page: u32,
    /// Why it cannot be trusted; `None` when it can.
    pub untrusted: Option<String>,
    /// Everything recorded.
    pub entries: Vec<Entry>,
}

/// One item of the log.
#[derive(Debug)]
pub struct Entry {
    /// Page and place in it.
    pub place: (u32, u16),
    /// When, where the item has a time.
    pub at: Option<Instant>,
    /// Seconds that the wall clock is ahead of the monotonic one, and its offset from UTC in seconds, where known.
    pub clock: Option<(i64, i32)>,
    /// The count, for a reading.
    pub count: Option<Count>,
    /// The release code, for a signed release.
    pub release: Option<ReleaseCode>,
    /// What kind of item.
    pub kind: &'static str,
    /// Its fields, for scripts.
    pub fields: Map<String, Value>,
    /// The same for a person.
    pub words: String,
}

impl Entry {
    /// The time as the clock on the wall showed it; seconds of the monotonic clock where that is not known.
    pub fn time(&self) -> String {
        match (self.at, self.clock) {
            (Some(at), Some((ahead, offset))) => format_seconds(at.seconds().saturating_add(ahead), offset),
            (Some(at), None) => format!("{} s", at.seconds()),
            (None, _) => String::new(),
        }
    }
}

/// Lists an image.
///
/// # Errors
/// Why it holds no log that can be read.
pub fn list(image: &[u8]) -> Result<Listing, String> {
    let mut findings = Vec::new();
    let log =
        Log::open(image, &mut |finding| findings.push(finding_words(&finding))).map_err(|error| mount_error(&error))?;
    let used = log.usage().reading_bytes;
    let mut firsts: Vec<u32> = Vec::new();
    for found in log.pages() {
        if let Found::Page(_, page) = found
            && !firsts.contains(&page.header().session)
        {
            firsts.push(page.header().session);
        }
    }
    let mut readings = 0;
    let mut sessions = Vec::new();
    for first in firsts {
        let mut session = Session { first_page: first, ..Session::default() };
        let mut clock = None;
        let replay = log.replay(
            first,
            &mut |replay, page, place, (read, _)| {
                clock = replay
                    .tie()
                    .map(|tie| (tie.utc.saturating_sub(tie.at.seconds()), i32::from(tie.offset_minutes) * 60));
                readings += u64::from(matches!(read.item, Item::Reading { .. }));
                session.entries.push(entry((page.header().number, place), clock, &read.item));
            },
            &mut |finding| findings.push(finding_words(&finding)),
            &mut |_| {},
        );
        let replay = replay.map_err(|error| mount_error(&error))?;
        session.untrusted = trust_words(replay.trust());
        sessions.push(session);
    }
    findings.dedup();
    Ok(Listing { capacity: log.geometry().bytes(), used, readings, findings, sessions })
}

fn entry(place: (u32, u16), clock: Option<(i64, i32)>, item: &Item) -> Entry {
    let (kind, at, count, words, fields) = match item {
        Item::Reading { at, count } => {
            let celsius = f64::from(count.raw()) / 256.0;
            let fields = json!({"count": count.raw(), "celsius": celsius});
            ("reading", Some(*at), Some(*count), degrees(count.fine()), fields)
        }
        Item::Unusable { at, cause } => {
            let word = refusal_word(*cause);
            ("unusable", Some(*at), None, word.to_owned(), json!({"cause": word}))
        }
        Item::Missing { at, .. } => ("missing", Some(*at), None, "no reading".to_owned(), json!({})),
        Item::Refused { cause } => {
            let word = refusal_word(*cause);
            ("refused", None, None, format!("the reading before is refused: {word}"), json!({"cause": word}))
        }
        Item::Record(record) => record_parts(record),
    };
    let fields = match fields {
        Value::Object(fields) => fields,
        _ => Map::new(),
    };
    let release = match item {
        Item::Record(Record::Release { signed, .. }) => ReleaseCode::of(signed.bytes()).ok(),
        Item::Record(_)
        | Item::Reading { .. }
        | Item::Unusable { .. }
        | Item::Missing { .. }
        | Item::Refused { .. } => None,
    };
    Entry { place, at, clock, count, release, kind, fields, words }
}

type Parts = (&'static str, Option<Instant>, Option<Count>, String, Value);

fn record_parts(record: &Record) -> Parts {
    let (kind, at, words, fields) = match record {
        Record::Identity(identity) => {
            let device = to_hex(&identity.device.0);
            let bytes = identity.geometry.bytes();
            let words =
                format!("device {device}, memory of {bytes} bytes, readings of {}", source_words(identity.source));
            ("identity", None, words, json!({"device": device, "capacity_bytes": identity.geometry.bytes()}))
        }
        Record::Resin(resin) => {
            let demo = resin.standing == Standing::Demo;
            let name = resin.name.text().unwrap_or("?").to_owned();
            let note = if demo { " (INVENTED, never use on site)" } else { "" };
            let fields = json!({"name": name, "demo": demo, "file_sha256": to_hex(&resin.file.0)});
            ("resin", None, format!("{name}{note}"), fields)
        }
        Record::Job(job) => {
            let words = format!(
                "uncertainty {}/256 °C, longest gap {} s, clock allowance {} ppm, a reading every {} s",
                job.settings.uncertainty().counts(),
                job.settings.longest_gap().seconds(),
                job.settings.clock_ppm(),
                job.period.seconds()
            );
            let fields = json!({
                "uncertainty_counts": job.settings.uncertainty().counts(),
                "longest_gap_s": job.settings.longest_gap().seconds(),
                "clock_ppm": job.settings.clock_ppm(),
                "rule": match job.rule {
                    holdoff_core::cure::Rule::Coldest => "coldest",
                    holdoff_core::cure::Rule::Accrual => "accrual",
                },
                "laxer": crate::words::laxer_words(job.settings.laxer()),
                "file_sha256": to_hex(&job.file.0),
            });
            ("job", None, words, fields)
        }
        Record::Fixing(fixing) => {
            let label = fixing.label.text().unwrap_or("?").to_owned();
            let range =
                fixing.spec.torque.map(|range| format!(", {} to {}", torque(range.least()), torque(range.greatest())));
            let words = format!("{label}, hole {}{}", hole(fixing.spec.hole), range.unwrap_or_default());
            let fields = json!({"fixing": fixing.number.place(), "label": label, "hole": hole(fixing.spec.hole)});
            ("fixing", None, words, fields)
        }
        Record::Batch(batch) => {
            let text = batch.text.text().unwrap_or("?").to_owned();
            let words = format!("fixing {}: batch {text:?}", batch.fixing.place() + 1);
            ("batch", None, words, json!({"fixing": batch.fixing.place(), "batch": text, "past_from": batch.use_by}))
        }
        Record::Action { at, fixing, action } => {
            let (word, detail) = action_words(action);
            let words = format!("fixing {}: {word}{detail}", fixing.place() + 1);
            ("action", Some(*at), words, json!({"fixing": fixing.place(), "action": word, "detail": detail.trim()}))
        }
        Record::PowerUp { dark, cause } => {
            let known = *dark == Darkness::Known;
            let length = if known { "known" } else { "unknown" };
            let cause = cause_word(*cause);
            let words = format!("the logger came up again ({cause}); length of the dark time {length}");
            ("power-up", None, words, json!({"dark": length, "cause": cause}))
        }
        Record::ClockTie(tie) => {
            let utc = format_seconds(tie.utc, i32::from(tie.offset_minutes) * 60);
            ("clock-tie", Some(tie.at), format!("the wall clock says {utc}"), json!({"utc": utc}))
        }
        Record::Loss(loss) => {
            let words = format!("{} readings could not be recorded", loss.count);
            ("loss", Some(loss.last), words, json!({"count": loss.count, "first": loss.first.seconds()}))
        }
        Record::Untrusted => ("untrusted", None, "the log cannot be trusted".to_owned(), json!({})),
        Record::ReadOut { below } => {
            ("read-out", None, format!("pages below {below} were read out"), json!({"below": below}))
        }
        Record::Freed { below } => {
            ("freed", None, format!("pages below {below} were given up by the owner"), json!({"below": below}))
        }
        Record::Release { fixing, signed } => {
            let code = ReleaseCode::of(signed.bytes()).map(|code| code.text().to_owned()).ok();
            let short = SealedView::parse(signed.bytes()).ok().map(|view| {
                let mut buffer = [0; SHORT_TEXT];
                ShortForm::of(view.unverified()).show(&mut buffer).to_owned()
            });
            let shown = short.as_deref().unwrap_or("unreadable");
            let words = format!("fixing {}: signed release, short form {shown}", fixing.place() + 1);
            let signed = to_hex(signed.bytes());
            ("release", None, words, json!({"fixing": fixing.place(), "signed": signed, "code": code, "short": short}))
        }
        Record::Stage { fixing, seen } => {
            let grounds: Vec<&str> = seen.grounds.iter().map(|ground| ground.word()).collect();
            let why: Vec<&str> = seen.grounds.iter().map(ground).collect();
            let why = if why.is_empty() { String::new() } else { format!(": {}", why.join("; ")) };
            let words = format!("fixing {}: {}{why}", fixing.place() + 1, seen.word.word());
            let fields = json!({"fixing": fixing.place(), "stage": seen.word.word(), "reasons": grounds});
            ("stage", seen.since, words, fields)
        }
        Record::CandidateAccepted { at, count } => {
            let words = format!("the refused reading {} is accepted after all", degrees(count.fine()));
            ("candidate-accepted", Some(*at), words, json!({"count": count.raw()}))
        }
    };
    (kind, at, None, words, fields)
}

fn action_words(action: &Action) -> (&'static str, String) {
    match action {
        Action::Inject(injection) => {
            let mut detail = String::new();
            match injection.cartridge {
                Some(cartridge) => {
                    let _ = write!(detail, ", cartridge declared {}", degrees(cartridge.count.fine()));
                }
                None => detail.push_str(", cartridge undeclared"),
            }
            if let Some(in_hole) = injection.in_hole {
                let _ = write!(detail, ", in the hole {}", degrees(in_hole.count.fine()));
            }
            ("inject", detail)
        }
        Action::CarriedOut => ("carried-out", String::new()),
        Action::Seat => ("seat", String::new()),
        Action::Hole(condition) => ("hole", format!(" {}", hole(*condition))),
        Action::Torque(applied) => ("torque", format!(" {}", torque(*applied))),
        Action::Decide(Decision::Accept) => ("decide", " accept as it is".to_owned()),
        Action::Decide(Decision::Remove) => ("decide", " remove".to_owned()),
    }
}

const fn cause_word(cause: ResetCause) -> &'static str {
    match cause {
        ResetCause::Unknown => "cause unknown",
        ResetCause::PowerOn => "power on",
        ResetCause::BrownOut => "supply too low",
        ResetCause::Watchdog => "watchdog",
        ResetCause::Software => "restarted itself",
        ResetCause::Pin => "reset button",
    }
}

/// The listing as a JSON object.
pub fn json(listing: &Listing) -> String {
    let sessions: Vec<Value> = listing
        .sessions
        .iter()
        .map(|session| {
            let records: Vec<Value> = session.entries.iter().map(entry_json).collect();
            json!({
                "first_page": session.first_page,
                "trusted": session.untrusted.is_none(),
                "why": session.untrusted,
                "records": records,
            })
        })
        .collect();
    let object = json!({
        "readings": listing.readings,
        "reading_bytes": listing.used,
        "capacity_bytes": listing.capacity,
        "findings": listing.findings,
        "sessions": sessions,
        "caution": crate::words::CAUTION,
    });
    format!("{object}\n")
}

fn entry_json(entry: &Entry) -> Value {
    let mut object = Map::new();
    object.insert("page".to_owned(), entry.place.0.into());
    object.insert("item".to_owned(), entry.place.1.into());
    object.insert("kind".to_owned(), entry.kind.into());
    if let Some(at) = entry.at {
        object.insert("at_s".to_owned(), at.seconds().into());
        if entry.clock.is_some() {
            object.insert("time".to_owned(), entry.time().into());
        }
    }
    object.extend(entry.fields.clone());
    Value::Object(object)
}

/// Readings as CSV, in the form of a trace; what is no accepted count has an empty field and its cause in a third column.
pub fn csv(listing: &Listing) -> String {
    let mut text = "time,temperature_c,note\n".to_owned();
    for entry in listing.sessions.iter().flat_map(|session| &session.entries) {
        let _ = match (entry.kind, entry.count) {
            ("reading", Some(count)) => {
                writeln!(text, "{},{},", entry.time(), f64::from(count.raw()) / 256.0)
            }
            ("unusable" | "missing", _) => writeln!(text, "{},,{}", entry.time(), entry.words),
            _ => Ok(()),
        };
    }
    text
}

/// The listing for a person: everything but single readings, which are told in runs.
pub fn text(listing: &Listing) -> String {
    let mut text = format!(
        "{} readings in {} bytes, headers of their pages included; the memory has {}\n",
        listing.readings, listing.used, listing.capacity
    );
    for finding in &listing.findings {
        let _ = writeln!(text, "finding: {finding}");
    }
    for session in &listing.sessions {
        let trust = match &session.untrusted {
            None => "its chain holds".to_owned(),
            Some(why) => format!("CANNOT BE TRUSTED: {why}"),
        };
        let _ = writeln!(text, "\nsession from page {}: {trust}", session.first_page);
        let mut run: Option<(&Entry, &Entry, u64)> = None;
        for entry in &session.entries {
            if entry.kind == "reading" {
                run = match run {
                    None => Some((entry, entry, 1)),
                    Some((first, _, count)) => Some((first, entry, count + 1)),
                };
                continue;
            }
            tell_run(&mut text, run.take());
            let _ = writeln!(text, "  {:<26} {:<18} {}", entry.time(), entry.kind, entry.words);
        }
        tell_run(&mut text, run);
    }
    let _ = writeln!(text, "\n{}", crate::words::CAUTION);
    text
}

fn tell_run(text: &mut String, run: Option<(&Entry, &Entry, u64)>) {
    let Some((first, last, count)) = run else { return };
    let words = if count == 1 {
        first.words.clone()
    } else {
        format!("{count} readings to {}, {} to {}", last.time(), first.words, last.words)
    };
    let _ = writeln!(text, "  {:<26} {:<18} {words}", first.time(), "reading");
}
