//! The hand-over record: one page a job or a fixing that an inspector can follow years later.
//!
//! What for: `holdoff report`. The page holds what was specified, what was checked, what was read, what counted and what
//! did not, what was done and decided, and whether the release is proved; and it holds every number that the instant of the
//! cure follows from, so that it can be reckoned by hand from the page alone (`docs/report.md`; a test does it).
//!
//! Terms: a *sheet* is the part about one fixing; the *reckoning* is the cure line by line.
//!
//! Invariants: everything told of a fixing is the engine's, run over the raw readings of a memory image; a release that was
//! held against keys in vain is shown as void, and so is whatever is not rejected in a log that cannot be trusted; what a proof
//! test or the job file says against a fixing is told before its stage; every text from a file is escaped; no word of the page stands outside
//! `crate::words`; the page needs no script, font or file but itself.
//! What it does not do: judge anything anew, open files, or print.

mod calibration;
mod cure;
mod objection;
mod overview;
mod page;
mod proof_tests;
mod reckon;
mod resin;
mod sheet;
mod specification;
mod start;
mod style;
#[cfg(test)]
mod tests;
mod values;

pub use holdoff_files::stamp::Wall;
pub use page::ReportPage;
