//! A logger's memory on the PC: written from a replay, and listed.
//!
//! What for: `holdoff replay --image` and `holdoff read`. Both use the log and the seal of the device itself.
//! Terms: an *image* is the raw bytes of a memory; a *session* is what one group's log holds.
//! What it does not do: open files, or print.

mod listing;
mod listing_words;
mod proved;
mod words;

pub use listing::{ListedSession, Listing, csv, json as listing_json, list};
pub use listing_words::text as listing_text;
pub use proved::{object as proof_json, text as proof_text};
pub use words::{code_error, log_error, mount_error, not_recorded};
