//! What a memory image holds of every session, gathered in one replay.
//!
//! Invariants: stages, seconds and grounds are the engine's, run again over the raw readings; what was recorded of them is
//! evidence that the replay compares, and nothing here is read off it.

use crate::keys::Ring;
use crate::memory_image::{Proof, finding_words, first_pages, mount_error, prove_session, trust_words};
use crate::register::{Reading, Readings};
use crate::replay::{Story, Watcher};
use crate::stamp::Wall;
use crate::words::{EvidencePhrase, fixing_name, recorded, stage_word};
use holdoff_core::fixing::{Action, FixingSpec, Stage, Status};
use holdoff_core::group::{Darkness, Event, FixingNumber, Group, Verdict};
use holdoff_core::log::read::Log;
use holdoff_core::log::{
    Batch, Finding, Identity, Item, ItemRead, Job, Loss, Outcome, Record, Replay, ResinRecord, StageWord,
};
use holdoff_core::quantity::{Count, Instant};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// A session: a logger's group from its loading on.
#[derive(Debug)]
pub struct Session {
    /// Number of its first page.
    pub first_page: u32,
    /// The logger.
    pub identity: Identity,
    /// The resin as loaded.
    pub resin: ResinRecord,
    /// Settings as loaded.
    pub job: Job,
    /// The group after the last item.
    pub group: Group,
    /// The clock on the wall.
    pub wall: Wall,
    /// Readings in the order of their arrival.
    pub(super) readings: Vec<Reading>,
    /// Readings that could not be recorded.
    pub losses: Vec<Loss>,
    /// The lowest supply of the probe and when, where the log tells of any; 0 mV where it could not be measured.
    pub lowest_supply: Option<(u16, Instant)>,
    /// Restarts: when the last item before was, and whether the length of the dark time is known.
    pub restarts: Vec<(Option<i64>, Darkness)>,
    /// Events, and stretches that did not count.
    pub story: Story,
    /// Why its log cannot be trusted; `None` when it can.
    pub untrusted: Option<String>,
    /// Time of the last thing recorded.
    pub as_of: Option<i64>,
    /// Its fixings.
    pub fixings: Vec<Fixing>,
}

/// A fixing of a session.
#[derive(Debug)]
pub struct Fixing {
    /// Its number in the group.
    pub number: FixingNumber,
    /// What it is called.
    pub label: String,
    /// Hole and torque as loaded.
    pub spec: FixingSpec,
    /// The resin batch, where one was recorded.
    pub batch: Option<Batch>,
    /// Its status after the last item.
    pub status: Status,
    /// What was done to it.
    pub deeds: Vec<Deed>,
    /// Until when it was to be seated, as the engine had it last before the seating.
    pub seat_by: Option<Instant>,
    /// What holding its release against the keys came to.
    pub proving: Proving,
}

/// What somebody did, and what the engine made of it.
#[derive(Debug)]
pub struct Deed {
    /// When.
    pub at: Instant,
    /// What.
    pub action: Action,
    /// Whether it applied.
    pub verdict: Verdict,
    /// The stage after it.
    pub stage: StageWord,
    /// What came of it at once.
    pub events: Vec<Event>,
    /// The last accepted reading then.
    pub reading: Option<(Instant, Count)>,
}

/// What holding a release against keys came to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Proving {
    /// The log holds no signed release of it.
    NoRelease,
    /// No keys were given.
    NoKeys,
    /// It is proved, and what holds it up.
    Proved(String),
    /// It is not, and why.
    NotProved(String),
}

impl From<&Proof> for Proving {
    fn from(proof: &Proof) -> Self {
        if proof.proved { Self::Proved(proof.why.clone()) } else { Self::NotProved(proof.why.clone()) }
    }
}

/// What is gathered of a fixing.
#[derive(Default)]
struct Gathered {
    /// What it is called, and what it is; `None` while it was not added.
    named: Option<(String, FixingSpec)>,
    batch: Option<Batch>,
    /// Whether the log holds a signed release of it.
    released: bool,
    deeds: Vec<Deed>,
    /// Whether its working time runs.
    works: bool,
    seat_by: Option<Instant>,
}

/// What is gathered while a session is replayed.
#[derive(Default)]
struct Gathering {
    fixings: BTreeMap<FixingNumber, Gathered>,
    readings: Readings,
    losses: Vec<Loss>,
    lowest_supply: Option<(u16, Instant)>,
    restarts: Vec<(Option<i64>, Darkness)>,
    wall: Wall,
    story: Story,
    /// What the engine told of the item at hand.
    told: Vec<Event>,
    as_of: Option<i64>,
}

impl Gathering {
    fn take(&mut self, replay: &Replay, read: &ItemRead, outcome: Outcome) {
        let told = std::mem::take(&mut self.told);
        self.readings.take(&read.item, outcome);
        let at = match &read.item {
            Item::Reading { at, .. } | Item::Unusable { at, .. } | Item::Missing { at, .. } => Some(*at),
            Item::Refused { .. } => None,
            Item::Record(record) => self.record(replay, record, outcome, told),
        };
        self.as_of = self.as_of.max(at.map(Instant::seconds));
        let Some(group) = replay.group() else { return };
        for (number, fixing) in self.fixings.iter_mut().filter(|(_, fixing)| fixing.works) {
            let status = group.status(*number);
            fixing.works = status.is_some_and(|status| matches!(status.stage, Stage::Working));
            fixing.seat_by = status.and_then(|status| status.seat_by).or(fixing.seat_by);
        }
    }

    fn of(&mut self, fixing: FixingNumber) -> &mut Gathered {
        self.fixings.entry(fixing).or_default()
    }

    fn record(&mut self, replay: &Replay, record: &Record, outcome: Outcome, events: Vec<Event>) -> Option<Instant> {
        self.wall.take(replay, record);
        match record {
            Record::Fixing(fixing) => {
                let label = fixing_name(fixing.label.text(), fixing.number.place());
                self.of(fixing.number).named.get_or_insert((label, fixing.spec));
            }
            Record::Batch(batch) => self.of(batch.fixing).batch = Some(*batch),
            Record::Release { fixing, .. } => self.of(*fixing).released = true,
            Record::Action { at, fixing, action } => {
                let verdict = match outcome {
                    Outcome::Step(verdict) => verdict,
                    Outcome::Agrees | Outcome::Noted => Verdict::Done,
                };
                let reading = replay.group().and_then(Group::last_reading);
                let status = replay.group().and_then(|group| group.status(*fixing));
                let stage = status.map_or(StageWord::Planned, |status| stage_word(&status.stage));
                let gathered = self.of(*fixing);
                gathered.works |= matches!((action, verdict), (Action::Inject(_), Verdict::Done));
                gathered.deeds.push(Deed { at: *at, action: *action, verdict, stage, events, reading });
                return Some(*at);
            }
            Record::ClockTie(tie) => return Some(tie.at),
            Record::PowerUp { dark, .. } => self.restarts.push((self.as_of, *dark)),
            Record::Loss(loss) => {
                self.losses.push(*loss);
                return Some(loss.last);
            }
            Record::Supply { at, millivolts } => {
                let found = millivolts.unwrap_or(0);
                if self.lowest_supply.is_none_or(|(lowest, _)| found < lowest) {
                    self.lowest_supply = Some((found, *at));
                }
                return Some(*at);
            }
            Record::Identity(_)
            | Record::Resin(_)
            | Record::Job(_)
            | Record::Untrusted
            | Record::ReadOut { .. }
            | Record::Freed { .. }
            | Record::Stage { .. }
            | Record::CandidateAccepted { .. }
            | Record::Head { .. } => {}
        }
        None
    }

    fn session(self, first: u32, replay: &Replay, proofs: Option<&[Proof]>) -> Option<Session> {
        let (group, named) = (replay.group()?.clone(), replay.resin()?);
        let mut fixings = Vec::new();
        for (number, gathered) in self.fixings {
            let (Some((label, spec)), Some(status)) = (gathered.named, group.status(number)) else { continue };
            let proof = proofs.map(|proofs| proofs.iter().find(|proof| proof.place == Some((first, number))));
            let proving = match proof {
                _ if !gathered.released => Proving::NoRelease,
                None => Proving::NoKeys,
                Some(Some(proof)) => Proving::from(proof),
                Some(None) => Proving::NotProved(recorded(EvidencePhrase::UnknownFixing, &[])),
            };
            let Gathered { batch, deeds, seat_by, .. } = gathered;
            fixings.push(Fixing { number, label, spec, batch, status, deeds, seat_by, proving });
        }
        Some(Session {
            first_page: first,
            identity: *replay.identity()?,
            resin: ResinRecord {
                resin: group.resin().clone(),
                standing: named.standing,
                file: named.file,
                name: named.name,
            },
            job: *replay.job()?,
            group,
            wall: self.wall,
            readings: self.readings.all(),
            losses: self.losses,
            lowest_supply: self.lowest_supply,
            restarts: self.restarts,
            story: self.story,
            untrusted: trust_words(replay.trust()),
            as_of: self.as_of,
            fixings,
        })
    }
}

/// The sessions of an image, oldest first, and what is amiss with it. With a ring every release is held against it.
///
/// # Errors
/// Why it holds no log that can be read.
pub fn sessions(image: &[u8], ring: Option<&Ring>) -> Result<(Vec<Session>, Vec<String>), String> {
    let mut findings = Vec::new();
    let log =
        Log::open(image, &mut |finding| findings.push(finding_words(&finding))).map_err(|error| mount_error(&error))?;
    let mut sessions = Vec::new();
    for first in first_pages(&log) {
        match gather(&log, first, ring, &mut |finding| findings.push(finding_words(&finding)))? {
            Some(session) => sessions.push(session),
            None => findings.push(recorded(EvidencePhrase::PartOverwritten, &[("page", &first.to_string())])),
        }
    }
    findings.dedup();
    Ok((sessions, findings))
}

/// The session of an image that begins with page `first`; `None` where its beginning is missing.
///
/// # Errors
/// As [`sessions`].
pub fn session(image: &[u8], first: u32, ring: Option<&Ring>) -> Result<Option<Session>, String> {
    let log = Log::open(image, &mut |_| {}).map_err(|error| mount_error(&error))?;
    gather(&log, first, ring, &mut |_| {})
}

fn gather(
    log: &Log<'_>,
    first: u32,
    ring: Option<&Ring>,
    find: &mut dyn FnMut(Finding),
) -> Result<Option<Session>, String> {
    let gathering = RefCell::new(Gathering { story: Story::told(), ..Gathering::default() });
    let replay = log.replay(
        first,
        &mut |replay, _, _, (read, outcome)| gathering.borrow_mut().take(replay, read, outcome),
        find,
        &mut |event| {
            let mut gathering = gathering.borrow_mut();
            gathering.story.event(&event);
            gathering.told.push(event);
        },
    );
    let replay = replay.map_err(|error| mount_error(&error))?;
    // what is amiss was found above
    let proofs = ring.map(|ring| prove_session(log, first, ring, &mut |_| {})).transpose()?;
    Ok(gathering.into_inner().session(first, &replay, proofs.as_deref()))
}
