//! Messages: what the PC can ask for, and what the logger answers.
//!
//! Coded with postcard (its wire format is published apart from the library): numbers as variable-length integers,
//! signed ones zigzag, texts and lists with their length before them, the cases of an enumeration numbered in the order
//! they stand in here. So cases and fields of a version never move, nor do those of the engine's own types that messages
//! carry (a test holds them against `docs/link.md`); what comes later gets a later version.
//! Temperatures are counts of 1/256 °C, times seconds; an *instant* is one on the logger's monotonic clock.
//!
//! Invariants: every message fits [`MOST_MESSAGE`](crate::frame::MOST_MESSAGE); texts are UTF-8.
//! What it does not do: judge. Whatever is read here may still be refused.

use crate::status::{ClockState, Fixing, Group};
use heapless::{String, Vec};
use holdoff_core::cure::Rule;
use holdoff_core::log::MOST_HOLDS;
use holdoff_core::quantity::Count;
use holdoff_core::resin::{Accrual, Band, Hole, Limits, MOST_BANDS, ResinUse};
use holdoff_core::seal::{CHALLENGE, MOST_SEALED_HEAD};
use serde::de::{Error, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};

/// Most bytes of the memory in one answer.
pub const PIECE: usize = 256;
/// Most batches of one job.
pub const MOST_BATCHES: usize = 4;

/// The greeting, in version 0: the same in every version to come.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum Greeting {
    /// The PC greets.
    Hello {
        /// The least version it understands.
        least: u8,
        /// The greatest version it understands.
        greatest: u8,
        /// The number of the talk, which the PC draws at random and keeps when it greets again after a break. Another
        /// number begins another talk: what was being loaded is dropped.
        talk: u32,
    },
}

/// The answer to a greeting, in version 0: the same in every version to come.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum Welcome {
    /// The logger greets. Where the two have no version in common, nothing else will be understood.
    Hello {
        /// The least version it understands.
        least: u8,
        /// The greatest version it understands.
        greatest: u8,
        /// The number of the talk.
        talk: u32,
        /// Whether the logger knows the talk.
        since: Since,
        /// Its firmware: major, minor, patch.
        firmware: [u8; 3],
        /// What it runs on.
        board: String<24>,
    },
    /// A frame was of a version that is not understood.
    Stranger {
        /// Its version.
        found: u8,
        /// The least version that is understood.
        least: u8,
        /// The greatest version that is understood.
        greatest: u8,
    },
}

/// Whether a talk goes on.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum Since {
    /// It begins: nothing is being loaded, and no request has acted.
    Now,
    /// It was broken off and goes on.
    Before,
}

/// What the PC asks for.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[allow(clippy::large_enum_variant, reason = "there is no heap; messages are made and read one at a time")]
pub enum Request {
    /// Who is it?
    Identity,
    /// What does its clock say?
    Clock,
    /// Set the clock. Refused while a fixing runs; recorded as a new tie of the clocks.
    SetClock {
        /// Seconds since 1970-01-01T00:00:00Z.
        utc: i64,
        /// Offset of local time, minutes.
        offset_minutes: i16,
    },
    /// How does its log stand?
    Log,
    /// How does the group stand?
    Group,
    /// How does a fixing stand?
    Fixing {
        /// Its number, from 0.
        number: u8,
    },
    /// A piece of the memory.
    Read {
        /// The first byte.
        offset: u32,
        /// How many, at most [`PIECE`].
        length: u16,
    },
    /// A job is to be loaded. Nothing takes effect before [`Request::Commit`]; what was being loaded is dropped. Refused
    /// while a fixing runs, like all that follows.
    Begin(Job),
    /// Its resin.
    Resin(Resin),
    /// One of its batches, numbered from 0.
    Batch(Batch),
    /// One of its fixings, numbered from 0.
    Fix(Planned),
    /// What was loaded takes effect, as a whole or not at all.
    Commit,
    /// The PC has a page of the log; the logger compares. Pages come in their order, from the first unread one on.
    Confirm {
        /// The page's number.
        page: u32,
        /// The SHA-256 of the 512 bytes of its home slot.
        #[serde(deserialize_with = "sum")]
        digest: [u8; 32],
    },
    /// Pages with a lower number are marked as read out. Only what was confirmed can be, and a session's own pages are
    /// kept all the same.
    SignOut {
        /// The first page that is not.
        below: u32,
    },
    /// Which ties of the clocks were in force when?
    Ties,
    /// Where does the log end? To be signed over these bytes, which the PC draws at random.
    Head {
        /// The bytes.
        challenge: [u8; CHALLENGE],
    },
}

/// What the logger answers.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[allow(clippy::large_enum_variant, reason = "there is no heap; messages are made and read one at a time")]
pub enum Answer {
    /// It is done.
    Done,
    /// It is not done, and nothing has changed.
    Refused(Refusal),
    /// To [`Request::Identity`].
    Identity(Identity),
    /// To [`Request::Clock`].
    Clock(Clock),
    /// To [`Request::Log`].
    Log(Log),
    /// To [`Request::Group`].
    Group(Group),
    /// To [`Request::Fixing`].
    Fixing(Fixing),
    /// To [`Request::Read`].
    Piece {
        /// The first byte.
        offset: u32,
        /// The bytes.
        bytes: Vec<u8, PIECE>,
    },
    /// To [`Request::Ties`]: the last ones, in the order they were begun.
    Ties(Vec<Tie, MOST_HOLDS>),
    /// To [`Request::Head`]: the sealed head.
    Head(Vec<u8, MOST_SEALED_HEAD>),
}

/// From an instant on, a tie of the clocks: it labels that instant and every later one until the next.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Tie {
    /// The first instant.
    pub from: i64,
    /// Seconds that the wall clock is ahead of the monotonic one, and the offset of local time in minutes; `None`: instants
    /// from here on have no date.
    pub clock: Option<(i64, i16)>,
}

/// Why a request is refused.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum Refusal {
    /// The request is not understood.
    Unknown,
    /// A fixing runs: it is between its injection and its end.
    Running {
        /// The first such, from 0.
        fixing: u8,
    },
    /// No job is loaded.
    NoJob,
    /// The memory holds no log of this logger that can be written on; see [`Log::state`].
    NoLog,
    /// The memory does not answer.
    Memory,
    /// The clock does not answer.
    Clock,
    /// That time or offset cannot be.
    Time,
    /// The memory has no room until it was read out and signed out.
    Full {
        /// Pages that can still be begun.
        left: u32,
    },
    /// That lies outside the memory, or is more than one piece.
    OutOfRange {
        /// The memory's size in bytes.
        size: u32,
    },
    /// Nothing is being loaded: begin again.
    NotLoading,
    /// The job has no such batch or fixing, or too many of them.
    Number,
    /// The job is not complete: its resin, a batch or a fixing is missing.
    Incomplete,
    /// The schedule fails a check of the resin file.
    Resin,
    /// A setting is out of its bounds, or no reading could ever follow the one before it in time.
    Settings,
    /// The resin does not permit the accrual rule.
    Accrual,
    /// The torque's least lies above its greatest, or both are zero.
    Torque,
    /// A name is empty, or holds what is no plain text.
    Text,
    /// The session's log cannot be trusted.
    Untrusted,
    /// Pages are confirmed one after another, from the first unread one on.
    Order {
        /// The page that is due.
        due: u32,
    },
    /// What the PC has of the page is not what stands in the memory.
    Differs {
        /// The page.
        page: u32,
    },
    /// Not all pages below were confirmed.
    Unconfirmed {
        /// The first that was not.
        page: u32,
    },
    /// The logger cannot do it now: it is starting, or its battery is too low.
    NotNow,
    /// The clock failed, and does not go: nothing is measured or recorded until it is set.
    ClockFailed,
    /// Fixings of the session are rejected, the engineer has not decided on them, and the job does not name them.
    Undecided {
        /// They, one bit each from 0.
        fixings: u16,
    },
    /// The request is of a talk that was not begun with this logger, or not since it started: greet first.
    OtherTalk,
    /// It has no key to sign with.
    NoKey,
}

/// What a frame of the PC carries from version 1 on: a request, and the talk that it belongs to.
///
/// Why: the plug may be put into another logger between two requests, without a break that anybody notices. That one knows
/// no such talk, so it answers nothing that could be taken for the first one's word, and does nothing that was meant for it.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Asked<R = Request> {
    /// The number of the talk, low byte first.
    pub talk: [u8; 4],
    /// What is asked.
    pub request: R,
}

impl<R> Asked<R> {
    /// In the talk of this number.
    pub const fn of(talk: u32, request: R) -> Self {
        Self { talk: talk.to_le_bytes(), request }
    }
}

/// Who the logger is.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Identity {
    /// Its number.
    pub device: [u8; 8],
    /// The public key that its releases are checked with; `None` where no key was put in.
    pub key: Option<[u8; 32]>,
    /// Its firmware: major, minor, patch.
    pub firmware: [u8; 3],
    /// What it runs on.
    pub board: String<24>,
    /// The version of its log.
    pub log_version: u8,
    /// Size of its memory in bytes.
    pub memory: u32,
    /// Bytes of a page of the log.
    pub page: u16,
}

/// What the clock says.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Clock {
    /// Seconds since 1970-01-01T00:00:00Z; `None` until it was set.
    pub utc: Option<i64>,
    /// Offset of local time, minutes.
    pub offset_minutes: i16,
    /// The same second on the monotonic clock.
    pub at: i64,
    /// What it does.
    pub state: ClockState,
}

/// How the memory's log stands.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Log {
    /// What there is.
    pub state: LogState,
    /// Pages that can still be begun.
    pub left: u32,
    /// Of these, pages that readings may not take.
    pub reserved: u32,
    /// All slots of the memory.
    pub slots: u32,
    /// Pages with a lower number were read out or freed.
    pub unread_from: u32,
    /// Where the log ends; `None` while there is none.
    pub head: Option<Head>,
}

/// What the memory holds.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum LogState {
    /// Nothing yet.
    Blank,
    /// A log, with a session that can be trusted.
    Trusted,
    /// A log, with a session that cannot be trusted.
    Untrusted,
    /// The log of another logger.
    Foreign,
    /// A log of a version, or for a memory, that this firmware does not write.
    Stranger,
    /// Something that is no log.
    NoLog,
    /// It does not answer.
    NoAnswer,
}

/// The end of the log: changes whenever something is recorded.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Head {
    /// The newest page.
    pub page: u32,
    /// How many items it has.
    pub items: u16,
    /// The first 12 bytes of its seal value after them.
    pub value: [u8; 12],
}

/// A job to be loaded.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Job {
    /// The SHA-256 of the job file.
    #[serde(deserialize_with = "sum")]
    pub file: [u8; 32],
    /// Expanded uncertainty of a reading, counts, rounded up.
    pub uncertainty: u16,
    /// The longest gap, seconds.
    pub longest_gap: u32,
    /// The clock allowance, ppm.
    pub clock_ppm: u16,
    /// How long the probe must have said nearly the same before a start, seconds, at most an hour.
    pub settle: u32,
    /// The rule.
    pub rule: Rule,
    /// Seconds between readings.
    pub period: u32,
    /// Offset of local time, minutes.
    pub offset_minutes: i16,
    /// How many batches follow, at most [`MOST_BATCHES`].
    pub batches: u8,
    /// How many fixings follow, 1 to 16.
    pub fixings: u8,
    /// Fixings of the session before, one bit each from 0, that stay rejected without a decision of the engineer. Any other
    /// such fixing is asked for by name: the job is refused.
    pub undecided: u16,
}

/// A resin to be loaded; rounded as `docs/cure-rules.md` says.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Resin {
    /// Its name.
    pub name: String<32>,
    /// The SHA-256 of the resin file.
    #[serde(deserialize_with = "sum")]
    pub file: [u8; 32],
    /// Whether it may be used on site.
    pub resin_use: ResinUse,
    /// Limits on the substrate.
    pub limits: Limits,
    /// Least and greatest cartridge temperature.
    pub cartridge: (Count, Count),
    /// Hole conditions allowed, one bit each: dry, wet, flooded.
    pub holes: u8,
    /// What a wet or flooded hole multiplies the cure time by.
    pub wet_factor: u8,
    /// Whether the accrual rule is permitted.
    pub accrual: Accrual,
    /// The schedule, coldest band first.
    pub bands: Vec<Band, MOST_BANDS>,
}

/// A resin batch to be loaded.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Batch {
    /// Its number in the job, from 0.
    pub number: u8,
    /// What is printed on the cartridge.
    pub text: String<24>,
    /// The first second past the date, UTC; `None` where undeclared.
    pub use_by: Option<i64>,
}

/// A fixing to be loaded.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Planned {
    /// Its number, from 0.
    pub number: u8,
    /// What it is called on site.
    pub label: String<16>,
    /// The hole as declared.
    pub hole: Hole,
    /// Least and greatest torque in 1/100 N·m; `None` where none is specified.
    pub torque: Option<(u32, u32)>,
    /// The number of its batch; `None` where undeclared.
    pub batch: Option<u8>,
}

/// Reads a sum of 32 bytes as serde itself does, but in a loop: serde reads an array byte by byte, each with code of its own.
fn sum<'de, D: Deserializer<'de>>(from: D) -> Result<[u8; 32], D::Error> {
    struct Sum;
    impl<'de> Visitor<'de> for Sum {
        type Value = [u8; 32];

        fn expecting(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
            formatter.write_str("32 bytes")
        }

        fn visit_seq<A: SeqAccess<'de>>(self, mut bytes: A) -> Result<[u8; 32], A::Error> {
            let mut made = [0; 32];
            for place in &mut made {
                *place = bytes.next_element()?.ok_or_else(|| A::Error::custom("short"))?;
            }
            Ok(made)
        }
    }
    from.deserialize_tuple(32, Sum)
}

impl Request {
    /// Whether it can change anything; such a request acts once, however often it is repeated.
    pub const fn acts(&self) -> bool {
        match self {
            Self::Identity
            | Self::Clock
            | Self::Log
            | Self::Group
            | Self::Fixing { .. }
            | Self::Read { .. }
            | Self::Ties
            | Self::Head { .. }
            | Self::Confirm { .. } => false,
            Self::SetClock { .. }
            | Self::Begin(_)
            | Self::Resin(_)
            | Self::Batch(_)
            | Self::Fix(_)
            | Self::Commit
            | Self::SignOut { .. } => true,
        }
    }
}
