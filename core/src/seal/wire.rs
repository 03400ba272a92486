//! Writing and reading the numbers of a record.
//!
//! Numbers are unsigned LEB128: seven bits a byte, low ones first, the top bit set on all but the last byte. Exactly one
//! spelling of a number is read, the shortest, so that a record has one encoding. Signed numbers are written in zigzag form.

use super::field::{Field, RecordError, unzigzag, zigzag};

/// Bytes written so far, in a buffer that the longest record fits into.
#[derive(Clone, Copy)]
pub(super) struct Writer<const N: usize> {
    bytes: [u8; N],
    used: usize,
}

impl<const N: usize> Writer<N> {
    pub(super) const fn new() -> Self {
        Self { bytes: [0; N], used: 0 }
    }

    pub(super) fn byte(&mut self, byte: u8) {
        // the bounds of the fields keep every record inside the buffer; a test walks through the longest
        if let Some(place) = self.bytes.get_mut(self.used) {
            *place = byte;
            self.used = self.used.saturating_add(1);
        }
    }

    pub(super) fn all(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|&byte| self.byte(byte));
    }

    pub(super) fn number(&mut self, mut number: u64) {
        while number > 0x7F {
            self.byte(number as u8 | 0x80);
            number >>= 7;
        }
        self.byte(number as u8);
    }

    pub(super) fn signed(&mut self, number: i64) {
        self.number(zigzag(number));
    }

    pub(super) fn bytes(&self) -> &[u8] {
        self.bytes.get(..self.used).unwrap_or_default()
    }
}

/// The part of a record that has not been read yet.
pub(super) struct Reader<'a> {
    all: &'a [u8],
    offset: usize,
}

impl<'a> Reader<'a> {
    /// Reads on from `offset`.
    pub(super) const fn new(all: &'a [u8], offset: usize) -> Self {
        Self { all, offset }
    }

    pub(super) const fn offset(&self) -> usize {
        self.offset
    }

    pub(super) fn byte(&mut self) -> Result<u8, RecordError> {
        let needed = self.offset.saturating_add(1);
        let byte = self.all.get(self.offset).ok_or(RecordError::TooShort { needed, found: self.all.len() })?;
        self.offset = needed;
        Ok(*byte)
    }

    pub(super) fn all(&mut self, count: usize) -> Result<&'a [u8], RecordError> {
        let needed = self.offset.saturating_add(count);
        let taken = self.all.get(self.offset..needed);
        let taken = taken.ok_or(RecordError::TooShort { needed, found: self.all.len() })?;
        self.offset = needed;
        Ok(taken)
    }

    /// An unsigned number within the bounds of its field.
    pub(super) fn number(&mut self, field: Field) -> Result<u64, RecordError> {
        let offset = self.offset;
        let mut number = 0u64;
        for shift in (0..64).step_by(7) {
            let byte = self.byte()?;
            let low = u64::from(byte & 0x7F);
            number |= low << shift;
            let overflows = low << shift >> shift != low;
            let padded = byte == 0 && shift > 0;
            if overflows || padded {
                return Err(RecordError::Number { offset });
            }
            if byte < 0x80 {
                return field.within(number).ok_or(RecordError::OutOfBounds { field, offset, found: number });
            }
        }
        Err(RecordError::Number { offset })
    }

    /// The same in 32 bits, for fields whose bounds lie within them.
    pub(super) fn small(&mut self, field: Field) -> Result<u32, RecordError> {
        let offset = self.offset;
        let number = self.number(field)?;
        u32::try_from(number).map_err(|_| RecordError::OutOfBounds { field, offset, found: number })
    }

    /// A signed number whose zigzag form lies within the bounds of its field.
    pub(super) fn signed(&mut self, field: Field) -> Result<i64, RecordError> {
        self.number(field).map(unzigzag)
    }

    /// Nothing may be left.
    pub(super) fn end(&self) -> Result<(), RecordError> {
        match self.all.len().saturating_sub(self.offset) {
            0 => Ok(()),
            found => Err(RecordError::Trailing { offset: self.offset, found }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Reader, Writer};
    use crate::seal::field::{Field, RecordError};

    #[test]
    fn a_number_has_one_spelling() {
        for (number, bytes) in [
            (0u64, &[0u8][..]),
            (127, &[127]),
            (128, &[0x80, 1]),
            (300, &[0xAC, 2]),
            (u64::MAX, &[255, 255, 255, 255, 255, 255, 255, 255, 255, 1]),
        ] {
            let mut writer = Writer::<16>::new();
            writer.number(number);
            assert_eq!(writer.bytes(), bytes);
            assert_eq!(Reader::new(bytes, 0).number(Field::Device), Ok(number)); // a field without bounds
        }
        let padded = [0x80, 0x80, 0x00];
        assert_eq!(Reader::new(&padded, 0).number(Field::Device), Err(RecordError::Number { offset: 0 }));
        let endless = [0xFF; 12];
        assert_eq!(Reader::new(&endless, 0).number(Field::Device), Err(RecordError::Number { offset: 0 }));
        let beyond = [255, 255, 255, 255, 255, 255, 255, 255, 255, 2];
        assert_eq!(Reader::new(&beyond, 0).number(Field::Device), Err(RecordError::Number { offset: 0 }));
    }

    #[test]
    fn a_number_that_breaks_off_or_runs_over_its_bounds_is_named() {
        let short = RecordError::TooShort { needed: 2, found: 1 };
        assert_eq!(Reader::new(&[0x80], 0).number(Field::Device), Err(short));
        let over = RecordError::OutOfBounds { field: Field::LongestGap, offset: 1, found: 3_601 };
        assert_eq!(Reader::new(&[7, 0x91, 0x1C], 1).number(Field::LongestGap), Err(over));
    }
}
