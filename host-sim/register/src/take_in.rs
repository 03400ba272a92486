//! Taking evidence in: one transaction an image, a code, or a picture with codes.
//!
//! Order of an addition: the evidence is looked through before the register is locked; then it is compared with what is
//! held, written, and what is held is compared with it. Whatever is refused on the way rolls all of it back.

use super::Register;
use super::codes::KnownBy;
use super::kept::kept;
use super::memory::{Memory, SessionSeen};
use super::note::{HeldNote, Note};
use super::refusal::{Refusal, Unusable};
use super::release::Code;
use super::table::{find_session, fixings_of, write_fixing, write_session};
use holdoff_core::cure::Laxer;
use holdoff_core::fixing::{Ground, Grounds};
use holdoff_core::log::{StageSeen, StageWord};
use holdoff_core::quantity::Count;
use holdoff_evidence::keys::Ring;
use holdoff_evidence::row::held_against;
use holdoff_evidence::row::{KeptFixing, KeptSession, ReadOut, Verdict};
use holdoff_evidence::{Conflict, Cover, LogPlace, NotProved, Piece, Why, split};
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};
use sha2::{Digest, Sha256};

/// What the person who adds an image says of the memory.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Life {
    /// It goes on from what was read out before.
    GoesOn,
    /// It was made blank in between.
    BeginsAnew,
}

/// A release and what holding it against the keys came to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Proved {
    /// What the fixing is called; empty where it has no label.
    pub fixing: String,
    /// Its number on the logger, counted from 0.
    pub number: u8,
    /// The verdict.
    pub verdict: Verdict,
    /// Why; `None` where no keys were given.
    pub why: Option<Why>,
    /// Whether its resin is an invented one.
    pub demo: bool,
    /// Settings laxer than their default that it rests on.
    pub laxer: Laxer,
    /// The reading between injection and seating that lay furthest outside the installation limits (rule A5).
    pub outside_at_seating: Option<Count>,
}

impl Proved {
    /// Of a fixing as its session's newest view has it.
    fn of(session: &KeptSession, fixing: &KeptFixing, verdict: Verdict) -> Self {
        Self {
            fixing: fixing.label.clone(),
            number: fixing.number,
            verdict,
            why: fixing.why.clone(),
            demo: session.demo,
            laxer: session.laxer(),
            outside_at_seating: fixing.outside_at_seating,
        }
    }
}

/// What an addition came to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Added {
    /// The logger, in hexadecimal digits.
    pub device: String,
    /// Fixings that it tells of.
    pub fixings: usize,
    /// Fixings whose status was told anew by it.
    pub changed: usize,
    /// Releases in it.
    pub releases: Vec<Proved>,
    /// What is amiss with it, and what it changes.
    pub findings: Vec<Note>,
    /// What contradicts it, or is contradicted by it. Both pieces are kept.
    pub conflicts: Vec<Conflict>,
}

impl Added {
    /// Nothing yet, of a logger.
    pub(super) fn none(device: &str) -> Self {
        Self {
            device: device.to_owned(),
            fixings: 0,
            changed: 0,
            releases: Vec::new(),
            findings: Vec::new(),
            conflicts: Vec::new(),
        }
    }
}

impl Register {
    /// Takes in a raw memory image.
    ///
    /// # Errors
    /// [`Refusal`]; the register is then as it was.
    pub fn add_image(
        &mut self,
        source: &str,
        image: &[u8],
        ring: Option<&Ring>,
        life: Life,
        now: i64,
    ) -> Result<Added, Refusal> {
        let memory = Memory::of(image, ring).map_err(|error| Refusal::Unusable(Unusable::Memory(error)))?;
        self.change_by(|addition| {
            let hash: [u8; 32] = Sha256::digest(image).into();
            if let Some((held, known)) = addition.same(&memory, &hash, image)? {
                return match life {
                    Life::GoesOn => Err(Refusal::Duplicate(known)),
                    Life::BeginsAnew => addition.blanked(&memory, &held, known),
                };
            }
            let belongs = addition.belongs(&memory, image, life)?;
            let newest = memory.pages.last().map_or((0, 0), |page| (page.number, page.items));
            addition.connection.execute(
                "INSERT INTO image
                    (sha256, size, device, life, side, newest_page, newest_items, source, taken_in, findings)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
                params![
                    hash,
                    image.len(),
                    memory.device,
                    belongs.life,
                    belongs.side,
                    newest.0,
                    newest.1,
                    source,
                    now,
                    kept(&memory.findings)?
                ],
            )?;
            let id = addition.connection.last_insert_rowid();
            addition.connection.execute("INSERT INTO raw (image, bytes) VALUES (?1, ?2)", params![id, image])?;
            addition.pages(&memory, &belongs, id)?;
            let mut added = Added::none(&memory.device);
            added.findings = memory.findings.iter().copied().map(Note::Found).collect();
            let came = Piece { source: source.to_owned(), taken_in: now };
            addition.contradicts(&memory.device, &belongs, &came, &mut added)?;
            for seen in &memory.sessions {
                added.fixings += seen.fixings.len();
                addition.session(seen, (belongs.life, belongs.side), id, (source, now), &mut added)?;
            }
            addition.codes_against(&memory.device, &mut added)?;
            addition.decisions_against(&memory.device, &mut added)?;
            Ok(added)
        })
    }

    /// Takes in the release codes of one picture or text: all of them or none. Those that are held already are passed over.
    ///
    /// # Errors
    /// [`Refusal`], [`Refusal::Duplicate`] where all are held; the register is then as it was.
    pub fn add_codes(
        &mut self,
        source: &str,
        codes: &[String],
        ring: Option<&Ring>,
        now: i64,
    ) -> Result<Vec<Added>, Refusal> {
        let read: Result<Vec<_>, Unusable> = codes.iter().map(|text| Code::read(text)).collect();
        let read = read.map_err(Refusal::Unusable)?;
        self.change_by(|addition| {
            let (mut all, mut held) = (Vec::new(), None);
            for code in &read {
                let unchecked = (Verdict::NotChecked, None);
                let proved = ring.map_or(unchecked, |ring| held_against(&code.text, ring));
                let (verdict, why) = proved.clone();
                let mut added = Added {
                    device: code.device.clone(),
                    fixings: 1,
                    changed: 1,
                    releases: vec![Proved {
                        fixing: code.label.clone(),
                        number: code.number,
                        verdict,
                        why,
                        demo: code.demo,
                        laxer: code.laxer,
                        outside_at_seating: code.outside_at_seating,
                    }],
                    findings: Vec::new(),
                    conflicts: Vec::new(),
                };
                match addition.code(code, (source, now), proved, &mut added) {
                    Ok(()) => all.push(added),
                    Err(Refusal::Duplicate(known)) => held = Some(known),
                    Err(refusal) => return Err(refusal),
                }
            }
            match held {
                Some(known) if all.is_empty() => Err(Refusal::Duplicate(known)),
                Some(_) | None => Ok(all),
            }
        })
    }

    /// Holds every release against keys again, and stores what comes of it; how many are proved, and how many there are.
    ///
    /// # Errors
    /// [`Refusal`]; the register is then as it was.
    pub fn prove(&mut self, ring: &Ring) -> Result<Vec<Proved>, Refusal> {
        self.change_by(|addition| {
            let mut all = Vec::new();
            addition.prove_told(ring, &mut all)?;
            if addition.prove_sides(ring)? {
                // another side may be told now
                all.clear();
                addition.prove_told(ring, &mut all)?;
            }
            addition.prove_codes(ring, &mut all)?;
            addition.all_decisions_against()?;
            Ok(all)
        })
    }

    /// Writes down that a logger was read out over its line, and how its clock went; the last time counts.
    ///
    /// # Errors
    /// [`Refusal`]; the register is then as it was.
    pub fn read_out(&mut self, device: &str, read: ReadOut) -> Result<(), Refusal> {
        self.change_by(|addition| {
            addition.connection.execute(
                "INSERT INTO read_out (device, at, ahead) VALUES (?1, ?2, ?3)
                 ON CONFLICT (device) DO UPDATE SET at = ?2, ahead = ?3",
                params![device, read.at, read.ahead],
            )?;
            addition.device_changed(device)
        })
    }

    /// One transaction. What is refused rolls it back.
    pub(super) fn change_by<T>(
        &mut self,
        change: impl FnOnce(&Addition<'_>) -> Result<T, Refusal>,
    ) -> Result<T, Refusal> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        transaction.execute("UPDATE revision SET number = number + 1", [])?;
        let revision = transaction.query_row("SELECT number FROM revision", [], |row| row.get(0))?;
        let done = change(&Addition { connection: &transaction, revision })?;
        transaction.commit()?;
        Ok(done)
    }
}

pub(super) fn known(row: &rusqlite::Row<'_>) -> rusqlite::Result<Piece> {
    Ok(Piece { source: row.get(0)?, taken_in: row.get(1)? })
}

/// A transaction that adds something.
pub(super) struct Addition<'c> {
    pub(super) connection: &'c Connection,
    pub(super) revision: i64,
}

impl Addition<'_> {
    pub(super) fn list(&self, text: &str, parameters: impl rusqlite::Params) -> Result<Vec<i64>, Refusal> {
        let mut statement = self.connection.prepare_cached(text)?;
        let rows = statement.query_map(parameters, |row| row.get(0))?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }

    /// The image that is held already, by its hash: this very file, or the same memory with a logger's word for its end, where
    /// this one brings no first one.
    fn same(&self, memory: &Memory, hash: &[u8; 32], image: &[u8]) -> Result<Option<([u8; 32], Piece)>, Refusal> {
        let (bytes, answer) = split(image);
        let newest = memory.pages.last().map_or((0, 0), |page| (page.number, page.items));
        let mut statement = self.connection.prepare_cached(
            "SELECT source, taken_in, sha256, bytes FROM image JOIN raw ON raw.image = image.id
             WHERE sha256 = ?1 OR device = ?2 AND newest_page = ?3 AND newest_items = ?4",
        )?;
        let mut rows = statement.query(params![hash, memory.device, newest.0, newest.1])?;
        while let Some(row) = rows.next()? {
            let (found, held): ([u8; 32], Vec<u8>) = (row.get(2)?, row.get(3)?);
            let (held, word) = split(&held);
            if found == *hash || held == bytes && (word.is_some() || answer.is_none()) {
                return Ok(Some((found, known(row)?)));
            }
        }
        Ok(None)
    }

    pub(super) fn image_known(&self, image: i64) -> Result<Piece, Refusal> {
        let text = "SELECT source, taken_in FROM image WHERE id = ?1";
        Ok(self.connection.query_row(text, [image], known)?)
    }

    /// The image that a session is told from.
    pub(super) fn told_from(&self, session: i64) -> Result<Piece, Refusal> {
        let text = "SELECT source, taken_in FROM image WHERE id = (SELECT image FROM session WHERE id = ?1)";
        Ok(self.connection.query_row(text, [session], known)?)
    }

    /// Every fixing of a device is told anew.
    pub(super) fn device_changed(&self, device: &str) -> Result<(), Refusal> {
        let text = "UPDATE fixing SET revision = ?2 WHERE session IN (SELECT id FROM session WHERE device = ?1)";
        self.connection.execute(text, params![device, self.revision])?;
        Ok(())
    }

    /// Every fixing of a session is told anew.
    pub(super) fn session_changed(&self, session: i64) -> Result<(), Refusal> {
        let text = "UPDATE fixing SET revision = ?2 WHERE session = ?1";
        self.connection.prepare_cached(text)?.execute(params![session, self.revision])?;
        Ok(())
    }

    /// A fixing is told anew.
    pub(super) fn fixing_changed(&self, session: i64, number: u8) -> Result<(), Refusal> {
        let text = "UPDATE fixing SET revision = ?3 WHERE session = ?1 AND number = ?2";
        self.connection.execute(text, params![session, number, self.revision])?;
        Ok(())
    }

    /// Tells a session from this image, unless another reaches further.
    pub(super) fn session(
        &self,
        seen: &SessionSeen,
        (life, side): (u32, i64),
        image: i64,
        source: (&str, i64),
        added: &mut Added,
    ) -> Result<(), Refusal> {
        let mut session = KeptSession { life, side, ..seen.session.clone() };
        let before = find_session(self.connection, &session.device, life, session.first_page)?;
        let before = match before {
            Some((_, before)) if before.side != side => {
                if self.keeps(&before, &session)? {
                    return Ok(());
                }
                None
            }
            same => same,
        };
        let rank = |session: &KeptSession| (session.end, session.untrusted.is_none());
        // the same log once more, with less that vouches for it: held against keys, it is covered less far
        let covered = |session: &KeptSession| match session.cover {
            Cover::UpTo { page, items } => Some((page, items)),
            Cover::NoKeys | Cover::Nothing => None,
        };
        let weaker = |before: &KeptSession| {
            rank(before) == rank(&session) && session.cover != Cover::NoKeys && covered(before) > covered(&session)
        };
        let mut fixings = seen.fixings.clone();
        let id = match before {
            Some((_, before)) if rank(&before) > rank(&session) || weaker(&before) => {
                added.findings.push(Note::Held(HeldNote::LaterView { page: session.first_page }));
                return Ok(());
            }
            Some((id, before)) => {
                let known = fixings_of(self.connection, id)?;
                if fixings.is_empty() && !known.is_empty() {
                    // its beginning is damaged: what was known of it is known no longer (rule E4)
                    session = KeptSession { end: session.end, untrusted: session.untrusted, ..before.clone() };
                    fixings = known.iter().map(|(_, fixing)| distrusted(fixing)).collect();
                }
                for fixing in &mut fixings {
                    let same = known.iter().find(|(_, known)| known.number == fixing.number);
                    keep_verdict(fixing, same.map(|(_, known)| known));
                }
                // without keys, what was signed before stays signed
                if session.cover == Cover::NoKeys {
                    (session.cover, session.failed) = (before.cover, before.failed);
                }
                write_session(self.connection, &session, image)?;
                id
            }
            None => write_session(self.connection, &session, image)?,
        };
        added.changed += self.fixings(id, &fixings)?;
        for (place, release) in seen.releases.iter().enumerate() {
            let fixing = fixings.iter().find(|fixing| fixing.number == release.number);
            let Some(fixing) = fixing else { continue };
            // the last one of a fixing is in force (rule A4)
            let later = seen.releases.iter().skip(place + 1).any(|later| later.number == release.number);
            if later {
                if let Ok(code) = Code::of(&release.sealed) {
                    self.replaced_in_memory(id, &code, source)?;
                }
                continue;
            }
            added.releases.push(Proved::of(&session, fixing, fixing.verdict.unwrap_or(Verdict::NotChecked)));
            // one that cannot be read stays in the image, with its verdict at the fixing
            if let Ok(code) = Code::of(&release.sealed) {
                self.release_in_memory(id, &code, fixing, source, added)?;
            }
        }
        Ok(())
    }

    /// Whether a session goes on being told from its side, and not from another that contradicts it: unless a signature of a
    /// known key covers the difference on the other side alone.
    fn keeps(&self, told: &KeptSession, other: &KeptSession) -> Result<bool, Refusal> {
        let place = self.sides_differ(&told.device, told.life, (told.side, other.side))?;
        let Some(place) = place.map(|place| place.max(LogPlace { page: told.first_page, item: 0 })) else {
            return Ok(true);
        };
        Ok(told.cover.reaches(place) || !other.cover.reaches(place))
    }

    /// Writes the fixings of a session that are not what they were; how many.
    fn fixings(&self, session: i64, fixings: &[KeptFixing]) -> Result<usize, Refusal> {
        let known = fixings_of(self.connection, session)?;
        let mut changed = 0;
        for fixing in fixings {
            if known.iter().any(|(_, known)| known == fixing) {
                continue;
            }
            write_fixing(self.connection, session, fixing, self.revision)?;
            changed += 1;
        }
        // the session's own part, such as how far it reaches, is told with each of its fixings
        self.session_changed(session)?;
        Ok(changed)
    }

    /// A release that stands in a memory.
    fn release_in_memory(
        &self,
        session: i64,
        code: &Code,
        fixing: &KeptFixing,
        source: (&str, i64),
        added: &mut Added,
    ) -> Result<(), Refusal> {
        let verdict = fixing.verdict.unwrap_or(Verdict::NotChecked);
        let changed = self.connection.execute(
            "UPDATE release SET session = ?2, in_memory = 1, verdict = ?3, why = ?4, revision = ?5, contradicted = NULL
             WHERE sealed = ?1",
            params![code.sealed, session, verdict.word(), fixing.why.as_ref().map(kept).transpose()?, self.revision],
        )?;
        if changed == 0 {
            self.write_release(code, Some(session), KnownBy::Memory, source, &(verdict, fixing.why.clone()))?;
        }
        let find = "SELECT id FROM release WHERE sealed = ?1";
        let id = self.connection.query_row(find, params![code.sealed], |row| row.get(0))?;
        let came = Piece { source: source.0.to_owned(), taken_in: source.1 };
        self.against_releases(code, id, (Some(session), KnownBy::Memory), verdict, &came, added)
    }

    /// Stores the verdicts of a session that is told from this image.
    fn prove_session(
        &self,
        seen: &SessionSeen,
        device: &str,
        life: u32,
        image: i64,
        all: &mut Vec<Proved>,
    ) -> Result<(), Refusal> {
        let text = "SELECT id FROM session WHERE device = ?1 AND life = ?2 AND first_page = ?3 AND image = ?4";
        let key = params![device, life, seen.session.first_page, image];
        let id: Option<i64> = self.connection.query_row(text, key, |row| row.get(0)).optional()?;
        let Some(id) = id else { return Ok(()) };
        self.connection.execute(
            "UPDATE session SET failed = ?2, cover = ?3 WHERE id = ?1",
            params![id, seen.session.failed.as_ref().map(kept).transpose()?, kept(&seen.session.cover)?],
        )?;
        self.fixings(id, &seen.fixings)?;
        for fixing in &seen.fixings {
            let Some(verdict) = fixing.verdict else { continue };
            for release in seen.releases.iter().filter(|release| release.number == fixing.number) {
                self.connection.execute(
                    "UPDATE release SET verdict = ?2, why = ?3, revision = ?4 WHERE sealed = ?1 AND replaced = 0",
                    params![release.sealed, verdict.word(), fixing.why.as_ref().map(kept).transpose()?, self.revision],
                )?;
            }
            all.push(Proved::of(&seen.session, fixing, verdict));
        }
        Ok(())
    }

    /// Holds the furthest image of every side that is contradicted against keys: what is signed on one side alone is told.
    /// Whether there are any.
    fn prove_sides(&self, ring: &Ring) -> Result<bool, Refusal> {
        let images = self.list(
            "SELECT id FROM (SELECT id, row_number() OVER (PARTITION BY device, life, side
                ORDER BY newest_page DESC, newest_items DESC) AS place FROM image AS one
                WHERE EXISTS (SELECT 1 FROM image AS other WHERE other.device = one.device AND other.life = one.life
                    AND other.side <> one.side)) WHERE place = 1 ORDER BY id",
            [],
        )?;
        let any = !images.is_empty();
        for image in images {
            let memory = Memory::of(&self.bytes(image)?, Some(ring))
                .map_err(|error| Refusal::Unusable(Unusable::Memory(error)))?;
            let text = "SELECT source, taken_in, life, side FROM image WHERE id = ?1";
            let (came, life, side): (Piece, u32, i64) =
                self.connection.query_row(text, [image], |row| Ok((known(row)?, row.get(2)?, row.get(3)?)))?;
            let mut added = Added::none(&memory.device);
            for seen in &memory.sessions {
                self.session(seen, (life, side), image, (&came.source, came.taken_in), &mut added)?;
            }
        }
        Ok(any)
    }

    /// Holds every image that a session is told from against keys.
    fn prove_told(&self, ring: &Ring, all: &mut Vec<Proved>) -> Result<(), Refusal> {
        for image in self.list("SELECT DISTINCT image FROM session ORDER BY image", [])? {
            let memory = Memory::of(&self.bytes(image)?, Some(ring))
                .map_err(|error| Refusal::Unusable(Unusable::Memory(error)))?;
            let life: u32 =
                self.connection.query_row("SELECT life FROM image WHERE id = ?1", [image], |row| row.get(0))?;
            for seen in &memory.sessions {
                self.prove_session(seen, &memory.device, life, image, all)?;
            }
        }
        Ok(())
    }

    /// Stores the verdicts of codes that no memory holds.
    fn prove_codes(&self, ring: &Ring, all: &mut Vec<Proved>) -> Result<(), Refusal> {
        for id in self.list("SELECT id FROM release WHERE in_memory = 0 AND replaced = 0 ORDER BY id", [])? {
            let text = "SELECT code FROM release WHERE id = ?1";
            let text: String = self.connection.query_row(text, [id], |row| row.get(0))?;
            let code = Code::read(&text).map_err(Refusal::Unusable)?;
            let (verdict, why) = held_against(&text, ring);
            self.connection.execute(
                "UPDATE release SET verdict = ?2, why = ?3, revision = ?4 WHERE id = ?1",
                params![id, verdict.word(), why.as_ref().map(kept).transpose()?, self.revision],
            )?;
            all.push(Proved {
                fixing: code.label,
                number: code.number,
                verdict,
                why,
                demo: code.demo,
                laxer: code.laxer,
                outside_at_seating: code.outside_at_seating,
            });
        }
        Ok(())
    }
}

/// A fixing whose session's beginning can be read no longer.
fn distrusted(fixing: &KeptFixing) -> KeptFixing {
    let grounds = Grounds::only(Ground::UntrustedLog);
    KeptFixing {
        seen: StageSeen { word: StageWord::Rejected, since: None, grounds },
        announced_at: None,
        seat_by: None,
        ..fixing.clone()
    }
}

/// Without keys, a verdict of before is kept as long as the release stands.
fn keep_verdict(fixing: &mut KeptFixing, before: Option<&KeptFixing>) {
    let Some(before) = before else { return };
    if fixing.verdict != Some(Verdict::NotChecked) {
        return;
    }
    // another cure is another release (rule A4), which nobody has held against keys yet
    if fixing.cured_at.is_some() && (fixing.cured_at, fixing.hole) != (before.cured_at, before.hole) {
        return;
    }
    match (fixing.seen.word, before.verdict) {
        (StageWord::Cured | StageWord::Released, Some(Verdict::Proved | Verdict::NotProved)) => {
            (fixing.verdict, fixing.why) = (before.verdict, before.why.clone());
        }
        (_, Some(Verdict::Proved | Verdict::NotProved)) => {
            fixing.verdict = Some(Verdict::NotProved);
            fixing.why = Some(Why::Not(NotProved::ReleasedAndSince { stage: fixing.seen.word }));
        }
        (_, Some(Verdict::NotChecked) | None) => {}
    }
}
