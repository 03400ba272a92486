//! Random numbers for random histories: seeded, so that every failure can be run again.

/// A generator of 64-bit numbers (SplitMix64, Steele, Lea and Flood 2014; from memory).
pub fn numbers(seed: u64) -> impl FnMut() -> u64 {
    let mut state = seed;
    move || {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
}

/// How many random histories a test runs: `HOLDOFF_HISTORIES` where it is set, else `usual`.
pub fn histories(usual: u64) -> u64 {
    std::env::var("HOLDOFF_HISTORIES").ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}
