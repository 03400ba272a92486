//! The ring of pages: which one is open, which may be overwritten, when the next one begins.
//!
//! Terms: pages below `free_below` were read out or freed; a page is *kept* when it is not, or when it belongs to the
//! session. *Pages left* is how many more pages can be begun without overwriting a kept one.
//! Invariants: a kept page is never overwritten; a page is closed only when its home slot holds its last version, and
//! the next page's first commit then takes the mirror's slot; items of one append stand in one page.
//! What it does not do: decide what deserves the last pages (`super::room`), or know what items mean.

use super::chain::{ChainHead, first_link};
use super::geometry::{Geometry, PAGE};
use super::item::{Habit, Tie};
use super::memory::{Memory, MemoryError};
use super::open::{Items, Open, OpenError};
use super::page::Header;
use super::record::DeviceId;
use super::tag::PageKey;

/// Why items were not written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum StoreError {
    /// The memory failed. What was to be written may or may not be there after a power cut.
    Memory(MemoryError),
    /// The next page would overwrite one that is kept, or take one that is reserved.
    Full {
        /// Pages that can still be begun.
        left: u32,
        /// Pages that are reserved.
        reserved: u32,
    },
    /// The items do not fit a page of their own.
    TooLong,
}

/// The log's memory, open for writing.
#[derive(Debug)]
pub(crate) struct Store<M> {
    memory: M,
    key: PageKey,
    geometry: Geometry,
    open: Option<Open>,
    free_below: u32,
}

impl<M: Memory> Store<M> {
    /// Of a memory that nobody has looked into yet, for pages that this key tags.
    pub(crate) const fn new(memory: M, key: PageKey) -> Self {
        Self { memory, key, geometry: Geometry::NONE, open: None, free_below: 0 }
    }

    /// With what a look into the memory has found.
    pub(crate) fn found(&mut self, geometry: Geometry, open: Option<Open>, free_below: u32) {
        (self.geometry, self.open, self.free_below) = (geometry, open, free_below);
    }

    pub(crate) const fn key(&self) -> &PageKey {
        &self.key
    }

    pub(crate) const fn set_key(&mut self, key: PageKey) {
        self.key = key;
    }

    pub(crate) const fn memory(&self) -> &M {
        &self.memory
    }

    pub(crate) const fn memory_mut(&mut self) -> &mut M {
        &mut self.memory
    }

    pub(crate) fn into_memory(self) -> M {
        self.memory
    }

    pub(crate) const fn geometry(&self) -> Geometry {
        self.geometry
    }

    pub(crate) const fn open(&self) -> Option<&Open> {
        self.open.as_ref()
    }

    pub(crate) fn habit_mut(&mut self) -> Option<&mut Habit> {
        self.open.as_mut().map(Open::habit_mut)
    }

    pub(crate) fn head(&self) -> Option<ChainHead> {
        self.open.as_ref().map(Open::head)
    }

    pub(crate) const fn free_below(&self) -> u32 {
        self.free_below
    }

    /// Pages below may be overwritten, as far as they do not belong to the session.
    pub(crate) fn free(&mut self, below: u32) {
        self.free_below = self.free_below.max(below);
    }

    /// The number of the next page.
    fn next(&self) -> u32 {
        self.open.as_ref().map_or(0, |open| open.header().number.saturating_add(1))
    }

    /// How many more pages can be begun in a session that began at `session`.
    fn left_from(&self, session: u32) -> u32 {
        // page j takes the slots of pages j - N and j + 1 - N, so j may be begun while j + 1 - N is not kept
        let kept = self.free_below.min(session);
        let end = kept.saturating_add(self.geometry.slots() - 1);
        end.saturating_sub(self.next())
    }

    /// How many more pages can be begun in this session.
    pub(crate) fn left(&self) -> u32 {
        self.left_from(self.open.as_ref().map_or(0, |open| open.header().session))
    }

    /// Writes items into one page, the open one or the next; acknowledged when it returns. The next page is begun only
    /// when more than `reserved` pages are left. Where the open page has less than `expected` bytes left it is not even tried.
    pub(crate) fn append(&mut self, items: &dyn Items, reserved: u32, expected: usize) -> Result<(), StoreError> {
        let Some(open) = &mut self.open else {
            return Err(StoreError::Full { left: 0, reserved });
        };
        if open.room() >= expected {
            match open.commit(&mut self.memory, self.geometry, items) {
                Ok(()) => return Ok(()),
                Err(OpenError::Memory(error)) => return Err(StoreError::Memory(error)),
                Err(OpenError::NoRoom) => {}
            }
        }
        let left = self.left();
        let Some(open) = &self.open else {
            return Err(StoreError::Full { left, reserved });
        };
        if left <= reserved {
            return Err(StoreError::Full { left, reserved });
        }
        let header = Header { number: self.next(), link: open.head().link(), tie: open.tie(), ..*open.header() };
        let next = Open::new(header, open.habit(), &self.key);
        self.begin(next, items)
    }

    /// Begins a session on a page of its own with these items, which take effect together or not at all.
    pub(crate) fn begin_session(
        &mut self,
        device: DeviceId,
        quantum_bits: u8,
        items: &dyn Items,
    ) -> Result<(), StoreError> {
        let number = self.next();
        let left = self.left_from(number);
        if left == 0 {
            return Err(StoreError::Full { left, reserved: 0 });
        }
        let link = self.open.as_ref().map_or(first_link(device), |open| open.head().link());
        let header = Header { number, session: number, geometry: self.geometry, quantum_bits, tie: Tie::Loose, link };
        self.begin(Open::new(header, Habit::NONE, &self.key), items)
    }

    fn begin(&mut self, mut next: Open, items: &dyn Items) -> Result<(), StoreError> {
        if let Some(open) = &mut self.open {
            open.settle(&mut self.memory, self.geometry).map_err(StoreError::Memory)?;
            open.give_up_mirror();
        }
        match next.commit(&mut self.memory, self.geometry, items) {
            Ok(()) => {
                self.open = Some(next);
                Ok(())
            }
            Err(OpenError::NoRoom) => Err(StoreError::TooLong),
            Err(OpenError::Memory(error)) => Err(StoreError::Memory(error)),
        }
    }
}

/// Reads a slot.
pub(crate) fn read_slot(
    memory: &mut impl Memory,
    geometry: Geometry,
    slot: u32,
    into: &mut [u8; PAGE],
) -> Result<(), MemoryError> {
    memory.read(geometry.offset(slot), into)
}
