//! Where the acts take their place among the rows.
//!
//! An act comes before the first row, in order of arrival, whose time is later than its own: whoever acts knows the
//! rows that had come by then, those of the same second included, and nothing after them. Acts left at the end of the
//! rows come last. Acts among themselves go by time, and in one second by kind: cleaning and nozzle, injection,
//! seating and what is declared of it, hole, carried out, torque, decision; of one kind those of the neighbour come last.

use super::model::{Act, History};

/// One step in the life of a fixing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// The row with this index in [`History::rows`].
    Row(usize),
    /// The act with this index in [`History::acts`].
    Act(usize),
    /// The act with this index in [`History::neighbour`].
    Neighbour(usize),
}

/// All rows and acts in the order in which they are taken.
pub fn order(history: &History) -> Vec<Step> {
    // The later of two acts never has the earlier place, since a row later than it is later than the other too.
    let own = (0..history.acts.len()).map(|act| (&history.acts[act], Step::Act(act)));
    let other = (0..history.neighbour.len()).map(|act| (&history.neighbour[act], Step::Neighbour(act)));
    let mut acts: Vec<(&Act, Step)> = own.chain(other).collect();
    acts.sort_by_key(|(act, _)| (act.at(), rank(act)));
    let mut steps = Vec::new();
    let mut acts = acts.into_iter().peekable();
    for (row, kind) in history.rows.iter().enumerate() {
        while let Some((_, step)) = acts.next_if(|(act, _)| act.at() < kind.at()) {
            steps.push(step);
        }
        steps.push(Step::Row(row));
    }
    steps.extend(acts.map(|(_, step)| step));
    steps
}

fn rank(act: &Act) -> u8 {
    match act {
        Act::Clean { .. } | Act::NewNozzle { .. } | Act::Discard { .. } => 0,
        Act::Inject { .. } => 1,
        Act::Seat { .. } => 2,
        Act::Seating { .. } => 3,
        Act::Hole { .. } => 4,
        Act::CarriedOut { .. } => 5,
        Act::Torque { .. } | Act::TorquedEarly { .. } => 6,
        Act::Decide { .. } => 7,
    }
}
