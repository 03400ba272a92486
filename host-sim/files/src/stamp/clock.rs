//! How the clock on the wall lies to a logger's own.

use super::format_seconds;
use holdoff_core::log::ClockTie;
use holdoff_core::seal::WallClock;
use serde::{Deserialize, Serialize};

/// The wall clock of a logger, as it was tied.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct Clock {
    /// Seconds since 1970-01-01T00:00:00Z less seconds of the monotonic clock.
    pub ahead: i64,
    /// Seconds that local time is ahead of UTC.
    pub offset_seconds: i32,
}

impl Clock {
    /// With the offset of local time in minutes, as loggers keep it.
    pub const fn tied(ahead: i64, offset_minutes: i16) -> Self {
        Self { ahead, offset_seconds: offset_minutes as i32 * 60 }
    }

    /// That of a signed release; `None` where it was not known.
    pub const fn of_release(clock: WallClock) -> Option<Self> {
        match clock {
            WallClock::Tied { ahead, offset_minutes } => Some(Self::tied(ahead, offset_minutes)),
            WallClock::Unknown => None,
        }
    }

    /// Seconds since 1970-01-01T00:00:00Z of an instant of the monotonic clock.
    pub const fn utc(self, at: i64) -> i64 {
        at.saturating_add(self.ahead)
    }

    /// An instant of the monotonic clock in RFC 3339 with its offset, as [`format_seconds`] writes it.
    pub fn stamp(self, at: i64) -> String {
        format_seconds(self.utc(at), self.offset_seconds)
    }
}

impl From<ClockTie> for Clock {
    fn from(tie: ClockTie) -> Self {
        Self::tied(tie.utc.saturating_sub(tie.at.seconds()), tie.offset_minutes)
    }
}
