//! What can be wrong with a date and time.

use thiserror::Error;

/// Why a text is no point in time.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Error)]
pub enum StampError {
    /// Nothing there.
    #[error("is empty where a time is needed")]
    Empty,
    /// Not of the form at all.
    #[error("is not a time in RFC 3339 form (from character {character} on)")]
    Form {
        /// The first character that does not fit, from 1; one behind the end where the text stops short.
        character: usize,
    },
    /// Hours and minutes without seconds.
    #[error("has no seconds")]
    SecondsMissing,
    /// No offset from UTC.
    #[error("has no offset from UTC, so it could be any of 24 hours")]
    OffsetMissing,
    /// A day that is in no calendar.
    #[error("names a day that does not exist ({year:04}-{month:02}-{day:02})")]
    NoSuchDay {
        /// Year as written.
        year: u16,
        /// Month as written.
        month: u8,
        /// Day as written.
        day: u8,
    },
    /// An hour over 23.
    #[error("has hour {hour:02}, which no day has")]
    Hour {
        /// As written.
        hour: u8,
    },
    /// A minute over 59.
    #[error("has minute {minute:02}, which no hour has")]
    Minute {
        /// As written.
        minute: u8,
    },
    /// A second over 60.
    #[error("has second {second:02}, which no minute has")]
    Second {
        /// As written.
        second: u8,
    },
    /// Second 60 where no leap second can be.
    #[error("has second 60 where no leap second can be")]
    NoLeapSecond,
    /// An offset beyond ±23:59.
    #[error("has an offset of a day or more")]
    Offset,
    /// Not a date of the form `YYYY-MM-DD`.
    #[error("is not a date")]
    DateForm,
}

impl StampError {
    /// What to do about it, a sentence without a full stop.
    pub fn remedy(self) -> &'static str {
        match self {
            Self::Empty | Self::Form { .. } | Self::Minute { .. } | Self::Second { .. } => {
                "write date, time and offset from UTC like 2026-11-25T07:30:00+01:00 or 2026-11-25T06:30:00Z"
            }
            Self::SecondsMissing => "write the seconds too, like 07:30:00",
            Self::OffsetMissing => "add Z for UTC, or an offset like +01:00",
            Self::NoSuchDay { .. } => "write a day that exists, as year-month-day",
            Self::Hour { hour: 24 } => "write the end of the day as 00:00:00 of the day after",
            Self::Hour { .. } => "write hours from 00 to 23",
            Self::NoLeapSecond => {
                "write second 59 or the minute after; 60 exists only at the end of June and December UTC"
            }
            Self::Offset => "write an offset from -23:59 to +23:59",
            Self::DateForm => "write year, month and day like 2026-11-25",
        }
    }
}
