//! The log's memory: a serial EEPROM (24-series with two address bytes) or an FRAM of the same command set.
//!
//! What for: [`holdoff_core::log::Memory`] over the bus. A write is split at the part's own pages, since an EEPROM wraps to the
//! beginning of its page; the part's write cycle is waited for by asking until it acknowledges (acknowledge polling, 24-series
//! data sheets); then what was written is read back. Only then it is acknowledged to the log.
//! Terms: a *part page* is the 32 to 256 bytes that one write cycle takes; a *block* is the 64 KiB that two address bytes
//! reach, and the bits above stand in the part's own address (24CM01, 24CM02).
//! Invariants: every wait and every number of tries is bounded (an absent part costs three rounds of polls, 0.1 s); a range
//! outside the part is refused before anything moves.
//! What it does not do: keep a copy, or know what the bytes mean.

use crate::board::Bus;
use embedded_hal::i2c::{Error, ErrorKind, NoAcknowledgeSource, Operation};
use holdoff_core::log::{Memory, MemoryError};

/// Tries of a transfer that failed or did not take.
const TRIES: u8 = 3;
/// Polls for the end of a write cycle: at [`POLL_US`] this is 25 ms. The data sheets say 5 ms, some 10.
const POLLS: u8 = 50;
/// Microseconds between polls.
const POLL_US: u32 = 500;
/// Bytes compared at a time when reading back.
const COMPARED: usize = 32;
/// Bytes of a block.
const BLOCK: u32 = 0x1_0000;

/// What the memory is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct MemoryPart {
    /// Its address on the bus; the blocks of a part beyond 64 KiB take the addresses behind it.
    pub address: u8,
    /// Bytes.
    pub bytes: u32,
    /// Bytes of a part page, a power of two; 0 for an FRAM, which has none.
    pub page: u16,
}

impl MemoryPart {
    /// A 64 KiB EEPROM with pages of 128 bytes (24xx512).
    pub const EEPROM_64K: Self = Self { address: 0x50, bytes: 64 * 1024, page: 128 };
    /// A 32 KiB EEPROM with pages of 64 bytes (24xx256).
    pub const EEPROM_32K: Self = Self { address: 0x50, bytes: 32 * 1024, page: 64 };
    /// A 32 KiB FRAM (FM24W256, MB85RC256).
    pub const FRAM_32K: Self = Self { address: 0x50, bytes: 32 * 1024, page: 0 };
    /// A 64 KiB FRAM (FM24V05, MB85RC512). It has no pages; it is written 128 bytes at a time, so that a board need not keep
    /// more than that for its bus.
    pub const FRAM_64K: Self = Self { address: 0x50, bytes: 64 * 1024, page: 128 };
}

/// The memory on its bus.
#[derive(Debug)]
pub struct SerialMemory<B> {
    part: MemoryPart,
    /// `None` until the board is there.
    bus: Option<B>,
}

impl<B> SerialMemory<B> {
    /// The part without a bus: nothing can be read or written yet. So it can stand in a static from the start.
    pub const fn unplugged(part: MemoryPart) -> Self {
        Self { part, bus: None }
    }

    /// Gives it its bus.
    pub fn plug(&mut self, bus: B) {
        self.bus = Some(bus);
    }
}

impl<B: Bus> Memory for SerialMemory<B> {
    fn size(&self) -> u32 {
        self.part.bytes
    }

    fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), MemoryError> {
        self.part.has(offset, into.len())?;
        let bus = self.bus.as_mut().ok_or(MemoryError::NoAnswer)?;
        let mut offset = offset;
        let mut rest = into;
        while !rest.is_empty() {
            let here = chunk(offset, BLOCK, rest.len());
            let (now, later) = rest.split_at_mut_checked(here).ok_or(MemoryError::NoAnswer)?;
            self.part.read(bus, offset, now)?;
            (rest, offset) = (later, offset.saturating_add(here as u32));
        }
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), MemoryError> {
        self.part.has(offset, bytes.len())?;
        let bus = self.bus.as_mut().ok_or(MemoryError::NoAnswer)?;
        let page = if self.part.page == 0 { BLOCK } else { u32::from(self.part.page) };
        let mut offset = offset;
        let mut rest = bytes;
        while !rest.is_empty() {
            let here = chunk(offset, page, rest.len());
            let (now, later) = rest.split_at_checked(here).ok_or(MemoryError::NoAnswer)?;
            self.part.write(bus, offset, now)?;
            (rest, offset) = (later, offset.saturating_add(here as u32));
        }
        Ok(())
    }
}

/// How many of `left` bytes lie before the next multiple of `unit` (a power of two) behind `offset`.
fn chunk(offset: u32, unit: u32, left: usize) -> usize {
    let room = unit.saturating_sub(offset & unit.saturating_sub(1)).max(1);
    left.min(usize::try_from(room).unwrap_or(left))
}

impl MemoryPart {
    fn has(&self, offset: u32, length: usize) -> Result<(), MemoryError> {
        let length = u32::try_from(length).unwrap_or(u32::MAX);
        match offset.checked_add(length) {
            Some(end) if end <= self.bytes => Ok(()),
            Some(_) | None => Err(MemoryError::OutOfRange { offset, length }),
        }
    }

    /// Its address on the bus for this offset.
    fn at(&self, offset: u32) -> u8 {
        self.address.wrapping_add((offset >> 16) as u8)
    }

    fn read<B: Bus>(&self, bus: &mut B, offset: u32, into: &mut [u8]) -> Result<(), MemoryError> {
        for _ in 0..TRIES {
            match bus.write_read(self.at(offset), &inner(offset), into) {
                Ok(()) => return Ok(()),
                Err(error) => self.recover(bus, offset, &error),
            }
        }
        Err(MemoryError::NoAnswer)
    }

    /// Writes within a part page, until it reads back as written.
    fn write<B: Bus>(&self, bus: &mut B, offset: u32, bytes: &[u8]) -> Result<(), MemoryError> {
        for _ in 0..TRIES {
            let place = inner(offset);
            let mut parts = [Operation::Write(&place), Operation::Write(bytes)];
            if let Err(error) = bus.transaction(self.at(offset), &mut parts) {
                self.recover(bus, offset, &error);
                continue;
            }
            if self.wait(bus, offset) == Answer::Ready && self.holds(bus, offset, bytes)? {
                return Ok(());
            }
        }
        Err(MemoryError::NoAnswer)
    }

    fn holds<B: Bus>(&self, bus: &mut B, offset: u32, bytes: &[u8]) -> Result<bool, MemoryError> {
        let mut buffer = [0u8; COMPARED];
        let mut offset = offset;
        for expected in bytes.chunks(COMPARED) {
            let Some(found) = buffer.get_mut(..expected.len()) else { return Ok(false) };
            self.read(bus, offset, found)?;
            if found != expected {
                return Ok(false);
            }
            offset = offset.saturating_add(COMPARED as u32);
        }
        Ok(true)
    }

    /// After a transfer that failed: a part that did not acknowledge is asked until it does, in case it is writing; any
    /// other error may mean that the bus is held down.
    fn recover<B: Bus>(&self, bus: &mut B, offset: u32, error: &B::Error) {
        if is_refused(&error.kind()) {
            self.wait(bus, offset);
        } else {
            bus.free();
        }
    }

    /// Asks the part until it acknowledges: only the address bytes, which write nothing.
    fn wait<B: Bus>(&self, bus: &mut B, offset: u32) -> Answer {
        for _ in 0..POLLS {
            match bus.write(self.at(offset), &inner(offset)) {
                Ok(()) => return Answer::Ready,
                Err(error) if is_refused(&error.kind()) => bus.delay_us(POLL_US),
                Err(_) => {
                    bus.free();
                    return Answer::None;
                }
            }
        }
        Answer::None
    }
}

/// Whether a part answered in time.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Answer {
    Ready,
    None,
}

/// The offset within its block, as it is sent.
const fn inner(offset: u32) -> [u8; 2] {
    (offset as u16).to_be_bytes()
}

/// Whether the part did not acknowledge, and the bus itself is in order.
pub(super) const fn is_refused(kind: &ErrorKind) -> bool {
    matches!(
        kind,
        ErrorKind::NoAcknowledge(
            NoAcknowledgeSource::Address | NoAcknowledgeSource::Data | NoAcknowledgeSource::Unknown
        )
    )
}
