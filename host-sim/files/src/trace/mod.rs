//! Recorded temperatures, row by row.
//!
//! What for: the trace of `docs/interfaces.md`: a CSV file, or standard input, with a header and the columns `time`
//! (RFC 3339 with offset) and `temperature_c`; other names by option. Traces come from loggers, spreadsheets and
//! scripts, and run to a hundred million rows: whatever is wrong in one is named with line and column, and memory stays
//! bounded (below half a mebibyte) whatever the input is.
//!
//! Terms: a *record* is what CSV calls one, usually a line; a *row* is a record with data. A *block* is the part of the
//! file in memory. *Missing* is a row whose temperature field is empty; *out of range* is a temperature outside the
//! sensor's own range, judged on the exact decimal before it is rounded (rule R2b).
//!
//! Two ways lead to the same row. Most files have two columns in order, whole seconds and short numbers: such a line is
//! read from fixed places in 64 bytes ([`line`]). Everything else, and everything that is wrong, goes through the CSV
//! reader ([`record`], [`field`]), which is the meaning of the format; a test holds the first against the second on
//! random files.
//!
//! What it does not do: judge order, spacing or steps of the readings (the engine does), guess separators, units (a column's
//! name may say one, [`unit`]) or offsets, keep rows.

mod block;
mod field;
mod header;
mod line;
mod read_as;
mod record;
mod sensor;
mod unit;

pub use read_as::{ReadAs, UnitBy};

use crate::problem::Problem;
use crate::stamp::Quick;
use block::Block;
use field::Columns;
use holdoff_core::probe::SensorKind;
use holdoff_core::quantity::Count;
use record::{Fault, Splitter};
use std::io::Read;

/// What a row says about the temperature.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Sample {
    /// Inside the sensor's range, rounded down to a count.
    Count(Count),
    /// A number outside -55 to 125 °C.
    OutOfRange,
    /// What the sensor that the trace is read as shows before its first conversion (rule R2b).
    PowerUp,
    /// An empty field.
    Missing,
}

/// One row.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Row {
    /// Whole seconds since 1970-01-01T00:00:00Z, rounded down (rule Q2).
    pub seconds: i64,
    /// Seconds the local clock is ahead of UTC, as written in the row.
    pub offset_seconds: i32,
    /// The temperature.
    pub reading: Sample,
}

/// Unit of the temperature column.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Unit {
    /// °C.
    Celsius,
    /// °F, converted exactly: (F - 32) x 5/9.
    Fahrenheit,
}

impl Unit {
    /// Its sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
        }
    }
}

/// How to read a trace.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Options {
    /// Name of the time column (`--time-column`).
    pub time_column: String,
    /// Name of the temperature column (`--temperature-column`).
    pub temperature_column: String,
    /// Unit of the temperature column, where it was asked for (`--celsius`, `--fahrenheit`); what the column's name says must
    /// agree with it. `None`: what the name says, else °C.
    pub unit: Option<Unit>,
    /// The sensor that the readings are taken to come from (`--sensor`): a reading that it cannot deliver is an error.
    pub sensor: Option<SensorKind>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            time_column: "time".to_owned(),
            temperature_column: "temperature_c".to_owned(),
            unit: None,
            sensor: None,
        }
    }
}

/// Rows in their order, wherever they come from.
pub trait Rows {
    /// The next row; `None` after the last.
    ///
    /// # Errors
    /// What is wrong with the source.
    fn next_row(&mut self) -> Result<Option<Row>, Problem>;

    /// Line on which the last row began, from 1.
    fn line(&self) -> u64;

    /// What messages call the source.
    fn file(&self) -> &str;
}

impl<R: Read> Rows for Trace<R> {
    #[inline]
    fn next_row(&mut self) -> Result<Option<Row>, Problem> {
        Self::next_row(self)
    }

    fn line(&self) -> u64 {
        Self::line(self)
    }

    fn file(&self) -> &str {
        Self::file(self)
    }
}

/// Bytes in memory; at least twice the longest record.
const BLOCK: usize = 256 * 1024;
/// Longest record, line end included.
const MOST_RECORD: usize = 64 * 1024;

/// A trace being read.
#[derive(Debug)]
pub struct Trace<R> {
    block: Block<R>,
    splitter: Splitter,
    quick: Quick,
    columns: Columns,
    /// Whether lines may be tried at fixed places; not before the first row is known.
    plain: bool,
    /// Line on which the next record begins, from 1.
    next_line: u64,
    /// Line on which the last row began.
    line: u64,
    read_as: ReadAs,
    /// Offset of the last row.
    offset: Option<i32>,
    file: String,
}

impl<R: Read> Trace<R> {
    /// Begins to read: finds the header and its columns. `name` is what messages call the file.
    ///
    /// # Errors
    /// A [`Problem`] when the source is empty, no CSV text, or its header lacks a column or has one twice, or the name of
    /// the temperature column does not agree with its unit; wrong usage when both columns are asked for under one name.
    pub fn new(name: &str, source: R, options: &Options) -> Result<Self, Problem> {
        Self::with_sizes(name, source, options, BLOCK, MOST_RECORD)
    }

    fn with_sizes(name: &str, source: R, options: &Options, block: usize, record: usize) -> Result<Self, Problem> {
        let mut trace = Self {
            block: Block::new(source, block),
            splitter: Splitter::new(record),
            quick: Quick::new(),
            columns: Columns::default(),
            plain: false,
            next_line: 1,
            line: 0,
            read_as: ReadAs::begun(options),
            offset: None,
            file: name.to_owned(),
        };
        trace.fill()?;
        let mark = header::mark(trace.block.rest()).map_err(|(what, remedy)| Problem::unusable(name, what, remedy))?;
        trace.block.take(mark);
        if !trace.next_record()? {
            let remedy = "give a file with the header time,temperature_c and a row for each reading";
            return Err(Problem::unusable(name, "the trace is empty", remedy));
        }
        let (columns, by) = header::columns(&trace.splitter, options).map_err(|problem| match problem {
            header::Wrong::Usage { what, remedy } => Problem::usage(what, remedy),
            header::Wrong::Header { what, remedy } => Problem::unusable(name, what, remedy).at_line(trace.line),
        })?;
        (trace.read_as.unit, trace.read_as.by) = (columns.unit, by);
        trace.columns = columns;
        trace.step_over();
        Ok(trace)
    }

    /// The next row; `None` after the last.
    ///
    /// # Errors
    /// A [`Problem`] with line and column for the first thing that is wrong, and when there is no row at all. After an
    /// error nothing more can be read.
    #[inline]
    pub fn next_row(&mut self) -> Result<Option<Row>, Problem> {
        if self.plain
            && let Some(window) = self.block.rest().first_chunk()
            && let Some((row, taken)) = line::read(window, &mut self.quick, self.columns.unit)
        {
            self.block.take(taken);
            self.line = self.next_line;
            self.next_line += 1;
            if self.offset != Some(row.offset_seconds) {
                self.another_offset(row.offset_seconds);
            }
            return Ok(Some(row));
        }
        self.next_row_of_any_form()
    }

    /// Line on which the last row began, from 1.
    pub fn line(&self) -> u64 {
        self.line
    }

    /// How it has been read, up to the last row.
    pub fn read_as(&self) -> &ReadAs {
        &self.read_as
    }

    /// Name of the file, as given.
    pub fn file(&self) -> &str {
        &self.file
    }

    #[cold]
    fn another_offset(&mut self, offset_seconds: i32) {
        self.offset = Some(offset_seconds);
        if !self.read_as.offsets.contains(&offset_seconds) {
            self.read_as.offsets.push(offset_seconds);
        }
    }

    #[inline(never)]
    fn next_row_of_any_form(&mut self) -> Result<Option<Row>, Problem> {
        if !self.next_record()? {
            if self.offset.is_none() {
                let remedy = "give a trace with at least one row below its header";
                let what = "the trace has a header and no rows";
                return Err(Problem::unusable(&self.file, what, remedy).at_line(self.line));
            }
            return Ok(None);
        }
        let row = field::row(&self.splitter, &self.columns, &mut self.quick).map_err(|wrong| {
            let (line, column) = record::place(self.splitter.raw(self.block.rest()), wrong.at);
            Problem::unusable(&self.file, wrong.what, wrong.remedy).at(self.line + line, column)
        })?;
        // the seconds of RFC 3339 stand at a fixed place, and the row has been found good
        if self.splitter.field(self.columns.time).0.get(17..19) == Some(b"60") {
            self.read_as.leap_second.get_or_insert(self.line);
        }
        self.step_over();
        if self.offset != Some(row.offset_seconds) {
            self.another_offset(row.offset_seconds);
        }
        self.plain = self.columns.in_order && self.columns.sensor.is_none();
        Ok(Some(row))
    }

    /// Cuts the next record, blank lines skipped, and leaves it in the block; false at the end.
    fn next_record(&mut self) -> Result<bool, Problem> {
        loop {
            self.fill()?;
            let rest = self.block.rest();
            if rest.is_empty() {
                return Ok(false);
            }
            // a blank line longer than a record may be is left to be refused as one
            let Some(blank) = record::blank_line(rest).filter(|blank| *blank <= self.splitter.most()) else { break };
            self.block.take(blank);
            self.next_line += 1;
        }
        self.line = self.next_line;
        let (rest, ended) = (self.block.rest(), self.block.ended());
        self.splitter.cut(rest, ended).map_err(|fault| {
            let (what, remedy, at) = fault.words(self.splitter.most());
            let (line, column) = record::place(rest, at);
            let problem = Problem::unusable(&self.file, what, remedy);
            match fault {
                Fault::TooLong | Fault::TooMany => problem.at_line(self.line + line),
                Fault::Unclosed { .. }
                | Fault::BehindQuote { .. }
                | Fault::Zero { .. }
                | Fault::NotText { .. }
                | Fault::Mark => problem.at(self.line + line, column),
            }
        })?;
        Ok(true)
    }

    /// Goes behind the record that was cut last.
    fn step_over(&mut self) {
        let record = self.splitter.raw(self.block.rest());
        self.next_line += record::line_ends(record);
        let length = record.len();
        self.block.take(length);
    }

    /// Sees to it that the longest record and what tells its end are in the block, or all that is left.
    fn fill(&mut self) -> Result<(), Problem> {
        self.block.fill(self.splitter.most() + 2).map_err(|error| {
            let remedy = "check that the file is a readable CSV file and its medium is sound";
            Problem::unusable(&self.file, format!("reading failed: {error}"), remedy).at_line(self.next_line)
        })
    }
}

#[cfg(test)]
mod tests;
