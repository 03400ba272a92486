//! The log on a byte storage of `embedded_storage`.
//!
//! What for: drivers of EEPROMs and FRAMs that implement its `Storage` serve as the log's memory as they are.
//! What such a storage must keep: the contract of [`Memory`]. `Storage` itself promises less, so this holds for the driver:
//! - a byte is written by itself, whatever stood there, and no byte outside the range ever changes, not even for a moment;
//! - a write has reached the part when it returns, in rising order;
//! - a write that a power cut ends leaves new bytes, then at most one that is half written, then old ones.
//!
//! What it does not do: make a log out of NOR flash. The log moves its trailer on with every record, over bytes that were written
//! before; NOR flash must erase a whole sector for that, with the records beside it. The `RmwNorFlashStorage` of that crate does so, and
//! implements `Storage`: a power cut between its erasing and its writing takes the pages of a sector, acknowledged or not.

use super::memory::{Memory, MemoryError};
use embedded_storage::Storage;

/// A byte storage as a memory for the log; see the module for what it must keep.
#[derive(Clone, Copy, Debug)]
pub struct StorageMemory<S>(pub S);

impl<S: Storage> StorageMemory<S> {
    /// That the range lies in the storage.
    fn within(&self, offset: u32, length: usize) -> Result<(), MemoryError> {
        let out = MemoryError::OutOfRange { offset, length: u32::try_from(length).unwrap_or(u32::MAX) };
        let end = usize::try_from(offset).ok().and_then(|start| start.checked_add(length)).ok_or(out)?;
        if end > self.0.capacity() { Err(out) } else { Ok(()) }
    }
}

/// Whatever the storage says of its failure, the part did not answer.
impl<S: Storage> Memory for StorageMemory<S> {
    fn size(&self) -> u32 {
        u32::try_from(self.0.capacity()).unwrap_or(u32::MAX)
    }

    fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), MemoryError> {
        self.within(offset, into.len())?;
        self.0.read(offset, into).map_err(|_| MemoryError::NoAnswer)
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), MemoryError> {
        self.within(offset, bytes.len())?;
        self.0.write(offset, bytes).map_err(|_| MemoryError::NoAnswer)
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, clippy::indexing_slicing, reason = "a broken expectation must stop the test")]
mod tests {
    extern crate std;

    use super::{Memory, MemoryError, StorageMemory};
    use crate::cure::{Rule, Settings};
    use crate::fixing::Demands;
    use crate::group::{Happening, Verdict};
    use crate::log::{
        Acknowledged, Beginning, Bytes, DeviceId, FileHash, ImageMemory, Job, LEAST_SIZE, Logger, RamMemory,
        ResinRecord, Source, mount,
    };
    use crate::quantity::{Count, Instant, Span};
    use crate::resin::{Accrual, Band, Hole, Holes, Limits, Resin, ResinSpec, ResinUse};
    use embedded_storage::{ReadStorage, Storage};
    use std::vec::Vec;

    const DEVICE: DeviceId = DeviceId(*b"storage1");

    /// An EEPROM behind its driver, whose power ends after so many bytes; the byte that was being written is half written.
    struct Eeprom {
        bytes: Vec<u8>,
        left: usize,
    }

    #[derive(Debug)]
    struct Dark;

    impl ReadStorage for Eeprom {
        type Error = Dark;

        fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), Dark> {
            let start = offset as usize;
            into.copy_from_slice(&self.bytes[start..start + into.len()]);
            if self.left == 0 { Err(Dark) } else { Ok(()) }
        }

        fn capacity(&self) -> usize {
            self.bytes.len()
        }
    }

    impl Storage for Eeprom {
        fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), Dark> {
            for (place, byte) in self.bytes[offset as usize..].iter_mut().zip(bytes) {
                self.left = self.left.saturating_sub(1);
                if self.left == 0 {
                    *place = *byte & 0x0F | *place & 0xF0;
                    return Err(Dark);
                }
                *place = *byte;
            }
            Ok(())
        }
    }

    fn beginning() -> Beginning {
        let (least, greatest) = (Count::from_degrees(0), Count::from_degrees(40));
        let limits = Limits {
            install_least: least,
            install_greatest: greatest,
            cure_least: least,
            cure_greatest: greatest,
            reject_below: None,
            reject_above: None,
            longest_hold: None,
        };
        let spec = ResinSpec {
            limits,
            cartridge_least: least,
            cartridge_greatest: greatest,
            holes: Holes::NONE.with(Hole::Dry),
            wet_factor: 2,
            accrual: Accrual::Forbidden,
            bands: &[Band { from: least, working: Span::from_seconds(600), cure: Span::from_seconds(3600) }],
        };
        let (file, name) = (FileHash([7; 32]), Bytes::cut("Quay grey, invented"));
        let (resin, resin_use) = (Resin::new(&spec).expect("valid"), ResinUse::Demo);
        Beginning {
            firmware: [0, 1, 0],
            source: Source::Trace,
            resin: ResinRecord { resin, resin_use, file, name },
            job: Job { file, settings: Settings::DEFAULT, rule: Rule::Coldest, period: Span::from_seconds(60) },
            demands: Demands::NONE,
        }
    }

    /// A session with readings until one is not taken: how many were acknowledged, and whether the session was.
    fn session<M: Memory>(memory: M) -> (Option<u64>, M) {
        let mut logger = Logger::new(memory, DEVICE.into());
        if logger.mount(&mut |_| {}, &mut |_| {}).is_err() || logger.begin(&beginning()).is_err() {
            return (None, logger.into_memory());
        }
        let mut stored = 0;
        for minute in 0..40 {
            let (at, count) = (Instant::from_seconds(60 * minute), Count::from_degrees(10 + (minute % 3) as i8));
            match logger.happen(Happening::Reading { at, count }, &mut |_| {}) {
                Ok(Acknowledged::Stored(Verdict::Accepted)) => stored += 1,
                _ => break,
            }
        }
        (Some(stored), logger.into_memory())
    }

    fn eeprom(left: usize) -> StorageMemory<Eeprom> {
        StorageMemory(Eeprom { bytes: std::vec![0xFF; LEAST_SIZE as usize], left })
    }

    #[test]
    fn a_log_on_a_storage_is_the_log_on_an_array() {
        let (stored, memory) = session(eeprom(usize::MAX));
        let mut array = std::vec![0xFF; LEAST_SIZE as usize];
        let (on_array, _) = session(RamMemory(&mut array));
        assert_eq!((stored, memory.0.bytes), (Some(40), array));
        assert_eq!(on_array, Some(40));
    }

    #[test]
    fn a_storage_cut_at_any_byte_keeps_what_was_acknowledged() {
        let mut cut = 0;
        for left in 1.. {
            let (stored, memory) = session(eeprom(left));
            let image = ImageMemory(&memory.0.bytes);
            let logger = mount(image, DEVICE, &mut |_| {}, &mut |_| {}).map(|(logger, _)| logger);
            if let Some(stored) = stored {
                let logger = logger.expect("a session was acknowledged");
                let kept = logger.group().expect("a session was acknowledged").readings().accepted;
                assert!(kept == stored || kept == stored + 1, "{kept} of {stored} with {left} bytes");
            }
            if stored == Some(40) {
                break;
            }
            cut += 1;
        }
        assert!(cut > 1_000, "{cut} cuts");
    }

    #[test]
    fn what_lies_outside_a_storage_is_not_asked_of_it() {
        let mut memory = eeprom(usize::MAX);
        let out = |offset, length| Err(MemoryError::OutOfRange { offset, length });
        assert_eq!(memory.size(), LEAST_SIZE);
        assert_eq!(memory.write(LEAST_SIZE - 1, &[1, 2]), out(LEAST_SIZE - 1, 2));
        assert_eq!(memory.read(u32::MAX, &mut [0; 4]), out(u32::MAX, 4));
        assert_eq!(memory.write(LEAST_SIZE - 2, &[1, 2]), Ok(()));
        assert_eq!(eeprom(0).read(0, &mut [0; 4]), Err(MemoryError::NoAnswer));
    }
}
