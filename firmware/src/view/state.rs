//! What may be done with a fixing now.

use super::Wall;
use holdoff_core::fixing::{Ground, Grounds, TorqueRange};
use holdoff_core::quantity::{Span, Torque};

/// What may be done with a fixing now.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum State {
    /// Nothing has been injected; whether it may be.
    NotInjected(May),
    /// Nothing has been injected, and the only thing against it is that the probe has not settled (rule R6).
    Settling {
        /// How long it takes at least, if the temperature stays.
        still: Span,
    },
    /// The last start was refused.
    Refused {
        /// Why it was.
        grounds: Grounds,
        /// Whether it may be tried again now.
        now: May,
    },
    /// Injected: seat it.
    SeatNow {
        /// Time left, rounded down.
        left: Span,
        /// The last second at which it may be seated; `None` while the wall clock is unknown.
        by: Option<Wall>,
    },
    /// Injected and not seated, and the working time is over by the clock: it is not seated any more. The engine rejects it
    /// with the next reading.
    TooLate,
    /// Seated: leave it alone.
    Wait(Wait),
    /// Cured: may be torqued.
    TorqueNow {
        /// As specified.
        range: TorqueRange,
        /// A torque that was applied and was too low.
        too_low: Option<Torque>,
    },
    /// Cured, and no torque is specified.
    Cured {
        /// Since when.
        at: Option<Wall>,
    },
    /// Cured and torqued as specified: may be loaded when the foreman decides so.
    MayBeLoaded {
        /// The torque.
        torque: Torque,
        /// When it was torqued.
        at: Option<Wall>,
    },
    /// Rejected: do not load.
    DoNotLoad {
        /// Why.
        grounds: Grounds,
        /// From when on.
        at: Option<Wall>,
    },
    /// Rejected, and accepted as it is by the engineer: see that decision.
    AcceptedAsIs {
        /// Why it was rejected.
        grounds: Grounds,
    },
    /// Rejected, and to be removed.
    Removed {
        /// Why it was rejected.
        grounds: Grounds,
    },
}

/// Why a fixing is left alone.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Wait {
    /// Injected and not seated: there is no cure yet.
    NotSeated,
    /// The cure is counted.
    Curing(Forecast),
    /// The cure does not count now.
    Held(Held),
}

/// When the cure ends if the substrate stays as warm as at the last reading, no earlier.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Forecast {
    /// Time left, never less, to the next full minute.
    pub left: Span,
    /// When it ends; `None` while the wall clock is unknown.
    pub ends: Option<Wall>,
}

/// Why the cure does not count.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Held {
    /// The substrate may be too cold.
    TooCold,
    /// The substrate may be too warm.
    TooWarm,
    /// The readings have stopped: there is no forecast.
    NoReadings,
}

/// Whether an injection may start: it may when nothing stands against it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct May {
    /// The engine's grounds.
    pub grounds: Grounds,
    /// What the logger itself lacks.
    pub lacks: Lacks,
}

impl May {
    /// Nothing stands against it.
    pub const YES: Self = Self { grounds: Grounds::NONE, lacks: Lacks::NONE };

    /// Whether nothing stands against it.
    pub const fn is_yes(self) -> bool {
        self.grounds.is_empty() && self.lacks.is_empty()
    }

    /// Whether the only thing against it is that the probe has not settled (rule R6).
    pub fn is_settling(self) -> bool {
        self.lacks.is_empty() && self.grounds == Grounds::only(Ground::ProbeNotSettled)
    }
}

/// What the logger lacks to take another injection.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Lack {
    /// The memory has no room for the longest cure.
    MemoryFull,
    /// The memory does not answer.
    MemorySilent,
    /// The battery is very low.
    Battery,
    /// The wall clock is not set.
    Clock,
    /// The clock failed, and does not go.
    ClockFailed,
    /// The clock does not answer.
    ClockSilent,
}

impl Lack {
    /// All of them, in the order they are shown.
    pub const ALL: [Self; 6] =
        [Self::MemoryFull, Self::MemorySilent, Self::Battery, Self::Clock, Self::ClockFailed, Self::ClockSilent];
}

/// A set of what is lacking.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Lacks(u8);

impl Lacks {
    /// Nothing.
    pub const NONE: Self = Self(0);

    /// The set with one more.
    #[must_use]
    pub const fn with(self, lack: Lack) -> Self {
        Self(self.0 | 1 << lack as u8)
    }

    /// Whether it is in the set.
    pub const fn has(self, lack: Lack) -> bool {
        self.0 & 1 << lack as u8 != 0
    }

    /// Whether the set is empty.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Those in the set, in their order.
    pub fn iter(self) -> impl Iterator<Item = Lack> {
        Lack::ALL.into_iter().filter(move |&lack| self.has(lack))
    }
}

/// The middle of a specified torque, rounded down to 0.1 N·m where that still lies in the range: what is shown and what
/// an entry begins with.
pub const fn middle(range: TorqueRange) -> Torque {
    let (least, greatest) = (range.least().hundredths(), range.greatest().hundredths());
    let middle = least + (greatest - least) / 2; // least is not above greatest
    let tenths = middle / 10 * 10;
    Torque::from_hundredths(if tenths < least { middle } else { tenths })
}

#[cfg(test)]
mod tests {
    use super::{Lack, Lacks, middle};
    use holdoff_core::fixing::TorqueRange;
    use holdoff_core::quantity::Torque;

    #[test]
    fn the_middle_of_a_range_lies_in_it() {
        let of = |least, greatest| {
            let torque = Torque::from_hundredths;
            TorqueRange::new(torque(least), torque(greatest)).map(|range| middle(range).hundredths())
        };
        assert_eq!(of(3800, 4200), Some(4000));
        assert_eq!(of(1850, 2105), Some(1970));
        assert_eq!(of(2001, 2004), Some(2002));
        assert_eq!(of(2000, 2000), Some(2000));
        assert_eq!(of(0, u32::MAX), Some(2_147_483_640));
    }

    #[test]
    fn what_is_lacking_is_a_set() {
        let both = Lacks::NONE.with(Lack::Battery).with(Lack::MemoryFull);
        assert!(both.iter().eq([Lack::MemoryFull, Lack::Battery]));
        assert!(Lacks::NONE.is_empty() && !both.is_empty() && !both.has(Lack::Clock));
    }
}
