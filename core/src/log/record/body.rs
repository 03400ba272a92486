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

/// Writes a body.
pub(crate) struct BodyWriter {
    bytes: [u8; MOST_BODY],
    /// How many bytes it takes, also beyond the room there is.
    used: usize,
    base: i64,
}

impl BodyWriter {
    /// Instants are written as differences to `base`.
    pub(crate) const fn new(base: i64) -> Self {
        Self { bytes: [0; MOST_BODY], used: 0, base }
    }

    /// What was written; `None` when it was too long.
    pub(crate) fn bytes(&self) -> Option<&[u8]> {
        self.bytes.get(..self.used)
    }

    #[inline(never)]
    pub(crate) fn byte(&mut self, byte: u8) {
        if let Some(place) = self.bytes.get_mut(self.used) {
            *place = byte;
        }
        self.used = self.used.saturating_add(1);
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
        self.wide(number.into());
    }

    #[inline(never)]
    fn wide(&mut self, mut rest: u64) {
        while rest >= 0x80 {
            self.byte(rest as u8 | 0x80);
            rest >>= 7;
        }
        self.byte(rest as u8);
    }

    pub(crate) fn signed(&mut self, number: impl Into<i64>) {
        self.number(fold(number.into()));
    }

    #[inline(never)]
    pub(crate) fn instant(&mut self, at: Instant) {
        self.signed(at.seconds().wrapping_sub(self.base));
    }

    #[inline(never)]
    pub(crate) fn count(&mut self, count: Count) {
        self.signed(count.raw());
    }
}

/// Reads a body. The first thing that is wrong is kept, nothing is read after it but zeros, and [`Self::end`] tells: one
/// question at the end instead of one behind every field.
pub(crate) struct BodyReader<'a> {
    bytes: &'a [u8],
    used: usize,
    base: i64,
    wrong: Option<BodyError>,
}

impl<'a> BodyReader<'a> {
    pub(crate) const fn new(bytes: &'a [u8], base: i64) -> Self {
        Self { bytes, used: 0, base, wrong: None }
    }

    /// This is wrong, unless something was before.
    pub(crate) fn fail(&mut self, error: BodyError) {
        self.wrong.get_or_insert(error);
    }

    /// What was just read cannot be so.
    #[inline(never)]
    pub(crate) fn refuse(&mut self) {
        self.fail(BodyError::Field { offset: self.used });
    }

    /// The value; one that there is not is refused.
    pub(crate) fn or_refuse<T>(&mut self, value: Option<T>, instead: T) -> T {
        match value {
            Some(value) => value,
            None => {
                self.refuse();
                instead
            }
        }
    }

    /// That everything was right, and nothing is left.
    ///
    /// # Errors
    /// The first thing that was wrong.
    pub(crate) const fn end(&self) -> Result<(), BodyError> {
        match self.wrong {
            Some(wrong) => Err(wrong),
            None if self.used == self.bytes.len() => Ok(()),
            None => Err(BodyError::Length { offset: self.used, found: self.bytes.len() }),
        }
    }

    /// So many bytes; none when there are not so many.
    #[inline(never)]
    pub(crate) fn all(&mut self, length: usize) -> &'a [u8] {
        if self.wrong.is_some() {
            return &[];
        }
        let end = self.used.saturating_add(length);
        let Some(bytes) = self.bytes.get(self.used..end) else {
            self.fail(BodyError::Length { offset: self.used, found: self.bytes.len() });
            return &[];
        };
        self.used = end;
        bytes
    }

    pub(crate) fn array<const N: usize>(&mut self) -> [u8; N] {
        let mut made = [0; N];
        for (to, from) in made.iter_mut().zip(self.all(N)) {
            *to = *from;
        }
        made
    }

    #[inline(never)]
    pub(crate) fn byte(&mut self) -> u8 {
        self.all(1).first().copied().unwrap_or(0)
    }

    pub(crate) fn string(&mut self) -> &'a [u8] {
        let length = self.byte();
        self.all(usize::from(length))
    }

    #[inline(never)]
    fn wide(&mut self) -> u64 {
        let mut made = 0u64;
        for group in 0..10u32 {
            let byte = self.byte();
            made |= u64::from(byte & 0x7F).wrapping_shl(7 * group);
            if byte & 0x80 == 0 {
                return made;
            }
        }
        self.refuse();
        0
    }

    /// A number not above `most`.
    #[inline(never)]
    fn number_to(&mut self, most: u64) -> u64 {
        let wide = self.wide();
        self.or_refuse((wide <= most).then_some(wide), 0)
    }

    /// A number of 32 bits.
    pub(crate) fn number(&mut self) -> u32 {
        self.number_to(u64::from(u32::MAX)) as u32
    }

    /// A number of 16 bits.
    pub(crate) fn short(&mut self) -> u16 {
        self.number_to(u64::from(u16::MAX)) as u16
    }

    pub(crate) fn signed(&mut self) -> i64 {
        unfold(self.wide())
    }

    /// A signed number of 16 bits.
    #[inline(never)]
    pub(crate) fn signed_short(&mut self) -> i16 {
        let wide = self.signed();
        self.or_refuse(i16::try_from(wide).ok(), 0)
    }

    #[inline(never)]
    pub(crate) fn instant(&mut self) -> Instant {
        let difference = self.signed();
        Instant::from_seconds(self.base.wrapping_add(difference))
    }

    pub(crate) fn count(&mut self) -> Count {
        Count::new(self.signed_short())
    }
}
