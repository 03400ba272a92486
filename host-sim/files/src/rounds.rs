//! How often the random tests of the files run.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop there")]

/// `HOLDOFF_HISTORIES` where it is set, else `usual`.
///
/// # Panics
/// When it is set to no whole number.
pub(crate) fn rounds(usual: u64) -> u64 {
    std::env::var("HOLDOFF_HISTORIES").map_or(usual, |text| text.parse().unwrap())
}
