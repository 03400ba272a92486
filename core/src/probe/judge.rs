//! How far two readings may lie apart.

/// Allowance of rule R2c that does not depend on time: 1 °C, in thirds of counts.
const STEADY_ALLOWANCE: i64 = 3 * 256;
/// Allowance of rule R2c a second: 5 °C a minute, in thirds of counts.
const ALLOWANCE_A_SECOND: i64 = 64;

/// Whether two raw counts, `dt` seconds apart, lie within 1 °C + 5 °C/min of each other.
///
/// The rule says 60 x difference > 60 x 256 + 1280 x dt; divided by 20 that is 3 x difference > 768 + 64 x dt, the
/// same in whole numbers. `dt` is held at a day, which allows more than any two counts can differ.
#[inline]
pub const fn within_step(a: i16, b: i16, dt: i64) -> bool {
    let difference = (a as i64 - b as i64).abs();
    let dt = if dt > 86_400 { 86_400 } else { dt };
    3 * difference <= STEADY_ALLOWANCE + ALLOWANCE_A_SECOND * dt
}

/// The same for `dt` from 0 to an hour, in 32 bits; of no meaning for any other `dt`.
#[inline]
pub(crate) const fn within_step_soon(a: i16, b: i16, dt: i64) -> bool {
    let difference = 3 * (a as i32 - b as i32);
    let allowance = (dt as i32).wrapping_mul(ALLOWANCE_A_SECOND as i32).wrapping_add(STEADY_ALLOWANCE as i32);
    // -allowance <= difference <= allowance in one comparison
    difference.wrapping_add(allowance) as u32 <= allowance.wrapping_mul(2) as u32
}

#[cfg(test)]
mod tests {
    use super::{within_step, within_step_soon};

    #[test]
    fn both_forms_agree_up_to_an_hour() {
        for dt in 0..=3600 {
            for difference in [0, 255, 256, 257, 277, 278, 1536, 1537, 32_000, 32_767] {
                assert_eq!(within_step(0, difference, dt), within_step_soon(0, difference, dt));
                assert_eq!(within_step(difference, -difference, dt), within_step_soon(difference, -difference, dt));
            }
        }
    }

    #[test]
    fn one_degree_and_five_a_minute_are_allowed_and_a_count_more_is_not() {
        // after 60 s: 1 + 5 = 6 °C = 1536 counts
        assert!(within_step(0, 1536, 60));
        assert!(!within_step(0, 1537, 60));
        assert!(!within_step(1537, 0, 60));
        // after 1 s: 60 x 277 = 16620 <= 15360 + 1280 = 16640 < 60 x 278
        assert!(within_step(0, 277, 1));
        assert!(!within_step(0, 278, 1));
    }

    #[test]
    fn no_difference_of_two_counts_is_too_large_after_a_day() {
        assert!(within_step(i16::MIN, i16::MAX, i64::MAX));
    }
}
