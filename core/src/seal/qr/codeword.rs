//! The codewords of a symbol: the text in bits, filled up, and the correction that belongs to it.
//!
//! What for: everything of ISO/IEC 18004 that comes before a module is drawn. The text is written in the alphanumeric mode,
//! cut into blocks, and each block is followed by the remainder of a Reed-Solomon division; the symbol takes the first
//! codeword of every block, then the second, and so on.
//!
//! Terms are the standard's. Numbers of it are given from memory; a test holds every symbol against another implementation.
//! What it does not do: choose a mode or a version.

use super::Strength;
use crate::seal::base45::ALPHABET;

/// Codewords of a symbol of version 8, data and correction.
pub(super) const CODEWORDS: usize = 242;

/// Most correction codewords of a block.
const MOST_CORRECTION: usize = 26;

/// What stands before the text: the alphanumeric mode.
const MODE: (u32, u32) = (0b0010, 4);

/// Bits of the number of characters, in versions 1 to 9.
const COUNT_BITS: u32 = 9;

/// What fills up, in turn.
const PAD: [u8; 2] = [0xEC, 0x11];

/// How the codewords of a symbol are divided into blocks.
struct Blocks {
    /// Blocks of `data` codewords, which come first.
    short: usize,
    /// Blocks with one codeword more.
    long: usize,
    /// Data codewords of a short block.
    data: usize,
    /// Correction codewords of every block.
    correction: usize,
}

impl Blocks {
    /// Those of version 8 (ISO/IEC 18004, table of the error correction characteristics).
    const fn of(strength: Strength) -> Self {
        match strength {
            Strength::Low => Self { short: 2, long: 0, data: 97, correction: 24 },
            Strength::Medium => Self { short: 2, long: 2, data: 38, correction: 22 },
            Strength::Quartile => Self { short: 4, long: 2, data: 18, correction: 22 },
            Strength::High => Self { short: 4, long: 2, data: 14, correction: 26 },
        }
    }

    const fn count(&self) -> usize {
        self.short.saturating_add(self.long)
    }

    /// Data codewords of all blocks.
    const fn all_data(&self) -> usize {
        self.begin(self.count())
    }

    /// Data codewords of the blocks before this one.
    const fn begin(&self, block: usize) -> usize {
        block.saturating_mul(self.data).saturating_add(block.saturating_sub(self.short))
    }

    /// Data codewords of a block.
    const fn length(&self, block: usize) -> usize {
        if block < self.short { self.data } else { self.data.saturating_add(1) }
    }
}

/// The codewords of a text: the data of all blocks, then the correction of all blocks.
pub(super) struct Codewords {
    all: [u8; CODEWORDS],
    blocks: Blocks,
}

impl Codewords {
    /// `None` when the text does not fit, or has a character that is none of the 45.
    pub(super) fn of(text: &str, strength: Strength) -> Option<Self> {
        let mut made = Self { all: [0; CODEWORDS], blocks: Blocks::of(strength) };
        let blocks = &made.blocks;
        let (data, mut correction) = made.all.split_at_mut_checked(blocks.all_data())?;
        write(text.as_bytes(), data)?;
        let divisor = Divisor::of(blocks.correction);
        let mut rest: &[u8] = data;
        for block in 0..blocks.count() {
            let (data, behind) = rest.split_at_checked(blocks.length(block))?;
            let (remainder, next) = correction.split_at_mut_checked(blocks.correction)?;
            divisor.divide(data, remainder);
            (rest, correction) = (behind, next);
        }
        Some(made)
    }

    /// Every codeword in the order in which the symbol takes them.
    pub(super) fn each(&self, mut take: impl FnMut(u8)) {
        let blocks = &self.blocks;
        for round in 0..=blocks.data.saturating_add(blocks.correction) {
            for block in 0..blocks.count() {
                // a round beyond the longest block's data is one of correction
                let (begin, length) = match round.checked_sub(blocks.data.saturating_add(1)) {
                    None => (blocks.begin(block).saturating_add(round), blocks.length(block).saturating_sub(round)),
                    Some(round) => {
                        let begin = blocks.all_data().saturating_add(block.saturating_mul(blocks.correction));
                        (begin.saturating_add(round), blocks.correction.saturating_sub(round))
                    }
                };
                if let Some(&codeword) = self.all.get(begin).filter(|_| length > 0) {
                    take(codeword);
                }
            }
        }
    }
}

/// Writes bits into bytes, high ones first.
struct Bits<'a> {
    places: core::slice::IterMut<'a, u8>,
    /// Bits that do not fill a byte yet, the last ones written lowest.
    pending: u32,
    /// How many.
    waiting: u32,
}

impl Bits<'_> {
    /// `None` when there is no place left.
    fn push(&mut self, number: u32, bits: u32) -> Option<()> {
        self.pending = self.pending.wrapping_shl(bits) | number;
        self.waiting = self.waiting.saturating_add(bits);
        while let Some(waiting) = self.waiting.checked_sub(8) {
            *self.places.next()? = self.pending.wrapping_shr(waiting) as u8;
            self.waiting = waiting;
        }
        Some(())
    }
}

/// Mode, count, characters, terminator and padding.
fn write(text: &[u8], data: &mut [u8]) -> Option<()> {
    let mut bits = Bits { places: data.iter_mut(), pending: 0, waiting: 0 };
    bits.push(MODE.0, MODE.1)?;
    bits.push(text.len() as u32, COUNT_BITS)?; // more than fit would not fit below either
    for pair in text.chunks(2) {
        let mut number = 0u32;
        for &character in pair {
            number =
                number.wrapping_mul(45).wrapping_add(ALPHABET.iter().position(|&known| known == character)? as u32);
        }
        bits.push(number, if pair.len() == 2 { 11 } else { 6 })?;
    }
    // four zeros end it, or as many as there is room for; then zeros up to the next codeword
    let room = (bits.places.len() as u32).saturating_mul(8).checked_sub(bits.waiting)?;
    bits.push(0, room.min(4))?;
    bits.push(0, 8u32.saturating_sub(bits.waiting) % 8)?;
    for (place, &pad) in bits.places.zip(PAD.iter().cycle()) {
        *place = pad;
    }
    Some(())
}

/// The generator polynomial of a block's correction, without its leading 1: the coefficient of the highest power first.
struct Divisor {
    all: [u8; MOST_CORRECTION],
    degree: usize,
}

impl Divisor {
    /// The product of (x - 2^i) for i from 0 to one less than the degree.
    fn of(degree: usize) -> Self {
        let mut made = Self { all: [0; MOST_CORRECTION], degree };
        let used = made.all.get_mut(..degree).unwrap_or_default();
        if let Some(last) = used.last_mut() {
            *last = 1;
        }
        let mut root = 1;
        for _ in 0..degree {
            let mut behind = 0;
            for coefficient in used.iter_mut().rev() {
                let before = *coefficient;
                *coefficient = multiply(before, root) ^ behind;
                behind = before;
            }
            root = multiply(root, 2);
        }
        made
    }

    /// The remainder of the data, which stand for a polynomial too, shifted by the degree.
    fn divide(&self, data: &[u8], remainder: &mut [u8]) {
        let used = self.all.get(..self.degree).unwrap_or_default();
        for &byte in data {
            let factor = byte ^ remainder.first().copied().unwrap_or_default();
            let mut behind = 0;
            for (place, &coefficient) in remainder.iter_mut().zip(used).rev() {
                let before = *place;
                *place = behind ^ multiply(coefficient, factor);
                behind = before;
            }
        }
    }
}

/// The product in the field of 256 elements modulo x^8 + x^4 + x^3 + x^2 + 1.
const fn multiply(one: u8, other: u8) -> u8 {
    let (mut product, mut bit) = (0u8, 0x80u8);
    while bit != 0 {
        product = product << 1 ^ if product & 0x80 == 0 { 0 } else { 0x1D };
        if other & bit != 0 {
            product ^= one;
        }
        bit >>= 1;
    }
    product
}
