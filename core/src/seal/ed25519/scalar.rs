//! Numbers modulo L, the order of the base point (RFC 8032, section 5.1).
//!
//! Slow and plain: everything is the one addition, which takes away L at most once. Against the multiples of points the
//! hundred thousand instructions it takes are little.
//! Invariant: a [`Scalar`] is below L. Nothing here depends on what the numbers are.

/// A number from 0 to L - 1, as words, the lowest first.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) struct Scalar([u32; 8]);

/// L, 2^252 + 27742317777372353535851937790883648493.
const ORDER: [u32; 8] = [0x5CF5_D3ED, 0x5812_631A, 0xA2F7_9CD6, 0x14DE_F9DE, 0, 0, 0, 0x1000_0000];

impl Scalar {
    const ZERO: Self = Self([0; 8]);

    /// The rest of a number divided by L, its bytes with the low one first.
    pub(super) fn of_bytes(bytes: &[u8]) -> Self {
        let bits = bytes.iter().rev().flat_map(|byte| (0..8).rev().map(move |bit| byte >> bit & 1));
        bits.fold(Self::ZERO, |rest, bit| rest.plus_with(&rest, bit))
    }

    pub(super) fn plus(&self, other: &Self) -> Self {
        self.plus_with(other, 0)
    }

    /// The sum, and one more where `more` is 1; before L is taken away it is below twice L, which has 254 bits.
    #[inline(never)]
    fn plus_with(&self, other: &Self, more: u8) -> Self {
        let mut sum = self.0;
        let mut carry = u64::from(more);
        for (word, other) in sum.iter_mut().zip(other.0) {
            carry += u64::from(*word) + u64::from(other);
            *word = carry as u32;
            carry >>= 32;
        }
        let mut less = sum;
        let mut borrow = 0i64;
        for (word, order) in less.iter_mut().zip(ORDER) {
            borrow += i64::from(*word) - i64::from(order);
            *word = borrow as u32;
            borrow >>= 32;
        }
        // all ones where it was below L
        let below = core::hint::black_box(borrow as u32);
        for (word, less) in sum.iter_mut().zip(less) {
            *word = *word & below | less & !below;
        }
        Self(sum)
    }

    /// The product.
    pub(super) fn times(&self, other: &Self) -> Self {
        let bits = self.0.iter().rev().flat_map(|word| (0..u32::BITS).rev().map(move |bit| word >> bit & 1));
        bits.fold(Self::ZERO, |sum, bit| {
            let mask = core::hint::black_box(bit.wrapping_neg());
            sum.plus(&sum).plus(&Self(other.0.map(|word| word & mask)))
        })
    }

    /// The words, the lowest first.
    pub(super) const fn words(&self) -> &[u32; 8] {
        &self.0
    }

    /// The lower and the upper 128 bits.
    pub(super) const fn halves(&self) -> ([u32; 4], [u32; 4]) {
        let [a, b, c, d, e, f, g, h] = self.0;
        ([a, b, c, d], [e, f, g, h])
    }

    /// The bytes, the low one first.
    pub(super) fn bytes(&self) -> [u8; 32] {
        let mut bytes = self.0.into_iter().flat_map(u32::to_le_bytes);
        [0; 32].map(|_: u8| bytes.next().unwrap_or_default())
    }
}

#[cfg(test)]
mod tests {
    use super::{ORDER, Scalar};

    #[test]
    fn what_is_below_l_is_itself_and_l_is_0() {
        let order = Scalar(ORDER).bytes();
        let mut below = order;
        below[0] -= 1;
        assert!(Scalar::of_bytes(&order) == Scalar::ZERO);
        assert_eq!(Scalar::of_bytes(&below).bytes(), below);
        assert!(Scalar::of_bytes(&below).plus(&Scalar::of_bytes(&[1])) == Scalar::ZERO);
        assert!(Scalar::of_bytes(&below).times(&Scalar::of_bytes(&below)) == Scalar::of_bytes(&[1]));
        assert!(Scalar::of_bytes(&[7]).times(&Scalar::of_bytes(&[0, 1])) == Scalar::of_bytes(&[0, 7]));
    }
}
