//! The numbers of a release record: their names, their bounds, and what can be wrong with them.
//!
//! A bound stands here once; making a record and reading one both hold to it. The bounds are chosen so that every record
//! within them has a code of version 8 (see `layout`), and so that no cure of the rules comes near them.

use crate::cure::served;
use crate::resin::{GREATEST_WET_FACTOR, LONGEST_CURE};

/// A part of a release record.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Field {
    /// Device number.
    Device,
    /// Key number.
    Key,
    /// Job hash.
    Job,
    /// Resin hash.
    Resin,
    /// Batch hash.
    Batch,
    /// Chain head.
    Chain,
    /// Number of the fixing.
    Fixing,
    /// Label of the fixing.
    Label,
    /// Whether the resin may be used on site.
    Use,
    /// Rule of the cure.
    Rule,
    /// Hole condition.
    Hole,
    /// Seating, in seconds of the monotonic clock.
    Seated,
    /// Seconds from the injection to the seating.
    Working,
    /// Seconds from the cure to the instant that the record speaks for.
    Since,
    /// Seconds that UTC is ahead of the monotonic clock.
    Ahead,
    /// Offset of local time in minutes.
    Offset,
    /// Required seconds.
    Required,
    /// Number of bands, or counted seconds, by band or together.
    Counted,
    /// Held seconds.
    Held,
    /// Unobserved seconds.
    Unobserved,
    /// Coldest `low`, in counts of 1/256 °C.
    Coldest,
    /// Uncertainty, in counts of 1/256 °C.
    Uncertainty,
    /// Longest gap in seconds.
    LongestGap,
    /// Clock allowance in ppm.
    ClockPpm,
    /// Time for the probe to settle, in seconds.
    Settle,
    /// The reading between injection and seating that lay furthest outside the installation limits.
    OutsideAtSeating,
    /// How it ended: with a torque or without.
    End,
    /// Least specified torque in 0.01 N·m.
    TorqueLeast,
    /// Applied torque above the least one, in 0.01 N·m.
    TorqueOver,
    /// Greatest specified torque above the applied one, in 0.01 N·m.
    TorqueSpare,
}

/// Most required seconds: the longest cure time with the greatest factor, 140 d (rules S1 and S3).
pub(super) const MOST_REQUIRED: u64 = LONGEST_CURE.seconds() as u64 * GREATEST_WET_FACTOR as u64;
/// Most counted seconds at the cure: served at the greatest allowance of 10 000 ppm, they are the most required ones.
pub(super) const MOST_COUNTED: u32 = 12_218_182;
/// Most seconds of one kind otherwise, 8.5 years: four bytes.
const MOST_SECONDS: u64 = (1 << 28) - 1;
/// Longest time from the injection to the seating, 24 d: three bytes.
const MOST_WORKING: u64 = (1 << 21) - 1;
/// Instants lie within ±544 years: five bytes.
const MOST_INSTANT: u64 = 1 << 35;
/// Greatest torque, 20 971.51 N·m, some twenty times what the largest studs take: three bytes.
const MOST_TORQUE: u64 = (1 << 21) - 1;
/// Greatest offset of local time, 23 h 59 min (RFC 3339, 5.6).
pub(super) const MOST_OFFSET: i16 = 23 * 60 + 59;
/// A count in zigzag form, and one more.
const MOST_OUTSIDE: u64 = zigzag(i16::MIN as i64) + 1;
/// The coldest `low`: the least count less the greatest uncertainty, zigzag.
const MOST_COLDEST: u64 = zigzag(i16::MIN as i64 - 2560);

// served(n) >= r <=> n >= r x 10^6 / (10^6 - ppm), see `cure::required`
const _: () = assert!(served(MOST_COUNTED as u64, 10_000) >= MOST_REQUIRED);
const _: () = assert!(served(MOST_COUNTED as u64 - 1, 10_000) < MOST_REQUIRED);

impl Field {
    /// Least and greatest number of the field as it is encoded (signed ones in zigzag form); fields that are no numbers,
    /// and those with bounds of their own, have none.
    pub(super) const fn bounds(self) -> (u64, u64) {
        match self {
            Self::Seated | Self::Ahead => (0, MOST_INSTANT),
            Self::Working => (0, MOST_WORKING),
            Self::Since | Self::Held | Self::Unobserved => (0, MOST_SECONDS),
            Self::Offset => (0, zigzag(MOST_OFFSET as i64) + 1),
            Self::Required => (1, MOST_REQUIRED),
            Self::Counted => (1, MOST_COUNTED as u64),
            Self::Coldest => (0, MOST_COLDEST),
            Self::Uncertainty => (0, 2560),
            Self::LongestGap => (1, 3600),
            Self::ClockPpm => (0, 10_000),
            Self::Settle => (0, 3600),
            Self::OutsideAtSeating => (0, MOST_OUTSIDE),
            Self::TorqueLeast | Self::TorqueOver | Self::TorqueSpare => (0, MOST_TORQUE),
            Self::Device
            | Self::Key
            | Self::Job
            | Self::Resin
            | Self::Batch
            | Self::Chain
            | Self::Fixing
            | Self::Label
            | Self::Use
            | Self::Rule
            | Self::Hole
            | Self::End => (0, u64::MAX),
        }
    }

    /// The number, when it lies within the bounds.
    pub(super) const fn within(self, number: u64) -> Option<u64> {
        let (least, greatest) = self.bounds();
        if number < least || number > greatest { None } else { Some(number) }
    }
}

/// A signed number as an unsigned one, small either way: 0, -1, 1, -2 become 0, 1, 2, 3.
pub(super) const fn zigzag(number: i64) -> u64 {
    (number.wrapping_shl(1) ^ number.wrapping_shr(63)) as u64
}

/// The inverse of [`zigzag`].
pub(super) const fn unzigzag(number: u64) -> i64 {
    (number >> 1) as i64 ^ -((number & 1) as i64)
}

/// Why no release record can be made.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Unrecordable {
    /// The group has no such fixing.
    NoSuchFixing,
    /// The fixing is neither released, nor cured where no torque is specified.
    Stage,
    /// A number is out of the bounds of a record; or what the engine says does not fit together.
    OutOfBounds {
        /// Which.
        field: Field,
    },
}

/// Why bytes are no release record.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum RecordError {
    /// They end too early.
    TooShort {
        /// Bytes needed, as far as is known.
        needed: usize,
        /// Bytes found.
        found: usize,
    },
    /// There are more than a record may have.
    TooLong {
        /// Most bytes.
        most: usize,
        /// Bytes found.
        found: usize,
    },
    /// Another version of the format.
    Version {
        /// The version found.
        found: u8,
    },
    /// A bit or byte that has no meaning.
    Meaningless {
        /// Where.
        offset: usize,
        /// The byte found.
        found: u8,
    },
    /// The label is no plain text.
    LabelText {
        /// The offset of the first byte that is wrong.
        offset: usize,
    },
    /// A number is not written in the shortest way, or has more than 64 bits.
    Number {
        /// Where it begins.
        offset: usize,
    },
    /// A number is out of its bounds.
    OutOfBounds {
        /// Which.
        field: Field,
        /// Where it begins; the end of the numbers it is the sum of.
        offset: usize,
        /// The number as encoded.
        found: u64,
    },
    /// Under the coldest-band rule less was served than was required.
    Shortfall {
        /// Required seconds.
        required: u64,
        /// Served seconds.
        served: u64,
    },
    /// Bytes behind the last number.
    Trailing {
        /// Where they begin.
        offset: usize,
        /// How many.
        found: usize,
    },
}

#[cfg(test)]
mod tests {
    use super::{Field, unzigzag, zigzag};

    #[test]
    fn zigzag_keeps_small_numbers_small_and_comes_back() {
        let pairs = [(0, 0), (-1, 1), (1, 2), (-2, 3), (i64::MAX, u64::MAX - 1), (i64::MIN, u64::MAX)];
        for (number, coded) in pairs {
            assert_eq!((zigzag(number), unzigzag(coded)), (coded, number));
        }
    }

    #[test]
    fn bounds_hold_at_both_ends() {
        assert_eq!(Field::Required.within(0), None);
        assert_eq!(Field::Required.within(12_096_000), Some(12_096_000));
        assert_eq!(Field::Required.within(12_096_001), None);
        assert_eq!(Field::Coldest.within(zigzag(-35_328)), Some(70_655));
        assert_eq!(Field::Coldest.within(zigzag(-35_329)), None);
    }
}
