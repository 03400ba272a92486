//! A take-off for a person and for a script.

mod json;
mod table;
#[cfg(test)]
mod tests;

pub use json::object;
pub use table::table;
