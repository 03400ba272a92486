//! Where everything stands in a symbol of version 8: patterns, format and version information, and the way of the data.
//!
//! A row is a number, its lowest bit the module furthest left; dark is 1. The patterns are worked out row by row and stored
//! nowhere.
//!
//! Terms and places are those of ISO/IEC 18004, given from memory; a test holds both kinds of information against the tables
//! of the standard and every symbol against another implementation.

use super::{MODULES, Rows, Strength};

/// Modules along a side, as an index.
const SIDE: usize = MODULES as usize;

/// A row of dark modules only.
pub(super) const FULL: u64 = (1 << SIDE) - 1;

/// The row and the column of the timing patterns.
const TIMING: usize = 6;

/// The row and the column beside the finder patterns that the format information stands in.
const FORMAT: usize = 8;

/// Where the finder patterns at the right and at the bottom begin, with the light modules around them.
const FAR: usize = SIDE - 8;

/// Where the version information beside them begins.
const VERSION: usize = SIDE - 11;

/// The row or column of the centres of the alignment patterns. None is where a finder pattern is.
const CENTRES: [usize; 3] = [6, 24, 42];

/// A row of an alignment pattern, by its distance from the centre.
const ALIGNMENT: [u64; 3] = [0b10101, 0b10001, 0b11111];

/// A row of a finder pattern, by its distance from the centre; the last one is the light modules around it.
const FINDER: [u64; 5] = [0b1011101, 0b1011101, 0b1000001, 0b1111111, 0];

/// The version information: the version in 6 bits and the 12 bits of its Golay code, divisor 0x1F25.
const VERSION_BITS: u32 = code(8, 12, 0x1F25);

/// A number followed by `bits` bits of the remainder that a cyclic code puts behind it.
const fn code(number: u32, bits: u32, divisor: u32) -> u32 {
    let (mut remainder, mut left) = (number, bits);
    while left > 0 {
        remainder = (remainder << 1) ^ ((remainder >> (bits - 1)) * divisor);
        left -= 1;
    }
    number << bits | remainder
}

/// The format information of a level and a mask, 15 bits.
pub(super) const fn format_bits(strength: Strength, mask: u8) -> u32 {
    let level = match strength {
        Strength::Low => 0b01,
        Strength::Medium => 0b00,
        Strength::Quartile => 0b11,
        Strength::High => 0b10,
    };
    code(level << 3 | mask as u32, 10, 0x537) ^ 0x5412
}

/// `count` dark modules from `x` on.
const fn run(x: usize, count: usize) -> u64 {
    ((1 << count) - 1) << x
}

/// The modules of a row that carry no data.
pub(super) fn reserved(y: usize) -> u64 {
    let finders = match y {
        0..=FORMAT => run(0, FORMAT + 1) | run(FAR, 8),
        FAR..SIDE => run(0, FORMAT + 1),
        _ => 0,
    };
    let timing = if y == TIMING { FULL } else { 1 << TIMING };
    let version = match y {
        0..6 => run(VERSION, 3),
        VERSION..FAR => run(0, 6),
        _ => 0,
    };
    finders | timing | version | alignment(y, |_| run(0, 5))
}

/// The dark modules of a row that are the same in every symbol.
fn fixed(y: usize) -> u64 {
    let finder = |centre: usize| FINDER.get(y.abs_diff(centre)).copied().unwrap_or_default();
    let finders = finder(3) | finder(3) << (SIDE - 7) | finder(SIDE - 4);
    let even = |from: usize, to: usize| (from..to).step_by(2).fold(0u64, |row, x| row | 1 << x);
    let timing = match y {
        TIMING => even(FORMAT, FAR),
        FORMAT..FAR if y % 2 == 0 => 1 << TIMING,
        _ => 0,
    };
    let bits = u64::from(VERSION_BITS);
    let version = match y {
        0..6 => (bits >> (3 * y) & 0b111) << VERSION,
        VERSION..FAR => (0..6).fold(0, |row, x| row | (bits >> (3 * x + y - VERSION) & 1) << x),
        _ => 0,
    };
    finders | timing | version | alignment(y, |distance| ALIGNMENT.get(distance).copied().unwrap_or_default())
}

/// The part of a row that alignment patterns take, each with these five modules by its distance from their centre.
fn alignment(y: usize, five: impl Fn(usize) -> u64) -> u64 {
    let mut row = 0;
    for centre in CENTRES {
        let distance = y.abs_diff(centre);
        if distance <= 2 {
            let left = five(distance) << 4;
            // where three corners of the nine are finder patterns stand already
            let [first, middle, last] = match centre {
                6 => [0, 1, 0],
                24 => [1, 1, 1],
                _ => [0, 1, 1],
            };
            row |= (left * first) | ((left << 18) * middle) | ((left << 36) * last);
        }
    }
    row
}

/// The dark modules of the format information in a row, and the one that is always dark.
fn format(y: usize, bits: u32) -> u64 {
    let bit = |number: usize| u64::from(bits.wrapping_shr(number as u32) & 1);
    match y {
        0..=5 => bit(y) << FORMAT,
        7 => bit(6) << FORMAT,
        FORMAT => {
            let left = (0..6).fold(0, |row, x| row | bit(14 - x) << x) | bit(8) << 7 | bit(7) << FORMAT;
            (FAR..SIDE).fold(left, |row, x| row | bit(SIDE - 1 - x) << x)
        }
        FAR => 1 << FORMAT,
        42..SIDE => bit(y - 34) << FORMAT,
        _ => 0,
    }
}

/// Turns the data of the rows over where the mask is dark, and draws everything else. Doing it again with the same mask gives
/// the data back.
pub(super) fn finish(rows: &mut Rows, mask: impl Fn(usize) -> u64, bits: u32) {
    for (y, row) in rows.iter_mut().enumerate() {
        *row = (*row ^ mask(y)) & !reserved(y) & FULL | fixed(y) | format(y, bits);
    }
}

/// The way of the data: columns in pairs from the right to the left, the first one upwards, the next downwards; in each row
/// of a pair the right module first. The column of the timing pattern belongs to no pair.
pub(super) fn way() -> impl Iterator<Item = (usize, usize)> {
    (0..SIDE / 2).flat_map(|pair| {
        let right = SIDE - 1 - 2 * pair;
        let right = if right <= TIMING { right - 1 } else { right };
        (0..2 * SIDE).filter_map(move |step| {
            let y = if pair % 2 == 0 { SIDE - 1 - step / 2 } else { step / 2 };
            let x = right - step % 2;
            (reserved(y) >> x & 1 == 0).then_some((x, y))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::{VERSION_BITS, code, format_bits, reserved, way};
    use crate::seal::qr::Strength;
    use crate::seal::qr::codeword::CODEWORDS;

    #[test]
    fn format_information_is_that_of_the_standard() {
        // ISO/IEC 18004, annex with the valid format information sequences (from memory; several public tables agree)
        let table = [
            (Strength::Low, [0x77C4, 0x72F3, 0x7DAA, 0x789D, 0x662F, 0x6318, 0x6C41, 0x6976]),
            (Strength::Medium, [0x5412, 0x5125, 0x5E7C, 0x5B4B, 0x45F9, 0x40CE, 0x4F97, 0x4AA0]),
            (Strength::Quartile, [0x355F, 0x3068, 0x3F31, 0x3A06, 0x24B4, 0x2183, 0x2EDA, 0x2BED]),
            (Strength::High, [0x1689, 0x13BE, 0x1CE7, 0x19D0, 0x0762, 0x0255, 0x0D0C, 0x083B]),
        ];
        for (strength, words) in table {
            for (mask, word) in (0..).zip(words) {
                assert_eq!(format_bits(strength, mask), word, "{strength:?} {mask}");
            }
        }
    }

    #[test]
    fn version_information_is_that_of_the_standard() {
        // ISO/IEC 18004, annex with the version information of versions 7 to 40, the first four (from memory)
        for (version, word) in [(7, 0x07C94), (8, 0x085BC), (9, 0x09A99), (10, 0x0A4D3)] {
            assert_eq!(code(version, 12, 0x1F25), word);
        }
        assert_eq!(VERSION_BITS, 0x085BC);
    }

    #[test]
    fn the_data_fill_every_module_that_is_not_reserved() {
        let mut seen = [0u64; 49];
        for (x, y) in way() {
            let row = seen.get_mut(y).expect("a row");
            assert_eq!(*row >> x & 1, 0, "{x} {y}");
            *row |= 1 << x;
        }
        assert!(seen.iter().enumerate().all(|(y, row)| row ^ reserved(y) == super::FULL));
        assert_eq!(seen.iter().map(|row| row.count_ones() as usize).sum::<usize>(), CODEWORDS * 8);
    }
}
