//! The resin schedule: bands, limits and hole conditions, valid from construction on.
//!
//! What for: section S of `docs/cure-rules.md`. A [`Resin`] can only be made from a [`ResinSpec`] that passes every
//! check of the resin file; nothing downstream checks a schedule again.
//! Terms: a *band* holds from its lower edge up to the next one; the *coldest usable edge* is the higher of the first
//! edge and the least curing temperature (rule S2).
//! Invariants: 1 to 16 bands, edges rising, neither working nor cure time rising, every time at least a second, cure
//! times at most 14 days, wet factor 2 to 10.
//! What it does not do: parse files, round decimals, know a resin's name.

mod band;
mod error;
mod hole;

pub use band::{Band, BandNumber, Bands};
pub use error::{ResinError, Which};
pub use hole::{Hole, Holes};

use crate::quantity::{Count, Span};

/// Most bands a resin may have (rule S1).
pub const MOST_BANDS: usize = 16;
/// Longest cure time of a band in a dry hole: 14 days (rule S1).
pub const LONGEST_CURE: Span = Span::from_seconds(14 * 24 * 3600);
/// Least factor on the cure time in a wet or flooded hole (rule S3; doubling is common practice, no source).
pub const LEAST_WET_FACTOR: u8 = 2;
/// Greatest factor on the cure time in a wet or flooded hole (rule S3).
pub const GREATEST_WET_FACTOR: u8 = 10;

/// Limits on the substrate: least limits rounded up to a count, greatest limits rounded down (rule Q1).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Limits {
    /// Injection is refused when a reading's `low` is under it (rule A1).
    pub install_least: Count,
    /// Injection is refused when a reading's `high` is over it (rule A1).
    pub install_greatest: Count,
    /// Below it the cure is held (rule S2).
    pub cure_least: Count,
    /// Above it the cure is held (rule S2).
    pub cure_greatest: Count,
    /// A reading whose `low` is below it rejects the fixing (rule C5); rounded up.
    pub reject_below: Option<Count>,
    /// A reading whose `high` is above it rejects the fixing (rule C5); rounded down.
    pub reject_above: Option<Count>,
    /// Held and unobserved seconds together beyond it reject the fixing (rule C5).
    pub longest_hold: Option<Span>,
}

/// Whether the cure may be summed up over the bands (rule C4).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Accrual {
    /// Only the coldest-band rule.
    Forbidden,
    /// The job may ask for the accrual rule.
    Permitted,
}

/// Whether a resin may be used on site.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum ResinUse {
    /// From the maker's printed instructions.
    OnSite,
    /// Invented; never on site.
    Demo,
}

/// What a resin file says, not yet checked.
#[derive(Clone, Copy, Debug)]
pub struct ResinSpec<'a> {
    /// Limits on the substrate.
    pub limits: Limits,
    /// Least cartridge temperature, rounded up.
    pub cartridge_least: Count,
    /// Greatest cartridge temperature, rounded down.
    pub cartridge_greatest: Count,
    /// Hole conditions the resin may be used in.
    pub holes: Holes,
    /// Factor on the cure time in a wet or flooded hole.
    pub wet_factor: u8,
    /// Whether the accrual rule may be asked for.
    pub accrual: Accrual,
    /// The bands in the order of the file.
    pub bands: &'a [Band],
}

/// A valid resin schedule.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Resin {
    limits: Limits,
    cartridge_least: Count,
    cartridge_greatest: Count,
    holes: Holes,
    wet_factor: u8,
    accrual: Accrual,
    bands: Bands,
}

impl Resin {
    /// Checks a specification.
    ///
    /// # Errors
    /// The first violation found, in the order of the file: limits, cartridge, hole, bands, reject limits, hold.
    pub fn new(spec: &ResinSpec<'_>) -> Result<Self, ResinError> {
        let limits = spec.limits;
        ordered(Which::Install, limits.install_least, limits.install_greatest)?;
        ordered(Which::Cure, limits.cure_least, limits.cure_greatest)?;
        ordered(Which::Cartridge, spec.cartridge_least, spec.cartridge_greatest)?;
        if spec.holes.is_empty() {
            return Err(ResinError::NoHole);
        }
        if !(LEAST_WET_FACTOR..=GREATEST_WET_FACTOR).contains(&spec.wet_factor) {
            return Err(ResinError::WetFactor { found: spec.wet_factor });
        }
        let bands = Bands::new(spec.bands)?;
        let resin = Self {
            limits,
            cartridge_least: spec.cartridge_least,
            cartridge_greatest: spec.cartridge_greatest,
            holes: spec.holes,
            wet_factor: spec.wet_factor,
            accrual: spec.accrual,
            bands,
        };
        if limits.reject_below.is_some_and(|reject| reject > resin.coldest_usable_edge()) {
            return Err(ResinError::RejectBelowTooWarm { edge: resin.coldest_usable_edge() });
        }
        if limits.reject_above.is_some_and(|reject| reject < limits.cure_greatest) {
            return Err(ResinError::RejectAboveTooCold { greatest: limits.cure_greatest });
        }
        if limits.longest_hold == Some(Span::ZERO) {
            return Err(ResinError::HoldZero);
        }
        Ok(resin)
    }

    /// Limits on the substrate.
    #[inline]
    pub const fn limits(&self) -> &Limits {
        &self.limits
    }

    /// Least cartridge temperature.
    pub const fn cartridge_least(&self) -> Count {
        self.cartridge_least
    }

    /// Greatest cartridge temperature.
    pub const fn cartridge_greatest(&self) -> Count {
        self.cartridge_greatest
    }

    /// Hole conditions the resin may be used in.
    pub const fn holes(&self) -> Holes {
        self.holes
    }

    /// Whether the accrual rule may be asked for.
    pub const fn accrual(&self) -> Accrual {
        self.accrual
    }

    /// The schedule.
    #[inline]
    pub const fn bands(&self) -> &Bands {
        &self.bands
    }

    /// The factor on the cure time in a wet or flooded hole.
    pub const fn wet_factor(&self) -> u8 {
        self.wet_factor
    }

    /// What a hole's condition multiplies the cure time by (rule S3).
    pub const fn factor(&self, hole: Hole) -> u8 {
        match hole {
            Hole::Dry => 1,
            Hole::Wet | Hole::Flooded => self.wet_factor,
        }
    }

    /// The coldest usable edge (rule S2): below it the cure is held.
    pub fn coldest_usable_edge(&self) -> Count {
        let first = self.bands.first_edge();
        if first > self.limits.cure_least { first } else { self.limits.cure_least }
    }
}

fn ordered(which: Which, least: Count, greatest: Count) -> Result<(), ResinError> {
    if least > greatest { Err(ResinError::LeastAboveGreatest { which }) } else { Ok(()) }
}
