//! What a memory image holds, as the register looks at it: pages by their seal values, sessions, fixings, releases.
//!
//! What for: two images of one logger are compared page by page, and each session is told once, from the image that
//! reaches furthest.
//! What it does not do: walk over a log (`holdoff_evidence` does), touch the register, or decide which image counts.

use holdoff_core::cure::Rule;
use holdoff_core::log::read::{Found, Log};
use holdoff_core::log::{MountError, head_after};
use holdoff_core::quantity::{Fine, Instant};
use holdoff_core::resin::ResinUse;
use holdoff_evidence::StageFacts;
use holdoff_evidence::keys::{Ring, to_hex};
use holdoff_evidence::row::{KeptFixing, KeptSession, Verdict, shared_words};
use holdoff_evidence::{self, Finding, Keep, Overwritten, PageSeen, Proving, Why};

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
    /// Itself; its life and side are 0 until the register says which.
    pub session: KeptSession,
    /// Its fixings; none where its beginning is missing.
    pub fixings: Vec<KeptFixing>,
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
    /// Sessions that were not overwritten, the oldest first.
    pub sessions: Vec<SessionSeen>,
    /// What is amiss.
    pub findings: Vec<Finding>,
}

/// Why an image is none that the register takes in.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum MemoryError {
    /// It holds no log that can be read.
    NoLog(MountError),
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
    /// Looks through an image; with a ring, every signature is held against it.
    ///
    /// # Errors
    /// [`MemoryError`].
    pub fn of(image: &[u8], ring: Option<&Ring>) -> Result<Self, MemoryError> {
        let seen = holdoff_evidence::Memory::of(image, ring, Keep::Told).map_err(MemoryError::NoLog)?;
        let mut devices = seen.sessions.iter().map(holdoff_evidence::Session::device);
        let device = devices.next().ok_or(MemoryError::NoDevice)?;
        if let Some(other) = devices.find(|other| *other != device) {
            return Err(MemoryError::TwoDevices { one: device, other });
        }
        let mut sessions: Vec<SessionSeen> = seen.sessions.iter().map(SessionSeen::of).collect();
        let stumps = seen.stumps.iter().filter(|stump| stump.overwritten == Overwritten::No);
        sessions.extend(stumps.map(|stump| SessionSeen::of_stump(&device, stump)));
        sessions.sort_by_key(|seen| seen.session.first_page);
        Ok(Self { device, pages: seen.pages, sessions, findings: seen.findings })
    }
}

/// The seal value of a page of an image after its first items; `None` where there is no such page, or it has fewer.
pub(super) fn head_in(image: &[u8], number: u32, items: u16) -> Option<[u8; 32]> {
    let log = Log::open(holdoff_evidence::split(image).0, &mut |_| {}).ok()?;
    match log.page(number)? {
        Found::Page(_, page) => head_after(&page, items).map(|head| head.value),
        Found::Lost { .. } => None,
    }
}

impl SessionSeen {
    fn of(seen: &holdoff_evidence::Session) -> Self {
        let labels: Vec<&str> = seen.fixings.iter().map(|fixing| fixing.label.as_str()).collect();
        let lost = seen.losses.iter().map(|loss| u64::from(loss.count)).sum();
        let session = KeptSession {
            device: seen.device(),
            life: 0,
            side: 0,
            first_page: seen.first_page,
            end: seen.end,
            group: shared_words(&labels),
            job: to_hex(&seen.job.file.0),
            resin: seen.resin.name.text().unwrap_or("?").to_owned(),
            resin_file: to_hex(&seen.resin.file.0),
            demo: seen.resin.resin_use == ResinUse::Demo,
            rule: seen.job.rule.word(),
            laxer: seen.job.settings.laxer().words().collect::<Vec<_>>().join(","),
            readings: (seen.readings.len() as u64, lost),
            of_trace: seen.is_of_trace(),
            untrusted: seen.untrusted,
            failed: seen.failed.clone(),
            cover: seen.cover,
            span: seen.began.zip(seen.as_of),
            wall: seen.wall.clone(),
            read: None,
        };
        let fixings = seen.fixings.iter().map(fixing).collect();
        let releases = seen.releases.iter().map(|release| ReleaseSeen {
            number: release.fixing.place() as u8, // at most 15
            sealed: release.sealed.clone(),
        });
        Self { session, fixings, releases: releases.collect() }
    }

    fn of_stump(device: &str, stump: &holdoff_evidence::Stump) -> Self {
        let session = KeptSession {
            device: device.to_owned(),
            first_page: stump.first_page,
            end: stump.end,
            rule: Rule::Coldest.word(),
            untrusted: Some(stump.why),
            ..KeptSession::default()
        };
        Self { session, fixings: Vec::new(), releases: Vec::new() }
    }
}

/// A verdict counts for a fixing that has a release record.
fn verdict(proving: &Proving) -> (Option<Verdict>, Option<Why>) {
    match proving {
        Proving::NoRelease => (None, None),
        Proving::NoKeys => (Some(Verdict::NotChecked), None),
        Proving::Proved(by) => (Some(Verdict::Proved), Some(Why::Proved(by.clone()))),
        Proving::NotProved(why) => (Some(Verdict::NotProved), Some(Why::Not(why.clone()))),
    }
}

fn fixing(seen: &holdoff_evidence::Fixing) -> KeptFixing {
    let seconds = |at: Option<Instant>| at.map(Instant::seconds);
    let status = &seen.status;
    let told = StageFacts::of(status, seen.spec.torque);
    let (verdict, why) = verdict(&seen.proving);
    KeptFixing {
        number: seen.number.place() as u8, // at most 15
        label: seen.label.clone(),
        seen: seen.seen(),
        stage_at: seen.stage_at,
        hole: status.hole.word(),
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
        coldest: status.coldest.map(Fine::raw),
        outside_at_seating: status.outside_at_seating,
        batch: seen.batch.as_ref().and_then(|batch| batch.text.text()).map(str::to_owned),
        verdict,
        why,
        conflicts: Vec::new(),
        decided: None,
    }
}
