//! Proving releases: the chain, the signature, and the engine run again over the raw readings.

use super::words::{code_error, departure as departure_words, finding_words, mount_error, record_error, trust_words};
use crate::keys::verify::prove;
use crate::keys::{Ring, to_hex};
use crate::replay::celsius;
use crate::stamp::Clock;
use crate::words::{EvidencePhrase as P, fixing_name, laxer_words, recorded, time_words};
use holdoff_core::cure::Laxer;
use holdoff_core::fixing::{Stage, TorqueRange};
use holdoff_core::group::FixingNumber;
use holdoff_core::log::read::{Found, Log};
use holdoff_core::log::{Finding, Item, Page, Record, Replay, Standing, head_after};
use holdoff_core::quantity::{Count, Instant};
use holdoff_core::seal::{ChainHead, End, ReleaseRecord, ResinUse, SealedView};
use serde::{Serialize, Serializer};
use std::collections::BTreeMap;

/// What a proof comes to.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ProofVerdict {
    /// The release is proved.
    Proved,
    /// It is not, or the log cannot be trusted.
    NotProved,
    /// There is none yet, and by its stage there need be none: nothing failed.
    NoReleaseYet,
    /// There is none, for it is rejected: nothing failed.
    NoRelease,
}

/// What is proved of one fixing.
#[derive(Clone, Debug, Serialize)]
pub struct Proof {
    /// What it is called.
    pub fixing: String,
    /// What the proof comes to.
    pub verdict: ProofVerdict,
    /// Whether its release is proved.
    pub proved: bool,
    /// What holds it up, or why it is not.
    pub why: String,
    /// The second of the cure, as the signed record says.
    pub cured_at: Option<String>,
    /// When it was torqued, as the signed record says; null where no torque is specified.
    pub released_at: Option<String>,
    /// Whether the resin is an invented one.
    pub demo: bool,
    /// Settings laxer than their default that it rests on.
    #[serde(serialize_with = "words_of")]
    pub laxer: Laxer,
    /// The reading between injection and seating that lay furthest outside the installation limits, °C (rule A5).
    #[serde(serialize_with = "celsius_of")]
    pub outside_at_seating: Option<Count>,
    /// First page of the session and number of the fixing, where a memory gave them.
    #[serde(skip)]
    pub place: Option<(u32, FixingNumber)>,
}

fn words_of<S: Serializer>(laxer: &Laxer, serializer: S) -> Result<S::Ok, S::Error> {
    laxer_words(*laxer).serialize(serializer)
}

fn celsius_of<S: Serializer>(outside: &Option<Count>, serializer: S) -> Result<S::Ok, S::Error> {
    outside.map(celsius).serialize(serializer)
}

/// Proves every fixing of an image; what else is amiss comes with them.
///
/// # Errors
/// Why it holds no log that can be read.
pub fn prove_image(image: &[u8], ring: &Ring) -> Result<(Vec<Proof>, Vec<String>), String> {
    let mut findings = Vec::new();
    let log =
        Log::open(image, &mut |finding| findings.push(finding_words(&finding))).map_err(|error| mount_error(&error))?;
    let mut proofs = Vec::new();
    for first in first_pages(&log) {
        proofs.extend(prove_session(&log, first, ring, &mut |finding| findings.push(finding_words(&finding)))?);
    }
    findings.dedup();
    Ok((proofs, findings))
}

/// The first pages of the sessions of a log, the oldest first.
pub fn first_pages(log: &Log<'_>) -> Vec<u32> {
    let mut firsts: Vec<u32> = Vec::new();
    for found in log.pages() {
        if let Found::Page(_, page) = found
            && !firsts.contains(&page.header().session)
        {
            firsts.push(page.header().session);
        }
    }
    firsts
}

/// Proves every fixing of the session that begins with page `first`; `find` is told what else is amiss with it.
///
/// # Errors
/// Why it cannot be read.
pub fn prove_session(
    log: &Log<'_>,
    first: u32,
    ring: &Ring,
    find: &mut dyn FnMut(Finding),
) -> Result<Vec<Proof>, String> {
    let mut names: BTreeMap<FixingNumber, (String, Option<TorqueRange>)> = BTreeMap::new();
    let mut releases: BTreeMap<FixingNumber, Result<ReleaseRecord, Failed>> = BTreeMap::new();
    let replay = log.replay(
        first,
        &mut |replay, page, place, (read, _)| match &read.item {
            Item::Record(Record::Fixing(fixing)) => {
                let name = fixing_name(fixing.label.text(), fixing.number.place());
                names.insert(fixing.number, (name, fixing.spec.torque));
            }
            Item::Record(Record::Release { fixing, signed }) => {
                let found = release(replay, page, place, *fixing, signed.bytes(), ring);
                // a second record cannot mend a bad one, nor a bad one be followed by a good one
                let worst = match releases.remove(fixing) {
                    Some(Err(before)) => Err(before),
                    Some(Ok(_)) | None => found,
                };
                releases.insert(*fixing, worst);
            }
            Item::Record(_)
            | Item::Reading { .. }
            | Item::Unusable { .. }
            | Item::Missing { .. }
            | Item::Refused { .. } => {}
        },
        find,
        &mut |_| {},
    );
    let replay = replay.map_err(|error| mount_error(&error))?;
    if replay.group().is_none() {
        let why = trust_words(replay.trust()).unwrap_or_else(|| recorded(P::NoBeginning, &[]));
        return Ok(vec![not(recorded(P::SessionFrom, &[("page", &first.to_string())]), why, None)]);
    }
    let mut proofs = Vec::new();
    for (number, name) in names {
        let proof = one(&replay, number, name, releases.remove(&number));
        // those of the session are those of its releases
        let laxer = replay.job().map_or(proof.laxer, |job| job.settings.laxer());
        let status = replay.group().and_then(|group| group.status(number));
        let outside_at_seating = status.and_then(|status| status.outside_at_seating);
        let demo = proof.demo || replay.resin().is_some_and(|resin| resin.standing == Standing::Demo);
        proofs.push(Proof { place: Some((first, number)), demo, laxer, outside_at_seating, ..proof });
    }
    Ok(proofs)
}

/// Why a release record fails, with the record where it could be read.
struct Failed {
    why: String,
    record: Option<Box<ReleaseRecord>>,
}

fn release(
    replay: &Replay,
    page: &Page<'_>,
    place: u16,
    fixing: FixingNumber,
    signed: &[u8],
    ring: &Ring,
) -> Result<ReleaseRecord, Failed> {
    let failed = |why: String, record: Option<ReleaseRecord>| Err(Failed { why, record: record.map(Box::new) });
    let view = match SealedView::parse(signed) {
        Ok(view) => view,
        Err(error) => return failed(recorded(P::UnreadableRecord, &[("error", &record_error(error))]), None),
    };
    let record = *view.unverified();
    let proved = match prove(&view, ring) {
        Ok(proved) => proved,
        Err(why) => return failed(why.to_string(), Some(record)),
    };
    let record = *proved.record();
    if record.fixing() != fixing {
        return failed(recorded(P::OtherFixing, &[]), Some(record));
    }
    if replay.identity().is_none_or(|identity| identity.device.0 != record.particulars().device.0) {
        return failed(recorded(P::OtherDevice, &[]), Some(record));
    }
    // signed over all that stands before the record: in its own page, or up to the end of the page before
    let here = head_after(page, place).map(|head| ChainHead::of_digest(&head.value));
    let before = (place == 0).then_some(ChainHead(page.header().link.0));
    let chain = Some(record.particulars().chain);
    if chain != here && chain != before {
        return failed(recorded(P::OtherLog, &[]), Some(record));
    }
    let Some(group) = replay.group() else {
        return failed(recorded(P::NoBeginning, &[]), Some(record));
    };
    match record.hold_against(group) {
        Ok(()) => Ok(record),
        Err(departure) => failed(recorded(P::Departs, &[("departure", &departure_words(departure))]), Some(record)),
    }
}

fn one(
    replay: &Replay,
    number: FixingNumber,
    (name, torque): (String, Option<TorqueRange>),
    release: Option<Result<ReleaseRecord, Failed>>,
) -> Proof {
    if let Some(why) = trust_words(replay.trust()) {
        let record = match release {
            Some(Ok(record)) => Some(record),
            Some(Err(failed)) => failed.record.map(|record| *record),
            None => None,
        };
        return not(name, recorded(P::Untrusted, &[("why", &why)]), record.as_ref());
    }
    let status = replay.group().and_then(|group| group.status(number));
    match (release, status.map(|status| status.stage)) {
        // a cure may have been withdrawn since, and another one come after it
        (Some(Ok(record)), Some(Stage::Released(_) | Stage::Cured(_)))
            if status.is_some_and(|now| now.hole == record.hole() && now.cured_at == Some(record.cured_at())) =>
        {
            let why = recorded(P::Proved, &[]);
            Proof { proved: true, verdict: ProofVerdict::Proved, why, ..not(name, String::new(), Some(&record)) }
        }
        (Some(Ok(record)), Some(Stage::Released(_) | Stage::Cured(_))) => {
            not(name, recorded(P::CureMovedSince, &[]), Some(&record))
        }
        (Some(Ok(record)), Some(stage)) => {
            not(name, recorded(P::ReleasedAndSince, &[("stage", stage.word())]), Some(&record))
        }
        (Some(Err(failed)), _) => not(name, failed.why, failed.record.as_deref()),
        (None, Some(stage)) => {
            let why = recorded(P::NoRelease, &[("stage", stage.word())]);
            Proof { verdict: without_release(stage, torque), ..not(name, why, None) }
        }
        (Some(Ok(record)), None) => not(name, recorded(P::UnknownFixing, &[]), Some(&record)),
        (None, None) => not(name, recorded(P::UnknownFixing, &[]), None),
    }
}

/// What it comes to that there is no release: a logger signs one when a fixing is released, and where no torque is specified
/// when it is cured.
const fn without_release(stage: Stage, torque: Option<TorqueRange>) -> ProofVerdict {
    match (stage, torque) {
        (Stage::Released(_), _) | (Stage::Cured(_), None) => ProofVerdict::NotProved,
        (Stage::Planned | Stage::Refused | Stage::Working | Stage::Curing | Stage::Held, _)
        | (Stage::Cured(_), Some(_)) => ProofVerdict::NoReleaseYet,
        (Stage::Rejected(_) | Stage::AcceptedAsIs(_) | Stage::Removed(_), _) => ProofVerdict::NoRelease,
    }
}

fn not(fixing: String, why: String, record: Option<&ReleaseRecord>) -> Proof {
    let time =
        |record: &ReleaseRecord, at: Instant| time_words(Clock::of_release(record.particulars().clock), at.seconds());
    let cured_at = record.map(|record| time(record, record.cured_at()));
    let released_at = record.and_then(|record| match record.end() {
        End::Torqued { .. } => Some(time(record, record.speaks_for())),
        End::NoTorque => None,
    });
    let demo = record.is_some_and(|record| record.particulars().resin_use == ResinUse::Demo);
    let laxer = record.map_or_else(Laxer::default, |record| record.settings().laxer());
    let outside_at_seating = record.and_then(ReleaseRecord::outside_at_seating);
    let verdict = ProofVerdict::NotProved;
    Proof { fixing, verdict, proved: false, why, cured_at, released_at, demo, laxer, outside_at_seating, place: None }
}

/// Proves a release code: that a device vouches for it. The readings behind it are in that device's memory.
///
/// # Errors
/// Why the text is no release code.
pub fn prove_code(text: &str, ring: &Ring) -> Result<Proof, String> {
    let mut buffer = [0; holdoff_core::seal::MOST_SEALED];
    let view = holdoff_core::seal::read(text.trim().as_bytes(), &mut buffer).map_err(code_error)?;
    let record = *view.unverified();
    let name = fixing_name(record.label(), record.fixing().place());
    Ok(match prove(&view, ring) {
        Ok(proved) => Proof {
            proved: true,
            verdict: ProofVerdict::Proved,
            why: recorded(
                P::ProvedBySignature,
                &[("key", &proved.key.name), ("device", &to_hex(&proved.record().particulars().device.0))],
            ),
            ..not(name, String::new(), Some(proved.record()))
        },
        Err(why) => not(name, why.to_string(), Some(&record)),
    })
}
