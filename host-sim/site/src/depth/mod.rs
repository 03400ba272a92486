//! The temperature at the bottom of the hole, from that of the face.
//!
//! What for: the probe sits at the face; the resin cures along the hole. Behind a face that warms up in the morning the
//! bottom is colder for hours. From the readings at the face this works out the temperature below it by conduction in
//! one dimension ([`HalfSpace`]), and asks the same engine what it would have said to a probe down there.
//! Why this way: it is an aid that can only make the answer later. Everything that is not known is taken on the cold
//! side: the diffusivity as the worst of a range, the time before the trace and stretches without readings as cold, what
//! the scheme is off by as taken off; and what is stated is the strictest of three replays, that of the face among them.
//! Terms: the *face* is where the probe sits, the *bottom* the end of the hole, *along* the coldest from face to bottom.
//! Invariants: the stated cure is never earlier than the face's.
//! What it does not do: tell the temperature where the face's was not measured, or replace a reading in the hole
//! (rule A3), which is worth more.

mod below;
mod check;
mod conduction;
#[cfg(test)]
mod conduction_tests;
mod face;
#[cfg(test)]
mod tests;

pub use below::{Below, GREATEST_DIFFUSIVITY, LEAST_DIFFUSIVITY, Question, below};
pub use check::{Stated, Statuses, check};
pub use conduction::{HalfSpace, SCHEME_ERROR};
pub use face::{Before, Face, Reading};

use holdoff_core::quantity::{Count, Instant};

/// How the bottom stood to the face over the whole trace.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Contrast {
    /// By how much the bottom was colder than the face at most, in counts of 1/256 °C; negative where it never was.
    pub most_counts: i32,
    /// When.
    pub most_at: Instant,
    /// Mean of that difference over the readings, °C; positive where the bottom was colder.
    pub mean: f64,
    /// The coldest reading at the face.
    pub coldest_face: Count,
    /// The coldest at the bottom.
    pub coldest_bottom: Count,
}

/// How the bottom stood to the face; `None` without a reading.
pub fn contrast(readings: &[Reading], below: &Below) -> Option<Contrast> {
    let difference = |reading: &Reading, bottom: &Count| i32::from(reading.count.raw()) - i32::from(bottom.raw());
    let pairs = || readings.iter().zip(&below.bottom);
    let (most, most_at) = pairs()
        .map(|(reading, bottom)| (difference(reading, bottom), reading.at))
        // the first of equals
        .reduce(|most, next| if next.0 > most.0 { next } else { most })?;
    let sum: f64 = pairs().map(|(reading, bottom)| f64::from(difference(reading, bottom))).sum();
    Some(Contrast {
        most_counts: most,
        most_at,
        mean: sum / 256.0 / readings.len() as f64,
        coldest_face: readings.iter().map(|reading| reading.count).min()?,
        coldest_bottom: below.bottom.iter().copied().min()?,
    })
}

/// All that a depth check found.
#[derive(Debug)]
pub struct Report<'a> {
    /// Name of the trace.
    pub trace: &'a str,
    /// What is told of it.
    pub seen: &'a crate::replay::Seen,
    /// What was asked.
    pub question: Question,
    /// Offset times are shown in, seconds ahead of UTC.
    pub offset_seconds: i32,
    /// The readings at the face.
    pub readings: &'a [Reading],
    /// The temperatures below.
    pub below: &'a Below,
    /// How the bottom stood to the face.
    pub contrast: Contrast,
    /// What becomes of the fixing, where one was asked for.
    pub fixing: Option<OfFixing<'a>>,
}

impl Report<'_> {
    /// Which share of the temperature at the bottom rested on what was assumed before the trace, at most, when the
    /// fixing was injected, or at the end of the trace.
    pub fn unknown_share(&self) -> f64 {
        let first = self.readings.first().map_or(Instant::from_seconds(0), |reading| reading.at);
        let last = self.readings.last().map_or(first, |reading| reading.at);
        let then = self.fixing.as_ref().map_or(last, |fixing| fixing.injection);
        self.question.unknown_share(then.since(first))
    }
}

/// The fixing of a depth check.
#[derive(Debug)]
pub struct OfFixing<'a> {
    /// Name of the resin.
    pub resin: &'a str,
    /// Whether it is an invented one.
    pub demo: bool,
    /// The group after the replay over the face's readings: its settings and rule.
    pub group: &'a holdoff_core::group::Group,
    /// When injection was to start.
    pub injection: Instant,
    /// Its three statuses.
    pub statuses: Statuses,
}
