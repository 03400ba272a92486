//! A trace in memory, for what goes through it more than once.
//!
//! What for: a plan tries every start on the same temperatures, and a depth check needs to know the coldest reading
//! before it looks at the first. A [`Series`] holds the rows as the trace has them, refused and missing ones too, and
//! gives them to a replay as often as wanted.
//! Invariants: rows are never reordered, dropped or filled in; a shifted series differs in its counts only.
//! What it does not do: judge readings (the engine does).

#[cfg(any(test, feature = "random"))]
pub mod random;

use crate::replay::Apart;
use holdoff_core::quantity::{Count, Span};
use holdoff_files::problem::Problem;
use holdoff_files::trace::{ReadAs, Row, Rows, Sample, Trace};
use std::io::Read;

/// Most rows that are kept: nine years at one a minute, 120 MB.
const MOST_ROWS: usize = 5_000_000;

/// Rows in memory.
#[derive(Clone, Debug)]
pub struct Series {
    file: String,
    /// Never empty.
    rows: Vec<Row>,
    /// Line of the last row, for messages; those of the others are not kept.
    last_line: u64,
    read_as: ReadAs,
}

impl Series {
    /// Reads a trace to its end.
    ///
    /// # Errors
    /// What the trace says is wrong with it, and a [`Problem`] when it has more than five million rows.
    pub fn read<R: Read>(trace: &mut Trace<R>) -> Result<Self, Problem> {
        let mut rows = Vec::new();
        while let Some(row) = trace.next_row()? {
            if rows.len() == MOST_ROWS {
                let what = "the trace has more than five million rows, too many to go through again and again";
                let remedy = "give the days that matter only";
                return Err(Problem::unusable(trace.file(), what, remedy).at_line(trace.line()));
            }
            rows.push(row);
        }
        Ok(Self { file: trace.file().to_owned(), rows, last_line: trace.line(), read_as: trace.read_as().clone() })
    }

    /// The rows, in the order of the file.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// What messages call it.
    pub fn file(&self) -> &str {
        &self.file
    }

    /// How the trace was read.
    pub fn read_as(&self) -> &ReadAs {
        &self.read_as
    }

    /// The greatest number of seconds that most rows with a temperature lie apart: the spacing that nine in ten do not
    /// exceed. `None` for a single one.
    pub fn usual_spacing(&self) -> Option<i64> {
        let pairs = self.readings().zip(self.readings().skip(1));
        let mut apart: Vec<i64> = pairs.map(|(one, next)| next.seconds - one.seconds).collect();
        let place = apart.len().checked_sub(1)? * 9 / 10;
        Some(*apart.select_nth_unstable(place).1)
    }

    /// How far apart the readings lie, against a longest gap.
    pub fn apart(&self, longest_gap: Span) -> Apart {
        let mut apart = Apart::new(longest_gap);
        self.readings().for_each(|row| apart.reading(row.seconds));
        apart
    }

    /// The rows that have a temperature.
    fn readings(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(|row| row.reading != Sample::Missing)
    }

    /// The same series, colder by so many counts of 1/256 °C. A count that would fall under the range of a sixteen-bit
    /// count is held at its end, which no sensor reaches (rule R2b refuses it).
    #[must_use]
    pub fn colder(&self, counts: u16) -> Self {
        let rows = self.rows.iter().map(|row| Row {
            reading: match row.reading {
                Sample::Count(count) => Sample::Count(Count::new(count.raw().saturating_sub_unsigned(counts))),
                kept @ (Sample::OutOfRange | Sample::PowerUp | Sample::Missing) => kept,
            },
            ..*row
        });
        Self { rows: rows.collect(), ..self.clone() }
    }

    /// The rows once more from the first.
    pub fn replay(&self) -> Cursor<'_> {
        Cursor { series: self, next: 0 }
    }
}

/// A series being gone through.
#[derive(Clone, Debug)]
pub struct Cursor<'a> {
    series: &'a Series,
    next: usize,
}

impl Rows for Cursor<'_> {
    #[inline]
    fn next_row(&mut self) -> Result<Option<Row>, Problem> {
        let row = self.series.rows.get(self.next).copied();
        self.next += usize::from(row.is_some());
        Ok(row)
    }

    fn line(&self) -> u64 {
        self.series.last_line
    }

    fn file(&self) -> &str {
        &self.series.file
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a broken expectation must stop the test")]
    use super::Series;
    use holdoff_files::trace::{Options, Sample, Trace};

    fn series(text: &str) -> Series {
        Series::read(&mut Trace::new("t.csv", text.as_bytes(), &Options::default()).unwrap()).unwrap()
    }

    const TEXT: &str = "time,temperature_c\n2026-01-05T08:00:00+01:00,1.5\n2026-01-05T08:05:00+01:00,\n\
                        2026-01-05T08:10:00+01:00,200\n2026-01-05T09:40:00+01:00,-127.5\n";

    #[test]
    fn a_colder_series_differs_in_its_counts_only() {
        let plain = series(TEXT);
        let colder = plain.colder(512);
        let counts = |series: &Series| -> Vec<Option<i16>> {
            let of = |sample| if let Sample::Count(count) = sample { Some(count.raw()) } else { None };
            series.rows().iter().map(|row| of(row.reading)).collect()
        };
        // -127.5 °C lies outside every sensor's range and is out of range already
        assert_eq!(counts(&plain), [Some(384), None, None, None]);
        assert_eq!(counts(&colder), [Some(-128), None, None, None]);
        assert!(plain.rows().iter().zip(colder.rows()).all(|(a, b)| a.seconds == b.seconds));
        assert_eq!(plain.read_as().first_offset(), 3600);
    }

    #[test]
    fn the_usual_spacing_is_that_of_nine_in_ten_rows_with_a_temperature() {
        // the row of 08:05 has none
        assert_eq!(series(TEXT).usual_spacing(), Some(600));
        assert_eq!(series("time,temperature_c\n2026-01-05T08:00:00Z,1\n").usual_spacing(), None);
    }
}
