//! Decimals exactly as they are written.
//!
//! What for: rule Q1 of `docs/cure-rules.md` says which way a temperature is rounded to a count of 1/256 °C. That can
//! only be kept when the decimal of the file is rounded itself, not a binary approximation of it: 0.1 as `f64` lies
//! above one tenth, and a limit typed with twenty digits would be judged on its first seventeen.
//!
//! Terms: a *decimal* is an optional sign, digits with at most one point (`.5` and `5.` too) and an optional exponent.
//! *Floor* is towards -∞, *ceil* towards +∞, whatever the sign.
//!
//! Two ways lead to the same answer: [`Decimal`] takes any number of digits; [`Short`] reads the few digits that
//! measured temperatures have, in 64-bit integers and without allocation, and gives way to `Decimal` beyond them. A
//! test compares both with arbitrary-precision fractions.
//!
//! Invariants of a `Decimal`: no leading and no trailing zero digit, so equal values are equal structures; zero has no
//! digits and no sign.
//!
//! What it does not do: `nan`, `inf`, hexadecimal, underscores, decimal commas, arithmetic between decimals.

mod round;
mod short;
mod text;

pub use short::Short;
pub use text::DecimalError;

use std::cmp::Ordering;
use std::fmt;

/// An exact decimal: `±0.DIGITS x 10^point`.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Decimal {
    negative: bool,
    /// ASCII digits; first and last are not `0`; empty for zero.
    digits: Vec<u8>,
    /// How many of the digits stand before the decimal point (negative: zeros after it); 0 for zero.
    point: i64,
}

/// An exponent beyond this is held at it. What is that large or that small rounds the same; only a comparison of two
/// such numbers with each other is decided by their digits alone.
const FARTHEST_EXPONENT: i64 = 1_000_000_000_000_000_000;

impl Decimal {
    /// Zero.
    pub const ZERO: Self = Self { negative: false, digits: Vec::new(), point: 0 };

    /// Reads a decimal; nothing may stand around it.
    ///
    /// # Errors
    /// [`DecimalError`] when the text is no decimal.
    pub fn parse(text: &str) -> Result<Self, DecimalError> {
        Self::from_bytes(text.as_bytes())
    }

    /// The same from bytes.
    ///
    /// # Errors
    /// [`DecimalError`] when the bytes are no decimal.
    pub fn from_bytes(text: &[u8]) -> Result<Self, DecimalError> {
        let parts = text::split(text)?;
        let mut digits = Vec::with_capacity(parts.whole.len().saturating_add(parts.fraction.len()));
        digits.extend_from_slice(parts.whole);
        digits.extend_from_slice(parts.fraction);
        let whole = i64::try_from(parts.whole.len()).unwrap_or(i64::MAX);
        Ok(Self::normal(parts.negative, digits, whole.saturating_add(parts.exponent)))
    }

    /// A whole number.
    pub fn from_whole(whole: i128) -> Self {
        let digits = whole.unsigned_abs().to_string().into_bytes();
        let point = i64::try_from(digits.len()).unwrap_or(i64::MAX);
        Self::normal(whole < 0, digits, point)
    }

    /// Takes the zeros off both ends.
    fn normal(negative: bool, mut digits: Vec<u8>, point: i64) -> Self {
        let leading = digits.iter().take_while(|digit| **digit == b'0').count();
        if leading == digits.len() {
            return Self::ZERO;
        }
        digits.drain(..leading);
        let used = digits.iter().rposition(|digit| *digit != b'0').map_or(0, |last| last + 1);
        digits.truncate(used);
        Self { negative, digits, point: point.saturating_sub(i64::try_from(leading).unwrap_or(i64::MAX)) }
    }

    /// Whether it is zero.
    pub fn is_zero(&self) -> bool {
        self.digits.is_empty()
    }

    /// Whether it is below zero.
    pub fn is_negative(&self) -> bool {
        self.negative
    }

    /// `self x 10^places`, exactly; `None` where that is no whole number, or has more than 18 digits.
    pub fn whole_shifted(&self, places: u8) -> Option<i64> {
        let before = self.point.checked_add(i64::from(places)).filter(|before| *before <= 18)?;
        let zeros = before.checked_sub(i64::try_from(self.digits.len()).ok()?)?;
        let zeros = u32::try_from(zeros).ok()?;
        let whole = if self.is_zero() { 0 } else { self.digits_text().parse::<i64>().ok()? };
        let whole = whole.checked_mul(10i64.checked_pow(zeros)?)?;
        Some(if self.negative { -whole } else { whole })
    }

    /// Compares with a whole number (of degrees, say), exactly.
    pub fn cmp_whole(&self, whole: i64) -> Ordering {
        self.cmp(&Self::from_whole(i128::from(whole)))
    }

    /// The nearest `f64`, for display and JSON only; nothing is decided on it. Always finite: what is beyond the
    /// range of `f64` is held at its bounds.
    pub fn to_f64(&self) -> f64 {
        let nearest = self.scientific().parse::<f64>().unwrap_or(0.0);
        nearest.clamp(f64::MIN, f64::MAX)
    }

    fn sign(&self) -> &'static str {
        if self.negative { "-" } else { "" }
    }

    fn digits_text(&self) -> &str {
        std::str::from_utf8(&self.digits).unwrap_or("")
    }

    fn scientific(&self) -> String {
        if self.is_zero() {
            return "0".to_owned();
        }
        let (first, rest) = self.digits_text().split_at(1);
        let dot = if rest.is_empty() { "" } else { "." };
        format!("{}{first}{dot}{rest}e{}", self.sign(), self.point.saturating_sub(1))
    }

    fn magnitude_cmp(&self, other: &Self) -> Ordering {
        match (self.is_zero(), other.is_zero()) {
            (true, true) => Ordering::Equal,
            (true, false) => Ordering::Less,
            (false, true) => Ordering::Greater,
            // without leading and trailing zeros, the shorter of two equal beginnings is the smaller
            (false, false) => self.point.cmp(&other.point).then_with(|| self.digits.cmp(&other.digits)),
        }
    }
}

impl Ord for Decimal {
    fn cmp(&self, other: &Self) -> Ordering {
        match (self.negative, other.negative) {
            (false, false) => self.magnitude_cmp(other),
            (true, true) => other.magnitude_cmp(self),
            (true, false) => Ordering::Less,
            (false, true) => Ordering::Greater,
        }
    }
}

impl PartialOrd for Decimal {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Display for Decimal {
    /// The shortest exact text: plain up to 20 places either side of the point, with an exponent beyond.
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let digits = self.digits_text();
        if self.is_zero() {
            return formatter.pad("0");
        }
        let text = match usize::try_from(self.point) {
            Ok(before) if before <= 20 => match digits.split_at_checked(before) {
                Some((whole, "")) => format!("{}{whole}", self.sign()),
                Some(("", fraction)) => format!("{}0.{fraction}", self.sign()),
                Some((whole, fraction)) => format!("{}{whole}.{fraction}", self.sign()),
                None => format!("{}{digits:0<before$}", self.sign()),
            },
            Err(_) if self.point >= -20 => {
                let zeros = usize::try_from(self.point.unsigned_abs()).unwrap_or(0);
                format!("{}0.{:0<zeros$}{digits}", self.sign(), "")
            }
            _ => self.scientific(),
        };
        formatter.pad(&text)
    }
}

#[cfg(test)]
mod tests;
