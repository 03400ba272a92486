//! The non-volatile memory behind the log, and the written contract of what a power cut may leave in it.
//!
//! What for: the store must run on a serial EEPROM, on FRAM, on an image file and on a fake that is cut at any byte.
//! What it does not do: buffer, retry, or know pages of the log.

/// Byte-addressed non-volatile memory.
///
/// # Contract
/// - `write` is *acknowledged* when it returns `Ok`: from then on every read gives the new bytes, also after a power
///   cut. The driver waits for the part's write cycle before it returns.
/// - A driver splits a write at the part's own pages (32 to 128 bytes) and writes in rising order.
/// - A write that was cut short, or that returned an error, leaves: a prefix of the new bytes, then at most one byte of
///   any value (half written), then the old bytes.
/// - Bytes outside the written range never change. The store never writes across a slot of
///   [`PAGE`](super::PAGE) bytes, and it survives more than the contract allows: that slot may hold anything.
/// - Reading changes nothing.
pub trait Memory {
    /// Size in bytes.
    fn size(&self) -> u32;

    /// Fills `into` with the bytes from `offset` on.
    ///
    /// # Errors
    /// The part did not answer, or the range lies outside the memory.
    fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), MemoryError>;

    /// Writes `bytes` from `offset` on; see the contract.
    ///
    /// # Errors
    /// The part did not answer, the range lies outside the memory, or it cannot be written at all.
    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), MemoryError>;
}

/// Why the memory could not be read or written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum MemoryError {
    /// The part did not answer, or not in time.
    NoAnswer,
    /// The range lies outside the memory.
    OutOfRange {
        /// First byte asked for.
        offset: u32,
        /// How many.
        length: u32,
    },
    /// The memory can be read only.
    ReadOnly,
}

impl<M: Memory + ?Sized> Memory for &mut M {
    fn size(&self) -> u32 {
        (**self).size()
    }

    fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), MemoryError> {
        (**self).read(offset, into)
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), MemoryError> {
        (**self).write(offset, bytes)
    }
}

/// A memory image that is only read.
#[derive(Clone, Copy, Debug)]
pub struct ImageMemory<'a>(pub &'a [u8]);

impl Memory for ImageMemory<'_> {
    fn size(&self) -> u32 {
        u32::try_from(self.0.len()).unwrap_or(u32::MAX)
    }

    fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), MemoryError> {
        into.copy_from_slice(part(self.0, offset, into.len())?);
        Ok(())
    }

    fn write(&mut self, _offset: u32, _bytes: &[u8]) -> Result<(), MemoryError> {
        Err(MemoryError::ReadOnly)
    }
}

/// A memory image that is read and written, and never fails.
#[derive(Debug)]
pub struct RamMemory<'a>(pub &'a mut [u8]);

impl Memory for RamMemory<'_> {
    fn size(&self) -> u32 {
        u32::try_from(self.0.len()).unwrap_or(u32::MAX)
    }

    fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), MemoryError> {
        into.copy_from_slice(part(self.0, offset, into.len())?);
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), MemoryError> {
        let out = MemoryError::OutOfRange { offset, length: u32::try_from(bytes.len()).unwrap_or(u32::MAX) };
        let start = usize::try_from(offset).map_err(|_| out)?;
        let end = start.checked_add(bytes.len()).ok_or(out)?;
        self.0.get_mut(start..end).ok_or(out)?.copy_from_slice(bytes);
        Ok(())
    }
}

fn part(bytes: &[u8], offset: u32, length: usize) -> Result<&[u8], MemoryError> {
    let out = MemoryError::OutOfRange { offset, length: u32::try_from(length).unwrap_or(u32::MAX) };
    let start = usize::try_from(offset).map_err(|_| out)?;
    let end = start.checked_add(length).ok_or(out)?;
    bytes.get(start..end).ok_or(out)
}
