//! A memory's listing for a person.

use super::listing::{ListedItem, Listing, told_of_release};
use crate::words::{ListingPhrase as P, Speech, Worded};
use holdoff_core::fixing::{Action, Decision};
use holdoff_core::group::{Darkness, FixingNumber};
use holdoff_core::log::{FixingRecord, Item, Job, Record, ResetCause, Source};
use holdoff_core::probe::SensorKind;
use holdoff_core::quantity::Fine;
use holdoff_core::resin::ResinUse;
use holdoff_core::seal::{Head, HeadView};
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::own_label;
use holdoff_files::problem::{shown, visible};
use holdoff_files::stamp::format_seconds;
use std::fmt::Write;

/// Everything but single readings, which are told in runs.
pub fn text(listing: &Listing, speech: Speech) -> String {
    let [readings, bytes, capacity] =
        [listing.readings, listing.used, u64::from(listing.capacity)].map(|number| number.to_string());
    let gaps = [("readings", &*readings), ("bytes", &*bytes), ("capacity", &*capacity)];
    let mut text = speech.fill(P::Summary, &gaps) + "\n";
    for finding in &listing.findings {
        let _ = writeln!(text, "{}", speech.fill(P::Finding, &[("what", &finding.words(speech))]));
    }
    for session in &listing.sessions {
        let page = session.first_page.to_string();
        let page = ("page", page.as_str());
        let head = match &session.untrusted {
            None => speech.fill(P::SessionHolds, &[page]),
            Some(why) => speech.fill(P::SessionBroken, &[page, ("why", &why.words(speech))]),
        };
        let _ = writeln!(text, "\n{head}");
        let mut run: Option<(&ListedItem, &ListedItem, u64)> = None;
        for entry in &session.entries {
            if let Item::Reading { .. } = entry.item {
                run = match run {
                    None => Some((entry, entry, 1)),
                    Some((first, _, count)) => Some((first, entry, count + 1)),
                };
                continue;
            }
            tell_run(&mut text, speech, run.take());
            line(&mut text, speech, entry, &said_entry(speech, entry));
        }
        tell_run(&mut text, speech, run);
    }
    if listing.demo() {
        let _ = writeln!(text, "\n{}", speech.demo_caution());
    }
    let _ = writeln!(text, "\n{}", speech.caution());
    text
}

fn line(text: &mut String, speech: Speech, entry: &ListedItem, words: &str) {
    // names in it are whatever the image has
    let words = visible(words);
    let _ = writeln!(text, "  {:<26} {:<18} {words}", entry.time(), speech.say(kind(&entry.item)));
}

fn tell_run(text: &mut String, speech: Speech, run: Option<(&ListedItem, &ListedItem, u64)>) {
    let Some((first, last, number)) = run else { return };
    let one = said(speech, &first.item);
    let words = if number == 1 {
        one
    } else {
        let (number, to, other) = (number.to_string(), last.time(), said(speech, &last.item));
        speech.fill(P::Run, &[("number", &number), ("to", &to), ("first", &one), ("last", &other)])
    };
    line(text, speech, first, &words);
}

const fn kind(item: &Item) -> P {
    match item {
        Item::Reading { .. } => P::KindReading,
        Item::Unusable { .. } => P::KindUnusable,
        Item::Missing { .. } => P::KindMissing,
        Item::Refused { .. } => P::KindRefused,
        Item::Record(record) => match record {
            Record::Identity(_) => P::KindIdentity,
            Record::Resin(_) => P::KindResin,
            Record::Job(_) => P::KindJob,
            Record::Fixing(_) => P::KindFixing,
            Record::Batch(_) => P::KindBatch,
            Record::Action { .. } => P::KindAction,
            Record::PowerUp { .. } => P::KindPowerUp,
            Record::ClockTie(_) => P::KindClockTie,
            Record::Loss(_) => P::KindLoss,
            Record::Untrusted => P::KindUntrusted,
            Record::ReadOut { .. } => P::KindReadOut,
            Record::Freed { .. } => P::KindFreed,
            Record::Release { .. } => P::KindRelease,
            Record::Stage { .. } => P::KindStage,
            Record::CandidateAccepted { .. } => P::KindCandidate,
            Record::Supply { .. } => P::KindSupply,
            Record::Head { .. } => P::KindHead,
            Record::Demands(_) => P::KindDemands,
            Record::Person(_) => P::KindPerson,
            Record::Hands { .. } => P::KindHands,
            Record::PassedOver { .. } => P::KindPassedOver,
        },
    }
}

/// What an entry says; of a release also whether it is in force.
fn said_entry(speech: Speech, entry: &ListedItem) -> String {
    match &entry.item {
        Item::Record(Record::Release { fixing, signed }) if entry.replaced => {
            released(speech, *fixing, signed.bytes(), P::SignedReplaced)
        }
        item => said(speech, item),
    }
}

/// What a signed release says.
fn released(speech: Speech, fixing: FixingNumber, signed: &[u8], phrase: P) -> String {
    let told = told_of_release(signed);
    let short = told.as_ref().map_or_else(|| speech.say(P::Unreadable), |(short, _)| short.as_str());
    let signed = of_fixing(speech, fixing, &speech.fill(phrase, &[("short", short)]));
    match told.as_ref().and_then(|(_, outside)| speech.outside_note(*outside)) {
        Some(outside) => format!("{signed}; {outside}"),
        None => signed,
    }
}

fn of_fixing(speech: Speech, fixing: FixingNumber, what: &str) -> String {
    speech.fill(P::Of, &[("number", &(fixing.place() + 1).to_string()), ("what", what)])
}

/// What an item says.
pub(super) fn said(speech: Speech, item: &Item) -> String {
    match item {
        Item::Reading { count, .. } => speech.degrees(count.fine()),
        Item::Unusable { cause, .. } => speech.refusal(*cause).to_owned(),
        Item::Missing { .. } => speech.say(P::NoReading).to_owned(),
        Item::Refused { cause } => speech.fill(P::BeforeRefused, &[("cause", speech.refusal(*cause))]),
        Item::Record(record) => said_record(speech, record),
    }
}

fn said_record(speech: Speech, record: &Record) -> String {
    let of = |fixing: FixingNumber, what: &str| of_fixing(speech, fixing, what);
    let page = |phrase: P, below: u32| speech.fill(phrase, &[("page", &below.to_string())]);
    match record {
        Record::Identity(identity) => {
            let (device, bytes) = (to_hex(&identity.device.0), identity.geometry.bytes().to_string());
            let source = speech.say(source(identity.source));
            speech.fill(P::Identity, &[("device", &device), ("bytes", &bytes), ("source", source)])
        }
        Record::Resin(resin) => {
            let name = resin.name.text().unwrap_or("?");
            match resin.resin_use {
                ResinUse::Demo => speech.fill(P::Invented, &[("name", name)]),
                ResinUse::OnSite => name.to_owned(),
            }
        }
        Record::Job(job) => settings(speech, job),
        Record::Fixing(fixing) => planned(speech, fixing),
        Record::Batch(batch) => {
            let text = shown(batch.text.text().unwrap_or("?").as_bytes());
            of(batch.fixing, &speech.fill(P::Batch, &[("text", &text)]))
        }
        Record::Action { fixing, action, .. } => of(*fixing, &acted(speech, action)),
        Record::PowerUp { dark, cause } => {
            let phrase = match dark {
                Darkness::Known => P::PowerUpKnown,
                Darkness::Unknown => P::PowerUpUnknown,
            };
            speech.fill(phrase, &[("cause", speech.reset_cause(*cause))])
        }
        Record::ClockTie(tie) => {
            speech.fill(P::ClockSays, &[("time", &format_seconds(tie.utc, i32::from(tie.offset_minutes) * 60))])
        }
        Record::Loss(loss) => speech.fill(P::Lost, &[("number", &loss.count.to_string())]),
        Record::Untrusted => speech.say(P::CannotBeTrusted).to_owned(),
        Record::ReadOut { below } => page(P::WereReadOut, *below),
        Record::Freed { below } => page(P::WereGivenUp, *below),
        Record::Release { fixing, signed } => released(speech, *fixing, signed.bytes(), P::Signed),
        Record::Stage { fixing, seen } => {
            let (stage, why) = (speech.stage(seen.word), speech.grounds(seen.grounds));
            let why = why.as_str();
            let what = if why.is_empty() {
                stage.to_owned()
            } else {
                speech.fill(P::StageWhy, &[("stage", stage), ("why", why)])
            };
            of(*fixing, &what)
        }
        Record::Head { signed } => match HeadView::parse(signed.bytes()) {
            Ok(view) => {
                let Head { page, items, .. } = view.unverified();
                speech.fill(P::HeadSigned, &[("page", &page.to_string()), ("items", &items.to_string())])
            }
            Err(_) => speech.say(P::Unreadable).to_owned(),
        },
        Record::Demands(made) => speech.demands(made),
        Record::Person(person) => {
            let name = holdoff_files::problem::visible(person.name.text().unwrap_or("?"));
            speech.fill(P::PersonIs, &[("number", &speech.person_number(person.number)), ("name", &name)])
        }
        Record::Hands { of: None } => speech.say(P::HandsOfNobody).to_owned(),
        Record::Hands { of: Some(person) } => speech.fill(P::HandsOf, &[("number", &speech.person_number(*person))]),
        Record::PassedOver { tag } => speech.fill(P::UnknownRecord, &[("tag", &tag.to_string())]),
        Record::Supply { millivolts: None, .. } => speech.say(P::SupplyUnknown).to_owned(),
        Record::Supply { millivolts: Some(millivolts), .. } => {
            speech.fill(P::SupplyIs, &[("millivolts", &millivolts.to_string())])
        }
        Record::CandidateAccepted { count, .. } => {
            speech.fill(P::AfterAll, &[("degrees", &speech.degrees(count.fine()))])
        }
    }
}

fn settings(speech: Speech, job: &Job) -> String {
    let settings = job.settings;
    let uncertainty = speech.degrees_apart(Fine::new(i32::from(settings.uncertainty().counts())));
    let [gap, ppm, settle, period] = [
        settings.longest_gap().seconds(),
        u32::from(settings.clock_ppm()),
        settings.settle().seconds(),
        job.period.seconds(),
    ]
    .map(|it| it.to_string());
    let gaps =
        [("uncertainty", &*uncertainty), ("gap", &*gap), ("ppm", &*ppm), ("settle", &*settle), ("period", &*period)];
    let said = speech.fill(P::Settings, &gaps);
    match speech.laxer_note(settings.laxer()) {
        Some(laxer) => format!("{said}; {laxer}"),
        None => said,
    }
}

fn planned(speech: Speech, fixing: &FixingRecord) -> String {
    let label = speech.name(&own_label(fixing.label.text(), fixing.number), fixing.number.place() as u8); // at most 15
    let gaps = [("label", label.as_str()), ("hole", speech.hole(fixing.spec.hole))];
    match fixing.spec.torque {
        None => speech.fill(P::Fixing, &gaps),
        Some(range) => {
            let (least, greatest) = speech.torque_range(range);
            speech.fill(P::FixingTorqued, &[&gaps[..], &[("least", &least), ("greatest", &greatest)]].concat())
        }
    }
}

fn acted(speech: Speech, action: &Action) -> String {
    match action {
        Action::Inject(injection) => {
            let what = match injection.cartridge {
                Some(declared) => speech.fill(P::Inject, &[("degrees", &speech.degrees(declared.count.fine()))]),
                None => speech.say(P::InjectUndeclared).to_owned(),
            };
            match injection.in_hole {
                Some(in_hole) => {
                    speech.fill(P::InHole, &[("what", &what), ("degrees", &speech.degrees(in_hole.count.fine()))])
                }
                None => what,
            }
        }
        Action::CarriedOut => speech.say(P::CarriedOut).to_owned(),
        Action::Seat => speech.say(P::Seat).to_owned(),
        Action::Hole(condition) => speech.fill(P::Hole, &[("hole", speech.hole(*condition))]),
        Action::Torque(applied) => speech.fill(P::Torque, &[("torque", &speech.torque(*applied))]),
        Action::TorquedEarly(applied) => speech.fill(P::TorquedEarly, &[("torque", &speech.torque(*applied))]),
        Action::Decide(Decision::Accept) => speech.say(P::Accept).to_owned(),
        Action::Decide(Decision::Remove) => speech.say(P::Remove).to_owned(),
        Action::Declare(declaration) => speech.declaration(*declaration),
    }
}

/// Where readings come from.
pub(super) const fn source(source: Source) -> P {
    match source {
        Source::Sensor(SensorKind::TwelveBit) => P::TwelveBit,
        Source::Sensor(SensorKind::ThirteenBit) => P::ThirteenBit,
        Source::Sensor(SensorKind::SixteenBit) => P::SixteenBit,
        Source::Sensor(SensorKind::OneWire) => P::OneWire,
        Source::Trace => P::RecordedTrace,
    }
}

impl Speech {
    /// Why a logger came up again.
    pub fn reset_cause(&self, cause: ResetCause) -> &'static str {
        self.say(match cause {
            ResetCause::Unknown => P::CauseUnknown,
            ResetCause::PowerOn => P::PowerOn,
            ResetCause::BrownOut => P::BrownOut,
            ResetCause::Watchdog => P::Watchdog,
            ResetCause::Software => P::Software,
            ResetCause::Pin => P::ResetButton,
        })
    }
}
