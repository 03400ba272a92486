//! All that a memory image holds, in order.

use super::listing_words::said;
use crate::replay::celsius;
use crate::words::{Speech, coded, declaration_words, demands_json};
use holdoff_core::fixing::{Action, Decision};
use holdoff_core::group::{Darkness, FixingSet};
use holdoff_core::log::{Item, MountError, Record};
use holdoff_core::quantity::{Count, Instant};
use holdoff_core::resin::ResinUse;
use holdoff_core::seal::{HeadView, ReleaseCode, SHORT_TEXT, SealedView, ShortForm};
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::{Finding, Keep, LogPlace, Memory, Untrusted};
use holdoff_files::stamp::{Clock, format_seconds};
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
    pub findings: Vec<Finding>,
    /// The sessions that are still there, oldest first.
    pub sessions: Vec<ListedSession>,
}

impl Listing {
    /// Whether the resin of a session is an invented one.
    pub fn demo(&self) -> bool {
        let mut entries = self.sessions.iter().flat_map(|session| &session.entries);
        entries
            .any(|entry| matches!(&entry.item, Item::Record(Record::Resin(resin)) if resin.resin_use == ResinUse::Demo))
    }
}

/// One session.
#[derive(Debug)]
pub struct ListedSession {
    /// Its first page.
    pub first_page: u32,
    /// Why it cannot be trusted; `None` when it can.
    pub untrusted: Option<Untrusted>,
    /// Everything recorded.
    pub entries: Vec<ListedItem>,
}

impl ListedSession {
    /// Of several releases of a fixing the last one is in force.
    fn mark_replaced(&mut self) {
        let mut later = FixingSet::EMPTY;
        for entry in self.entries.iter_mut().rev() {
            let Item::Record(Record::Release { fixing, .. }) = &entry.item else { continue };
            entry.replaced = later.has(*fixing);
            entry.fields.insert("replaced".to_owned(), entry.replaced.into());
            later = later.with(*fixing);
        }
    }
}

/// One item of the log.
#[derive(Debug)]
pub struct ListedItem {
    /// Page and place in it.
    pub place: LogPlace,
    /// When, where the item has a time.
    pub at: Option<Instant>,
    /// The wall clock, where known.
    pub clock: Option<Clock>,
    /// The count, for a reading.
    pub count: Option<Count>,
    /// The release code, for a signed release.
    pub release: Option<ReleaseCode>,
    /// Whether a later release of the same fixing replaced it (rule A4).
    pub replaced: bool,
    /// What kind of item.
    pub kind: &'static str,
    /// Its fields, for scripts.
    pub fields: Map<String, Value>,
    /// The item itself.
    pub item: Item,
}

impl ListedItem {
    /// The time as the clock on the wall showed it; seconds of the monotonic clock where that is not known.
    pub fn time(&self) -> String {
        match (self.at, self.clock) {
            (Some(at), Some(clock)) => clock.stamp(at.seconds()),
            (Some(at), None) => format!("{} s", at.seconds()),
            (None, _) => String::new(),
        }
    }
}

/// Lists an image.
///
/// # Errors
/// Why it holds no log that can be read.
pub fn list(image: &[u8]) -> Result<Listing, MountError> {
    let memory = Memory::of(image, None, Keep::Items)?;
    let of_sessions =
        memory.sessions.into_iter().map(|session| (session.first_page, session.untrusted, session.wall, session.items));
    let of_stumps = memory.stumps.into_iter().map(|stump| (stump.first_page, Some(stump.why), stump.wall, stump.items));
    let mut sessions: Vec<ListedSession> = of_sessions
        .chain(of_stumps)
        .map(|(first_page, untrusted, wall, items)| {
            let mut entries: Vec<ListedItem> = items.into_iter().map(|(place, item)| entry(place, item)).collect();
            for entry in &mut entries {
                entry.clock = entry.at.and_then(|at| wall.clock(at.seconds()));
            }
            let mut session = ListedSession { first_page, untrusted, entries };
            session.mark_replaced();
            session
        })
        .collect();
    sessions.sort_by_key(|session| session.first_page);
    let entries = sessions.iter().flat_map(|session| &session.entries);
    let readings = entries.filter(|entry| matches!(entry.item, Item::Reading { .. })).count() as u64;
    Ok(Listing { capacity: memory.capacity, used: memory.reading_bytes, readings, findings: memory.findings, sessions })
}

/// An item as an entry; its wall clock is put in when the session's ties are known.
fn entry(place: LogPlace, item: Item) -> ListedItem {
    let (kind, at, count, fields) = match &item {
        Item::Reading { at, count } => {
            let fields = json!({"count": count.raw(), "celsius": celsius(*count)});
            ("reading", Some(*at), Some(*count), fields)
        }
        Item::Unusable { at, cause } => ("unusable", Some(*at), None, json!({"cause": Speech::PLAIN.refusal(*cause)})),
        Item::Missing { at, .. } => ("missing", Some(*at), None, json!({})),
        Item::Refused { cause } => ("refused", None, None, json!({"cause": Speech::PLAIN.refusal(*cause)})),
        Item::Record(record) => {
            let (kind, at, fields) = record_parts(record);
            (kind, at, None, fields)
        }
    };
    let fields = match fields {
        Value::Object(fields) => fields,
        _ => Map::new(),
    };
    let mut release = None;
    if let Item::Record(Record::Release { signed, .. }) = &item {
        release = ReleaseCode::of(signed.bytes()).ok();
    }
    ListedItem { place, at, clock: None, count, release, replaced: false, kind, fields, item }
}

/// The short form of a signed release, and its reading outside the installation limits (rule A5); `None` where it cannot be
/// read.
pub(super) fn told_of_release(signed: &[u8]) -> Option<(String, Option<Count>)> {
    SealedView::parse(signed).ok().map(|view| {
        let mut buffer = [0; SHORT_TEXT];
        let short = ShortForm::of(view.unverified()).show(&mut buffer).to_owned();
        (short, view.unverified().outside_at_seating())
    })
}

type Parts = (&'static str, Option<Instant>, Value);

fn record_parts(record: &Record) -> Parts {
    match record {
        Record::Identity(identity) => {
            let device = to_hex(&identity.device.0);
            ("identity", None, json!({"device": device, "capacity_bytes": identity.geometry.bytes()}))
        }
        Record::Resin(resin) => {
            let demo = resin.resin_use == ResinUse::Demo;
            let name = resin.name.text().unwrap_or("?");
            ("resin", None, json!({"name": name, "demo": demo, "file_sha256": to_hex(&resin.file.0)}))
        }
        Record::Job(job) => {
            let fields = json!({
                "uncertainty_counts": job.settings.uncertainty().counts(),
                "longest_gap_s": job.settings.longest_gap().seconds(),
                "clock_ppm": job.settings.clock_ppm(),
                "settle_s": job.settings.settle().seconds(),
                "rule": job.rule.word(),
                "laxer": job.settings.laxer().words().collect::<Vec<_>>(),
                "file_sha256": to_hex(&job.file.0),
            });
            ("job", None, fields)
        }
        Record::Fixing(fixing) => {
            let label = fixing.label.text().unwrap_or("?");
            let fields = json!({"fixing": fixing.number.place(), "label": label, "hole": fixing.spec.hole.word()});
            ("fixing", None, fields)
        }
        Record::Batch(batch) => {
            let text = batch.text.text().unwrap_or("?");
            ("batch", None, json!({"fixing": batch.fixing.place(), "batch": text, "past_from": batch.use_by}))
        }
        Record::Action { at, fixing, action } => {
            let (word, detail) = action_words(action);
            let fields = json!({"fixing": fixing.place(), "action": word, "detail": detail.trim()});
            ("action", Some(*at), fields)
        }
        Record::PowerUp { dark, cause } => {
            let length = if *dark == Darkness::Known { "known" } else { "unknown" };
            ("power-up", None, json!({"dark": length, "cause": Speech::PLAIN.reset_cause(*cause)}))
        }
        Record::ClockTie(tie) => {
            let utc = format_seconds(tie.utc, i32::from(tie.offset_minutes) * 60);
            ("clock-tie", Some(tie.at), json!({"utc": utc}))
        }
        Record::Loss(loss) => ("loss", Some(loss.last), json!({"count": loss.count, "first": loss.first.seconds()})),
        Record::Untrusted => ("untrusted", None, json!({})),
        Record::ReadOut { below } => ("read-out", None, json!({"below": below})),
        Record::Freed { below } => ("freed", None, json!({"below": below})),
        Record::Release { fixing, signed } => {
            let code = ReleaseCode::of(signed.bytes()).map(|code| code.text().to_owned()).ok();
            let told = told_of_release(signed.bytes());
            let outside = told.as_ref().and_then(|(_, outside)| outside.map(celsius));
            let fields = json!({
                "fixing": fixing.place(),
                "signed": to_hex(signed.bytes()),
                "code": code,
                "short": told.map(|(short, _)| short),
                "outside_at_seating": outside,
            });
            ("release", None, fields)
        }
        Record::Stage { fixing, seen } => {
            let grounds: Vec<&str> = seen.grounds.iter().map(|ground| ground.word()).collect();
            let fields = json!({"fixing": fixing.place(), "stage": seen.word.word(), "reasons": grounds});
            ("stage", seen.since, fields)
        }
        Record::Head { signed } => {
            let place =
                HeadView::parse(signed.bytes()).ok().map(|view| (view.unverified().page, view.unverified().items));
            let (page, items) = place.unzip();
            ("head", None, json!({"signed": to_hex(signed.bytes()), "signed_page": page, "signed_items": items}))
        }
        Record::Demands(made) => ("demands", None, demands_json(made)),
        Record::Person(person) => {
            let fields = json!({"person": person.number.place(), "name": person.name.text().unwrap_or("?")});
            ("person", None, fields)
        }
        Record::Hands { of } => ("hands", None, json!({"person": of.map(|person| person.place())})),
        Record::PassedOver { tag } => ("passed-over", None, json!({"tag": tag})),
        Record::Supply { at, millivolts } => ("supply", Some(*at), json!({"millivolts": millivolts})),
        Record::CandidateAccepted { at, count } => ("candidate-accepted", Some(*at), json!({"count": count.raw()})),
    }
}

/// An action by its fixed word, and its particulars.
fn action_words(action: &Action) -> (&'static str, String) {
    match action {
        Action::Inject(injection) => {
            let mut detail = String::new();
            match injection.cartridge {
                Some(cartridge) => {
                    let _ = write!(detail, ", cartridge declared {}", Speech::PLAIN.degrees(cartridge.count.fine()));
                }
                None => detail.push_str(", cartridge undeclared"),
            }
            if let Some(in_hole) = injection.in_hole {
                let _ = write!(detail, ", in the hole {}", Speech::PLAIN.degrees(in_hole.count.fine()));
            }
            ("inject", detail)
        }
        Action::CarriedOut => ("carried-out", String::new()),
        Action::Seat => ("seat", String::new()),
        Action::Hole(condition) => ("hole", format!(" {}", condition.word())),
        Action::Torque(applied) => ("torque", format!(" {}", Speech::PLAIN.torque(*applied))),
        Action::TorquedEarly(applied) => ("torqued-early", format!(" {}", Speech::PLAIN.torque(*applied))),
        Action::Decide(Decision::Accept) => ("decide", " accept as it is".to_owned()),
        Action::Decide(Decision::Remove) => ("decide", " remove".to_owned()),
        Action::Declare(declaration) => declaration_words(*declaration),
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
                "why": session.untrusted.as_ref().map(coded),
                "records": records,
            })
        })
        .collect();
    let object = json!({
        "readings": listing.readings,
        "reading_bytes": listing.used,
        "capacity_bytes": listing.capacity,
        "findings": listing.findings.iter().map(coded).collect::<Vec<_>>(),
        "sessions": sessions,
        "caution": Speech::PLAIN.cautions(listing.demo()),
    });
    format!("{object}\n")
}

fn entry_json(entry: &ListedItem) -> Value {
    let mut object = Map::new();
    object.insert("page".to_owned(), entry.place.page.into());
    object.insert("item".to_owned(), entry.place.item.into());
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
                writeln!(text, "{},{},", entry.time(), celsius(count))
            }
            ("unusable" | "missing", _) => writeln!(text, "{},,{}", entry.time(), said(Speech::PLAIN, &entry.item)),
            _ => Ok(()),
        };
    }
    text
}
