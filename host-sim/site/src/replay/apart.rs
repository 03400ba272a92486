//! How far apart the readings of a trace lie, held against the longest gap.
//!
//! What for: a logger that reads every ten minutes, against a longest gap of five, observes nothing at all; its fixings end as
//! seated too late, or are never cured, for a cause that no single line of an account shows.
//! Terms: an *interval* here goes from one row with a temperature, accepted or refused, to the next later one.
//! Invariant: memory does not grow with the trace.
//! What it does not do: judge a reading, or change the longest gap.

use holdoff_core::quantity::Span;

/// What a longest gap is set to, s: the spacings that loggers offer, 10 s to the hour of rule Q4.
const SENSIBLE: [i64; 16] = [10, 15, 20, 30, 60, 120, 180, 300, 360, 600, 720, 900, 1200, 1800, 2700, 3600];

/// Intervals, counted by their length.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Apart {
    longest_gap: Span,
    before: Option<i64>,
    /// How many are at most so many seconds and more than the entry before; those over the last are in none.
    up_to: [u64; SENSIBLE.len()],
    intervals: u64,
    over: u64,
    /// The last intervals, all of one length, not counted in yet: rows are mostly evenly spaced. Length, s, and how many.
    alike: (i64, u64),
}

/// Readings that lie too far apart.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct TooFarApart {
    /// How many intervals are over the longest gap.
    pub over: u64,
    /// How many there are.
    pub intervals: u64,
    /// The longest gap in force.
    pub longest_gap: Span,
    /// The longest gap that nine in ten of them fit into; `None` where that is over the hour of rule Q4.
    pub set: Option<Span>,
}

impl Apart {
    /// Before the first row.
    pub const fn new(longest_gap: Span) -> Self {
        Self { longest_gap, before: None, up_to: [0; SENSIBLE.len()], intervals: 0, over: 0, alike: (0, 0) }
    }

    /// Takes in a row with a temperature. One that is not later than all before it is passed over.
    #[inline]
    pub fn reading(&mut self, seconds: i64) {
        let Some(before) = self.before.filter(|before| *before < seconds) else {
            self.before.get_or_insert(seconds);
            return;
        };
        self.before = Some(seconds);
        let apart = seconds.saturating_sub(before);
        if self.alike.0 == apart {
            self.alike.1 += 1;
            return;
        }
        *self = Self { alike: (apart, 1), ..self.whole() };
    }

    /// With the last intervals counted in.
    fn whole(&self) -> Self {
        let (mut whole, (apart, number)) = (*self, self.alike);
        whole.alike = (0, 0);
        whole.intervals += number;
        if apart > i64::from(self.longest_gap.seconds()) {
            whole.over += number;
        }
        if let Some(count) = whole.up_to.get_mut(SENSIBLE.partition_point(|sensible| *sensible < apart)) {
            *count += number;
        }
        whole
    }

    /// How many intervals there are.
    pub fn intervals(&self) -> u64 {
        self.whole().intervals
    }

    /// How many of them are over the longest gap.
    pub fn over(&self) -> u64 {
        self.whole().over
    }

    /// Whether most are over the longest gap.
    pub fn too_far(&self) -> Option<TooFarApart> {
        let Self { over, intervals, longest_gap, up_to, .. } = self.whole();
        let mut within = 0;
        let fits = |count: &u64| {
            within += count;
            within * 10 >= intervals * 9
        };
        let set = up_to.iter().position(fits).and_then(|place| u32::try_from(*SENSIBLE.get(place)?).ok());
        (over * 2 > intervals).then_some(TooFarApart { over, intervals, longest_gap, set: set.map(Span::from_seconds) })
    }
}

#[cfg(test)]
mod tests {
    use super::{Apart, TooFarApart};
    use holdoff_core::quantity::Span;

    fn too_far(longest_gap: u32, rows: impl Iterator<Item = i64>) -> Option<TooFarApart> {
        let mut apart = Apart::new(Span::from_seconds(longest_gap));
        rows.for_each(|row| apart.reading(row));
        apart.too_far()
    }

    #[test]
    fn a_ten_minute_logger_is_told_what_to_set() {
        let found = too_far(300, (0..7).map(|row| row * 600));
        let span = Span::from_seconds;
        assert_eq!(found, Some(TooFarApart { over: 6, intervals: 6, longest_gap: span(300), set: Some(span(600)) }));
        // a clock that is a second slow does not fit into ten minutes
        assert_eq!(too_far(300, (0..7).map(|row| row * 601)).and_then(|found| found.set), Some(span(720)));
        assert_eq!(too_far(300, (0..7).map(|row| row * 3600)).and_then(|found| found.set), Some(span(3600)));
        assert_eq!(too_far(300, (0..7).map(|row| row * 3601)).map(|found| found.set), Some(None));
        assert_eq!(too_far(30, (0..7).map(|row| row * 60)).and_then(|found| found.set), Some(span(60)));
    }

    #[test]
    fn half_of_the_readings_or_fewer_are_no_matter() {
        assert_eq!(too_far(300, std::iter::empty()), None);
        assert_eq!(too_far(300, [5].into_iter()), None);
        assert_eq!(too_far(300, [0, 300, 600].into_iter()), None);
        assert_eq!(too_far(300, [0, 300, 1000].into_iter()), None);
        assert!(too_far(300, [0, 300, 1000, 2000].into_iter()).is_some());
        // rows of one time, and steps back, lie no time apart
        assert_eq!(too_far(300, [0, 600, 600, 0, 700, 800].into_iter()), None);
    }
}
