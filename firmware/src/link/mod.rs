//! The link between the logger and a PC: messages, frames, and the device's side of the talk.
//!
//! What for: a job is loaded, the clock set, the group watched and the memory read out over a serial line that may lose,
//! double or garble bytes, or break. The bytes are described in `docs/link.md`.
//! Terms, from small to large:
//! - a [*message*](message) is a request of the PC or the logger's answer to it;
//! - a [*frame*](mod@frame) is a message with version, sequence number and check, in bytes none of which is zero, and a zero
//!   at its end;
//! - a [*session*](session) answers one request after another; the device gives it what it asks for as a [`Host`].
//!
//! Invariants: the PC speaks, the logger answers, once for every request that arrives whole. What changes anything is
//! refused while a fixing runs. A request that is repeated because its answer was lost is answered again and does not act
//! twice. No message stands for something done to a fixing, for a decision of the engineer, for memory to be given up
//! unread, or for the key: there is no way to ask for them.
//! What it does not do: drive the line, keep the PC from asking again, or know who asks.

pub mod frame;
pub mod host;
pub mod load;
pub mod message;
pub mod over_log;
pub mod session;
pub mod status;
pub mod write;

pub use host::Host;
pub use load::LoadedJob;
pub use session::Session;

/// The version of the messages here.
pub const VERSION: u8 = 1;
/// The least version that is understood.
pub const LEAST_VERSION: u8 = 1;
