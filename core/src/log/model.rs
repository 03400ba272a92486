//! What the coder expects of temperatures.
//!
//! Terms: a *step* is the difference of two readings that follow each other, in quanta of the sensor; its *exponent* is
//! the place of its highest bit.
//! Why this way: outdoors a minute brings mostly 0 or 1 quantum, and restless minutes come together. So a step is coded
//! as: is it zero, its sign, its exponent bit by bit, its lower bits; the first and the exponent by how large the two
//! steps before it were, the sign by the sign before it. Sixty-five chances are few enough to be learned anew in every
//! page. Kept small on purpose: the model is copied at every reading, so that a write that fails can be undone.
//! Invariants: any step of two 16-bit counts can be coded; encoder and decoder run the same lines.

use super::coder::{BitCoder, Chance, EVEN};

/// Sizes of the steps before, as the model tells them apart.
const SIZES: usize = 4;
/// Exponents with a chance of their own; higher ones share the last.
const EXPONENTS: usize = 8;
/// The highest exponent: that of 65 535.
const HIGHEST_EXPONENT: u32 = 15;

/// The chances of one page.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Model {
    /// That something else than a plain reading follows.
    other: Chance,
    /// That the wall clock was not read in the hour that has gone by.
    unread: Chance,
    moves: [Chance; SIZES],
    rises: [Chance; 3],
    more: [[Chance; EXPONENTS]; SIZES],
    upper: [Chance; EXPONENTS],
    second: [[Chance; 2]; EXPONENTS],
    /// The last step, and the one before it.
    steps: (i32, i32),
}

impl Model {
    pub(crate) const fn new() -> Self {
        let even = Chance::new(EVEN, 2);
        Self {
            other: Chance::new(256, 20),
            unread: Chance::new(4096, 10),
            moves: [even; SIZES],
            rises: [even; 3],
            more: [[Chance::new(20_000, 2); EXPONENTS]; SIZES],
            upper: [even; EXPONENTS],
            second: [[even; 2]; EXPONENTS],
            steps: (0, 0),
        }
    }

    /// Whether something else than a plain reading follows.
    pub(crate) fn other(&mut self, coder: &mut impl BitCoder, other: bool) -> bool {
        coder.by(&mut self.other, other)
    }

    /// Whether the wall clock was left unread in the hour that has gone by.
    pub(crate) fn unread(&mut self, coder: &mut impl BitCoder, unread: bool) -> bool {
        coder.by(&mut self.unread, unread)
    }

    /// A step in quanta, -65 535 to 65 535.
    pub(crate) fn step(&mut self, coder: &mut dyn BitCoder, step: i32) -> i32 {
        let (last, before) = self.steps;
        let size = (bits(last) + bits(before)).div_ceil(2).min(SIZES as u32 - 1) as usize;
        let direction = if last < 0 { 0 } else { 1 + usize::from(last > 0) };
        let made = self.coded(coder, step, size, direction);
        self.steps = (made, last);
        made
    }

    fn coded(&mut self, coder: &mut dyn BitCoder, step: i32, size: usize, direction: usize) -> i32 {
        if !by(coder, self.moves.get_mut(size), step != 0) {
            return 0;
        }
        let rises = by(coder, self.rises.get_mut(direction), step > 0);
        let wanted = bits(step).saturating_sub(1);
        let mut exponent = 0;
        while exponent < HIGHEST_EXPONENT {
            let chance = self.more.get_mut(size).and_then(|row| row.get_mut((exponent as usize).min(EXPONENTS - 1)));
            if !by(coder, chance, wanted > exponent) {
                break;
            }
            exponent += 1;
        }
        let magnitude = step.unsigned_abs();
        let mut made = 1;
        let place = (exponent as usize).min(EXPONENTS).saturating_sub(1);
        if exponent >= 1 {
            let upper = by(coder, self.upper.get_mut(place), magnitude >> (exponent - 1) & 1 == 1);
            made = made << 1 | u32::from(upper);
            if exponent >= 2 {
                let chance = self.second.get_mut(place).and_then(|row| row.get_mut(usize::from(upper)));
                made = made << 1 | u32::from(by(coder, chance, magnitude >> (exponent - 2) & 1 == 1));
                made = made << (exponent - 2) | coder.bits(magnitude, exponent - 2);
            }
        }
        let made = made as i32; // at most 16 bits
        if rises { made } else { -made }
    }
}

/// Bits of the magnitude: 0 for 0, 1 for 1, 2 for 2 and 3, ...
const fn bits(step: i32) -> u32 {
    u32::BITS - step.unsigned_abs().leading_zeros()
}

/// Every place that is asked for exists; without one the bit is as likely as not.
fn by(coder: &mut dyn BitCoder, chance: Option<&mut Chance>, bit: bool) -> bool {
    match chance {
        Some(chance) => coder.by(chance, bit),
        None => coder.bit(EVEN, bit),
    }
}

#[cfg(test)]
mod tests {
    use super::Model;
    use crate::log::coder::{BitCoder, Decoder, Encoder, Interval};

    #[test]
    fn every_step_of_two_counts_comes_back() {
        let mut buffer = [0u8; 4000];
        let steps =
            || (-17..=17).flat_map(|power: i32| [0, 1, -1].map(|off| (power.signum() << power.abs().min(15)) + off));
        let steps = || steps().chain([65_535, -65_535, 65_534, 32_768, 0]);
        let mut model = Model::new();
        let mut encoder = Encoder::resume(Interval::WHOLE, &mut buffer, 0);
        for step in steps() {
            model.step(&mut encoder, step);
        }
        encoder.bits(5, 3);
        let (interval, used, _) = encoder.state();
        if let Some(place) = buffer.get_mut(used) {
            *place = interval.ending();
        }
        let mut decoder = Decoder::new(buffer.get(..=used).unwrap_or(&[]));
        let mut learned = Model::new();
        for step in steps() {
            assert_eq!(learned.step(&mut decoder, 0), step);
        }
        assert_eq!(decoder.bits(0, 3), 5);
        assert_eq!(learned, model);
    }
}
