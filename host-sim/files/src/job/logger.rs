//! From a job to what a logger is loaded with.

use super::{Batch, FixingPlan, Group, Job};
use crate::deeds;
use crate::duration;
use crate::hands::Hands;
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::{Demands, DemandsError, FixingSpec};
use holdoff_core::log::Bytes;
use holdoff_core::quantity::Span;
use holdoff_core::seal::Label;

/// The fixings of a group that share one logger: 1 to 16.
#[derive(Clone, Copy, Debug)]
pub struct LoggerGroup<'j> {
    job: &'j Job,
    group: &'j Group,
    fixings: &'j [FixingPlan],
    number: usize,
}

impl Job {
    /// What each logger of the job watches, group by group in the order of the file.
    pub fn logger_groups(&self) -> impl Iterator<Item = LoggerGroup<'_>> {
        self.groups.iter().flat_map(|group| self.loggers_of(group))
    }

    /// The same for one of its groups.
    pub fn loggers_of<'j>(&'j self, group: &'j Group) -> impl Iterator<Item = LoggerGroup<'j>> {
        let mut rest = group.fixings.as_slice();
        group.loggers.iter().zip(1..).map_while(move |(count, number)| {
            let (fixings, after) = rest.split_at_checked(usize::from(*count))?;
            rest = after;
            Some(LoggerGroup { job: self, group, fixings, number })
        })
    }

    /// A logger group by its name.
    pub fn logger_group(&self, name: &str) -> Option<LoggerGroup<'_>> {
        self.logger_groups().find(|logger| logger.name() == name)
    }
}

impl<'j> LoggerGroup<'j> {
    /// The group's name; of several loggers with ` / 1`, ` / 2` and so on behind it. Not repeated in the job.
    pub fn name(&self) -> String {
        self.group.logger_name(self.number)
    }

    /// The group.
    pub fn group(&self) -> &'j Group {
        self.group
    }

    /// Its fixings, 1 to 16.
    pub fn fixings(&self) -> &'j [FixingPlan] {
        self.fixings
    }

    /// What the engine is told of each of them.
    pub fn spec(&self) -> FixingSpec {
        self.group.spec()
    }

    /// Settings of the count.
    pub fn settings(&self) -> Settings {
        self.job.settings
    }

    /// The rule.
    pub fn rule(&self) -> Rule {
        self.group.rule
    }

    /// Time between readings.
    pub fn period(&self) -> Span {
        self.job.period
    }

    /// Seconds the site's clock is ahead of UTC.
    pub fn offset_seconds(&self) -> i32 {
        self.job.offset_seconds
    }

    /// The batch that the group names.
    pub fn batch(&self) -> Option<&'j Batch> {
        self.job.batch_of(self.group)
    }

    /// The batch as a logger keeps it: what is printed on it, and the first second past its date.
    pub fn batch_record(&self) -> Option<(Bytes<24>, i64)> {
        let batch = self.batch()?;
        Some((Bytes::cut(&batch.name), batch.past_from(self.job.offset_seconds).seconds()))
    }

    /// The fixings as a log declares them: their labels, hole and torque.
    pub fn declared(&self) -> impl Iterator<Item = (Bytes<16>, FixingSpec)> + use<'j> {
        let spec = self.spec();
        self.fixings.iter().map(move |fixing| (Bytes::cut(&fixing.name), spec))
    }

    /// What the job demands of hands at its fixings. The logger does not ask for it yet: nothing of it is loaded.
    ///
    /// # Errors
    /// None of a job that was checked.
    pub fn demands(&self) -> Result<Demands, DemandsError> {
        self.job.hands.demands(&self.group.cleaning)
    }

    /// A plan without actions, for the replay's engine.
    pub fn plan(&self) -> deeds::Plan {
        let fixing = |fixing: &FixingPlan| deeds::Fixing {
            name: Some(fixing.name.clone()),
            spec: self.spec(),
            acts: Vec::new(),
            offset_seconds: self.job.offset_seconds,
        };
        deeds::Plan { fixings: self.fixings.iter().map(fixing).collect(), hands: Hands::NONE }
    }
}

/// Why no logger takes a job with these settings and a reading every `period` (rule R6); `None` where one does.
pub fn unsuited(settings: Settings, period: Span) -> Option<String> {
    (!settings.suits_logger(period)).then(|| {
        let (settle, period) = (duration::format(settings.settle()), duration::format(period));
        format!("a logger that reads every {period} does not keep the readings of a settle of {settle}")
    })
}

impl Group {
    /// The names of its logger groups, in their order.
    pub(super) fn logger_names(&self) -> impl Iterator<Item = String> + '_ {
        (1..=self.loggers.len()).map(|number| self.logger_name(number))
    }

    fn logger_name(&self, number: usize) -> String {
        if self.loggers.len() == 1 { self.name.clone() } else { format!("{} / {number}", self.name) }
    }
}

impl FixingPlan {
    /// The label of a release record.
    pub fn label(&self) -> Label {
        Label::new(self.name.as_bytes()).unwrap_or(Label::EMPTY)
    }
}
