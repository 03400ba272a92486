//! Temperatures below the face, reading by reading, on the safe side.

use super::conduction::{HalfSpace, SCHEME_ERROR};
use super::face::{Before, Reading};
use holdoff_core::quantity::Count;

/// Least diffusivity of concrete, mm²/s.
///
/// Handbooks give concrete 0.002 to 0.006 m²/h, that is 0.556 to 1.667 mm²/s (engineeringintro.com, thermal properties of
/// concrete; the same in Neville, Properties of Concrete, from memory). The figures by aggregate, basalt 0.83 to quartzite
/// 1.50 mm²/s (ACI 207, from memory), and those of dense concrete in EN ISO 10456, 0.75 to 0.83 mm²/s (from memory), lie
/// inside. Widened to two decimals.
pub const LEAST_DIFFUSIVITY: f64 = 0.55;
/// Greatest diffusivity of concrete, mm²/s; source as for the least.
pub const GREATEST_DIFFUSIVITY: f64 = 1.67;

/// After so long without readings (s) the concrete is taken to be as cold as the face is taken to have been, all through.
const FORGOTTEN: i64 = 30 * 86_400;

/// What is asked.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Question {
    /// Depth of the bottom of the hole, mm; above 0.
    pub depth_mm: f64,
    /// Least and greatest diffusivity, mm²/s; above 0.
    pub diffusivity: (f64, f64),
    /// Temperature of the concrete before the first reading, °C; `None` for that of the coldest reading.
    pub before: Option<f64>,
}

impl Question {
    /// Places in √s of the bottom for the greatest and for the least diffusivity.
    fn places(&self) -> (f64, f64) {
        // mm / √(mm²/s) = √s
        let (least, greatest) = self.diffusivity;
        (self.depth_mm / greatest.sqrt(), self.depth_mm / least.sqrt())
    }

    /// Which share of the temperature at the bottom still rests, at most, on what the concrete was like `seconds` before
    /// (0 to 1): `erf(depth / 2√(αt))`, what a step leaves undone.
    pub fn unknown_share(&self, seconds: i64) -> f64 {
        let seconds = (seconds.max(0) as f64).max(1e-9);
        libm::erf(self.places().1 / 2.0 / seconds.sqrt())
    }
}

/// Temperatures below the face at every accepted reading, each rounded down to a count.
#[derive(Clone, Debug, Default)]
pub struct Below {
    /// At the bottom of the hole: the coldest over the range of diffusivities.
    pub bottom: Vec<Count>,
    /// The coldest anywhere along the hole, the face included; never warmer than the face or the bottom.
    pub along: Vec<Count>,
    /// The temperature the concrete is taken to have had before the first reading, °C.
    pub before: f64,
    /// Stretches without readings, in which the face is taken to have been as cold as before the first reading, or as
    /// the colder of the readings about it.
    pub gaps: u64,
}

/// Works out the temperatures below the face.
pub fn below(question: &Question, readings: &[Reading]) -> Below {
    let coldest = readings.iter().map(|reading| reading.count.raw()).min().map_or(0.0, celsius);
    let before = question.before.unwrap_or(coldest);
    let mut found = Below { before, ..Below::default() };
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else { return found };
    let (near, far) = question.places();
    let start = |at: f64| HalfSpace::new(near, far, last.at.since(first.at) as f64, at);
    let mut space = start(before);
    let (mut low, mut high) = (before, before);
    let mut previous = *first;
    space.jump(celsius(first.count.raw()));
    for reading in readings {
        let now = celsius(reading.count.raw());
        (low, high) = (low.min(now), high.max(now));
        let seconds = reading.at.since(previous.at);
        match reading.before {
            Before::Nothing => {}
            Before::Observed => space.pass(seconds as f64, now),
            Before::Unobserved => {
                found.gaps += 1;
                let cold = before.min(now).min(celsius(previous.count.raw()));
                low = low.min(cold);
                space.jump(cold);
                if seconds > FORGOTTEN {
                    space = start(low);
                } else {
                    space.pass(seconds as f64, cold);
                }
                space.jump(now);
            }
        }
        previous = *reading;
        let error = SCHEME_ERROR * (high - low);
        // the scheme's error taken off, but nothing gets colder than all that it came from
        let bottom = down((space.coldest(near, far) - error).max(low));
        let along = down((space.coldest(0.0, far) - error).max(low));
        found.bottom.push(bottom);
        found.along.push(along.min(bottom).min(reading.count));
    }
    found
}

/// Down to a count. A millionth of a count, far more than floating point loses here, is disregarded, so that a face that
/// stays at one count leaves the depth at it.
fn down(celsius: f64) -> Count {
    let counts = (celsius * f64::from(Count::PER_DEGREE) + 1e-6).floor();
    Count::new(counts.clamp(f64::from(i16::MIN), f64::from(i16::MAX)) as i16)
}

fn celsius(raw: i16) -> f64 {
    f64::from(raw) / f64::from(Count::PER_DEGREE)
}
