//! What the temperatures below the face do to the release.

use super::below::Below;
use super::face::{Face, FaceEntry};
use holdoff_core::fixing::{Grounds, Stage, Status};
use holdoff_core::group::{FixingNumber, Group, Happening};
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::{Count, Instant};

/// The statuses of one fixing by the face, by the bottom of the hole, and by the coldest along it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Statuses {
    /// By the readings as they are.
    pub face: Status,
    /// By the temperature at the bottom.
    pub bottom: Status,
    /// By the coldest temperature anywhere from the face to the bottom.
    pub along: Status,
}

/// How strict a stage is, the mildest first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Strictness {
    Cured,
    NotYet,
    Rejected,
    Refused,
}

/// What may be said of the fixing when all three are looked at.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Stated {
    /// The strictest of the three stages.
    pub stage: Stage,
    /// The latest of the three cures; `None` unless all three are cured.
    pub cured_at: Option<Instant>,
    /// All grounds of refusal or rejection.
    pub grounds: Grounds,
}

impl Statuses {
    /// The three, the face first.
    pub fn all(&self) -> [&Status; 3] {
        [&self.face, &self.bottom, &self.along]
    }

    /// What is stated: the strictest stage, and a cure only where all three have one, the latest. So it is never earlier
    /// than the face's.
    pub fn stated(&self) -> Stated {
        let cures = self.all().map(|status| status.cured_at);
        let cured_at = if cures.contains(&None) { None } else { cures.into_iter().flatten().max() };
        let grounds = self.all().iter().fold(Grounds::NONE, |grounds, status| grounds.and(status.grounds));
        let strictest = self.all().into_iter().max_by_key(|status| (strictness(&status.stage), status.cured_at));
        Stated { stage: strictest.map_or(self.face.stage, |status| status.stage), cured_at, grounds }
    }
}

fn strictness(stage: &Stage) -> Strictness {
    match stage {
        Stage::Cured(_) | Stage::Released(_) => Strictness::Cured,
        Stage::Planned | Stage::Working | Stage::Curing | Stage::Held => Strictness::NotYet,
        Stage::Rejected(_) | Stage::AcceptedAsIs(_) | Stage::Removed(_) => Strictness::Rejected,
        Stage::Refused => Strictness::Refused,
    }
}

/// Goes through the same happenings again with the temperatures below the face.
///
/// `fresh` is the group as it was before anything happened, `face` what the replay over the face's readings wrote down,
/// and `after` that replay's group. `None` where there is no fixing of that number.
pub fn check(fresh: &Group, face: &Face, after: &Group, below: &Below, number: FixingNumber) -> Option<Statuses> {
    Some(Statuses {
        face: after.status(number)?,
        bottom: again(fresh, face, &below.bottom).status(number)?,
        along: again(fresh, face, &below.along).status(number)?,
    })
}

/// The same readings, refusals and actions in the same order, with other temperatures.
fn again(fresh: &Group, face: &Face, counts: &[Count]) -> Group {
    let mut group = fresh.clone();
    let mut readings = face.readings().iter().zip(counts);
    for entry in &face.entries {
        let what = match entry {
            FaceEntry::Accepted => {
                let Some((reading, count)) = readings.next() else { continue };
                Happening::Reading { at: reading.at, count: *count }
            }
            FaceEntry::Refused(at) => Happening::Unusable { at: *at, cause: Refusal::Bus },
            FaceEntry::Missing(at) => Happening::Missing { at: *at },
            FaceEntry::Action(at, fixing, action) => Happening::Action { at: *at, fixing: *fixing, action: *action },
        };
        let _ = group.step(what, &mut |_| {}); // what the probe's group refused is among them
    }
    group
}
