//! What two pieces of evidence say differently.

use holdoff_files::stamp::Clock;
use serde::{Deserialize, Serialize};

/// An instant of a logger's clock, and the wall clock that labels it.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Dated {
    /// Seconds of the logger's clock.
    pub at_s: i64,
    /// The wall clock; `None` where it is not known.
    pub clock: Option<Clock>,
}

/// What a piece of evidence says otherwise than other evidence of its device.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(tag = "code", rename_all = "kebab-case")]
pub enum Contradiction {
    /// The memory has another time of injection for its seating.
    OtherInjection,
    /// The memory calls its fixing something else.
    OtherLabel {
        /// What it calls it.
        label: String,
    },
    /// The memory has the fixing rejected before the instant that the code speaks for.
    RejectedBefore {
        /// When.
        rejected: Dated,
    },
    /// The memory reaches beyond the release, and holds no such release.
    NoSuchRelease {
        /// How far it reaches.
        as_of: Dated,
        /// The instant that the code speaks for.
        released: Dated,
    },
    /// The memory covers the time of the seating, and knows no such seating.
    NoSuchSeating {
        /// When, by the code.
        seated: Dated,
    },
    /// Another release of the same fixing and time says otherwise.
    OtherRelease,
    /// The logger was read out over its line later, and what it holds now cannot be read.
    ReadOutDamaged,
    /// The engineer's signed decision on the fixing is of another rejection than the log has, or another decision.
    DecidedOtherwise,
    /// Two images of a logger differ from an item on, and neither grew out of the other.
    OtherHistory {
        /// The logger, in hexadecimal digits.
        device: String,
        /// The first page that differs.
        page: u32,
        /// Its first item that differs.
        item: u16,
    },
}

/// A piece of evidence that a register holds.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Piece {
    /// The file as it was named; empty of a code that was typed in.
    pub source: String,
    /// When it was taken in, seconds since 1970-01-01T00:00:00Z.
    pub taken_in: i64,
}

/// Two pieces of evidence that contradict each other.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Conflict {
    /// What they say differently.
    #[serde(flatten)]
    pub what: Contradiction,
    /// The one that was held before, and the one that came.
    pub pieces: [Piece; 2],
}
