//! What logger and PC say to each other over a serial line: frames and messages.
//!
//! What for: a job is loaded, the clock set, the group watched and the memory read out over a line that may lose, double
//! or garble bytes, or break. Both ends read and write the same types. The bytes are described in `docs/link.md`.
//! Terms, from small to large:
//! - a [*message*](message) is a request of the PC or the logger's answer to it;
//! - a [*frame*](mod@frame) is a message with version, sequence number and check, in bytes none of which is zero, and a zero
//!   at its end.
//!
//! Invariants: no message stands for something done to a fixing, for a decision of the engineer, for memory to be given up
//! unread, or for the key: there is no way to ask for them.
//! What it does not do: drive the line, ask, or answer. The logger answers in the `session` of its firmware, the PC asks in its
//! own program.
#![no_std]
#![deny(
    clippy::indexing_slicing,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::unreachable,
    clippy::float_arithmetic,
    clippy::wildcard_enum_match_arm
)]

pub mod frame;
pub mod message;
pub mod status;
pub mod wire;

/// The version of the messages here.
pub const VERSION: u8 = 1;
/// The least version that is understood.
pub const LEAST_VERSION: u8 = 1;
