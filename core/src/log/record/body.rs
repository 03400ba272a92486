//! The bytes of one record: written and read field by field.
//!
//! Terms: a *number* is in groups of seven bits, lowest first, each in a byte whose highest bit says that more follow;
//! a *signed* one is folded first (0, -1, 1, -2 ... as 0, 1, 2, 3 ...); an *instant* is a signed difference to the
//! time of the reading before the record in the same page.

use crate::log::coder::{fold, unfold};
use crate::quantity::{Count, Instant};

/// The longest body: fits a page of its own.
pub const MOST_BODY: usize = 440;

/// Why a record's bytes are not a record.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum BodyError {
    /// A record of no known kind.
    Tag {
        /// What was found.
        found: u8,
    },
    /// The body ends before its fields do, or goes on after them.
    Length {
        /// The field's place, or the end of the fields.
        offset: usize,
        /// The body's length.
        found: usize,
    },
    /// A field that no record can have.
    Field {
        /// Where the field ends.
        offset: usize,
    },
}

/// Writes a body of at most `N` bytes.
pub(crate) struct BodyWriter<const N: usize = MOST_BODY> {
    bytes: [u8; N],
    /// How many bytes it takes, also beyond the room there is.
    used: usize,
    base: i64,
}

impl<const N: usize> BodyWriter<N> {
    /// Instants are written as differences to `base`.
    pub(crate) const fn new(base: i64) -> Self {
        Self { bytes: [0; N], used: 0, base }
    }

    /// What was written; `None` when it was too long.
    pub(crate) fn bytes(&self) -> Option<&[u8]> {
        self.bytes.get(..self.used)
    }

    #[inline(never)] // half of a record's code would be copies of it
    pub(crate) fn byte(&mut self, byte: u8) {
        if let Some(place) = self.bytes.get_mut(self.used) {
            *place = byte;
        }
        self.used = self.used.wrapping_add(1);
    }

    pub(crate) fn all(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.byte(*byte);
        }
    }

    /// A length of at most 255 and the bytes.
    pub(crate) fn string(&mut self, bytes: &[u8]) {
        self.byte(bytes.len().min(255) as u8);
        self.all(bytes);
    }

    pub(crate) fn number(&mut self, number: impl Into<u64>) {
        let mut rest = number.into();
        while rest >= 0x80 {
            self.byte(rest as u8 | 0x80);
            rest >>= 7;
        }
        self.byte(rest as u8);
    }

    pub(crate) fn signed(&mut self, number: impl Into<i64>) {
        self.number(fold(number.into()));
    }

    pub(crate) fn instant(&mut self, at: Instant) {
        self.signed(at.seconds().wrapping_sub(self.base));
    }

    pub(crate) fn count(&mut self, count: Count) {
        self.signed(count.raw());
    }
}

/// Reads a body. After an error nothing more is read, so why it failed is asked of the reader once, and need not be carried
/// through every field.
pub(crate) struct BodyReader<'a> {
    bytes: &'a [u8],
    used: usize,
    base: i64,
    /// Whether more was asked for than there is.
    short: bool,
}

/// A body that is not the record's; [`BodyReader::why`] says why.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Wrong;

impl<'a> BodyReader<'a> {
    pub(crate) const fn new(bytes: &'a [u8], base: i64) -> Self {
        Self { bytes, used: 0, base, short: false }
    }

    /// Why it failed.
    pub(crate) const fn why(&self) -> BodyError {
        if self.short {
            return BodyError::Length { offset: self.used, found: self.bytes.len() };
        }
        BodyError::Field { offset: self.used }
    }

    /// That nothing is left.
    pub(crate) const fn end(&mut self) -> Result<(), Wrong> {
        self.short = self.used != self.bytes.len();
        if self.short { Err(Wrong) } else { Ok(()) }
    }

    pub(crate) fn all(&mut self, length: usize) -> Result<&'a [u8], Wrong> {
        match self.bytes.get(self.used..).and_then(|rest| rest.get(..length)) {
            Some(bytes) => {
                self.used += length;
                Ok(bytes)
            }
            None => {
                self.short = true;
                Err(Wrong)
            }
        }
    }

    pub(crate) fn array<const N: usize>(&mut self) -> Result<[u8; N], Wrong> {
        let bytes = self.all(N)?;
        <[u8; N]>::try_from(bytes).map_err(|_| Wrong)
    }

    #[inline(never)] // as the writer's
    pub(crate) fn byte(&mut self) -> Result<u8, Wrong> {
        match self.bytes.get(self.used) {
            Some(byte) => {
                self.used += 1;
                Ok(*byte)
            }
            None => {
                self.short = true;
                Err(Wrong)
            }
        }
    }

    pub(crate) fn string(&mut self) -> Result<&'a [u8], Wrong> {
        let length = self.byte()?;
        self.all(usize::from(length))
    }

    fn wide(&mut self) -> Result<u64, Wrong> {
        let mut made = 0u64;
        for group in 0..10u32 {
            let byte = self.byte()?;
            made |= u64::from(byte & 0x7F).wrapping_shl(7 * group);
            if byte & 0x80 == 0 {
                return Ok(made);
            }
        }
        Err(Wrong)
    }

    pub(crate) fn number<T: TryFrom<u64>>(&mut self) -> Result<T, Wrong> {
        let wide = self.wide()?;
        T::try_from(wide).map_err(|_| Wrong)
    }

    pub(crate) fn signed<T: TryFrom<i64>>(&mut self) -> Result<T, Wrong> {
        let wide = unfold(self.wide()?);
        T::try_from(wide).map_err(|_| Wrong)
    }

    pub(crate) fn instant(&mut self) -> Result<Instant, Wrong> {
        let difference: i64 = self.signed()?;
        Ok(Instant::from_seconds(self.base.wrapping_add(difference)))
    }

    pub(crate) fn count(&mut self) -> Result<Count, Wrong> {
        Ok(Count::new(self.signed()?))
    }
}
