//! Settling contradictions: somebody who answers for it says so, by name and with a reason.
//!
//! Invariants: what was contradicted is never deleted, and what only the side tells that was not kept stays contradicted;
//! who settled it, when and why stays beside it. A release code that was contradicted never counts again: what its fixing
//! is, its memory tells.
//! What it does not do: prove anything. What is told afterwards is claimed as any other evidence is.

use super::Register;
use super::memory::Memory;
use super::refusal::{Refusal, Unusable};
use super::table::find_session;
use super::take_in::{Added, Addition};
use rusqlite::{OptionalExtension, params};
use sha2::{Digest, Sha256};

/// Who settles the contradictions of a logger, and why.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Settlement<'a> {
    /// The logger, in hexadecimal digits.
    pub device: &'a str,
    /// Who.
    pub by: &'a str,
    /// Why.
    pub because: &'a str,
    /// An image of the side that is told from now on; `None` where only codes contradict a memory.
    pub keep: Option<&'a [u8]>,
    /// When, seconds since 1970-01-01T00:00:00Z.
    pub at: i64,
}

impl Register {
    /// Settles every contradiction of a logger that is open; how many.
    ///
    /// # Errors
    /// [`Refusal`]; the register is then as it was.
    pub fn settle(&mut self, settlement: &Settlement<'_>) -> Result<usize, Refusal> {
        self.change_by(|addition| {
            let (life, side) = match settlement.keep {
                Some(image) => addition.tell_side_of(image, settlement.device)?,
                None if addition.has_open_sides(settlement.device)? => {
                    return Err(Refusal::WhichSide { device: settlement.device.to_owned() });
                }
                None => (None, None),
            };
            addition.connection.execute(
                "INSERT INTO settlement (device, settled_by, because, settled_at) VALUES (?1, ?2, ?3, ?4)",
                params![settlement.device, settlement.by, settlement.because, settlement.at],
            )?;
            let id = addition.connection.last_insert_rowid();
            let settled = addition.connection.execute(
                "UPDATE contradiction SET settled = ?2, kept_side = iif(session IS NULL, ?4, NULL)
                 WHERE device = ?1 AND settled IS NULL AND (session IS NOT NULL OR life = ?3)",
                params![settlement.device, id, life, side],
            )?;
            addition.decisions_against(settlement.device, &mut Added::none(settlement.device))?;
            if settled == 0 {
                return Err(Refusal::NothingToSettle { device: settlement.device.to_owned() });
            }
            addition.device_changed(settlement.device)?;
            Ok(settled)
        })
    }
}

impl Addition<'_> {
    /// Tells sessions from the side of an image that is held, whatever is signed.
    /// The life and the side.
    fn tell_side_of(&self, image: &[u8], device: &str) -> Result<(Option<u32>, Option<i64>), Refusal> {
        let hash: [u8; 32] = Sha256::digest(image).into();
        let text = "SELECT life, side FROM image WHERE sha256 = ?1 AND device = ?2";
        let found = self.connection.query_row(text, params![hash, device], |row| Ok((row.get(0)?, row.get(1)?)));
        let Some((life, side)): Option<(u32, i64)> = found.optional()? else {
            return Err(Refusal::NotHeld { device: device.to_owned() });
        };
        // each session from the image of that side that reaches furthest, so the furthest comes last
        let images = self.list(
            "SELECT id FROM image WHERE device = ?1 AND life = ?2 AND side = ?3 ORDER BY newest_page, newest_items, id",
            params![device, life, side],
        )?;
        for id in images {
            let memory =
                Memory::of(&self.bytes(id)?, None).map_err(|error| Refusal::Unusable(Unusable::Memory(error)))?;
            let known = self.image_known(id)?;
            let mut added = Added::none(device);
            for seen in &memory.sessions {
                let told = find_session(self.connection, device, life, seen.session.first_page)?;
                if let Some((row, _)) = told.filter(|(_, told)| told.side != side) {
                    // it is told anew, and nothing of the other side is kept with it
                    self.connection.execute(
                        "UPDATE session SET side = ?2, end_page = 0, end_items = 0, cover = '{\"code\":\"no-keys\"}', failed = NULL
                         WHERE id = ?1",
                        params![row, side],
                    )?;
                    self.connection
                        .execute("UPDATE fixing SET verdict = NULL, why = NULL WHERE session = ?1", params![row])?;
                }
                self.session(seen, (life, side), id, (&known.source, known.taken_in), &mut added)?;
            }
        }
        Ok((Some(life), Some(side)))
    }

    /// Whether two histories of a logger contradict each other, and nobody settled which is told.
    fn has_open_sides(&self, device: &str) -> Result<bool, Refusal> {
        let text = "SELECT count(*) FROM contradiction WHERE device = ?1 AND session IS NULL AND settled IS NULL";
        let open: u32 = self.connection.query_row(text, [device], |row| row.get(0))?;
        Ok(open > 0)
    }
}
