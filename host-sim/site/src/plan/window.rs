//! Runs of starts that stand alike, and the latest start for a torque by a given hour.

use super::{Began, Fate, Start};
use holdoff_core::cure::Rule;
use holdoff_core::fixing::Grounds;
use holdoff_core::quantity::Instant;

/// How a start stands by one rule.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Outlook {
    /// The engine refuses it (rule A1).
    Refused(Grounds),
    /// It is allowed, and would be rejected later by this forecast.
    RejectedLater(Grounds),
    /// It is allowed, and cures within the forecast.
    Cures,
    /// It is allowed; the forecast ends before it is cured.
    Open,
}

impl Outlook {
    /// How a start stands; by the coldest-band rule where the resin does not permit the other.
    pub fn of(start: &Start, rule: Rule) -> Self {
        match (start.began, start.fate(rule).or(start.fate(Rule::Coldest))) {
            (Began::Refused(grounds), _) => Self::Refused(grounds),
            (_, Some(Fate::Cured { .. })) => Self::Cures,
            (_, Some(Fate::Rejected { grounds, .. })) => Self::RejectedLater(grounds),
            (_, Some(Fate::Open) | None) => Self::Open,
        }
    }

    /// The short fixed word of `docs/interfaces.md`.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Refused(_) => "refused",
            Self::RejectedLater(_) => "rejected-later",
            Self::Cures => "cures",
            Self::Open => "open",
        }
    }

    /// Whether one could start so in good faith: allowed, and not rejected later.
    pub const fn is_good(&self) -> bool {
        match self {
            Self::Refused(_) | Self::RejectedLater(_) => false,
            Self::Cures | Self::Open => true,
        }
    }
}

/// A run of starts that follow one another and stand alike.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Window {
    /// The first start.
    pub from: Instant,
    /// The last start.
    pub to: Instant,
    /// How they stand.
    pub standing: Outlook,
}

/// The windows of all starts, in order of time; `every` is the seconds from start to start.
pub fn windows(starts: &[Start], rule: Rule, every: i64) -> Vec<Window> {
    let each = starts.iter().map(|start| (start.at, Outlook::of(start, rule)));
    joined(each.map(|(at, standing)| Window { from: at, to: at, standing }), every)
}

fn joined(each: impl Iterator<Item = Window>, every: i64) -> Vec<Window> {
    let mut made: Vec<Window> = Vec::new();
    for next in each {
        match made.last_mut() {
            Some(last) if last.standing == next.standing && next.from.since(last.to) <= every => last.to = next.to,
            Some(_) | None => made.push(next),
        }
    }
    made
}

/// Which starts can be torqued by a given time.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Deadline {
    /// The time.
    pub by: Instant,
    /// The last start that can.
    pub latest: Option<Instant>,
    /// The windows of all that can: an earlier start is not always the safer one.
    pub windows: Vec<Window>,
}

/// The starts that can be torqued by a time, by a rule.
pub fn deadline(starts: &[Start], rule: Rule, every: i64, by: Instant) -> Deadline {
    let in_time = |start: &&Start| {
        let fate = start.fate(rule).or(start.fate(Rule::Coldest));
        fate.and_then(|fate| fate.torque_from()).is_some_and(|from| from <= by)
    };
    let each = starts.iter().filter(in_time);
    let each = each.map(|start| Window { from: start.at, to: start.at, standing: Outlook::Cures });
    let windows = joined(each, every);
    Deadline { by, latest: windows.last().map(|window| window.to), windows }
}

/// The starts shown one by one: the first of every window that is allowed and long enough to be used, and those on full
/// hours of local time, thinned out to about `most`.
pub fn shown(starts: &[Start], rule: Rule, every: i64, offset_seconds: i32, most: usize) -> Vec<usize> {
    let good: Vec<usize> = (0..starts.len()).filter(|place| Outlook::of(&starts[*place], rule).is_good()).collect();
    let local = |place: &usize| starts[*place].at.seconds() + i64::from(offset_seconds);
    let first_of_window = |place: &usize| {
        let before = place.checked_sub(1).and_then(|before| starts.get(before));
        before.is_none_or(|before| !Outlook::of(before, rule).is_good() || starts[*place].at.since(before.at) > every)
    };
    let windows = windows(starts, rule, every);
    let usable = |place: &usize| {
        let at = starts[*place].at;
        windows.iter().any(|window| window.from <= at && at <= window.to && window.to.since(window.from) >= USABLE)
    };
    let step = [1, 2, 3, 4, 6, 12, 24]
        .into_iter()
        .find(|hours| good.iter().filter(|place| local(place) % (hours * 3600) == 0).count() <= most);
    let step = step.unwrap_or(24) * 3600;
    good.into_iter()
        .filter(|place| local(place) % step == 0 || first_of_window(place) && usable(place))
        .take(2 * most)
        .collect()
}

/// A window shorter than this (s) is too short to work in; ASSUMED.
const USABLE: i64 = 1800;
