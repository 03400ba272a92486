//! Releases against each other and against the memories.

use super::kept::kept;
use super::note::{HeldNote, Note};
use super::refusal::{Refusal, Unusable};
use super::release::{Code, GivesWay, other_release};
use super::row::{Is, Verdict};
use super::table::{clock_of, fixings_of, optional, session_by_id, verdict_of};
use super::take_in::{Added, Addition, known};
use crate::evidence::{Contradiction, NotProved, Piece, Why};
use rusqlite::params;

impl Addition<'_> {
    /// A release code without its memory.
    pub(super) fn code(
        &self,
        code: &Code,
        source: (&str, i64),
        proved: (Verdict, Option<Why>),
        added: &mut Added,
    ) -> Result<(), Refusal> {
        let same = "SELECT source, taken_in, replaced FROM release WHERE sealed = ?1";
        let same = self.connection.query_row(same, params![code.sealed], |row| Ok((known(row)?, row.get(2)?)));
        match optional(same)? {
            Some((known, true)) => return Err(Refusal::Replaced { fixing: code.name(), known }),
            Some((known, false)) => return Err(Refusal::Duplicate(known)),
            None => {}
        }
        let session = self.against_memories(code)?.map_err(|(what, image)| Refusal::AgainstMemory {
            fixing: code.name(),
            what,
            other: image,
        })?;
        self.give_way(code, session, proved.0, &mut added.findings)?;
        self.write_release(code, session, Is::No, source, &proved)
    }

    /// Another release of the same fixing and time gives way or is replaced, or the newcomer is refused.
    pub(super) fn give_way(
        &self,
        code: &Code,
        session: Option<i64>,
        verdict: Verdict,
        findings: &mut Vec<Note>,
    ) -> Result<(), Refusal> {
        let mut statement = self.connection.prepare_cached(
            "SELECT id, source, taken_in, verdict, seated, speaks_for, ahead, offset_seconds, session, sealed FROM release
             WHERE device = ?1 AND number = ?2 AND sealed <> ?3 AND contradicted IS NULL AND replaced = 0",
        )?;
        let mut rows = statement.query(params![code.device, code.number, code.sealed])?;
        while let Some(row) = rows.next()? {
            let clock = clock_of(row, 6)?;
            let theirs: Option<i64> = row.get(8)?;
            let same_session = session.is_some() && session == theirs;
            if !same_session && code.overlaps(row.get(4)?, row.get(5)?, clock) == Is::No {
                continue;
            }
            let earlier = Piece { source: row.get(1)?, taken_in: row.get(2)? };
            let (id, held) = (row.get(0)?, verdict_of(3, &row.get::<_, String>(3)?)?);
            let other = sealed(&row.get::<_, Vec<u8>>(9)?)?;
            if other.replaces(code) && (held == Verdict::Proved || held == verdict) {
                return Err(Refusal::Replaced { fixing: code.name(), known: earlier });
            }
            if code.replaces(&other) && (verdict == Verdict::Proved || held == verdict) {
                self.replaced(id)?;
                findings.push(Note::Held(HeldNote::ReplacedByThis { held: earlier }));
                continue;
            }
            match GivesWay::of(held, verdict) {
                GivesWay::Newcomer => return Err(other_release(code, earlier)),
                GivesWay::Earlier => {
                    self.contradict(id, &Contradiction::OtherRelease)?;
                    findings.push(Note::Held(HeldNote::ContradictedByThis { held: earlier }));
                }
            }
        }
        Ok(())
    }

    /// A later release of the same fixing is in force.
    fn replaced(&self, release: i64) -> Result<(), Refusal> {
        self.connection.execute(
            "UPDATE release SET replaced = 1, verdict = ?2, why = ?3, revision = ?4 WHERE id = ?1",
            params![release, Verdict::NotProved.word(), kept(&Why::Not(NotProved::Replaced))?, self.revision],
        )?;
        Ok(())
    }

    /// A release that stands in a memory, before a later one of the same fixing (rule A4).
    pub(super) fn replaced_in_memory(&self, session: i64, code: &Code, source: (&str, i64)) -> Result<(), Refusal> {
        let find = "SELECT id FROM release WHERE sealed = ?1";
        let same = || optional(self.connection.query_row(find, params![code.sealed], |row| row.get::<_, i64>(0)));
        if same()?.is_none() {
            let not = (Verdict::NotProved, Some(Why::Not(NotProved::Replaced)));
            self.write_release(code, Some(session), Is::Yes, source, &not)?;
        }
        let Some(id) = same()? else { return Ok(()) };
        self.connection.execute(
            "UPDATE release SET session = ?2, in_memory = 1, contradicted = NULL WHERE id = ?1",
            params![id, session],
        )?;
        self.replaced(id)
    }

    fn contradict(&self, release: i64, why: &Contradiction) -> Result<(), Refusal> {
        self.connection.execute(
            "UPDATE release SET contradicted = ?2, revision = ?3 WHERE id = ?1",
            params![release, kept(why)?, self.revision],
        )?;
        Ok(())
    }

    /// Holds a code against every session of its device; the one it comes from, or what contradicts it.
    #[allow(clippy::type_complexity, reason = "a contradiction is an answer here, a failed database is none")]
    fn against_memories(&self, code: &Code) -> Result<Result<Option<i64>, (Contradiction, Piece)>, Refusal> {
        let sessions = self.list("SELECT id FROM session WHERE device = ?1 ORDER BY id", [&code.device])?;
        for id in sessions {
            let session = session_by_id(self.connection, id)?;
            let fixings = fixings_of(self.connection, id)?;
            let fixing = fixings.iter().map(|(_, fixing)| fixing).find(|fixing| fixing.number == code.number);
            match code.against(&session, fixing) {
                Ok(Is::Yes) => return Ok(Ok(Some(id))),
                Ok(Is::No) => {}
                Err(what) => {
                    let text = "SELECT image FROM session WHERE id = ?1";
                    let image = self.connection.query_row(text, [id], |row| row.get(0))?;
                    return Ok(Err((what, self.image_known(image)?)));
                }
            }
        }
        Ok(Ok(None))
    }

    /// Holds the codes of a device that no memory holds yet against the memories.
    pub(super) fn codes_against(&self, device: &str, added: &mut Added) -> Result<(), Refusal> {
        let waiting = self.list(
            "SELECT id FROM release WHERE device = ?1 AND in_memory = 0 AND contradicted IS NULL AND replaced = 0 ORDER BY id",
            [device],
        )?;
        for id in waiting {
            let (bytes, source, verdict): (Vec<u8>, Piece, String) = self.connection.query_row(
                "SELECT source, taken_in, sealed, verdict FROM release WHERE id = ?1",
                [id],
                |row| Ok((row.get(2)?, known(row)?, row.get(3)?)),
            )?;
            let code = sealed(&bytes)?;
            match (self.against_memories(&code)?, verdict_of(3, &verdict)?) {
                (Ok(session), _) => {
                    self.connection.execute("UPDATE release SET session = ?2 WHERE id = ?1", params![id, session])?;
                }
                (Err((what, _)), Verdict::Proved) => {
                    return Err(Refusal::AgainstMemory { fixing: code.name(), what, other: source });
                }
                (Err((what, _)), Verdict::NotProved | Verdict::NotChecked) => {
                    self.contradict(id, &what)?;
                    let (label, number) = (code.label.clone(), code.number);
                    let note = HeldNote::CodeContradicted { label, number, held: source, why: what };
                    added.findings.push(Note::Held(note));
                }
            }
        }
        Ok(())
    }

    pub(super) fn write_release(
        &self,
        code: &Code,
        session: Option<i64>,
        in_memory: Is,
        source: (&str, i64),
        proved: &(Verdict, Option<Why>),
    ) -> Result<(), Refusal> {
        self.connection.execute(
            "INSERT INTO release (sealed, code, short, device, number, label, job, demo, seated, cured, speaks_for,
                torque_least, torque_greatest, torque, ahead, offset_seconds, session, in_memory, source, taken_in, verdict,
                why, revision)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20, ?21, ?22,
                ?23)",
            params![
                code.sealed,
                code.text,
                code.short,
                code.device,
                code.number,
                code.label,
                code.job,
                code.demo == Is::Yes,
                code.seated,
                code.cured,
                code.speaks_for,
                code.torque.map(|(range, _)| range.least().hundredths()),
                code.torque.map(|(range, _)| range.greatest().hundredths()),
                code.torque.map(|(_, applied)| applied.hundredths()),
                code.clock.map(|clock| clock.ahead),
                code.clock.map(|clock| clock.offset_seconds),
                session,
                in_memory == Is::Yes,
                source.0,
                source.1,
                proved.0.word(),
                proved.1.as_ref().map(kept).transpose()?,
                self.revision,
            ],
        )?;
        Ok(())
    }
}

/// A release that the register holds.
fn sealed(bytes: &[u8]) -> Result<Code, Refusal> {
    Code::of(bytes).map_err(|fault| Refusal::Unusable(Unusable::Record(fault)))
}
