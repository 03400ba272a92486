//! Rules of the trade that a take-off goes by: common practice, no source.

use super::{BlowWith, Cleaning, CleaningAct, Direction, Group, Length};

/// Holes wider than this, µm (16 mm), are blown out with compressed air.
const WIDEST_FOR_A_HAND_PUMP: u32 = 16_000;
/// So are holes deeper than so many diameters of the element.
const DIAMETERS_FOR_A_HAND_PUMP: u64 = 12;
/// Holes deeper than this, µm (150 mm), need an extension tube on the nozzle.
const DEEPEST_WITHOUT_A_TUBE: u32 = 150_000;
/// Manual cleaning: so many blows, brushings and blows again.
pub const CLEANING: (u32, u32) = (8, 4);

/// Why compressed air is the rule and not a hand pump.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum WhyAir {
    /// The hole is wider than 16 mm.
    Wide,
    /// The hole is deeper than 12 diameters of the element.
    Deep,
}

/// Whether, and why, a group's holes are blown out with compressed air (6 bar, oil-free) instead of a hand pump.
pub fn needs_air(group: &Group) -> Option<WhyAir> {
    let depth = u64::from(group.drilled.depth.micrometres());
    let element = u64::from(group.element.diameter().micrometres());
    if group.drilled.diameter.micrometres() > WIDEST_FOR_A_HAND_PUMP {
        Some(WhyAir::Wide)
    } else if depth > DIAMETERS_FOR_A_HAND_PUMP * element {
        Some(WhyAir::Deep)
    } else {
        None
    }
}

/// What a group's holes are blown out with: what the job prescribes, else the rule; `None` where they aren't.
pub fn blow_with(group: &Group) -> Option<BlowWith> {
    if group.cleaning.times(CleaningAct::Blow) == 0 {
        return None;
    }
    group.blow_with.or(match needs_air(group) {
        Some(WhyAir::Wide | WhyAir::Deep) => Some(BlowWith::CompressedAir),
        None => Some(BlowWith::HandPump),
    })
}

/// The least length of the extension tube; `None` where none is needed.
pub fn extension_tube(group: &Group) -> Option<Length> {
    Some(group.drilled.depth).filter(|depth| depth.micrometres() > DEEPEST_WITHOUT_A_TUBE)
}

/// The diameter of the brush; `None` where nothing is brushed.
pub fn brush(group: &Group) -> Option<Length> {
    match &group.cleaning {
        Cleaning::Steps(_) if group.cleaning.times(CleaningAct::Brush) > 0 => Some(group.drilled.diameter),
        Cleaning::Steps(_) | Cleaning::DustExtractingBit => None,
    }
}

/// Whether each element needs a centring piece that holds it until the resin has cured.
pub fn needs_centring(group: &Group) -> bool {
    match group.direction {
        Direction::Up => true,
        Direction::Down | Direction::Level => false,
    }
}
