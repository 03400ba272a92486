//! The cure engine, the log and the seal of holdoff.
//!
//! What the crate does: it decides, from what a logger or a replay tells it, what may be done with a bonded fixing:
//! the rules stand in `docs/cure-rules.md`, and every item here names the rule it follows.
//! What it does not do: read a clock, a file or a random source, allocate, use floating point, or panic.
//!
//! Rooms, lower ones knowing nothing of higher ones:
//! [`quantity`] < [`resin`] < [`probe`] < [`cure`] < [`fixing`] < [`group`] < [`log`] < [`seal`].
//!
//! The one public step is [`group::Group::step`]. The live device, a replay, a restart and a proof all call it.
#![no_std]
#![deny(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::unreachable,
    clippy::todo,
    clippy::unimplemented,
    clippy::float_arithmetic,
    clippy::wildcard_enum_match_arm
)]

pub mod cure;
pub mod fixing;
pub mod group;
pub mod log;
pub mod probe;
pub mod quantity;
pub mod resin;
pub mod seal;
