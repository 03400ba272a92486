//! Grounds of a refusal or a rejection.

/// Why a start is refused or a fixing rejected. The order is that of the short words in `docs/interfaces.md`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Ground {
    /// The resin is past its date (A1).
    PastDate,
    /// The latest reading is not an accepted one, or is too old (A1).
    NoReading,
    /// The substrate may be under the least installation temperature (A1).
    TooCold,
    /// The substrate may be over the greatest installation temperature (A1).
    TooWarm,
    /// The declared cartridge temperature is outside its range (A1).
    Cartridge,
    /// The resin excludes this hole condition (A1, A4).
    HoleExcluded,
    /// Seated after the working time (A2).
    SeatedLate,
    /// Not seated by the end of the working time (A2, E4).
    NotSeated,
    /// A reading may be below the reject temperature (C5).
    BelowReject,
    /// Held and unobserved for longer than the resin allows (C5).
    HeldTooLong,
    /// Torqued before it was cured (E1).
    LoadedEarly,
    /// A reading may be above the upper reject temperature (C5).
    AboveReject,
    /// Torqued beyond the tolerance (E2).
    OverTorque,
    /// The log cannot be trusted (E4).
    UntrustedLog,
    /// The probe has not settled: what it says may still be what it was taken from (A1, R6).
    ProbeNotSettled,
    /// No complete cleaning of the hole is recorded that is young enough (H3).
    NotCleaned,
    /// Nobody declared that resin was discarded from this nozzle until its colour was even (H4).
    Nozzle,
    /// No resin came out all round at the seating (H5).
    Underfilled,
    /// The element was not seated to its mark (H5).
    NotToDepth,
}

impl Ground {
    /// All grounds, in their order.
    pub const ALL: [Self; 19] = [
        Self::PastDate,
        Self::NoReading,
        Self::TooCold,
        Self::TooWarm,
        Self::Cartridge,
        Self::HoleExcluded,
        Self::SeatedLate,
        Self::NotSeated,
        Self::BelowReject,
        Self::HeldTooLong,
        Self::LoadedEarly,
        Self::AboveReject,
        Self::OverTorque,
        Self::UntrustedLog,
        Self::ProbeNotSettled,
        Self::NotCleaned,
        Self::Nozzle,
        Self::Underfilled,
        Self::NotToDepth,
    ];

    /// The short fixed word of `docs/interfaces.md`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::PastDate => "past-date",
            Self::NoReading => "no-reading",
            Self::TooCold => "too-cold",
            Self::TooWarm => "too-warm",
            Self::Cartridge => "cartridge",
            Self::HoleExcluded => "hole-excluded",
            Self::SeatedLate => "seated-late",
            Self::NotSeated => "not-seated",
            Self::BelowReject => "below-reject",
            Self::HeldTooLong => "held-too-long",
            Self::LoadedEarly => "loaded-early",
            Self::AboveReject => "above-reject",
            Self::OverTorque => "over-torque",
            Self::UntrustedLog => "untrusted-log",
            Self::ProbeNotSettled => "probe-not-settled",
            Self::NotCleaned => "not-cleaned",
            Self::Nozzle => "nozzle",
            Self::Underfilled => "underfilled",
            Self::NotToDepth => "not-to-depth",
        }
    }
}

/// A set of grounds.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub struct Grounds(u32);

impl Grounds {
    /// No ground.
    pub const NONE: Self = Self(0);

    /// One ground.
    pub const fn only(ground: Ground) -> Self {
        Self(1 << ground as u16)
    }

    /// The set with one more ground.
    #[must_use]
    pub const fn with(self, ground: Ground) -> Self {
        Self(self.0 | 1 << ground as u16)
    }

    /// The set with one more ground where `applies`.
    #[must_use]
    pub const fn with_if(self, applies: bool, ground: Ground) -> Self {
        if applies { self.with(ground) } else { self }
    }

    /// Both sets together.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Whether the ground is in the set.
    pub const fn has(self, ground: Ground) -> bool {
        self.0 & 1 << ground as u16 != 0
    }

    /// Whether the set is empty.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// One bit a ground, in their order from bit 0: the form that is logged.
    pub const fn bits(self) -> u32 {
        self.0
    }

    /// From bits; `None` when a bit stands for no ground.
    pub const fn from_bits(bits: u32) -> Option<Self> {
        if bits >> Ground::ALL.len() == 0 { Some(Self(bits)) } else { None }
    }

    /// The grounds in their order.
    pub fn iter(self) -> impl Iterator<Item = Ground> {
        Ground::ALL.into_iter().filter(move |&ground| self.has(ground))
    }
}

/// A rejection: its instant and every ground of that instant (rule E3).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Rejection {
    /// The instant the first ground applies to; what is known only later is dated back to it.
    pub at: crate::quantity::Instant,
    /// The grounds of that instant.
    pub grounds: Grounds,
}

impl Rejection {
    /// One ground.
    pub(crate) const fn new(at: crate::quantity::Instant, ground: Ground) -> Self {
        Self { at, grounds: Grounds::only(ground) }
    }

    /// Of two findings the earlier one; of the same instant, both.
    pub(crate) fn first(a: Option<Self>, b: Option<Self>) -> Option<Self> {
        match (a, b) {
            (Some(a), Some(b)) if a.at == b.at => Some(Self { at: a.at, grounds: a.grounds.and(b.grounds) }),
            (Some(a), Some(b)) => Some(if a.at < b.at { a } else { b }),
            (found, None) | (None, found) => found,
        }
    }
}
