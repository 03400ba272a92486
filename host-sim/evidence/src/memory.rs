//! What a memory image holds: one model, from which every output is told.
//!
//! Terms: a *session* is a logger's group from its loading on; a *stump* is what is left of one whose beginning is missing,
//! so that no engine can run over it; *coverage* is how far signatures of known keys bind what was recorded.
//! Invariants: stages, seconds and grounds are the engine's, run again over the raw readings; what was recorded of them is
//! evidence that the replay compares, and nothing here is read off it.

use super::contradiction::Conflict;
use super::cover::Cover;
use super::doubt::NotProved;
use super::finding::{Finding, Untrusted};
use super::head::Answered;
use super::proof::ProvedBy;
use super::readings::Reading;
use crate::decision::Decided;
use crate::keys::to_hex;
use holdoff_core::fixing::{Action, FixingSpec, Stage, Status};
use holdoff_core::group::{Darkness, Event, FixingNumber, Group, Verdict};
use holdoff_core::log::{Batch, Identity, Item, Job, Loss, ResinRecord, Source, StageSeen, StageWord};
use holdoff_core::quantity::{Count, Instant};
use holdoff_core::seal::ReleaseRecord;
use holdoff_files::deeds::called;
use holdoff_files::stamp::{Clock, Wall};
use holdoff_site::replay::Story;

/// A page of the log, by its seal value.
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

/// A place in a log: a page, and an item of it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct LogPlace {
    /// Number of the page.
    pub page: u32,
    /// Place of the item in it, from 0.
    pub item: u16,
}

/// What an image holds.
#[derive(Debug)]
pub struct Memory {
    /// Bytes of the memory.
    pub capacity: u32,
    /// Bytes that readings take, with header and trailer of every page that holds one.
    pub reading_bytes: u64,
    /// Pages in the order of their numbers; a missing one is missing here too.
    pub pages: Vec<PageSeen>,
    /// What is amiss, each once.
    pub findings: Vec<Finding>,
    /// Sessions, the oldest first.
    pub sessions: Vec<Session>,
    /// What is left of sessions whose beginning is missing, the oldest first.
    pub stumps: Vec<Stump>,
}

/// What is left of a session whose beginning is missing.
#[derive(Debug)]
pub struct Stump {
    /// Number of its first page.
    pub first_page: u32,
    /// Number of its last page, and how many items that has.
    pub end: (u32, u16),
    /// Why it cannot be trusted.
    pub why: Untrusted,
    /// Whether the log has gone over its beginning since, as it may.
    pub overwritten: Overwritten,
    /// What labels its instants.
    pub wall: Wall,
    /// Its items; empty unless asked for.
    pub items: Vec<(LogPlace, Item)>,
}

/// Whether the beginning of a session was overwritten by what came later.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Overwritten {
    /// It was.
    Yes,
    /// It should still be there.
    No,
}

/// A session.
#[derive(Debug)]
pub struct Session {
    /// Number of the first page.
    pub first_page: u32,
    /// Number of the last page, and how many items that has.
    pub end: (u32, u16),
    /// The logger, and where the readings come from.
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
    pub readings: Vec<Reading>,
    /// Readings that could not be recorded.
    pub losses: Vec<Loss>,
    /// The lowest supply of the probe and when, where the log tells of any; 0 mV where it could not be measured.
    pub lowest_supply: Option<(u16, Instant)>,
    /// Restarts: when the last item before was, and whether the length of the dark time is known.
    pub restarts: Vec<(Option<i64>, Darkness)>,
    /// Events, and stretches that did not count.
    pub story: Story,
    /// Why its log cannot be trusted; `None` when it can.
    pub untrusted: Option<Untrusted>,
    /// Time of the first thing recorded.
    pub began: Option<i64>,
    /// Time of the last thing recorded.
    pub as_of: Option<i64>,
    /// Its fixings by their numbers.
    pub fixings: Vec<Fixing>,
    /// Its signed releases in their order.
    pub releases: Vec<Release>,
    /// Why a signature in it fails: none of it is believed then. `None` where none does, or no keys were given.
    pub failed: Option<NotProved>,
    /// How far signatures of known keys cover it.
    pub cover: Cover,
    /// When the logger itself signed that the session ends where it does; `None` where nothing says so.
    pub answered: Option<Answered>,
    /// Its items; empty unless asked for.
    pub items: Vec<(LogPlace, Item)>,
}

impl Session {
    /// The device, in hexadecimal digits.
    pub fn device(&self) -> String {
        to_hex(&self.identity.device.0)
    }

    /// Whether its readings come from a recorded trace, and not from a logger's probe.
    pub const fn is_of_trace(&self) -> bool {
        matches!(self.identity.source, Source::Trace)
    }
}

/// A fixing of a session.
#[derive(Debug)]
pub struct Fixing {
    /// Its number in the group.
    pub number: FixingNumber,
    /// What it is called; empty where it has no label.
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
    /// Where the log has its stage from; `None` where that is not recorded yet.
    pub stage_at: Option<LogPlace>,
    /// What holding its release against the keys came to.
    pub proving: Proving,
    /// What other evidence says otherwise, where a register holds any.
    pub conflicts: Vec<Conflict>,
    /// The signed decision on it that whoever holds it beside the log has.
    pub decided: Option<Decided>,
}

impl Fixing {
    /// What a job file calls it: its label, or its number in English where it has none.
    pub fn called(&self) -> String {
        called(&self.label, self.number.place() as u8)
    }

    /// Its stage as a record names it.
    pub fn seen(&self) -> StageSeen {
        StageSeen::of(self.status.stage, self.status.grounds)
    }
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

/// A signed release as it stands in a log.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Release {
    /// The fixing under which it stands.
    pub fixing: FixingNumber,
    /// Where.
    pub place: LogPlace,
    /// Record and signature.
    pub sealed: Vec<u8>,
    /// What it says, verified or not; `None` where it cannot be read.
    pub record: Option<ReleaseRecord>,
    /// What its signature came to.
    pub held: Held,
}

/// What holding a signature in a log against keys came to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Held {
    /// No keys were given.
    NoKeys,
    /// It is that of a known key, over this very log, and the engine agrees with what it says.
    Holds {
        /// What the key is called.
        key: String,
        /// What it binds: everything before.
        binds: LogPlace,
    },
    /// It does not hold, or the engine makes something else of the readings.
    Fails {
        /// Why.
        why: NotProved,
    },
}

impl Held {
    /// Why the signature fails; `None` where it does not, or no keys were given.
    pub(super) const fn failed(&self) -> Option<&NotProved> {
        match self {
            Self::Fails { why } => Some(why),
            Self::NoKeys | Self::Holds { .. } => None,
        }
    }
}

/// What holding the release of a fixing against keys came to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Proving {
    /// The log holds no signed release of it.
    NoRelease,
    /// No keys were given.
    NoKeys,
    /// It is proved, and what holds it up.
    Proved(ProvedBy),
    /// It is not proved, and why.
    NotProved(NotProved),
}

impl Proving {
    /// Of the releases of a fixing, in their order, as its session stands.
    pub(super) fn of(releases: &[&Release], status: &Status, untrusted: Option<Untrusted>) -> Self {
        let Some(last) = releases.last() else { return Self::NoRelease };
        // a second record cannot mend a bad one, nor a bad one be followed by a good one
        let worst = releases.iter().find(|release| matches!(release.held, Held::Fails { .. })).unwrap_or(last);
        let key = match (&worst.held, untrusted) {
            (Held::NoKeys, _) => return Self::NoKeys,
            (Held::Fails { .. } | Held::Holds { .. }, Some(why)) => {
                return Self::NotProved(NotProved::LogUntrusted { why });
            }
            (Held::Fails { why }, None) => return Self::NotProved(why.clone()),
            (Held::Holds { key, .. }, None) => key,
        };
        let (Stage::Released(_) | Stage::Cured(_)) = status.stage else {
            return Self::NotProved(NotProved::ReleasedAndSince { stage: StageWord::of(&status.stage) });
        };
        match &last.record {
            // a cure may have been withdrawn since, and another one come after it
            Some(record) if status.hole == record.hole() && status.cured_at == Some(record.cured_at()) => {
                Self::Proved(ProvedBy::Log { key: key.clone() })
            }
            Some(_) | None => Self::NotProved(NotProved::CureMovedSince),
        }
    }
}

/// Where a log ends.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct End {
    /// Number of the last page, and how many items it holds.
    pub place: (u32, u16),
    /// Time of the last thing recorded, on the logger's clock.
    pub at: Option<i64>,
    /// The wall clock that labels it.
    pub clock: Option<Clock>,
    /// When the logger itself signed that nothing followed; `None` where nothing signed says so.
    pub answered: Option<Answered>,
}

impl End {
    /// Of a session.
    pub fn of(session: &Session) -> Self {
        let clock = session.as_of.and_then(|at| session.wall.clock(at));
        Self { place: session.end, at: session.as_of, clock, answered: session.answered }
    }
}
