//! Quantities that do not mix: temperature counts, whole seconds, instants, torque; and the day of a second.
//!
//! What for: rule Q1 and Q2 of `docs/cure-rules.md`. Every bound stands here once, and every rounding has its name.
//! Invariants: a [`Count`] is what a two's-complement sensor delivers; a [`Span`] is a length of time and an
//! [`Instant`] a point on the monotonic clock, and only the operations that make sense between them exist.
//! What it does not do: read a clock, parse text, or know a time zone.

mod date;
mod temperature;
mod time;
mod torque;

pub use date::Date;
pub use temperature::{Count, Fine};
pub use time::{Instant, Span};
pub use torque::Torque;
