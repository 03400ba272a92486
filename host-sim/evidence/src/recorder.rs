//! The memory that a logger would hold after the same readings and actions.
//!
//! Why as a watcher: the trace is read once, from a file or a pipe, and what goes through the replay's step goes into
//! the log too, in the same order. In a replay the monotonic clock and the wall clock are the same.

use crate::keys::SecretFile;
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::group::{Event, FixingNumber, Group, Happening, Verdict};
use holdoff_core::log::{
    Acknowledged, Beginning, Bytes, ClockTie, Job, LogError, Logger, MissingCause, MountError, Owner, RamMemory,
    ResinRecord, Source, mount,
};
use holdoff_core::quantity::{Instant, Span};
use holdoff_core::resin::ResinUse;
use holdoff_core::seal::{
    BatchHash, NotSealed, SealError, Unlogged, Unrecordable, WallClock, seal_due_head, seal_release,
};
use holdoff_files::deeds::Plan;
use holdoff_files::job::unsuited;
use holdoff_files::resin_file::ResinFile;
use holdoff_files::toml_file::file_hash;
use holdoff_files::trace::Row;
use holdoff_site::replay::Watcher;

/// Version of what writes the log.
const WRITER: [u8; 3] = [0, 1, 0];

/// What is loaded into the logger before anything happens.
#[derive(Debug)]
pub struct Loaded<'a> {
    /// The resin.
    pub resin: &'a ResinFile,
    /// Settings of the count.
    pub settings: Settings,
    /// The rule.
    pub rule: Rule,
    /// The fixings.
    pub plan: &'a Plan,
    /// The text of the scenario file; empty where there is none.
    pub job: &'a str,
    /// The device's key.
    pub key: &'a SecretFile,
    /// Where the readings come from.
    pub source: Source,
    /// The usual time between two readings; `None` to take that of the first two.
    pub period: Option<Span>,
}

/// An action that the logger would have refused.
#[derive(Clone, Debug)]
pub struct Refused {
    /// Which fixing.
    pub fixing: FixingNumber,
    /// Why.
    pub why: LogError,
}

/// Why there is no memory.
#[derive(Clone, Debug)]
pub enum NotRecorded {
    /// The memory cannot be used.
    Mount(MountError),
    /// No logger takes these settings with readings so far apart: what the job file's check says.
    Unsuited(String),
    /// The log does not take something.
    Log(LogError),
    /// The release of a fixing has no record.
    Release {
        /// Its place in the plan, from 0.
        place: usize,
        /// Why.
        why: Unrecordable,
    },
    /// Signing failed.
    Seal(SealError),
    /// A signed record is longer than any.
    TooLong,
}

impl From<LogError> for NotRecorded {
    fn from(error: LogError) -> Self {
        Self::Log(error)
    }
}

/// Writes a log while a replay runs.
pub struct Recorder<'a> {
    loaded: Loaded<'a>,
    logger: Logger<RamMemory<'a>>,
    /// What happened before the distance of the readings was known.
    waiting: Vec<Happening>,
    first_at: Option<i64>,
    begun: bool,
    hour: Option<i64>,
    failed: Option<NotRecorded>,
    /// Readings that found no room.
    pub lost: u64,
    /// Actions that the logger would have refused.
    pub refused: Vec<Refused>,
}

impl<'a> Recorder<'a> {
    /// A recorder into a blank memory.
    ///
    /// # Errors
    /// Why the memory cannot be used.
    pub fn new(loaded: Loaded<'a>, memory: &'a mut [u8]) -> Result<Self, NotRecorded> {
        memory.fill(0xFF);
        let owner = Owner { device: loaded.key.device(), key: loaded.key.key().page_key() };
        let mounted = mount(RamMemory(memory), owner, &mut |_| {}, &mut |_| {});
        let (logger, _) = mounted.map_err(NotRecorded::Mount)?;
        let period = loaded.period;
        let mut made = Self {
            loaded,
            logger,
            waiting: Vec::new(),
            first_at: None,
            begun: false,
            hour: None,
            failed: None,
            lost: 0,
            refused: Vec::new(),
        };
        if let Some(period) = period {
            made.begin(period);
        }
        Ok(made)
    }

    /// Ends the recording; what was written stands in the memory.
    ///
    /// # Errors
    /// What went wrong on the way.
    pub fn finish(mut self) -> Result<(u64, Vec<Refused>), NotRecorded> {
        if !self.begun {
            self.begin(Span::from_seconds(1));
        }
        let signed = self.sign_head();
        self.keep(signed);
        match self.failed.take() {
            Some(failed) => Err(failed),
            None => Ok((self.lost, self.refused)),
        }
    }

    fn begin(&mut self, period: Span) {
        self.begun = true;
        match self.loaded.source {
            Source::Sensor(_) => {
                if let Some(what) = unsuited(self.loaded.settings, period) {
                    self.failed.get_or_insert(NotRecorded::Unsuited(what));
                }
            }
            Source::Trace => {}
        }
        let result = self.try_begin(period);
        self.keep(result);
        for what in std::mem::take(&mut self.waiting) {
            self.record(&what);
        }
    }

    fn try_begin(&mut self, period: Span) -> Result<(), NotRecorded> {
        let resin = self.loaded.resin;
        let resin_use = if resin.demo() { ResinUse::Demo } else { ResinUse::OnSite };
        let beginning = Beginning {
            firmware: WRITER,
            source: self.loaded.source,
            resin: ResinRecord {
                resin: resin.resin().clone(),
                resin_use,
                file: resin.hash(),
                name: Bytes::cut(resin.name()),
            },
            job: Job {
                file: file_hash(self.loaded.job),
                settings: self.loaded.settings,
                rule: self.loaded.rule,
                period,
            },
            demands: self.loaded.plan.hands.demands,
        };
        self.logger.begin(&beginning)?;
        for person in &self.loaded.plan.hands.people {
            self.logger.person(*person)?;
        }
        for (fixing, place) in self.loaded.plan.fixings.iter().zip(0..) {
            self.logger.add(Bytes::cut(&self.loaded.plan.label(place)), fixing.spec)?;
        }
        Ok(())
    }

    fn keep(&mut self, result: Result<(), NotRecorded>) {
        if let Err(error) = result {
            self.failed.get_or_insert(error);
        }
    }

    fn record(&mut self, what: &Happening) {
        let result = self.try_record(what);
        self.keep(result);
    }

    fn try_record(&mut self, what: &Happening) -> Result<(), NotRecorded> {
        let at = match what {
            Happening::Reading { at, .. }
            | Happening::Unusable { at, .. }
            | Happening::Missing { at }
            | Happening::Lost { at }
            | Happening::Action { at, .. } => *at,
            Happening::PowerUp { .. } | Happening::Untrusted => return Ok(()),
        };
        self.sign_head()?;
        let hour = at.seconds().div_euclid(3600);
        if self.hour.is_none_or(|before| hour > before) {
            self.hour = Some(hour);
            self.tie(at)?;
        }
        self.hands(what)?;
        let taken = if let Happening::Missing { at } = what {
            self.logger.missing(*at, MissingCause::EmptyField, &mut |_| {})
        } else {
            self.logger.happen(*what, &mut |_| {})
        };
        match (taken, what) {
            (Ok(Acknowledged::Stored(_)), _) => self.seal(),
            (Ok(Acknowledged::Lost { .. }), _) => {
                self.lost += 1;
                Ok(())
            }
            (Err(error @ (LogError::NoRoom { .. } | LogError::Untrusted)), Happening::Action { fixing, .. }) => {
                self.refused.push(Refused { fixing: *fixing, why: error });
                Ok(())
            }
            (Err(error), _) => Err(error.into()),
        }
    }

    /// Records whose hands act, where they are others than before.
    fn hands(&mut self, what: &Happening) -> Result<(), NotRecorded> {
        let Happening::Action { at, fixing, action } = what else { return Ok(()) };
        let acts = self.loaded.plan.fixings.get(fixing.place()).map_or(&[][..], |fixing| &fixing.acts);
        let by = acts.iter().find(|act| act.at == *at && act.action == *action).and_then(|act| act.by);
        if self.logger.session().hands() == by {
            return Ok(());
        }
        Ok(self.logger.hands(by)?)
    }

    fn tie(&mut self, at: Instant) -> Result<(), NotRecorded> {
        let tie = ClockTie { at, utc: at.seconds(), offset_minutes: self.offset_minutes() };
        Ok(self.logger.clock(tie)?)
    }

    fn offset_minutes(&self) -> i16 {
        let seconds = self.loaded.plan.fixings.first().map_or(0, |fixing| fixing.offset_seconds);
        i16::try_from(seconds / 60).unwrap_or(0)
    }

    /// Signs what is released now.
    fn seal(&mut self) -> Result<(), NotRecorded> {
        for fixing in self.logger.session().unsealed() {
            let unlogged = Unlogged {
                label: Bytes::cut(&self.loaded.plan.label(fixing.place())),
                batch: BatchHash::UNDECLARED,
                clock: WallClock::Tied { ahead: 0, offset_minutes: self.offset_minutes() },
            };
            let sealed = seal_release(&mut self.logger, fixing, &unlogged, self.loaded.key.key());
            sealed.map_err(|error| not_sealed(error, fixing.place()))?;
        }
        Ok(())
    }

    /// Signs where the log stands, where that is due.
    fn sign_head(&mut self) -> Result<(), NotRecorded> {
        seal_due_head(&mut self.logger, self.loaded.key.key()).map_err(|error| not_sealed(error, 0))
    }
}

fn not_sealed(error: NotSealed, place: usize) -> NotRecorded {
    match error {
        NotSealed::NoSession => NotRecorded::Log(LogError::NoSession),
        NotSealed::Record(why) => NotRecorded::Release { place, why },
        NotSealed::Seal(error) => NotRecorded::Seal(error),
        NotSealed::TooLong => NotRecorded::TooLong,
        NotSealed::Log(error) => NotRecorded::Log(error),
    }
}

impl Watcher for Recorder<'_> {
    fn row(&mut self, _: &Group, _: &Row, _: Verdict) {}

    fn event(&mut self, _: &Event) {}

    fn happening(&mut self, _: &Group, what: &Happening) {
        if self.begun {
            self.record(what);
            return;
        }
        self.waiting.push(*what);
        let at = match what {
            Happening::Reading { at, .. }
            | Happening::Unusable { at, .. }
            | Happening::Missing { at }
            | Happening::Lost { at } => at.seconds(),
            Happening::Action { .. } | Happening::PowerUp { .. } | Happening::Untrusted => return,
        };
        match self.first_at {
            None => self.first_at = Some(at),
            Some(first) => {
                let seconds = u32::try_from(at.saturating_sub(first)).unwrap_or(3600).max(1);
                self.begin(Span::from_seconds(seconds));
            }
        }
    }
}

impl std::fmt::Debug for Recorder<'_> {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Recorder").field("lost", &self.lost).finish_non_exhaustive()
    }
}
