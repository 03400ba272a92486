//! How often the random tests of the files run.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop there")]

/// `HOLDOFF_HISTORIES` as it was when this was compiled, where it was set, else `usual`: this room asks for nothing around it.
///
/// # Panics
/// When it is set to no whole number.
pub(crate) fn rounds(usual: u64) -> u64 {
    option_env!("HOLDOFF_HISTORIES").map_or(usual, |text| text.parse().unwrap())
}
