//! Exact decimals, and their rounding to the counts that the rules decide on.
//!
//! A temperature is written as a decimal (`4.9`, `-1.25e1`) and most decimals are no binary fraction. They are kept as
//! ratios of big integers until rule Q1 says in which direction to round to a count of 1/256 °C; that happens once
//! for each value, so everything after it is in whole counts and still exact.

use num::{BigInt, BigRational, Integer, ToPrimitive, pow};

/// Counts in one °C.
pub(super) const COUNTS_PER_DEGREE: i64 = 256;

/// Powers of ten beyond this are no temperature, and would only fill memory.
const GREATEST_EXPONENT: i64 = 10_000;

/// A number exactly as its decimal text says it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Decimal(BigRational);

impl Decimal {
    /// Reads `[+-]digits[.digits][(e|E)[+-]digits]`, with a digit on at least one side of the point. `None` for
    /// anything else, and for an exponent beyond ±10 000.
    pub fn parse(text: &str) -> Option<Self> {
        let (mantissa, exponent) = match text.find(['e', 'E']) {
            Some(at) => (&text[..at], exponent(&text[at + 1..])?),
            None => (text, 0),
        };
        let (negative, digits) = match mantissa.as_bytes().first()? {
            b'-' => (true, &mantissa[1..]),
            b'+' => (false, &mantissa[1..]),
            _ => (false, mantissa),
        };
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        let all = format!("{whole}{fraction}");
        if all.is_empty() || !all.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        let unsigned: BigInt = all.parse().ok()?;
        let signed = if negative { -unsigned } else { unsigned };
        let shift = exponent - i64::try_from(fraction.len()).ok()?;
        let ten_to = pow(BigInt::from(10), usize::try_from(shift.unsigned_abs()).ok()?);
        Some(Self(if shift >= 0 {
            BigRational::from_integer(signed * ten_to)
        } else {
            BigRational::new(signed, ten_to)
        }))
    }

    /// The exact value, in the unit of the text.
    pub fn value(&self) -> &BigRational {
        &self.0
    }

    /// The exact value, in the unit of the text.
    pub fn into_value(self) -> BigRational {
        self.0
    }

    /// °C to whole counts of 1/256 °C, rounded down.
    pub fn floor_to_counts(&self) -> i64 {
        floor_to_counts(&self.0)
    }

    /// °C to whole counts of 1/256 °C, rounded up.
    pub fn ceil_to_counts(&self) -> i64 {
        ceil_to_counts(&self.0)
    }
}

impl From<BigRational> for Decimal {
    fn from(value: BigRational) -> Self {
        Self(value)
    }
}

fn exponent(text: &str) -> Option<i64> {
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let exponent: i64 = text.parse().ok()?;
    (exponent.abs() <= GREATEST_EXPONENT).then_some(exponent)
}

/// °C to whole counts of 1/256 °C, rounded down (readings and greatest limits).
///
/// # Panics
/// When the count does not fit 64 bits; no temperature that passed a range check comes near.
pub fn floor_to_counts(celsius: &BigRational) -> i64 {
    // A ratio's denominator is positive, so the floor of numerator * 256 / denominator is the floor of the product.
    (celsius.numer() * COUNTS_PER_DEGREE)
        .div_floor(celsius.denom())
        .to_i64()
        .expect("a temperature in counts fits 64 bits")
}

/// °C to whole counts of 1/256 °C, rounded up (band edges, least limits, reject temperature, uncertainty).
///
/// # Panics
/// When the count does not fit 64 bits; no temperature that passed a range check comes near.
pub fn ceil_to_counts(celsius: &BigRational) -> i64 {
    -(celsius.numer() * -COUNTS_PER_DEGREE)
        .div_floor(celsius.denom())
        .to_i64()
        .expect("a temperature in counts fits 64 bits")
}
