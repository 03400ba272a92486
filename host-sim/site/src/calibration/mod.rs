//! What a calibration is worth at the temperatures at which a resin decides.
//!
//! What for: `holdoff probe check` and the hand-over record. The engine judges `low = r - U` and `high = r + U + 1 count` of a
//! reading (rule R1). That is right only where the probe's error is never larger than the job's U. The engine applies no correction,
//! so U has to cover the correction and its expanded uncertainty together, as a plain sum (`docs/probe.md` says why).
//!
//! Terms: a *part* is 10^-8 °C (`holdoff_files::calibration`); a *leg* is the line between two neighbouring points; the *between
//! term* is how far the correction may lie off that line; *needed* is |correction| + expanded uncertainty.
//!
//! The sum (JCGM 100:2008): `u² = (U_reference/2)² + (U_point/2)² + resolution²/12 + s² + between²/3`, expanded by k = 2. Times
//! twelve it is whole: `3 U² = 3 U_reference² + 3 U_point² + resolution² + 12 s² + 4 between²`, so that nothing is lost before the
//! one root, which is rounded up.
//!
//! Rounding, always against the user's hurry: a correction away from zero to a part, an expanded uncertainty up to a part. At a
//! point where two legs meet, the worse of the two uncertainties counts; on a leg the worse of its two points. So `needed` has
//! its greatest value, over any stretch of readings, at a point or at an end of the stretch: the correction is straight on a leg,
//! its magnitude convex, the uncertainty the same all along.
//!
//! What it does not do: extrapolate; judge days; know how the probe is placed, or how it drifted since.

mod cover;

pub use cover::{Asked, Cover, Place, Row, cover, rows};

use holdoff_files::calibration::{Calibration, Point};

/// What the calibration says of a reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Reckoned {
    /// What would have to be added to the reading, parts, rounded away from zero.
    pub correction: i64,
    /// Its expanded uncertainty (k = 2), parts, rounded up.
    pub expanded: i64,
    /// What the uncertainty is made of.
    pub terms: Terms,
}

impl Reckoned {
    /// What the job's uncertainty has to cover at least: |correction| + expanded uncertainty, parts.
    pub const fn needed(&self) -> i64 {
        self.correction.saturating_abs().saturating_add(self.expanded)
    }
}

/// The terms of the sum as they are given, parts: two expanded uncertainties, a step, a standard deviation, a half-width.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Terms {
    /// Expanded uncertainty of the reference: divided by 2 (JCGM 100:2008, 4.3.3).
    pub reference: i64,
    /// Expanded uncertainty of the comparison, that of the worse of two points: divided by 2 (4.3.3).
    pub point: i64,
    /// Step of the readings: divided by √12 (4.3.7 and F.2.2.1: rectangular).
    pub resolution: i64,
    /// Standard deviation of a single reading (4.2.2, one reading); 0 where it is not given.
    pub repeatability: i64,
    /// Half of the width within which the correction lies about the line: divided by √3 (4.3.7: rectangular).
    pub between: i64,
}

impl Terms {
    /// Three times the square of the expanded uncertainty, parts²; exact.
    pub const fn three_squares(&self) -> u128 {
        3 * square(self.reference)
            + 3 * square(self.point)
            + square(self.resolution)
            + 12 * square(self.repeatability)
            + 4 * square(self.between)
    }

    /// The expanded uncertainty (k = 2; 5.1.2, equation 10, and 6.2.1), parts, rounded up.
    pub fn ceil_expanded(&self) -> i64 {
        let whole = (self.three_squares() / 3).isqrt();
        // a root of the whole part lies at most 1 below the one that is wanted
        let up = u128::from(3 * whole * whole < self.three_squares());
        i64::try_from(whole + up).unwrap_or(i64::MAX)
    }
}

const fn square(value: i64) -> u128 {
    let value = value.unsigned_abs() as u128;
    value * value
}

/// What the calibration says of a reading, in parts; `None` outside its points.
pub fn reckon(calibration: &Calibration, reading: i64) -> Option<Reckoned> {
    let points = calibration.points.as_slice();
    let on = |leg: &(usize, &[Point])| matches!(leg.1, [from, to] if (from.reading..=to.reading).contains(&reading));
    let legs = (0..).zip(points.windows(2)).filter(on);
    let reckoned = legs.filter_map(|(number, leg)| {
        let [from, to] = leg else { return None };
        let terms = Terms {
            reference: calibration.reference_uncertainty,
            point: from.uncertainty.max(to.uncertainty),
            resolution: calibration.resolution,
            repeatability: calibration.repeatability.unwrap_or(0),
            between: between(calibration, number),
        };
        let correction = line(from, to, reading);
        Some(Reckoned { correction, expanded: terms.ceil_expanded(), terms })
    });
    reckoned.max_by_key(|found| found.terms.three_squares())
}

/// The between term of a leg, parts: the largest of what the file gives and what is seen at either of its points.
///
/// What is seen at a point is how far its correction lies off the line from the point before to the point behind it. Between
/// points evenly apart on a curve that bends evenly, that is four times what the curve lies off the line on a leg (the error
/// `f'' h²/8` of a line grows with the square of its length). Taking all of it is judgement, no source.
fn between(calibration: &Calibration, leg: usize) -> i64 {
    let seen = |point: Option<usize>| {
        let around = point.and_then(|point| calibration.points.get(point.checked_sub(1)?..=point.checked_add(1)?));
        match around {
            Some([before, at, after]) => off(before, at, after),
            Some(_) | None => 0,
        }
    };
    calibration.between.unwrap_or(0).max(seen(Some(leg))).max(seen(leg.checked_add(1)))
}

/// The correction on the line through two points, rounded away from zero, parts.
fn line(from: &Point, to: &Point, reading: i64) -> i64 {
    let (above, below) = fraction(from, to, reading);
    away_from_zero(above, below)
}

/// How far the correction of a point lies off the line through its neighbours, rounded up, parts.
fn off(before: &Point, at: &Point, after: &Point) -> i64 {
    let (above, below) = fraction(before, after, at.reading);
    away_from_zero(i128::from(at.correction()) * below - above, below).saturating_abs()
}

/// The correction on the line through two points as a fraction, its denominator above zero.
fn fraction(from: &Point, to: &Point, reading: i64) -> (i128, i128) {
    let below = i128::from(to.reading) - i128::from(from.reading);
    let rise = i128::from(to.correction()) - i128::from(from.correction());
    let along = i128::from(reading) - i128::from(from.reading);
    (i128::from(from.correction()) * below + rise * along, below.max(1))
}

fn away_from_zero(above: i128, below: i128) -> i64 {
    let up = above.unsigned_abs().div_ceil(below.unsigned_abs().max(1));
    let up = i64::try_from(up).unwrap_or(i64::MAX);
    if above < 0 { -up } else { up }
}

#[cfg(test)]
mod tests;
