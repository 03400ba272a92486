//! Releases against each other and against the memories.

use super::kept::kept;
use super::note::{HeldNote, Note};
use super::refusal::{Refusal, Unusable};
use super::release::Code;
use super::table::{clock_of, fixings_of, session_by_id, verdict_of};
use super::take_in::{Added, Addition, known};
use holdoff_evidence::row::Verdict;
use holdoff_evidence::{Conflict, Contradiction, NotProved, Piece, Why};
use rusqlite::{OptionalExtension, params};

/// What a release is known by.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum KnownBy {
    /// The memory that it stands in.
    Memory,
    /// Its code alone.
    Code,
}

/// What a code and the memories of its device come to.
enum Meets {
    /// They agree; the session that it comes from, where it is held.
    Agrees(Option<i64>),
    /// A session says otherwise.
    Contradicts {
        /// The session.
        session: i64,
        /// What they say differently.
        what: Contradiction,
        /// The image that the session is told from.
        image: Piece,
    },
}

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
        match same.optional()? {
            Some((known, true)) => return Err(Refusal::Replaced { fixing: code.name(), known }),
            Some((known, false)) => return Err(Refusal::Duplicate(known)),
            None => {}
        }
        let came = Piece { source: source.0.to_owned(), taken_in: source.1 };
        let found = self.against_memories(code)?;
        let session = match &found {
            Meets::Agrees(session) => *session,
            Meets::Contradicts { session, .. } => Some(*session),
        };
        self.write_release(code, session, KnownBy::Code, source, &proved)?;
        let id = self.connection.last_insert_rowid();
        if let Meets::Contradicts { session, what, image } = found {
            let conflict = Conflict { what, pieces: [image, came.clone()] };
            self.contradict(id, &conflict)?;
            self.contradicts_session(&code.device, (session, code.number), &conflict)?;
            added.conflicts.push(conflict);
            return Ok(());
        }
        self.against_releases(code, id, (session, KnownBy::Code), proved.0, &came, added)
    }

    /// Holds a release against the others of its fixing and time: one of the two is replaced, or they contradict each other.
    pub(super) fn against_releases(
        &self,
        code: &Code,
        release: i64,
        (session, known_by): (Option<i64>, KnownBy),
        verdict: Verdict,
        came: &Piece,
        added: &mut Added,
    ) -> Result<(), Refusal> {
        let mut statement = self.connection.prepare_cached(
            "SELECT id, source, taken_in, verdict, seated, speaks_for, ahead, offset_seconds, session, sealed, in_memory
             FROM release WHERE device = ?1 AND number = ?2 AND sealed <> ?3 AND contradicted IS NULL AND replaced = 0",
        )?;
        let mut rows = statement.query(params![code.device, code.number, code.sealed])?;
        while let Some(row) = rows.next()? {
            let clock = clock_of(row, 6)?;
            let (theirs, memory): (Option<i64>, bool) = (row.get(8)?, row.get(10)?);
            let same_session = session.is_some() && session == theirs;
            if !same_session && !code.overlaps(row.get(4)?, row.get(5)?, clock) {
                continue;
            }
            // two memories of a life are held against each other page by page
            if let (Some(one), Some(other)) = (session, theirs)
                && known_by == KnownBy::Memory
                && memory
                && self.life_of_session(one)? == self.life_of_session(other)?
            {
                continue;
            }
            let earlier = Piece { source: row.get(1)?, taken_in: row.get(2)? };
            let (id, held) = (row.get(0)?, verdict_of(3, &row.get::<_, String>(3)?)?);
            let other = sealed(&row.get::<_, Vec<u8>>(9)?)?;
            if other.replaces(code) && (held == Verdict::Proved || held == verdict) {
                if known_by == KnownBy::Code {
                    return Err(Refusal::Replaced { fixing: code.name(), known: earlier });
                }
                continue;
            }
            if code.replaces(&other) && (verdict == Verdict::Proved || held == verdict) {
                self.replaced(id)?;
                added.findings.push(Note::Held(HeldNote::ReplacedByThis { held: earlier }));
                continue;
            }
            let conflict = Conflict { what: Contradiction::OtherRelease, pieces: [earlier, came.clone()] };
            // a code that stands against a memory is told with the fixing of that memory
            let told_with = session.or(theirs);
            for (release, session) in [(id, theirs), (release, session)] {
                self.contradict(release, &conflict)?;
                if session.is_none() {
                    let text = "UPDATE release SET session = ?2 WHERE id = ?1";
                    self.connection.execute(text, params![release, told_with])?;
                }
                if let Some(session) = session {
                    self.contradicts_session(&code.device, (session, code.number), &conflict)?;
                }
            }
            added.conflicts.push(conflict);
        }
        Ok(())
    }

    fn life_of_session(&self, session: i64) -> Result<u32, Refusal> {
        Ok(self.connection.query_row("SELECT life FROM session WHERE id = ?1", [session], |row| row.get(0))?)
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
        let same = || self.connection.query_row(find, params![code.sealed], |row| row.get::<_, i64>(0)).optional();
        if same()?.is_none() {
            let not = (Verdict::NotProved, Some(Why::Not(NotProved::Replaced)));
            self.write_release(code, Some(session), KnownBy::Memory, source, &not)?;
        }
        let Some(id) = same()? else { return Ok(()) };
        self.connection.execute(
            "UPDATE release SET session = ?2, in_memory = 1, contradicted = NULL WHERE id = ?1",
            params![id, session],
        )?;
        self.replaced(id)
    }

    /// Holds a code against every session of its device.
    fn against_memories(&self, code: &Code) -> Result<Meets, Refusal> {
        let sessions = self.list("SELECT id FROM session WHERE device = ?1 ORDER BY id", [&code.device])?;
        for id in sessions {
            let session = session_by_id(self.connection, id)?;
            let fixings = fixings_of(self.connection, id)?;
            let fixing = fixings.iter().map(|(_, fixing)| fixing).find(|fixing| fixing.number == code.number);
            match code.against(&session, fixing) {
                Ok(true) => return Ok(Meets::Agrees(Some(id))),
                Ok(false) => {}
                Err(what) => return Ok(Meets::Contradicts { session: id, what, image: self.told_from(id)? }),
            }
        }
        Ok(Meets::Agrees(None))
    }

    /// Holds the codes of a device that no memory holds yet against the memories.
    pub(super) fn codes_against(&self, device: &str, added: &mut Added) -> Result<(), Refusal> {
        let waiting = self.list(
            "SELECT id FROM release WHERE device = ?1 AND in_memory = 0 AND contradicted IS NULL AND replaced = 0 ORDER BY id",
            [device],
        )?;
        for id in waiting {
            let (bytes, source): (Vec<u8>, Piece) = self.connection.query_row(
                "SELECT source, taken_in, sealed FROM release WHERE id = ?1",
                [id],
                |row| Ok((row.get(2)?, known(row)?)),
            )?;
            let code = sealed(&bytes)?;
            let session = match self.against_memories(&code)? {
                Meets::Agrees(session) => session,
                Meets::Contradicts { session, what, image } => {
                    let conflict = Conflict { what, pieces: [source, image] };
                    self.contradict(id, &conflict)?;
                    self.contradicts_session(device, (session, code.number), &conflict)?;
                    added.conflicts.push(conflict);
                    Some(session)
                }
            };
            self.connection.execute("UPDATE release SET session = ?2 WHERE id = ?1", params![id, session])?;
        }
        Ok(())
    }

    pub(super) fn write_release(
        &self,
        code: &Code,
        session: Option<i64>,
        known_by: KnownBy,
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
                code.demo,
                code.seated,
                code.cured,
                code.speaks_for,
                code.torque.map(|(range, _)| range.least().hundredths()),
                code.torque.map(|(range, _)| range.greatest().hundredths()),
                code.torque.map(|(_, applied)| applied.hundredths()),
                code.clock.map(|clock| clock.ahead),
                code.clock.map(|clock| clock.offset_seconds),
                session,
                known_by == KnownBy::Memory,
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
