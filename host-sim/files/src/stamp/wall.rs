//! What the clock on the wall showed at an instant of the logger's clock.
//!
//! Invariants: an instant is labelled by the tie of the clocks that was in force then (rule Q2, `holdoff_core::log::clock_at`),
//! in every output alike; where none was, it has no date. A label decides nothing: seconds of the logger's clock do.

use super::Clock;
use holdoff_core::log::{Hold, Record, Replay, clock_at};
use holdoff_core::quantity::Instant;

/// Which ties were in force when, of a whole session.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Wall(Vec<Hold>);

impl Wall {
    /// Of holds in the order they were begun.
    pub fn of(holds: impl IntoIterator<Item = Hold>) -> Self {
        let mut wall = Self::default();
        holds.into_iter().for_each(|hold| wall.begin(hold));
        wall
    }

    /// Takes in a record of a session, which was replayed just now.
    pub fn take(&mut self, replay: &Replay, record: &Record) {
        if let Some(hold) = Hold::begun_by(record, replay.last_at(), replay.chip()) {
            self.begin(hold);
        }
    }

    fn begin(&mut self, hold: Hold) {
        if self.0.last().is_none_or(|last| last.clock() != hold.clock()) {
            self.0.push(hold);
        }
    }

    /// The holds in the order they were begun.
    pub fn holds(&self) -> &[Hold] {
        &self.0
    }

    /// The wall clock by the tie that labels an instant.
    pub fn clock(&self, at: i64) -> Option<Clock> {
        clock_at(&self.0, Instant::from_seconds(at)).map(|(ahead, offset_minutes)| Clock::tied(ahead, offset_minutes))
    }

    /// The last tie that was in force.
    pub fn latest(&self) -> Option<Clock> {
        let (ahead, offset_minutes) = self.0.iter().rev().find_map(Hold::clock)?;
        Some(Clock::tied(ahead, offset_minutes))
    }

    /// Seconds since 1970-01-01T00:00:00Z of an instant; `None` where it has no date.
    pub fn utc(&self, at: i64) -> Option<i64> {
        self.clock(at).map(|clock| clock.utc(at))
    }

    /// The same of an instant, or of the first one after it that has a date.
    pub fn utc_from(&self, at: i64) -> Option<i64> {
        let next = || self.0.iter().find(|hold| hold.from.seconds() > at && hold.clock().is_some());
        self.utc(at).or_else(|| self.utc(next()?.from.seconds()))
    }

    /// RFC 3339 with the local offset; `None` where the instant has no date.
    pub fn stamp(&self, at: i64) -> Option<String> {
        self.clock(at).map(|clock| clock.stamp(at))
    }

    /// Corrections of the wall clock after `from` and up to `to`: from which second, and by how many seconds it was put on.
    pub fn corrections(&self, from: i64, to: i64) -> Vec<(i64, i64)> {
        let mut ahead = self.clock(from).map(|clock| clock.ahead);
        let mut found = Vec::new();
        let within = self.0.iter().map(|hold| (hold.from.seconds(), hold.clock()));
        for (at, clock) in within.filter(|(at, _)| *at > from && *at <= to) {
            let Some((now, _)) = clock else { continue };
            match ahead {
                Some(before) if before != now => found.push((at, now.saturating_sub(before))),
                Some(_) | None => {}
            }
            ahead = Some(now);
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::{Hold, Wall};
    use holdoff_core::group::Darkness;
    use holdoff_core::log::{Chip, ClockTie, Record, ResetCause};
    use holdoff_core::quantity::Instant;

    fn tie(at: i64, utc: i64) -> Record {
        Record::ClockTie(ClockTie { at: Instant::from_seconds(at), utc, offset_minutes: 60 })
    }

    #[test]
    fn an_instant_is_labelled_by_the_tie_in_force_then_and_before_the_first_by_none() {
        let mut wall = Wall::default();
        assert_eq!(wall.stamp(5), None);
        let lost = Record::PowerUp { dark: Darkness::Unknown, cause: ResetCause::PowerOn };
        for (record, last_at) in
            [(tie(10, 10), None), (tie(100, 160), Some(90)), (lost, Some(199)), (tie(300, 330), Some(199))]
        {
            if let Some(hold) = Hold::begun_by(&record, last_at.map(Instant::from_seconds), Chip::OfTrace) {
                wall.begin(hold);
            }
        }
        assert_eq!([5, 200, 250, 299].map(|at| wall.stamp(at)), [None, None, None, None]);
        let stamps = [10, 99, 100, 199, 300].map(|at| wall.stamp(at).unwrap_or_default());
        let expected = ["00:10", "01:39", "02:40", "04:19", "05:30"];
        for (stamp, time) in stamps.iter().zip(expected) {
            assert_eq!(*stamp, format!("1970-01-01T01:{time}+01:00"));
        }
        assert_eq!(wall.corrections(10, 300), [(100, 60), (300, -30)]);
        assert_eq!(wall.corrections(100, 299), []);
        assert_eq!(wall.latest().map(|clock| clock.ahead), Some(30));
    }
}
