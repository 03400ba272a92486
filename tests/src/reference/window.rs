//! The working time of one injection (rule A2).
//!
//! The working window runs from the start of injection to the seating, and is open-ended until then. It is worked out
//! anew from everything known whenever something new is known: the warmest `high` that bears on it picks the band, and
//! any unobserved time in it means the shortest working time of the file.

use super::limits::Limits;
use super::model::RefBand;
use super::readings::{Accepted, Since};

/// What is known at the start of injection.
#[derive(Clone, Debug)]
pub(super) struct Injection {
    /// Time, s.
    pub(super) at: i64,
    /// Place of the latest accepted reading among all accepted ones.
    pub(super) latest: usize,
    /// `low` of the in-hole reading, counts.
    pub(super) in_hole_low: Option<i64>,
    /// `high` of the in-hole reading, counts.
    pub(super) in_hole_high: Option<i64>,
    /// `high` of the declared cartridge temperature, counts.
    pub(super) cartridge_high: Option<i64>,
}

/// The time after the last accepted reading, up to a seating or a row that is no accepted reading.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    /// Its end, s.
    pub(super) to: i64,
    /// What it is, as if it ended there.
    pub(super) since: Since,
}

/// The working time, s, as far as is known.
///
/// `readings` are all accepted ones known, `seated` the seating if there was one, `stretch` what follows the last
/// reading if that is to be judged too.
pub(super) fn working_time(
    limits: &Limits,
    bands: &[RefBand],
    injection: &Injection,
    readings: &[Accepted],
    seated: Option<i64>,
    stretch: Option<Stretch>,
) -> u64 {
    let end = seated.unwrap_or(i64::MAX);
    // Overlap of (from, to] with the window by at least a second.
    let overlaps = |from: i64, to: i64| to.min(end) - from.max(injection.at) >= 1;
    let since_injection = &readings[injection.latest..];

    let mut highs: Vec<i64> = Vec::new();
    let mut unobserved = false;
    highs.extend(injection.in_hole_high);
    highs.extend(injection.cartridge_high);
    for reading in since_injection {
        if reading.at <= end {
            highs.push(reading.high);
        }
    }
    for pair in since_injection.windows(2) {
        let (before, after) = (pair[0], pair[1]);
        if overlaps(before.at, after.at) {
            match after.since {
                Since::Observed => highs.extend([before.high, after.high]),
                Since::Unobserved => unobserved = true,
            }
        }
    }
    let last = since_injection.last().expect("an injection has a latest reading");
    if let Some(stretch) = stretch
        && overlaps(last.at, stretch.to)
    {
        match stretch.since {
            Since::Observed => highs.push(last.high),
            Since::Unobserved => unobserved = true,
        }
    }

    let warmest = highs.into_iter().max().expect("the latest reading is at or before the seating");
    let shortest = bands.last().expect("a resin has a band").working;
    let of_warmest = limits.band_or_first(bands, warmest).working;
    if unobserved { shortest.min(of_warmest) } else { of_warmest }
}
