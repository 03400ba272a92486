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
///
/// # Panics
/// When it is set to no whole number, or to 0: a run that was asked for must not pass for another.
pub fn histories(usual: u64) -> u64 {
    std::env::var_os("HOLDOFF_HISTORIES").map_or(usual, |text| asked(&text.to_string_lossy()))
}

fn asked(text: &str) -> u64 {
    let number = text.parse().ok().filter(|number| *number > 0);
    number.unwrap_or_else(|| panic!("HOLDOFF_HISTORIES={text}: give a whole number from 1 on, in digits alone"))
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_number_of_histories_that_is_none_is_refused() {
        assert_eq!(super::asked("1000000"), 1_000_000);
        for text in ["", "0", "1e6", "1_000_000", "1,000", " 7", "-1"] {
            assert!(std::panic::catch_unwind(|| super::asked(text)).is_err(), "{text:?}");
        }
    }
}
