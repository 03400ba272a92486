//! What the clock on the wall showed at an instant of the logger's clock.
//!
//! Invariants: an instant is labelled by the tie of the clocks that was in force then (rule Q2); where none was, by the
//! next one; where there is none at all, by its second. A label decides nothing: seconds of the logger's clock do.

use crate::stamp::Clock;
use holdoff_core::log::ClockTie;

/// The ties of a session in their order, each with the second of the logger's clock that it holds from; a restart ends the
/// one in force.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Wall(Vec<(i64, Option<Clock>)>);

impl Wall {
    /// Takes in a tie.
    pub(super) fn tied(&mut self, tie: ClockTie) {
        self.0.push((tie.at.seconds(), Some(Clock::from(tie))));
    }

    /// No tie is in force any more from this second on.
    pub(super) fn lost(&mut self, at: i64) {
        self.0.push((at, None));
    }

    /// The wall clock by the tie that labels an instant.
    pub fn clock(&self, at: i64) -> Option<Clock> {
        let place = self.0.iter().rposition(|(from, _)| *from <= at);
        let in_force = place.and_then(|place| self.0.get(place)).and_then(|(_, tie)| *tie);
        let after = self.0.get(place.map_or(0, |place| place + 1)..).unwrap_or_default();
        in_force
            .or_else(|| after.iter().find_map(|(_, tie)| *tie))
            .or_else(|| self.0.iter().rev().find_map(|(_, tie)| *tie))
    }

    /// RFC 3339 with the local offset; `None` where the wall clock was never set.
    pub fn stamp(&self, at: i64) -> Option<String> {
        self.clock(at).map(|clock| clock.stamp(at))
    }

    /// Corrections of the wall clock after `from` and up to `to`: from which second, and by how many seconds it was put on.
    pub fn corrections(&self, from: i64, to: i64) -> Vec<(i64, i64)> {
        let mut ahead = self.clock(from).map(|clock| clock.ahead);
        let mut found = Vec::new();
        for (at, clock) in self.0.iter().filter(|(at, _)| *at > from && *at <= to) {
            let Some(clock) = clock else { continue };
            match ahead {
                Some(before) if before != clock.ahead => found.push((*at, clock.ahead.saturating_sub(before))),
                Some(_) | None => {}
            }
            ahead = Some(clock.ahead);
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::Wall;
    use holdoff_core::log::ClockTie;
    use holdoff_core::quantity::Instant;

    fn tie(at: i64, utc: i64) -> ClockTie {
        ClockTie { at: Instant::from_seconds(at), utc, offset_minutes: 60 }
    }

    #[test]
    fn an_instant_is_labelled_by_the_tie_in_force_then() {
        let mut wall = Wall::default();
        assert_eq!(wall.stamp(5), None);
        wall.tied(tie(10, 10));
        wall.tied(tie(100, 160));
        wall.lost(200);
        wall.tied(tie(300, 330));
        let stamps = [5, 10, 99, 100, 199, 250, 300].map(|at| wall.stamp(at).unwrap_or_default());
        let expected = ["00:00:05", "00:00:10", "00:01:39", "00:02:40", "00:04:19", "00:04:40", "00:05:30"];
        for (stamp, time) in stamps.iter().zip(expected) {
            assert_eq!(*stamp, format!("1970-01-01T01:{}+01:00", &time[3..]));
        }
        assert_eq!(wall.corrections(10, 300), [(100, 60), (300, -30)]);
        assert_eq!(wall.corrections(100, 299), []);
    }
}
