//! What the face of the concrete showed, as the engine took it.

use crate::replay::Watcher;
use holdoff_core::fixing::Action;
use holdoff_core::group::{Event, FixingNumber, Group, Happening, Seconds, Verdict};
use holdoff_core::quantity::{Count, Instant};
use holdoff_files::trace::Row;

/// Whether the stretch before a reading was observed (rule R3).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Before {
    /// It is the first reading.
    Nothing,
    /// Readings follow one another closely enough.
    Observed,
    /// They lie too far apart, or one was refused in between.
    Unobserved,
}

/// An accepted reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Reading {
    /// When.
    pub at: Instant,
    /// The count.
    pub count: Count,
    /// What lies between it and the reading before.
    pub before: Before,
}

/// What the engine was told, in the order of arrival; the readings themselves stand apart, in the same order.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum FaceEntry {
    /// The next accepted reading.
    Accepted,
    /// A reading that is not used.
    Refused(Instant),
    /// A missing reading.
    Missing(Instant),
    /// Somebody did something.
    Action(Instant, FixingNumber, Action),
}

/// A replay over the face's temperatures, written down so that it can be gone through again with other temperatures.
#[derive(Clone, Debug, Default)]
pub struct Face {
    pub(super) entries: Vec<FaceEntry>,
    readings: Vec<Reading>,
    /// What the last interval was that the step told of.
    interval: Option<Before>,
}

impl Face {
    /// The accepted readings, in order of time.
    pub fn readings(&self) -> &[Reading] {
        &self.readings
    }

    fn accepted(&mut self, at: Instant, count: Count) {
        self.entries.push(FaceEntry::Accepted);
        self.readings.push(Reading { at, count, before: Before::Nothing });
    }
}

impl Watcher for Face {
    fn row(&mut self, _: &Group, row: &Row, verdict: Verdict) {
        let at = Instant::from_seconds(row.seconds);
        match verdict {
            Verdict::Refused(_) => self.entries.push(FaceEntry::Refused(at)),
            Verdict::Missing => self.entries.push(FaceEntry::Missing(at)),
            // accepted readings are written down as happenings, which carry the count
            Verdict::Accepted | Verdict::AcceptedWithCandidate | Verdict::Done | Verdict::NotApplicable(_) => {}
        }
    }

    fn event(&mut self, event: &Event) {
        match event {
            Event::Interval { to, seconds, .. } => {
                let before = match seconds {
                    Seconds::Counted { .. } | Seconds::TooCold | Seconds::TooWarm => Before::Observed,
                    Seconds::LongGap | Seconds::Interrupted => Before::Unobserved,
                };
                // the interval of a confirmed candidate is told after the candidate, that of a plain reading before it
                match self.readings.last_mut() {
                    Some(last) if last.at == *to => last.before = before,
                    Some(_) | None => self.interval = Some(before),
                }
            }
            Event::CandidateAccepted { at, count } => self.accepted(*at, *count),
            Event::Stuck { .. }
            | Event::StartRefused { .. }
            | Event::Started { .. }
            | Event::Seated { .. }
            | Event::HoleStricter { .. }
            | Event::Cured { .. }
            | Event::Withdrawn { .. }
            | Event::CureMoved { .. }
            | Event::TorqueNoted { .. }
            | Event::Released { .. }
            | Event::Rejected { .. }
            | Event::Decided { .. } => {}
        }
    }

    fn happening(&mut self, group: &Group, what: &Happening) {
        match what {
            Happening::Reading { at, count } => {
                // the step has just taken it, or it is not the last accepted one
                if group.last_reading() == Some((*at, *count)) && self.readings.last().is_none_or(|last| last.at < *at)
                {
                    self.accepted(*at, *count);
                    if let (Some(last), Some(before)) = (self.readings.last_mut(), self.interval.take()) {
                        last.before = before;
                    }
                }
            }
            Happening::Action { at, fixing, action } => self.entries.push(FaceEntry::Action(*at, *fixing, *action)),
            Happening::Unusable { .. }
            | Happening::Missing { .. }
            | Happening::Lost { .. }
            | Happening::PowerUp { .. }
            | Happening::Untrusted => {}
        }
    }
}
