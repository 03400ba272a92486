//! One fixing as a command line describes it.

use super::Streams;
use super::replay::{Job, declared, load};
use super::setting::{self, SettingArguments, Written, decimal, stamp};
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::{Action, FixingSpec, InHole, Injection};
use holdoff_core::group::{Group, GroupError};
use holdoff_core::quantity::Instant;
use holdoff_core::resin::{Hole, Resin};
use holdoff_files::deeds::build;
use holdoff_files::deeds::{Act, Fixing, Plan};
use holdoff_files::hands::Hands;
use holdoff_files::problem::Problem;

/// The options about the fixing, as they were given.
#[derive(Clone, Copy, Debug)]
pub(super) struct OneFixing<'a> {
    pub(super) resin: Option<&'a str>,
    pub(super) hole: Option<Hole>,
    pub(super) inject: Option<&'a str>,
    pub(super) seat: Option<&'a str>,
    pub(super) rule: Option<Rule>,
    pub(super) settings: &'a SettingArguments,
    pub(super) in_hole: Option<&'a str>,
    pub(super) cartridge: Option<&'a str>,
    pub(super) use_by: Option<&'a str>,
}

/// Gives the arguments of a command that has the options of a fixing a way to hand them over; which of them it asks for is its own.
macro_rules! has_one_fixing {
    ($arguments:ty) => {
        impl $arguments {
            fn fixing(&self) -> OneFixing<'_> {
                OneFixing {
                    resin: self.resin.as_deref(),
                    hole: self.hole,
                    inject: self.inject.as_deref(),
                    seat: self.seat.as_deref(),
                    rule: self.rule,
                    settings: &self.settings,
                    in_hole: self.in_hole.as_deref(),
                    cartridge: self.cartridge.as_deref(),
                    use_by: self.use_by.as_deref(),
                }
            }
        }
    };
}
pub(super) use has_one_fixing;

/// What an option must have.
pub(super) fn needed<'a>(value: Option<&'a str>, option: &str) -> Result<&'a str, Problem> {
    value.ok_or_else(|| Problem::usage(format!("{option} is missing"), "see --help of this command"))
}

/// The fixing with its resin, settings and rule.
pub(super) fn job(options: &OneFixing<'_>, streams: &mut Streams) -> Result<Job, Problem> {
    let settings = options.settings.over(&Written::default())?;
    let inject = stamp("--inject", needed(options.inject, "--inject")?)?;
    let seat = options.seat.map(|text| stamp("--seat", text)).transpose()?;
    if let Some(seat) = seat
        && (seat.floor_seconds(), seat.nanos()) < (inject.floor_seconds(), inject.nanos())
    {
        return Err(Problem::usage(
            "--seat lies before --inject",
            "an element is seated after the injection has begun",
        ));
    }
    let in_hole = options.in_hole.map(|text| decimal("--in-hole", text)).transpose()?;
    let in_hole = in_hole.map(|celsius| setting::in_hole("--in-hole", &celsius)).transpose()?;
    let cartridge = options.cartridge.map(|text| decimal("--cartridge", text)).transpose()?;
    let past_from = options.use_by;
    let past_from = past_from.map(|date| setting::past_from("--use-by", date, inject.offset_seconds())).transpose()?;
    let resin = load(needed(options.resin, "--resin")?, streams)?;
    let at = Instant::from_seconds(inject.floor_seconds());
    let injection = Injection {
        in_hole: in_hole.map(|count| InHole { at, count }),
        cartridge: cartridge.map(|celsius| declared(&resin, &celsius)),
        past_from,
    };
    let mut acts =
        vec![Act { at, action: Action::Inject(injection), offset_seconds: inject.offset_seconds(), by: None }];
    if let Some(seat) = seat {
        let at = Instant::from_seconds(seat.ceil_seconds());
        acts.push(Act { at, action: Action::Seat, offset_seconds: seat.offset_seconds(), by: None });
    }
    let offset_seconds = seat.unwrap_or(inject).offset_seconds();
    let spec = FixingSpec { hole: options.hole.unwrap_or(Hole::Dry), torque: None };
    let fixing = Fixing { name: None, spec, acts, offset_seconds };
    let rule = options.rule.unwrap_or(Rule::Coldest);
    Ok(Job { resin, settings, rule, plan: Plan { fixings: vec![fixing], hands: Hands::NONE }, text: String::new() })
}

/// The group of a job, before anything has happened.
pub(super) fn group(job: &Job) -> Result<Group, Problem> {
    built(job.resin.resin(), job.settings, job.rule, &job.plan, job.resin.name())
}

/// A group of planned fixings; `name` is the resin's.
pub(super) fn built(resin: &Resin, settings: Settings, rule: Rule, plan: &Plan, name: &str) -> Result<Group, Problem> {
    build(resin, settings, rule, plan).map_err(|error| match error {
        GroupError::AccrualNotPermitted => Problem::usage(
            format!("the accrual rule is asked for and {name} does not permit it"),
            "leave the rule out, or give a resin whose maker permits it",
        ),
        GroupError::Full => Problem::usage("a group has more than sixteen fixings", "split it into groups"),
    })
}
