//! The foreman's page: every fixing of a site or job with its status in words, from the register.
//!
//! What for: `holdoff board`. What may be torqued now, what is next and when, what must not be loaded and why: as one page
//! for a phone in the sun, live; as a file; in the terminal. All three are drawn from the same [`Board`].
//!
//! Terms: a *section* is what the foreman does with the fixings in it; *as of* is when a logger recorded last what is told
//! here; a *forecast* is the engine's, made then.
//!
//! Invariants: a fixing stands under *may be torqued* or *released* only where the engine's stage says so, its log is
//! trusted, and its release was not held against keys in vain; nothing here changes a record; every text from a file is
//! escaped; no word of the page stands outside `crate::words`, and every row is told in the language of its board.
//! What it does not do: count on from a forecast. Time that has passed since a read-out is said, never added up.

mod board;
pub mod colour;
mod entry;
pub mod html;
mod plain;
mod section;
pub mod style;
pub mod words;

pub use board::{Board, JobShown};
pub use entry::{BoardEntry, Id, Moment};
pub use html::{BoardPage, Shown, static_file};
pub use plain::plain;
pub use section::Section;
