//! Hole condition.

/// Condition of the drilled hole, milder to stricter (rule S3).
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Hole {
    /// Dry substrate.
    Dry,
    /// Damp or water-saturated substrate, no standing water.
    Wet,
    /// Standing water in the hole.
    Flooded,
}

impl Hole {
    /// All conditions, milder to stricter.
    pub const ALL: [Self; 3] = [Self::Dry, Self::Wet, Self::Flooded];

    /// The short fixed word of `docs/interfaces.md`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Dry => "dry",
            Self::Wet => "wet",
            Self::Flooded => "flooded",
        }
    }
}

/// A set of hole conditions.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Holes(u8);

impl Holes {
    /// No condition at all.
    pub const NONE: Self = Self(0);

    /// The set with one more condition.
    #[must_use]
    pub const fn with(self, hole: Hole) -> Self {
        Self(self.0 | Self::bit(hole))
    }

    /// Whether the condition is in the set.
    pub const fn allows(self, hole: Hole) -> bool {
        self.0 & Self::bit(hole) != 0
    }

    /// Whether the set is empty.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    const fn bit(hole: Hole) -> u8 {
        match hole {
            Hole::Dry => 1,
            Hole::Wet => 2,
            Hole::Flooded => 4,
        }
    }
}
