//! Readings that were taken in holes, for the injections that follow (rule A3).
//!
//! Why one for each fixing: holes are measured one after the other, and then injected one after the other.

use holdoff_core::fixing::{IN_HOLE_SECONDS, InHole};
use holdoff_core::group::{FixingNumber, MOST_FIXINGS};
use holdoff_core::quantity::{Count, Instant};

/// The last reading in each hole.
#[derive(Debug)]
pub(super) struct InHoles {
    // apart, for an optional pair takes half as much again
    at: [Instant; MOST_FIXINGS],
    counts: [Count; MOST_FIXINGS],
}

impl InHoles {
    /// Too long ago to count for anything.
    const NEVER: Instant = Instant::from_seconds(i64::MIN);
    /// None was taken.
    pub(super) const NONE: Self = Self { at: [Self::NEVER; MOST_FIXINGS], counts: [Count::new(0); MOST_FIXINGS] };

    /// A reading was taken in the hole of this fixing.
    pub(super) fn take(&mut self, fixing: FixingNumber, in_hole: InHole) {
        if let Some((at, count)) = self.at.get_mut(fixing.place()).zip(self.counts.get_mut(fixing.place())) {
            (*at, *count) = (in_hole.at, in_hole.count);
        }
    }

    /// The reading in the hole of this fixing, while it counts.
    pub(super) fn of(&self, fixing: FixingNumber, now: Instant) -> Option<InHole> {
        let at = *self.at.get(fixing.place())?;
        let count = *self.counts.get(fixing.place())?;
        (0..=IN_HOLE_SECONDS).contains(&now.since(at)).then_some(InHole { at, count })
    }
}
