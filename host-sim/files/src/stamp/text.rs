//! Every form of a stamp, read field by field.

use super::{Stamp, StampError, midnight};
use chrono::{Datelike, NaiveDate};

const DAY: i64 = 86_400;

/// Reads fields off the front of a text and knows how far it has come.
struct Fields<'a> {
    rest: &'a [u8],
    taken: usize,
}

impl Fields<'_> {
    fn form(&self) -> StampError {
        StampError::Form { character: self.taken + 1 }
    }

    /// Exactly `count` digits.
    fn digits(&mut self, count: usize) -> Result<u16, StampError> {
        let mut value = 0;
        for _ in 0..count {
            let [digit @ b'0'..=b'9', rest @ ..] = self.rest else { return Err(self.form()) };
            value = value * 10 + u16::from(digit - b'0'); // four at most
            (self.rest, self.taken) = (rest, self.taken + 1);
        }
        Ok(value)
    }

    fn two(&mut self) -> Result<u8, StampError> {
        self.digits(2).map(|value| value as u8) // below 100
    }

    /// One of these bytes.
    fn one_of(&mut self, wanted: &[u8]) -> Result<u8, StampError> {
        match self.rest {
            [byte, rest @ ..] if wanted.contains(byte) => {
                (self.rest, self.taken) = (rest, self.taken + 1);
                Ok(*byte)
            }
            _ => Err(self.form()),
        }
    }

    fn date(&mut self) -> Result<(u16, u8, u8), StampError> {
        let year = self.digits(4)?;
        self.one_of(b"-")?;
        let month = self.two()?;
        self.one_of(b"-")?;
        Ok((year, month, self.two()?))
    }

    /// Nanoseconds, rounded down but not to zero when a digit further on is not zero.
    fn fraction(&mut self) -> Result<u32, StampError> {
        if self.one_of(b".").is_err() {
            return Ok(0);
        }
        let count = self.rest.iter().take_while(|byte| byte.is_ascii_digit()).count();
        if count == 0 {
            return Err(self.form());
        }
        let (digits, rest) = self.rest.split_at(count);
        (self.rest, self.taken) = (rest, self.taken + count);
        let mut nanos = 0;
        for place in 0..9 {
            nanos = nanos * 10 + digits.get(place).map_or(0, |digit| u32::from(digit - b'0'));
        }
        let rest = digits.iter().skip(9).any(|digit| *digit != b'0');
        Ok(if rest { nanos.max(1) } else { nanos })
    }

    /// Seconds ahead of UTC.
    fn offset(&mut self) -> Result<i32, StampError> {
        if self.rest.is_empty() {
            return Err(StampError::OffsetMissing);
        }
        let sign = match self.one_of(b"Zz+-")? {
            b'+' => 1,
            b'-' => -1,
            _ => return Ok(0),
        };
        let hours = self.two()?;
        self.one_of(b":")?;
        let minutes = self.two()?;
        if hours > 23 || minutes > 59 {
            return Err(StampError::Offset);
        }
        Ok(sign * (i32::from(hours) * 3600 + i32::from(minutes) * 60))
    }
}

pub(super) fn parse(text: &[u8]) -> Result<Stamp, StampError> {
    if text.is_empty() {
        return Err(StampError::Empty);
    }
    let mut fields = Fields { rest: text, taken: 0 };
    let (year, month, day) = fields.date()?;
    fields.one_of(b"Tt ")?;
    let hour = fields.two()?;
    fields.one_of(b":")?;
    let minute = fields.two()?;
    if matches!(fields.rest, [] | [b'Z' | b'z' | b'+' | b'-', ..]) {
        return Err(StampError::SecondsMissing);
    }
    fields.one_of(b":")?;
    let second = fields.two()?;
    let nanos = fields.fraction()?;
    let offset_seconds = fields.offset()?;
    if !fields.rest.is_empty() {
        return Err(fields.form());
    }
    // the form holds; now whether it exists
    let midnight = midnight(calendar(year, month, day)?);
    match (hour, minute, second) {
        (24.., _, _) => return Err(StampError::Hour { hour }),
        (_, 60.., _) => return Err(StampError::Minute { minute }),
        (_, _, 61..) => return Err(StampError::Second { second }),
        _ => {}
    }
    let in_day = i64::from(hour) * 3600 + i64::from(minute) * 60 + i64::from(second);
    let seconds = midnight + in_day - i64::from(offset_seconds);
    if second == 60 && !follows_a_leap_second(seconds) {
        return Err(StampError::NoLeapSecond);
    }
    Ok(Stamp { seconds, nanos, offset_seconds })
}

/// Reads a date of the form `YYYY-MM-DD`.
///
/// # Errors
/// [`StampError::DateForm`] for another form, [`StampError::NoSuchDay`] for a day that does not exist.
pub fn parse_date(text: &str) -> Result<NaiveDate, StampError> {
    let mut fields = Fields { rest: text.as_bytes(), taken: 0 };
    match fields.date() {
        Ok((year, month, day)) if fields.rest.is_empty() => calendar(year, month, day),
        _ => Err(StampError::DateForm),
    }
}

fn calendar(year: u16, month: u8, day: u8) -> Result<NaiveDate, StampError> {
    let found = NaiveDate::from_ymd_opt(i32::from(year), u32::from(month), u32::from(day));
    found.ok_or(StampError::NoSuchDay { year, month, day })
}

/// Whether the second before could have been a leap second: this is the midnight before 1 January or 1 July, UTC.
fn follows_a_leap_second(seconds: i64) -> bool {
    let date = super::local_date(seconds, 0);
    seconds.rem_euclid(DAY) == 0 && date.day() == 1 && (date.month() == 1 || date.month() == 7)
}
