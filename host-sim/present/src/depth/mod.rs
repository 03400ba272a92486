//! A depth check for a person and for a script.

mod json;
mod words;

pub use json::{Object, object};
pub use words::text;
