//! How evenly the rows of a trace are spaced.

/// Distances between one row and the next, in seconds, in the order of the file.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Spacing {
    before: Option<i64>,
    first: Option<i64>,
    least: i64,
    greatest: i64,
    others: u64,
}

impl Spacing {
    /// Takes in a row.
    #[inline]
    pub fn row(&mut self, seconds: i64) {
        let Some(before) = self.before.replace(seconds) else { return };
        let distance = seconds.saturating_sub(before);
        if self.first == Some(distance) {
            return;
        }
        match self.first {
            None => {
                (self.first, self.least, self.greatest) = (Some(distance), distance, distance);
            }
            Some(_) => {
                self.others += 1;
                self.least = self.least.min(distance);
                self.greatest = self.greatest.max(distance);
            }
        }
    }

    /// The first distance, the least and the greatest, and how many differ from the first; `None` when all are equal.
    pub fn uneven(&self) -> Option<Uneven> {
        let usual = self.first?;
        (self.others > 0).then_some(Uneven { usual, least: self.least, greatest: self.greatest, others: self.others })
    }
}

/// Rows that are not evenly spaced.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Uneven {
    /// Distance of the first two rows, s.
    pub usual: i64,
    /// The least distance, s; negative where a row lies before the one above it.
    pub least: i64,
    /// The greatest distance, s.
    pub greatest: i64,
    /// How many distances differ from the first.
    pub others: u64,
}

#[cfg(test)]
mod tests {
    use super::Spacing;

    fn spacing(rows: &[i64]) -> Spacing {
        let mut spacing = Spacing::default();
        rows.iter().for_each(|row| spacing.row(*row));
        spacing
    }

    #[test]
    fn even_rows_are_no_matter_for_a_warning() {
        assert_eq!(spacing(&[]).uneven(), None);
        assert_eq!(spacing(&[5]).uneven(), None);
        assert_eq!(spacing(&[0, 60, 120, 180]).uneven(), None);
    }

    #[test]
    fn gaps_and_steps_back_are_counted_with_their_bounds() {
        let uneven = spacing(&[0, 60, 120, 1000, 990, 1050]).uneven().map(|u| (u.usual, u.least, u.greatest, u.others));
        assert_eq!(uneven, Some((60, -10, 880, 2)));
    }
}
