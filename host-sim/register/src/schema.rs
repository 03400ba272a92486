//! The tables of a register, and how an older one becomes a newer one.
//!
//! Terms: the *version* stands in SQLite's `user_version`, the register's mark in `application_id`. A step of
//! [`STEPS`] makes version n + 1 out of version n; the first makes the tables of a new file. Steps are never changed
//! once released; new ones join at the end.
//! Columns `untrusted`, `failed`, `cover`, `why`, `contradicted`, `conflict` and `findings` hold codes with their fields (JSON).
//! Invariants: all steps that a file needs are one transaction, version included. What was taken in (raw images, sealed
//! releases) cannot be changed or deleted by any statement: triggers refuse it.

use rusqlite::{Connection, TransactionBehavior};

/// What marks an SQLite file as a register: "hold" in ASCII.
pub(super) const MARK: i32 = 0x686F_6C64;

/// The steps from nothing to the version of this program.
pub(super) const STEPS: [&str; 1] = ["
CREATE TABLE image (
    id INTEGER PRIMARY KEY,
    sha256 BLOB NOT NULL UNIQUE,
    size INTEGER NOT NULL,
    device TEXT NOT NULL,
    life INTEGER NOT NULL,
    side INTEGER NOT NULL,
    newest_page INTEGER NOT NULL,
    newest_items INTEGER NOT NULL,
    source TEXT NOT NULL,
    taken_in INTEGER NOT NULL,
    findings TEXT NOT NULL
) STRICT;
CREATE TABLE raw (
    image INTEGER PRIMARY KEY REFERENCES image (id),
    bytes BLOB NOT NULL
) STRICT;
CREATE TABLE page (
    device TEXT NOT NULL,
    life INTEGER NOT NULL,
    side INTEGER NOT NULL,
    number INTEGER NOT NULL,
    items INTEGER NOT NULL,
    head BLOB NOT NULL,
    link BLOB NOT NULL,
    image INTEGER NOT NULL REFERENCES image (id),
    PRIMARY KEY (device, life, side, number)
) STRICT, WITHOUT ROWID;
CREATE TABLE session (
    id INTEGER PRIMARY KEY,
    device TEXT NOT NULL,
    life INTEGER NOT NULL,
    side INTEGER NOT NULL,
    first_page INTEGER NOT NULL,
    end_page INTEGER NOT NULL,
    end_items INTEGER NOT NULL,
    image INTEGER NOT NULL REFERENCES image (id),
    grouped TEXT NOT NULL,
    job TEXT NOT NULL,
    resin TEXT NOT NULL,
    resin_file TEXT NOT NULL,
    demo INTEGER NOT NULL,
    rule TEXT NOT NULL,
    laxer TEXT NOT NULL,
    readings INTEGER NOT NULL,
    lost INTEGER NOT NULL,
    of_trace INTEGER NOT NULL,
    untrusted TEXT,
    failed TEXT,
    cover TEXT NOT NULL,
    began INTEGER,
    as_of INTEGER,
    UNIQUE (device, life, first_page)
) STRICT;
CREATE TABLE hold (
    session INTEGER NOT NULL REFERENCES session (id),
    place INTEGER NOT NULL,
    from_s INTEGER NOT NULL,
    ahead INTEGER,
    offset_seconds INTEGER,
    PRIMARY KEY (session, place)
) STRICT, WITHOUT ROWID;
CREATE TABLE read_out (
    device TEXT PRIMARY KEY,
    at INTEGER NOT NULL,
    ahead INTEGER
) STRICT, WITHOUT ROWID;
CREATE TABLE fixing (
    id INTEGER PRIMARY KEY,
    session INTEGER NOT NULL REFERENCES session (id),
    number INTEGER NOT NULL,
    label TEXT NOT NULL,
    stage TEXT NOT NULL,
    since INTEGER,
    grounds INTEGER NOT NULL,
    hole TEXT NOT NULL,
    torque_least INTEGER,
    torque_greatest INTEGER,
    torque INTEGER,
    injected_at INTEGER,
    seated_at INTEGER,
    seat_by INTEGER,
    cured_at INTEGER,
    announced_at INTEGER,
    required INTEGER NOT NULL,
    served INTEGER NOT NULL,
    counted INTEGER NOT NULL,
    held INTEGER NOT NULL,
    unobserved INTEGER NOT NULL,
    coldest INTEGER,
    outside_at_seating INTEGER,
    batch TEXT,
    verdict TEXT,
    why TEXT,
    stage_page INTEGER,
    stage_item INTEGER,
    revision INTEGER NOT NULL,
    UNIQUE (session, number)
) STRICT;
CREATE INDEX fixing_revision ON fixing (revision);
CREATE TABLE release (
    id INTEGER PRIMARY KEY,
    sealed BLOB NOT NULL UNIQUE,
    code TEXT NOT NULL,
    short TEXT NOT NULL,
    device TEXT NOT NULL,
    number INTEGER NOT NULL,
    label TEXT NOT NULL,
    job TEXT NOT NULL,
    demo INTEGER NOT NULL,
    seated INTEGER NOT NULL,
    cured INTEGER NOT NULL,
    speaks_for INTEGER NOT NULL,
    torque_least INTEGER,
    torque_greatest INTEGER,
    torque INTEGER,
    ahead INTEGER,
    offset_seconds INTEGER,
    session INTEGER REFERENCES session (id),
    in_memory INTEGER NOT NULL,
    source TEXT NOT NULL,
    taken_in INTEGER NOT NULL,
    verdict TEXT NOT NULL,
    why TEXT,
    contradicted TEXT,
    replaced INTEGER NOT NULL DEFAULT 0,
    revision INTEGER NOT NULL
) STRICT;
CREATE INDEX release_device ON release (device, number);
CREATE INDEX release_session ON release (session);
CREATE INDEX release_revision ON release (revision);
CREATE TABLE contradiction (
    id INTEGER PRIMARY KEY,
    device TEXT NOT NULL,
    life INTEGER,
    side INTEGER,
    against_side INTEGER,
    from_page INTEGER,
    from_item INTEGER,
    session INTEGER REFERENCES session (id),
    number INTEGER,
    conflict TEXT NOT NULL,
    settled INTEGER REFERENCES settlement (id),
    kept_side INTEGER
) STRICT;
CREATE TABLE settlement (
    id INTEGER PRIMARY KEY,
    device TEXT NOT NULL,
    settled_by TEXT NOT NULL,
    because TEXT NOT NULL,
    settled_at INTEGER NOT NULL
) STRICT;
CREATE TABLE decision (
    id INTEGER PRIMARY KEY,
    sha256 BLOB NOT NULL UNIQUE,
    raw BLOB NOT NULL,
    device TEXT NOT NULL,
    session INTEGER NOT NULL REFERENCES session (id),
    number INTEGER NOT NULL,
    label TEXT NOT NULL,
    grounds INTEGER NOT NULL,
    decision TEXT NOT NULL,
    reason TEXT NOT NULL,
    document TEXT NOT NULL,
    engineer TEXT NOT NULL,
    public BLOB NOT NULL,
    decided_at TEXT NOT NULL,
    job TEXT NOT NULL,
    source TEXT NOT NULL,
    taken_in INTEGER NOT NULL,
    contradicted TEXT
) STRICT;
CREATE INDEX decision_session ON decision (session, number);
CREATE INDEX decision_device ON decision (device);
CREATE INDEX contradiction_device ON contradiction (device, life);
CREATE INDEX contradiction_session ON contradiction (session);
CREATE TABLE revision (only INTEGER PRIMARY KEY CHECK (only = 1), number INTEGER NOT NULL) STRICT;
INSERT INTO revision VALUES (1, 0);
CREATE TABLE mark (revision INTEGER PRIMARY KEY, bytes BLOB NOT NULL) STRICT;
INSERT INTO mark VALUES (0, randomblob(16));
CREATE TRIGGER revision_is_marked AFTER UPDATE ON revision
    BEGIN INSERT INTO mark VALUES (NEW.number, randomblob(16)); END;
CREATE TRIGGER raw_stays BEFORE UPDATE ON raw BEGIN SELECT RAISE(ABORT, 'a raw image is never changed'); END;
CREATE TRIGGER raw_is_kept BEFORE DELETE ON raw BEGIN SELECT RAISE(ABORT, 'a raw image is never deleted'); END;
CREATE TRIGGER image_is_kept BEFORE DELETE ON image BEGIN SELECT RAISE(ABORT, 'an image is never deleted'); END;
CREATE TRIGGER release_stays BEFORE UPDATE OF sealed, code, device ON release
    BEGIN SELECT RAISE(ABORT, 'a release is never changed'); END;
CREATE TRIGGER decision_stays BEFORE UPDATE OF sha256, raw, device, session, number, label, grounds, decision, reason, document,
    engineer, public, decided_at, job, source, taken_in ON decision
    BEGIN SELECT RAISE(ABORT, 'a decision is never changed'); END;
CREATE TRIGGER decision_is_kept BEFORE DELETE ON decision BEGIN SELECT RAISE(ABORT, 'a decision is never deleted'); END;
CREATE TRIGGER release_is_kept BEFORE DELETE ON release BEGIN SELECT RAISE(ABORT, 'a release is never deleted'); END;
"];

/// The version that this program writes.
pub const VERSION: usize = STEPS.len();

/// What a file is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    /// Nothing yet.
    Empty,
    /// A register of this version.
    Register(usize),
    /// Somebody else's database.
    Foreign,
}

/// Looks what a file is.
///
/// # Errors
/// It is no SQLite file, or cannot be read.
pub(super) fn kind(connection: &Connection) -> rusqlite::Result<Kind> {
    let number = |name: &str| connection.query_row(&format!("PRAGMA {name}"), [], |row| row.get::<_, i64>(0));
    let (mark, version) = (number("application_id")?, number("user_version")?);
    let tables: i64 = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    Ok(match (mark == i64::from(MARK), usize::try_from(version), tables) {
        // a mark without a version was not put there by this program
        (true, Ok(version @ 1..), _) => Kind::Register(version),
        (true, Ok(0), 0) => Kind::Empty,
        (false, Ok(0), 0) if mark == 0 => Kind::Empty,
        (_, _, _) => Kind::Foreign,
    })
}

/// Brings a file to the version of this program.
///
/// # Errors
/// What SQLite says; the file is as it was then.
pub(super) fn migrate(connection: &mut Connection) -> rusqlite::Result<()> {
    let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    // looked at again: another program may have come first
    let from = match kind(&change)? {
        Kind::Empty => 0,
        Kind::Register(version) => version,
        Kind::Foreign => return Err(rusqlite::Error::InvalidQuery),
    };
    for step in STEPS.iter().skip(from) {
        change.execute_batch(step)?;
    }
    if from < VERSION {
        change.pragma_update(None, "application_id", MARK)?;
        change.pragma_update(None, "user_version", VERSION as i64)?;
    }
    change.commit()
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{Kind, MARK, STEPS, VERSION, kind, migrate};
    use rusqlite::Connection;

    /// A register as a program of that version made it.
    fn of_version(version: usize) -> Connection {
        let connection = Connection::open_in_memory().expect("memory");
        for step in STEPS.iter().take(version) {
            connection.execute_batch(step).expect("a step");
        }
        if version > 0 {
            connection.pragma_update(None, "application_id", MARK).expect("set");
            connection.pragma_update(None, "user_version", version as i64).expect("set");
        }
        connection
    }

    #[test]
    fn a_register_of_every_earlier_version_becomes_one_of_this() {
        let tables = |connection: &Connection| -> Vec<String> {
            let mut statement = connection.prepare("SELECT sql FROM sqlite_schema ORDER BY name").expect("schema");
            let rows = statement.query_map([], |row| row.get::<_, Option<String>>(0)).expect("rows");
            rows.map(|row| row.expect("a row").unwrap_or_default()).collect()
        };
        let expected = tables(&of_version(VERSION));
        for version in 0..=VERSION {
            let mut connection = of_version(version);
            migrate(&mut connection).expect("migrated");
            assert_eq!(kind(&connection).expect("read"), Kind::Register(VERSION));
            assert_eq!(tables(&connection), expected);
        }
    }

    #[test]
    fn a_database_of_somebody_else_is_not_touched() {
        let mut connection = Connection::open_in_memory().expect("memory");
        connection.execute_batch("CREATE TABLE other (x)").expect("made");
        assert_eq!(kind(&connection).expect("read"), Kind::Foreign);
        assert!(migrate(&mut connection).is_err());
        assert_eq!(kind(&connection).expect("read"), Kind::Foreign);
    }
}
