//! From a decimal to a whole number of counts, exactly.
//!
//! The fraction's digits are multiplied from the last to the first, one carry running through; whatever falls off
//! behind is remembered as "something was left". So the cost is one pass, and no digit is ever dropped unseen.

use super::Decimal;
use holdoff_core::quantity::Count;

/// A magnitude times a multiplier: the whole part, and whether anything is left over.
struct Product {
    whole: i64,
    rest: bool,
}

/// A number with more digits than this before the point is far outside everything this program rounds.
const MOST_WHOLE_DIGITS: i64 = 12;
/// With more zeros than this after the point, no product below reaches 1.
const MOST_FRACTION_ZEROS: i64 = 12;

impl Decimal {
    /// `floor(self x multiplier)`; held at the bounds of `i64` for numbers from 10^12 on.
    pub fn floor_times(&self, multiplier: u16) -> i64 {
        match (self.product(multiplier), self.is_negative()) {
            (Some(product), false) => product.whole,
            (Some(product), true) => -product.whole - i64::from(product.rest),
            (None, false) => i64::MAX,
            (None, true) => i64::MIN,
        }
    }

    /// `ceil(self x multiplier)`; held at the bounds of `i64` for numbers from 10^12 on.
    pub fn ceil_times(&self, multiplier: u16) -> i64 {
        match (self.product(multiplier), self.is_negative()) {
            (Some(product), false) => product.whole + i64::from(product.rest),
            (Some(product), true) => -product.whole,
            (None, false) => i64::MAX,
            (None, true) => i64::MIN,
        }
    }

    /// `self x multiplier` where that is a whole number, not negative and below 2^32.
    pub fn exactly(&self, multiplier: u16) -> Option<u32> {
        let (floor, ceil) = (self.floor_times(multiplier), self.ceil_times(multiplier));
        u32::try_from(floor).ok().filter(|_| floor == ceil)
    }

    /// Counts of 1/256 °C, rounded down (readings, greatest limits); held at the bounds of `i32`.
    pub fn floor_counts(&self) -> i32 {
        clamp(self.floor_times(COUNTS))
    }

    /// Counts of 1/256 °C, rounded up (band edges, least limits, uncertainties); held at the bounds of `i32`.
    pub fn ceil_counts(&self) -> i32 {
        clamp(self.ceil_times(COUNTS))
    }

    /// As [`Decimal::floor_counts`], where it fits a [`Count`] (-128 to below 128 °C).
    pub fn floor_count(&self) -> Option<Count> {
        i16::try_from(self.floor_counts()).ok().map(Count::new)
    }

    /// As [`Decimal::ceil_counts`], where it fits a [`Count`] (-128 to below 128 °C).
    pub fn ceil_count(&self) -> Option<Count> {
        i16::try_from(self.ceil_counts()).ok().map(Count::new)
    }

    /// `None` when the number is too large.
    fn product(&self, multiplier: u16) -> Option<Product> {
        if self.point > MOST_WHOLE_DIGITS {
            return None;
        }
        if self.point < -MOST_FRACTION_ZEROS {
            return Some(Product { whole: 0, rest: !self.is_zero() });
        }
        let before = usize::try_from(self.point).unwrap_or(0);
        let mut digits = self.digits.iter();
        let mut whole = 0i64;
        for _ in 0..before {
            whole = whole * 10 + digits.next().map_or(0, |digit| i64::from(digit - b'0'));
        }
        let zeros = usize::try_from(-self.point).unwrap_or(0);
        let fraction = std::iter::repeat_n(&b'0', zeros).chain(digits);
        let (mut carry, mut rest) = (0i64, false);
        for digit in fraction.rev() {
            carry += i64::from(digit - b'0') * i64::from(multiplier); // stays below 2 x multiplier x 10
            rest |= carry % 10 != 0;
            carry /= 10;
        }
        // below 10^12 x 65 536, which fits
        Some(Product { whole: whole * i64::from(multiplier) + carry, rest })
    }
}

const COUNTS: u16 = Count::PER_DEGREE as u16;

fn clamp(value: i64) -> i32 {
    value.clamp(i64::from(i32::MIN), i64::from(i32::MAX)) as i32
}
