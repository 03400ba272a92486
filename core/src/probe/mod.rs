//! From sensor registers to counts, and why a reading is refused.
//!
//! What for: rule R2 of `docs/cure-rules.md`. The conversion here is exact and integer; whether a reading fits the
//! ones before it is judged by the group, which knows them.

mod judge;
mod refusal;
mod register;
mod settling;

pub use judge::within_step;
pub(crate) use judge::within_step_soon;
pub use refusal::Refusal;
pub use register::SensorKind;
pub(crate) use settling::LOOKS_BACK;
pub use settling::{LOGGER_LOOKS_BACK, Settling};

use crate::quantity::Count;

/// Least temperature a reading may have: -55 °C (rule R2b).
pub const SENSOR_LEAST: Count = Count::from_degrees(-55);
/// Greatest temperature a reading may have: 125 °C (rule R2b).
pub const SENSOR_GREATEST: Count = Count::from_degrees(125);
