//! The device's side of the link to a PC.
//!
//! What for: a job is loaded, the clock set, the group watched and the memory read out over a serial line that may lose,
//! double or garble bytes, or break. Messages and frames are in `holdoff_link`, their bytes in `docs/link.md`.
//! Terms: a [*session*](session) answers one request after another; the device gives it what it asks for as a [`Host`].
//!
//! Invariants: the PC speaks, the logger answers, once for every request that arrives whole. What changes anything is
//! refused while a fixing runs. A request that is repeated because its answer was lost is answered again and does not act
//! twice.
//! What it does not do: drive the line, keep the PC from asking again, or know who asks.

pub mod host;
pub mod load;
pub mod over_log;
pub mod session;

pub use host::Host;
pub use load::LoadedJob;
pub use session::Session;
