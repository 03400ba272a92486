//! Settings of a count and their bounds (rule Q4).

use crate::quantity::Span;

/// Expanded uncertainty of a reading, probe accuracy and placement together (rule R1), in counts of 1/256 °C rounded
/// up; 0 to 10 °C.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Uncertainty(u16);

impl Uncertainty {
    /// 1.0 °C, the default.
    pub const DEFAULT: Self = Self(256);
    /// 10 °C, the greatest.
    pub const GREATEST: Self = Self(2560);

    /// From counts of 1/256 °C, 0 to 2560.
    ///
    /// # Errors
    /// [`SettingsError::Uncertainty`] beyond 10 °C.
    pub const fn from_counts(counts: u16) -> Result<Self, SettingsError> {
        if counts > Self::GREATEST.0 { Err(SettingsError::Uncertainty) } else { Ok(Self(counts)) }
    }

    /// Counts of 1/256 °C.
    pub const fn counts(self) -> u16 {
        self.0
    }
}

/// How a cure is measured against its schedule.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Rule {
    /// The cure time of the coldest band met (rule C3): what printed schedules mean.
    Coldest,
    /// The sum over the bands (rule C4), or C3 where that is met first.
    Accrual,
}

/// Settings of a count. Default: 1.0 °C, 5 min, 100 ppm.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Settings {
    uncertainty: Uncertainty,
    longest_gap: Span,
    clock_ppm: u16,
}

/// A setting out of its bounds (rule Q4).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum SettingsError {
    /// The uncertainty is over 10 °C.
    Uncertainty,
    /// The longest gap is not 1 s to 1 h.
    LongestGap,
    /// The clock allowance is over 10 000 ppm.
    ClockPpm,
}

impl Settings {
    /// 1.0 °C, 5 min, 100 ppm.
    pub const DEFAULT: Self =
        Self { uncertainty: Uncertainty::DEFAULT, longest_gap: Span::from_seconds(300), clock_ppm: 100 };

    /// Checks the bounds of rule Q4: longest gap 1 s to 1 h, allowance 0 to 10 000 ppm (the uncertainty has its own).
    ///
    /// # Errors
    /// The first setting that is out of bounds.
    pub const fn new(uncertainty: Uncertainty, longest_gap: Span, clock_ppm: u16) -> Result<Self, SettingsError> {
        if longest_gap.seconds() < 1 || longest_gap.seconds() > 3600 {
            return Err(SettingsError::LongestGap);
        }
        if clock_ppm > 10_000 {
            return Err(SettingsError::ClockPpm);
        }
        Ok(Self { uncertainty, longest_gap, clock_ppm })
    }

    /// Uncertainty of a reading.
    #[inline]
    pub const fn uncertainty(&self) -> Uncertainty {
        self.uncertainty
    }

    /// The longest time between two accepted readings that still counts as observed.
    #[inline]
    pub const fn longest_gap(&self) -> Span {
        self.longest_gap
    }

    /// Clock allowance in parts per million.
    #[inline]
    pub const fn clock_ppm(&self) -> u16 {
        self.clock_ppm
    }

    /// Which settings are laxer than their default; every output and record names them (rule Q4).
    pub fn laxer(&self) -> Laxer {
        Laxer {
            uncertainty: self.uncertainty < Self::DEFAULT.uncertainty,
            longest_gap: self.longest_gap > Self::DEFAULT.longest_gap,
            clock_ppm: self.clock_ppm < Self::DEFAULT.clock_ppm,
        }
    }
}

/// Settings laxer than their default.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Laxer {
    /// Uncertainty under 1.0 °C.
    pub uncertainty: bool,
    /// Longest gap over 5 min.
    pub longest_gap: bool,
    /// Clock allowance under 100 ppm.
    pub clock_ppm: bool,
}
