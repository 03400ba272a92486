//! Random rows: a temperature that wanders, and what goes wrong with it.

use super::super::model::{Row, RowKind};
use super::dice::Dice;
use super::resin::Drawn;
use super::{DAY, PER_DEGREE, Plan, celsius};

/// Seconds between rows.
#[derive(Clone, Copy)]
pub(super) enum Spacing {
    /// Always the same.
    Even(i64),
    /// Anything from 1 up to this.
    Uneven(i64),
}

impl Spacing {
    pub(super) fn draw<F: FnMut() -> u64>(dice: &mut Dice<'_, F>) -> Self {
        match dice.between(0, 9) {
            0..=2 => Self::Even(60),
            3 => Self::Even(300),
            4 => Self::Even(dice.duration(1, 300)),
            5..=7 => Self::Uneven(dice.duration(2, 300)),
            _ => Self::Uneven(300),
        }
    }

    /// The mean, s.
    pub(super) fn usual(self) -> i64 {
        match self {
            Self::Even(seconds) => seconds,
            Self::Uneven(most) => most / 2 + 1,
        }
    }

    /// The most, s.
    pub(super) fn greatest(self) -> i64 {
        match self {
            Self::Even(seconds) | Self::Uneven(seconds) => seconds,
        }
    }
}

/// How often things go wrong, in 1000 rows each.
#[derive(Clone, Copy)]
struct Trouble {
    missing: u64,
    out_of_range: u64,
    spike: u64,
    shift: u64,
    repeated: u64,
    restart: u64,
    lost: u64,
}

impl Trouble {
    fn draw<F: FnMut() -> u64>(dice: &mut Dice<'_, F>) -> Self {
        let none = Self { missing: 0, out_of_range: 0, spike: 0, shift: 0, repeated: 0, restart: 0, lost: 0 };
        match dice.between(0, 19) {
            0..=8 => none,
            9..=10 => Self { missing: 80, ..none },
            11..=12 => Self { spike: 30, shift: 30, missing: 20, ..none },
            13 => Self { restart: 25, lost: 10, ..none },
            14..=17 => Self { missing: 15, out_of_range: 8, spike: 8, shift: 8, repeated: 8, restart: 3, lost: 3 },
            _ => Self { missing: 60, out_of_range: 40, spike: 70, shift: 60, repeated: 60, restart: 15, lost: 15 },
        }
    }
}

/// Rising times of the rows that go well, s.
pub(super) fn times<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, plan: &Plan, longest_gap: u64) -> Vec<i64> {
    let gap = i64::try_from(longest_gap).expect("a gap of at most an hour");
    let some_day = dice.between(18_262, 22_000) * DAY;
    let start = some_day + if dice.chance(300) { DAY - dice.between(0, 300) } else { dice.between(0, DAY) };
    // In some traces now and then a gap of just about the longest one.
    let gaps = dice.pick(&[0, 0, 0, 10, 40]);
    let mut at = start;
    let mut times = vec![at];
    for _ in 1..plan.rows {
        at += if dice.chance(gaps) {
            (gap + dice.pick(&[-1, 0, 1, 1, 60, 600])).max(1)
        } else {
            match plan.spacing {
                Spacing::Even(seconds) => seconds,
                Spacing::Uneven(most) => dice.between(1, most),
            }
        };
        times.push(at);
    }
    times
}

/// Rows at these times, and what came instead of them or between them.
pub(super) fn draw<F: FnMut() -> u64>(
    dice: &mut Dice<'_, F>,
    plan: &Plan,
    drawn: &Drawn,
    times: &[i64],
) -> Vec<RowKind> {
    let trouble = Trouble::draw(dice);
    let wander = dice.pick(&[0, 50, 500, 2_000, 8_000]);
    let mut weather = Weather::draw(dice, plan, drawn);
    let mut level = drawn.base;
    // Some traces end with nothing but missing readings.
    let silent_from = times.len() - if dice.chance(50) { dice.below(times.len()) / 2 } else { 0 };
    let mut rows = Vec::new();
    for (place, at) in times.iter().enumerate() {
        let before = if place == 0 { *at } else { times[place - 1] };
        level = weather.next(dice, level, *at - before) + dice.parts(-wander, wander);
        level = level.clamp(-56 * PER_DEGREE, 126 * PER_DEGREE);
        if dice.chance(trouble.restart) && before < *at {
            let at = dice.between(before, *at - 1);
            rows.push(RowKind::Restart { at, length_known: dice.chance(600) });
        }
        if dice.chance(trouble.lost) && before < *at {
            rows.push(RowKind::Lost { at: dice.between(before, *at - 1) });
        }
        let mut at = *at;
        let mut temperature = Some(level);
        if place >= silent_from || dice.chance(trouble.missing) {
            temperature = None;
        } else if dice.chance(trouble.out_of_range) {
            temperature = Some(out_of_range(dice));
        } else if dice.chance(trouble.spike) {
            temperature = Some(level + jump(dice, at - before));
        } else if dice.chance(trouble.shift) {
            level += jump(dice, at - before);
            temperature = Some(level);
        }
        if dice.chance(trouble.repeated) {
            let back = dice.between(0, 300);
            at = dice.pick(&[before, before, before - 1, at - 1, before - back]);
        }
        rows.push(RowKind::Reading(Row { at, temperature: temperature.map(celsius) }));
    }
    rows
}

/// A step of about what is allowed in this many seconds, or far beyond, up or down.
fn jump<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, seconds: i64) -> i64 {
    let allowed = PER_DEGREE + 5 * PER_DEGREE * seconds / 60;
    let size = match dice.between(0, 3) {
        0 => allowed + dice.between(-80, 80),
        1 => allowed + dice.parts(0, PER_DEGREE),
        _ => allowed + dice.parts(0, 10 * PER_DEGREE),
    };
    if dice.chance(500) { size } else { -size }
}

fn out_of_range<F: FnMut() -> u64>(dice: &mut Dice<'_, F>) -> i64 {
    match dice.between(0, 5) {
        0 => -55 * PER_DEGREE,
        1 => -55 * PER_DEGREE - 1,
        2 => 125 * PER_DEGREE,
        3 => 125 * PER_DEGREE + 1,
        4 => dice.parts(-8_000 * PER_DEGREE, -56 * PER_DEGREE),
        _ => dice.parts(126 * PER_DEGREE, 8_000 * PER_DEGREE),
    }
}

/// Where the temperature is going.
struct Weather {
    /// The temperature it goes to, 1/10 000 °C.
    target: i64,
    /// How fast, 1/10 000 °C a minute.
    speed: i64,
    /// Targets that it may go to next.
    marks: Vec<i64>,
    /// In 1000 rows, how often it takes another target.
    restless: u64,
}

impl Weather {
    fn draw<F: FnMut() -> u64>(dice: &mut Dice<'_, F>, plan: &Plan, drawn: &Drawn) -> Self {
        let (least, greatest) = drawn.usable;
        // Readings whose `low` or `high` is on or about an edge, in the bands, and beyond them.
        let mut marks = vec![drawn.base; 2];
        marks.extend(drawn.edges.iter().map(|edge| edge + plan.uncertainty));
        marks.extend([least + plan.uncertainty, greatest - plan.uncertainty - 80]);
        marks.push(least + plan.uncertainty - dice.parts(0, 4 * PER_DEGREE));
        marks.push(greatest - plan.uncertainty + dice.parts(0, 4 * PER_DEGREE));
        marks.retain(|mark| (mark - drawn.base).abs() <= 25 * PER_DEGREE);
        let restless = dice.pick(&[0, 40, 150, 300]);
        let speed = dice.pick(&[1_000, 8_000, 30_000, 48_000]);
        Self { target: drawn.base, speed, marks, restless }
    }

    fn next<F: FnMut() -> u64>(&mut self, dice: &mut Dice<'_, F>, level: i64, seconds: i64) -> i64 {
        if dice.chance(self.restless) && !self.marks.is_empty() {
            self.target = dice.pick(&self.marks);
        }
        let most = self.speed * seconds / 60;
        level + (self.target - level).clamp(-most, most)
    }
}
