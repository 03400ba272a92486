//! What a calibration of a probe is worth, for a person and for a script.
//!
//! Rounding of what is shown, to 0.001, against the reader's hurry: corrections away from zero, what is needed up, what is given
//! or left down. Temperatures of readings are rounded to the nearest, for reading only. Nothing is decided by what is shown.

mod json;
mod sentence;
mod words;

pub use json::{Object, object};
pub(crate) use sentence::{cells, decides, first_line, heads, judged, on_day};
pub use words::text;

use chrono::NaiveDate;
use holdoff_core::cure::Uncertainty;
use holdoff_files::calibration::Calibration;
use holdoff_site::calibration::Row;

/// A calibration and what it was held against.
#[derive(Clone, Debug)]
pub struct Report<'a> {
    /// The calibration.
    pub calibration: &'a Calibration,
    /// The day that it is judged on.
    pub on: NaiveDate,
    /// At least one; of no resin its own points.
    pub checks: Vec<Check<'a>>,
}

/// A calibration held against a resin, and a job's uncertainty.
#[derive(Clone, Debug)]
pub struct Check<'a> {
    /// The resin's name; `None` where its own points are looked at.
    pub resin: Option<&'a str>,
    /// Whether the resin is invented.
    pub demo: bool,
    /// The job's name and uncertainty.
    pub job: Option<(&'a str, Uncertainty)>,
    /// What was judged.
    pub rows: Vec<Row>,
}
