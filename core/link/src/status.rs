//! How the group and its fixings stand, as the link tells it: enough for a table that lives.
//!
//! Why not the log itself: a foreman looks at it every few seconds, over a slow line. It is read off the engine's status
//! and says nothing that the logger's own screen does not; a record of it is the memory, read out.

use heapless::String;
use holdoff_core::cure::Rule;
use holdoff_core::fixing::StageWord;
use holdoff_core::resin::{Hole, ResinUse};
use serde::{Deserialize, Serialize};

/// How the group stands.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Group {
    /// What is loaded.
    pub loaded: Option<Loaded>,
    /// The instant it is now; `None` where the clock does not answer.
    pub now: Option<i64>,
    /// Seconds the wall clock is ahead of the monotonic one; `None` until the clock was set.
    pub ahead: Option<i64>,
    /// Offset of local time, minutes.
    pub offset_minutes: i16,
    /// The last accepted reading.
    pub reading: Option<Reading>,
    /// What the clock does.
    pub clock: ClockState,
    /// What the probe did last.
    pub probe: Probe,
    /// Whether a status rests on a log that can be trusted.
    pub trust: Trust,
    /// What becomes of readings.
    pub readings: Readings,
    /// The battery, millivolts; `None` where it could not be measured.
    pub battery_mv: Option<u16>,
}

/// What is loaded.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Loaded {
    /// The first page of its log.
    pub page: u32,
    /// How many fixings.
    pub fixings: u8,
    /// The SHA-256 of the job file.
    pub job: [u8; 32],
    /// The resin's name.
    pub resin: String<32>,
    /// The SHA-256 of the resin file.
    pub resin_file: [u8; 32],
    /// Whether it may be used on site.
    pub resin_use: ResinUse,
    /// The rule.
    pub rule: Rule,
    /// Expanded uncertainty of a reading, counts.
    pub uncertainty: u16,
    /// The longest gap, seconds.
    pub longest_gap: u32,
    /// The clock allowance, ppm.
    pub clock_ppm: u16,
    /// How long the probe must have said nearly the same before a start, seconds.
    pub settle: u32,
    /// Seconds between readings.
    pub period: u32,
    /// Readings accepted, refused, missing, lost.
    pub counts: (u64, u64, u64, u64),
}

/// A reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Reading {
    /// When.
    pub at: i64,
    /// The count.
    pub count: i16,
}

/// What the clock does.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum ClockState {
    /// It was set, and goes.
    Set,
    /// It goes, and was never set.
    Unset,
    /// It failed, was started again, and goes; it was not set since.
    Failed,
    /// It failed, and does not go: nothing is measured or recorded until it is set, or goes when it is tried again.
    Down,
    /// It does not answer.
    Silent,
}

/// What the probe did last.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum Probe {
    /// Nothing was asked of it yet.
    Unasked,
    /// It gave a reading.
    Answers,
    /// It did not answer.
    NoAnswer,
    /// It gave a value that cannot be used.
    Unusable,
    /// It has given the same value for six hours: is it still clipped on?
    Stuck,
}

/// Whether the log of the session can be trusted.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum Trust {
    /// It can.
    Trusted,
    /// It cannot: nothing will be released (rule E4).
    Untrusted,
}

/// What becomes of readings.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum Readings {
    /// They are recorded.
    Recorded,
    /// They are being lost: the memory is full or does not answer.
    Lost,
    /// None are taken: the logger starts, or waits for its clock.
    NotTaken,
}

/// How a fixing stands; times are instants.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Fixing {
    /// Its number, from 0.
    pub number: u8,
    /// What it is called on site.
    pub label: String<16>,
    /// Where it stands.
    pub stage: StageWord,
    /// Since when: the second of the cure, of the release or of the rejection.
    pub since: Option<i64>,
    /// Hole condition in force.
    pub hole: Hole,
    /// Start of the injection.
    pub injected_at: Option<i64>,
    /// Seating.
    pub seated_at: Option<i64>,
    /// While the working time runs: the last second at which it may be seated.
    pub seat_by: Option<i64>,
    /// The second of the cure.
    pub cured_at: Option<i64>,
    /// Forecast of the cure; none while held, or when the readings have stopped.
    pub announced_at: Option<i64>,
    /// Seconds required by the coldest-band rule.
    pub required: u64,
    /// Seconds served under it.
    pub served: u64,
    /// Seconds since seating that were counted.
    pub counted: u64,
    /// Seconds held.
    pub held: u64,
    /// Seconds not observed.
    pub unobserved: u64,
    /// What is accrued, in millionths of the whole, rounded down.
    pub accrued: u32,
    /// The coldest `low`, counts.
    pub coldest: Option<i32>,
    /// Grounds of a refusal or rejection, one bit each in the order of `reasons`.
    pub grounds: u32,
    /// Least and greatest torque in 1/100 N·m as specified.
    pub range: Option<(u32, u32)>,
    /// The last torque that was applied, 1/100 N·m.
    pub torque: Option<u32>,
    /// Whether its release is recorded and signed.
    pub release: Release,
}

/// Whether a release is on record.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub enum Release {
    /// None.
    None,
    /// Its signed record stands in the log.
    Recorded,
}
