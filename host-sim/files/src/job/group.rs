//! A group of fixings that one specification describes.

use super::cleaning::{BlowWith, Cleaning};
use super::place::Places;
use super::sampling::ProofTests;
use super::{Element, Length};
use crate::decimal::Decimal;
use crate::words::words;
use chrono::NaiveDate;
use holdoff_core::cure::Rule;
use holdoff_core::fixing::{FixingSpec, TorqueRange};
use holdoff_core::quantity::Torque;
use holdoff_core::resin::Hole;

/// A group of fixings: one element in one kind of hole, specified once.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Group {
    /// What it is called on site.
    pub name: String,
    /// What is set into the hole.
    pub element: Element,
    /// The hole as it is to be drilled.
    pub drilled: Drilled,
    /// How deep the element is set; not deeper than the hole.
    pub embedment: Length,
    /// From the fixing's axis to the nearest edge of the member.
    pub edge_distance: Distance,
    /// From axis to axis of neighbouring fixings.
    pub spacing: Distance,
    /// What the hole is drilled into.
    pub substrate: Substrate,
    /// Hole condition that the specification reckons with.
    pub condition: Hole,
    /// Which way the hole is drilled.
    pub direction: Direction,
    /// How the fixing is loaded.
    pub load: Load,
    /// Installation torque; `None` for an element that is not torqued.
    pub torque: Option<SpecifiedTorque>,
    /// Prescribed cleaning.
    pub cleaning: Cleaning,
    /// What dust is blown out with, where the specification says.
    pub blow_with: Option<BlowWith>,
    /// The rule that the specification allows.
    pub rule: Rule,
    /// Name of the batch it is to be set with.
    pub batch: Option<String>,
    /// The day it is to be set.
    pub planned: Option<NaiveDate>,
    /// Substrate temperature expected on that day, °C as written.
    pub expected: Option<Decimal>,
    /// Cartridge temperature expected on that day, °C as written.
    pub cartridge: Option<Decimal>,
    /// Certified installer who sets it.
    pub certified_installer: Option<String>,
    /// Inspector who is there while it is set.
    pub inspector: Option<String>,
    /// Proof tests asked for.
    pub proof: Option<ProofTests>,
    /// Pauses longer than the working time that are foreseen while the group is set; each costs a nozzle.
    pub pauses: u32,
    /// Its fixings; at least one, names not repeated in the job.
    pub fixings: Vec<FixingPlan>,
    /// How many fixings each logger watches, in their order; each 1 to 16, together all.
    pub loggers: Vec<u8>,
    /// Where the file says so.
    pub(super) places: Places,
}

/// One fixing of a group, before anything is done.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct FixingPlan {
    /// What it is called on site: 1 to 16 bytes, so that a logger keeps it whole.
    pub name: String,
}

/// A hole as it is to be drilled.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Drilled {
    /// Diameter.
    pub diameter: Length,
    /// Depth.
    pub depth: Length,
}

/// A distance: the least that the specification states, and what the drawing has.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub struct Distance {
    /// Stated least.
    pub least: Option<Length>,
    /// As drawn.
    pub drawn: Option<Length>,
}

/// What the hole is drilled into.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Substrate {
    /// Kind.
    pub kind: SubstrateKind,
    /// The day it was cast; the latest it can have been where that is not known.
    pub cast: Option<NaiveDate>,
    /// Least age in days on the day of setting.
    pub least_age_days: Option<u32>,
}

words! {
    /// Kind of substrate.
    SubstrateKind {
        /// Concrete that may crack where the fixing is.
        CrackedConcrete = "cracked-concrete",
        /// Concrete that stays uncracked there.
        UncrackedConcrete = "uncracked-concrete",
        /// Solid masonry.
        Masonry = "masonry",
    }
}

words! {
    /// Which way a hole is drilled.
    Direction {
        /// Downwards: into a floor.
        Down = "down",
        /// Level: into a wall.
        Level = "level",
        /// Upwards: into a ceiling.
        Up = "up",
    }
}

words! {
    /// How a fixing is loaded, as far as it matters who may set it.
    Load {
        /// Tension that stays on.
        SustainedTension = "sustained-tension",
        /// Anything else.
        Other = "other",
    }
}

/// Installation torque as specified.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct SpecifiedTorque {
    /// Torque.
    pub torque: Torque,
    /// How far above and below it is still right; less than the torque.
    pub tolerance: Torque,
}

impl SpecifiedTorque {
    /// From torque less tolerance to torque and tolerance; `None` when the tolerance is not less than the torque.
    pub fn range(&self) -> Option<TorqueRange> {
        let (torque, tolerance) = (self.torque.hundredths(), self.tolerance.hundredths());
        if tolerance >= torque {
            return None;
        }
        let greatest = torque.checked_add(tolerance)?;
        TorqueRange::new(Torque::from_hundredths(torque - tolerance), Torque::from_hundredths(greatest))
    }
}

impl Group {
    /// Number of fixings.
    pub fn number(&self) -> u32 {
        u32::try_from(self.fixings.len()).unwrap_or(u32::MAX)
    }

    /// What the engine is told of each of its fixings.
    pub fn spec(&self) -> FixingSpec {
        FixingSpec { hole: self.condition, torque: self.torque.and_then(|torque| torque.range()) }
    }

    /// Whether codes ask for a certified installer and an inspector who is there at each fixing: level to upwards under
    /// sustained tension (ACI 318 since 2011, as trade journals report it; other codes have their own rule).
    pub fn needs_certified_people(&self) -> bool {
        match (self.load, self.direction) {
            (Load::SustainedTension, Direction::Level | Direction::Up) => true,
            (Load::SustainedTension, Direction::Down) | (Load::Other, _) => false,
        }
    }
}
