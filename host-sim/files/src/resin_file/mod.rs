//! The resin file: a maker's printed schedule, copied into TOML by a person.
//!
//! What for: the form in `docs/interfaces.md`. The file is where a copying mistake turns into a fixing torqued too
//! early, so it is read with suspicion: every number as the exact decimal it is written as, every unknown key refused,
//! and all that is wrong reported at once with line and column, so that a file is corrected in one go.
//!
//! Terms: a *finding* is something worth saying about a place in the file. A finding that makes the file unusable is
//! an *error*, what merely looks odd a *warning*; the list of either is closed and stands in [`check`] and [`warnings`].
//!
//! Rounding (rule Q1): band edges, least limits and the lower reject temperature up to a count, greatest limits and
//! the upper reject temperature down. Limits are compared as counts, as the engine does; the range -100 to 120 °C is
//! judged on the decimal.
//!
//! `demo` may be left out and is then false. Everything else that interfaces.md does not call optional is required.
//!
//! What it does not do: know any product, convert units, judge cure chemistry ([`crate::kinetics`] does).

mod check;
mod draft;
mod warnings;

pub use crate::toml_file::{Finding, Findings, Severity};

use crate::decimal::Decimal;
use crate::problem::Problem;
use crate::toml_file::file_hash;
use draft::{At, Draft};
use holdoff_core::log::FileHash;
use holdoff_core::quantity::Span;
use holdoff_core::resin::{Accrual, Band, Limits, Resin, ResinSpec};
use std::ops::Range;

/// A usable resin file.
#[derive(Clone, Debug)]
pub struct ResinFile {
    name: String,
    demo: bool,
    resin: Resin,
    exact: Exact,
    /// Warnings only; holds the text of the file.
    findings: Findings,
}

/// The temperatures of a file as its decimals, before rounding; °C.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Exact {
    /// `substrate.install_least`.
    pub install_least: Decimal,
    /// `substrate.install_greatest`.
    pub install_greatest: Decimal,
    /// `substrate.cure_least`.
    pub cure_least: Decimal,
    /// `substrate.cure_greatest`.
    pub cure_greatest: Decimal,
    /// `substrate.reject_below`.
    pub reject_below: Option<Decimal>,
    /// `substrate.reject_above`.
    pub reject_above: Option<Decimal>,
    /// `cartridge.least`.
    pub cartridge_least: Decimal,
    /// `cartridge.greatest`.
    pub cartridge_greatest: Decimal,
    /// The bands, coldest first.
    pub bands: Vec<ExactBand>,
}

/// One band as the file has it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ExactBand {
    /// Lower edge, °C.
    pub from: Decimal,
    /// Working time.
    pub working: Span,
    /// Cure time in a dry hole.
    pub cure: Span,
    /// Where the file says so: bytes of the working time.
    pub working_at: Range<usize>,
    /// Where the file says so: bytes of the cure time.
    pub cure_at: Range<usize>,
}

/// Largest file read, in bytes. A resin has at most sixteen bands.
pub const MOST_BYTES: u64 = 64 * 1024;

impl ResinFile {
    /// Reads the text of a file that messages call `file`.
    ///
    /// # Errors
    /// As [`ResinFile::examine`], all errors in one [`Problem`].
    pub fn parse(file: &str, text: &str) -> Result<Self, Problem> {
        Self::examine(file, text).map_err(|findings| findings.into_problem())
    }

    /// The same with its findings one by one, for showing them in the lines they stand in.
    ///
    /// # Errors
    /// Everything that makes the file unusable, in the order of the file, with the warnings that could be judged all
    /// the same.
    pub fn examine(file: &str, text: &str) -> Result<Self, Findings> {
        let mut findings = Findings::new(file, text);
        let Some(draft) = draft::read(text, &mut findings) else { return Err(findings.sorted()) };
        check::check(&draft, &mut findings);
        warnings::look(&draft, &mut findings);
        if findings.any_error() {
            return Err(findings.sorted());
        }
        match finish(&draft, &mut findings) {
            Some((resin, exact, name)) => {
                let demo = draft.demo.as_ref().is_some_and(|demo| demo.value);
                Ok(Self { name, demo, resin, exact, findings: findings.sorted() })
            }
            None => Err(findings.sorted()),
        }
    }

    /// What the resin is called.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Whether the schedule is invented: every output then says never to use it on site.
    pub fn demo(&self) -> bool {
        self.demo
    }

    /// The schedule as the engine takes it.
    pub fn resin(&self) -> &Resin {
        &self.resin
    }

    /// The temperatures as the file's decimals.
    pub fn exact(&self) -> &Exact {
        &self.exact
    }

    /// Lower edges of the bands as the file's decimals, coldest first; °C.
    pub fn edges(&self) -> impl ExactSizeIterator<Item = &Decimal> {
        self.exact.bands.iter().map(|band| &band.from)
    }

    /// The coldest usable edge (rule S2) as the file's decimal: below it the cure is held; °C.
    pub fn coldest_usable_edge(&self) -> &Decimal {
        match self.exact.bands.first() {
            Some(first) if self.resin.bands().first_edge() > self.resin.limits().cure_least => &first.from,
            _ => &self.exact.cure_least,
        }
    }

    /// Least and greatest cartridge temperature as the file's decimals; °C.
    pub fn cartridge(&self) -> (&Decimal, &Decimal) {
        (&self.exact.cartridge_least, &self.exact.cartridge_greatest)
    }

    /// What looks odd, in the order of the file.
    pub fn warnings(&self) -> impl Iterator<Item = Problem> {
        self.findings.problems()
    }

    /// The warnings with the text of the file.
    pub fn findings(&self) -> &Findings {
        &self.findings
    }

    /// The text of the file, byte for byte.
    pub fn source(&self) -> &str {
        self.findings.source()
    }

    /// What a record that rests on the file keeps of it.
    pub fn hash(&self) -> FileHash {
        file_hash(self.source())
    }
}

/// The schedule of a draft without errors. `None`, with a finding, when the engine refuses it all the same.
fn finish(draft: &Draft, findings: &mut Findings) -> Option<(Resin, Exact, String)> {
    let exact = exact(draft)?;
    let bands: Option<Vec<Band>> = exact.bands.iter().map(rounded).collect();
    let limits = Limits {
        install_least: exact.install_least.ceil_count()?,
        install_greatest: exact.install_greatest.floor_count()?,
        cure_least: exact.cure_least.ceil_count()?,
        cure_greatest: exact.cure_greatest.floor_count()?,
        // all temperatures lie within -100 to 120 °C, so each has a count
        reject_below: exact.reject_below.as_ref().and_then(Decimal::ceil_count),
        reject_above: exact.reject_above.as_ref().and_then(Decimal::floor_count),
        longest_hold: draft.longest_hold.as_ref().map(|hold| hold.value),
    };
    let spec = ResinSpec {
        limits,
        cartridge_least: exact.cartridge_least.ceil_count()?,
        cartridge_greatest: exact.cartridge_greatest.floor_count()?,
        holes: draft.holes.as_ref()?.value,
        wet_factor: draft.wet_factor.as_ref()?.value,
        accrual: if draft.accrual.as_ref()?.value { Accrual::Permitted } else { Accrual::Forbidden },
        bands: &bands?,
    };
    match Resin::new(&spec) {
        Ok(resin) => Some((resin, exact, draft.name.as_ref()?.value.clone())),
        Err(_) => {
            // every refusal of the engine has its check with a place; this is for one that was forgotten
            let what = "the engine refuses the schedule, for a reason that is not told here";
            findings.error(0..0, what, "compare the schedule with what is printed, and report this as a fault");
            None
        }
    }
}

fn rounded(band: &ExactBand) -> Option<Band> {
    Some(Band { from: band.from.ceil_count()?, working: band.working, cure: band.cure })
}

fn exact(draft: &Draft) -> Option<Exact> {
    let value = |decimal: &Option<At<Decimal>>| decimal.as_ref().map(|at| at.value.clone());
    let band = |band: &draft::BandDraft| {
        let (working, cure) = (band.working.as_ref()?, band.cure.as_ref()?);
        Some(ExactBand {
            from: value(&band.from)?,
            working: working.value,
            cure: cure.value,
            working_at: working.span.clone(),
            cure_at: cure.span.clone(),
        })
    };
    Some(Exact {
        install_least: value(&draft.install_least)?,
        install_greatest: value(&draft.install_greatest)?,
        cure_least: value(&draft.cure_least)?,
        cure_greatest: value(&draft.cure_greatest)?,
        reject_below: value(&draft.reject_below),
        reject_above: value(&draft.reject_above),
        cartridge_least: value(&draft.cartridge_least)?,
        cartridge_greatest: value(&draft.cartridge_greatest)?,
        bands: draft.bands.iter().map(band).collect::<Option<_>>()?,
    })
}

#[cfg(test)]
mod tests;
