//! Random histories that reach every stage and every ground.
//!
//! A history drawn at random all over is refused in the first second. These are drawn the other way round: a plan that
//! would go well (a trace, a resin whose cure fits the trace, an injection and a seating), and then, each rarely enough
//! that the others still matter, the things that go wrong. All obey the validity rules of a resin file and the bounds
//! of the settings; every temperature is a decimal of at most four places.
//!
//! The randomness comes from the caller, one number of 64 bits at a time, so the caller decides how a seed is made
//! and can print it.

mod dice;
mod hands;
mod resin;
mod rows;

use num::BigRational;

use super::model::{Act, History, Hole, RefDemands, RefResin, RefSettings, Rule, Torque};
use dice::Dice;

/// Temperatures are drawn as whole numbers of this part of a °C.
const PER_DEGREE: i64 = 10_000;

/// Seconds in a day.
const DAY: i64 = 86_400;

/// What the parts of one history are drawn to fit.
struct Plan {
    /// Number of rows.
    rows: i64,
    /// Usual seconds between rows.
    spacing: rows::Spacing,
    /// Seconds the trace will take, about.
    length: i64,
    /// U in 1/10 000 °C.
    uncertainty: i64,
}

/// One random history, from the caller's random numbers.
pub fn random_history(rng: &mut impl FnMut() -> u64) -> History {
    let mut dice = Dice(rng);
    let spacing = rows::Spacing::draw(&mut dice);
    let rows = dice.between(6, 70);
    let uncertainty = uncertainty(&mut dice);
    let plan = Plan { rows, length: rows * spacing.usual(), spacing, uncertainty };

    let drawn = resin::draw(&mut dice, &plan);
    let settings = settings(&mut dice, &plan);
    let hole = if dice.chance(970) || drawn.resin.allowed.len() == 3 {
        let allowed = drawn.resin.allowed.clone();
        // Dry more often than the others: it is the one that can still be made stricter.
        if dice.chance(400) { allowed[0] } else { dice.pick(&allowed) }
    } else {
        dice.pick(&[Hole::Dry, Hole::Wet, Hole::Flooded])
    };
    let times = rows::times(&mut dice, &plan, settings.longest_gap);
    let rows = rows::draw(&mut dice, &plan, &drawn, &times);
    let torque = dice.chance(850).then(|| {
        let least = dice.between(1, 8_000);
        let greatest = least + dice.pick(&[0, 1, 200, 2_000]);
        (least.unsigned_abs(), greatest.unsigned_abs())
    });
    let latest = rows.iter().map(super::model::RowKind::at).max().unwrap_or(0);
    let acts = acts(&mut dice, &drawn, &times, settings.settle, latest, hole, torque);
    let rule = dice.pick(&[Rule::Coldest, Rule::Accrual]);
    let (demands, neighbour) = (RefDemands::none(), Vec::new());
    History { resin: drawn.resin, settings, hole, rule, rows, acts, torque, demands, neighbour }
}

/// The same with what hands do before and at it, and what the job demands of them.
pub fn random_deed(rng: &mut impl FnMut() -> u64) -> History {
    let mut history = random_history(rng);
    hands::add(&mut Dice(rng), &mut history);
    history
}

/// The value of `parts` 1/10 000 °C.
fn celsius(parts: i64) -> BigRational {
    BigRational::new(parts.into(), PER_DEGREE.into())
}

fn uncertainty<F: FnMut() -> u64>(dice: &mut Dice<'_, F>) -> i64 {
    match dice.between(0, 19) {
        0..=5 => 0,
        6..=12 => PER_DEGREE,
        13..=18 => dice.parts(0, 2 * PER_DEGREE),
        _ => dice.parts(0, 10 * PER_DEGREE),
    }
}

fn settings<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, plan: &Plan) -> RefSettings {
    let longest_gap = match dice.between(0, 19) {
        0..=9 => 300,
        10..=16 => plan.spacing.greatest() + dice.between(0, 120),
        17 => plan.spacing.usual() + dice.between(-1, 30),
        _ => dice.between(1, 3_600),
    };
    let clock_ppm = match dice.between(0, 9) {
        0..=2 => 0,
        3..=5 => 100,
        6 => 10_000,
        _ => dice.between(0, 10_000),
    };
    let settle = match dice.between(0, 19) {
        0..=7 => 0,
        8..=14 => 180,
        15..=18 => dice.between(1, 600),
        _ => dice.between(1, 3_600),
    };
    RefSettings {
        settle: settle.unsigned_abs(),
        uncertainty: celsius(plan.uncertainty),
        longest_gap: longest_gap.clamp(1, 3_600).unsigned_abs(),
        clock_ppm: clock_ppm.unsigned_abs(),
    }
}

/// The acts, in the order in which they are to be taken. None is later than `latest`, s.
fn acts<F: FnMut() -> u64>(
    dice: &mut Dice<'_, F>,
    drawn: &resin::Drawn,
    times: &[i64],
    settle: u64,
    latest: i64,
    hole: Hole,
    torque: Option<Torque>,
) -> Vec<Act> {
    let mut acts = Vec::new();
    if dice.chance(15) {
        return acts;
    }
    let inject = injection_time(dice, times, settle).min(latest);
    acts.push(injection(dice, drawn, inject));
    let seat = seating_time(dice, &drawn.resin, inject, latest).filter(|at| *at <= latest);
    acts.extend(seat.map(|at| Act::Seat { at }));
    acts.extend(hole_changes(dice, inject, latest, hole));
    if dice.chance(300) {
        acts.push(Act::CarriedOut { at: dice.between(inject, latest.min(inject + 300)) });
    }
    match torque {
        Some(torque) => acts.extend(torques(dice, inject, latest, torque)),
        // where none is specified somebody may torque all the same
        None if dice.chance(500) => acts.extend(torques(dice, inject, latest, (1_000, 2_000))),
        None => {}
    }
    if dice.chance(80) {
        acts.push(Act::TorquedEarly { at: dice.between(inject, latest), hundredths: 1_000 });
    }
    if dice.chance(140) {
        let at = if dice.chance(700) { latest } else { dice.between(inject, latest) };
        acts.push(Act::Decide { at, accept: dice.chance(500) });
    }
    // A stable sort: acts of one second stay in the order of their kinds, as pushed.
    acts.sort_by_key(Act::at);
    acts
}

/// Usually soon after one of the first rows that come when the probe can have settled.
fn injection_time<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, times: &[i64], settle: u64) -> i64 {
    let rows = i64::try_from(times.len()).expect("few rows");
    let settle = i64::try_from(settle).expect("at most an hour");
    let settled = times.iter().position(|at| at - times[0] >= settle).unwrap_or(0);
    let settled = i64::try_from(settled).expect("few rows");
    let row = match dice.between(0, 19) {
        0..=15 => dice.between(settled, (settled + 4).min(rows - 1)),
        16 => dice.between(0, 4.min(rows - 1)),
        17 => dice.between(rows - 3, rows - 1),
        _ => dice.between(0, rows - 1),
    };
    let row = usize::try_from(row).expect("a row's place");
    let next = times.get(row + 1).unwrap_or(&times[row]);
    match dice.between(0, 79) {
        0..=14 => times[row],
        15..=78 => dice.between(times[row], times[row].max(next - 1)),
        _ => times[0] - dice.between(1, 60),
    }
}

fn injection<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, drawn: &resin::Drawn, at: i64) -> Act {
    let in_hole = dice.chance(300).then(|| {
        let off = match dice.between(0, 9) {
            0..=7 => 2 * PER_DEGREE,
            8 => 5 * PER_DEGREE,
            _ => 20 * PER_DEGREE,
        };
        dice.parts(drawn.base - off, drawn.base + off)
    });
    let (least, greatest) = drawn.cartridge;
    let cartridge = match dice.between(0, 39) {
        0..=19 => None,
        20..=36 => Some(dice.parts_within(least, greatest)),
        37..=38 => Some(dice.pick(&[least, greatest])),
        _ => Some(dice.pick(&[least - 1, least - PER_DEGREE, greatest + 1, greatest + PER_DEGREE])),
    };
    let midnight = at - at.rem_euclid(DAY);
    let use_by_end = match dice.between(0, 39) {
        0..=24 => None,
        25..=38 => Some(midnight + DAY * dice.between(1, 400)),
        _ => Some(midnight - DAY * dice.between(0, 3)),
    };
    Act::Inject { at, in_hole: in_hole.map(celsius), cartridge: cartridge.map(celsius), use_by_end }
}

/// Soon, or at about the end of one of the working times, or never.
fn seating_time<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, resin: &RefResin, inject: i64, latest: i64) -> Option<i64> {
    match dice.between(0, 39) {
        0..=31 => Some(inject + dice.between(0, 60)),
        32..=35 => {
            let band = dice.below(resin.bands.len());
            let working = i64::try_from(resin.bands[band].working).expect("a working time");
            Some(inject + (working + dice.between(-1, 1)).max(0))
        }
        36..=37 => Some(dice.between(inject, latest)),
        _ => None,
    }
}

fn hole_changes<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, inject: i64, latest: i64, hole: Hole) -> Vec<Act> {
    let mut changes = Vec::new();
    if dice.chance(220) {
        let stricter = match hole {
            Hole::Dry => dice.pick(&[Hole::Wet, Hole::Flooded]),
            Hole::Wet | Hole::Flooded => Hole::Flooded,
        };
        let to = if dice.chance(850) { stricter } else { Hole::Wet };
        let at = if dice.chance(400) { latest } else { dice.between(inject, latest) };
        changes.push(Act::Hole { at, to });
        if dice.chance(250) {
            let to = dice.pick(&[Hole::Dry, Hole::Wet, Hole::Flooded]);
            changes.push(Act::Hole { at: dice.between(inject, latest), to });
        }
    }
    changes
}

fn torques<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, inject: i64, latest: i64, (least, greatest): Torque) -> Vec<Act> {
    let mut torques = Vec::new();
    if dice.chance(250) {
        for _ in 0..dice.pick(&[1, 1, 1, 2, 3]) {
            let at = match dice.between(0, 9) {
                0 => dice.between(inject, latest),
                1..=4 => dice.between(latest - (latest - inject) / 4, latest),
                _ => latest,
            };
            let hundredths = match dice.between(0, 9) {
                0 => least,
                1 => greatest,
                2..=4 => least.saturating_sub(dice.below(500) as u64 + 1),
                5..=6 => greatest + 1 + dice.below(500) as u64,
                _ => least + (greatest - least) / 2,
            };
            torques.push(Act::Torque { at, hundredths });
        }
    }
    torques
}
