//! Clock allowance, and what it makes of counted and required seconds.

/// A million, of which the clock allowance is a part.
pub(super) const MILLION: u64 = 1_000_000;

/// A quotient rounded up. A division of 64 bits is a call on a small processor, so there it stands once.
#[cfg_attr(target_os = "none", inline(never))]
pub(crate) const fn div_ceil(dividend: u64, divisor: u64) -> u64 {
    dividend.div_ceil(if divisor == 0 { 1 } else { divisor })
}

/// What `counted` seconds are credited with under an allowance of `ppm`: counted less `ceil(counted x ppm / 1 000 000)`
/// (rule C2). Exact for any count below 2^50 s.
pub const fn served(counted: u64, clock_ppm: u16) -> u64 {
    counted.saturating_sub(div_ceil(counted.saturating_mul(clock_ppm as u64), MILLION))
}

/// The least number of counted seconds that [`served`] credits with at least `required`.
///
/// served(n) >= r  <=>  n - r >= ceil(n x ppm / 10^6)  <=>  n - r >= n x ppm / 10^6 (n - r is whole)
/// <=>  n >= 10^6 x r / (10^6 - ppm). Required seconds stay below 14 d x 10, the product below 2^44.
pub(crate) const fn counted_needed(required: u64, clock_ppm: u16) -> u64 {
    let divisor = MILLION.saturating_sub(clock_ppm as u64);
    if divisor == 0 {
        return u64::MAX; // no admissible setting: allowances end at 10 000 ppm
    }
    div_ceil(required.saturating_mul(MILLION), divisor)
}

#[cfg(test)]
mod tests {
    use super::{counted_needed, served};

    #[test]
    fn the_needed_count_is_the_least_that_serves() {
        for ppm in [0, 1, 99, 100, 101, 2_500, 9_999, 10_000] {
            for required in [1, 2, 59, 60, 3_600, 21_600, 43_200, 12_096_000] {
                let needed = counted_needed(required, ppm);
                assert!(served(needed, ppm) >= required, "{required} s at {ppm} ppm");
                assert!(served(needed - 1, ppm) < required, "{required} s at {ppm} ppm");
            }
        }
    }

    #[test]
    fn three_hundred_minutes_lose_two_seconds_at_a_hundred_ppm() {
        assert_eq!(served(18_000, 100), 17_998); // 1.8 rounded up
    }
}
