//! Volumes of resin.

use super::length::thousandths;
use crate::decimal::Decimal;
use std::fmt;

/// A volume in microlitres (cubic millimetres).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Debug)]
pub struct Volume(u64);

impl Volume {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// From microlitres.
    pub const fn from_microlitres(microlitres: u64) -> Self {
        Self(microlitres)
    }

    /// Microlitres.
    pub const fn microlitres(self) -> u64 {
        self.0
    }

    /// From a decimal of millilitres, exactly; `None` below zero, over 100 l, and where it is finer than a microlitre.
    pub fn from_millilitres(millilitres: &Decimal) -> Option<Self> {
        millilitres.exactly(1000).map(u64::from).filter(|found| *found <= 100_000_000).map(Self)
    }

    /// Millilitres without needless zeros and without the unit, exactly.
    pub fn millilitres(self) -> String {
        thousandths(self.0)
    }

    /// So many times this volume, held at the greatest that is counted.
    #[must_use]
    pub const fn times(self, number: u64) -> Self {
        Self(self.0.saturating_mul(number))
    }

    /// Both together, held at the greatest that is counted.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl fmt::Display for Volume {
    /// Millilitres with one decimal, rounded up, for a reader.
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tenths = self.0.div_ceil(100);
        formatter.pad(&format!("{}.{} ml", tenths / 10, tenths % 10))
    }
}
