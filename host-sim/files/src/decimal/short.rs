//! Decimals of few digits, in 64-bit integers and without allocation: the form nearly every reading has.
//!
//! What for: a trace of a hundred million rows. A [`Short`] holds up to fourteen digits; anything longer, and anything
//! with an exponent, is left to [`super::Decimal`], which gives the same answer more slowly.
//!
//! [`Short::until_newline`] reads a field and its line end from sixteen bytes at once: the bytes are taken as one
//! integer, the decimal point is squeezed out, and eight digits are turned into a number by three multiplications
//! (each adds neighbours: digits to pairs, pairs to fours, fours to eight). It has no branch that depends on how long
//! the number is, because lengths change from row to row and a branch on them would be guessed wrong.

use std::cmp::Ordering;

/// `±mantissa / 10^places`, at most fourteen digits.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Short {
    negative: bool,
    mantissa: u64,
    /// 0 to 14.
    places: u8,
}

/// Most digits of a [`Short`]: times any 16-bit multiplier they stay below 2^63.
const MOST_DIGITS: usize = 14;

const POWERS: [u64; 16] = {
    let mut powers = [1; 16];
    let mut place = 1;
    while place < powers.len() {
        powers[place] = powers[place - 1] * 10;
        place += 1;
    }
    powers
};

/// `ceil(2^63 / 10^places)` for up to eight places: multiplying and shifting by 63 divides by `10^places`.
///
/// Exact for numerators n below 2^36: the factor is too large by e < 10^places <= 10^8 < 2^27, so the quotient is too
/// large by less than n x e / (2^63 x 10^places) < 1 / 10^places, which reaches no further whole number.
const RECIPROCALS: [u64; 9] = {
    let mut reciprocals = [0; 9];
    let mut place = 0;
    while place < reciprocals.len() {
        reciprocals[place] = (1u64 << 63).div_ceil(POWERS[place]);
        place += 1;
    }
    reciprocals
};

const ONES: u64 = 0x0101_0101_0101_0101;
const HIGHS: u64 = 0x8080_8080_8080_8080;

impl Short {
    /// Reads a field; `None` when it is no decimal of at most fourteen digits without exponent.
    #[inline]
    pub fn from_bytes(text: &[u8]) -> Option<Self> {
        let (negative, unsigned) = match text {
            [b'-', rest @ ..] => (true, rest),
            [b'+', rest @ ..] => (false, rest),
            rest => (false, rest),
        };
        if unsigned.len() > MOST_DIGITS + 1 {
            return None;
        }
        let (mut mantissa, mut digits, mut places, mut after_point) = (0u64, 0usize, 0u8, false);
        for byte in unsigned {
            if byte.is_ascii_digit() {
                mantissa = mantissa * 10 + u64::from(byte - b'0');
                digits += 1;
                places += u8::from(after_point);
            } else if *byte == b'.' && !after_point {
                after_point = true;
            } else {
                return None;
            }
        }
        (1..=MOST_DIGITS).contains(&digits).then_some(Self { negative, mantissa, places })
    }

    /// Reads a decimal of at most eight digits that is ended by a line feed (or carriage return and line feed) within
    /// the window. Gives it and the bytes taken, line end included; `None` for every other form.
    #[inline]
    pub fn until_newline(window: &[u8; 17]) -> Option<(Self, usize)> {
        let negative = window[0] == b'-';
        let [unsigned @ .., _] = window;
        let [_, signed @ ..] = window;
        let text = u128::from_le_bytes(if negative { *signed } else { *unsigned });
        let (low, high) = (text as u64, (text >> 64) as u64);
        let line_feed = first_of(low, high, b'\n');
        if line_feed > 10 {
            return None; // eight digits, a point and a carriage return at most
        }
        let carriage_return = line_feed > 0 && (text >> (8 * line_feed - 8)) as u8 == b'\r';
        let length = line_feed - usize::from(carriage_return);
        let point = first_of(low, high, b'.').min(length);
        let digits = length - usize::from(point < length);
        if digits.wrapping_sub(1) >= 8 {
            return None;
        }
        // the digits before the point stay, those behind it move up by one byte
        let before = (1u128 << (8 * point)) - 1;
        let squeezed = ((text & before) | ((text >> 8) & !before)) as u64;
        // turned into digit values, with zeros put in front to make eight
        let values = (squeezed ^ (ONES * 0x30)) << (8 * (8 - digits));
        if (values | values.wrapping_add(ONES * 0x76)) & HIGHS != 0 {
            return None; // some byte is above 9
        }
        let short = Self { negative, mantissa: eight(values), places: (digits - point) as u8 };
        Some((short, usize::from(negative) + line_feed + 1))
    }

    /// `floor(self x multiplier)`, exact.
    #[inline]
    pub fn floor_times(self, multiplier: u16) -> i64 {
        let scale = POWERS[usize::from(self.places & 15)];
        let product = self.mantissa * u64::from(multiplier);
        // away from zero for a negative number
        let product = if self.negative { product + (scale - 1) } else { product };
        let quotient = match RECIPROCALS.get(usize::from(self.places)) {
            Some(reciprocal) if product < 1 << 36 => ((u128::from(product) * u128::from(*reciprocal)) >> 63) as u64,
            _ => product / scale,
        };
        if self.negative { -(quotient as i64) } else { quotient as i64 }
    }

    /// Compares with a whole number, exactly.
    #[inline]
    pub fn cmp_whole(self, whole: i16) -> Ordering {
        let mantissa = self.mantissa as i64;
        let signed = if self.negative { -mantissa } else { mantissa };
        // where the product is held at the bound, it lies beyond every mantissa all the same
        signed.cmp(&i64::from(whole).saturating_mul(POWERS[usize::from(self.places & 15)] as i64))
    }

    /// The exact same value as a [`super::Decimal`].
    pub fn to_decimal(self) -> super::Decimal {
        let digits = self.mantissa.to_string().into_bytes();
        let point = i64::try_from(digits.len()).unwrap_or(0) - i64::from(self.places);
        super::Decimal::normal(self.negative, digits, point)
    }
}

/// Place of the first byte equal to `wanted` among sixteen, 16 when there is none.
#[inline]
fn first_of(low: u64, high: u64, wanted: u8) -> usize {
    let marks = u128::from(zero_bytes(low ^ (ONES * u64::from(wanted))))
        | u128::from(zero_bytes(high ^ (ONES * u64::from(wanted)))) << 64;
    (marks.trailing_zeros() / 8) as usize
}

/// Sets the high bit of bytes that are zero; above the first such byte others may be marked too.
#[inline]
const fn zero_bytes(word: u64) -> u64 {
    word.wrapping_sub(ONES) & !word & HIGHS
}

/// Eight digit values, first digit in the lowest byte, to the number they write.
#[inline]
const fn eight(values: u64) -> u64 {
    let pairs = (values.wrapping_mul(10 << 8 | 1) >> 8) & 0x00FF_00FF_00FF_00FF;
    let fours = (pairs.wrapping_mul(100 << 16 | 1) >> 16) & 0x0000_FFFF_0000_FFFF;
    fours.wrapping_mul(10_000 << 32 | 1) >> 32
}
