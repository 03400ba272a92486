//! The JSON object of a shift plan (`docs/interfaces.md`, Plan).

use super::words::FORECAST_CAUTION;
use crate::seen::SeenObject;
use crate::words::{CAUTION, DEMO_CAUTION};
use holdoff_core::cure::Rule;
use holdoff_core::fixing::Grounds;
use holdoff_core::quantity::Instant;
use holdoff_files::stamp::format_seconds;
use holdoff_site::plan::{Began, Fate, GroupPlan, Outlook, ShiftPlan, Start, Variant, Window, deadline, windows};
use serde::Serialize;

/// Which starts are listed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Starts {
    /// Those on full hours of local time.
    Hourly,
    /// All.
    All,
}

/// A shift plan.
#[derive(Debug, Serialize)]
pub struct Object {
    job: String,
    site: String,
    forecast: String,
    from: String,
    to: String,
    resin: String,
    laxer: Vec<&'static str>,
    longest_gap_s: u32,
    shorter_gap_s: Option<u32>,
    seat_after_s: i64,
    every_s: i64,
    #[serde(flatten)]
    seen: SeenObject,
    groups: Vec<GroupObject>,
    demo: bool,
    caution: String,
}

#[derive(Debug, Serialize)]
struct GroupObject {
    group: String,
    fixings: u32,
    hole: &'static str,
    rule: &'static str,
    variants: Vec<VariantObject>,
}

#[derive(Debug, Serialize)]
struct VariantObject {
    colder_c: f64,
    windows: Vec<WindowObject>,
    torque_by: Vec<DeadlineObject>,
    starts: Vec<StartObject>,
}

#[derive(Debug, Serialize)]
struct WindowObject {
    from: String,
    to: String,
    standing: &'static str,
    reasons: Vec<&'static str>,
}

#[derive(Debug, Serialize)]
struct DeadlineObject {
    by: String,
    latest_start: Option<String>,
    latest_seating: Option<String>,
    windows: Vec<[String; 2]>,
}

#[derive(Debug, Serialize)]
struct StartObject {
    at: String,
    seat_at: String,
    standing: &'static str,
    reasons: Vec<&'static str>,
    seat_by: Option<String>,
    coldest: Option<FateObject>,
    accrual: Option<FateObject>,
}

#[derive(Debug, Serialize)]
struct FateObject {
    cured_at: Option<String>,
    torque_from: Option<String>,
    rejected_at: Option<String>,
    reasons: Vec<&'static str>,
}

/// The object of a plan.
pub fn object(plan: &ShiftPlan, listed: Starts) -> Object {
    let (from, to) = plan.span;
    let demo = if plan.demo { format!("{DEMO_CAUTION} ") } else { String::new() };
    let writer = Writer { plan, listed };
    Object {
        job: plan.job.clone(),
        site: plan.site.clone(),
        forecast: plan.forecast.clone(),
        from: writer.time(from),
        to: writer.time(to),
        resin: plan.resin.clone(),
        laxer: plan.laxer.words().collect::<Vec<_>>(),
        longest_gap_s: plan.longest_gap_s,
        shorter_gap_s: plan.shorter_gap_s,
        seat_after_s: plan.seat_after,
        every_s: plan.every,
        seen: SeenObject::of(&plan.seen),
        groups: plan.groups.iter().map(|group| writer.group(group)).collect(),
        demo: plan.demo,
        caution: format!("{demo}{FORECAST_CAUTION} {CAUTION}"),
    }
}

struct Writer<'a> {
    plan: &'a ShiftPlan,
    listed: Starts,
}

impl Writer<'_> {
    fn time(&self, at: Instant) -> String {
        format_seconds(at.seconds(), self.plan.offset_seconds)
    }

    fn group(&self, group: &GroupPlan) -> GroupObject {
        GroupObject {
            group: group.name.clone(),
            fixings: group.number,
            hole: group.hole.word(),
            rule: group.rule.word(),
            variants: group.variants.iter().map(|variant| self.variant(group, variant)).collect(),
        }
    }

    fn variant(&self, group: &GroupPlan, variant: &Variant) -> VariantObject {
        let every = self.plan.every;
        let window = |window: &Window| WindowObject {
            from: self.time(window.from),
            to: self.time(window.to),
            standing: window.standing.word(),
            reasons: grounds_of(window.standing),
        };
        let torque_by = self.plan.torque_by.iter().map(|by| {
            let found = deadline(&variant.starts, group.rule, every, *by);
            DeadlineObject {
                by: self.time(*by),
                latest_start: found.latest.map(|at| self.time(at)),
                latest_seating: found.latest.map(|at| self.time(at.after(self.plan.seat_after))),
                windows: found.windows.iter().map(|window| [self.time(window.from), self.time(window.to)]).collect(),
            }
        });
        VariantObject {
            colder_c: variant.colder.parse().unwrap_or(0.0),
            windows: windows(&variant.starts, group.rule, every).iter().map(window).collect(),
            torque_by: torque_by.collect(),
            starts: variant
                .starts
                .iter()
                .filter(|start| self.is_listed(start))
                .map(|start| self.start(group, start))
                .collect(),
        }
    }

    fn is_listed(&self, start: &Start) -> bool {
        match self.listed {
            Starts::All => true,
            Starts::Hourly => (start.at.seconds() + i64::from(self.plan.offset_seconds)) % 3600 == 0,
        }
    }

    fn start(&self, group: &GroupPlan, start: &Start) -> StartObject {
        let standing = Outlook::of(start, group.rule);
        let seat_by = match start.began {
            Began::Refused(_) => None,
            Began::Injected { seat_by, .. } => seat_by,
        };
        StartObject {
            at: self.time(start.at),
            seat_at: self.time(start.at.after(self.plan.seat_after)),
            standing: standing.word(),
            reasons: grounds_of(standing),
            seat_by: seat_by.map(|at| self.time(at)),
            coldest: start.fate(Rule::Coldest).map(|fate| self.fate(fate)),
            accrual: start.fate(Rule::Accrual).map(|fate| self.fate(fate)),
        }
    }

    fn fate(&self, fate: Fate) -> FateObject {
        let (cured_at, rejected_at, grounds) = match fate {
            Fate::Cured { at, .. } => (Some(at), None, Grounds::NONE),
            Fate::Rejected { at, grounds } => (None, Some(at), grounds),
            Fate::Open => (None, None, Grounds::NONE),
        };
        FateObject {
            cured_at: cured_at.map(|at| self.time(at)),
            torque_from: fate.torque_from().map(|at| self.time(at)),
            rejected_at: rejected_at.map(|at| self.time(at)),
            reasons: words(grounds),
        }
    }
}

fn grounds_of(standing: Outlook) -> Vec<&'static str> {
    match standing {
        Outlook::Refused(grounds) | Outlook::RejectedLater(grounds) => words(grounds),
        Outlook::Cures | Outlook::Open => Vec::new(),
    }
}

fn words(grounds: Grounds) -> Vec<&'static str> {
    grounds.iter().map(|ground| ground.word()).collect()
}
