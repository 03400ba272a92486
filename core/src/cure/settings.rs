//! Settings of a count and their bounds (rule Q4).

use crate::probe::LOGGER_LOOKS_BACK;
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
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Rule {
    /// The cure time of the coldest band met (rule C3): what printed schedules mean.
    Coldest,
    /// The sum over the bands (rule C4), or C3 where that is met first.
    Accrual,
}

impl Rule {
    /// The short fixed word of `docs/interfaces.md`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Coldest => "coldest",
            Self::Accrual => "accrual",
        }
    }
}

/// Settings of a count. Default: 1.0 °C, 5 min, 100 ppm, 180 s.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Settings {
    uncertainty: Uncertainty,
    longest_gap: Span,
    clock_ppm: u16,
    settle: Span,
}

/// A setting out of its bounds (rule Q4).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum SettingsError {
    /// The uncertainty is over 10 °C.
    Uncertainty,
    /// The longest gap is not 1 s to 1 h.
    LongestGap,
    /// The clock allowance is over 10 000 ppm.
    ClockPpm,
    /// The time to settle is over 1 h.
    Settle,
}

impl core::fmt::Display for SettingsError {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        formatter.write_str(match self {
            Self::Uncertainty => "the uncertainty is over 10 °C",
            Self::LongestGap => "the longest gap is not 1 s to 1 h",
            Self::ClockPpm => "the clock allowance is over 10 000 ppm",
            Self::Settle => "the time to settle is over 1 h",
        })
    }
}

impl core::error::Error for SettingsError {}

impl Settings {
    /// 1.0 °C, 5 min, 100 ppm, 180 s.
    pub const DEFAULT: Self = Self {
        uncertainty: Uncertainty::DEFAULT,
        longest_gap: Span::from_seconds(300),
        clock_ppm: 100,
        settle: Span::from_seconds(180),
    };

    /// Checks the bounds of rule Q4: longest gap 1 s to 1 h, allowance 0 to 10 000 ppm (the uncertainty has its own). The time
    /// to settle is the default one; [`Self::with_settle`] gives another.
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
        Ok(Self { uncertainty, longest_gap, clock_ppm, settle: Self::DEFAULT.settle })
    }

    /// The same with another time for the probe to settle (rule R6): 0 s to 1 h, 0 switches the rule off.
    ///
    /// # Errors
    /// [`SettingsError::Settle`] beyond 1 h.
    pub const fn with_settle(self, settle: Span) -> Result<Self, SettingsError> {
        if settle.seconds() > 3600 { Err(SettingsError::Settle) } else { Ok(Self { settle, ..self }) }
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

    /// How long before a start the probe must have said nearly the same already (rule R6); 0 s switches the rule off.
    #[inline]
    pub const fn settle(&self) -> Span {
        self.settle
    }

    /// Whether a logger that takes a reading every `period` can look back over the time to settle, with as many readings again for
    /// actions (rule R6).
    pub const fn suits_logger(&self, period: Span) -> bool {
        let looks_back = LOGGER_LOOKS_BACK as u64;
        let settle = self.settle.seconds() as u64;
        settle <= looks_back || 2 * settle <= looks_back * period.seconds() as u64
    }

    /// Which settings are laxer than their default; every output and record names them (rule Q4).
    pub fn laxer(&self) -> Laxer {
        Laxer {
            uncertainty: self.uncertainty < Self::DEFAULT.uncertainty,
            longest_gap: self.longest_gap > Self::DEFAULT.longest_gap,
            clock_ppm: self.clock_ppm < Self::DEFAULT.clock_ppm,
            settle: self.settle < Self::DEFAULT.settle,
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
    /// Time to settle under 180 s.
    pub settle: bool,
}

impl Laxer {
    /// The short fixed words of `docs/interfaces.md` for those that are laxer.
    pub fn words(self) -> impl Iterator<Item = &'static str> {
        let all = [
            (self.uncertainty, "uncertainty"),
            (self.longest_gap, "longest-gap"),
            (self.clock_ppm, "clock-ppm"),
            (self.settle, "settle"),
        ];
        all.into_iter().filter(|(is, _)| *is).map(|(_, word)| word)
    }

    /// The same read back from those words; others are passed over.
    pub fn of_words<'w>(words: impl Iterator<Item = &'w str>) -> Self {
        let mut laxer = Self { uncertainty: false, longest_gap: false, clock_ppm: false, settle: false };
        for word in words {
            match word {
                "uncertainty" => laxer.uncertainty = true,
                "longest-gap" => laxer.longest_gap = true,
                "clock-ppm" => laxer.clock_ppm = true,
                "settle" => laxer.settle = true,
                _ => {}
            }
        }
        laxer
    }
}
