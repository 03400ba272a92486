//! Times written in an offset that the trace does not have.
//!
//! What for: `08:10` read off a trace in +01:00 and written down with a `Z` is an hour later than was meant. The instant that is
//! written counts; that it may not be the one meant is told, in both offsets.
//! What it does not do: find an offset that is wrong in trace and action alike; ask which of its offsets a trace had when: one
//! that changes to summer time has two, and a time in either is as the trace's.

use super::{Act, Plan};
use holdoff_core::group::FixingNumber;
use holdoff_files::trace::ReadAs;

/// What a time belongs to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Timed {
    /// An action on a fixing, with the fixing's name where it has one.
    Act(FixingNumber, Option<String>, Act),
    /// An option of the command line, such as `--from`.
    Option(&'static str),
}

/// A time in an offset that no row of the trace has.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct OtherOffset {
    /// What it belongs to.
    pub what: Timed,
    /// Seconds since 1970-01-01T00:00:00Z.
    pub at: i64,
    /// Offset it is written in, seconds ahead of UTC.
    pub offset_seconds: i32,
}

impl OtherOffset {
    /// Those among the actions of a plan, in order of time.
    pub fn among_acts(plan: &Plan, read_as: &ReadAs) -> Vec<Self> {
        let acts = plan.acts().into_iter().map(|(fixing, act)| {
            let name = plan.name_of(fixing).map(str::to_owned);
            Self { what: Timed::Act(fixing, name, act), at: act.at.seconds(), offset_seconds: act.offset_seconds }
        });
        acts.filter(|time| time.is_other(read_as)).collect()
    }

    /// Those among the options of a command line.
    pub fn among_options(times: &[(&'static str, holdoff_files::stamp::Stamp)], read_as: &ReadAs) -> Vec<Self> {
        let options = times.iter().map(|(option, stamp)| Self {
            what: Timed::Option(option),
            at: stamp.floor_seconds(),
            offset_seconds: stamp.offset_seconds(),
        });
        options.filter(|time| time.is_other(read_as)).collect()
    }

    fn is_other(&self, read_as: &ReadAs) -> bool {
        !read_as.offsets.is_empty() && !read_as.offsets.contains(&self.offset_seconds)
    }
}
