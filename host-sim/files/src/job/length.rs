//! Lengths, areas and what they are made of, in whole numbers.

use crate::decimal::Decimal;
use std::fmt;
use thiserror::Error;

/// A length in micrometres, more than 0 and at most 10 m: as exact as any drawing.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Length(u32);

/// Why a number of millimetres is no length of a job.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Error)]
pub enum LengthError {
    /// Zero or less.
    #[error("is not more than zero")]
    NotPositive,
    /// More than 10 m.
    #[error("is longer than 10 m")]
    TooLong,
    /// Finer than a micrometre.
    #[error("is finer than 0.001 mm")]
    TooFine,
}

impl Length {
    /// 10 m.
    pub const GREATEST: Self = Self(10_000_000);

    /// From micrometres; `None` for 0 and beyond 10 m.
    pub const fn from_micrometres(micrometres: u32) -> Option<Self> {
        if micrometres == 0 || micrometres > Self::GREATEST.0 { None } else { Some(Self(micrometres)) }
    }

    /// From a decimal of millimetres, exactly.
    ///
    /// # Errors
    /// [`LengthError`] when it is not more than 0 and at most 10 m, or finer than a micrometre.
    pub fn from_millimetres(millimetres: &Decimal) -> Result<Self, LengthError> {
        if millimetres.is_negative() || millimetres.is_zero() {
            return Err(LengthError::NotPositive);
        }
        let (floor, ceil) = (millimetres.floor_times(1000), millimetres.ceil_times(1000));
        let micrometres = u32::try_from(ceil).ok().filter(|ceil| *ceil <= Self::GREATEST.0);
        let micrometres = micrometres.ok_or(LengthError::TooLong)?;
        if floor == ceil { Ok(Self(micrometres)) } else { Err(LengthError::TooFine) }
    }

    /// Micrometres.
    pub const fn micrometres(self) -> u32 {
        self.0
    }
}

impl fmt::Display for Length {
    /// Millimetres without needless zeros and without the unit, exactly.
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(&thousandths(u64::from(self.0)))
    }
}

/// A number of thousandths as a decimal without needless zeros.
pub fn thousandths(number: u64) -> String {
    shortest(number, 3)
}

/// A number in units of a decimal place as a decimal without needless zeros, exactly.
pub(super) fn shortest(number: u64, places: usize) -> String {
    let unit = (0..places).fold(1, |unit, _| unit * 10);
    let text = format!("{}.{:0places$}", number / unit, number % unit);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::{Length, LengthError};
    use crate::decimal::Decimal;

    fn length(text: &str) -> Result<String, LengthError> {
        let decimal = Decimal::parse(text).unwrap_or(Decimal::ZERO);
        Length::from_millimetres(&decimal).map(|length| length.to_string())
    }

    #[test]
    fn millimetres_are_kept_exactly_or_refused() {
        assert_eq!(length("18").as_deref(), Ok("18"));
        assert_eq!(length("18.50").as_deref(), Ok("18.5"));
        assert_eq!(length("0.001").as_deref(), Ok("0.001"));
        assert_eq!(length("10000").as_deref(), Ok("10000"));
        assert_eq!(length("0"), Err(LengthError::NotPositive));
        assert_eq!(length("-18"), Err(LengthError::NotPositive));
        assert_eq!(length("10000.001"), Err(LengthError::TooLong));
        assert_eq!(length("1e300"), Err(LengthError::TooLong));
        assert_eq!(length("18.0005"), Err(LengthError::TooFine));
    }
}
