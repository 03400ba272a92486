//! The resin's and the settings' temperatures in counts, each rounded as rule Q1 says.
//!
//! After this step every comparison of temperatures is one of whole counts. That loses nothing: the rules themselves
//! decide on counts, and name the direction of every rounding.

use super::decimal::{ceil_to_counts, floor_to_counts};
use super::model::{History, RefBand};

/// Temperatures in counts of 1/256 °C.
#[derive(Debug)]
pub(super) struct Limits {
    /// U, rounded up.
    pub(super) uncertainty: i64,
    /// Least installation temperature, rounded up.
    pub(super) install_least: i64,
    /// Greatest installation temperature, rounded down.
    pub(super) install_greatest: i64,
    /// S2: the higher of the first band's edge and the least curing temperature, each rounded up.
    pub(super) coldest_usable: i64,
    /// Greatest curing temperature, rounded down.
    pub(super) cure_greatest: i64,
    /// Reject temperature, rounded up.
    pub(super) reject_below: Option<i64>,
    /// Upper reject temperature, rounded down.
    pub(super) reject_above: Option<i64>,
    /// Lower edges of the bands, rounded up.
    pub(super) edges: Vec<i64>,
}

impl Limits {
    pub(super) fn of(history: &History) -> Self {
        let resin = &history.resin;
        let edges: Vec<i64> = resin.bands.iter().map(|band| ceil_to_counts(&band.from)).collect();
        Self {
            uncertainty: ceil_to_counts(&history.settings.uncertainty),
            install_least: ceil_to_counts(&resin.install_least),
            install_greatest: floor_to_counts(&resin.install_greatest),
            coldest_usable: edges[0].max(ceil_to_counts(&resin.cure_least)),
            cure_greatest: floor_to_counts(&resin.cure_greatest),
            reject_below: resin.reject_below.as_ref().map(ceil_to_counts),
            reject_above: resin.reject_above.as_ref().map(floor_to_counts),
            edges,
        }
    }

    /// R1: `r - U`, counts.
    pub(super) fn low(&self, count: i64) -> i64 {
        count - self.uncertainty
    }

    /// R1: `r + U + 1 count`, counts.
    pub(super) fn high(&self, count: i64) -> i64 {
        count + self.uncertainty + 1
    }

    /// S1: the band with the greatest edge not above `count`; `None` below the first edge.
    pub(super) fn band(&self, count: i64) -> Option<usize> {
        self.edges.iter().rposition(|edge| *edge <= count)
    }

    /// The band of `count`, and the first one below its edge.
    pub(super) fn band_or_first<'a>(&self, bands: &'a [RefBand], count: i64) -> &'a RefBand {
        &bands[self.band(count).unwrap_or(0)]
    }

    /// S2: whether time at this `low` and `high`, in counts, is outside.
    pub(super) fn is_outside(&self, low: i64, high: i64) -> bool {
        low < self.coldest_usable || high > self.cure_greatest
    }
}
