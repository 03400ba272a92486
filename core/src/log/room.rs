//! How much memory must stay free, and for what.
//!
//! Terms: *end pages* are kept for everything other than readings: two for power-ups, ties, losses, read-outs and the like,
//! and one for every running fixing (its actions, stages and a release record of the longest kind). One page more is left
//! to records of loss. A reading may begin a page only beyond both.
//! Why a budget for readings and no worst case: a lossless code has none that is of use. A reading of 1/16 °C takes 2 to
//! 3 bits outdoors and 8.6 when the probe jumps at random over all that rule R2c lets pass, page headers included; the
//! budget is 10. If it is overdrawn, or a cure is held for longer than any limit says, readings are lost: counted, told to
//! the engine as missing, and said so; the end pages are still there.
//! What it does not do: know the ring (`super::store`).

use super::page::MOST_STREAM;
use crate::cure::{counted_needed, div_ceil};
use crate::group::Group;
use crate::quantity::Span;
use crate::resin::Hole;

/// End pages for all fixings together.
const COMMON_END_PAGES: u32 = 2;
/// Bytes of a page that readings can count on.
const BYTES_A_PAGE: u64 = MOST_STREAM as u64 - 20;

/// End pages while this many fixings run.
pub(crate) fn end_pages(running: u32) -> u32 {
    COMMON_END_PAGES.saturating_add(running)
}

/// Bits reserved for a reading whose lowest `quantum_bits` bits never change.
pub(crate) const fn reading_bits(quantum_bits: u8) -> u64 {
    16u64.saturating_sub(quantum_bits as u64 * 3 / 2)
}

/// Pages that this many seconds of readings may take.
pub(crate) fn reading_pages(seconds: u64, period: Span, quantum_bits: u8) -> u32 {
    let readings = div_ceil(seconds, u64::from(period.seconds().max(1)));
    let pages = div_ceil(readings.saturating_mul(reading_bits(quantum_bits)), 8 * BYTES_A_PAGE);
    u32::try_from(pages).unwrap_or(u32::MAX)
}

/// Seconds after which a fixing that is injected now has come to its end, by what the resin file says: the longest working
/// time, the longest cure in the wettest hole it allows, and its longest hold; where the file has no longest hold, as long
/// again as the cure. A fixing that runs already has some of each behind it, so none lasts longer.
pub(crate) fn longest(group: &Group) -> u64 {
    let resin = group.resin();
    let mut factor = 1;
    for hole in &Hole::ALL {
        if resin.holes().allows(*hole) {
            factor = resin.factor(*hole).max(factor);
        }
    }
    let (mut working, mut cure) = (0u64, 0u64);
    if let Some(coldest) = resin.bands().at(0) {
        working = u64::from(coldest.working.seconds());
        cure = u64::from(coldest.cure.seconds()) * u64::from(factor);
    }
    let needed = counted_needed(cure, group.settings().clock_ppm());
    let hold = resin.limits().longest_hold.map_or(needed, |hold| u64::from(hold.seconds()));
    working.saturating_add(needed).saturating_add(hold)
}
