//! Where an image belongs among earlier images of the same logger, page by page.
//!
//! Terms: a *life* of a logger ends when its owner makes its memory blank; a *side* is one of several histories of a life
//! that contradict each other. Side 0 is the one that came first, and nobody knows from that which is right.
//! How: a page's seal value binds all its items and all pages before it. Two versions of a page agree when the seal value
//! of the shorter one is that of the longer one after as many items.

use super::memory::{Memory, head_in};
use super::refusal::Refusal;
use super::take_in::{Addition, Life};
use holdoff_evidence::{LogPlace, PageSeen};
use rusqlite::{OptionalExtension, params};

/// A page as the register holds it.
struct Held {
    items: u16,
    head: [u8; 32],
    image: i64,
}

/// Which pages an image shares with a side, and the first that differs.
struct Comparison {
    shared: usize,
    differs: Option<(u32, i64)>,
    /// Pages that the register knows better: they have more items there.
    older: Vec<u32>,
}

/// Another side that an image contradicts.
pub(super) struct Against {
    /// The side.
    pub(super) side: i64,
    /// The first item that differs.
    pub(super) place: LogPlace,
    /// The image that holds the other one.
    pub(super) image: i64,
}

/// Where an image belongs.
pub(super) struct Belongs {
    /// The life.
    pub(super) life: u32,
    /// The side.
    pub(super) side: i64,
    /// Pages that are older than what is held.
    pub(super) older: Vec<u32>,
    /// Sides that it contradicts.
    pub(super) against: Vec<Against>,
}

impl Belongs {
    const fn new(life: u32) -> Self {
        Self { life, side: 0, older: Vec::new(), against: Vec::new() }
    }
}

impl Addition<'_> {
    /// Where a memory belongs.
    pub(super) fn belongs(&self, memory: &Memory, image: &[u8], life: Life) -> Result<Belongs, Refusal> {
        let device = &memory.device;
        let lives = self.list("SELECT DISTINCT life FROM image WHERE device = ?1 ORDER BY life DESC", [device])?;
        let Some(&latest) = lives.first() else { return Ok(Belongs::new(0)) };
        let mut beside = None;
        for &number in &lives {
            let text = "SELECT DISTINCT side FROM image WHERE device = ?1 AND life = ?2 ORDER BY side";
            let sides = self.list(text, params![device, number])?;
            let mut found = Belongs::new(number as u32); // counted up from 0 below
            let (mut home, mut shared) = (None, 0);
            for &side in &sides {
                let compared = self.compare(memory, image, (number, side))?;
                shared += compared.shared;
                match compared.differs {
                    Some((page, other)) => {
                        let place = self.first_difference(image, other, page)?;
                        found.against.push(Against { side, place, image: other });
                    }
                    None if compared.shared > 0 && home.is_none() => home = Some((side, compared.older)),
                    None => {}
                }
            }
            let nothing_shared = shared == 0 && number == latest;
            match (home, life) {
                (Some((side, older)), Life::GoesOn) => return Ok(Belongs { side, older, ..found }),
                (None, Life::GoesOn) if nothing_shared => return Ok(found),
                // it stood contradicted, and its owner says why
                (Some((side @ 1.., older)), Life::BeginsAnew) => {
                    let own = self.own_life(device, number, side)?;
                    return Ok(Belongs { older, ..Belongs::new(own) });
                }
                (Some(_), Life::BeginsAnew) => return Err(Refusal::NotBlanked { device: device.clone() }),
                (None, Life::BeginsAnew) if nothing_shared => {
                    return Err(Refusal::NotBlanked { device: device.clone() });
                }
                (None, Life::GoesOn) if shared > 0 && beside.is_none() => {
                    let side = sides.last().map_or(0, |side| side + 1);
                    beside = Some(Belongs { side, ..found });
                }
                (None, Life::GoesOn | Life::BeginsAnew) => {}
            }
        }
        Ok(beside.unwrap_or(Belongs::new(latest as u32 + 1))) // as above
    }

    fn held(&self, device: &str, (life, side): (i64, i64), number: u32) -> Result<Option<Held>, Refusal> {
        let text = "SELECT items, head, image FROM page WHERE device = ?1 AND life = ?2 AND side = ?3 AND number = ?4";
        let mut statement = self.connection.prepare_cached(text)?;
        let row = statement.query_row(params![device, life, side, number], |row| {
            Ok(Held { items: row.get(0)?, head: row.get(1)?, image: row.get(2)? })
        });
        Ok(row.optional()?)
    }

    /// Compares an image page by page with what a side of a life holds.
    fn compare(&self, memory: &Memory, image: &[u8], of: (i64, i64)) -> Result<Comparison, Refusal> {
        let mut comparison = Comparison { shared: 0, differs: None, older: Vec::new() };
        for page in &memory.pages {
            let Some(held) = self.held(&memory.device, of, page.number)? else { continue };
            comparison.shared += 1;
            if !self.agrees(&memory.device, of, image, page, &held)? {
                comparison.differs = Some((page.number, held.image));
                return Ok(comparison);
            }
            if held.items > page.items {
                comparison.older.push(page.number);
            }
        }
        Ok(comparison)
    }

    /// Whether one of two pages is the other, or grew out of it.
    fn agrees(
        &self,
        device: &str,
        (life, side): (i64, i64),
        image: &[u8],
        page: &PageSeen,
        held: &Held,
    ) -> Result<bool, Refusal> {
        if page.items == held.items {
            return Ok(page.head == held.head);
        }
        if page.items > held.items {
            // a page that another follows in the register has ended as that one says
            let text = "SELECT link FROM page WHERE device = ?1 AND life = ?2 AND side = ?3 AND number = ?4";
            let next = params![device, life, side, page.number.saturating_add(1)];
            let next: Option<[u8; 12]> = self.connection.query_row(text, next, |row| row.get(0)).optional()?;
            let ends = next.is_none_or(|link| page.head.starts_with(&link));
            return Ok(ends && head_in(image, page.number, held.items) == Some(held.head));
        }
        Ok(head_in(&self.bytes(held.image)?, page.number, page.items) == Some(page.head))
    }

    /// The bytes of an image.
    pub(super) fn bytes(&self, image: i64) -> Result<Vec<u8>, Refusal> {
        Ok(self.connection.query_row("SELECT bytes FROM raw WHERE image = ?1", [image], |row| row.get(0))?)
    }

    /// The first item of a page in which two images differ; it is the first of all where their headers do.
    fn first_difference(&self, image: &[u8], other: i64, page: u32) -> Result<LogPlace, Refusal> {
        let other = self.bytes(other)?;
        let same =
            |items: u16| head_in(image, page, items).is_some_and(|head| head_in(&other, page, items) == Some(head));
        // whatever agrees after some items agrees after fewer
        let (mut agree, mut differ) = (0u16, u16::MAX);
        if !same(0) {
            return Ok(LogPlace { page, item: 0 });
        }
        while differ - agree > 1 {
            let middle = agree + (differ - agree) / 2;
            if same(middle) { agree = middle } else { differ = middle }
        }
        Ok(LogPlace { page, item: agree })
    }

    /// Writes down the pages that the register did not know, or knew shorter.
    pub(super) fn pages(&self, memory: &Memory, belongs: &Belongs, image: i64) -> Result<(), Refusal> {
        let mut statement = self.connection.prepare_cached(
            "INSERT INTO page (device, life, side, number, items, head, link, image)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)
             ON CONFLICT (device, life, side, number) DO UPDATE SET items = ?5, head = ?6, link = ?7, image = ?8
             WHERE items < ?5",
        )?;
        for page in memory.pages.iter().filter(|page| !belongs.older.contains(&page.number)) {
            statement.execute(params![
                memory.device,
                belongs.life,
                belongs.side,
                page.number,
                page.items,
                page.head,
                page.link,
                image
            ])?;
        }
        Ok(())
    }
}
