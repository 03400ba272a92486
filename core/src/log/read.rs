//! Reading a memory image from outside: every page, every session, without writing anything.
//!
//! What for: the program on the PC lists and proves what a logger holds, and mounts nothing for it.
//! What it does not do: keep anything; a caller with a heap collects what it wants.

use super::geometry::{Geometry, PAGE};
use super::item::Item;
use super::memory::ImageMemory;
use super::mount::{MountError, Session, geometry_of};
use super::open::Copy;
use super::page::{Page, PageError, VERSION};
use super::replay::{Each, Replay, Why};
use super::scan::{Finding, Newest, Scan, Tail, look_closer, scan};
use crate::group::Event;

/// A memory image that holds a log.
#[derive(Clone, Debug)]
pub struct Log<'a> {
    image: &'a [u8],
    geometry: Geometry,
    newest: Newest,
}

/// A page by its number.
#[derive(Clone, Copy, Debug)]
pub enum Found<'a> {
    /// It is there, in this slot.
    Page(u32, Page<'a>),
    /// It should be there and is not.
    Lost {
        /// Its number.
        number: u32,
        /// Its slot.
        slot: u32,
        /// Why; `None` when the slot holds another page.
        why: Option<PageError>,
    },
}

/// What the pages' bytes are used for; the unused rest of the slots is left aside.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Usage {
    /// Readings of any kind: accepted, refused, unusable, missing.
    pub readings: u64,
    /// Bytes that they take, with header and trailer of every page that holds one.
    pub reading_bytes: u64,
    /// Bytes of everything else.
    pub record_bytes: u64,
}

impl<'a> Log<'a> {
    /// Opens an image: its size, the format's version and the newest page are found. `find` is told of everything
    /// amiss.
    ///
    /// # Errors
    /// Why it is none; [`MountError::NoLog`] also for a blank image.
    pub fn open(image: &'a [u8], find: &mut dyn FnMut(Finding)) -> Result<Self, MountError> {
        let mut memory = ImageMemory(image);
        let geometry = geometry_of(&memory)?;
        let mut buffer = [0u8; PAGE];
        match scan(&mut memory, geometry, &mut buffer, find).map_err(MountError::Memory)? {
            Scan::Blank | Scan::NoLog => Err(MountError::NoLog),
            Scan::Version { found } => Err(MountError::Version { found, expected: VERSION }),
            Scan::Geometry { found } => Err(MountError::Geometry { found: found.bytes(), expected: geometry.bytes() }),
            Scan::Log(mut newest) => {
                let looked = look_closer(&mut memory, geometry, &mut newest, &mut buffer);
                let (Copy::Same | Copy::Other | Copy::Broken, _) = looked.map_err(MountError::Memory)?;
                Ok(Self { image, geometry, newest })
            }
        }
    }

    /// The memory.
    pub const fn geometry(&self) -> Geometry {
        self.geometry
    }

    /// Number of the newest page.
    pub const fn newest(&self) -> u32 {
        self.newest.number
    }

    /// Number of the newest session's first page.
    pub const fn newest_session(&self) -> u32 {
        self.newest.session
    }

    /// Whether pages are missing behind the newest one.
    pub const fn tail(&self) -> Tail {
        self.newest.tail
    }

    /// The page with this number; `None` beyond the newest one.
    pub fn page(&self, number: u32) -> Option<Found<'a>> {
        if number > self.newest.number {
            return None;
        }
        let slot = if number == self.newest.number { self.newest.slot } else { self.geometry.home(number) };
        let start = self.geometry.offset(slot) as usize;
        let bytes = self.image.get(start..start.saturating_add(PAGE)).unwrap_or(&[]);
        Some(match Page::find(bytes) {
            Ok(page) if page.header().number == number => Found::Page(slot, page),
            Ok(_) => Found::Lost { number, slot, why: None },
            Err(why) => Found::Lost { number, slot, why: Some(why) },
        })
    }

    /// The pages in the order of their numbers, from the oldest that can still be there. The slot after the newest
    /// page's is its mirror's, so the oldest is one of the other slots.
    pub fn pages(&self) -> impl Iterator<Item = Found<'a>> + '_ {
        let span = self.geometry.slots() - 2;
        let oldest = self.newest.number.saturating_sub(span);
        (oldest..=self.newest.number).filter_map(|number| self.page(number))
    }

    /// What the pages' bytes are used for.
    pub fn usage(&self) -> Usage {
        let mut usage = Usage { readings: 0, reading_bytes: 0, record_bytes: 0 };
        for found in self.pages() {
            let page = match found {
                Found::Page(_, page) => page,
                Found::Lost { .. } => continue,
            };
            let before = usage.readings;
            let mut items = page.read();
            let mut used = 0;
            while let Some(read) = items.next() {
                let taken = items.used().saturating_sub(used) as u64;
                used = items.used();
                match read.map(|read| read.item) {
                    Ok(Item::Reading { .. } | Item::Unusable { .. } | Item::Missing { .. }) => {
                        usage.readings += 1;
                        usage.reading_bytes += taken;
                    }
                    Ok(Item::Refused { .. }) => usage.reading_bytes += taken,
                    Ok(Item::Record(_)) | Err(_) => usage.record_bytes += taken,
                }
            }
            let frame = page.length().saturating_sub(used) as u64;
            if usage.readings > before { usage.reading_bytes += frame } else { usage.record_bytes += frame }
        }
        usage
    }

    /// Replays the session that begins with page `first`, to its end or to the newest page. `each` is called with
    /// every item after it was replayed: the replay so far, the item's page and place in it, the item and what came of
    /// it. `find` is told of what is amiss in the session, `tell` of the events.
    ///
    /// # Errors
    /// [`MountError::Memory`], which an image does not give.
    pub fn replay(
        &self,
        first: u32,
        each: &mut Each<'_>,
        find: &mut dyn FnMut(Finding),
        tell: &mut dyn FnMut(Event),
    ) -> Result<Replay, MountError> {
        let mut replay = Replay::new();
        let mut session =
            Session { geometry: self.geometry, first, newest: self.newest.number, newest_slot: self.newest.slot };
        let mut buffer = [0u8; PAGE];
        let mut memory = ImageMemory(self.image);
        session.replay(&mut memory, &mut buffer, None, &mut replay, each, find, tell).map_err(MountError::Memory)?;
        if first == self.newest.session && self.newest.tail == Tail::Missing {
            replay.distrust(Why::Tail, tell);
        }
        replay.finish(tell);
        Ok(replay)
    }
}
