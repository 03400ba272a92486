//! Points in time as RFC 3339 writes them, always with an offset from UTC.
//!
//! What for: the times of a trace and of the actions on a command line. Rule Q2 rounds readings and the start of an
//! injection down to a second and a seating up, so a stamp keeps whether anything follows the second, however many
//! digits that takes; and the offset it was written in, since "good through that day" and what is shown mean the
//! clock on the wall.
//!
//! Terms: *seconds* count from 1970-01-01T00:00:00Z without leap seconds. *Second 60* may be written only where a leap
//! second can be, at the end of June or December in UTC (RFC 3339 section 5.7), and counts as the second after it.
//!
//! Two ways lead to the same answer: [`Stamp::parse`] takes every form and says what is wrong with the rest;
//! [`Quick`] takes the two forms that loggers write from fixed places, and gives way to it otherwise.
//!
//! What it does not do: time zone names, local time without an offset, leap-second tables, read a clock.

mod clock;
mod error;
mod quick;
mod text;
mod wall;

pub use clock::Clock;
pub use error::StampError;
pub use quick::{Quick, QuickStamp, WINDOW};
pub use text::parse_date;
pub use wall::Wall;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime, SecondsFormat};
use holdoff_core::quantity::Instant;

/// A point in time with the offset it was written in.
///
/// Order and equality are not derived: two stamps of one instant may be written in different offsets.
#[derive(Clone, Copy, Debug)]
pub struct Stamp {
    /// Whole seconds since 1970-01-01T00:00:00Z, rounded down.
    seconds: i64,
    /// Nanoseconds after that second, rounded down, but 1 when all that is written lies below a nanosecond: not zero
    /// exactly where the stamp is not a whole second.
    nanos: u32,
    /// Seconds the local clock is ahead of UTC, within ±86 340.
    offset_seconds: i32,
}

impl Stamp {
    /// Reads an RFC 3339 date and time. `t`, `z` and a space instead of `T` are accepted; an offset is required.
    ///
    /// # Errors
    /// [`StampError`], telling a missing offset, a date that does not exist and a wrong form apart.
    pub fn parse(text: &str) -> Result<Self, StampError> {
        text::parse(text.as_bytes())
    }

    /// The same from bytes.
    ///
    /// # Errors
    /// As [`Stamp::parse`].
    pub fn from_bytes(text: &[u8]) -> Result<Self, StampError> {
        text::parse(text)
    }

    /// Whole seconds since 1970-01-01T00:00:00Z, rounded down.
    pub const fn floor_seconds(self) -> i64 {
        self.seconds
    }

    /// Whole seconds since 1970-01-01T00:00:00Z, rounded up.
    pub const fn ceil_seconds(self) -> i64 {
        if self.nanos > 0 { self.seconds + 1 } else { self.seconds }
    }

    /// Nanoseconds after [`Stamp::floor_seconds`]; zero exactly for a whole second.
    pub const fn nanos(self) -> u32 {
        self.nanos
    }

    /// Seconds the local clock is ahead of UTC.
    pub const fn offset_seconds(self) -> i32 {
        self.offset_seconds
    }

    /// The date on a calendar in the stamp's own offset.
    pub fn local_date(self) -> NaiveDate {
        local_date(self.seconds, self.offset_seconds)
    }
}

/// The date on a calendar where the local clock is `offset_seconds` ahead of UTC. Instants beyond the calendar's
/// range (±262 000 years) get its first or last day.
pub fn local_date(seconds: i64, offset_seconds: i32) -> NaiveDate {
    let local = seconds.saturating_add(i64::from(offset_seconds));
    let beyond = if local < 0 { NaiveDate::MIN } else { NaiveDate::MAX };
    DateTime::from_timestamp(local, 0).map_or(beyond, |moment| moment.date_naive())
}

/// Seconds from 1970-01-01T00:00:00Z to the first second of a day, as if the clock on the wall showed UTC.
pub fn midnight(day: NaiveDate) -> i64 {
    day.and_time(NaiveTime::MIN).and_utc().timestamp()
}

/// From when on what is good through a day is past it (rule A1), where the clock is `offset_seconds` ahead of UTC.
pub fn past_from(day: NaiveDate, offset_seconds: i32) -> Instant {
    let next = midnight(day.succ_opt().unwrap_or(day));
    Instant::from_seconds(next.saturating_sub(i64::from(offset_seconds)))
}

/// An instant in RFC 3339, whole seconds, as the clock shows it where it is `offset_seconds` ahead of UTC; `Z` for no
/// offset.
///
/// Instants after the year 9999 get a longer year with a sign, which RFC 3339 does not know; beyond ±262 000 years,
/// or with an offset of a day or more, the bare count of seconds is written.
pub fn format_seconds(seconds: i64, offset_seconds: i32) -> String {
    match (DateTime::from_timestamp(seconds, 0), FixedOffset::east_opt(offset_seconds)) {
        (Some(moment), Some(offset)) if moment.checked_add_signed(offset_span(offset)).is_some() => {
            moment.with_timezone(&offset).to_rfc3339_opts(SecondsFormat::Secs, true)
        }
        _ => format!("{seconds} s after 1970-01-01T00:00:00Z"),
    }
}

/// An offset from UTC of whole minutes as RFC 3339 writes it: `+01:00`; `+00:00` for none.
pub fn offset_text(offset_seconds: i32) -> String {
    let (sign, minutes) = (if offset_seconds < 0 { '-' } else { '+' }, offset_seconds.unsigned_abs() / 60);
    format!("{sign}{:02}:{:02}", minutes / 60, minutes % 60)
}

fn offset_span(offset: FixedOffset) -> chrono::TimeDelta {
    chrono::TimeDelta::seconds(i64::from(offset.local_minus_utc()))
}

#[cfg(test)]
mod tests;
