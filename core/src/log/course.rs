//! A group and what is recorded of it: the step, and the evidence that follows from it.
//!
//! What for: the live logger and the mount must agree on which evidence follows a happening, and in which order. Both
//! use this: the logger writes what [`Course::evidence`] names, the mount compares it with what stands in the log.
//! Why evidence at all: the happenings alone rebuild the group. That the engine of years later makes the same of them
//! is what the evidence shows; and a logger whose memory of a stage differs from its log must not be trusted.
//! Order: the refusal of the reading just before, a confirmed candidate, then stages by the fixings' numbers.
//! Invariants: evidence is named until it is taken, also over a restart: what a cut between a happening and its evidence
//! has kept from the log is made up for after the power-up.
//! What it does not do: write or read records.

use super::item::Item;
use super::record::{Record, StageSeen, StageWord};
use crate::cure::{Rule, Settings};
use crate::fixing::{FixingSpec, Grounds};
use crate::group::{Event, FixingNumber, Group, GroupError, Happening, MOST_FIXINGS, Verdict};
use crate::probe::Refusal;
use crate::quantity::{Count, Instant, Noted};
use crate::resin::Resin;

/// A group with what has been recorded of it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Course {
    group: Group,
    seen: [Seen; MOST_FIXINGS],
    refusal: Option<Refusal>,
    candidate: Option<(Instant, Count)>,
    stages: Stages,
}

/// A [`StageSeen`] in sixteen bytes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Seen {
    since: Noted,
    word: StageWord,
    grounds: Grounds,
}

impl Seen {
    const PLANNED: Self = Self { since: Noted::NONE, word: StageWord::Planned, grounds: Grounds::NONE };

    fn of(seen: StageSeen) -> Self {
        Self { since: seen.since.into(), word: seen.word, grounds: seen.grounds }
    }

    const fn stage(self) -> StageSeen {
        StageSeen { word: self.word, since: self.since.get(), grounds: self.grounds }
    }
}

/// Whether a stage may have changed since it was last compared.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Stages {
    Settled,
    /// Those from this place on.
    OpenFrom(u8),
}

impl Course {
    /// No group yet.
    pub(crate) const NONE: Self = Self {
        group: Group::NONE,
        seen: [Seen::PLANNED; MOST_FIXINGS],
        refusal: None,
        candidate: None,
        stages: Stages::Settled,
    };

    /// The resin that a group will be begun with; what is there is no group any more.
    pub(crate) fn set_resin(&mut self, resin: &Resin) {
        self.group.set_resin(resin);
    }

    /// Begins an empty group of which nothing is recorded, with the resin that was set.
    pub(crate) fn begin(&mut self, settings: Settings, rule: Rule) -> Result<(), GroupError> {
        self.seen = [Seen::PLANNED; MOST_FIXINGS];
        (self.refusal, self.candidate, self.stages) = (None, None, Stages::Settled);
        self.group.begin(settings, rule)
    }

    /// The group.
    pub const fn group(&self) -> &Group {
        &self.group
    }

    /// The stage of a fixing as it was last recorded.
    pub fn seen(&self, fixing: FixingNumber) -> StageSeen {
        self.seen.get(fixing.place()).copied().unwrap_or(Seen::PLANNED).stage()
    }

    /// Adds a fixing; `None` when the group is full.
    pub(crate) fn add(&mut self, spec: &FixingSpec) -> Option<FixingNumber> {
        self.group.add(spec).ok()
    }

    /// The group's step, with note of what evidence follows.
    pub(crate) fn step(&mut self, what: Happening, tell: &mut dyn FnMut(Event)) -> Verdict {
        let outside = self.group.is_outside();
        let mut eventful = match what {
            Happening::Reading { .. } => false,
            Happening::Unusable { .. }
            | Happening::Missing { .. }
            | Happening::Action { .. }
            | Happening::PowerUp { .. }
            | Happening::Untrusted => true,
        };
        let mut candidate = None;
        let verdict = self.group.step(what, &mut |event| {
            match event {
                Event::Interval { .. } | Event::Stuck { .. } => {}
                Event::CandidateAccepted { at, count } => {
                    candidate = Some((at, count));
                    eventful = true;
                }
                Event::StartRefused { .. }
                | Event::Started { .. }
                | Event::Seated { .. }
                | Event::HoleStricter { .. }
                | Event::Cured { .. }
                | Event::Withdrawn { .. }
                | Event::TorqueNoted { .. }
                | Event::Released { .. }
                | Event::Rejected { .. }
                | Event::Decided { .. } => eventful = true,
            }
            tell(event);
        });
        match verdict {
            Verdict::Refused(cause) => self.refusal = Some(cause),
            Verdict::Accepted
            | Verdict::AcceptedWithCandidate
            | Verdict::Missing
            | Verdict::Done
            | Verdict::NotApplicable(_) => {}
        }
        if candidate.is_some() {
            self.candidate = candidate;
        }
        // curing turns to held, and back, only when a reading crosses the limits
        if eventful || outside != self.group.is_outside() {
            self.stages = Stages::OpenFrom(0);
        }
        verdict
    }

    /// The next piece of evidence that is not recorded yet.
    pub(crate) fn evidence(&mut self) -> Option<Evidence> {
        if let Some(cause) = self.refusal {
            return Some(Evidence::Refused { cause });
        }
        if let Some((at, count)) = self.candidate {
            return Some(Evidence::Candidate { at, count });
        }
        let Stages::OpenFrom(first) = self.stages else { return None };
        for place in first..MOST_FIXINGS as u8 {
            let Some(fixing) = FixingNumber::new(place) else { continue };
            let Some((stage, grounds)) = self.group.stage(fixing) else { break };
            let seen = StageSeen::of_stage(&stage, grounds);
            if self.seen(fixing) != seen {
                self.stages = Stages::OpenFrom(place);
                return Some(Evidence::Stage { fixing, seen });
            }
        }
        self.stages = Stages::Settled;
        None
    }

    /// The piece of evidence is recorded.
    pub(crate) fn taken(&mut self, evidence: Evidence) {
        match evidence {
            Evidence::Refused { .. } => self.refusal = None,
            Evidence::Candidate { .. } => self.candidate = None,
            Evidence::Stage { fixing, seen } => {
                if let Some(place) = self.seen.get_mut(fixing.place()) {
                    *place = Seen::of(seen);
                }
            }
        }
    }
}

/// What follows from a happening.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Evidence {
    /// The reading just before was refused.
    Refused {
        /// Why.
        cause: Refusal,
    },
    /// A reading refused before is accepted after all.
    Candidate {
        /// Its own time.
        at: Instant,
        /// Its count.
        count: Count,
    },
    /// A fixing stands at another stage.
    Stage {
        /// Which.
        fixing: FixingNumber,
        /// Where it stands.
        seen: StageSeen,
    },
}

impl Evidence {
    /// As it is recorded.
    pub(crate) const fn item(self) -> Item {
        match self {
            Self::Refused { cause } => Item::Refused { cause },
            Self::Candidate { at, count } => Item::Record(Record::CandidateAccepted { at, count }),
            Self::Stage { fixing, seen } => Item::Record(Record::Stage { fixing, seen }),
        }
    }
}
