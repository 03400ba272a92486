//! Time to fill a hole against the working time.

use holdoff_core::quantity::{Fine, Span};
use holdoff_files::job::{Group, HoleVolumes, JobFile};

/// Time to fill one hole, and what there is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Filling {
    /// Seconds to fill a hole at the stated pumping rate, rounded up; `None` where the job file states none.
    pub seconds: Option<u64>,
    /// Working time at the expected temperature; `None` where the job file expects none.
    pub working: Option<Span>,
}

/// The working time is that of the band of the highest of substrate and cartridge temperature, each taken with its
/// uncertainty as a reading would be (rule A2): the shorter one.
pub fn filling(file: &JobFile, group: &Group, volumes: &HoleVolumes) -> Filling {
    let rate = file.job().supplies.and_then(|supplies| supplies.pumping_per_minute);
    let seconds =
        rate.map(|rate| volumes.inject().microlitres().saturating_mul(60).div_ceil(rate.microlitres().max(1)));
    let above = i32::from(file.job().settings.uncertainty().counts()) + 1;
    let high = |celsius: &holdoff_files::decimal::Decimal| celsius.floor_counts().saturating_add(above);
    let working = group.expected.as_ref().map(|expected| {
        let warmest = group.cartridge.as_ref().map(high).into_iter().fold(high(expected), i32::max);
        let bands = file.resin().resin().bands();
        bands.working(bands.band_of(Fine::new(warmest)))
    });
    Filling { seconds, working }
}
