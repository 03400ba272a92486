//! How long the probe still settles (rule R6): for showing only, what decides is the injection itself.

use super::Works;
use super::time::Now;
use crate::board::Board;
use crate::view::{May, State};
use holdoff_core::quantity::{Instant, Span};

impl<B: Board> Works<B> {
    /// What is to be seen of a fixing where nothing has been injected.
    pub(super) fn not_injected(&self, may: May, now: Option<Now>) -> State {
        match now.filter(|_| may.is_settling()).and_then(|now| self.still_settling(now)) {
            Some(still) => State::Settling { still },
            None => State::NotInjected(may),
        }
    }

    /// Whether the last accepted reading is none of a settled probe.
    pub(super) fn is_settling(&self) -> bool {
        self.logger.group().is_some_and(|group| group.last_reading().is_some() && group.still_settling() != Span::ZERO)
    }

    /// How long it takes at least until a reading of the beat can be one of a settled probe.
    fn still_settling(&self, now: Now) -> Option<Span> {
        let group = self.logger.group()?;
        let (at, _) = group.last_reading()?;
        let ready = at.after(i64::from(group.still_settling().seconds()));
        let reading = self.due.map_or(ready, |due| self.next_due(due, ready.after(-1)));
        Some(Span::from_seconds(u32::try_from(reading.since(now.at).max(1)).unwrap_or(u32::MAX)))
    }
}

/// The first of a beat after `now`; one that lies ahead is it.
pub(super) fn beat_after(due: Instant, period: i64, now: Instant) -> Instant {
    let behind = now.since(due);
    if behind < 0 {
        return due;
    }
    let period = period.max(1);
    due.after((behind / period).saturating_add(1).saturating_mul(period))
}

#[cfg(test)]
mod tests {
    use super::beat_after;
    use holdoff_core::quantity::Instant;

    #[test]
    fn the_next_of_a_beat_is_the_first_one_after_now() {
        let next = |due, now| beat_after(Instant::from_seconds(due), 20, Instant::from_seconds(now)).seconds();
        assert_eq!(
            [next(100, 80), next(100, 99), next(100, 100), next(100, 119), next(100, 120)],
            [100, 100, 120, 120, 140]
        );
    }
}
