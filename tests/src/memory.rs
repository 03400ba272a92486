//! A strict fake of the logger's memory: it can be cut at any byte, it counts, and it complains.
//!
//! What for: the contract of [`Memory`] says what a power cut may leave; this leaves that, or more than that, and keeps
//! the figures of wear and mounting. After a cut nothing answers until [`FakeMemory::revive`]: whoever goes on without
//! noticing fails.

use holdoff_core::log::{Memory, MemoryError, PAGE};

/// What a write leaves that is cut short.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Leaves {
    /// What the contract allows: a prefix, one byte of any value, the old bytes.
    HalfAByte,
    /// The part's page under the pen holds anything.
    PartPage,
    /// The log's slot under the pen holds anything.
    Slot,
}

/// When the power goes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Cut {
    /// After this many bytes more.
    pub after: u64,
    /// What it leaves.
    pub leaves: Leaves,
    /// Whether the memory answers again at once: a write that failed, without a power cut.
    pub then: Then,
    /// Where noise comes from.
    pub noise: u64,
}

/// What follows a write that was cut short.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Then {
    /// Nothing answers any more.
    Dead,
    /// The next access works.
    Alive,
}

/// The fake.
#[derive(Clone, Debug)]
pub struct FakeMemory {
    bytes: Vec<u8>,
    part_page: usize,
    cut: Option<Cut>,
    dead: bool,
    /// Writes of each page of the part.
    pub writes: Vec<u64>,
    /// Calls of `write`.
    pub write_calls: u64,
    /// Bytes written.
    pub bytes_written: u64,
    /// Bytes read.
    pub bytes_read: u64,
}

impl FakeMemory {
    /// A blank memory of `size` bytes in pages of `part_page`.
    pub fn blank(size: usize, part_page: usize) -> Self {
        Self::of(vec![0xFF; size], part_page)
    }

    /// A memory with these bytes.
    pub fn of(bytes: Vec<u8>, part_page: usize) -> Self {
        let writes = vec![0; bytes.len().div_ceil(part_page)];
        Self { bytes, part_page, cut: None, dead: false, writes, write_calls: 0, bytes_written: 0, bytes_read: 0 }
    }

    /// What it holds.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// What it holds, to be damaged.
    pub fn bytes_mut(&mut self) -> &mut [u8] {
        &mut self.bytes
    }

    /// Cuts a write to come.
    pub fn cut(&mut self, cut: Cut) {
        self.cut = Some(cut);
    }

    /// Whether the power is gone.
    pub fn is_dead(&self) -> bool {
        self.dead
    }

    /// Power again, and no cut to come.
    pub fn revive(&mut self) {
        self.dead = false;
        self.cut = None;
    }

    fn tear(&mut self, cut: Cut, at: usize) {
        let mut numbers = crate::random::numbers(cut.noise);
        let range = match cut.leaves {
            Leaves::HalfAByte => at..at + 1,
            Leaves::PartPage => at - at % self.part_page..at - at % self.part_page + self.part_page,
            Leaves::Slot => at - at % PAGE..at - at % PAGE + PAGE,
        };
        for byte in &mut self.bytes[range] {
            *byte = numbers().to_le_bytes()[0];
        }
        self.cut = None;
        self.dead = cut.then == Then::Dead;
    }
}

impl Memory for FakeMemory {
    fn size(&self) -> u32 {
        u32::try_from(self.bytes.len()).expect("a small memory")
    }

    fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), MemoryError> {
        if self.dead {
            return Err(MemoryError::NoAnswer);
        }
        let start = offset as usize;
        let end = start + into.len();
        assert!(end <= self.bytes.len(), "read of {start}..{end}");
        into.copy_from_slice(&self.bytes[start..end]);
        self.bytes_read += into.len() as u64;
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), MemoryError> {
        if self.dead {
            return Err(MemoryError::NoAnswer);
        }
        let start = offset as usize;
        let end = start + bytes.len();
        assert!(!bytes.is_empty(), "a write of nothing");
        assert!(end <= self.bytes.len(), "write of {start}..{end}");
        assert_eq!(start / PAGE, (end - 1) / PAGE, "write of {start}..{end} across slots");
        self.write_calls += 1;
        let mut page = usize::MAX;
        for (place, byte) in (start..end).zip(bytes) {
            if place / self.part_page != page {
                page = place / self.part_page;
                self.writes[page] += 1;
            }
            if let Some(cut) = &mut self.cut {
                if cut.after == 0 {
                    let cut = *cut;
                    self.tear(cut, place);
                    return Err(MemoryError::NoAnswer);
                }
                cut.after -= 1;
            }
            self.bytes[place] = *byte;
            self.bytes_written += 1;
        }
        Ok(())
    }
}
