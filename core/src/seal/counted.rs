//! Counted seconds as a record carries them.

use super::field::{Field, MOST_COUNTED, RecordError, Unrecordable};
use super::wire::{Reader, Writer};
use crate::resin::MOST_BANDS;

/// Counted seconds at the cure, in the bands of the resin (coldest first) or, where they would not fit into a code, all
/// together.
///
/// Invariants: 1 to 16 bands; 1 to 12 218 182 s in all (what 140 d required make at the greatest clock allowance).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct CountedSeconds {
    detail: Detail,
    /// Bands of the resin.
    bands: u8,
    total: u32,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Detail {
    /// Seconds of each band, zeros behind the last.
    ByBand([u32; MOST_BANDS]),
    /// Left out for want of room.
    Total,
}

impl CountedSeconds {
    /// Seconds of the first `bands` places; none may stand behind them.
    pub(super) fn by_band(seconds: &[u32; MOST_BANDS], bands: usize) -> Result<Self, Unrecordable> {
        let wrong = Unrecordable::OutOfBounds { field: Field::Counted };
        let count = u8::try_from(bands).ok().filter(|bands| (1..=16).contains(bands)).ok_or(wrong)?;
        if seconds.iter().skip(bands).any(|&seconds| seconds != 0) {
            return Err(wrong);
        }
        let total = total_of(seconds).ok_or(wrong)?;
        Ok(Self { detail: Detail::ByBand(*seconds), bands: count, total })
    }

    /// The same without what each band has.
    pub(super) const fn together(self) -> Self {
        Self { detail: Detail::Total, ..self }
    }

    /// Number of bands of the resin, 1 to 16.
    pub const fn bands(&self) -> usize {
        self.bands as usize
    }

    /// All counted seconds.
    pub const fn total(&self) -> u32 {
        self.total
    }

    /// Seconds of each band, coldest first; `None` where the record only has the total.
    pub fn each(&self) -> Option<&[u32]> {
        match &self.detail {
            Detail::ByBand(seconds) => seconds.get(..self.bands()),
            Detail::Total => None,
        }
    }

    /// Whether the record only has the total.
    pub(super) const fn is_total(&self) -> bool {
        match self.detail {
            Detail::ByBand(_) => false,
            Detail::Total => true,
        }
    }

    /// A bit for each band, the coldest first and low, set where it has seconds; then those seconds. Or the total.
    pub(super) fn write<const N: usize>(&self, writer: &mut Writer<N>) {
        match &self.detail {
            Detail::ByBand(seconds) => {
                let used = seconds.iter().rev().fold(0u16, |bits, &seconds| bits << 1 | u16::from(seconds != 0));
                let [low, high] = used.to_le_bytes();
                writer.byte(low);
                if self.bands > 8 {
                    writer.byte(high);
                }
                seconds.iter().filter(|&&seconds| seconds != 0).for_each(|&seconds| writer.number(u64::from(seconds)));
            }
            Detail::Total => writer.number(u64::from(self.total)),
        }
    }

    /// Reads seconds of `bands` bands, 1 to 16.
    pub(super) fn read_by_band(reader: &mut Reader<'_>, bands: u8) -> Result<Self, RecordError> {
        let low = reader.byte()?;
        let high = if bands > 8 { reader.byte()? } else { 0 };
        let used = u16::from_le_bytes([low, high]);
        if u32::from(used) >> bands != 0 {
            let (found, offset) = if bands > 8 { (high, reader.offset()) } else { (low, reader.offset()) };
            return Err(RecordError::Meaningless { offset: offset.saturating_sub(1), found });
        }
        let mut seconds = [0; MOST_BANDS];
        for (place, seconds) in seconds.iter_mut().enumerate() {
            if used >> place & 1 == 1 {
                *seconds = reader.small(Field::Counted)?;
            }
        }
        let sum = seconds.iter().map(|&seconds| u64::from(seconds)).sum();
        let wrong = RecordError::OutOfBounds { field: Field::Counted, offset: reader.offset(), found: sum };
        let total = total_of(&seconds).ok_or(wrong)?;
        Ok(Self { detail: Detail::ByBand(seconds), bands, total })
    }

    /// Reads the total of `bands` bands, 1 to 16.
    pub(super) fn read_total(reader: &mut Reader<'_>, bands: u8) -> Result<Self, RecordError> {
        Ok(Self { detail: Detail::Total, bands, total: reader.small(Field::Counted)? })
    }
}

/// The sum, when it lies within the bounds.
fn total_of(seconds: &[u32; MOST_BANDS]) -> Option<u32> {
    let total = seconds.iter().try_fold(0u32, |sum, &seconds| sum.checked_add(seconds))?;
    (1..=MOST_COUNTED).contains(&total).then_some(total)
}

#[cfg(test)]
#[allow(clippy::expect_used, clippy::indexing_slicing, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{CountedSeconds, Reader, Writer};
    use crate::seal::field::{Field, MOST_COUNTED, RecordError};

    fn written(counted: &CountedSeconds) -> Writer<80> {
        let mut writer = Writer::new();
        counted.write(&mut writer);
        writer
    }

    #[test]
    fn only_bands_with_seconds_take_room() {
        let mut seconds = [0; 16];
        (seconds[1], seconds[3]) = (43_200, 5);
        let six = CountedSeconds::by_band(&seconds, 6).expect("in bounds");
        assert_eq!(written(&six).bytes(), [0b1010, 0xC0, 0xD1, 0x02, 5]);
        let sixteen = CountedSeconds::by_band(&seconds, 16).expect("in bounds");
        assert_eq!(written(&sixteen).bytes(), [0b1010, 0, 0xC0, 0xD1, 0x02, 5]);
        for (counted, bands) in [(six, 6), (sixteen, 16)] {
            let read = CountedSeconds::read_by_band(&mut Reader::new(written(&counted).bytes(), 0), bands);
            assert_eq!(read, Ok(counted));
        }
        let total = six.together();
        assert_eq!((total.total(), total.each()), (43_205, None));
        assert_eq!(CountedSeconds::read_total(&mut Reader::new(written(&total).bytes(), 0), 6), Ok(total));
    }

    #[test]
    fn seconds_behind_the_last_band_and_none_at_all_are_refused() {
        let mut seconds = [0; 16];
        assert!(CountedSeconds::by_band(&seconds, 6).is_err());
        seconds[6] = 1;
        assert!(CountedSeconds::by_band(&seconds, 6).is_err());
        assert!(CountedSeconds::by_band(&seconds, 7).is_ok());
        assert!(CountedSeconds::by_band(&seconds, 17).is_err());
        let behind = RecordError::Meaningless { offset: 0, found: 0b100_0000 };
        assert_eq!(CountedSeconds::read_by_band(&mut Reader::new(&[0b100_0000, 1], 0), 6), Err(behind));
        let behind = RecordError::Meaningless { offset: 1, found: 0b10 };
        assert_eq!(CountedSeconds::read_by_band(&mut Reader::new(&[0, 0b10, 1], 0), 9), Err(behind));
        let none = RecordError::OutOfBounds { field: Field::Counted, offset: 1, found: 0 };
        assert_eq!(CountedSeconds::read_by_band(&mut Reader::new(&[0], 0), 6), Err(none));
    }

    #[test]
    fn a_sum_beyond_any_cure_is_refused() {
        let mut seconds = [0; 16];
        (seconds[0], seconds[1]) = (MOST_COUNTED, 1);
        assert!(CountedSeconds::by_band(&seconds, 2).is_err());
        let mut writer = Writer::<80>::new();
        writer.byte(0b11);
        writer.number(u64::from(MOST_COUNTED));
        writer.number(1);
        let beyond = u64::from(MOST_COUNTED) + 1;
        let wrong = RecordError::OutOfBounds { field: Field::Counted, offset: 6, found: beyond };
        assert_eq!(CountedSeconds::read_by_band(&mut Reader::new(writer.bytes(), 0), 2), Err(wrong));
    }
}
