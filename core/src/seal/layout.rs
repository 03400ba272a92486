//! Where everything stands in the bytes of a record.
//!
//! ```text
//!  0        1      2      3      4           12        16       28         40         46         58     58+n
//!  ┌────────┬──────┬──────┬──────┬───────────┬─────────┬────────┬──────────┬──────────┬──────────┬──────┬─────────┐
//!  │version │flags │place │n     │device 8   │key 4    │job 12  │resin 12  │batch 6   │chain 12  │label │numbers  │
//!  └────────┴──────┴──────┴──────┴───────────┴─────────┴────────┴──────────┴──────────┴──────────┴──────┴─────────┘
//! flags  bit 0 no torque specified   1 accrual rule   2-3 hole (0 dry, 1 wet, 2 flooded)   4 demo resin
//!            5 settings follow   6 counted seconds only in total   7 label left out
//! place  bits 0-3 number of the fixing   4-7 number of bands less one
//! numbers  seated, working, since, offset [, ahead], required, counted, held, unobserved, coldest
//!          , outside at seating [, uncertainty, longest gap, clock ppm, settle] [, torque least, over, spare]
//! ```
//!
//! Why this way: what has a fixed length stands first, so that a reader finds device, key and chain head without knowing
//! the rest; nothing is written that follows from something else (the cure is the seating plus all seconds, served follows
//! from counted and the allowance), so nothing can contradict itself.
//!
//! How long a record may be: a symbol of version 8 with correction level L takes 279 alphanumeric characters (ISO/IEC
//! 18004, table of capacities), 4 go for the prefix, 275 in base45 are 183 bytes, 64 of those are the signature.

use super::field::{RecordError, Unrecordable};
use super::identity::{BatchHash, JobHash, KeyId, ResinHash};
use super::label::MOST_LABEL;
use super::wire::Reader;
use crate::log::{DeviceId, LINK, Link};
use core::ops::Range;

/// Version of the format, the first byte.
pub(super) const VERSION: u8 = 1;

/// Most bytes of a record: with its signature it fits into a release code of version 8.
pub const MOST_RECORD: usize = 119;

const DEVICE: Range<usize> = 4..4 + DeviceId::BYTES;
const KEY: Range<usize> = DEVICE.end..DEVICE.end + KeyId::BYTES;
const JOB: Range<usize> = KEY.end..KEY.end + JobHash::BYTES;
const RESIN: Range<usize> = JOB.end..JOB.end + ResinHash::BYTES;
const BATCH: Range<usize> = RESIN.end..RESIN.end + BatchHash::BYTES;
const CHAIN: Range<usize> = BATCH.end..BATCH.end + LINK;
/// Where the label begins.
pub(super) const LABEL: usize = CHAIN.end;

/// The longest record before anything is left out: every number as long as its bounds allow.
pub(super) const LONGEST: usize = LABEL + MOST_LABEL + INSTANTS + REQUIRED + COUNTED + BOUNDED;
const INSTANTS: usize = 5 + 3 + 4 + 2 + 5;
const REQUIRED: usize = 4;
const COUNTED: usize = 2 + 16 * 4;
/// Held, unobserved, coldest, outside at seating, settings, torque.
const BOUNDED: usize = 4 + 4 + 3 + 3 + 8 + 9;

// every record fits once its label and its bands are left out
const _: () = assert!(LABEL + INSTANTS + REQUIRED + 4 + BOUNDED <= MOST_RECORD);

/// Flag: no torque is specified.
pub(super) const NO_TORQUE: u8 = 1;
/// Flag: accrual rule.
pub(super) const ACCRUAL: u8 = 1 << 1;
/// Where the hole condition stands in the flags.
pub(super) const HOLE_SHIFT: u8 = 2;
/// The bits of the hole condition.
pub(super) const HOLE: u8 = 0b11 << HOLE_SHIFT;
/// Flag: demo resin.
pub(super) const DEMO: u8 = 1 << 4;
/// Flag: the settings are not the default ones and follow.
pub(super) const SETTINGS: u8 = 1 << 5;
/// Flag: counted seconds only in total.
pub(super) const TOTAL: u8 = 1 << 6;
/// Flag: the label was left out.
pub(super) const LABEL_LEFT_OUT: u8 = 1 << 7;

/// The part of a record that has a fixed place, checked as far as it stands alone.
#[derive(Clone, Copy)]
pub(super) struct Head<'a> {
    bytes: &'a [u8],
    pub(super) flags: u8,
    /// Number of the fixing, 0 to 15.
    pub(super) fixing: u8,
    /// Number of bands, 1 to 16.
    pub(super) bands: u8,
    pub(super) label: &'a [u8],
}

impl<'a> Head<'a> {
    /// Checks lengths, version, flags and the length of the label; gives what is behind the label.
    pub(super) fn read(bytes: &'a [u8]) -> Result<(Self, Reader<'a>), RecordError> {
        let mut reader = Reader::new(bytes, 0);
        match reader.byte()? {
            VERSION => {}
            found => return Err(RecordError::Version { found }),
        }
        if bytes.len() > MOST_RECORD {
            return Err(RecordError::TooLong { most: MOST_RECORD, found: bytes.len() });
        }
        let (flags, place, length) = (reader.byte()?, reader.byte()?, reader.byte()?);
        if flags & HOLE == HOLE {
            return Err(RecordError::Meaningless { offset: 1, found: flags });
        }
        let left_out_and_there = flags & LABEL_LEFT_OUT != 0 && length != 0;
        if usize::from(length) > MOST_LABEL || left_out_and_there {
            return Err(RecordError::Meaningless { offset: 3, found: length });
        }
        let mut reader = Reader::new(bytes, LABEL);
        let label = reader.all(usize::from(length))?;
        Ok((Self { bytes, flags, fixing: place & 0xF, bands: (place >> 4) + 1, label }, reader))
    }

    /// Whether all bits of the flag are set.
    pub(super) const fn has(&self, flag: u8) -> bool {
        self.flags & flag == flag
    }

    pub(super) fn device(&self) -> DeviceId {
        DeviceId(self.array(DEVICE))
    }

    pub(super) fn key(&self) -> KeyId {
        KeyId(self.array(KEY))
    }

    pub(super) fn job(&self) -> JobHash {
        JobHash(self.array(JOB))
    }

    pub(super) fn resin(&self) -> ResinHash {
        ResinHash(self.array(RESIN))
    }

    pub(super) fn batch(&self) -> BatchHash {
        BatchHash(self.array(BATCH))
    }

    pub(super) fn chain(&self) -> Link {
        Link(self.array(CHAIN))
    }

    fn array<const N: usize>(&self, range: Range<usize>) -> [u8; N] {
        // the label was found behind it, so it is there
        self.bytes.get(range).and_then(|bytes| bytes.try_into().ok()).unwrap_or([0; N])
    }
}

/// The number of a fixing and of bands in one byte.
pub(super) fn place(fixing: usize, bands: usize) -> Result<u8, Unrecordable> {
    let wrong = Unrecordable::OutOfBounds { field: super::field::Field::Counted };
    let bands = bands.checked_sub(1).and_then(|bands| u8::try_from(bands).ok()).filter(|bands| *bands < 16);
    let fixing = u8::try_from(fixing).ok().filter(|fixing| *fixing < 16);
    match (fixing, bands) {
        (Some(fixing), Some(bands)) => Ok(bands << 4 | fixing),
        (Some(_) | None, Some(_) | None) => Err(wrong),
    }
}
