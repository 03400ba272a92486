//! What people do to a fixing.

use super::Declaration;
use crate::quantity::{Count, Instant, Torque};
use crate::resin::Hole;

/// Longest time between an in-hole reading and the injection it is given for (rule A3).
pub const IN_HOLE_SECONDS: i64 = 15 * 60;

/// A reading taken at the bottom of the hole shortly before injection (rule A3).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct InHole {
    /// When it was taken; at most 15 min before the injection, and not after it.
    pub at: Instant,
    /// The reading, rounded down to a count.
    pub count: Count,
}

/// A cartridge temperature as somebody declared it; nobody measured it.
///
/// The declared decimal is held against the range exactly as it was declared (rule A1), the working time against its
/// count. `judged` is the count that stands for the decimal in that comparison; for a whole count it is the same.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Cartridge {
    /// The declared temperature, rounded down to a count.
    pub count: Count,
    /// A count that lies inside the resin's range exactly when the declared decimal does.
    pub judged: Count,
}

impl Cartridge {
    /// A declared temperature that is a whole count.
    pub const fn exactly(count: Count) -> Self {
        Self { count, judged: count }
    }
}

/// The start of an injection.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Injection {
    /// A reading at the bottom of the hole.
    pub in_hole: Option<InHole>,
    /// The cartridge's temperature as declared; `None` is recorded and shown as undeclared.
    pub cartridge: Option<Cartridge>,
    /// The first instant at which the resin is past its date: the end of that day in the offset of the injection.
    pub past_from: Option<Instant>,
}

/// The engineer's decision on a rejected fixing (rule E3).
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Decision {
    /// It stays as it is.
    Accept,
    /// It is taken out.
    Remove,
}

/// What somebody did to a fixing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Action {
    /// Injection starts, or is refused (A1). After a refusal it may be tried again.
    Inject(Injection),
    /// A refused injection was reported as carried out all the same: rejected (A1).
    CarriedOut,
    /// The element is seated (A2).
    Seat,
    /// The hole turned out wetter than declared (A4).
    Hole(Hole),
    /// A torque was applied (E1, E2).
    Torque(Torque),
    /// A torque is reported to have been applied before the cure (R4, E1). It can only reject: a fixing that is seated and was
    /// not cured by the readings accepted up to its instant, which may lie before the last reading.
    TorquedEarly(Torque),
    /// The engineer decided (E3).
    Decide(Decision),
    /// Somebody declares something of the hole, the nozzle or the seating (H2, H4, H5).
    Declare(Declaration),
}

/// Why an action does not apply; nothing has changed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum NotApplicable {
    /// No fixing of the group has this number.
    NoSuchFixing,
    /// The fixing is at another stage of its life.
    Stage,
    /// The action's instant lies before the last one of this fixing.
    Earlier,
    /// The hole is declared so already, or as a stricter condition.
    NotStricter,
    /// The in-hole reading is older than 15 min, or later than the injection.
    InHoleTime,
    /// The in-hole reading lies outside the sensor's range.
    InHoleRange,
    /// The fixing was cured by then, so a torque was not early. If the hole turns out wet, it still counts as loading.
    Cured,
}

impl core::fmt::Display for NotApplicable {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        formatter.write_str(match self {
            Self::NoSuchFixing => "the group has no such fixing",
            Self::Stage => "the fixing is at another stage of its life",
            Self::Earlier => "the action lies before the last one of this fixing",
            Self::NotStricter => "the hole is declared so already, or as a stricter condition",
            Self::InHoleTime => "the in-hole reading is older than 15 min, or later than the injection",
            Self::InHoleRange => "the in-hole reading lies outside the sensor's range",
            Self::Cured => "the fixing was cured by then, so the torque was not early",
        })
    }
}

impl core::error::Error for NotApplicable {}
