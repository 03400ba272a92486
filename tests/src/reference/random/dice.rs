//! Draws from the caller's random numbers.
//!
//! A remainder favours small results by less than one part in a billion for ranges as small as these, which is no
//! matter here.

use super::PER_DEGREE;

/// The caller's random numbers.
pub(super) struct Dice<'a, F: FnMut() -> u64>(pub(super) &'a mut F);

impl<F: FnMut() -> u64> Dice<'_, F> {
    /// A whole number from 0 up to and without `end`, which is above 0.
    pub(super) fn below(&mut self, end: usize) -> usize {
        let end = u64::try_from(end).expect("a size fits 64 bits");
        usize::try_from((self.0)() % end).expect("below a size")
    }

    /// A whole number from `least` to `greatest`, both included; `least` when there is none.
    pub(super) fn between(&mut self, least: i64, greatest: i64) -> i64 {
        let span = u64::try_from(greatest - least).unwrap_or(0) + 1;
        least + i64::try_from((self.0)() % span).expect("a small span")
    }

    /// True in `per_thousand` of 1000 cases.
    pub(super) fn chance(&mut self, per_thousand: u64) -> bool {
        (self.0)() % 1000 < per_thousand
    }

    /// One of `all`.
    pub(super) fn pick<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }

    /// A temperature in 1/10 000 °C, about from `least` to `greatest`, with 0 to 4 places or a whole count.
    pub(super) fn parts(&mut self, least: i64, greatest: i64) -> i64 {
        let fine = self.between(least, greatest);
        match self.below(6) {
            0 => fine - fine.rem_euclid(PER_DEGREE),
            1 => fine - fine.rem_euclid(1_000),
            2 => fine - fine.rem_euclid(100),
            3 => fine - fine.rem_euclid(10),
            // 16 counts of 1/256 °C, the smallest multiple with four places.
            4 => fine - fine.rem_euclid(PER_DEGREE / 16),
            _ => fine,
        }
    }

    /// A temperature as [`parts`](Self::parts) gives it, but never out of the range.
    pub(super) fn parts_within(&mut self, least: i64, greatest: i64) -> i64 {
        self.parts(least, greatest).clamp(least, greatest)
    }

    /// A duration from `least` to `greatest`, s, the short ones as likely as the long ones of the same ratio.
    pub(super) fn duration(&mut self, least: i64, greatest: i64) -> i64 {
        let mut end = least;
        let mut ends = vec![least];
        while end < greatest {
            end = (end * 2).min(greatest);
            ends.push(end);
        }
        let octave = self.below(ends.len());
        self.between(ends[octave.saturating_sub(1)], ends[octave])
    }
}
