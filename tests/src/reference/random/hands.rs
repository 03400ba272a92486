//! What hands do in a random history: cleaning, nozzle, a neighbour, declarations of the seating.

use super::super::model::{Act, History, Hole, RefDemands, RowKind, Work};
use super::dice::Dice;

const WORKS: [Work; 4] = [Work::Blow, Work::Brush, Work::Rinse, Work::ExtractingBit];

/// Adds demands and hands to a history: mostly what would go well, and then what goes wrong.
pub(super) fn add<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, history: &mut History) {
    history.demands = demands(dice);
    let latest = history.rows.iter().map(RowKind::at).max().unwrap_or(0);
    let injected = history.acts.iter().find_map(|act| match act {
        Act::Inject { at, .. } => Some(*at),
        _ => None,
    });
    let Some(inject) = injected else { return };
    let mut acts = Vec::new();
    prepare(dice, &history.demands, inject, &mut acts);
    if dice.chance(80) {
        let at = inject - dice.between(0, 600);
        acts.push(Act::Hole { at, to: dice.pick(&[Hole::Wet, Hole::Flooded]) });
        if dice.chance(500) {
            prepare(dice, &history.demands, inject, &mut acts);
        }
    }
    // an earlier try, which is often refused, or a later one
    if dice.chance(250) {
        let at = (inject + dice.between(-600, 400)).min(latest);
        acts.push(Act::Inject { at, in_hole: None, cartridge: None, use_by_end: None });
        if dice.chance(700) {
            prepare(dice, &history.demands, at, &mut acts);
        }
    }
    let seats: Vec<i64> = history.acts.iter().filter(|act| matches!(act, Act::Seat { .. })).map(Act::at).collect();
    for at in seats {
        if dice.chance(600) {
            let declared = facts(dice, at);
            acts.push(declared);
        }
        if dice.chance(150) {
            let at = dice.between(at, latest.max(at));
            acts.push(facts(dice, at));
        }
    }
    if dice.chance(600) {
        history.neighbour = neighbour(dice, &history.demands, inject, latest);
    }
    history.acts.extend(acts);
    for act in &mut history.acts {
        keep_within(act, latest);
    }
    history.acts.sort_by_key(Act::at);
}

/// No act of hands is later than the last row.
fn keep_within(act: &mut Act, latest: i64) {
    match act {
        Act::Clean { at, .. } | Act::NewNozzle { at } | Act::Discard { at } | Act::Seating { at, .. } => {
            *at = (*at).min(latest);
        }
        _ => {}
    }
}

fn demands<F: FnMut() -> u64>(dice: &mut Dice<'_, F>) -> RefDemands {
    let mut cleaning = match dice.between(0, 9) {
        0 => Vec::new(),
        1..=3 => vec![(Work::Blow, 4), (Work::Brush, 4), (Work::Blow, 4)],
        4 => vec![(Work::ExtractingBit, 1)],
        5 => vec![(Work::Blow, 2), (Work::Brush, 1), (Work::Blow, 2), (Work::Brush, 1), (Work::Blow, 2)],
        _ => (0..dice.between(1, 4)).map(|_| (dice.pick(&WORKS), dice.between(1, 4).unsigned_abs())).collect(),
    };
    cleaning.dedup_by_key(|(work, _)| *work);
    RefDemands {
        cleaning_required: !cleaning.is_empty() && dice.chance(600),
        cleaning,
        clean_within: if dice.chance(600) { 86_400 } else { dice.duration(1, 4_000) },
        nozzle_required: dice.chance(600),
    }
}

/// What comes before an injection at `at`.
fn prepare<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, demands: &RefDemands, at: i64, acts: &mut Vec<Act>) {
    let mut when = at - if dice.chance(500) { 0 } else { dice.duration(1, 4_000) };
    let mut steps: Vec<(Work, u64)> = demands.cleaning.clone();
    if dice.chance(120) && !steps.is_empty() {
        let place = dice.below(steps.len());
        match dice.between(0, 3) {
            0 => steps[place].1 -= 1,
            1 => drop(steps.remove(place)),
            2 => steps.insert(place, (dice.pick(&WORKS), 1)),
            _ => steps.swap(0, place),
        }
    }
    if dice.chance(150) {
        let again = steps.clone();
        steps.extend(again);
    }
    let mut done = Vec::new();
    for (work, times) in steps.into_iter().rev() {
        // strokes may be told in parts
        let part =
            if dice.chance(150) { dice.between(0, i64::try_from(times).expect("few")).unsigned_abs() } else { 0 };
        for times in [times - part, part] {
            if times > 0 {
                done.push(Act::Clean { at: when, work, times: times + if dice.chance(60) { 2 } else { 0 } });
                when -= dice.between(0, 5);
            }
        }
    }
    done.reverse();
    if dice.chance(900) {
        acts.extend(done);
    }
    let when = at - if dice.chance(500) { 0 } else { dice.duration(1, 4_000) };
    if dice.chance(400) {
        let at = when + dice.pick(&[-30, -1, -1, 0, 1]);
        acts.push(Act::NewNozzle { at });
    }
    if dice.chance(850) {
        acts.push(Act::Discard { at: when });
    }
}

fn facts<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, at: i64) -> Act {
    let mut fact = || match dice.between(0, 24) {
        0..=4 => None,
        5..=6 => Some(false),
        _ => Some(true),
    };
    let (excess, depth) = (fact(), fact());
    Act::Seating { at, excess, depth }
}

/// Another fixing of the group, before or after this one.
fn neighbour<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, demands: &RefDemands, inject: i64, latest: i64) -> Vec<Act> {
    let at = (inject - dice.pick(&[-300, 0, 60, 600]) - dice.duration(1, 2_000)).min(latest);
    let mut acts = Vec::new();
    if dice.chance(900) {
        prepare(dice, demands, at, &mut acts);
    }
    acts.push(Act::Inject { at, in_hole: None, cartridge: None, use_by_end: None });
    if dice.chance(800) {
        acts.push(Act::Seat { at: (at + dice.duration(1, 2_000)).min(latest) });
    }
    if dice.chance(200) {
        acts.push(Act::CarriedOut { at: (at + dice.between(0, 300)).min(latest) });
    }
    for act in &mut acts {
        keep_within(act, latest);
    }
    acts.sort_by_key(Act::at);
    acts
}
