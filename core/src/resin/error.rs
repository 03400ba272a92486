//! What can be wrong with a schedule.

use crate::quantity::Count;

/// Which pair of limits.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Which {
    /// Substrate at installation.
    Install,
    /// Substrate while curing.
    Cure,
    /// Cartridge.
    Cartridge,
}

/// Why a schedule is refused (rules S1 to S3, `docs/interfaces.md`). `band` counts from 0 in the order of the file.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum ResinError {
    /// A least limit above its greatest.
    LeastAboveGreatest {
        /// Which limits.
        which: Which,
    },
    /// No hole condition is allowed.
    NoHole,
    /// The wet factor is not a whole number from 2 to 10.
    WetFactor {
        /// What was given.
        found: u8,
    },
    /// No band.
    NoBand,
    /// More than 16 bands.
    TooManyBands {
        /// How many were given.
        found: usize,
    },
    /// A band's edge does not lie above the one before it (as counts).
    EdgeNotRising {
        /// The second of the two.
        band: usize,
    },
    /// A working time of zero.
    WorkingZero {
        /// The band.
        band: usize,
    },
    /// A working time longer than that of the colder band before it.
    WorkingRising {
        /// The warmer band.
        band: usize,
    },
    /// A cure time of zero.
    CureZero {
        /// The band.
        band: usize,
    },
    /// A cure time over 14 days.
    CureTooLong {
        /// The band.
        band: usize,
    },
    /// A cure time longer than that of the colder band before it.
    CureRising {
        /// The warmer band.
        band: usize,
    },
    /// The lower reject temperature lies above the coldest usable edge.
    RejectBelowTooWarm {
        /// The coldest usable edge.
        edge: Count,
    },
    /// The upper reject temperature lies below the greatest curing temperature.
    RejectAboveTooCold {
        /// The greatest curing temperature.
        greatest: Count,
    },
    /// A longest hold of zero.
    HoldZero,
}

impl core::fmt::Display for ResinError {
    /// Bands are counted from 1 here. Temperatures are in counts of 1/256 °C.
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        let mut of_band = |band: &usize, what: &str| write!(formatter, "band {}: {what}", band.saturating_add(1));
        match self {
            Self::EdgeNotRising { band } => of_band(band, "its edge does not lie above the one before it"),
            Self::WorkingZero { band } => of_band(band, "a working time of zero"),
            Self::WorkingRising { band } => of_band(band, "a longer working time than in the colder band before it"),
            Self::CureZero { band } => of_band(band, "a cure time of zero"),
            Self::CureTooLong { band } => of_band(band, "a cure time over 14 days"),
            Self::CureRising { band } => of_band(band, "a longer cure time than in the colder band before it"),
            Self::LeastAboveGreatest { which } => formatter.write_str(match which {
                Which::Install => "the least installation temperature is above the greatest",
                Which::Cure => "the least curing temperature is above the greatest",
                Which::Cartridge => "the least cartridge temperature is above the greatest",
            }),
            Self::NoHole => formatter.write_str("no hole condition is allowed"),
            Self::WetFactor { found } => write!(formatter, "the wet factor is {found}, and must be 2 to 10"),
            Self::NoBand => formatter.write_str("there is no band"),
            Self::TooManyBands { found } => write!(formatter, "there are {found} bands, of at most 16"),
            Self::RejectBelowTooWarm { edge } => {
                write!(
                    formatter,
                    "the lower reject temperature is above the coldest usable edge, {}/256 °C",
                    edge.raw()
                )
            }
            Self::RejectAboveTooCold { greatest } => {
                let greatest = greatest.raw();
                write!(formatter, "the upper reject temperature is below the greatest curing one, {greatest}/256 °C")
            }
            Self::HoldZero => formatter.write_str("a longest hold of zero"),
        }
    }
}

impl core::error::Error for ResinError {}
