//! What is told of a trace beside what its readings came to, and its part of every JSON object (`docs/interfaces.md`, Trace).

use crate::stamp::offset_text;
use crate::trace::{ReadAs, Unit, UnitBy};
use serde::Serialize;

/// What is told of a trace.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Seen {
    /// How it was read.
    pub read_as: ReadAs,
}

/// The same for a script; flattened into the object of a command.
#[derive(Debug, Serialize)]
pub struct SeenObject {
    trace: TraceObject,
}

#[derive(Debug, Serialize)]
struct TraceObject {
    time_column: String,
    temperature_column: String,
    unit: &'static str,
    unit_by: &'static str,
    offset: String,
    other_offsets: Vec<String>,
}

impl Seen {
    /// Its part of a JSON object.
    pub fn object(&self) -> SeenObject {
        let read_as = &self.read_as;
        SeenObject {
            trace: TraceObject {
                time_column: read_as.time_column.clone(),
                temperature_column: read_as.temperature_column.clone(),
                unit: match read_as.unit {
                    Unit::Celsius => "celsius",
                    Unit::Fahrenheit => "fahrenheit",
                },
                unit_by: match read_as.by {
                    UnitBy::Name => "name",
                    UnitBy::Asked => "asked",
                    UnitBy::Default => "default",
                },
                offset: offset_text(read_as.first_offset()),
                other_offsets: read_as.offsets.iter().skip(1).map(|offset| offset_text(*offset)).collect(),
            },
        }
    }
}
