//! The raw images, and the readings in them.
//!
//! Why readings stay there: they are packed to a fraction of a byte each; the tables of the register hold none, so that it
//! opens at once however many there are.

use super::Register;
use super::refusal::Refusal;
use super::table::session_by_id;
use holdoff_evidence::row::KeptSession;
use holdoff_evidence::{Keep, Memory, Reading};
use holdoff_present::memory::mount_error;

/// What to do with a session and its readings.
pub(super) type Tell<'a> = dyn FnMut(&KeptSession, &[Reading]) -> Result<(), Refusal> + 'a;

impl Register {
    /// The raw image that a session is told from.
    ///
    /// # Errors
    /// The database failed, or knows no such session.
    pub fn image_of(&self, session: &KeptSession) -> Result<Vec<u8>, Refusal> {
        let text = "SELECT bytes FROM session JOIN raw ON raw.image = session.image
             WHERE device = ?1 AND life = ?2 AND first_page = ?3";
        let key = rusqlite::params![session.device, session.life, session.first_page];
        Ok(self.connection.query_row(text, key, |row| row.get(0))?)
    }

    /// Tells of every session in its order, with its readings.
    ///
    /// # Errors
    /// The database failed, an image cannot be read any more, or `tell` says so.
    pub(super) fn readings(&self, tell: &mut Tell<'_>) -> Result<(), Refusal> {
        let mut statement = self.connection.prepare(
            "SELECT session.id, session.image, bytes FROM session JOIN raw ON raw.image = session.image
             ORDER BY device, life, first_page",
        )?;
        let mut rows = statement.query([])?;
        // one image tells several sessions, one after another
        let mut walked: Option<(i64, Memory)> = None;
        while let Some(row) = rows.next()? {
            let session = session_by_id(&self.connection, row.get(0)?)?;
            let image: i64 = row.get(1)?;
            if walked.as_ref().is_none_or(|(last, _)| *last != image) {
                let bytes = row.get_ref(2)?.as_blob().map_err(|error| Refusal::Database(error.to_string()))?;
                let memory = Memory::of(bytes, None, Keep::Told).map_err(|error| {
                    Refusal::Database(format!("a raw image cannot be read any more: {}", mount_error(&error)))
                })?;
                walked = Some((image, memory));
            }
            let sessions = walked.iter().flat_map(|(_, memory)| &memory.sessions);
            let seen = sessions.into_iter().find(|seen| seen.first_page == session.first_page);
            tell(&session, seen.map_or(&[], |seen| &seen.readings))?;
        }
        Ok(())
    }
}
