//! Where the acts take their place among the rows.
//!
//! An act comes before the first row, in order of arrival, whose time is later than its own: whoever acts knows the
//! rows that had come by then, those of the same second included, and nothing after them. Acts left at the end of the
//! rows come last. Acts among themselves go by time, and in one second by kind: injection, seating, hole, carried out,
//! torque, decision.

use super::model::{Act, History};

/// One step in the life of a fixing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// The row with this index in [`History::rows`].
    Row(usize),
    /// The act with this index in [`History::acts`].
    Act(usize),
}

/// All rows and acts in the order in which they are taken.
pub fn order(history: &History) -> Vec<Step> {
    // The later of two acts never has the earlier place, since a row later than it is later than the other too.
    let mut acts: Vec<usize> = (0..history.acts.len()).collect();
    acts.sort_by_key(|act| (history.acts[*act].at(), rank(&history.acts[*act]), *act));
    let mut steps = Vec::new();
    let mut acts = acts.into_iter().peekable();
    for (row, kind) in history.rows.iter().enumerate() {
        while let Some(act) = acts.next_if(|act| history.acts[*act].at() < kind.at()) {
            steps.push(Step::Act(act));
        }
        steps.push(Step::Row(row));
    }
    steps.extend(acts.map(Step::Act));
    steps
}

fn rank(act: &Act) -> u8 {
    match act {
        Act::Inject { .. } => 0,
        Act::Seat { .. } => 1,
        Act::Hole { .. } => 2,
        Act::CarriedOut { .. } => 3,
        Act::Torque { .. } | Act::TorquedEarly { .. } => 4,
        Act::Decide { .. } => 5,
    }
}
