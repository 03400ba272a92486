//! Looking through the memory for its newest page.
//!
//! What for: the first half of a mount. Every slot is read once; the newest page is the one with the highest number of
//! all that check and stand where their number puts them, and of its two copies the one with more items.
//! Why the slots around it are looked at too: a power cut leaves one of few pictures there, and others mean that pages
//! were taken away. While a page that was committed more than once is open, its mirror is a copy of it, or was cut while
//! it was written. Anything else (a mirror slot with another page in it or a blank one, two broken slots in a row) shows
//! that the tail of the log is missing.
//! What it does not do: read items or follow the chain (`super::replay`).

use super::geometry::{Geometry, PAGE};
use super::memory::{Memory, MemoryError};
use super::open::Copy;
use super::page::{Commits, Page, PageError};
use super::store::read_slot;

/// What was found amiss; told while mounting or reading, with the slot it stands in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Finding {
    /// The slot.
    pub slot: u32,
    /// What.
    pub what: Amiss,
}

/// What can be amiss with a slot.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Amiss {
    /// It holds no whole page. One such slot, or two next to each other, are what a power cut leaves.
    NoPage(PageError),
    /// It holds a whole page that does not belong there.
    Misplaced {
        /// The page's number.
        number: u32,
    },
    /// Its page belongs to the session and is missing.
    Lost {
        /// The page's number.
        number: u32,
    },
    /// Its page was not written by this logger.
    Foreign {
        /// The page's number.
        number: u32,
    },
    /// Its page does not follow from the one before.
    Unlinked {
        /// The page's number.
        number: u32,
    },
    /// Its page's items cannot be read.
    Items {
        /// The page's number.
        number: u32,
        /// Why not.
        why: super::item::ItemError,
    },
    /// The engine makes something else of what is recorded than is recorded.
    Evidence {
        /// The page's number.
        number: u32,
        /// Place of the item in its page.
        item: u16,
    },
}

/// The newest page.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Newest {
    pub(crate) number: u32,
    pub(crate) session: u32,
    /// The slot with the better copy.
    pub(crate) slot: u32,
    items: u16,
    commits: Commits,
    pub(crate) tail: Tail,
}

/// Whether something is missing behind the newest page.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Tail {
    /// Nothing that a power cut does not explain.
    Whole,
    /// The newest page's mirror was replaced, or blanked, or it and the slot behind it are broken.
    Missing,
}

/// What the whole memory looks like.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Scan {
    /// Never written, or a first page was cut while it was written.
    Blank,
    /// No page, but not blank either.
    NoLog,
    /// A whole page is of another version, older or newer: nothing here may be overwritten.
    Version { found: u8 },
    /// The newest whole page was written for another memory.
    Geometry { found: Geometry },
    /// A log.
    Log(Newest),
}

/// Reads every slot once and tells of each that is amiss.
pub(crate) fn scan(
    memory: &mut impl Memory,
    geometry: Geometry,
    buffer: &mut [u8; PAGE],
    tell: &mut dyn FnMut(Finding),
) -> Result<Scan, MemoryError> {
    let mut newest: Option<Newest> = None;
    let mut foreign: Option<u8> = None;
    let mut elsewhere: Option<(u32, Geometry)> = None;
    let mut junk = 0u32;
    for slot in 0..geometry.slots() {
        read_slot(memory, geometry, slot, buffer)?;
        match Page::find(buffer) {
            Ok(page) => {
                let header = *page.header();
                let number = header.number;
                if header.geometry != geometry {
                    if elsewhere.is_none_or(|(other, _)| number >= other) {
                        elsewhere = Some((number, header.geometry));
                    }
                    junk += 1;
                    tell(Finding { slot, what: Amiss::Misplaced { number } });
                } else if geometry.home(number) != slot && geometry.mirror(number) != slot {
                    junk += 1;
                    tell(Finding { slot, what: Amiss::Misplaced { number } });
                } else if newest.is_none_or(|newest| (number, page.items()) > (newest.number, newest.items)) {
                    let (items, commits) = (page.items(), page.commits());
                    let session = header.session;
                    newest = Some(Newest { number, session, slot, items, commits, tail: Tail::Whole });
                }
            }
            Err(PageError::Blank) => {}
            Err(why) => {
                if let PageError::Version { found } = why {
                    foreign = Some(found);
                }
                junk += u32::from(slot > 1);
                tell(Finding { slot, what: Amiss::NoPage(why) });
            }
        }
    }
    if let Some(found) = foreign {
        return Ok(Scan::Version { found });
    }
    Ok(match (newest, elsewhere) {
        (Some(newest), Some((other, found))) if other > newest.number => Scan::Geometry { found },
        (Some(newest), _) => Scan::Log(newest),
        (None, Some((_, found))) => Scan::Geometry { found },
        (None, None) if junk == 0 => Scan::Blank,
        (None, None) => Scan::NoLog,
    })
}

/// What a slot next to the newest page holds.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Beside {
    /// The same bytes as the better copy.
    Same,
    /// Another version of the page.
    Other,
    /// Another page, or nothing at all.
    Elsewhere,
    /// No whole page.
    Broken,
}

/// Reads the newest page into the buffer, and says how its two slots stand to it.
pub(crate) fn look_closer(
    memory: &mut impl Memory,
    geometry: Geometry,
    newest: &mut Newest,
    buffer: &mut [u8; PAGE],
) -> Result<(Copy, Copy), MemoryError> {
    read_slot(memory, geometry, newest.slot, buffer)?;
    let length = Page::find(buffer).map_or(PAGE, |page| page.length());
    let best = buffer.get(..length).unwrap_or(&[]);
    let number = newest.number;
    let mut beside = |slot: u32| -> Result<Beside, MemoryError> {
        let mut bytes = [0u8; PAGE];
        read_slot(memory, geometry, slot, &mut bytes)?;
        if bytes.get(..length) == Some(best) {
            return Ok(Beside::Same);
        }
        Ok(match Page::find(&bytes) {
            Ok(page) if page.header().number == number => Beside::Other,
            Ok(_) | Err(PageError::Blank) => Beside::Elsewhere,
            Err(PageError::Damaged | PageError::Version { .. } | PageError::Header) => Beside::Broken,
        })
    };
    let (home, mirror) = (beside(geometry.home(number))?, beside(geometry.mirror(number))?);
    let gone = home == Beside::Elsewhere || mirror == Beside::Elsewhere;
    // a slot broken by a cut is the only one: the one behind it is not written before it is whole
    let two_broken = mirror == Beside::Broken && beside(geometry.mirror(number.wrapping_add(1)))? == Beside::Broken;
    if gone && newest.commits == Commits::Later || two_broken {
        newest.tail = Tail::Missing;
    }
    Ok((home.as_copy(), mirror.as_copy()))
}

impl Beside {
    const fn as_copy(self) -> Copy {
        match self {
            Self::Same => Copy::Same,
            Self::Other => Copy::Other,
            Self::Elsewhere | Self::Broken => Copy::Broken,
        }
    }
}
