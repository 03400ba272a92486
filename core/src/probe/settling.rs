//! Whether the probe has settled (rule R6).
//!
//! What for: a probe out of a warm pocket says for minutes what the pocket was. A start is judged on a reading only when an
//! earlier one, at least [`crate::cure::Settings::settle`] before it, said nearly the same.
//! Why this way: which earlier reading counts depends on the newest one, so all readings of that time are kept, each as its
//! count and the seconds to the one after it: 4 bytes.
//! Invariants: what is kept was accepted one after the other, with no reading refused and no restart in between; nothing
//! forgotten makes a probe settled.
//! What it does not do: keep the newest reading itself, which its caller has.

use crate::cure::Settings;
use crate::quantity::Span;
use heapless::Deque;

/// Readings that a logger looks back over: with the default of 180 s there are never more in whole seconds. A job whose
/// readings lie so close that more of them fall into a longer time is none for a logger.
pub const LOGGER_LOOKS_BACK: usize = 180;
/// Readings that a group looks back over.
#[cfg(target_os = "none")]
pub(crate) const LOOKS_BACK: usize = LOGGER_LOOKS_BACK;
/// Readings that a group looks back over: the longest time there is, second by second.
#[cfg(not(target_os = "none"))]
pub(crate) const LOOKS_BACK: usize = 3600;

/// A reading and how long before the next one it was.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Earlier {
    raw: i16,
    /// Seconds to the next reading, at most 65 535: more than any reading is looked back for.
    seconds: u16,
}

/// The accepted readings before the newest one, as far as rule R6 needs them.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Settling<const N: usize> {
    earlier: Deque<Earlier, N>,
    /// Most readings that are kept, at most `N`.
    most: usize,
}

impl<const N: usize> Default for Settling<N> {
    fn default() -> Self {
        Self::new()
    }
}

impl<const N: usize> Settling<N> {
    /// No readings yet.
    pub const fn new() -> Self {
        Self { earlier: Deque::new(), most: N }
    }

    /// Keeps no more than `most` readings from here on, as a smaller memory would.
    pub(crate) fn keep(&mut self, most: usize) {
        self.most = most.min(N);
    }

    /// A reading was accepted `dt` seconds after the one before it, whose raw count was `before`.
    #[inline]
    pub fn follow(&mut self, before: i16, dt: i64) {
        if self.earlier.len() >= self.most {
            let _ = self.earlier.pop_front();
        }
        let seconds = u16::try_from(dt).unwrap_or(u16::MAX);
        let _ = self.earlier.push_back(Earlier { raw: before, seconds });
    }

    /// A reading was refused, or the logger restarted, since the reading before: nothing earlier counts.
    pub fn break_off(&mut self) {
        self.earlier.clear();
    }

    /// Whether the probe has settled, judged on the newest reading, whose raw count this is (rule R6).
    pub fn is_settled(&self, newest: i16, settings: &Settings) -> bool {
        let settle = settings.settle().seconds();
        let most = settle.saturating_add(settings.longest_gap().seconds());
        settle == 0
            || self
                .backwards()
                .find(|(_, before)| *before >= settle)
                .is_some_and(|(raw, before)| before <= most && is_steady(newest, raw, before))
    }

    /// How long it takes at least until the probe has settled, if it keeps the newest reading from now on; zero when it has.
    /// For showing only.
    pub fn still(&self, newest: i16, settings: &Settings) -> Span {
        if self.is_settled(newest, settings) {
            return Span::ZERO;
        }
        let settle = settings.settle().seconds();
        let steady = self
            .backwards()
            .take_while(|(raw, before)| *before < settle && is_steady(newest, *raw, settle))
            .last()
            .map_or(0, |(_, before)| before);
        Span::from_seconds(settle.saturating_sub(steady).max(1))
    }

    /// Raw counts of the earlier readings, the latest first, with the seconds that each lies before the newest.
    fn backwards(&self) -> impl Iterator<Item = (i16, u32)> + '_ {
        self.earlier.iter().rev().scan(0u32, |before, earlier| {
            *before = before.saturating_add(u32::from(earlier.seconds));
            Some((earlier.raw, *before))
        })
    }
}

/// Whether two raw counts, `seconds` apart, differ by no more than 0.1 °C a minute and 0.125 °C.
///
/// The rule says 600 x difference <= 256 x dt + 19 200.
const fn is_steady(a: i16, b: i16, seconds: u32) -> bool {
    let difference = (a as i64 - b as i64).unsigned_abs();
    600 * difference <= 256 * seconds as u64 + 19_200
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{Settling, is_steady};
    use crate::cure::Settings;
    use crate::quantity::Span;

    fn settled(settling: &Settling<8>, newest: i16) -> bool {
        settling.is_settled(newest, &Settings::DEFAULT)
    }

    #[test]
    fn a_tenth_of_a_degree_a_minute_and_an_eighth_are_allowed_and_a_count_more_is_not() {
        // 180 s: 600 x 108 = 64 800 <= 46 080 + 19 200 = 65 280 < 600 x 109
        assert!(is_steady(0, 108, 180));
        assert!(!is_steady(0, 109, 180));
        assert!(!is_steady(109, 0, 180));
        assert!(!is_steady(i16::MIN, i16::MAX, 7200));
    }

    #[test]
    fn a_probe_is_settled_by_a_reading_three_minutes_before_and_not_by_a_younger_one() {
        let mut settling = Settling::new();
        assert!(!settled(&settling, 0));
        settling.follow(0, 179);
        assert!(!settled(&settling, 0));
        settling.follow(0, 1);
        assert!(settled(&settling, 0));
        settling.break_off();
        assert!(!settled(&settling, 0));
        assert!(settling.is_settled(0, &Settings::DEFAULT.with_settle(Span::ZERO).expect("in bounds")));
    }

    #[test]
    fn a_reading_before_a_gap_that_is_too_long_settles_nothing() {
        for (seconds, expected) in [(480, true), (481, false)] {
            let mut settling = Settling::new();
            settling.follow(0, seconds);
            assert_eq!(settled(&settling, 0), expected, "{seconds} s");
        }
    }

    #[test]
    fn the_latest_reading_that_is_old_enough_is_the_one_that_counts() {
        let mut settling = Settling::new();
        settling.follow(0, 60);
        settling.follow(1000, 180);
        assert!(!settled(&settling, 0));
        assert!(settled(&settling, 1000));
    }

    #[test]
    fn the_time_that_it_still_takes_begins_anew_with_every_move() {
        let mut settling = Settling::<8>::new();
        let still = |settling: &Settling<8>, newest| settling.still(newest, &Settings::DEFAULT).seconds();
        assert_eq!(still(&settling, 0), 180);
        settling.follow(1000, 60);
        assert_eq!(still(&settling, 0), 180);
        settling.follow(0, 60);
        assert_eq!(still(&settling, 0), 120);
        settling.follow(0, 60);
        assert_eq!(still(&settling, 0), 60);
        settling.follow(0, 60);
        assert_eq!(still(&settling, 0), 0);
    }

    #[test]
    fn a_memory_that_is_full_forgets_the_oldest_and_settles_nothing_by_it() {
        let mut settling = Settling::<8>::new();
        for _ in 0..100 {
            settling.follow(0, 10);
        }
        assert!(!settled(&settling, 0));
        settling.follow(0, 110);
        assert!(settled(&settling, 0));
    }
}
