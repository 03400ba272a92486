//! The arithmetic of one cure: settings, seconds by class, allowance, accrual.
//!
//! What for: section C of `docs/cure-rules.md`, as pure functions. Which second belongs to which class and when an
//! interval is added is decided above this room.
//! Terms: *counted* seconds lie in a band, *held* ones outside the limits, *unobserved* ones were not seen;
//! *served* is what counted seconds are credited with; *required* is the cure time asked for.
//! Invariants: everything is exact in whole numbers; products are formed in 64 or 128 bits and cannot overflow for any
//! admissible schedule and setting (the bounds are worked out beside each function).

mod accrual;
mod required;
mod settings;
mod tally;

pub use accrual::{WHOLE, accrued};
pub(crate) use accrual::{further_to_whole, soonest_whole};
pub(crate) use required::counted_needed;
#[cfg(feature = "log")] // how many pages a cure takes
pub(crate) use required::div_ceil;
pub use required::served;
pub use settings::{Laxer, Rule, Settings, SettingsError, Uncertainty};
pub use tally::Tally;
pub(crate) use tally::{Class, Recent, Running};
