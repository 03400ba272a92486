//! What is told of a trace beside what its readings came to.

use super::{Apart, OtherOffset, Timed};
use holdoff_core::group::FixingNumber;
use holdoff_files::trace::ReadAs;

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
}
