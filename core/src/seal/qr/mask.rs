//! Masks: which one makes a symbol easiest to find and to read.
//!
//! Each of the eight is tried, and the one with the fewest penalty points taken, the first of equals (ISO/IEC 18004, data
//! masking). Rows are numbers, so most is counted for a whole row at once.
//!
//! The finder look-alikes are counted as other encoders do: dark and light in the ratio 1:1:3:1:1 in any size, with four
//! times the unit of light on one side and at least once on the other, the light around the symbol counting as light; a
//! pattern with four times the unit on both sides counts twice.

use super::layout::{FULL, finish, format_bits};
use super::{MODULES, Rows, Strength};

/// Masks to choose from.
const MASKS: u8 = 8;

/// A block of four, a finder look-alike, a step of 5 % off half of the modules dark.
const PENALTIES: [u32; 3] = [3, 40, 10];

/// The modules of a row that a mask turns over. Every mask repeats after six modules.
fn mask_row(mask: u8, y: usize) -> u64 {
    let six = (0..6usize).fold(0u64, |row, x| {
        let turned = match mask {
            0 => (x + y) % 2 == 0,
            1 => y % 2 == 0,
            2 => x % 3 == 0,
            3 => (x + y) % 3 == 0,
            4 => (x / 3 + y / 2) % 2 == 0,
            5 => x * y % 2 + x * y % 3 == 0,
            6 => (x * y % 2 + x * y % 3) % 2 == 0,
            _ => ((x + y) % 2 + x * y % 3) % 2 == 0,
        };
        row | u64::from(turned) << x
    });
    six.wrapping_mul(0x1041_0410_4104_1041) & FULL
}

/// Masks the data with the best mask and draws everything else.
pub(super) fn choose(rows: &mut Rows, strength: Strength) {
    let draw = |rows: &mut Rows, mask: u8| finish(rows, |y| mask_row(mask, y), format_bits(strength, mask));
    let (mut best, mut least) = (0, u32::MAX);
    for mask in 0..MASKS {
        draw(rows, mask);
        let penalty = penalty(rows);
        if penalty < least {
            (best, least) = (mask, penalty);
        }
        draw(rows, mask); // back to the data
    }
    draw(rows, best);
}

/// The penalty points of a symbol.
fn penalty(rows: &Rows) -> u32 {
    let mut points = 0u32;
    for (x, &row) in rows.iter().enumerate() {
        let column = rows.iter().rev().fold(0, |column, row| column << 1 | row >> x & 1);
        points = points.saturating_add(of_line(row)).saturating_add(of_line(column));
    }
    let blocks = rows.iter().zip(rows.iter().skip(1)).map(|(&upper, &lower)| {
        let alike = !(upper ^ lower);
        (alike & alike >> 1 & alike_neighbours(upper)).count_ones()
    });
    let blocks = blocks.fold(0u32, u32::saturating_add);
    let dark = rows.iter().fold(0u32, |dark, row| dark.saturating_add(row.count_ones()));
    // the steps of 5 % that lie wholly between the dark modules and half of all; the number of modules is odd
    const ALL: u32 = MODULES as u32 * MODULES as u32;
    let steps = dark.saturating_mul(20).abs_diff(10 * ALL).div_ceil(ALL).saturating_sub(1);
    let [block, _, step] = PENALTIES;
    points.saturating_add(blocks.saturating_mul(block)).saturating_add(steps.saturating_mul(step))
}

/// Modules of a line that the next one is like.
const fn alike_neighbours(line: u64) -> u64 {
    !(line ^ line >> 1) & FULL >> 1
}

/// The points of a row or column: of its runs of one colour, and of what looks like a finder pattern.
fn of_line(line: u64) -> u32 {
    // a run of five gives three points, every further module one; a module is marked where four more like it follow
    let alike = alike_neighbours(line);
    let marked = alike & alike >> 1 & alike >> 2 & alike >> 3;
    let runs = marked & !(marked << 1);
    let points = marked.count_ones().saturating_add(runs.count_ones().saturating_mul(2));
    let [_, finder, _] = PENALTIES;
    points.saturating_add(finders(line).saturating_mul(finder))
}

/// What looks like a finder pattern in a line.
fn finders(line: u64) -> u32 {
    let side = u32::from(MODULES);
    // runs of one colour, the last one first; the light around the symbol lengthens the first and the last
    let (mut runs, mut found) = ([0u32; 7], 0u32);
    let (mut rest, mut left) = (line, side);
    let mut length = rest.trailing_zeros().min(left);
    let mut around = side;
    loop {
        rest = rest.wrapping_shr(length);
        left = left.saturating_sub(length);
        if left == 0 {
            around = around.saturating_add(side);
        }
        // the light run that ends here, then the dark one behind it
        push(&mut runs, length.saturating_add(around));
        around = 0;
        let [behind, unit, light, middle, other, first, before] = runs;
        let core = unit > 0 && light == unit && middle == unit.saturating_mul(3) && other == unit && first == unit;
        let wide = unit.saturating_mul(4);
        found = found.saturating_add(u32::from(core && behind >= wide && before >= unit));
        found = found.saturating_add(u32::from(core && before >= wide && behind >= unit));
        if left == 0 {
            return found;
        }
        let dark = rest.trailing_ones().min(left);
        push(&mut runs, dark);
        rest = rest.wrapping_shr(dark);
        left = left.saturating_sub(dark);
        length = rest.trailing_zeros().min(left);
    }
}

/// Puts a run before the others and drops the last one.
fn push(runs: &mut [u32; 7], length: u32) {
    let [one, two, three, four, five, six, _] = *runs;
    *runs = [length, one, two, three, four, five, six];
}
