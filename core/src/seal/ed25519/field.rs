//! Numbers modulo p = 2^255 - 19, the field that the curve lies over (RFC 8032, section 5.1).
//!
//! Ten signed limbs, by turns of 26 and 25 bits: limb n stands for itself times 2^ceil(25.5 n). A product of two limbs and
//! the sum of ten such products fit into 64 bits, and each is one instruction of a small processor.
//!
//! Invariant: the limbs of every [`Element`] are carried, so not above 2^25 + 2^12 (the even ones) and 2^24 + 2^12 (the odd
//! ones) in size. Nothing here depends on what the numbers are: no branch, no address.

/// A number modulo p. Each has several forms; [`Element::bytes`] gives the one that counts.
#[derive(Clone, Copy)]
pub(super) struct Element([i32; 10]);

/// Bits of the limbs.
const BITS: [u32; 10] = [26, 25, 26, 25, 26, 25, 26, 25, 26, 25];

impl Element {
    pub(super) const ZERO: Self = Self([0; 10]);
    pub(super) const ONE: Self = Self([1, 0, 0, 0, 0, 0, 0, 0, 0, 0]);

    /// From limbs that are carried.
    pub(super) const fn from_limbs(limbs: [i32; 10]) -> Self {
        Self(limbs)
    }

    /// Hands on what is too much in each limb to the next; above the highest, 2^255 is 19.
    /// Limbs up to 2^58 in size come out carried: what the first hands on for the second time is below 2^12.
    fn carried(mut limbs: [i64; 10]) -> Self {
        let mut over = 0i64;
        for (limb, bits) in limbs.iter_mut().zip(BITS) {
            *limb += over;
            over = (*limb + (1 << (bits - 1))) >> bits;
            *limb -= over << bits;
        }
        let [first, second, ..] = &mut limbs;
        *first += 19 * over;
        over = (*first + (1 << 25)) >> 26;
        *first -= over << 26;
        *second += over;
        Self(limbs.map(|limb| limb as i32)) // carried ones fit
    }

    fn of_pairs(self, other: Self, with: impl Fn(i64, i64) -> i64) -> Self {
        let mut made = [0; 10];
        for (limb, (one, other)) in made.iter_mut().zip(self.0.into_iter().zip(other.0)) {
            *limb = with(i64::from(one), i64::from(other));
        }
        Self::carried(made)
    }

    pub(super) fn plus(self, other: Self) -> Self {
        self.of_pairs(other, |one, other| one + other)
    }

    pub(super) fn minus(self, other: Self) -> Self {
        self.of_pairs(other, |one, other| one - other)
    }

    /// The product. What is above 2^255 comes back 19 times, so the limbs of the one are laid out as a row, first once and
    /// then 19 times, that the limbs of the other slide along; and two odd limbs stand for half a bit more than their places
    /// have, so where the place is an even one, theirs count double.
    #[inline(never)]
    pub(super) fn times(&self, other: &Self) -> Self {
        let mut doubled = self.0;
        for limb in doubled.iter_mut().skip(1).step_by(2) {
            *limb *= 2;
        }
        // the highest limb first; a limb 19 times is below 2^30, and ten products are below 2^58
        let mut row = [0; 19];
        for (place, limb) in row.iter_mut().zip(other.0.iter().rev()) {
            *place = *limb;
        }
        for (place, limb) in row.iter_mut().skip(10).zip(other.0.iter().rev()) {
            *place = 19 * limb;
        }
        let mut made = [0; 10];
        let factors = [&self.0, &doubled].into_iter().cycle();
        for ((limb, along), factors) in made.iter_mut().rev().zip(row.windows(10)).zip(factors) {
            for (one, other) in factors.iter().zip(along) {
                *limb += i64::from(*one) * i64::from(*other);
            }
        }
        Self::carried(made)
    }

    pub(super) fn squared(&self) -> Self {
        self.times(self)
    }

    /// Squared so many times.
    fn squared_times(mut self, times: u32) -> Self {
        for _ in 0..times {
            self = self.squared();
        }
        self
    }

    /// The inverse, and 0 of 0: the power p - 2 (Fermat). Names say how many ones the exponent so far has in binary.
    pub(super) fn inverted(&self) -> Self {
        let two = self.squared();
        let nine = two.squared_times(2).times(self);
        let eleven = nine.times(&two);
        let ones_5 = eleven.squared().times(&nine);
        let ones_10 = ones_5.squared_times(5).times(&ones_5);
        let ones_20 = ones_10.squared_times(10).times(&ones_10);
        let ones_40 = ones_20.squared_times(20).times(&ones_20);
        let ones_50 = ones_40.squared_times(10).times(&ones_10);
        let ones_100 = ones_50.squared_times(50).times(&ones_50);
        let ones_200 = ones_100.squared_times(100).times(&ones_100);
        let ones_250 = ones_200.squared_times(50).times(&ones_50);
        ones_250.squared_times(5).times(&eleven)
    }

    /// The number itself, 0 to p - 1, low byte first.
    pub(super) fn bytes(&self) -> [u8; 32] {
        let mut limbs = self.0;
        // how often p is to be taken away: what would be handed on above the highest limb once 19 is added to the lowest
        let [.., last] = limbs;
        let mut over = (19 * last + (1 << 24)) >> 25;
        for (limb, bits) in limbs.iter().zip(BITS) {
            over = (limb + over) >> bits;
        }
        over *= 19;
        for (limb, bits) in limbs.iter_mut().zip(BITS) {
            *limb += over;
            over = *limb >> bits;
            *limb -= over << bits; // what is above the highest falls off: with the 19 that is p
        }
        let (mut pending, mut waiting) = (0u64, 0);
        let mut limbs = limbs.into_iter().zip(BITS);
        [0; 32].map(|_: u8| {
            if waiting < 8
                && let Some((limb, bits)) = limbs.next()
            {
                pending |= u64::from(limb as u32) << waiting; // not negative any more
                waiting += bits;
            }
            let byte = pending as u8;
            pending >>= 8;
            waiting = waiting.saturating_sub(8);
            byte
        })
    }

    /// This one where `mask` is 0, `other` where it is -1.
    pub(super) fn or(self, other: Self, mask: i32) -> Self {
        let mut made = self.0;
        for (limb, other) in made.iter_mut().zip(other.0) {
            *limb ^= (*limb ^ other) & mask;
        }
        Self(made)
    }
}

#[cfg(test)]
mod tests {
    use super::Element;

    /// p and its neighbours, 0 and 1 in other forms.
    #[test]
    fn a_number_has_one_form_in_bytes() {
        let p_less_1 = Element::ZERO.minus(Element::ONE);
        let mut bytes = [0xFF; 32];
        (bytes[0], bytes[31]) = (0xEC, 0x7F);
        assert_eq!(p_less_1.bytes(), bytes);
        assert_eq!(p_less_1.plus(Element::ONE).bytes(), [0; 32]);
        assert_eq!(p_less_1.squared().bytes(), Element::ONE.bytes());
        assert_eq!(Element::from_limbs([-19, 0, 0, 0, 0, 0, 0, 0, 0, 1 << 25]).bytes(), [0; 32]);
    }

    #[test]
    fn a_number_by_its_inverse_is_one() {
        let mut number =
            Element::from_limbs([1 << 25, -1 << 24, 1 << 25, 1 << 24, -1 << 25, -1 << 24, 7, 0, -3, 1 << 24]);
        for _ in 0..100 {
            assert_eq!(number.times(&number.inverted()).bytes(), Element::ONE.bytes());
            number = number.squared().plus(number);
        }
        assert_eq!(Element::ZERO.inverted().bytes(), [0; 32]);
    }
}
