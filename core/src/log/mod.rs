//! The logger's memory: complete, compact, safe against power cuts, and bound page to page.
//!
//! What for: a flat battery at any moment must lose nothing that was acknowledged; weeks must fit a small serial EEPROM;
//! and an inspector must be able to derive every release again from what was read. The bytes are described, for a
//! decoder in any language, in `docs/log-format.md`.
//!
//! Terms, from small to large:
//! - an *item* is a reading, a missing or unusable one, a refusal, or a *record* (everything else that happened, and
//!   what names it);
//! - a *page* of 512 bytes holds items in one coded stream, decodes alone, and is linked to the page before it by the
//!   truncated SHA-256 of that page;
//! - the *open* page stands in two slots of the memory until it is full, so that a cut or a flipped bit never takes the
//!   newest acknowledged item;
//! - a *session* is a run of pages from an identity, a resin and a job on: what one group is rebuilt from.
//!
//! The way in and the way out are one: [`Logger::happen`] writes an item and lets a [`Replay`] take it;
//! [`mount`](fn@mount) and [`read::Log::replay`] give the same items to the same replay.
//!
//! Invariants: no reading or action takes effect before it is written; a running session is never overwritten; what
//! cannot be explained by a power cut makes a session untrusted, and an untrusted session yields neither cured nor
//! released (rule E4).
//! What it does not do: sign and verify (the seal does; here a release is opaque bytes), read clocks, drive a bus.

mod chain;
mod coder;
mod course;
mod geometry;
mod item;
mod logger;
mod loss;
mod memory;
mod model;
mod mount;
mod open;
mod page;
pub mod read;
mod record;
mod replay;
mod room;
mod said;
mod scan;
#[cfg(feature = "embedded-storage")]
mod storage;
mod store;
mod tag;
mod tie;

pub use crate::fixing::StageWord;
pub use chain::{ChainHead, head_after, head_of};
pub use course::Course;
pub use geometry::{GREATEST_SIZE, Geometry, LEAST_SIZE, PAGE};
pub use item::{Clock, Item, ItemError, ItemRead, MissingCause};
pub use logger::{Acknowledged, Beginning, LogError, Logger, Owner, Room};
pub use loss::LOSS_SECONDS;
pub use memory::{ImageMemory, Memory, MemoryError, RamMemory};
pub use mount::{MountError, Report, blank, mount};
pub use page::{Header, Items, LINK, Link, Page, PageError, VERSION};
pub use record::{
    Batch, BodyError, Bytes, ClockTie, DeviceId, FileHash, FixingRecord, Identity, Job, Loss, MOST_BODY, MOST_PEOPLE,
    Person, PersonNumber, Record, ResetCause, ResinRecord, Source, StageSeen,
};
pub use replay::{Each, Outcome, Replay, ResinName, Trust, Why};
pub use scan::{Amiss, Finding, Tail};
#[cfg(feature = "embedded-storage")]
pub use storage::StorageMemory;
pub use store::StoreError;
pub use tag::PageKey;
pub use tie::{Chip, Hold, Holds, LEAST_SET, MOST_HOLDS, clock_at};
