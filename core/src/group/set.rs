//! Which fixings of a group: a bit for each.

use super::FixingNumber;

/// Some of a group's fixings.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct FixingSet(u16);

impl FixingSet {
    /// None of them.
    pub const EMPTY: Self = Self(0);

    /// Whether it is none of them.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// How many, at most sixteen.
    pub const fn count(self) -> u32 {
        self.0.count_ones()
    }

    /// Whether the fixing is one of them.
    pub const fn has(self, fixing: FixingNumber) -> bool {
        self.0 >> fixing.place() & 1 == 1
    }

    /// The one with the lowest number.
    pub const fn first(self) -> Option<FixingNumber> {
        FixingNumber::new(self.0.trailing_zeros() as u8) // at most sixteen
    }

    /// These and the fixing.
    #[must_use]
    pub const fn with(self, fixing: FixingNumber) -> Self {
        Self(self.0 | 1 << fixing.place())
    }

    /// What these and those have in common.
    #[must_use]
    pub const fn also_in(self, those: Self) -> Self {
        Self(self.0 & those.0)
    }

    /// These but those.
    #[must_use]
    pub const fn without(self, those: Self) -> Self {
        Self(self.0 & !those.0)
    }
}

impl IntoIterator for FixingSet {
    type Item = FixingNumber;
    type IntoIter = Numbers;

    fn into_iter(self) -> Numbers {
        Numbers(self)
    }
}

/// The numbers of a set, the lowest first.
#[derive(Clone, Debug)]
pub struct Numbers(FixingSet);

impl Iterator for Numbers {
    type Item = FixingNumber;

    fn next(&mut self) -> Option<FixingNumber> {
        let first = self.0.first()?;
        self.0 = self.0.without(FixingSet::EMPTY.with(first));
        Some(first)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{FixingNumber, MOST_FIXINGS};
    use super::FixingSet;

    #[test]
    fn a_set_gives_the_numbers_that_were_put_in_from_the_lowest_up() {
        for bits in 0..=u16::MAX {
            let numbers = || (0..MOST_FIXINGS as u8).filter(move |place| bits >> place & 1 == 1);
            let set = numbers().rev().filter_map(FixingNumber::new).fold(FixingSet::EMPTY, FixingSet::with);
            assert!(set.into_iter().map(|fixing| fixing.place() as u8).eq(numbers()));
            assert_eq!((set.count() as usize, set.is_empty()), (numbers().count(), bits == 0));
        }
    }
}
