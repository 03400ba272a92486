//! Files that people write in TOML, read with suspicion: every value with its place, every finding about a place.
//!
//! What for: a resin file and a job file are copied by hand from printed sheets and drawings. Whatever is wrong in one is
//! reported at once with line and column, so that it is corrected in one go.
//! Terms: a *finding* is something worth saying about a place in the file; an *error* makes the file unusable, a
//! *warning* does not.
//! Invariants: a value that could not be read is absent and has its finding; unknown keys are always errors.
//! What it does not do: know what any key means.

mod finding;
mod load;
mod table;
mod value;

pub use finding::{Finding, Findings, Severity};
pub(crate) use load::document;
pub use load::{file_hash, quoted, text_from};
pub(crate) use table::{At, Need, Table, wrong_kind};
pub(crate) use value::{HOLES, RULES};
