//! Signed decisions of the engineer in the register.
//!
//! What for: a decision is evidence as an image is. Its bytes are kept as they came; it is told beside its fixing, and where the
//! log says otherwise, then or later, both are kept and the fixing stands contradicted.
//! Terms: a decision is *in force* when nothing contradicts it; of several of a fixing, one to remove it before any to accept it,
//! else the one taken in last.
//! Invariants: what is taken in was signed by an engineer of a job file that was given; a decision never changes a fixing's stage.

use super::Register;
use super::kept::kept;
use super::refusal::Refusal;
use super::table::{fixings_of, session_by_id};
use super::take_in::{Added, Addition, known};
use holdoff_core::fixing::{Decision, Grounds};
use holdoff_evidence::decision::{Decided, NotEngineers, Otherwise, engineer_of, otherwise};
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::row::{KeptFixing, KeptSession};
use holdoff_evidence::{Conflict, Contradiction, Piece};
use holdoff_files::decision::{Signed, WORDS, grounds_text, word};
use holdoff_files::job::JobFile;
use holdoff_files::stamp::Stamp;
use rusqlite::types::Type;
use rusqlite::{Connection, OptionalExtension, params};
use sha2::{Digest, Sha256};

/// Why a decision is not taken in.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum NotTaken {
    /// No engineer of a job file that was given signed it.
    NotEngineers(NotEngineers),
    /// The register has no such fixing of that logger.
    NoSuchFixing,
    /// The log says otherwise of the fixing.
    Otherwise(Otherwise),
    /// It was decided before the fixing was rejected, or nobody can tell which of several fixings of the name it is on.
    Before {
        /// When the fixing was rejected, in words; `None` where the clock on the wall was not known.
        rejected: Option<String>,
    },
    /// The engineer decided to have it removed.
    RemoveHeld {
        /// Where that came from.
        known: Piece,
    },
}

/// What an addition of a decision came to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum DecisionAdded {
    /// It was taken in.
    Taken {
        /// What was decided.
        decided: Box<Decided>,
        /// What contradicts it.
        conflict: Option<Box<Conflict>>,
    },
    /// This very file is held already.
    Held(Piece),
}

impl Register {
    /// Takes in a signed decision; `raw` is its file.
    ///
    /// # Errors
    /// [`Refusal`]; the register is then as it was.
    pub fn add_decision(
        &mut self,
        source: &str,
        (signed, raw): (&Signed, &[u8]),
        jobs: &[JobFile],
        now: i64,
    ) -> Result<DecisionAdded, Refusal> {
        let no = |why| Refusal::Decision(Box::new(why));
        let (place, engineer) =
            engineer_of(signed, jobs.iter().map(JobFile::job)).map_err(|why| no(NotTaken::NotEngineers(why)))?;
        let job = jobs.get(place).map(|file| to_hex(&file.hash().0)).unwrap_or_default();
        let device = to_hex(&signed.said.device.0);
        let hash: [u8; 32] = Sha256::digest(raw).into();
        let held = "SELECT source, taken_in FROM decision WHERE sha256 = ?1";
        if let Some(piece) = self.connection.query_row(held, [hash], known).optional()? {
            return Ok(DecisionAdded::Held(piece));
        }
        self.change_by(|addition| {
            let (session, fixing) = addition.decided_on(signed, &device)?;
            let came = Piece { source: source.to_owned(), taken_in: now };
            let conflict = match otherwise(signed.said.grounds, signed.said.decision, &fixing.seen) {
                None => None,
                // both are signed or entered as the engineer's: it is not for the register to say which is
                Some(Otherwise::OtherDecision) => Some(addition.conflict(session, [None, Some(came)])?),
                Some(why) => return Err(no(NotTaken::Otherwise(why))),
            };
            if let (Decision::Accept, Some(known)) = (signed.said.decision, addition.remove_held(session, fixing.number)?) {
                return Err(no(NotTaken::RemoveHeld { known }));
            }
            addition.connection.execute(
                "INSERT INTO decision (sha256, raw, device, session, number, label, grounds, decision, reason, document, engineer,
                    public, decided_at, job, source, taken_in, contradicted)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17)",
                params![
                    hash,
                    raw,
                    device,
                    session,
                    fixing.number,
                    signed.said.fixing,
                    signed.said.grounds.bits(),
                    word(signed.said.decision),
                    signed.said.reason,
                    signed.said.document,
                    engineer.name,
                    signed.public.bytes(),
                    signed.said.at,
                    job,
                    source,
                    now,
                    conflict.as_ref().map(kept).transpose()?,
                ],
            )?;
            match &conflict {
                Some(conflict) => addition.contradicts_session(&device, (session, fixing.number), conflict)?,
                None => addition.fixing_changed(session, fixing.number)?,
            }
            Ok(DecisionAdded::Taken { decided: Box::new(Decided::of(signed)), conflict: conflict.map(Box::new) })
        })
    }
}

impl Addition<'_> {
    /// The fixing that a decision is on: of the name, in the session of the logger that came last.
    fn decided_on(&self, signed: &Signed, device: &str) -> Result<(i64, KeptFixing), Refusal> {
        let no = |why| Refusal::Decision(Box::new(why));
        let sessions =
            self.list("SELECT id FROM session WHERE device = ?1 ORDER BY life DESC, first_page DESC", [device])?;
        let mut found: Option<(i64, KeptFixing)> = None;
        let mut namesakes = 0;
        for session in sessions {
            let fixings = fixings_of(self.connection, session)?;
            let named = fixings.into_iter().map(|(_, fixing)| fixing).find(|one| one.called() == signed.said.fixing);
            if let Some(fixing) = named {
                namesakes += 1;
                found.get_or_insert((session, fixing));
            }
        }
        let (session, fixing) = found.ok_or_else(|| no(NotTaken::NoSuchFixing))?;
        // what is not rejected was not decided on too early either
        if let Some(why @ Otherwise::NotRejected(_)) =
            otherwise(signed.said.grounds, signed.said.decision, &fixing.seen)
        {
            return Err(no(NotTaken::Otherwise(why)));
        }
        let row = session_by_id(self.connection, session)?;
        match rejected_at(&row, &fixing) {
            Some((utc, _)) if decided_at(signed).is_some_and(|decided| decided >= utc) => {}
            Some((_, rejected)) => return Err(no(NotTaken::Before { rejected: Some(rejected) })),
            None if namesakes == 1 => {}
            None => return Err(no(NotTaken::Before { rejected: None })),
        }
        Ok((session, fixing))
    }

    /// A decision to remove a fixing that is in force.
    fn remove_held(&self, session: i64, number: u8) -> Result<Option<Piece>, Refusal> {
        let text = "SELECT source, taken_in FROM decision WHERE session = ?1 AND number = ?2 AND decision = 'remove'
             AND contradicted IS NULL ORDER BY id DESC LIMIT 1";
        Ok(self.connection.query_row(text, params![session, number], known).optional()?)
    }

    /// A decision against the image that its session is told from; what is left out of the pieces is the image.
    fn conflict(&self, session: i64, [held, came]: [Option<Piece>; 2]) -> Result<Conflict, Refusal> {
        let image = self.told_from(session)?;
        let pieces = [held.unwrap_or_else(|| image.clone()), came.unwrap_or(image)];
        Ok(Conflict { what: Contradiction::DecidedOtherwise, pieces })
    }

    /// Holds the decisions in force on a logger's fixings against what is told of them now. A log that cannot be trusted says
    /// nothing against one.
    pub(super) fn decisions_against(&self, device: &str, added: &mut Added) -> Result<(), Refusal> {
        let mut statement = self.connection.prepare_cached(
            "SELECT source, taken_in, id, session, number, grounds, decision FROM decision
             WHERE device = ?1 AND contradicted IS NULL ORDER BY id",
        )?;
        let rows = statement.query_map([device], |row| {
            let of_fixing: (i64, i64, u8) = (row.get(2)?, row.get(3)?, row.get(4)?);
            Ok((known(row)?, of_fixing, grounds_of(row.get(5)?)?, decision_of(&row.get::<_, String>(6)?)?))
        })?;
        let held: Vec<_> = rows.collect::<rusqlite::Result<_>>()?;
        for (piece, (id, session, number), grounds, decision) in held {
            if session_by_id(self.connection, session)?.untrusted.is_some() {
                continue;
            }
            let told = fixings_of(self.connection, session)?.into_iter().find(|(_, one)| one.number == number);
            if told.is_some_and(|(_, fixing)| otherwise(grounds, decision, &fixing.seen).is_none()) {
                continue;
            }
            let conflict = self.conflict(session, [Some(piece), None])?;
            self.connection
                .execute("UPDATE decision SET contradicted = ?2 WHERE id = ?1", params![id, kept(&conflict)?])?;
            self.contradicts_session(device, (session, number), &conflict)?;
            added.conflicts.push(conflict);
        }
        Ok(())
    }

    /// The same of every logger.
    pub(super) fn all_decisions_against(&self) -> Result<(), Refusal> {
        let mut statement = self.connection.prepare("SELECT DISTINCT device FROM decision ORDER BY device")?;
        let devices: Vec<String> = statement.query_map([], |row| row.get(0))?.collect::<rusqlite::Result<_>>()?;
        devices.iter().try_for_each(|device| self.decisions_against(device, &mut Added::none(device)))
    }
}

/// The decisions in force on the fixings of a session, by number.
pub(super) fn of_session(connection: &Connection, session: i64) -> rusqlite::Result<Vec<(u8, Decided)>> {
    let mut statement = connection.prepare_cached(
        "SELECT number, decision, engineer, document, reason, decided_at, public FROM decision
         WHERE session = ?1 AND contradicted IS NULL ORDER BY decision = 'remove' DESC, id DESC",
    )?;
    let rows = statement.query_map([session], |row| {
        let decided = Decided {
            decision: decision_of(&row.get::<_, String>(1)?)?,
            name: row.get(2)?,
            document: row.get(3)?,
            reason: row.get(4)?,
            at: row.get(5)?,
            public: row.get(6)?,
        };
        Ok((row.get(0)?, decided))
    })?;
    rows.collect()
}

/// When a fixing was rejected on the clock on the wall: seconds since 1970-01-01T00:00:00Z, and the same in words.
fn rejected_at(session: &KeptSession, fixing: &KeptFixing) -> Option<(i64, String)> {
    let at = fixing.seen.since?.seconds();
    Some((session.wall.utc(at)?, session.wall.stamp(at)?))
}

/// When it was decided; rounded up, so that a fraction of a second never makes it too early.
fn decided_at(signed: &Signed) -> Option<i64> {
    Stamp::parse(&signed.said.at).ok().map(Stamp::ceil_seconds)
}

fn grounds_of(bits: u32) -> rusqlite::Result<Grounds> {
    Grounds::from_bits(bits).ok_or_else(|| wrong("no grounds"))
}

fn decision_of(found: &str) -> rusqlite::Result<Decision> {
    WORDS.iter().find(|(word, _)| *word == found).map(|(_, decision)| *decision).ok_or_else(|| wrong("no decision"))
}

/// A value that no program of this version writes.
fn wrong(what: &str) -> rusqlite::Error {
    rusqlite::Error::FromSqlConversionFailure(0, Type::Text, what.to_owned().into())
}

impl NotTaken {
    /// What is wrong, and what to do.
    pub(super) fn words(&self) -> (String, String) {
        let grounds = |grounds: &Grounds| grounds_text(*grounds);
        match self {
            Self::NotEngineers(why) => {
                let (what, remedy) = holdoff_present::words::not_engineers(why);
                (what, remedy.to_owned())
            }
            Self::NoSuchFixing => (
                "the register has no fixing of this name on this logger".to_owned(),
                "read its logger out first; `holdoff register list` names fixings and loggers".to_owned(),
            ),
            Self::Otherwise(Otherwise::NotRejected(stage)) => (
                format!("the fixing is not rejected: its log has it as {}", stage.word()),
                "nothing is to be decided on it; where the logger says otherwise, read it out first".to_owned(),
            ),
            Self::Otherwise(Otherwise::OtherGrounds(found)) => (
                format!("the fixing is rejected for other grounds: its log has {}", grounds(found)),
                "ask the engineer for a decision on all of these grounds, and no others".to_owned(),
            ),
            Self::Otherwise(Otherwise::OtherDecision) => (
                "the logger was told the other decision".to_owned(),
                "ask the engineer which of the two is theirs".to_owned(),
            ),
            Self::Before { rejected: Some(rejected) } => (
                format!(
                    "it was decided before the fixing was rejected ({rejected}): it is on an earlier one of this name"
                ),
                "ask the engineer for a decision on this rejection".to_owned(),
            ),
            Self::Before { rejected: None } => (
                "the logger had several fixings of this name, and nobody knows when this one was rejected".to_owned(),
                "the clock of the logger was not set: ask the engineer, on paper".to_owned(),
            ),
            Self::RemoveHeld { known } => {
                use holdoff_present::words::{Speech, Worded};
                (
                    format!("the engineer decided that the fixing is to be removed ({})", known.words(Speech::PLAIN)),
                    "that stays; it is injected anew under another name".to_owned(),
                )
            }
        }
    }
}
