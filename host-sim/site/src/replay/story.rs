//! What is kept of a replay to be told or drawn, in bounded memory.

use super::Watcher;
use holdoff_core::group::{Event, FixingNumber, Group, Happening, Seconds, Verdict};
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::Instant;
use holdoff_files::trace::{Row, Sample};

/// Most points of the drawn series; when they are full, neighbours are joined two by two.
const MOST_POINTS: usize = 4096;
/// Most stretches that are kept one by one.
const MOST_STRETCHES: usize = 10_000;

/// The temperatures and the standing of the first fixing over some time: one accepted reading, or several joined.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Point {
    /// Time of the first reading, s.
    pub from: i64,
    /// Time of the last reading, s.
    pub to: i64,
    /// Raw count of the coldest reading.
    pub coldest: i16,
    /// Raw count of the warmest reading.
    pub warmest: i16,
    /// Served seconds after the last reading; 0 before seating.
    pub served: u64,
    /// Required seconds after the last reading; 0 before seating.
    pub required: u64,
}

impl Point {
    fn join(self, next: Self) -> Self {
        Self {
            from: self.from,
            to: next.to,
            coldest: self.coldest.min(next.coldest),
            warmest: self.warmest.max(next.warmest),
            ..next
        }
    }
}

/// Why seconds did not count.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Why {
    /// Under the coldest usable edge.
    TooCold,
    /// Over the greatest curing temperature.
    TooWarm,
    /// The readings lay too far apart.
    LongGap,
    /// A reading was refused, or the logger restarted, in between.
    Interrupted,
}

impl Why {
    /// Whether the seconds are held, and not unobserved.
    pub const fn is_held(self) -> bool {
        match self {
            Self::TooCold | Self::TooWarm => true,
            Self::LongGap | Self::Interrupted => false,
        }
    }
}

/// A stretch of time that did not count, for one cause.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Stretch {
    /// Its beginning, s.
    pub from: i64,
    /// Its end, s.
    pub to: i64,
    /// Why.
    pub why: Why,
}

impl Stretch {
    /// How long it is, s.
    pub fn seconds(&self) -> u64 {
        u64::try_from(self.to.saturating_sub(self.from)).unwrap_or(0)
    }

    /// The part of it that lies in a span, if any.
    pub fn within(&self, (from, to): (i64, i64)) -> Option<Self> {
        let overlaps = self.to > from && self.from < to;
        overlaps.then(|| Self { from: self.from.max(from), to: self.to.min(to), ..*self })
    }
}

/// What is kept of a replay.
#[derive(Clone, Debug, Default)]
pub struct Story {
    /// Events worth telling, in order, with when the engine told them.
    pub events: Vec<Event>,
    /// Stretches that did not count, the first ones one by one.
    pub stretches: Vec<Stretch>,
    /// How many stretches more there were.
    pub stretches_left_out: u64,
    /// Refused readings by cause; confirmed candidates are taken out again.
    pub refused: Vec<(Refusal, u64)>,
    /// The series to draw; empty unless asked for.
    pub points: Vec<Point>,
    /// How many readings a point joins.
    joined: usize,
    pending: usize,
    draws: bool,
}

impl Story {
    /// A story without a drawn series.
    pub fn told() -> Self {
        Self { joined: 1, ..Self::default() }
    }

    /// A story with a drawn series.
    pub fn drawn() -> Self {
        Self { joined: 1, draws: true, ..Self::default() }
    }

    fn stretch(&mut self, from: Instant, to: Instant, why: Why) {
        let (from, to) = (from.seconds(), to.seconds());
        if let Some(last) = self.stretches.last_mut()
            && (last.to, last.why) == (from, why)
        {
            last.to = to;
            return;
        }
        if self.stretches.len() < MOST_STRETCHES {
            self.stretches.push(Stretch { from, to, why });
        } else {
            self.stretches_left_out += 1;
        }
    }

    fn refusals(&mut self, cause: Refusal, change: fn(u64) -> u64) {
        match self.refused.iter_mut().find(|(of, _)| *of == cause) {
            Some((_, count)) => *count = change(*count),
            None => self.refused.push((cause, change(0))),
        }
    }

    fn point(&mut self, point: Point) {
        if self.pending > 0
            && let Some(last) = self.points.last_mut()
        {
            *last = last.join(point);
        } else {
            self.points.push(point);
        }
        self.pending += 1;
        if self.pending < self.joined {
            return;
        }
        self.pending = 0;
        if self.points.len() >= MOST_POINTS {
            let halved = self.points.chunks(2).filter_map(|pair| pair.iter().copied().reduce(Point::join));
            self.points = halved.collect();
            self.joined *= 2;
        }
    }
}

/// The fixing whose standing is drawn.
const FIRST: Option<FixingNumber> = FixingNumber::new(0);

impl Watcher for Story {
    fn row(&mut self, group: &Group, row: &Row, verdict: Verdict) {
        match verdict {
            Verdict::Refused(cause) => {
                self.refusals(cause, |count| count + 1);
            }
            Verdict::AcceptedWithCandidate => {
                self.refusals(Refusal::Step, |count| count.saturating_sub(1));
            }
            Verdict::Accepted | Verdict::Missing | Verdict::Done | Verdict::NotApplicable(_) => {}
        }
        let accepted = matches!(verdict, Verdict::Accepted | Verdict::AcceptedWithCandidate);
        if let (true, true, Sample::Count(count)) = (self.draws, accepted, row.reading) {
            let status = FIRST.and_then(|first| group.status(first));
            let (served, required) = status.map_or((0, 0), |status| (status.served, status.required));
            let (raw, at) = (count.raw(), row.seconds);
            self.point(Point { from: at, to: at, coldest: raw, warmest: raw, served, required });
        }
    }

    fn event(&mut self, event: &Event) {
        match event {
            Event::Interval { from, to, seconds } => match seconds {
                Seconds::Counted { .. } => {}
                Seconds::TooCold => self.stretch(*from, *to, Why::TooCold),
                Seconds::TooWarm => self.stretch(*from, *to, Why::TooWarm),
                Seconds::LongGap => self.stretch(*from, *to, Why::LongGap),
                Seconds::Interrupted => self.stretch(*from, *to, Why::Interrupted),
            },
            Event::CandidateAccepted { .. } => {}
            Event::Stuck { .. } => {
                // a frozen probe over years would fill the story with the same sentence
                if self.events.iter().filter(|event| matches!(event, Event::Stuck { .. })).count() < 100 {
                    self.events.push(*event);
                }
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
            | Event::Decided { .. } => self.events.push(*event),
        }
    }

    fn happening(&mut self, _: &Group, _: &Happening) {}
}
