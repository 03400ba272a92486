//! What is told of a trace.

use super::{Speech, TracePhrase as P};
use crate::problem::shown;
use crate::stamp::offset_text;
use crate::trace::{ReadAs, Unit, UnitBy};

/// Most offsets beside the first that are told.
const MOST_OFFSETS: usize = 4;

impl Speech {
    /// Which column was read, in which unit and offset.
    pub fn read_as(&self, read_as: &ReadAs) -> String {
        let unit = self.say(match read_as.unit {
            Unit::Celsius => P::Celsius,
            Unit::Fahrenheit => P::Fahrenheit,
        });
        let by = self.say(match read_as.by {
            UnitBy::Name => P::ByName,
            UnitBy::Asked => P::ByAsked,
            UnitBy::Default => P::ByDefault,
        });
        let (temperature, time) = (shown(read_as.temperature_column.as_bytes()), shown(read_as.time_column.as_bytes()));
        let offsets = self.offsets(read_as);
        let gaps =
            [("unit", unit), ("by", by), ("temperature", &temperature), ("time", &time), ("offsets", offsets.as_str())];
        self.fill(P::ReadAs, &gaps)
    }

    /// The offsets of a trace: the first, and the others where it changes.
    fn offsets(&self, read_as: &ReadAs) -> String {
        let first = utc(read_as.first_offset());
        let mut others: Vec<String> = read_as.offsets.iter().skip(1).map(|offset| utc(*offset)).collect();
        if others.is_empty() {
            return first;
        }
        if others.len() > MOST_OFFSETS {
            let more = (others.len() - MOST_OFFSETS).to_string();
            others.truncate(MOST_OFFSETS);
            others.push(self.fill(P::MoreOffsets, &[("number", &more)]));
        }
        self.fill(P::Offsets, &[("first", &first), ("others", &others.join(", "))])
    }
}

/// `UTC+01:00`; `UTC` for no offset.
fn utc(offset_seconds: i32) -> String {
    if offset_seconds == 0 { "UTC".to_owned() } else { format!("UTC{}", offset_text(offset_seconds)) }
}
