//! What a logger says that no logger of this program can mean.
//!
//! What for: a fault, another firmware or a forger at the plug is told as such. Nothing of it is left out, made fit or taken
//! for a status that lets somebody load.
//! What it does not do: judge a cure. That a status is possible does not make it true; the signed record does.

use super::status::GroupStatus;
use holdoff_core::fixing::{Grounds, TorqueRange};
use holdoff_core::group::MOST_FIXINGS;
use holdoff_core::log::StageWord;
use holdoff_core::quantity::Torque;
use holdoff_link::message::Log;
use holdoff_link::status::{Fixing, Group, Release};

/// Seconds of thirty years: no cure, gap or hold is as long.
const LONGEST: u64 = 30 * 366 * 86_400;
/// More readings than a logger takes in thirty years, one a second.
const MOST_READINGS: u64 = LONGEST;

/// Said of the logger as a whole: nothing else that it says can be taken up then.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Beyond {
    /// A memory of a size that no log has.
    Memory {
        /// Its bytes.
        bytes: u32,
    },
    /// More pages that were not read out than the memory has.
    Pages {
        /// The first that was not read out.
        from: u32,
        /// The newest.
        newest: u32,
        /// All slots.
        slots: u32,
    },
    /// More fixings than a group has, or none.
    Fixings {
        /// How many.
        count: u8,
    },
    /// The status of another fixing than the one that was asked for.
    OtherFixing {
        /// Asked for, from 0.
        asked: u8,
        /// Told, from 0.
        told: u8,
    },
    /// An end of the log that is not signed by the key that the logger names, not over what was asked, or not the end it tells.
    Unsigned,
}

impl Beyond {
    /// What is beyond bounds in how many fixings a group has.
    pub(super) fn of_group(group: &Group) -> Option<Self> {
        let count = group.loaded.as_ref()?.fixings;
        (usize::from(count) > MOST_FIXINGS || count == 0).then_some(Self::Fixings { count })
    }

    /// What is beyond bounds in the pages of a log, in a memory of so many slots.
    pub(super) fn of_log(log: &Log, slots: u32) -> Option<Self> {
        let newest = log.head?.page;
        let from = log.unread_from;
        (newest.saturating_sub(from) >= slots.max(1)).then_some(Self::Pages { from, newest, slots })
    }
}

impl std::fmt::Display for Beyond {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Memory { bytes } => write!(formatter, "a memory of {bytes} bytes"),
            Self::Pages { from, newest, slots } => {
                write!(formatter, "pages {from} to {newest} still to be read out of a memory that has {slots}")
            }
            Self::Unsigned => {
                write!(formatter, "an end of its log that its key does not sign for this reader")
            }
            Self::Fixings { count } => {
                write!(formatter, "a group of {count} fixings, where 1 to {MOST_FIXINGS} can be")
            }
            Self::OtherFixing { asked, told } => {
                let [asked, told] = [asked, told].map(|number| u16::from(*number) + 1);
                write!(formatter, "the status of fixing {told} when asked for fixing {asked}")
            }
        }
    }
}

/// Said of a fixing, and not to be believed as it stands.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Doubt {
    /// Refused or rejected, and no ground is given.
    NoGround,
    /// A ground that this program does not know.
    UnknownGround,
    /// Released, by a logger that has a key, and no signed record stands in its log.
    NotRecorded,
    /// A stage without the time it began at.
    NoTime,
    /// Times in an order that cannot be, or later than the logger's own clock.
    Times,
    /// A torque that does not go with the stage, or a specification that is none.
    Torque,
    /// Numbers of seconds or shares that no cure has.
    Numbers,
}

impl Doubt {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::NoGround,
        Self::UnknownGround,
        Self::NotRecorded,
        Self::NoTime,
        Self::Times,
        Self::Torque,
        Self::Numbers,
    ];

    /// The short fixed word of `docs/interfaces.md`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::NoGround => "no-ground",
            Self::UnknownGround => "unknown-ground",
            Self::NotRecorded => "not-recorded",
            Self::NoTime => "no-time",
            Self::Times => "times",
            Self::Torque => "torque",
            Self::Numbers => "numbers",
        }
    }

    /// What is to be doubted in the status of a fixing.
    pub fn of(standing: &GroupStatus, fixing: &Fixing) -> Vec<Self> {
        let applies = |doubt: &Self| match doubt {
            Self::NoGround => {
                let needed = match fixing.stage {
                    StageWord::Refused | StageWord::Rejected | StageWord::AcceptedAsIs | StageWord::Removed => true,
                    StageWord::Planned
                    | StageWord::Working
                    | StageWord::Curing
                    | StageWord::Held
                    | StageWord::Cured
                    | StageWord::Released => false,
                };
                needed && fixing.grounds == 0
            }
            Self::UnknownGround => Grounds::from_bits(fixing.grounds).is_none(),
            Self::NotRecorded => {
                let signs = standing.identity.key.is_some();
                signs && fixing.stage == StageWord::Released && fixing.release == Release::None
            }
            Self::NoTime => lacks_time(fixing),
            Self::Times => times_cannot_be(fixing, standing.group.now),
            Self::Torque => torque_cannot_be(fixing),
            Self::Numbers => {
                let seconds = [fixing.required, fixing.served, fixing.counted, fixing.held, fixing.unobserved];
                seconds.iter().any(|seconds| *seconds > LONGEST)
            }
        };
        Self::ALL.into_iter().filter(applies).collect()
    }
}

/// The grounds of a fixing that this program knows.
pub(super) fn known_grounds(fixing: &Fixing) -> Grounds {
    let known = (0..u32::BITS).map(|bit| fixing.grounds & 1 << bit);
    known.filter_map(Grounds::from_bits).fold(Grounds::NONE, Grounds::and)
}

/// Whether readings are counted as no logger can have counted them.
pub(super) fn counts_cannot_be(group: &Group) -> bool {
    let Some(loaded) = &group.loaded else { return false };
    let (accepted, refused, missing, lost) = loaded.counts;
    [accepted, refused, missing, lost].iter().any(|count| *count > MOST_READINGS)
}

const fn lacks_time(fixing: &Fixing) -> bool {
    match fixing.stage {
        StageWord::Planned | StageWord::Refused => false,
        StageWord::Working => fixing.injected_at.is_none(),
        StageWord::Curing | StageWord::Held => fixing.injected_at.is_none() || fixing.seated_at.is_none(),
        StageWord::Cured | StageWord::Released => {
            fixing.since.is_none() || fixing.seated_at.is_none() || fixing.cured_at.is_none()
        }
        StageWord::Rejected | StageWord::AcceptedAsIs | StageWord::Removed => fixing.since.is_none(),
    }
}

fn times_cannot_be(fixing: &Fixing, now: Option<i64>) -> bool {
    let cured = match fixing.stage {
        StageWord::Cured | StageWord::Released => fixing.cured_at,
        // a cure that was withdrawn, or that a rejection is dated back before
        StageWord::Planned
        | StageWord::Refused
        | StageWord::Working
        | StageWord::Curing
        | StageWord::Held
        | StageWord::Rejected
        | StageWord::AcceptedAsIs
        | StageWord::Removed => None,
    };
    let happened = [fixing.injected_at, fixing.seated_at, cured];
    let times: Vec<i64> = happened.into_iter().flatten().collect();
    let late = now.is_some_and(|now| times.iter().chain(&fixing.since).any(|at| *at > now));
    let order = times.iter().zip(times.iter().skip(1)).any(|(before, after)| before > after);
    late || order
}

fn torque_cannot_be(fixing: &Fixing) -> bool {
    let torque = Torque::from_hundredths;
    let range = fixing.range.map(|(least, greatest)| TorqueRange::new(torque(least), torque(greatest)));
    let released = fixing.stage == StageWord::Released;
    // a release is a torque as specified; one that was applied once more may be another
    range == Some(None) || released && (range.is_none() || fixing.torque.is_none())
}
