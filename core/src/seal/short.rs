//! The short form: 24 digits that name a release, to be read out over the phone.
//!
//! ```text
//!   28417 03 261125 503318264 71      shown as 2841 7032 6112 5503 3182 6471
//!   └─┬─┘ ┬┘ └─┬──┘ └───┬───┘ ┬┘
//!  device │   day     record  check
//!       fixing
//! ```
//!
//! Why digits: they are the same in every language on site, and no two of them look alike or are told apart only by a
//! spelling alphabet. Groups of four are how numbers are read out.
//! The check is ISO/IEC 7064, MOD 97-10 (that of the IBAN): the 24 digits as one number leave 1 when divided by 97. It
//! finds every single wrong digit (97 divides no difference of two digits times a power of ten, since it is prime and
//! neither 2 nor 5), every two neighbours changed over (they differ by 9 times that), and of whatever else 96 of 97.
//! What it can do: name the one record that is meant, so that somebody who holds the signed record finds it and sees that
//! both speak of the same. What it can't: prove anything. It carries no signature, and anybody can make one up that checks.

use super::layout::MOST_RECORD;
use super::record::{ReleaseRecord, WallClock};
use crate::quantity::Date;

use sha2::{Digest, Sha256};

/// Digits, of which the last two check the others.
const DIGITS: usize = 24;
/// Characters as shown: six groups of four with a blank between.
pub const SHORT_TEXT: usize = 29;

/// The short form of a release, its check already true.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct ShortForm {
    digits: [u8; DIGITS],
}

/// Why a text is no short form.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum ShortError {
    /// A character that is neither a digit nor a blank or hyphen between digits.
    Character {
        /// Where.
        offset: usize,
        /// The byte found.
        found: u8,
    },
    /// Not 24 digits.
    Length {
        /// Digits found.
        found: usize,
    },
    /// The check fails: a digit was misread or two were changed over.
    Check,
    /// The check is true, but no fixing has this number or no calendar this day.
    Nothing,
}

impl ShortForm {
    /// The short form of a record.
    ///
    /// Device: the device number, high byte first, modulo 100 000. Fixing: its number counted from 1. Day: year, month and
    /// day, two digits each, of the instant the record speaks for, in the record's local time; six zeros where the wall
    /// clock is unknown. Record: the first 8 bytes of the SHA-256 of the record, high byte first, modulo 10^9.
    pub fn of(record: &ReleaseRecord) -> Self {
        let device = u64::from_be_bytes(record.particulars().device.0) % 100_000;
        let fixing = record.fixing().place().saturating_add(1) as u64; // at most 16
        let mut buffer = [0; MOST_RECORD];
        let hash = Sha256::digest(record.emit(&mut buffer));
        let first = hash.iter().take(8).fold(0u64, |number, &byte| number << 8 | u64::from(byte));
        let mut digits = [0; DIGITS];
        let mut rest = digits.iter_mut();
        for (number, count) in [(device, 5u32), (fixing, 2), (day_of(record), 6), (first % 1_000_000_000, 9)] {
            write(number, count, &mut rest);
        }
        // 98 less the remainder of the number with two zeros behind it (ISO/IEC 7064)
        let check = 98u64.saturating_sub(u64::from(remainder(&digits)));
        let mut last = digits.iter_mut().skip(DIGITS - 2);
        write(check, 2, &mut last);
        Self { digits }
    }

    /// Reads a short form as somebody typed it: 24 digits, blanks and hyphens anywhere between them.
    ///
    /// # Errors
    /// [`ShortError`] when it is none.
    pub fn parse(text: &str) -> Result<Self, ShortError> {
        let mut digits = [0; DIGITS];
        let mut found = 0usize;
        for (offset, byte) in text.trim().bytes().enumerate() {
            match byte {
                b'0'..=b'9' => {
                    if let Some(digit) = digits.get_mut(found) {
                        *digit = byte - b'0';
                    }
                    found = found.saturating_add(1);
                }
                b' ' | b'-' => {}
                found => return Err(ShortError::Character { offset, found }),
            }
        }
        if found != DIGITS {
            return Err(ShortError::Length { found });
        }
        let read = Self { digits };
        // 00, 01 and 99 leave the same as 97, 98 and 02, but nobody writes them
        if remainder(&digits) != 1 || !(2..=98).contains(&read.number(22, 2)) {
            return Err(ShortError::Check);
        }
        if read.is_something() { Ok(read) } else { Err(ShortError::Nothing) }
    }

    /// As it is shown: `2841 7032 6112 5503 3182 6471`.
    pub fn show<'b>(&self, buffer: &'b mut [u8; SHORT_TEXT]) -> &'b str {
        *buffer = [b' '; SHORT_TEXT];
        let mut digits = self.digits.iter();
        for group in buffer.chunks_mut(5) {
            for (place, digit) in group.iter_mut().zip(digits.by_ref().take(4)) {
                *place = b'0'.saturating_add(*digit);
            }
        }
        core::str::from_utf8(buffer).unwrap_or_default() // all of it is ASCII
    }

    /// Whether it is the short form of this record.
    pub fn names(&self, record: &ReleaseRecord) -> bool {
        *self == Self::of(record)
    }

    /// The last five decimal digits of the device's number.
    pub fn device(&self) -> u32 {
        self.number(0, 5)
    }

    /// The fixing, counted from 1.
    pub fn fixing(&self) -> u8 {
        self.number(5, 2) as u8 // two digits
    }

    /// Last two digits of the year, month and day of the release; `None` where the device did not know them.
    pub fn day(&self) -> Option<(u8, u8, u8)> {
        match (self.number(7, 2), self.number(9, 2), self.number(11, 2)) {
            (0, 0, 0) => None,
            (year, month, day) => Some((year as u8, month as u8, day as u8)), // two digits each
        }
    }

    fn number(&self, from: usize, count: usize) -> u32 {
        let digits = self.digits.iter().skip(from).take(count);
        digits.fold(0, |number, &digit| number * 10 + u32::from(digit)) // at most nine digits
    }

    /// Whether there can be such a fixing and such a day.
    fn is_something(&self) -> bool {
        let day = self.day().is_none_or(|(_, month, day)| (1..=12).contains(&month) && (1..=31).contains(&day));
        (1..=16).contains(&self.fixing()) && day
    }
}

impl core::fmt::Display for ShortForm {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        formatter.write_str(self.show(&mut [0; SHORT_TEXT]))
    }
}

impl core::fmt::Debug for ShortForm {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(formatter, "ShortForm({self})")
    }
}

/// The local day that the record speaks for as six digits; 0 where it is unknown.
fn day_of(record: &ReleaseRecord) -> u64 {
    let (WallClock::Tied { offset_minutes, .. }, Some(utc)) =
        (record.particulars().clock, record.utc(record.speaks_for()))
    else {
        return 0;
    };
    let Date { year, month, day } = Date::of(utc.saturating_add(i64::from(offset_minutes).saturating_mul(60)));
    year.rem_euclid(100).unsigned_abs() * 10_000 + u64::from(month) * 100 + u64::from(day)
}

/// Writes the last `count` decimal digits of a number.
fn write<'a>(number: u64, count: u32, places: &mut impl Iterator<Item = &'a mut u8>) {
    for (power, place) in (0..count).rev().zip(places) {
        // count is at most nine, so no power is zero
        *place = (number.checked_div(10u64.pow(power)).unwrap_or_default() % 10) as u8;
    }
}

/// The digits as one number, divided by 97.
fn remainder(digits: &[u8]) -> u32 {
    digits.iter().fold(0, |remainder, &digit| (remainder * 10 + u32::from(digit)) % 97)
}

#[cfg(test)]
mod tests {
    use super::{ShortError, ShortForm, remainder};

    #[test]
    fn the_check_is_that_of_the_iban() {
        // GB82 WEST 1234 5698 7654 32 rearranged and in digits, the worked example of ISO 13616 in the public description
        // of the IBAN (from memory)
        let digits = [3, 2, 1, 4, 2, 8, 2, 9, 1, 2, 3, 4, 5, 6, 9, 8, 7, 6, 5, 4, 3, 2, 1, 6, 1, 1, 8, 2];
        assert_eq!(remainder(&digits), 1);
    }

    #[test]
    fn what_is_no_short_form_is_refused() {
        assert_eq!(ShortForm::parse(""), Err(ShortError::Length { found: 0 }));
        assert_eq!(ShortForm::parse("1234"), Err(ShortError::Length { found: 4 }));
        assert_eq!(ShortForm::parse("1111111111111111111111111"), Err(ShortError::Length { found: 25 }));
        assert_eq!(ShortForm::parse("12x4"), Err(ShortError::Character { offset: 2, found: b'x' }));
        assert_eq!(ShortForm::parse("0000 0000 0000 0000 0000 0000"), Err(ShortError::Check));
        // remainder 1 but no fixing 0
        assert_eq!(ShortForm::parse("0000 0000 0000 0000 0000 0098"), Err(ShortError::Nothing));
        assert_eq!(ShortForm::parse("0000 0000 0000 0000 0000 0001"), Err(ShortError::Check));
    }
}
