//! A logger's memory on the PC: written from a replay, listed, and proved.
//!
//! What for: `holdoff replay --image`, `holdoff read` and `holdoff prove`. All three use the log and the seal of the
//! device itself; only the check of signatures is another implementation ([`crate::keys::verify`]).
//! Terms: an *image* is the raw bytes of a memory; a *session* is what one group's log holds.
//! What it does not do: open files, or print.

mod listing;
mod proof;
mod recorder;
mod told;
mod words;

pub use listing::{Listing, Session as ListingSession, csv, json as listing_json, list};
pub use proof::{Proof, ProofVerdict, first_pages, prove_code, prove_image, prove_session};
pub use recorder::{Loaded, NotRecorded, Recorder, Refused};
pub use told::text as listing_text;
pub(crate) use words::{code_error, record_error};
pub use words::{finding_words, mount_error, trust_words};
