//! How a trace was read: what every account of it says.

use super::{Options, Unit};

/// Whence the unit of the temperature column is known.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum UnitBy {
    /// The column's name says it.
    Name,
    /// An option, or the scenario, says it.
    Asked,
    /// Nothing says it: °C.
    Default,
}

/// Columns, unit and offsets of a trace.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ReadAs {
    /// Name of the time column.
    pub time_column: String,
    /// Name of the temperature column.
    pub temperature_column: String,
    /// Unit of the temperature column.
    pub unit: Unit,
    /// Whence it is known.
    pub by: UnitBy,
    /// Offsets of the rows read so far, seconds ahead of UTC, each once, in the order they came up; no more than there are
    /// offsets (2,879).
    pub offsets: Vec<i32>,
    /// Line of the first row in a leap second (23:59:60 UTC), which counts as the second after it.
    pub leap_second: Option<u64>,
}

impl ReadAs {
    /// Before anything is read.
    pub(super) fn begun(options: &Options) -> Self {
        Self {
            time_column: options.time_column.clone(),
            temperature_column: options.temperature_column.clone(),
            unit: options.unit.unwrap_or(Unit::Celsius),
            by: UnitBy::Default,
            offsets: Vec::new(),
            leap_second: None,
        }
    }

    /// Offset of the first row, seconds ahead of UTC: the offset to show times in. UTC before there is a row.
    pub fn first_offset(&self) -> i32 {
        self.offsets.first().copied().unwrap_or(0)
    }
}
