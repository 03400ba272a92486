//! The job file: the engineer's specification for one site, copied into TOML by a person.
//!
//! What for: job check, take-off, shift plan, loading a logger, register and hand-over record all start from it. The form
//! stands in `docs/job-file.md`. It is read with the same suspicion as a resin file: every number exactly as written,
//! every unknown key refused, all that is wrong reported at once with line and column. It states what the specification
//! says; nothing here designs a fixing.
//!
//! Terms: a *group* is fixings that one specification describes; a *logger group* is those of them that share a logger,
//! at most sixteen; *drawn* is what the drawing has, *least* what the specification asks for.
//!
//! Invariants of a [`JobFile`]: batch, group and fixing names are not repeated; every group's batch is one of the job's;
//! every fixing's name fits a logger; each group is split into logger groups of 1 to 16; no error of [`check`] applies.
//! Equality of jobs and groups is that of what they say, wherever their files say it.
//!
//! What it does not do: choose an element, a hole or a torque; read a clock (days are compared with the planned day).

mod check;
mod cleaning;
mod element;
mod engineer;
mod group;
mod hands;
mod hole_volume;
mod length;
mod logger;
mod place;
mod print;
mod read;
mod read_group;
mod reader;
mod rules;
pub mod sampling;
mod volume;
mod warnings;

pub use cleaning::{BlowWith, Cleaning, CleaningAct, CleaningError, CleaningStep};
pub use element::{Element, Thread};
pub use engineer::Engineer;
pub use group::{Direction, Distance, Drilled, FixingPlan, Group, Load, SpecifiedTorque, Substrate, SubstrateKind};
pub use hands::{JobHands, cleaning_steps};
pub(crate) use hands::{NEEDS, people};
pub use hole_volume::{HoleVolumes, annulus, bore, stress_area};
pub use length::thousandths;
pub use length::{Length, LengthError};
pub use logger::{LoggerGroup, unsuited};
pub use print::eighth_places;
pub use rules::{CLEANING, WhyAir, blow_with, brush, extension_tube, needs_air, needs_centring};
pub use volume::Volume;

/// A load in kN without needless zeros and without the unit, exactly.
pub fn kilonewtons(load: sampling::Force) -> String {
    thousandths(u64::from(load.newtons()))
}

use crate::problem::Problem;
use crate::resin_file::ResinFile;
use crate::stamp::past_from;
use crate::toml_file::{Findings, file_hash};
use chrono::NaiveDate;
use holdoff_core::cure::Settings;
use holdoff_core::log::FileHash;
use holdoff_core::quantity::{Instant, Span};
use place::Places;
use toml::de::DeTable;

/// Largest job file read, in bytes: a hundred thousand fixings in groups of four.
pub const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// A job as its file says it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Job {
    /// What the job is called.
    pub name: String,
    /// Where it is.
    pub site: String,
    /// Seconds the site's clock is ahead of UTC: what a day means.
    pub offset_seconds: i32,
    /// The resin file, as the job file names it.
    pub resin: String,
    /// Settings of the count.
    pub settings: Settings,
    /// Time between readings of the loggers.
    pub period: Span,
    /// What it demands of hands, and whose they are.
    pub hands: JobHands,
    /// Whose signed decisions count, in the order of the file.
    pub engineers: Vec<Engineer>,
    /// Resin batches, at least one where a group names one.
    pub batches: Vec<Batch>,
    /// What the take-off reckons with, where the file says.
    pub supplies: Option<Supplies>,
    /// Groups, at least one.
    pub groups: Vec<Group>,
    places: Places,
}

/// A resin batch.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Batch {
    /// What is printed on the cartridge: 1 to 24 bytes.
    pub name: String,
    /// The last day it may be used.
    pub use_by: NaiveDate,
    /// Cartridges of it that there are, where the file says.
    pub cartridges: Option<u32>,
    places: Places,
}

/// What the take-off reckons with.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Supplies {
    /// Content of a cartridge.
    pub cartridge: Volume,
    /// What is discarded from each new nozzle until the colour is even.
    pub discard: Volume,
    /// What stays in a cartridge and its nozzle when it is empty.
    pub left: Volume,
    /// Resin pumped a minute, where the file says; rounded down where it is used.
    pub pumping_per_minute: Option<Volume>,
    /// Holes after which a brush is worn, where the file says.
    pub holes_per_brush: Option<u32>,
}

/// A job file that can be used, with its resin.
#[derive(Clone, Debug)]
pub struct JobFile {
    job: Job,
    resin: ResinFile,
    /// Warnings only; holds the text of the file.
    findings: Findings,
}

impl Batch {
    /// The first second past its date, where the clock is `offset_seconds` ahead of UTC (rule A1: good through that day).
    pub fn past_from(&self, offset_seconds: i32) -> Instant {
        past_from(self.use_by, offset_seconds)
    }
}

impl Job {
    /// Number of fixings of all groups.
    pub fn number(&self) -> u64 {
        self.groups.iter().map(|group| u64::from(group.number())).sum()
    }

    /// The batch of a group; `None` where the group names none.
    pub fn batch_of(&self, group: &Group) -> Option<&Batch> {
        let name = group.batch.as_deref()?;
        self.batches.iter().find(|batch| batch.name == name)
    }

    /// The job in the canonical form of its file, with every default written out; reads back as the same job.
    pub fn to_toml(&self) -> String {
        print::job(self)
    }
}

/// Whether a text is a job file's: a scenario has no groups.
pub fn is_job(text: &str) -> bool {
    DeTable::parse(text).is_ok_and(|table| table.get_ref().contains_key("group"))
}

impl JobFile {
    /// Reads the text of a job file that messages call `file`. `resin` loads the resin file by the name that stands in
    /// the job file.
    ///
    /// # Errors
    /// Everything that makes the job unusable with its place, and the warnings that could be judged all the same. A
    /// group in which a value can't be read is judged no further than that.
    pub fn examine(
        file: &str,
        text: &str,
        resin: impl FnOnce(&str) -> Result<ResinFile, Problem>,
    ) -> Result<Self, Findings> {
        let mut findings = Findings::new(file, text);
        let Some(draft) = read::job(text, &mut findings) else { return Err(findings.sorted()) };
        let resin = draft.load_resin(resin, &mut findings);
        check::check(&draft, resin.as_ref(), &mut findings);
        warnings::look(&draft, resin.as_ref(), &mut findings);
        let job = draft.finish();
        let findings = findings.sorted();
        match (job, resin, findings.any_error()) {
            (Some(job), Some(resin), false) => Ok(Self { job, resin, findings }),
            (_, _, _) => Err(findings),
        }
    }

    /// The job.
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// The resin that it names.
    pub fn resin(&self) -> &ResinFile {
        &self.resin
    }

    /// What looks odd, in the order of the file.
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

#[cfg(test)]
mod tests;
