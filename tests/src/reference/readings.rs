//! Which rows are accepted readings, and what lies between them (rules R2 and R3).
//!
//! The rows are gone through once in order of arrival, and for each it is written down what became known *with* it.
//! That is the whole difficulty of candidates: one is refused when it comes and accepted, at its own time, only with
//! the row that confirms it.

use num::BigRational;

use super::decimal::{COUNTS_PER_DEGREE, floor_to_counts};
use super::limits::Limits;
use super::model::{History, RowKind};

/// The sensor's own range, °C, both ends included (R2b).
const SENSOR_RANGE: (i64, i64) = (-55, 125);

/// An accepted reading.
#[derive(Clone, Copy, Debug)]
pub(super) struct Accepted {
    /// Time, s.
    pub(super) at: i64,
    /// The reading itself, counts.
    pub(super) count: i64,
    /// Whether a refusal, a restart or a loss came between the accepted reading before it and this one, in order of arrival.
    pub(super) broken: bool,
    /// R1 `low`, counts.
    pub(super) low: i64,
    /// R1 `high`, counts.
    pub(super) high: i64,
    /// What the interval from the accepted reading before it is.
    pub(super) since: Since,
}

/// What an interval is (R3), or would be if it ended now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Since {
    /// Short enough, with no refusal and no restart in it.
    Observed,
    /// Anything else.
    Unobserved,
}

impl Since {
    /// The state of an interval that took `seconds`, given whether a refusal or restart came in it.
    pub(super) fn judged(broken: bool, seconds: i64, longest_gap: u64) -> Self {
        if broken || i128::from(seconds) > i128::from(longest_gap) { Self::Unobserved } else { Self::Observed }
    }
}

/// What became known with one row.
#[derive(Clone, Debug)]
pub(super) enum News {
    /// One reading, or a confirmed candidate and the reading that confirmed it.
    Accepted(Vec<Accepted>),
    /// An empty field.
    Missing {
        /// Time of the row, s.
        at: i64,
    },
    /// Refused by R2a.
    NotLater,
    /// Refused by R2b or R2c.
    Unusable {
        /// Time of the row, s.
        at: i64,
    },
    /// Readings that were lost.
    Lost {
        /// Time of the last of them, s.
        at: i64,
    },
    /// A restart.
    Restart {
        /// Whether its length is known.
        length_known: bool,
    },
}

/// A row's time and count, before it is known to be accepted.
#[derive(Clone, Copy)]
struct Seen {
    at: i64,
    count: i64,
}

/// A candidate of R2c.
struct Candidate {
    seen: Seen,
    /// A restart came after it.
    restarted: bool,
}

/// What became known with each row, in order of arrival.
pub(super) fn news(history: &History, limits: &Limits) -> Vec<News> {
    let longest_gap = history.settings.longest_gap;
    let accepted = |seen: Seen, broken, since| Accepted {
        at: seen.at,
        count: seen.count,
        broken,
        low: limits.low(seen.count),
        high: limits.high(seen.count),
        since,
    };
    let mut last: Option<Seen> = None;
    let mut candidate: Option<Candidate> = None;
    // A refusal, a restart or a loss since the last accepted reading, in order of arrival.
    let mut broken = false;
    let mut all = Vec::new();
    for row in &history.rows {
        let (at, temperature) = match row {
            RowKind::Restart { length_known, .. } => {
                broken = true;
                if let Some(candidate) = &mut candidate {
                    candidate.restarted = true;
                }
                all.push(News::Restart { length_known: *length_known });
                continue;
            }
            RowKind::Lost { at } => {
                // what was lost may have been refused, and came between a candidate and the next reading
                (broken, candidate) = (true, None);
                all.push(News::Lost { at: *at });
                continue;
            }
            RowKind::Reading(row) => (row.at, &row.temperature),
        };
        let Some(temperature) = temperature else {
            all.push(News::Missing { at });
            continue;
        };
        // R2a
        if last.is_some_and(|last| at <= last.at) {
            (broken, candidate) = (true, None);
            all.push(News::NotLater);
            continue;
        }
        // R2b
        if !in_sensor_range(temperature) {
            (broken, candidate) = (true, None);
            all.push(News::Unusable { at });
            continue;
        }
        // R2c
        let seen = Seen { at, count: floor_to_counts(temperature) };
        let confirmed =
            candidate.take().filter(|candidate| seen.at > candidate.seen.at && within_rate(candidate.seen, seen));
        if let Some(confirmed) = confirmed {
            let between = Since::judged(confirmed.restarted, seen.at - confirmed.seen.at, longest_gap);
            let first = accepted(confirmed.seen, true, Since::Unobserved);
            all.push(News::Accepted(vec![first, accepted(seen, confirmed.restarted, between)]));
        } else if let Some(before) = last {
            if within_rate(before, seen) {
                let since = Since::judged(broken, seen.at - before.at, longest_gap);
                all.push(News::Accepted(vec![accepted(seen, broken, since)]));
            } else {
                broken = true;
                candidate = Some(Candidate { seen, restarted: false });
                all.push(News::Unusable { at });
                continue;
            }
        } else {
            // The first of all: there is no interval before it.
            all.push(News::Accepted(vec![accepted(seen, true, Since::Unobserved)]));
        }
        last = Some(seen);
        broken = false;
    }
    all
}

/// R2b, judged on the decimal before rounding.
fn in_sensor_range(celsius: &BigRational) -> bool {
    // A ratio's denominator is positive, so numerator and bound times denominator compare as ratio and bound.
    let (least, greatest) = SENSOR_RANGE;
    *celsius.numer() >= celsius.denom() * least && *celsius.numer() <= celsius.denom() * greatest
}

/// R2c: no more than 1 °C + 5 °C/min over the seconds from `earlier` to `later`.
fn within_rate(earlier: Seen, later: Seen) -> bool {
    let difference = i128::from(later.count - earlier.count).abs();
    let seconds = i128::from(later.at) - i128::from(earlier.at);
    let five_degrees = i128::from(5 * COUNTS_PER_DEGREE);
    60 * difference <= 60 * i128::from(COUNTS_PER_DEGREE) + five_degrees * seconds
}
