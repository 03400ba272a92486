//! What is told of a trace.

use super::{Speech, TracePhrase as P};
use holdoff_core::cure::Settings;
use holdoff_core::quantity::Instant;
use holdoff_files::duration;
use holdoff_files::problem::{shown, visible};
use holdoff_files::stamp::offset_text;
use holdoff_files::trace::{ReadAs, Unit, UnitBy};
use holdoff_site::replay::{OtherOffset, Seen, Timed, TooFarApart};

/// The longest that a longest gap may be (rule Q4), s.
const MOST_GAP: u64 = 3600;
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

    /// What to look at in a trace before its results; `time` shows an instant in an offset.
    pub fn warnings(&self, seen: &Seen, time: &dyn Fn(Instant, i32) -> String) -> Vec<String> {
        let mut warnings: Vec<String> = seen.apart.too_far().iter().map(|found| self.too_far_apart(found)).collect();
        let mut told: Vec<i32> = Vec::new();
        for other in &seen.other_offsets {
            if told.contains(&other.offset_seconds) {
                continue;
            }
            told.push(other.offset_seconds);
            let alike = seen.other_offsets.iter().filter(|time| time.offset_seconds == other.offset_seconds).count();
            let words = self.other_offset(other, seen, time);
            warnings.push(match alike {
                0 | 1 => words,
                more => self.fill(P::OtherOffsetMore, &[("told", &words), ("number", &(more - 1).to_string())]),
            });
        }
        if let Some(line) = seen.read_as.leap_second {
            warnings.push(self.fill(P::LeapSecond, &[("line", &line.to_string())]));
        }
        warnings
    }

    fn too_far_apart(&self, found: &TooFarApart) -> String {
        let what = match found.set {
            Some(set) => {
                let lax = set.seconds() > Settings::DEFAULT.longest_gap().seconds();
                let option = format!("--longest-gap {}", duration::format(set).replace(' ', ""));
                self.fill(if lax { P::SetLaxerGap } else { P::SetGap }, &[("option", &option)])
            }
            None => self.fill(P::NoGap, &[("most", &self.length(MOST_GAP))]),
        };
        let (intervals, over) = (found.intervals.to_string(), found.over.to_string());
        let gap = self.length(u64::from(found.longest_gap.seconds()));
        let gaps = [("intervals", intervals.as_str()), ("over", &over), ("gap", &gap), ("what", &what)];
        self.fill(P::TooFarApart, &gaps)
    }

    fn other_offset(&self, other: &OtherOffset, seen: &Seen, time: &dyn Fn(Instant, i32) -> String) -> String {
        let action = match &other.what {
            Timed::Act(_, None, act) => self.act(act).to_owned(),
            Timed::Act(_, Some(name), act) => {
                self.fill(P::OfFixing, &[("fixing", &visible(name)), ("action", self.act(act))])
            }
            Timed::Option(option) => format!("`{option}`"), // typed as it is
        };
        let instant = Instant::from_seconds(other.at);
        let (at, there) = (time(instant, other.offset_seconds), time(instant, seen.read_as.first_offset()));
        let gaps = [("action", &*action), ("at", &at), ("offsets", &self.offsets(&seen.read_as)), ("there", &there)];
        self.fill(P::OtherOffset, &gaps)
    }

    /// The same as they stand at the head of an account, with a line between; nothing where there is nothing to be looked at.
    pub fn head(&self, seen: &Seen) -> String {
        let warnings = self.warnings(seen, &|at, offset_seconds| self.when(at, offset_seconds));
        if warnings.is_empty() { String::new() } else { format!("{}\n\n", warnings.join("\n")) }
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
