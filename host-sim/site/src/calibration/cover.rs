//! Where a resin decides, and whether a job's uncertainty covers the probe there.
//!
//! Invariants: it is covered only where it is known to be, at every limit and band edge of the substrate and at every point
//! between the coldest and the warmest of them; a limit outside the points is never covered.
//! What it does not do: judge the limits of the cartridge, which the probe does not measure.

use super::{Reckoned, reckon};
use holdoff_core::cure::Uncertainty;
use holdoff_core::quantity::Count;
use holdoff_core::resin::Resin;
use holdoff_files::calibration::{Calibration, PARTS_PER_COUNT};
use std::collections::{BTreeMap, BTreeSet};

/// What decides at a temperature.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Place {
    /// Least temperature at the start of the injection.
    InstallLeast,
    /// Greatest temperature at the start of the injection.
    InstallGreatest,
    /// Least temperature that is counted.
    CureLeast,
    /// Greatest temperature that is counted.
    CureGreatest,
    /// Below it a fixing is rejected.
    RejectBelow,
    /// Above it a fixing is rejected.
    RejectAbove,
    /// Lower edge of a band.
    BandEdge,
    /// A point of the calibration.
    Point,
}

/// A temperature that is judged.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Row {
    /// The reading, parts.
    pub at: i64,
    /// What decides there, in the order of [`Place`].
    pub places: Vec<Place>,
    /// What the calibration says there; `None` outside its points.
    pub reckoned: Option<Reckoned>,
}

/// What the calibration is held against.
#[derive(Clone, Copy, Debug)]
pub enum Asked<'a> {
    /// Its own points alone.
    Points,
    /// The limits and band edges of a resin.
    Resin(&'a Resin),
}

/// What comes of holding a job's uncertainty against the rows.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Cover {
    /// It covers every row; what is left of it where it is tightest, parts.
    Covered {
        /// At least 0.
        left: i64,
    },
    /// It does not: somewhere so much is needed, parts.
    TooSmall {
        /// The most that is needed anywhere.
        needed: i64,
    },
    /// It covers what is known, and a row lies outside the points.
    Unknown,
}

/// What is judged, from cold to warm: of a resin its limits, edges, and the points between the coldest and the warmest of them.
pub fn rows(calibration: &Calibration, asked: Asked<'_>) -> Vec<Row> {
    let mut places: BTreeMap<i64, BTreeSet<Place>> = BTreeMap::new();
    if let Asked::Resin(resin) = asked {
        for (place, count) in decisions(resin) {
            places.entry(i64::from(count.raw()) * PARTS_PER_COUNT).or_default().insert(place);
        }
    }
    let ends = places.first_key_value().zip(places.last_key_value()).map(|((least, _), (most, _))| *least..=*most);
    let points = calibration.points.iter().map(|point| point.reading);
    for point in points.filter(|point| ends.as_ref().is_none_or(|ends| ends.contains(point))) {
        places.entry(point).or_default().insert(Place::Point);
    }
    let row = |(at, places): (i64, BTreeSet<Place>)| Row {
        at,
        places: places.into_iter().collect(),
        reckoned: reckon(calibration, at),
    };
    places.into_iter().map(row).collect()
}

/// Holds a job's uncertainty against rows.
pub fn cover(rows: &[Row], uncertainty: Uncertainty) -> Cover {
    let given = i64::from(uncertainty.counts()) * PARTS_PER_COUNT;
    let needed = rows.iter().filter_map(|row| row.reckoned).map(|found| found.needed()).max();
    match needed {
        Some(needed) if needed > given => Cover::TooSmall { needed },
        Some(needed) if rows.iter().all(|row| row.reckoned.is_some()) => Cover::Covered { left: given - needed },
        Some(_) | None => Cover::Unknown,
    }
}

/// Where a resin decides by the temperature of the substrate, as the engine has it (rule Q1).
fn decisions(resin: &Resin) -> impl Iterator<Item = (Place, Count)> {
    let limits = resin.limits();
    let always = [
        (Place::InstallLeast, limits.install_least),
        (Place::InstallGreatest, limits.install_greatest),
        (Place::CureLeast, limits.cure_least),
        (Place::CureGreatest, limits.cure_greatest),
    ];
    let below = limits.reject_below.map(|at| (Place::RejectBelow, at));
    let above = limits.reject_above.map(|at| (Place::RejectAbove, at));
    let edges = resin.bands().iter().map(|band| (Place::BandEdge, band.from));
    always.into_iter().chain(below).chain(above).chain(edges)
}
