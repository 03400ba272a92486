//! The register of a site: one SQLite file with every memory that was read out and every release code.
//!
//! What for: `holdoff register` and the foreman's page. A site has many loggers, read out again and again by several
//! people; the register keeps each raw image as it came, tells each fixing once, from the image that reaches furthest,
//! and keeps what contradicts what it holds beside it.
//!
//! Terms: an *image* is a memory's raw bytes; a *view* is what the engine makes of a session in the newest image that
//! holds it whole; a *life* of a logger ends when its memory is made blank; the *revision* counts additions, and a
//! fixing carries the revision that changed it last.
//!
//! Invariants: an addition is one transaction, synced before it is reported, so that a kill at any moment leaves it
//! whole or not at all; raw images and sealed releases are never changed or deleted; nothing here makes a fixing cured
//! or released, the engine and the signature do.
//! Why a rollback journal and not a write-ahead log: the register is then one file, which people copy.
//! What it does not do: know who is right when two pieces of evidence contradict each other. It keeps and names both, and
//! claims nothing of what they touch.

mod codes;
mod conflict;
mod decision;
mod export;
mod history;
mod kept;
mod memory;
mod note;
mod raw;
mod refusal;
mod release;
mod schema;
mod settle;
mod table;
mod take_in;
mod words;

pub use decision::{DecisionAdded, NotTaken};
pub use export::{csv as export_csv, csv_files, json as export_json};
#[cfg(feature = "parquet")]
pub use export::{parquet as export_parquet, parquet_files};
pub use memory::{Memory, MemoryError};
pub use note::Note;
pub use refusal::{Refusal, Unusable};
pub use release::Code;
pub use schema::VERSION;
pub use settle::Settlement;
pub use take_in::{Added, Life, Proved};
pub use words::{added as added_text, cautions as release_cautions, listed as list_text, proved as proved_text};

use rusqlite::{Connection, OpenFlags, OptionalExtension};
use schema::Kind;
use std::path::Path;
use std::time::Duration;

/// How long a writer waits for another one, and for readers to let go.
const PATIENCE: Duration = Duration::from_millis(1500);

/// A register that is open.
#[derive(Debug)]
pub struct Register {
    connection: Connection,
}

impl Register {
    /// Opens a register for additions; makes a new one where there is no file.
    ///
    /// # Errors
    /// [`Refusal`]: no register, one of a later version, or it cannot be used.
    pub fn open_or_make(file: &Path) -> Result<Self, Refusal> {
        Self::with(file, OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE)
    }

    /// Opens a register that is there.
    ///
    /// # Errors
    /// [`Refusal`]: as above, or there is none.
    pub fn open(file: &Path) -> Result<Self, Refusal> {
        if !file.exists() {
            return Err(Refusal::Missing);
        }
        // not read-only: what a killed writer left half-done is rolled back by whoever comes next
        let register = Self::with(file, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        register.connection.pragma_update(None, "query_only", true)?;
        Ok(register)
    }

    fn with(file: &Path, flags: OpenFlags) -> Result<Self, Refusal> {
        if file.exists() && holdoff_disk::regular(file).is_err() {
            return Err(Refusal::NoRegister);
        }
        let mut connection = Connection::open_with_flags(file, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
        connection.busy_timeout(PATIENCE)?;
        connection.pragma_update(None, "trusted_schema", false)?;
        connection.pragma_update(None, "foreign_keys", true)?;
        connection.pragma_update(None, "synchronous", "EXTRA")?;
        match schema::kind(&connection)? {
            Kind::Register(version) if version > VERSION => return Err(Refusal::Later { found: version }),
            Kind::Register(VERSION) => {}
            Kind::Foreign => return Err(Refusal::NoRegister),
            // its writer was killed before anything stood in it; a look does not finish that
            Kind::Empty if !flags.contains(OpenFlags::SQLITE_OPEN_CREATE) => {
                connection = Connection::open_in_memory()?;
                schema::migrate(&mut connection)?;
            }
            Kind::Empty | Kind::Register(_) => schema::migrate(&mut connection)?,
        }
        Ok(Self { connection })
    }

    /// How many additions changed something so far.
    ///
    /// # Errors
    /// The database failed.
    pub fn revision(&self) -> Result<i64, Refusal> {
        Ok(self.connection.query_row("SELECT number FROM revision", [], |row| row.get(0))?)
    }

    /// The register's own number: 16 bytes that were drawn when it was made. It is what marks the revision that holds nothing.
    ///
    /// # Errors
    /// The database failed.
    pub fn id(&self) -> Result<Vec<u8>, Refusal> {
        Ok(self.connection.query_row("SELECT bytes FROM mark WHERE revision = 0", [], |row| row.get(0))?)
    }

    /// What marks a revision: 16 bytes that were drawn when it came about. A file in which a revision has another mark, or
    /// none, is another register, or this one from before.
    ///
    /// # Errors
    /// The database failed.
    pub fn mark(&self, revision: i64) -> Result<Option<Vec<u8>>, Refusal> {
        let found =
            self.connection.query_row("SELECT bytes FROM mark WHERE revision = ?1", [revision], |row| row.get(0));
        Ok(found.optional()?)
    }

    /// A number that changes when another program has changed the file; cheap to ask for.
    ///
    /// # Errors
    /// The database failed.
    pub fn change(&self) -> Result<i64, Refusal> {
        Ok(self.connection.query_row("PRAGMA data_version", [], |row| row.get(0))?)
    }
}
