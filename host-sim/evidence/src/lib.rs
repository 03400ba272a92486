//! What the evidence of a logger says, and what may be said of it.
//!
//! What for: the listing, the proof, the register, the page and the hand-over record all tell of the same logs. An image is
//! walked in one place ([`Memory::of`]), and what may be claimed of a fixing is decided in one place ([`claim()`]); every
//! output takes both from here, so that no two of them can differ.
//!
//! Terms: *evidence* is a memory image or a release code; a *finding* is something amiss with it; a *claim* is what an
//! output may say of a fixing; *coverage* is how far signatures of known keys bind a log.
//! Invariants: values are codes with fields; nothing here makes a fixing cured or released, the engine does.
//! What it does not do: open files, read a clock, keep anything, or make words.

mod claim;
mod contradiction;
mod cover;
pub mod decision;
mod doubt;
mod finding;
mod head;
pub mod keys;
mod memory;
mod proof;
mod readings;
pub mod recorder;
pub mod row;
mod stage_facts;
mod walk;

pub use claim::{Backing, Claim, CodeClaim, Grounds, claim, claim_of_code};
pub use contradiction::{Conflict, Contradiction, Dated, Piece};
pub use cover::Cover;
pub use doubt::{NotProved, RecordFault, RecordField};
pub use finding::{Finding, Untrusted};
pub use head::{Answered, split};
pub use memory::{Deed, End, Fixing, Held, LogPlace, Memory, Overwritten, PageSeen, Proving, Release, Session, Stump};
pub use proof::{Files, Proof, ProofVerdict, ProvedBy, RestsOn, Subject, Why, proofs, prove_code, prove_image};
pub use readings::{Became, Reading};
pub use stage_facts::{Passed, StageFacts, is_rejection, leads_on};
pub use walk::Keep;
pub use walk::own_label;
