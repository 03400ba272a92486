//! What is told of a trace beside what its readings came to, and its part of every JSON object (`docs/interfaces.md`, Trace).

use super::{Apart, OtherOffset, Timed};
use crate::stamp::{format_seconds, offset_text};
use crate::trace::{ReadAs, Unit, UnitBy};
use holdoff_core::group::FixingNumber;
use serde::Serialize;

/// What is told of a trace.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Seen {
    /// How it was read.
    pub read_as: ReadAs,
    /// How far apart its readings lie.
    pub apart: Apart,
    /// Times of actions, or of options, in an offset that it does not have.
    pub other_offsets: Vec<OtherOffset>,
}

/// The same for a script; flattened into the object of a command.
#[derive(Debug, Serialize)]
pub struct SeenObject {
    trace: TraceObject,
    spacing: SpacingObject,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    in_other_offset: Vec<OtherOffsetObject>,
}

#[derive(Debug, Serialize)]
struct SpacingObject {
    intervals: u64,
    over_longest_gap: u64,
    set_longest_gap_s: Option<u32>,
}

#[derive(Debug, Serialize)]
struct OtherOffsetObject {
    action: &'static str,
    at: String,
    in_trace: String,
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
    /// The same with no times but those of one fixing.
    #[must_use]
    pub fn of_fixing(&self, number: FixingNumber) -> Self {
        let mut seen = self.clone();
        seen.other_offsets.retain(|time| match time.what {
            Timed::Act(fixing, _, _) => fixing == number,
            Timed::Option(_) => false,
        });
        seen
    }

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
            spacing: SpacingObject {
                intervals: self.apart.intervals(),
                over_longest_gap: self.apart.over(),
                set_longest_gap_s: self.apart.too_far().and_then(|found| found.set).map(|span| span.seconds()),
            },
            in_other_offset: self.other_offsets.iter().map(|time| time.object(read_as)).collect(),
        }
    }
}

impl OtherOffset {
    fn object(&self, read_as: &ReadAs) -> OtherOffsetObject {
        OtherOffsetObject {
            action: match &self.what {
                Timed::Act(_, _, act) => act.word(),
                Timed::Option(option) => option,
            },
            at: format_seconds(self.at, self.offset_seconds),
            in_trace: format_seconds(self.at, read_as.first_offset()),
        }
    }
}
