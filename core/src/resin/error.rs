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
