//! What a job needs: a trace through the engine, the take-off, the shift plan, the temperature at the bottom of the hole, what a
//! probe's calibration is worth.
//!
//! Invariants: the engine counts, nothing here does; no file system, no clock, no network, no words for a person.

pub mod calibration;
pub mod depth;
pub mod plan;
pub mod replay;
pub mod series;
pub mod take_off;
