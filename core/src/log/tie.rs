//! Which tie of the clocks labels an instant (rule Q2): one answer for every output, on the logger and on the PC.
//!
//! Terms: a *hold* says from which instant on which tie is in force, or that none is. A clock that shows a time before 2020
//! was never set: what it says dates nothing, though it is recorded.
//! Invariants: an instant is labelled by the hold that began last before or at it, never by a later one; before the first tie,
//! and from a power-up of unknown length to the next tie, it has no date. A label decides nothing.
//! What it does not do: count on the wall clock.

use super::record::{ClockTie, Record};
use crate::group::Darkness;
use crate::quantity::Instant;

/// A clock that says less than 2020-01-01T00:00:00Z was never set.
pub const LEAST_SET: i64 = 1_577_836_800;
/// Holds that a logger keeps; instants before the oldest of them have no date on its display.
pub const MOST_HOLDS: usize = 4;

/// From an instant on: the tie in force.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Hold {
    /// The first instant.
    pub from: Instant,
    ahead: i64,
    /// `None`: nobody knows what the wall clock shows. Not around both: the logger keeps several of these.
    offset_minutes: Option<i16>,
}

/// Whether the clock that readings are labelled by can be one that was never set.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Chip {
    /// A logger's, which shows a time before 2020 until it is set.
    OfLogger,
    /// A recorded trace's own times, whenever they were.
    OfTrace,
}

impl Hold {
    /// From an instant on: seconds that the wall clock is ahead of the monotonic one, and minutes that local time is ahead of
    /// UTC; `None`: nobody knows what the wall clock shows.
    pub const fn new(from: Instant, clock: Option<(i64, i16)>) -> Self {
        match clock {
            Some((ahead, offset_minutes)) => Self { from, ahead, offset_minutes: Some(offset_minutes) },
            None => Self { from, ahead: 0, offset_minutes: None },
        }
    }

    /// The same two of the tie in force; `None` where none is.
    pub const fn clock(&self) -> Option<(i64, i16)> {
        match self.offset_minutes {
            Some(offset_minutes) => Some((self.ahead, offset_minutes)),
            None => None,
        }
    }

    /// What a tie says.
    pub const fn of(tie: &ClockTie, chip: Chip) -> Self {
        let ahead = tie.utc.saturating_sub(tie.at.seconds());
        let set = match chip {
            Chip::OfLogger => tie.utc >= LEAST_SET,
            Chip::OfTrace => true,
        };
        Self::new(tie.at, if set { Some((ahead, tie.offset_minutes)) } else { None })
    }

    /// What a record begins, `last_at` being the time of the latest item before it; `None` of a record that begins nothing.
    pub const fn begun_by(record: &Record, last_at: Option<Instant>, chip: Chip) -> Option<Self> {
        match record {
            Record::ClockTie(tie) => Some(Self::of(tie, chip)),
            Record::PowerUp { dark: Darkness::Unknown, .. } => match last_at {
                Some(at) => Some(Self::new(at.after(1), None)),
                None => None,
            },
            Record::PowerUp { dark: Darkness::Known, .. }
            | Record::Identity(_)
            | Record::Resin(_)
            | Record::Job(_)
            | Record::Fixing(_)
            | Record::Batch(_)
            | Record::Action { .. }
            | Record::Loss(_)
            | Record::Untrusted
            | Record::ReadOut { .. }
            | Record::Freed { .. }
            | Record::Release { .. }
            | Record::Stage { .. }
            | Record::CandidateAccepted { .. }
            | Record::Supply { .. }
            | Record::Demands(_)
            | Record::Person(_)
            | Record::Hands { .. }
            | Record::PassedOver { .. }
            | Record::Head { .. } => None,
        }
    }
}

/// The clock that labels an instant, by holds in the order they were begun.
pub fn clock_at(holds: &[Hold], at: Instant) -> Option<(i64, i16)> {
    holds.iter().rev().find(|hold| hold.from <= at).and_then(Hold::clock)
}

/// The last holds of a session, as a logger keeps them.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Holds {
    holds: [Hold; MOST_HOLDS],
    used: u8,
}

impl Holds {
    /// No tie yet.
    pub const NONE: Self = Self { holds: [Hold::new(Instant::from_seconds(0), None); MOST_HOLDS], used: 0 };

    /// Takes one in; the oldest makes room.
    pub fn begin(&mut self, hold: Hold) {
        if self.all().last().is_some_and(|last| last.clock() == hold.clock()) {
            return;
        }
        if let Some(place) = self.holds.get_mut(usize::from(self.used)) {
            *place = hold;
            self.used += 1;
            return;
        }
        let mut moved = hold;
        for place in self.holds.iter_mut().rev() {
            core::mem::swap(place, &mut moved);
        }
    }

    /// All of them, in the order they were begun.
    pub fn all(&self) -> &[Hold] {
        self.holds.get(..usize::from(self.used)).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::{Chip, Hold, Holds, LEAST_SET, MOST_HOLDS, clock_at};
    use crate::group::Darkness;
    use crate::log::{ClockTie, Record, ResetCause};
    use crate::quantity::Instant;

    fn at(seconds: i64) -> Instant {
        Instant::from_seconds(seconds)
    }

    fn tie(seconds: i64, utc: i64) -> Record {
        Record::ClockTie(ClockTie { at: at(seconds), utc, offset_minutes: 60 })
    }

    #[test]
    fn an_instant_is_labelled_by_the_tie_in_force_then_and_never_by_a_later_one() {
        let mut holds = Holds::NONE;
        let lost = Record::PowerUp { dark: Darkness::Unknown, cause: ResetCause::PowerOn };
        let kept = Record::PowerUp { dark: Darkness::Known, cause: ResetCause::PowerOn };
        let told = [
            (tie(10, LEAST_SET), None),
            (kept, Some(50)),
            (tie(100, LEAST_SET + 500), Some(90)),
            (lost, Some(199)),
            (tie(300, 946_684_800), Some(199)), // started again, and not set
            (tie(400, LEAST_SET + 9), Some(399)),
        ];
        for (record, last) in told {
            if let Some(hold) = Hold::begun_by(&record, last.map(at), Chip::OfLogger) {
                holds.begin(hold);
            }
        }
        let utc = |seconds: i64| clock_at(holds.all(), at(seconds)).map(|(ahead, _)| seconds + ahead - LEAST_SET);
        let found = [9, 10, 60, 99, 100, 199, 200, 299, 300, 399, 400, 900].map(utc);
        let wanted =
            [None, Some(0), Some(50), Some(89), Some(500), Some(599), None, None, None, None, Some(9), Some(509)];
        assert_eq!(found, wanted);
        assert_eq!(Hold::begun_by(&tie(5, 5), None, Chip::OfTrace).and_then(|hold| hold.clock()), Some((0, 60)));
    }

    #[test]
    fn more_ties_than_are_kept_leave_the_oldest_instants_without_a_date() {
        let mut holds = Holds::NONE;
        let ties = MOST_HOLDS as i64 + 2;
        for number in 0..ties {
            holds.begin(Hold::new(at(number * 100), Some((number, 0))));
            holds.begin(Hold::new(at(number * 100 + 50), Some((number, 0))));
        }
        for number in 0..ties {
            let kept = number >= ties - MOST_HOLDS as i64;
            assert_eq!(clock_at(holds.all(), at(number * 100 + 70)), kept.then_some((number, 0)), "{number}");
        }
    }
}
