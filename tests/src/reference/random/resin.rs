//! Random resins whose cure is likely to end within the trace.

use super::super::model::{Hole, RefBand, RefResin};
use super::dice::Dice;
use super::{PER_DEGREE, Plan, celsius};

/// Longest cure time of a file, s.
const LONGEST_CURE: i64 = 14 * 86_400;

/// A resin, and what the trace is drawn around.
pub(super) struct Drawn {
    /// The resin.
    pub(super) resin: RefResin,
    /// A temperature at which it mostly cures, 1/10 000 °C.
    pub(super) base: i64,
    /// The coldest usable edge and the greatest curing temperature, 1/10 000 °C.
    pub(super) usable: (i64, i64),
    /// Edges of the bands, 1/10 000 °C.
    pub(super) edges: Vec<i64>,
    /// The cartridge's range, 1/10 000 °C.
    pub(super) cartridge: (i64, i64),
}

/// One random resin.
pub(super) fn draw<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, plan: &Plan) -> Drawn {
    let edges = edges(dice);
    let cure_least =
        if dice.chance(600) { edges[0] } else { dice.parts(edges[0] - 4 * PER_DEGREE, edges[0] + 4 * PER_DEGREE) };
    let coldest_usable = edges[0].max(cure_least);
    let cure_greatest = coldest_usable + dice.parts(PER_DEGREE, 45 * PER_DEGREE);
    let cure_greatest = cure_greatest.min(120 * PER_DEGREE);
    let base = base(dice, plan, &edges, (coldest_usable, cure_greatest));

    let install_least = dice.parts(base - 14 * PER_DEGREE, base - PER_DEGREE / 2 - plan.uncertainty);
    let install_greatest = dice.parts(base + PER_DEGREE / 2 + plan.uncertainty, base + 20 * PER_DEGREE);
    let cartridge_least = dice.parts(base - 10 * PER_DEGREE, base + 5 * PER_DEGREE);
    let cartridge_greatest = cartridge_least + dice.parts(PER_DEGREE, 30 * PER_DEGREE);

    let reject_below = dice.chance(350).then(|| {
        let below = dice.parts(0, 6 * PER_DEGREE);
        (coldest_usable - below).max(-100 * PER_DEGREE)
    });
    let reject_above = dice.chance(350).then(|| {
        let above = dice.parts(0, 6 * PER_DEGREE);
        (cure_greatest + above).min(120 * PER_DEGREE)
    });
    let longest_hold = dice.chance(350).then(|| {
        let least = if dice.chance(300) { 1 } else { plan.length / 8 + 1 };
        dice.duration(least, plan.length + 1)
    });
    let resin = RefResin {
        install_least: celsius(install_least),
        install_greatest: celsius(install_greatest),
        cure_least: celsius(cure_least),
        cure_greatest: celsius(cure_greatest),
        reject_below: reject_below.map(celsius),
        reject_above: reject_above.map(celsius),
        longest_hold: longest_hold.map(i64::unsigned_abs),
        cartridge_least: celsius(cartridge_least),
        cartridge_greatest: celsius(cartridge_greatest),
        allowed: allowed(dice),
        wet_factor: if dice.chance(700) { 2 } else { dice.between(2, 10).unsigned_abs() },
        bands: bands(dice, plan, &edges),
    };
    let cartridge = (cartridge_least, cartridge_greatest);
    Drawn { resin, base, usable: (coldest_usable, cure_greatest), edges, cartridge }
}

/// Rising edges, 1/10 000 °C, no two in one count.
fn edges<F: FnMut() -> u64>(dice: &mut Dice<'_, F>) -> Vec<i64> {
    let number = match dice.between(0, 9) {
        0 => 1,
        1..=6 => dice.between(2, 5),
        7..=8 => dice.between(6, 15),
        _ => 16,
    };
    let widest = dice.pick(&[400, PER_DEGREE, 2 * PER_DEGREE, 4 * PER_DEGREE, 6 * PER_DEGREE]);
    let mut edges = vec![dice.parts(-12 * PER_DEGREE, 12 * PER_DEGREE)];
    while edges.len() < usize::try_from(number).expect("few bands") {
        let last = edges[edges.len() - 1];
        let next = dice.parts(last, last + widest);
        edges.push(if in_count(next) > in_count(last) { next } else { last + 40 });
    }
    edges
}

/// The count that an edge is rounded up to.
fn in_count(parts: i64) -> i64 {
    -(-parts * 256).div_euclid(PER_DEGREE)
}

/// Mostly a temperature whose `low` and `high` are usable.
fn base<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, plan: &Plan, edges: &[i64], (least, greatest): (i64, i64)) -> i64 {
    let margin = plan.uncertainty + 3 * PER_DEGREE / 10;
    let (least, greatest) = (least + margin, greatest - margin);
    let base = if dice.chance(80) || least >= greatest {
        dice.parts(least.min(greatest) - 5 * PER_DEGREE, least.max(greatest) + 5 * PER_DEGREE)
    } else if dice.chance(500) {
        dice.parts_within(least, greatest)
    } else {
        // Where several bands are near.
        let edge = dice.pick(edges) + plan.uncertainty;
        dice.parts(edge - PER_DEGREE, edge + PER_DEGREE).clamp(least, greatest)
    };
    base.clamp(-40 * PER_DEGREE, 70 * PER_DEGREE)
}

fn allowed<F: FnMut() -> u64>(dice: &mut Dice<'_, F>) -> Vec<Hole> {
    match dice.between(0, 19) {
        0..=12 => vec![Hole::Dry, Hole::Wet, Hole::Flooded],
        13..=15 => vec![Hole::Dry, Hole::Wet],
        16..=17 => vec![Hole::Dry],
        18 => vec![Hole::Dry, Hole::Flooded],
        _ => dice.pick(&[&[Hole::Wet] as &[_], &[Hole::Flooded], &[Hole::Wet, Hole::Flooded]]).to_vec(),
    }
}

/// Cure and working times that rise towards the cold, some equal to their neighbour's.
fn bands<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, plan: &Plan, edges: &[i64]) -> Vec<RefBand> {
    let length = plan.length.max(8);
    let mut cure = match dice.between(0, 39) {
        0 => dice.between(1, 5),
        1 => dice.between(3_600, LONGEST_CURE),
        _ => dice.duration(length / 40 + 1, 2 * length / 5 + 2),
    };
    let mut working = match dice.between(0, 19) {
        0 => dice.between(1, 60),
        _ => dice.duration(90, 3_600),
    };
    let steps = i64::try_from(edges.len()).expect("few bands");
    let mut bands = Vec::new();
    for from in edges.iter().rev() {
        bands.push(RefBand { from: celsius(*from), working: working.unsigned_abs(), cure: cure.unsigned_abs() });
        // The whole schedule spans a factor of a few, however many bands it has.
        if dice.chance(700) {
            cure = (cure + dice.between(0, 1 + 3 * cure / steps)).min(LONGEST_CURE);
        }
        if dice.chance(600) {
            working += dice.between(0, 1 + 3 * working / steps);
        }
    }
    bands.reverse();
    bands
}
