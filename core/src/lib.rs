#![doc = include_str!("../README.md")]
//!
//! ## Rooms
//! The rules stand in `docs/cure-rules.md` of the repository, and every item here names the rule it follows.
//!
//! Lower rooms know nothing of higher ones:
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
#[cfg(feature = "log")]
mod hex;
#[cfg(feature = "log")]
pub mod log;
pub mod probe;
pub mod quantity;
pub mod resin;
#[cfg(feature = "seal")]
pub mod seal;
