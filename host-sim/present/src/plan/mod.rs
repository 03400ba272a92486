//! A shift plan for a person and for a script.

mod json;
mod words;

pub use json::{Object, Starts, object};
pub(crate) use words::{Clock, colder};
pub use words::{FORECAST_CAUTION, text, wider_gap};
