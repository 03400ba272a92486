//! What a person or a script reads: words, accounts, drawings, pages, reports, JSON.
//!
//! Invariants: nothing is decided here; every sentence is read off a status or a claim; no file system, no clock, no network, so
//! that a page in a browser says the same in the same words.

pub mod depth;
pub mod job;
pub mod memory;
pub mod page;
pub mod plan;
pub mod plot;
pub mod probe;
pub mod replay;
pub mod report;
pub mod seen;
pub mod take_off;
pub mod words;
