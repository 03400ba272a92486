//! A group and its record: the step, and the evidence that follows from it.
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
use super::open::{Items, Written};
use super::record::{Record, StageSeen};
use super::replay::Outcome;
use crate::cure::{Rule, Settings};
use crate::fixing::{Demands, FixingSpec, Stage};
use crate::group::{Event, FixingNumber, FixingSet, Group, Happening, MOST_FIXINGS, Verdict};
use crate::probe::Refusal;
use crate::quantity::{Count, Instant};

/// A group with what has been recorded of it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Course {
    group: Group,
    seen: [StageSeen; MOST_FIXINGS],
    refusal: Option<Refusal>,
    candidate: Option<(Instant, Count)>,
    stages: Stages,
    parts: Parts,
}

/// A piece of evidence: what the step made of what happened.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Evidence {
    /// The reading or unusable answer just before was refused.
    Refused(Refusal),
    /// A candidate was accepted after all: its time and its count.
    Candidate(Instant, Count),
    /// The fixing stands at this stage now.
    Stage(FixingNumber, StageSeen),
}

/// How far fixings are: what a run loop asks in every step is looked up only when a stage may have changed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Parts {
    /// In their working time.
    pub(crate) working: FixingSet,
    /// Between injection and their end: working, curing, held, or cured and still to be torqued.
    pub(crate) running: FixingSet,
    /// At their end, with a release to be sealed.
    pub(crate) ended: FixingSet,
}

impl Parts {
    pub(crate) const NONE: Self =
        Self { working: FixingSet::EMPTY, running: FixingSet::EMPTY, ended: FixingSet::EMPTY };

    fn put(&mut self, fixing: FixingNumber, stage: Stage, torqued: bool) {
        match stage {
            Stage::Working => {
                self.working = self.working.with(fixing);
                self.running = self.running.with(fixing);
            }
            Stage::Curing | Stage::Held => self.running = self.running.with(fixing),
            Stage::Cured(_) if torqued => self.running = self.running.with(fixing),
            Stage::Cured(_) | Stage::Released(_) => self.ended = self.ended.with(fixing),
            Stage::Planned | Stage::Refused | Stage::Rejected(_) | Stage::AcceptedAsIs(_) | Stage::Removed(_) => {}
        }
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
    /// Nothing has happened yet.
    pub fn new(group: Group) -> Self {
        Self {
            group,
            seen: [StageSeen::PLANNED; MOST_FIXINGS],
            refusal: None,
            candidate: None,
            stages: Stages::Settled,
            parts: Parts::NONE,
        }
    }

    /// The group.
    pub const fn group(&self) -> &Group {
        &self.group
    }

    /// See [`Group::set_up`].
    pub(crate) fn set_up(&mut self, settings: Settings, rule: Rule) -> Option<()> {
        self.group.set_up(settings, rule).ok()
    }

    /// See [`Group::look_back_as_a_logger`].
    pub(crate) fn look_back_as_a_logger(&mut self) {
        self.group.look_back_as_a_logger();
    }

    /// See [`Group::demand`]; `None` when there is a fixing already, since what was done to it was judged without.
    pub(crate) fn demand(&mut self, demands: Demands) -> Option<Outcome> {
        if self.group.fixings().next().is_some() {
            return None;
        }
        self.group.demand(demands);
        Some(Outcome::Noted)
    }

    /// The stage of a fixing as it was last recorded.
    pub fn seen(&self, fixing: FixingNumber) -> StageSeen {
        self.seen.get(fixing.place()).copied().unwrap_or(StageSeen::PLANNED)
    }

    /// Adds a fixing; `None` when the group is full.
    pub(crate) fn add(&mut self, spec: &FixingSpec) -> Option<FixingNumber> {
        self.group.add(spec).ok()
    }

    /// How far its fixings are.
    pub(crate) const fn parts(&self) -> Parts {
        self.parts
    }

    fn look_at_parts(&mut self) {
        self.parts = Parts::NONE;
        for fixing in self.group.fixings() {
            if let Some(stage) = self.group.stage(fixing) {
                self.parts.put(fixing, stage, self.group.torque_range(fixing).is_some());
            }
        }
    }

    /// The group's step, with note of what evidence follows.
    pub(crate) fn step(&mut self, what: Happening, tell: &mut dyn FnMut(Event)) -> Verdict {
        let outside = self.group.is_outside();
        let mut eventful = match what {
            Happening::Reading { .. } => false,
            Happening::Unusable { .. }
            | Happening::Missing { .. }
            | Happening::Lost { .. }
            | Happening::Action { .. }
            | Happening::PowerUp { .. }
            | Happening::Untrusted => true,
        };
        let mut candidate = None;
        let tell: &mut dyn FnMut(Event) = &mut |event| {
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
                | Event::CureMoved { .. }
                | Event::TorqueNoted { .. }
                | Event::Released { .. }
                | Event::Rejected { .. }
                | Event::Decided { .. } => eventful = true,
            }
            tell(event);
        };
        let verdict = self.group.step(what, tell);
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
            self.look_at_parts();
        }
        verdict
    }

    /// The next piece of evidence that is not recorded yet.
    pub(crate) fn evidence(&mut self) -> Option<Evidence> {
        if let Some(cause) = self.refusal {
            return Some(Evidence::Refused(cause));
        }
        if let Some((at, count)) = self.candidate {
            return Some(Evidence::Candidate(at, count));
        }
        let Stages::OpenFrom(first) = self.stages else { return None };
        for place in first..MOST_FIXINGS as u8 {
            if let Some((fixing, seen)) = self.unrecorded(place) {
                self.stages = Stages::OpenFrom(place);
                return Some(Evidence::Stage(fixing, seen));
            }
        }
        self.stages = Stages::Settled;
        None
    }

    /// That the fixing at this place stands at another stage than was last recorded.
    fn unrecorded(&self, place: u8) -> Option<(FixingNumber, StageSeen)> {
        let fixing = FixingNumber::new(place)?;
        let seen = StageSeen::of(self.group.stage(fixing)?, self.group.grounds(fixing)?);
        (self.seen(fixing) != seen).then_some((fixing, seen))
    }

    /// How many stages are not recorded yet.
    pub(crate) fn waiting(&self) -> usize {
        match self.stages {
            Stages::Settled => 0,
            Stages::OpenFrom(first) => {
                (first..MOST_FIXINGS as u8).filter(|place| self.unrecorded(*place).is_some()).count()
            }
        }
    }

    /// All evidence is recorded. Whether there was more of it than a refusal, which is none of a record.
    pub(crate) fn all_taken(&mut self) -> bool {
        let mut records = self.candidate.is_some();
        (self.refusal, self.candidate) = (None, None);
        let Stages::OpenFrom(first) = self.stages else { return records };
        for place in first..MOST_FIXINGS as u8 {
            if let Some((fixing, seen)) = self.unrecorded(place) {
                self.taken(Evidence::Stage(fixing, seen));
                records = true;
            }
        }
        self.stages = Stages::Settled;
        records
    }

    /// The piece of evidence is recorded.
    pub(crate) fn taken(&mut self, evidence: Evidence) {
        match evidence {
            Evidence::Refused(_) => self.refusal = None,
            Evidence::Candidate(..) => self.candidate = None,
            Evidence::Stage(fixing, seen) => {
                if let Some(place) = self.seen.get_mut(fixing.place()) {
                    *place = seen;
                }
            }
        }
    }
}

/// All evidence that is not recorded yet, in the order of [`Course::evidence`].
impl Items for Course {
    fn each(&self, write: &mut dyn FnMut(Written<'_>)) {
        if let Some(cause) = self.refusal {
            write(Written::Item(&Item::Refused { cause }));
        }
        if let Some((at, count)) = self.candidate {
            write(Written::Item(&Item::Record(Record::CandidateAccepted { at, count })));
        }
        let Stages::OpenFrom(first) = self.stages else { return };
        for (fixing, seen) in (first..MOST_FIXINGS as u8).filter_map(|place| self.unrecorded(place)) {
            write(Written::Stage(fixing, seen));
        }
    }
}
