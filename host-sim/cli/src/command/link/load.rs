//! `holdoff link PORT load`: a group of a job file, or a scenario without its actions.

use super::clock::{apart, now, offset};
use crate::command::{Streams, setting};
use crate::link::{BatchText, Shipment, Talk, Trouble, leaving, load, problem, undecided};
use holdoff_core::quantity::Span;
use holdoff_disk::Load;
use holdoff_disk::job_or_scenario_text;
use holdoff_files::job::{JobFile, unsuited};
use holdoff_files::problem::{Exit, Problem, shown};
use holdoff_files::resin_file::ResinFile;
use holdoff_files::scenario::Scenario;
use holdoff_link::message::{Answer, Request};
use holdoff_link::status::ClockState;
use holdoff_present::words::{LinkPhrase, Speech, length};
use std::fmt::Write;

/// Time between readings where nothing says another.
const A_MINUTE: Span = Span::from_seconds(60);

/// `holdoff link PORT load`.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// A job file, or a scenario, whose trace and actions are not used (TOML)
    #[arg(value_name = "FILE")]
    file: String,
    /// Which group of the job file, where it has several
    #[arg(long, value_name = "NAME")]
    group: Option<String>,
    /// Time between readings [default: the job file's, else 1min]
    #[arg(long, value_name = "DURATION")]
    interval: Option<String>,
    /// What is printed on the cartridges, where the file does not say
    #[arg(long, value_name = "TEXT")]
    batch: Option<String>,
    /// Last day the resin may be used, YYYY-MM-DD
    #[arg(long, value_name = "DATE", requires = "batch")]
    use_by: Option<String>,
    /// Offset of local time from UTC, such as +01:00 [default: the job file's, else this computer's]
    #[arg(long, value_name = "±HH:MM", allow_hyphen_values = true)]
    offset: Option<String>,
    /// Load although this fixing of the job that is loaded is rejected and the engineer has not decided on it; give it once
    /// for each such fixing, as the logger calls it. What is recorded of it stays in the logger's memory
    #[arg(long, value_name = "FIXING")]
    leave_undecided: Vec<String>,
}

impl Arguments {
    fn interval(&self) -> Result<Option<Span>, Problem> {
        self.interval.as_deref().map(|text| setting::interval("--interval", text)).transpose()
    }

    fn batch(&self, offset_minutes: i16) -> Result<Option<BatchText>, Problem> {
        let offset_seconds = i32::from(offset_minutes) * 60;
        let past_from = |date| setting::past_from("--use-by", date, offset_seconds).map(|at| at.seconds());
        let use_by = self.use_by.as_deref().map(past_from).transpose()?;
        Ok(self.batch.clone().map(|text| BatchText { text, use_by }))
    }
}

/// Whether a file is a job file: a scenario has no groups.
fn is_job(file: &str) -> Result<bool, Problem> {
    Ok(holdoff_files::job::is_job(&job_or_scenario_text(file)?))
}

/// A job that is ready to be loaded.
pub(super) struct Loading {
    /// Fixings that may stay undecided.
    leave: Vec<String>,
    messages: Vec<Request>,
    resin: ResinFile,
    file: String,
}

impl Loading {
    /// Reads what is to be loaded, and looks whether a logger can take it.
    pub(super) fn prepare(arguments: &Arguments, streams: &mut Streams) -> Result<Self, Problem> {
        if is_job(&arguments.file)? {
            return Self::of_job(arguments, streams);
        }
        Self::of_scenario(arguments, streams)
    }

    fn of_job(arguments: &Arguments, streams: &mut Streams) -> Result<Self, Problem> {
        let file = JobFile::load(&arguments.file)?;
        streams.warn_of_job(&file);
        let job = file.job();
        let names = || job.logger_groups().map(|group| shown(group.name().as_bytes())).collect::<Vec<_>>().join(", ");
        let group = match &arguments.group {
            Some(name) => job.logger_group(name).ok_or_else(|| {
                let what = format!("--group {}: {} has no such group", shown(name.as_bytes()), arguments.file);
                Problem::usage(what, format!("give one of: {}", names()))
            })?,
            None => {
                let mut groups = job.logger_groups();
                match (groups.next(), groups.next()) {
                    (Some(only), None) => only,
                    (None, _) | (_, Some(_)) => {
                        let what = format!("{} has several groups, and a logger watches one", arguments.file);
                        return Err(Problem::usage(what, format!("give --group with one of: {}", names())));
                    }
                }
            }
        };
        let offset_minutes = match &arguments.offset {
            Some(_) => offset(arguments.offset.as_deref())?,
            None => i16::try_from(group.offset_seconds() / 60).unwrap_or(0),
        };
        let batch = match (group.batch(), arguments.batch(offset_minutes)?) {
            (None, given) => given,
            (Some(named), None) => Some(BatchText {
                text: named.name.clone(),
                use_by: Some(named.past_from(group.offset_seconds()).seconds()),
            }),
            (Some(named), Some(_)) => {
                let what =
                    format!("--batch: {} names batch {} for this group", arguments.file, shown(named.name.as_bytes()));
                return Err(Problem::usage(what, "correct the job file where another batch is used"));
            }
        };
        let fixings = group.fixings().iter().map(|fixing| (fixing.name.clone(), group.spec(), batch.clone()));
        let shipment = Shipment {
            resin: file.resin(),
            settings: group.settings(),
            rule: group.rule(),
            period: arguments.interval()?.unwrap_or_else(|| group.period()),
            offset_minutes,
            file: file.source(),
            fixings: fixings.collect(),
        };
        Self::of(&shipment, arguments)
    }

    fn of_scenario(arguments: &Arguments, streams: &mut Streams) -> Result<Self, Problem> {
        if let Some(group) = &arguments.group {
            let what =
                format!("--group {}: {} is a scenario, which has one group", shown(group.as_bytes()), arguments.file);
            return Err(Problem::usage(what, "leave --group out"));
        }
        let scenario = Scenario::load(&arguments.file)?;
        let settings = setting::settings(&setting::Written::of(&scenario))?;
        let resin = crate::command::replay::load(&scenario.resin, streams)?;
        let plan = scenario.plan(|celsius| crate::command::replay::declared(&resin, celsius))?;
        let offset_minutes = offset(arguments.offset.as_deref())?;
        let actions = plan.fixings.iter().map(|fixing| fixing.acts.len()).sum::<usize>();
        if actions > 0 {
            streams.warn(&format!(
                "{}: its {actions} actions are not loaded; what is done to a fixing is told the logger where it is done",
                arguments.file
            ));
        }
        let batch = arguments.batch(offset_minutes)?;
        let fixings =
            plan.fixings.iter().zip(0..).map(|(fixing, place)| (plan.label(place), fixing.spec, batch.clone()));
        let shipment = Shipment {
            resin: &resin,
            settings,
            rule: scenario.rule,
            period: arguments.interval()?.unwrap_or(A_MINUTE),
            offset_minutes,
            file: &scenario.text,
            fixings: fixings.collect(),
        };
        Self::of(&shipment, arguments)
    }

    fn of(shipment: &Shipment<'_>, arguments: &Arguments) -> Result<Self, Problem> {
        let file = &arguments.file;
        if shipment.period > shipment.settings.longest_gap() {
            let (period, gap) = (shipment.period.seconds(), shipment.settings.longest_gap().seconds());
            let (period, gap) = (length(u64::from(period)), length(u64::from(gap)));
            let what = format!(
                "a reading every {period} is further apart than the longest gap ({gap}): no cure could be seen"
            );
            return Err(Problem::usage(what, "give a shorter --interval"));
        }
        if let Some(what) = unsuited(shipment.settings, shipment.period) {
            return Err(Problem::usage(
                what,
                "give a longer --interval, or a shorter settle in the file; 3min always fit",
            ));
        }
        let messages = shipment
            .messages()
            .map_err(|what| Problem::unusable(file, what, "give shorter names, or split the job into groups"))?;
        let leave = arguments.leave_undecided.clone();
        Ok(Self { leave, messages, resin: shipment.resin.clone(), file: file.clone() })
    }

    /// Loads it.
    pub(super) fn load(
        &self,
        talk: &mut Talk,
        name: &str,
        speech: Speech,
        streams: &mut Streams,
    ) -> Result<Exit, Problem> {
        let trouble = |trouble: Trouble| problem(name, &trouble);
        let undecided = self.left_undecided(name, &undecided(talk).map_err(trouble)?)?;
        let loaded = load(talk, &leaving(&self.messages, &undecided)).map_err(trouble)?;
        let wanted = self.messages.iter().filter(|message| matches!(message, Request::Fix(_))).count();
        let Some(loaded) = loaded.filter(|loaded| usize::from(loaded.fixings) == wanted) else {
            return Err(Problem::unusable(
                name,
                "the logger lost its power while the job was written, and does not have all of it",
                format!("look with `holdoff link {name} status`, and load it again"),
            ));
        };
        let (fixings, resin) = (loaded.fixings.to_string(), shown(self.resin.name().as_bytes()));
        let period = speech.length(u64::from(loaded.period));
        let gaps = [("file", &*self.file), ("fixings", &*fixings), ("resin", &*resin), ("period", &*period)];
        let mut text = speech.fill(LinkPhrase::Loaded, &gaps) + "\n";
        if self.resin.demo() {
            let _ = writeln!(text, "\n{}", speech.demo_caution());
        }
        let _ = writeln!(text, "\n{}", speech.caution());
        // it is loaded, whatever can be asked about the clock
        let exit = streams.print(&text);
        self.look_at_clock(talk, name, streams).map_err(trouble)?;
        Ok(exit)
    }

    /// The rejected fixings that stay without a decision of the engineer, each asked for by name.
    fn left_undecided(&self, name: &str, undecided: &[(u8, String)]) -> Result<Vec<u8>, Problem> {
        let quoted = |label: &str| shown(label.as_bytes());
        if let Some(other) = self.leave.iter().find(|named| !undecided.iter().any(|(_, label)| label == *named)) {
            let what = format!(
                "--leave-undecided {}: no fixing of that name on the logger is rejected and undecided",
                quoted(other)
            );
            return Err(Problem::refused(name, what, "look at its names with `holdoff link PORT status`"));
        }
        let unnamed: Vec<&str> = undecided
            .iter()
            .map(|(_, label)| label.as_str())
            .filter(|label| !self.leave.iter().any(|named| named == label))
            .collect();
        if unnamed.is_empty() {
            return Ok(undecided.iter().map(|(number, _)| *number).collect());
        }
        let names = unnamed.iter().map(|label| quoted(label)).collect::<Vec<_>>().join(", ");
        let options: Vec<String> =
            undecided.iter().map(|(_, label)| format!("--leave-undecided {}", quoted(label))).collect();
        let what =
            format!("of the job that is loaded, these fixings are rejected and the engineer has not decided: {names}");
        let remedy = format!("let the engineer decide at the logger, or load with {}", options.join(" "));
        Err(Problem::refused(name, what, remedy))
    }

    /// Warns where the logger's clock is not that of this computer.
    fn look_at_clock(&self, talk: &mut Talk, name: &str, streams: &mut Streams) -> Result<(), Trouble> {
        let Answer::Clock(clock) = talk.ask(&Request::Clock)? else { return Err(Trouble::Unfitting) };
        match clock.utc.map(|utc| utc.saturating_sub(now().0)) {
            None => streams.warn(&format!(
                "{name}: the logger's clock {}; set it before anything is injected: `holdoff link {name} clock --set`",
                if clock.state == ClockState::Failed { "failed" } else { "was not set" }
            )),
            Some(ahead) if ahead.unsigned_abs() > 60 => streams.warn(&format!(
                "{name}: the logger's clock is {}; set it before anything is injected: `holdoff link {name} clock --set`",
                apart(Speech::PLAIN, ahead)
            )),
            Some(_) => {}
        }
        Ok(())
    }
}
