//! Rows of sessions and fixings in and out of the tables.

use super::Register;
use super::conflict::of_session;
use super::decision;
use super::kept::{kept, read, read_if_any};
use super::refusal::Refusal;
use super::release::rests_on;
use holdoff_core::fixing::{Grounds, TorqueRange};
use holdoff_core::log::{Hold, StageSeen, StageWord};
use holdoff_core::quantity::{Count, Instant, Torque};
use holdoff_evidence::decision::Decided;
use holdoff_evidence::row::{Changes, CodeRow, FixingRow, KeptFixing, KeptSession, ReadOut, Revision, Verdict};
use holdoff_evidence::{Conflict, LogPlace};
use holdoff_files::stamp::{Clock, Wall};
use holdoff_present::page::Board;
use rusqlite::types::Type;
use rusqlite::{Connection, OptionalExtension, Row, params};

const FIXING: &str = "fixing.id, fixing.session, number, label, stage, since, grounds, hole, torque_least, torque_greatest, \
    torque, injected_at, seated_at, seat_by, cured_at, announced_at, required, served, counted, held, unobserved, coldest, \
    batch, verdict, why, outside_at_seating, stage_page, stage_item";
const SESSION: &str = "session.id, device, life, first_page, end_page, end_items, grouped, job, resin, resin_file, demo, rule, \
    laxer, readings, lost, untrusted, began, as_of, of_trace, failed, cover, side";
const CODE: &str = "id, device, number, label, job, demo, cured, speaks_for, torque, ahead, offset_seconds, verdict, why, \
    contradicted, short, in_memory OR replaced OR (contradicted IS NOT NULL AND session IS NOT NULL), code";

/// That nothing else tells of a release: no memory holds it, none replaced it, and no fixing of a memory stands contradicted
/// by it.
const ALONE: &str = "in_memory = 0 AND replaced = 0 AND (contradicted IS NULL OR session IS NULL)";

/// Contradictions of a session, by fixing.
type Conflicts = Vec<(Option<u8>, Conflict)>;

/// Decisions in force on fixings of a session, by number.
type Decisions = Vec<(u8, Decided)>;

impl Register {
    /// Fixings that changed after a revision, by session and number; all of them after -1.
    ///
    /// # Errors
    /// The database failed, or holds what no program of this version writes.
    pub fn fixings_since(&self, revision: i64) -> Result<Vec<FixingRow>, Refusal> {
        // all of them in the order of their index; a few by their revision (a plus keeps the index of the order out of it)
        let order = if revision < 0 { "session, number" } else { "+session, number" };
        let text = format!("SELECT {FIXING} FROM fixing WHERE revision > ?1 ORDER BY {order}");
        let mut statement = self.connection.prepare(&text)?;
        let mut rows = statement.query(params![revision])?;
        let mut found: Vec<FixingRow> = Vec::new();
        let mut last: Option<(i64, std::sync::Arc<KeptSession>, Conflicts, Decisions)> = None;
        while let Some(row) = rows.next()? {
            let id: i64 = row.get(1)?;
            let of_row = match last.take() {
                Some(same) if same.0 == id => same,
                Some(_) | None => {
                    let session = std::sync::Arc::new(session_by_id(&self.connection, id)?);
                    (id, session, of_session(&self.connection, id)?, decision::of_session(&self.connection, id)?)
                }
            };
            let mut fixing = fixing_of(row)?;
            let touching = of_row.2.iter().filter(|(number, _)| number.is_none_or(|number| number == fixing.number));
            fixing.conflicts = touching.map(|(_, conflict)| conflict.clone()).collect();
            fixing.decided = of_row.3.iter().find(|(number, _)| *number == fixing.number).map(|(_, one)| one.clone());
            found.push(FixingRow { id: row.get(0)?, session: of_row.1.clone(), fixing });
            last = Some(of_row);
        }
        Ok(found)
    }

    /// Releases known by their code alone, by device and number.
    ///
    /// # Errors
    /// As above.
    pub fn codes(&self) -> Result<Vec<CodeRow>, Refusal> {
        let alone = format!("WHERE {ALONE} AND revision > ?1 ORDER BY device, number, speaks_for");
        self.releases(&alone, -1)
    }

    fn releases(&self, which: &str, revision: i64) -> Result<Vec<CodeRow>, Refusal> {
        let mut statement = self.connection.prepare(&format!("SELECT {CODE} FROM release {which}"))?;
        let rows = statement.query_map(params![revision], code_of)?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }

    /// Fixings and releases that changed after a revision, and the revision that the register has now: one look at it. A
    /// release whose memory was taken in since is among them.
    ///
    /// # Errors
    /// As above.
    pub fn changes_since(&self, revision: i64) -> Result<Changes, Refusal> {
        let look = self.connection.unchecked_transaction()?;
        let fixings = self.fixings_since(revision)?;
        // from the beginning, what a memory holds already is told with its fixing alone
        let which = if revision < 0 {
            format!("WHERE {ALONE} AND revision > ?1 ORDER BY id")
        } else {
            "WHERE revision > ?1 ORDER BY +id".to_owned()
        };
        let codes = self.releases(&which, revision)?;
        let number = self.revision()?;
        let revision = Revision { number, mark: self.mark(number)? };
        look.commit()?;
        Ok(Changes { fixings, codes, revision })
    }

    /// Lets a page take over what changed since it was filled; how many rows that were.
    ///
    /// # Errors
    /// The register cannot be read; the page is then as it was.
    pub fn fill(&self, board: &mut Board) -> Result<usize, Refusal> {
        Ok(board.take_over(self.changes_since(board.revision().number)?))
    }

    /// Whether a page shows an earlier state of this register, so that it can be gone on from.
    ///
    /// # Errors
    /// The register cannot be read.
    pub fn continues(&self, board: &Board) -> Result<bool, Refusal> {
        let shown = board.revision();
        Ok(self.mark(shown.number)? == shown.mark)
    }
}

/// A session by the number of its row.
pub(super) fn session_by_id(connection: &Connection, id: i64) -> rusqlite::Result<KeptSession> {
    let text = format!("SELECT {SESSION} FROM session WHERE id = ?1");
    let session = connection.prepare_cached(&text)?.query_row(params![id], |row| session_of(row, 1))?;
    with_rest(connection, id, session)
}

/// A session with the number of its row and of the image it is told from.
pub(super) fn find_session(
    connection: &Connection,
    device: &str,
    life: u32,
    first: u32,
) -> rusqlite::Result<Option<(i64, KeptSession)>> {
    let text = format!("SELECT {SESSION} FROM session WHERE device = ?1 AND life = ?2 AND first_page = ?3");
    let found = connection.query_row(&text, params![device, life, first], |row| Ok((row.get(0)?, session_of(row, 1)?)));
    let Some((id, session)) = found.optional()? else { return Ok(None) };
    Ok(Some((id, with_rest(connection, id, session)?)))
}

/// The fixings of a session with the numbers of their rows.
pub(super) fn fixings_of(connection: &Connection, session: i64) -> rusqlite::Result<Vec<(i64, KeptFixing)>> {
    let text = format!("SELECT {FIXING} FROM fixing WHERE session = ?1 ORDER BY number");
    let mut statement = connection.prepare_cached(&text)?;
    let rows = statement.query_map(params![session], |row| Ok((row.get(0)?, fixing_of(row)?)))?;
    rows.collect()
}

/// Writes a session; the number of its row.
pub(super) fn write_session(connection: &Connection, session: &KeptSession, image: i64) -> rusqlite::Result<i64> {
    let id = connection.query_row(
        "INSERT INTO session (device, life, first_page, end_page, end_items, image, grouped, job, resin, resin_file, demo,
            rule, laxer, readings, lost, untrusted, began, as_of, of_trace, failed, cover, side)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20, ?21, ?22)
         ON CONFLICT (device, life, first_page) DO UPDATE SET end_page = ?4, end_items = ?5, image = ?6, grouped = ?7,
            job = ?8, resin = ?9, resin_file = ?10, demo = ?11, rule = ?12, laxer = ?13, readings = ?14, lost = ?15,
            untrusted = ?16, began = ?17, as_of = ?18, of_trace = ?19, failed = ?20, cover = ?21, side = ?22
         RETURNING id",
        params![
            session.device,
            session.life,
            session.first_page,
            session.end.0,
            session.end.1,
            image,
            session.group,
            session.job,
            session.resin,
            session.resin_file,
            session.demo,
            session.rule,
            session.laxer,
            session.readings.0,
            session.readings.1,
            session.untrusted.as_ref().map(kept).transpose()?,
            session.span.map(|span| span.0),
            session.span.map(|span| span.1),
            session.of_trace,
            session.failed.as_ref().map(kept).transpose()?,
            kept(&session.cover)?,
            session.side,
        ],
        |row| row.get(0),
    )?;
    write_holds(connection, id, &session.wall)?;
    Ok(id)
}

/// Writes down which ties of the clocks label the instants of a session.
fn write_holds(connection: &Connection, session: i64, wall: &Wall) -> rusqlite::Result<()> {
    connection.execute("DELETE FROM hold WHERE session = ?1", [session])?;
    let mut statement = connection.prepare_cached(
        "INSERT INTO hold (session, place, from_s, ahead, offset_seconds) VALUES (?1, ?2, ?3, ?4, ?5)",
    )?;
    for (place, hold) in (0i64..).zip(wall.holds()) {
        let ahead = hold.clock().map(|(ahead, _)| ahead);
        let offset = hold.clock().map(|(_, minutes)| i32::from(minutes) * 60);
        statement.execute(params![session, place, hold.from.seconds(), ahead, offset])?;
    }
    Ok(())
}

fn wall_of(connection: &Connection, session: i64) -> rusqlite::Result<Wall> {
    let text = "SELECT from_s, ahead, offset_seconds FROM hold WHERE session = ?1 ORDER BY place";
    let mut statement = connection.prepare_cached(text)?;
    let rows = statement.query_map([session], |row| {
        let clock: (Option<i64>, Option<i32>) = (row.get(1)?, row.get(2)?);
        let clock = clock.0.zip(clock.1).and_then(|(ahead, seconds)| Some((ahead, i16::try_from(seconds / 60).ok()?)));
        Ok(Hold::new(Instant::from_seconds(row.get(0)?), clock))
    })?;
    let holds: rusqlite::Result<Vec<Hold>> = rows.collect();
    Ok(Wall::of(holds?))
}

/// The last reading of a logger over its line.
fn read_of(connection: &Connection, device: &str) -> rusqlite::Result<Option<ReadOut>> {
    let text = "SELECT at, ahead FROM read_out WHERE device = ?1";
    let mut statement = connection.prepare_cached(text)?;
    statement.query_row([device], |row| Ok(ReadOut { at: row.get(0)?, ahead: row.get(1)? })).optional()
}

/// Writes a fixing.
pub(super) fn write_fixing(
    connection: &Connection,
    session: i64,
    fixing: &KeptFixing,
    revision: i64,
) -> rusqlite::Result<()> {
    let torque = |torque: Option<Torque>| torque.map(Torque::hundredths);
    connection
        .prepare_cached(
            "INSERT INTO fixing (session, number, label, stage, since, grounds, hole, torque_least, torque_greatest, torque,
                injected_at, seated_at, seat_by, cured_at, announced_at, required, served, counted, held, unobserved, coldest,
                batch, verdict, why, revision, outside_at_seating, stage_page, stage_item)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20, ?21, ?22,
                ?23, ?24, ?25, ?26, ?27, ?28)
             ON CONFLICT (session, number) DO UPDATE SET label = ?3, stage = ?4, since = ?5, grounds = ?6, hole = ?7,
                torque_least = ?8, torque_greatest = ?9, torque = ?10, injected_at = ?11, seated_at = ?12, seat_by = ?13,
                cured_at = ?14, announced_at = ?15, required = ?16, served = ?17, counted = ?18, held = ?19,
                unobserved = ?20, coldest = ?21, batch = ?22, verdict = ?23, why = ?24, revision = ?25,
                outside_at_seating = ?26, stage_page = ?27, stage_item = ?28",
        )?
        .execute(params![
            session,
            fixing.number,
            fixing.label,
            fixing.seen.word.word(),
            fixing.seen.since.map(Instant::seconds),
            fixing.seen.grounds.bits(),
            fixing.hole,
            torque(fixing.range.map(|range| range.least())),
            torque(fixing.range.map(|range| range.greatest())),
            torque(fixing.torque),
            fixing.injected_at,
            fixing.seated_at,
            fixing.seat_by,
            fixing.cured_at,
            fixing.announced_at,
            fixing.required,
            fixing.served,
            fixing.seconds[0],
            fixing.seconds[1],
            fixing.seconds[2],
            fixing.coldest,
            fixing.batch,
            fixing.verdict.map(Verdict::word),
            fixing.why.as_ref().map(kept).transpose()?,
            revision,
            fixing.outside_at_seating.map(Count::raw),
            fixing.stage_at.map(|place| place.page),
            fixing.stage_at.map(|place| place.item),
        ])
        .map(|_| ())
}

/// A value that no program of this version writes.
fn wrong(column: usize, what: &str) -> rusqlite::Error {
    rusqlite::Error::FromSqlConversionFailure(column, Type::Text, what.to_owned().into())
}

pub(super) fn clock_of(row: &Row<'_>, ahead: usize) -> rusqlite::Result<Option<Clock>> {
    let (found, offset): (Option<i64>, Option<i32>) = (row.get(ahead)?, row.get(ahead + 1)?);
    Ok(found.zip(offset).map(|(ahead, offset_seconds)| Clock { ahead, offset_seconds }))
}

/// A session from its columns, the first of which is at `at`.
fn session_of(row: &Row<'_>, at: usize) -> rusqlite::Result<KeptSession> {
    let span: (Option<i64>, Option<i64>) = (row.get(at + 15)?, row.get(at + 16)?);
    let rule: String = row.get(at + 10)?;
    Ok(KeptSession {
        device: row.get(at)?,
        life: row.get(at + 1)?,
        first_page: row.get(at + 2)?,
        end: (row.get(at + 3)?, row.get(at + 4)?),
        group: row.get(at + 5)?,
        job: row.get(at + 6)?,
        resin: row.get(at + 7)?,
        resin_file: row.get(at + 8)?,
        demo: row.get(at + 9)?,
        rule: if rule == "accrual" { "accrual" } else { "coldest" },
        laxer: row.get(at + 11)?,
        readings: (row.get(at + 12)?, row.get(at + 13)?),
        of_trace: row.get(at + 17)?,
        untrusted: read_if_any(row, at + 14)?,
        failed: read_if_any(row, at + 18)?,
        cover: read(row, at + 19)?,
        side: row.get(at + 20)?,
        span: span.0.zip(span.1),
        wall: Wall::default(),
        read: None,
    })
}

/// The same with what other tables hold of it.
fn with_rest(connection: &Connection, id: i64, session: KeptSession) -> rusqlite::Result<KeptSession> {
    let (wall, read) = (wall_of(connection, id)?, read_of(connection, &session.device)?);
    Ok(KeptSession { wall, read, ..session })
}

fn fixing_of(row: &Row<'_>) -> rusqlite::Result<KeptFixing> {
    let stage: String = row.get(4)?;
    let word = StageWord::ALL.into_iter().find(|word| word.word() == stage).ok_or_else(|| wrong(4, "no stage"))?;
    let grounds = Grounds::from_bits(row.get(6)?).ok_or_else(|| wrong(6, "no grounds"))?;
    let hole: String = row.get(7)?;
    let hole = ["dry", "wet", "flooded"].into_iter().find(|word| *word == hole).ok_or_else(|| wrong(7, "no hole"))?;
    let torque = |column| -> rusqlite::Result<Option<Torque>> {
        Ok(row.get::<_, Option<u32>>(column)?.map(Torque::from_hundredths))
    };
    let range = torque(8)?.zip(torque(9)?).and_then(|(least, greatest)| TorqueRange::new(least, greatest));
    let stage_at: (Option<u32>, Option<u16>) = (row.get(26)?, row.get(27)?);
    Ok(KeptFixing {
        number: row.get(2)?,
        label: row.get(3)?,
        seen: StageSeen { word, since: row.get::<_, Option<i64>>(5)?.map(Instant::from_seconds), grounds },
        hole,
        range,
        torque: torque(10)?,
        injected_at: row.get(11)?,
        seated_at: row.get(12)?,
        seat_by: row.get(13)?,
        cured_at: row.get(14)?,
        announced_at: row.get(15)?,
        required: row.get(16)?,
        served: row.get(17)?,
        seconds: [row.get(18)?, row.get(19)?, row.get(20)?],
        coldest: row.get(21)?,
        batch: row.get(22)?,
        verdict: row.get::<_, Option<String>>(23)?.map(|word| verdict_of(23, &word)).transpose()?,
        why: read_if_any(row, 24)?,
        conflicts: Vec::new(),
        decided: None,
        outside_at_seating: row.get::<_, Option<i16>>(25)?.map(Count::new),
        stage_at: stage_at.0.zip(stage_at.1).map(|(page, item)| LogPlace { page, item }),
    })
}

/// A verdict by its word.
pub(super) fn verdict_of(column: usize, word: &str) -> rusqlite::Result<Verdict> {
    Verdict::ALL.into_iter().find(|verdict| verdict.word() == word).ok_or_else(|| wrong(column, "no verdict"))
}

fn code_of(row: &Row<'_>) -> rusqlite::Result<CodeRow> {
    let text: String = row.get(16)?;
    let (laxer, outside_at_seating) = rests_on(&text).map_err(|_| wrong(16, "no release code"))?;
    Ok(CodeRow {
        id: row.get(0)?,
        device: row.get(1)?,
        number: row.get(2)?,
        label: row.get(3)?,
        job: row.get(4)?,
        demo: row.get(5)?,
        cured: row.get(6)?,
        speaks_for: row.get(7)?,
        torque: row.get::<_, Option<u32>>(8)?.map(Torque::from_hundredths),
        clock: clock_of(row, 9)?,
        verdict: verdict_of(11, &row.get::<_, String>(11)?)?,
        why: read_if_any(row, 12)?,
        contradicted: read_if_any(row, 13)?,
        short: row.get(14)?,
        told_otherwise: row.get(15)?,
        laxer,
        outside_at_seating,
        text,
    })
}
