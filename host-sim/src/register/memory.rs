//! What a memory image holds, as the register looks at it: pages by their seal values, sessions, fixings, releases.
//!
//! What for: two images of one logger are compared page by page, and each session is told once, from the image that
//! reaches furthest. The engine runs over the raw readings; nothing recorded about a stage is believed without it.
//! What it does not do: touch the register, or decide which image counts.

use super::row::{Fixing, Is, Session, Verdict, group_name};
use crate::keys::{Ring, to_hex};
use crate::memory_image::{Proof, finding_words, mount_error, prove_image, trust_words};
use crate::stamp::Wall;
use crate::words::{EvidencePhrase as P, Told, fixing_name, hole, laxer_words, recorded};
use holdoff_core::cure::Rule;
use holdoff_core::fixing::Status;
use holdoff_core::group::FixingNumber;
use holdoff_core::log::read::{Found, Log};
use holdoff_core::log::{
    Batch, FixingRecord, Item, Page, Record, Replay, ResinName, StageSeen, Standing, head_after, head_of,
};
use std::collections::BTreeMap;

/// A page.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct PageSeen {
    /// Its number.
    pub number: u32,
    /// How many items it holds.
    pub items: u16,
    /// Its seal value after them.
    pub head: [u8; 32],
    /// What binds it to the page before: the beginning of that one's seal value.
    pub link: [u8; 12],
}

/// A release as it stands in a session.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ReleaseSeen {
    /// Of which fixing.
    pub number: u8,
    /// Record and signature.
    pub sealed: Vec<u8>,
}

/// A session.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SessionSeen {
    /// Itself; its life is 0 until the register says which.
    pub session: Session,
    /// Its fixings; none where its beginning is missing.
    pub fixings: Vec<Fixing>,
    /// Its releases in their order.
    pub releases: Vec<ReleaseSeen>,
}

/// What an image holds.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Memory {
    /// The device, in hexadecimal digits.
    pub device: String,
    /// Pages in the order of their numbers; a missing one is missing here too.
    pub pages: Vec<PageSeen>,
    /// Sessions whose first page may still be there.
    pub sessions: Vec<SessionSeen>,
    /// What is amiss.
    pub findings: Vec<String>,
}

/// Why an image is none that the register takes in.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum MemoryError {
    /// It holds no log that can be read.
    NoLog(String),
    /// No session's beginning can be read, so that nobody knows whose it is.
    NoDevice,
    /// Sessions of two devices in one memory.
    TwoDevices {
        /// One of them.
        one: String,
        /// The other.
        other: String,
    },
}

impl Memory {
    /// Looks through an image; with a ring, every release is held against it.
    ///
    /// # Errors
    /// [`MemoryError`].
    pub fn of(image: &[u8], ring: Option<&Ring>) -> Result<Self, MemoryError> {
        let mut findings = Vec::new();
        let log = Log::open(image, &mut |finding| findings.push(finding_words(&finding)))
            .map_err(|error| MemoryError::NoLog(mount_error(&error)))?;
        let oldest = log.newest().saturating_sub(log.geometry().slots() - 2);
        let (mut pages, mut firsts) = (Vec::new(), BTreeMap::new());
        for found in log.pages() {
            if let Found::Page(_, page) = found {
                let (header, items) = (page.header(), page.items());
                pages.push(PageSeen { number: header.number, items, head: head_of(&page).value, link: header.link.0 });
                firsts.insert(header.session, (header.number, items));
            }
        }
        let proofs = match ring {
            Some(ring) => {
                let (proofs, more) = prove_image(image, ring).map_err(MemoryError::NoLog)?;
                findings.extend(more);
                Some(proofs)
            }
            None => None,
        };
        let (mut sessions, mut device) = (Vec::new(), None::<String>);
        for (first, end) in firsts {
            if first < oldest {
                findings.push(recorded(P::PartOverwritten, &[("page", &first.to_string())]));
                continue;
            }
            let (seen, whose) = session(&log, first, end, proofs.as_deref(), &mut findings)?;
            match (&device, whose) {
                (Some(one), Some(other)) if *one != other => {
                    return Err(MemoryError::TwoDevices { one: one.clone(), other });
                }
                (None, Some(whose)) => device = Some(whose),
                (Some(_) | None, _) => {}
            }
            sessions.push(seen);
        }
        let device = device.ok_or(MemoryError::NoDevice)?;
        for seen in &mut sessions {
            seen.session.device.clone_from(&device);
            let labels: Vec<&str> = seen.fixings.iter().map(|fixing| fixing.label.as_str()).collect();
            seen.session.group = group_name(&labels, &device);
        }
        findings.dedup();
        Ok(Self { device, pages, sessions, findings })
    }
}

/// The seal value of a page of an image after its first items; `None` where there is no such page, or it has fewer.
pub(super) fn head_in(image: &[u8], number: u32, items: u16) -> Option<[u8; 32]> {
    let log = Log::open(image, &mut |_| {}).ok()?;
    match log.page(number)? {
        Found::Page(_, page) => head_after(&page, items).map(|head| head.value),
        Found::Lost { .. } => None,
    }
}

/// What is collected while a session is replayed.
#[derive(Default)]
struct Collected {
    names: Vec<FixingRecord>,
    batches: BTreeMap<FixingNumber, Batch>,
    releases: Vec<ReleaseSeen>,
    span: Option<(i64, i64)>,
    wall: Wall,
}

impl Collected {
    fn take(&mut self, replay: &Replay, item: &Item) {
        if let Item::Record(record) = item {
            self.wall.take(replay, record);
        }
        let at = match item {
            Item::Reading { at, .. } | Item::Unusable { at, .. } | Item::Missing { at, .. } => Some(*at),
            Item::Refused { .. } => None,
            Item::Record(record) => self.record(record),
        };
        if let Some(at) = at {
            let at = at.seconds();
            self.span = Some(self.span.map_or((at, at), |(from, to)| (from.min(at), to.max(at))));
        }
    }

    fn record(&mut self, record: &Record) -> Option<holdoff_core::quantity::Instant> {
        match record {
            Record::Fixing(fixing) => self.names.push(*fixing),
            Record::Batch(batch) => {
                self.batches.insert(batch.fixing, *batch);
            }
            Record::Release { fixing, signed } => {
                self.releases.push(ReleaseSeen { number: fixing.place() as u8, sealed: signed.bytes().to_vec() });
            }
            Record::Action { at, .. } => return Some(*at),
            Record::ClockTie(tie) => return Some(tie.at),
            Record::Loss(loss) => return Some(loss.last),
            Record::Supply { at, .. } => return Some(*at),
            Record::Identity(_)
            | Record::Resin(_)
            | Record::Job(_)
            | Record::PowerUp { .. }
            | Record::Untrusted
            | Record::ReadOut { .. }
            | Record::Freed { .. }
            | Record::Stage { .. }
            | Record::CandidateAccepted { .. }
            | Record::Head { .. } => {}
        }
        None
    }
}

fn session(
    log: &Log<'_>,
    first: u32,
    end: (u32, u16),
    proofs: Option<&[Proof]>,
    findings: &mut Vec<String>,
) -> Result<(SessionSeen, Option<String>), MemoryError> {
    let mut collected = Collected::default();
    let replay = log
        .replay(
            first,
            &mut |replay: &Replay, _: &Page<'_>, _, (read, _)| collected.take(replay, &read.item),
            &mut |finding| findings.push(finding_words(&finding)),
            &mut |_| {},
        )
        .map_err(|error| MemoryError::NoLog(mount_error(&error)))?;
    let device = replay.identity().map(|identity| to_hex(&identity.device.0));
    let fixings = collected.names.iter().filter_map(|name| {
        let status = replay.group()?.status(name.number)?;
        let proof = proofs.and_then(|proofs| proofs.iter().find(|proof| proof.place == Some((first, name.number))));
        let released = Is::from(collected.releases.iter().any(|seen| usize::from(seen.number) == name.number.place()));
        let batch = collected.batches.get(&name.number).and_then(|batch| batch.text.text()).map(str::to_owned);
        Some(fixing(name, &status, verdict(released, proof), batch))
    });
    let fixings = fixings.collect();
    let job = replay.job();
    let (readings, lost) = replay.readings();
    let resin = |part: fn(&ResinName) -> String| replay.resin().map(part).unwrap_or_default();
    let session = Session {
        device: String::new(),
        life: 0,
        first_page: first,
        end,
        group: String::new(),
        job: job.map(|job| to_hex(&job.file.0)).unwrap_or_default(),
        resin: resin(|resin| resin.name.text().unwrap_or("?").to_owned()),
        resin_file: resin(|resin| to_hex(&resin.file.0)),
        demo: replay.resin().is_some_and(|resin| resin.standing == Standing::Demo).into(),
        rule: match job.map(|job| job.rule) {
            Some(Rule::Accrual) => "accrual",
            Some(Rule::Coldest) | None => "coldest",
        },
        laxer: job.map(|job| laxer_words(job.settings.laxer()).join(",")).unwrap_or_default(),
        readings: (readings, lost),
        untrusted: trust_words(replay.trust()),
        span: collected.span,
        wall: collected.wall,
        read: None,
    };
    Ok((SessionSeen { session, fixings, releases: collected.releases }, device))
}

/// A proof counts for a fixing that has a release record.
fn verdict(released: Is, proof: Option<&Proof>) -> (Option<Verdict>, String) {
    match (released, proof) {
        (Is::No, _) => (None, String::new()),
        (Is::Yes, None) => (Some(Verdict::NotChecked), String::new()),
        (Is::Yes, Some(proof)) => {
            let verdict = if proof.proved { Verdict::Proved } else { Verdict::NotProved };
            (Some(verdict), proof.why.clone())
        }
    }
}

fn fixing(name: &FixingRecord, status: &Status, verdict: (Option<Verdict>, String), batch: Option<String>) -> Fixing {
    let seconds = |at: Option<holdoff_core::quantity::Instant>| at.map(holdoff_core::quantity::Instant::seconds);
    let place = name.number.place();
    let told = Told::of(status, name.spec.torque);
    Fixing {
        number: place as u8, // at most 15
        label: fixing_name(name.label.text(), place),
        seen: StageSeen::of(status.stage, status.grounds),
        hole: hole(status.hole),
        range: told.range,
        torque: told.torque,
        injected_at: seconds(status.injected_at),
        seated_at: seconds(status.seated_at),
        seat_by: seconds(status.seat_by),
        cured_at: seconds(status.cured_at),
        announced_at: seconds(status.announced_at),
        required: status.required,
        served: status.served,
        seconds: [status.tally.counted(), status.tally.held, status.tally.unobserved],
        coldest: status.coldest.map(holdoff_core::quantity::Fine::raw),
        outside_at_seating: status.outside_at_seating,
        batch,
        verdict: verdict.0,
        why: verdict.1,
    }
}
