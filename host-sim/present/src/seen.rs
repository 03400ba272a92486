//! What is told of a trace, as its part of every JSON object (`docs/interfaces.md`, Trace).

use holdoff_files::stamp::{format_seconds, offset_text};
use holdoff_files::trace::{ReadAs, Unit, UnitBy};
use holdoff_site::replay::{OtherOffset, Seen, Timed};
use serde::Serialize;

/// What is told of a trace; flattened into the object of a command.
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

impl SeenObject {
    /// Of what is told of a trace.
    pub fn of(seen: &Seen) -> Self {
        let read_as = &seen.read_as;
        Self {
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
                intervals: seen.apart.intervals(),
                over_longest_gap: seen.apart.over(),
                set_longest_gap_s: seen.apart.too_far().and_then(|found| found.set).map(|span| span.seconds()),
            },
            in_other_offset: seen.other_offsets.iter().map(|time| OtherOffsetObject::of(time, read_as)).collect(),
        }
    }
}

impl OtherOffsetObject {
    fn of(time: &OtherOffset, read_as: &ReadAs) -> Self {
        Self {
            action: match &time.what {
                Timed::Act(_, _, act) => act.word(),
                Timed::Option(option) => option,
            },
            at: format_seconds(time.at, time.offset_seconds),
            in_trace: format_seconds(time.at, read_as.first_offset()),
        }
    }
}
