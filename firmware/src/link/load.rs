//! A job while it is being loaded: kept aside until it is complete.
//!
//! Why aside: what runs must not change before all of the new is there and checked, and a line that breaks in the middle
//! must leave the old job as it is. Why so tight: this is most of the memory that the link takes.
//! Invariants: everything kept has passed the checks of its own type; a [`LoadedJob`] is complete.
//! What it does not do: begin the session.

use holdoff_core::cure::{Rule, Settings, Uncertainty};
use holdoff_core::fixing::{FixingSpec, TorqueRange};
use holdoff_core::group::MOST_FIXINGS;
use holdoff_core::log::{Bytes, FileHash, Job as JobRecord, ResinRecord};
use holdoff_core::quantity::{Span, Torque};
use holdoff_core::resin::{Accrual, Hole, Holes, Resin as CoreResin, ResinSpec};
use holdoff_link::message::{Batch, Job, MOST_BATCHES, Planned, Refusal, Resin};

/// The farthest that local time is from UTC, minutes.
pub const FARTHEST_OFFSET: i16 = 18 * 60;
/// No batch.
const UNDECLARED: u8 = u8::MAX;
/// A torque that is not there: no range has a greatest torque of zero.
const NO_TORQUE: (u32, u32) = (0, 0);

/// What has been loaded so far; nothing, unless a job was begun.
#[derive(Clone, Debug)]
pub(super) struct Stage(Option<Begun>);

#[derive(Clone, Debug)]
struct Begun {
    job: JobRecord,
    offset_minutes: i16,
    undecided: u16,
    batches: u8,
    fixings: u8,
    resin: Option<ResinRecord>,
    batch: [Option<KeptBatch>; MOST_BATCHES],
    fixing: [Option<Kept>; MOST_FIXINGS],
}

#[derive(Clone, Copy, Debug)]
struct KeptBatch {
    text: Bytes<24>,
    use_by: Option<i64>,
}

#[derive(Clone, Copy, Debug)]
struct Kept {
    label: Bytes<16>,
    hole: Hole,
    batch: u8,
    torque: (u32, u32),
}

/// A job that was loaded completely.
#[derive(Clone, Copy, Debug)]
pub struct LoadedJob<'a> {
    /// The resin.
    pub resin: &'a ResinRecord,
    /// Settings, rule, period.
    pub job: JobRecord,
    /// Offset of local time, minutes.
    pub offset_minutes: i16,
    /// Fixings of the session before that may stay undecided, one bit each.
    pub undecided: u16,
    begun: &'a Begun,
}

/// A fixing of a job.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct LoadedFixing<'a> {
    /// What it is called on site.
    pub label: Bytes<16>,
    /// Hole condition and torque.
    pub spec: FixingSpec,
    /// Its batch and the first second past its date, UTC.
    pub batch: Option<(&'a Bytes<24>, Option<i64>)>,
}

impl<'a> LoadedJob<'a> {
    /// The fixings in their order, at least one.
    pub fn fixings(&self) -> impl Iterator<Item = LoadedFixing<'a>> + use<'a> {
        let begun = self.begun;
        begun.fixing.iter().take(usize::from(begun.fixings)).flatten().map(move |kept| {
            let (least, greatest) = kept.torque;
            let torque = TorqueRange::new(Torque::from_hundredths(least), Torque::from_hundredths(greatest));
            let batch = begun.batch.get(usize::from(kept.batch)).and_then(Option::as_ref);
            LoadedFixing {
                label: kept.label,
                spec: FixingSpec { hole: kept.hole, torque },
                batch: batch.map(|batch| (&batch.text, batch.use_by)),
            }
        })
    }
}

impl Stage {
    /// Nothing is being loaded. No constant: that would stand in the flash, all thousand bytes of it.
    pub(super) const fn nothing() -> Self {
        Self(None)
    }

    /// Whether a job was begun and is not complete or dropped yet.
    pub(super) const fn is_begun(&self) -> bool {
        self.0.is_some()
    }

    /// Drops what was being loaded.
    pub(super) fn drop_all(&mut self) {
        self.0 = None;
    }

    /// A new job; what was being loaded is dropped, also when this is refused.
    #[inline(never)] // nothing of it on the stack of what commits
    pub(super) fn begin(&mut self, job: &Job) -> Result<(), Refusal> {
        self.drop_all();
        let (batches, fixings) = (usize::from(job.batches), usize::from(job.fixings));
        if batches > MOST_BATCHES || fixings == 0 || fixings > MOST_FIXINGS {
            return Err(Refusal::Number);
        }
        if job.offset_minutes.unsigned_abs() > FARTHEST_OFFSET.unsigned_abs() {
            return Err(Refusal::Time);
        }
        let uncertainty = Uncertainty::from_counts(job.uncertainty).map_err(|_| Refusal::Settings)?;
        let gap = Span::from_seconds(job.longest_gap);
        let settings = Settings::new(uncertainty, gap, job.clock_ppm).map_err(|_| Refusal::Settings)?;
        let settings = settings.with_settle(Span::from_seconds(job.settle)).map_err(|_| Refusal::Settings)?;
        // rule R6 would look back over more readings than are kept
        if !settings.suits_logger(Span::from_seconds(job.period)) {
            return Err(Refusal::Settings);
        }
        // further apart than the longest gap nothing would ever be observed
        if job.period == 0 || job.period > job.longest_gap {
            return Err(Refusal::Settings);
        }
        self.0 = Some(Begun {
            job: JobRecord {
                file: FileHash(job.file),
                settings,
                rule: job.rule,
                period: Span::from_seconds(job.period),
            },
            offset_minutes: job.offset_minutes,
            undecided: job.undecided,
            batches: job.batches,
            fixings: job.fixings,
            resin: None,
            batch: [None; MOST_BATCHES],
            fixing: [None; MOST_FIXINGS],
        });
        Ok(())
    }

    fn begun(&mut self) -> Result<&mut Begun, Refusal> {
        self.0.as_mut().ok_or(Refusal::NotLoading)
    }

    #[inline(never)] // nothing of it on the stack of what commits
    pub(super) fn resin(&mut self, resin: &Resin) -> Result<(), Refusal> {
        let begun = self.begun()?;
        let record = record(resin)?;
        match (begun.job.rule, record.resin.accrual()) {
            (Rule::Accrual, Accrual::Forbidden) => return Err(Refusal::Accrual),
            (Rule::Accrual, Accrual::Permitted) | (Rule::Coldest, _) => {}
        }
        begun.resin = Some(record);
        Ok(())
    }

    #[inline(never)] // nothing of it on the stack of what commits
    pub(super) fn batch(&mut self, batch: &Batch) -> Result<(), Refusal> {
        let begun = self.begun()?;
        let text = plain(&batch.text)?;
        let mut places = begun.batch.iter_mut().take(usize::from(begun.batches));
        let place = places.nth(usize::from(batch.number)).ok_or(Refusal::Number)?;
        *place = Some(KeptBatch { text, use_by: batch.use_by });
        Ok(())
    }

    #[inline(never)] // nothing of it on the stack of what commits
    pub(super) fn fixing(&mut self, fixing: &Planned) -> Result<(), Refusal> {
        let begun = self.begun()?;
        let label = plain(&fixing.label)?;
        let torque = match fixing.torque {
            None => NO_TORQUE,
            Some((least, greatest)) => {
                let range = TorqueRange::new(Torque::from_hundredths(least), Torque::from_hundredths(greatest));
                let range = range.ok_or(Refusal::Torque)?;
                (range.least().hundredths(), range.greatest().hundredths())
            }
        };
        let batch = match fixing.batch {
            None => UNDECLARED,
            Some(batch) if batch < begun.batches => batch,
            Some(_) => return Err(Refusal::Number),
        };
        let mut places = begun.fixing.iter_mut().take(usize::from(begun.fixings));
        let place = places.nth(usize::from(fixing.number)).ok_or(Refusal::Number)?;
        *place = Some(Kept { label, hole: fixing.hole, batch, torque });
        Ok(())
    }

    /// The job, when all of it is there.
    pub(super) fn complete(&self) -> Result<LoadedJob<'_>, Refusal> {
        let begun = self.0.as_ref().ok_or(Refusal::NotLoading)?;
        let resin = begun.resin.as_ref().ok_or(Refusal::Incomplete)?;
        let batches = begun.batch.iter().take(usize::from(begun.batches)).all(Option::is_some);
        let fixings = begun.fixing.iter().take(usize::from(begun.fixings)).all(Option::is_some);
        if !(batches && fixings) {
            return Err(Refusal::Incomplete);
        }
        let Begun { job, offset_minutes, undecided, .. } = *begun;
        Ok(LoadedJob { resin, job, offset_minutes, undecided, begun })
    }
}

/// A name that can be shown: not empty, and without control characters.
fn plain<const N: usize>(text: &str) -> Result<Bytes<N>, Refusal> {
    if text.chars().all(|letter| letter == ' ') || text.chars().any(char::is_control) {
        return Err(Refusal::Text);
    }
    Bytes::new(text.as_bytes()).ok_or(Refusal::Text)
}

fn record(resin: &Resin) -> Result<ResinRecord, Refusal> {
    if resin.holes >> Hole::ALL.len() != 0 {
        return Err(Refusal::Resin);
    }
    let allowed = |bit: usize| resin.holes >> bit & 1 == 1;
    let holes = Hole::ALL.into_iter().enumerate();
    let holes = holes.fold(Holes::NONE, |holes, (bit, hole)| if allowed(bit) { holes.with(hole) } else { holes });
    let spec = ResinSpec {
        limits: resin.limits,
        cartridge_least: resin.cartridge.0,
        cartridge_greatest: resin.cartridge.1,
        holes,
        wet_factor: resin.wet_factor,
        accrual: resin.accrual,
        bands: &resin.bands,
    };
    Ok(ResinRecord {
        resin: CoreResin::new(&spec).map_err(|_| Refusal::Resin)?,
        resin_use: resin.resin_use,
        file: FileHash(resin.file),
        name: plain(&resin.name)?,
    })
}
