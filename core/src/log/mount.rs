//! Mounting: from what a memory holds to a logger that goes on.
//!
//! What for: the first thing after every start. The newest page is found, its session replayed from the first page on
//! through the same step as ever, and the open page is made ready to be written on. Nothing is written.
//! Cost for 64 KiB: every slot is read once to find the newest page, every page of the session once more, and four slots
//! around the end: at most 132 KiB (`log_mount` in the tests counts).
//! What it does not do: write, also not the power-up: [`Logger::power_up`] does, before anything else is taken.

use super::chain::head_of;
use super::geometry::{GREATEST_SIZE, Geometry, LEAST_SIZE, PAGE};
use super::logger::{Logger, Owner};
use super::memory::{Memory, MemoryError};
use super::open::Open;
use super::page::{Page, PageError, VERSION};
use super::record::DeviceId;
use super::replay::{Each, Replay, Trust, Why};
use super::scan::{Amiss, Finding, Scan, Tail, look_closer, scan};
use super::store::{Store, read_slot};
use super::tag::PageKey;
use crate::group::Event;

/// Why a memory is not mounted. Nothing was written.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum MountError {
    /// It could not be read.
    Memory(MemoryError),
    /// Its size is no power of two from 4 KiB to 256 KiB.
    Size {
        /// Bytes.
        found: u32,
    },
    /// It holds a page of another version of the format.
    Version {
        /// What was found.
        found: u8,
        /// What this is.
        expected: u8,
    },
    /// Its log was written for a memory of another size.
    Geometry {
        /// Bytes.
        found: u32,
        /// Bytes.
        expected: u32,
    },
    /// Its log was written by another device.
    Device {
        /// Which.
        found: DeviceId,
        /// This one.
        expected: DeviceId,
    },
    /// Its newest page was not written by this logger: the tag is not its own, whatever else the page says.
    Foreign {
        /// The page's number.
        number: u32,
    },
    /// It holds something, but no log. [`blank`] makes it ready when its owner says so.
    NoLog,
}

/// What a mount found.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Report {
    /// First and newest page of the session; `None` when the memory is blank.
    pub pages: Option<(u32, u32)>,
    /// Whether the session can be trusted.
    pub trust: Trust,
    /// How many findings were told: damaged slots, whether they matter or not.
    pub findings: u32,
}

/// Mounts a memory for its owner, and gives the logger back. It is large: where the stack is small,
/// [`Logger::mount`] does the same in place.
///
/// # Errors
/// Why it was refused.
pub fn mount<M: Memory>(
    memory: M,
    owner: impl Into<Owner>,
    find: &mut dyn FnMut(Finding),
    tell: &mut dyn FnMut(Event),
) -> Result<(Logger<M>, Report), MountError> {
    let mut logger = Logger::new(memory, owner.into());
    let report = logger.mount(find, tell)?;
    Ok((logger, report))
}

/// The parts of a logger that a mount fills.
pub(crate) struct Mounted<'a, M> {
    pub(crate) store: &'a mut Store<M>,
    pub(crate) device: DeviceId,
    pub(crate) replay: &'a mut Replay,
}

/// [`Logger::mount`]. After an error replay and store are good for nothing but another mount.
pub(crate) fn mount_in_place<M: Memory>(
    into: Mounted<'_, M>,
    find: &mut dyn FnMut(Finding),
    tell: &mut dyn FnMut(Event),
) -> Result<Report, MountError> {
    let Mounted { store, device, replay } = into;
    let (geometry, key) = (geometry_of(store.memory())?, *store.key());
    store.found(geometry, None, 0);
    replay.reset();
    let memory = store.memory_mut();
    let mut buffer = [0u8; PAGE];
    let mut findings = 0u32;
    let mut find = |finding: Finding| {
        findings = findings.saturating_add(1);
        find(finding);
    };
    let mut newest = match scan(memory, geometry, &mut buffer, &mut find).map_err(MountError::Memory)? {
        Scan::Blank => return Ok(Report { pages: None, trust: Trust::Trusted, findings }),
        Scan::NoLog => return Err(MountError::NoLog),
        Scan::Version { found } => return Err(MountError::Version { found, expected: VERSION }),
        Scan::Geometry { found } => {
            return Err(MountError::Geometry { found: found.bytes(), expected: geometry.bytes() });
        }
        Scan::Log(newest) => newest,
    };
    let pages = (newest.session, newest.number);
    let mut session = Session { geometry, first: newest.session, newest: newest.number, newest_slot: newest.slot };
    let replayed = session.replay(memory, &mut buffer, Some(&key), replay, &mut |_, _, _, _| {}, &mut find, tell);
    replayed.map_err(MountError::Memory)?;
    if let Some(found) = replay.identity().map(|identity| identity.device)
        && found != device
    {
        return Err(MountError::Device { found, expected: device });
    }
    let (home, mirror) = look_closer(memory, geometry, &mut newest, &mut buffer).map_err(MountError::Memory)?;
    let Ok(page) = Page::find(&buffer) else {
        return Err(MountError::NoLog); // it was whole a moment ago
    };
    if !page.is_of(&key) {
        return Err(MountError::Foreign { number: newest.number });
    }
    if newest.tail == Tail::Missing {
        replay.distrust(Why::Tail, tell);
    }
    replay.finish(tell);
    let open = Open::found(&page, replay.habit(), &key, home, mirror);
    store.found(geometry, Some(open), replay.free_below());
    Ok(Report { pages: Some(pages), trust: replay.trust(), findings })
}

/// Makes a memory blank: every slot is overwritten. Its owner calls this when the memory holds no log, or one that nobody
/// needs. A power cut leaves part of it; do it again.
///
/// # Errors
/// The memory failed, or has a size no log is made for.
pub fn blank(memory: &mut impl Memory) -> Result<(), MountError> {
    let geometry = geometry_of(memory)?;
    for slot in 0..geometry.slots() {
        memory.write(geometry.offset(slot), &[0xFF; PAGE]).map_err(MountError::Memory)?;
    }
    Ok(())
}

pub(crate) fn geometry_of(memory: &impl Memory) -> Result<Geometry, MountError> {
    const { assert!(LEAST_SIZE.is_power_of_two() && GREATEST_SIZE.is_power_of_two()) };
    Geometry::of_size(memory.size()).ok_or(MountError::Size { found: memory.size() })
}

/// A session in a memory.
pub(crate) struct Session {
    pub(crate) geometry: Geometry,
    /// Its first page.
    pub(crate) first: u32,
    /// The newest page that may belong to it.
    pub(crate) newest: u32,
    /// The slot of the newest page.
    pub(crate) newest_slot: u32,
}

impl Session {
    /// Replays its pages in order. With a key, a page that it has not tagged makes the log untrusted.
    #[allow(
        clippy::too_many_arguments,
        reason = "each is another's: what is read from, with what, into what, and who is told"
    )]
    pub(crate) fn replay(
        &mut self,
        memory: &mut impl Memory,
        buffer: &mut [u8; PAGE],
        key: Option<&PageKey>,
        replay: &mut Replay,
        each: &mut Each<'_>,
        find: &mut dyn FnMut(Finding),
        tell: &mut dyn FnMut(Event),
    ) -> Result<(), MemoryError> {
        if let Some(before) = self.first.checked_sub(1) {
            read_slot(memory, self.geometry, before, buffer)?;
            if let Ok(page) = Page::find(buffer)
                && page.header().number == before
            {
                replay.after(head_of(&page));
            }
        }
        for number in self.first..=self.newest {
            let slot = if number == self.newest { self.newest_slot } else { self.geometry.home(number) };
            read_slot(memory, self.geometry, slot, buffer)?;
            match Page::find(buffer) {
                Ok(page) if page.header().number == number && page.header().session == self.first => {
                    let before = replay.trust();
                    if key.is_some_and(|key| !page.is_of(key)) {
                        replay.distrust(Why::Foreign { number }, tell);
                    }
                    replay.page(
                        &page,
                        &mut |replay, place, read, outcome| each(replay, &page, place, (read, outcome)),
                        tell,
                    );
                    if let (Trust::Trusted, Trust::Untrusted(why)) = (before, replay.trust())
                        && let Some(what) = amiss(why)
                    {
                        find(Finding { slot, what });
                    }
                }
                Ok(page) if page.header().number == number => break, // the next session has begun
                Ok(_) | Err(PageError::Blank | PageError::Damaged | PageError::Version { .. } | PageError::Header) => {
                    find(Finding { slot, what: Amiss::Lost { number } });
                    replay.lost(number, tell);
                }
            }
        }
        Ok(())
    }
}

fn amiss(why: Why) -> Option<Amiss> {
    match why {
        Why::Foreign { number } => Some(Amiss::Foreign { number }),
        Why::Unlinked { number } => Some(Amiss::Unlinked { number }),
        Why::Items { number, why } => Some(Amiss::Items { number, why }),
        Why::Evidence { number, item } => Some(Amiss::Evidence { number, item }),
        Why::PageLost { .. } | Why::Tail | Why::Recorded => None,
    }
}
