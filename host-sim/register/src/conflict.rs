//! Contradictions between pieces of evidence: kept, and shown on every fixing that they touch.
//!
//! What for: the register does not know who is right. It keeps both pieces, and claims nothing of what they touch until the
//! owner has settled it; it never does that by itself.
//! Terms: two images that differ from a page on contradict each other in every session that reaches that page; a code
//! contradicts a session in the fixing that it speaks of.

use super::Register;
use super::history::Belongs;
use super::kept::{kept, read};
use super::memory::Memory;
use super::refusal::{Refusal, Unusable};
use super::take_in::{Added, Addition};
use holdoff_evidence::{Conflict, Contradiction, LogPlace, Piece};
use rusqlite::{Connection, OptionalExtension, params};

/// The contradictions that touch a session: the fixing (`None` for all of them), and what it is.
pub(super) fn of_session(connection: &Connection, session: i64) -> rusqlite::Result<Vec<(Option<u8>, Conflict)>> {
    let mut statement = connection.prepare_cached(
        "SELECT contradiction.number, conflict FROM session JOIN contradiction
         ON contradiction.session = session.id OR (contradiction.session IS NULL
            AND contradiction.device = session.device AND contradiction.life = session.life AND from_page <= end_page)
         WHERE session.id = ?1 AND (settled IS NULL OR session.side <> kept_side) ORDER BY contradiction.id",
    )?;
    let rows = statement.query_map([session], |row| Ok((row.get(0)?, read(row, 1)?)))?;
    rows.collect()
}

impl Register {
    /// Keeps that a logger was read out over its line, and that what was read is damaged: every fixing of it stands contradicted
    /// from then on. What was refused for another reason changes nothing.
    ///
    /// # Errors
    /// [`Refusal`]; the register is then as it was.
    pub fn refused_read_out(&mut self, device: &str, source: &str, why: &Refusal, now: i64) -> Result<(), Refusal> {
        let Refusal::Unusable(Unusable::Memory(_)) = why else { return Ok(()) };
        let came = Piece { source: source.to_owned(), taken_in: now };
        self.change_by(|addition| {
            let text = "SELECT id FROM session WHERE device = ?1 AND NOT EXISTS (SELECT 1 FROM contradiction
                 WHERE contradiction.session = session.id AND contradiction.number IS NULL AND settled IS NULL)";
            for session in addition.list(text, [device])? {
                let pieces = [addition.told_from(session)?, came.clone()];
                let conflict = Conflict { what: Contradiction::ReadOutDamaged, pieces };
                addition.connection.execute(
                    "INSERT INTO contradiction (device, session, conflict) VALUES (?1, ?2, ?3)",
                    params![device, session, kept(&conflict)?],
                )?;
                addition.session_changed(session)?;
            }
            Ok(())
        })
    }
}

impl Addition<'_> {
    /// Writes down that an image contradicts other sides of its life.
    pub(super) fn contradicts(
        &self,
        device: &str,
        belongs: &Belongs,
        came: &Piece,
        added: &mut Added,
    ) -> Result<(), Refusal> {
        for against in &belongs.against {
            let LogPlace { page, item } = against.place;
            let what = Contradiction::OtherHistory { device: device.to_owned(), page, item };
            let conflict = Conflict { what, pieces: [self.image_known(against.image)?, came.clone()] };
            // that two sides contradict each other is told once
            let written = self.connection.execute(
                "INSERT INTO contradiction (device, life, side, against_side, from_page, from_item, conflict)
                 SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7 WHERE NOT EXISTS (SELECT 1 FROM contradiction
                    WHERE device = ?1 AND life = ?2
                        AND ((side = ?3 AND against_side = ?4) OR (side = ?4 AND against_side = ?3)))",
                params![device, belongs.life, belongs.side, against.side, page, item, kept(&conflict)?],
            )?;
            if written > 0 {
                self.connection.execute(
                    "UPDATE fixing SET revision = ?4 WHERE session IN
                        (SELECT id FROM session WHERE device = ?1 AND life = ?2 AND end_page >= ?3)",
                    params![device, belongs.life, page, self.revision],
                )?;
            }
            let text = "SELECT count(*) FROM contradiction WHERE device = ?1 AND life = ?2 AND settled IS NULL
                 AND ((side = ?3 AND against_side = ?4) OR (side = ?4 AND against_side = ?3))";
            let open: u32 =
                self.connection
                    .query_row(text, params![device, belongs.life, belongs.side, against.side], |row| row.get(0))?;
            if open > 0 {
                added.conflicts.push(conflict);
            }
        }
        Ok(())
    }

    /// The owner says of an image that stands contradicted that its memory was made blank: its side becomes a life of its
    /// own; only its releases can contradict anything from then on.
    pub(super) fn blanked(&self, memory: &Memory, hash: &[u8; 32], came: Piece) -> Result<Added, Refusal> {
        let text = "SELECT id, life, side FROM image WHERE sha256 = ?1";
        let (image, life, side): (i64, i64, i64) =
            self.connection.query_row(text, params![hash], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
        if side == 0 {
            return Err(Refusal::Duplicate(came));
        }
        let device = &memory.device;
        let own = self.own_life(device, life, side)?;
        let mut added = Added::none(device);
        for seen in &memory.sessions {
            added.fixings += seen.fixings.len();
            self.session(seen, (own, 0), image, (&came.source, came.taken_in), &mut added)?;
        }
        Ok(added)
    }

    /// Makes a side a life of its own; its number.
    pub(super) fn own_life(&self, device: &str, life: i64, side: i64) -> Result<u32, Refusal> {
        let newest = "SELECT max(life) FROM image WHERE device = ?1";
        let newest: u32 = self.connection.query_row(newest, [device], |row| row.get(0))?;
        let own = newest + 1;
        for table in ["image", "page", "session"] {
            let text = format!("UPDATE {table} SET life = ?4, side = 0 WHERE device = ?1 AND life = ?2 AND side = ?3");
            self.connection.execute(&text, params![device, life, side, own])?;
        }
        self.connection.execute(
            "DELETE FROM contradiction WHERE device = ?1 AND life = ?2 AND session IS NULL
                AND (side = ?3 OR against_side = ?3)",
            params![device, life, side],
        )?;
        self.device_changed(device)?;
        Ok(own)
    }

    /// Where two sides of a life differ first; `None` where nothing is known of that, or it is settled which one is told.
    pub(super) fn sides_differ(&self, device: &str, life: u32, sides: (i64, i64)) -> Result<Option<LogPlace>, Refusal> {
        let text = "SELECT from_page, from_item FROM contradiction WHERE device = ?1 AND life = ?2 AND session IS NULL AND settled IS NULL
             AND ((side = ?3 AND against_side = ?4) OR (side = ?4 AND against_side = ?3))";
        let found = self.connection.query_row(text, params![device, life, sides.0, sides.1], |row| {
            Ok(LogPlace { page: row.get(0)?, item: row.get(1)? })
        });
        Ok(found.optional()?)
    }

    /// Writes down that a release contradicts a session in one of its fixings.
    pub(super) fn contradicts_session(
        &self,
        device: &str,
        (session, number): (i64, u8),
        conflict: &Conflict,
    ) -> Result<(), Refusal> {
        self.connection.execute(
            "INSERT INTO contradiction (device, session, number, conflict) VALUES (?1, ?2, ?3, ?4)",
            params![device, session, number, kept(conflict)?],
        )?;
        self.fixing_changed(session, number)
    }

    /// Writes down at a release, known by its code, what contradicts it.
    pub(super) fn contradict(&self, release: i64, conflict: &Conflict) -> Result<(), Refusal> {
        self.connection.execute(
            "UPDATE release SET contradicted = ?2, revision = ?3 WHERE id = ?1",
            params![release, kept(conflict)?, self.revision],
        )?;
        Ok(())
    }
}
