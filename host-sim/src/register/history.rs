//! Whether an image goes on where earlier images of the same logger end, page by page.
//!
//! How: a page's seal value binds all its items and all pages before it. Two versions of a page agree when the seal value
//! of the shorter one is that of the longer one after as many items.

use super::memory::{Memory, head_in};
use super::refusal::Refusal;
use super::table::optional;
use super::take_in::{Addition, Life};
use crate::evidence::PageSeen;
use rusqlite::params;

/// A page as the register holds it.
pub(super) struct Held {
    items: u16,
    head: [u8; 32],
    image: i64,
}

/// Which pages an image shares with a life, and the first that differs.
pub(super) struct Comparison {
    shared: usize,
    differs: Option<(u32, i64)>,
    /// Pages that the register knows better: they have more items there.
    older: Vec<u32>,
}

impl Addition<'_> {
    /// The life of the device that a memory belongs to, and the pages that are older than what is held.
    pub(super) fn life_of(&self, memory: &Memory, image: &[u8], life: Life) -> Result<(u32, Vec<u32>), Refusal> {
        let device = &memory.device;
        let lives = self.list("SELECT DISTINCT life FROM image WHERE device = ?1 ORDER BY life DESC", [device])?;
        let Some(&latest) = lives.first() else { return Ok((0, Vec::new())) };
        let mut first_difference = None;
        for &number in &lives {
            let found = self.compare(memory, image, number)?;
            match found.differs {
                Some(differs) => {
                    first_difference.get_or_insert(differs);
                }
                None if found.shared == 0 && number != latest => {}
                None => {
                    return match life {
                        Life::GoesOn => Ok((number as u32, found.older)), // counted up from 0 below
                        Life::BeginsAnew => Err(Refusal::NotBlanked { device: device.clone() }),
                    };
                }
            }
        }
        match (life, first_difference) {
            (Life::GoesOn, Some((page, earlier))) => {
                Err(Refusal::Rewritten { device: device.clone(), page, earlier: self.image_known(earlier)? })
            }
            (Life::BeginsAnew, _) | (Life::GoesOn, None) => Ok((latest as u32 + 1, Vec::new())), // as above
        }
    }

    fn held(&self, device: &str, life: i64, number: u32) -> Result<Option<Held>, Refusal> {
        let text = "SELECT items, head, image FROM page WHERE device = ?1 AND life = ?2 AND number = ?3";
        let mut statement = self.connection.prepare_cached(text)?;
        let row = statement.query_row(params![device, life, number], |row| {
            Ok(Held { items: row.get(0)?, head: row.get(1)?, image: row.get(2)? })
        });
        Ok(optional(row)?)
    }

    /// Compares an image page by page with what a life holds.
    fn compare(&self, memory: &Memory, image: &[u8], life: i64) -> Result<Comparison, Refusal> {
        let mut comparison = Comparison { shared: 0, differs: None, older: Vec::new() };
        for page in &memory.pages {
            let Some(held) = self.held(&memory.device, life, page.number)? else { continue };
            comparison.shared += 1;
            if !self.agrees(&memory.device, life, image, page, &held)? {
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
    fn agrees(&self, device: &str, life: i64, image: &[u8], page: &PageSeen, held: &Held) -> Result<bool, Refusal> {
        if page.items == held.items {
            return Ok(page.head == held.head);
        }
        if page.items > held.items {
            // a page that another follows in the register has ended as that one says
            let text = "SELECT link FROM page WHERE device = ?1 AND life = ?2 AND number = ?3";
            let next = params![device, life, page.number.saturating_add(1)];
            let next: Option<[u8; 12]> = optional(self.connection.query_row(text, next, |row| row.get(0)))?;
            let ends = next.is_none_or(|link| page.head.starts_with(&link));
            return Ok(ends && head_in(image, page.number, held.items) == Some(held.head));
        }
        let text = "SELECT bytes FROM raw WHERE image = ?1";
        let bytes: Vec<u8> = self.connection.query_row(text, [held.image], |row| row.get(0))?;
        Ok(head_in(&bytes, page.number, page.items) == Some(page.head))
    }

    /// Writes down the pages that the register did not know, or knew shorter.
    pub(super) fn pages(&self, memory: &Memory, life: u32, image: i64, older: &[u32]) -> Result<(), Refusal> {
        let mut statement = self.connection.prepare_cached(
            "INSERT INTO page (device, life, number, items, head, link, image) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)
             ON CONFLICT (device, life, number) DO UPDATE SET items = ?4, head = ?5, link = ?6, image = ?7
             WHERE items < ?4",
        )?;
        for page in memory.pages.iter().filter(|page| !older.contains(&page.number)) {
            statement.execute(params![memory.device, life, page.number, page.items, page.head, page.link, image])?;
        }
        Ok(())
    }
}
