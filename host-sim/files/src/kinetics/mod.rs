//! Whether a schedule looks like chemistry: a swapped or lost digit seldom does.
//!
//! What for: a file can be in perfect order and still not be what the maker printed. The rate of a chemical reaction
//! depends on temperature by ln(k2/k1) = E/R x (1/T1 - 1/T2), and a printed cure time is about the reciprocal of a rate.
//! So two neighbouring bands tell an *apparent activation energy* E = R ln(t1/t2) / (1/T1 - 1/T2), and what cure
//! chemistry shows is known: 39.7 to 95.3 kJ/mol for epoxy-amine, 33.5 for cement (`docs/check-values.md` section 2).
//!
//! Choices
//! - T is the band's *lower edge*: a printed cure time holds for all of its band, so it is that of the coldest
//!   temperature in it. Working times are taken at the lower edge too: theirs would be the upper one, but bands are about
//!   equally wide, and the last has no upper edge.
//! - Equal times say nothing and are no suspicion: makers round, and stop shortening times where shorter ones serve
//!   nobody. Such bands count as one, beginning at the first's edge.
//! - Steps are rounded to handy times, which makes E noisy: eight invented schedules of usual shape show 14 to 91 kJ/mol.
//!   So one step is suspicious below [`LEAST`] or above [`GREATEST`], and two neighbouring steps when they differ by more
//!   than [`MOST_APART`]: one wrong time makes one step too steep and the next too flat.
//!
//! What it does not do: refuse a schedule, or vouch for one. A digit that changes a time by less than about a third goes
//! unseen; only comparing with the printed sheet finds it.

use crate::resin_file::ExactBand;
use holdoff_core::quantity::Span;
use std::fmt;

/// Molar gas constant, J/(mol K): the product of two constants that the SI fixes exactly, rounded.
const GAS: f64 = 8.314_462_618;
/// 0 °C in K.
const ZERO_CELSIUS: f64 = 273.15;
/// Least step that is not suspicious, kJ/mol. ASSUMED: about a third of the least published value, since printed times
/// flatten out in warm bands.
pub const LEAST: f64 = 12.0;
/// Greatest step that is not suspicious, kJ/mol. ASSUMED: the greatest published value and a fifth for rounding.
pub const GREATEST: f64 = 115.0;
/// Most that two neighbouring steps differ by without suspicion, kJ/mol. ASSUMED: usual invented schedules reach 45.
pub const MOST_APART: f64 = 50.0;

/// Which times of the schedule.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Times {
    /// Working times.
    Working,
    /// Cure times in a dry hole.
    Cure,
}

impl Times {
    /// Both, in the order of the file.
    pub const ALL: [Self; 2] = [Self::Working, Self::Cure];

    /// The band's time of this kind.
    pub const fn of(self, band: &ExactBand) -> Span {
        match self {
            Self::Working => band.working,
            Self::Cure => band.cure,
        }
    }

    const fn name(self) -> &'static str {
        match self {
            Self::Working => "working time",
            Self::Cure => "cure time",
        }
    }
}

/// A step from a time to the next shorter one.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Step {
    /// The band, from 0, that has the shorter time.
    pub band: usize,
    /// Apparent activation energy, kJ/mol.
    pub energy: f64,
}

/// Why a time is suspected.
#[derive(Clone, Copy, PartialEq, Debug)]
pub enum Why {
    /// Hardly faster than in the colder band.
    Flat,
    /// Much faster than in the colder band.
    Steep,
    /// One of this step and the next is much steeper than the other.
    Uneven {
        /// Apparent activation energy of the next step, kJ/mol.
        next: f64,
    },
}

/// A time that may have been copied wrongly.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Suspicion {
    /// Which times.
    pub times: Times,
    /// The step.
    pub step: Step,
    /// Why.
    pub why: Why,
}

impl fmt::Display for Suspicion {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (name, energy) = (self.times.name(), self.step.energy);
        match self.why {
            Why::Flat => write!(
                formatter,
                "the {name} falls hardly from the colder band to this one: apparent activation energy {energy:.0} kJ/mol, where cure chemistry shows about 33 to 95"
            ),
            Why::Steep => write!(
                formatter,
                "the {name} falls steeply from the colder band to this one: apparent activation energy {energy:.0} kJ/mol, where cure chemistry shows about 33 to 95"
            ),
            Why::Uneven { next } => write!(
                formatter,
                "the {name} does not lie between its neighbours as cure chemistry would have it: apparent activation energy {energy:.0} kJ/mol from the colder band, {next:.0} to the warmer"
            ),
        }
    }
}

/// The steps of a schedule whose edges rise, coldest first.
pub fn steps(bands: &[ExactBand], times: Times) -> Vec<Step> {
    let mut made = Vec::new();
    let mut before: Option<&ExactBand> = None;
    for (place, band) in bands.iter().enumerate() {
        let Some(colder) = before.filter(|colder| times.of(colder) != times.of(band)) else {
            // the first of all, or as long as the one before, whose edge stays the one that counts
            before = before.or(Some(band));
            continue;
        };
        let shortening = f64::from(times.of(colder).seconds()) / f64::from(times.of(band).seconds());
        let warming = 1.0 / kelvin(colder) - 1.0 / kelvin(band);
        made.push(Step { band: place, energy: GAS * shortening.ln() / warming / 1000.0 });
        before = Some(band);
    }
    made
}

/// Every time that may have been copied wrongly, coldest first, working times before cure times.
pub fn suspicions(bands: &[ExactBand]) -> Vec<Suspicion> {
    Times::ALL.into_iter().flat_map(|times| suspicions_of(&steps(bands, times), times)).collect()
}

fn suspicions_of(steps: &[Step], times: Times) -> Vec<Suspicion> {
    let mut made = Vec::new();
    for (place, step) in steps.iter().enumerate() {
        let why = if step.energy > GREATEST {
            Some(Why::Steep)
        } else if step.energy < LEAST {
            Some(Why::Flat)
        } else {
            let next = steps.get(place + 1).map(|next| next.energy).filter(|next| (LEAST..=GREATEST).contains(next));
            next.filter(|next| (next - step.energy).abs() > MOST_APART).map(|next| Why::Uneven { next })
        };
        made.extend(why.map(|why| Suspicion { times, step: *step, why }));
    }
    made
}

fn kelvin(band: &ExactBand) -> f64 {
    band.from.to_f64() + ZERO_CELSIUS
}

#[cfg(test)]
mod tests;
