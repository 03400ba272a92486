//! A schedule and its settings, worked out for raw counts.

use crate::cure::{Class, Rule, Settings};
use crate::fixing::{Ground, Grounds};
use crate::quantity::{Count, Fine, Span};
use crate::resin::{Hole, MOST_BANDS, Resin};

/// What the whole group counts by. The guard bands of rule R1 are put on the limits once instead of on every reading:
/// `r - U >= edge` is `r >= edge + U`, and `r + U + 1 > limit` is `r > limit - U - 1`.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Frame {
    pub(crate) resin: Resin,
    pub(crate) settings: Settings,
    pub(crate) rule: Rule,
    /// Band edges for raw counts, none below the coldest usable one.
    edges: [i16; MOST_BANDS],
    /// The greatest raw count that is not outside (S2).
    warmest_inside: i32,
    /// Raw counts that are not outside (S2).
    inside: Between,
    /// A raw count below it rejects (C5).
    reject_cold: i32,
    /// A raw count above it rejects (C5).
    reject_warm: i32,
}

impl Frame {
    pub(crate) fn new(resin: Resin, settings: Settings, rule: Rule) -> Self {
        let guard = i32::from(settings.uncertainty().counts());
        let low_at = |limit: Count| i32::from(limit.raw()) + guard;
        let high_at = |limit: Count| i32::from(limit.raw()) - guard - 1;
        let limits = resin.limits();
        let coldest_inside = low_at(resin.coldest_usable_edge());
        let warmest_inside = high_at(limits.cure_greatest);
        let lowest_edge = i16::try_from(coldest_inside).unwrap_or(i16::MAX);
        Self {
            edges: resin.bands().edges_shifted(guard).map(|edge| edge.max(lowest_edge)),
            warmest_inside,
            inside: Between::new(coldest_inside, warmest_inside),
            reject_cold: limits.reject_below.map_or(i32::MIN, low_at),
            reject_warm: limits.reject_above.map_or(i32::MAX, high_at),
            resin,
            settings,
            rule,
        }
    }

    /// A reading's `low` (R1).
    pub(crate) fn low(&self, raw: i16) -> Fine {
        Fine::new(i32::from(raw) - self.guard())
    }

    /// A reading's `high` (R1).
    pub(crate) fn high(&self, raw: i16) -> Fine {
        Fine::new(i32::from(raw) + self.guard() + 1)
    }

    /// How far a raw count's `low` lies under the least, or its `high` over the greatest installation temperature, in counts; the
    /// larger of the two, and nothing above zero where it lies inside.
    pub(crate) fn outside_installation(&self, raw: i16) -> i32 {
        let limits = self.resin.limits();
        let under = limits.install_least.fine().raw().saturating_sub(self.low(raw).raw());
        under.max(self.high(raw).raw().saturating_sub(limits.install_greatest.fine().raw()))
    }

    fn guard(&self) -> i32 {
        i32::from(self.settings.uncertainty().counts())
    }

    /// Whether this raw count's `low` or `high` is outside the limits (S2).
    #[inline]
    pub(crate) fn is_outside(&self, raw: i16) -> bool {
        !self.inside.has(raw)
    }

    /// Whether an interval between these raw counts is outside (S2): one of its ends is.
    pub(crate) fn outside(&self, coldest: i16, warmest: i16) -> bool {
        self.is_outside(coldest) | self.is_outside(warmest)
    }

    /// Whether the `low` of this raw count is under the coldest usable edge, whatever its `high` (A3, S2).
    pub(crate) fn too_cold(&self, coldest: i16) -> bool {
        self.inside.is_above(coldest)
    }

    /// Whether the `high` of this raw count is above the greatest curing temperature (S2).
    pub(crate) fn too_warm(&self, warmest: i16) -> bool {
        self.inside.is_below(warmest)
    }

    /// The class of the seconds of an observed interval between these raw counts (C1).
    pub(crate) fn class(&self, coldest: i16, warmest: i16) -> Class {
        if self.outside(coldest, warmest) { Class::Held } else { Class::Counted(self.band_place(coldest)) }
    }

    /// Band edges for raw counts, the guard band put on, none below the coldest usable edge: a raw count that reaches
    /// none of them is too cold, and lower bands count no second of their own. Unused places hold an edge that no
    /// reading reaches.
    #[inline]
    pub(crate) const fn edges(&self) -> &[i16; MOST_BANDS] {
        &self.edges
    }

    /// The seconds of an observed stretch with this warmest raw count, or none when it is too warm to count (S2). In
    /// whole-word arithmetic: a comparison would become a branch that random readings mislead.
    #[inline]
    pub(crate) fn unless_too_warm(&self, warmest: i16, seconds: u16) -> u16 {
        let room = self.warmest_inside.wrapping_sub(i32::from(warmest));
        seconds & !((room >> 31) as u16)
    }

    /// Place of the band of the `low` of this raw count; below the first edge, the first.
    pub(crate) fn band_place(&self, raw: i16) -> usize {
        self.resin.bands().band_of(self.low(raw)).place()
    }

    /// Grounds that this raw count alone rejects for (C5).
    pub(crate) fn rejects(&self, raw: i16) -> Grounds {
        Grounds::NONE
            .with_if(i32::from(raw) < self.reject_cold, Ground::BelowReject)
            .with_if(i32::from(raw) > self.reject_warm, Ground::AboveReject)
    }

    /// The raw counts that neither lie outside the sensor's range `least` to `greatest` nor reject.
    pub(crate) fn calm(&self, least: Count, greatest: Count) -> Between {
        let least = i32::from(least.raw()).max(self.reject_cold);
        let greatest = i32::from(greatest.raw()).min(self.reject_warm);
        Between::new(least, greatest)
    }

    /// Required seconds under the coldest-band rule (C3).
    pub(crate) fn required(&self, coldest: i16, hole: Hole) -> u64 {
        let bands = self.resin.bands();
        let cure = bands.cure(bands.band_of(self.low(coldest)));
        u64::from(cure.seconds()) * u64::from(self.resin.factor(hole))
    }

    /// The working time at this `high` (A2); the shortest in the file when a stretch was not observed.
    pub(crate) fn working(&self, hottest: Fine, unobserved: bool) -> Span {
        let bands = self.resin.bands();
        if unobserved { bands.shortest_working() } else { bands.working(bands.band_of(hottest)) }
    }
}

/// Raw counts from a least to a greatest one, both inclusive; none when they are the wrong way round.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Between {
    least: i32,
    /// One more than the difference of the bounds; 0 for none.
    width: u32,
}

impl Between {
    fn new(least: i32, greatest: i32) -> Self {
        let width = i64::from(greatest) - i64::from(least) + 1;
        Self { least, width: u32::try_from(width).unwrap_or(0) }
    }

    /// Whether the count lies between: one subtraction and one comparison.
    #[inline]
    pub(crate) fn has(self, raw: i16) -> bool {
        (i32::from(raw).wrapping_sub(self.least) as u32) < self.width
    }

    /// Whether the bounds lie above the count.
    fn is_above(self, raw: i16) -> bool {
        i32::from(raw) < self.least
    }

    /// Whether the bounds lie below the count.
    fn is_below(self, raw: i16) -> bool {
        i64::from(raw) >= i64::from(self.least) + i64::from(self.width)
    }
}
