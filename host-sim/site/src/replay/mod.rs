//! A recorded trace through the engine.
//!
//! What for: the same step that runs on the logger is told what happened: the rows of a trace in their order, and in
//! between what people did. An action takes its place before the first row whose time is later than its own; at the
//! same time the row comes first, and actions of one time keep the order inject, seat, hole, carried out, torque,
//! decision.
//! Terms: a *plan* is the fixings with their actions; a *watcher* is shown every row and event on the way, for a story
//! or a plot.
//! Invariants: memory does not grow with the trace; what a watcher sees changes nothing.
//! What it does not do: print, open files, or judge anything itself.

mod apart;
mod offset;
mod seen;
mod spacing;
mod story;

pub use apart::{Apart, TooFarApart};
pub use offset::{OtherOffset, Timed};
pub use seen::Seen;
pub use spacing::{Spacing, Uneven};
pub use story::{Point, Story, Stretch, Why};

use holdoff_core::fixing::NotApplicable;
use holdoff_core::group::{Event, FixingNumber, Group, Happening, Verdict};
use holdoff_core::log::StageWord;
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::Instant;
use holdoff_files::deeds::{Act, Plan};
use holdoff_files::problem::{Problem, shown};
use holdoff_files::stamp::format_seconds;
use holdoff_files::trace::{Row, Rows, Sample};

/// Is shown what goes on in a replay.
pub trait Watcher {
    /// A row has gone through the step.
    fn row(&mut self, group: &Group, row: &Row, verdict: Verdict);
    /// The step tells an event.
    fn event(&mut self, event: &Event);
    /// Something happened that the step was told of: rows and actions, in their order.
    fn happening(&mut self, group: &Group, what: &Happening);
}

/// A watcher that looks away.
#[derive(Debug)]
pub struct Unwatched;

impl Watcher for Unwatched {
    #[inline]
    fn row(&mut self, _: &Group, _: &Row, _: Verdict) {}
    #[inline]
    fn event(&mut self, _: &Event) {}
    #[inline]
    fn happening(&mut self, _: &Group, _: &Happening) {}
}

/// Two watchers, the first one first.
#[derive(Debug)]
pub struct Both<'a, A, B>(pub &'a mut A, pub &'a mut B);

impl<A: Watcher, B: Watcher> Watcher for Both<'_, A, B> {
    fn row(&mut self, group: &Group, row: &Row, verdict: Verdict) {
        self.0.row(group, row, verdict);
        self.1.row(group, row, verdict);
    }

    fn event(&mut self, event: &Event) {
        self.0.event(event);
        self.1.event(event);
    }

    fn happening(&mut self, group: &Group, what: &Happening) {
        self.0.happening(group, what);
        self.1.happening(group, what);
    }
}

/// An action that the engine found not to apply, which changed nothing.
#[derive(Clone, Debug)]
pub struct Ignored {
    /// Which fixing.
    pub fixing: FixingNumber,
    /// The action.
    pub act: Act,
    /// Why not.
    pub why: NotApplicable,
    /// The stage that the fixing was at, and stays at.
    pub stage: StageWord,
}

/// What a replay comes to.
#[derive(Debug)]
pub struct Outcome {
    /// The group after the last row and action.
    pub group: Group,
    /// Seconds of the first row's time.
    pub first_row: i64,
    /// Seconds of the latest row's time.
    pub latest_row: i64,
    /// How far apart the readings lie.
    pub apart: Apart,
    /// How evenly the rows are spaced.
    pub spacing: Spacing,
    /// Actions that did not apply.
    pub ignored: Vec<Ignored>,
}

/// Replays a trace.
///
/// # Errors
/// What the trace says is wrong with it, and a [`Problem`] when an action lies later than its last row.
pub fn run<R: Rows, W: Watcher>(
    trace: &mut R,
    mut group: Group,
    plan: &Plan,
    watcher: &mut W,
) -> Result<Outcome, Problem> {
    let acts = plan.acts();
    let mut due = acts.iter();
    let mut next = due.next();
    let mut ignored = Vec::new();
    let (mut spacing, mut apart) = (Spacing::default(), Apart::new(group.settings().longest_gap()));
    let (mut first_row, mut latest_row) = (None, i64::MIN);
    while let Some(row) = trace.next_row()? {
        while let Some((fixing, act)) = next.filter(|(_, act)| act.at.seconds() < row.seconds) {
            apply(&mut group, *fixing, act, watcher, &mut ignored);
            next = due.next();
        }
        first_row.get_or_insert(row.seconds);
        spacing.row(row.seconds);
        if row.reading != Sample::Missing {
            apart.reading(row.seconds);
        }
        latest_row = latest_row.max(row.seconds);
        let what = happening(&row);
        let verdict = group.step(what, &mut |event| watcher.event(&event));
        watcher.happening(&group, &what);
        watcher.row(&group, &row, verdict);
    }
    while let Some((fixing, act)) = next {
        if act.at.seconds() > latest_row {
            return Err(too_late(trace, plan, *fixing, act, latest_row));
        }
        apply(&mut group, *fixing, act, watcher, &mut ignored);
        next = due.next();
    }
    Ok(Outcome { group, first_row: first_row.unwrap_or(latest_row), latest_row, apart, spacing, ignored })
}

fn apply(group: &mut Group, fixing: FixingNumber, act: &Act, watcher: &mut impl Watcher, ignored: &mut Vec<Ignored>) {
    let what = Happening::Action { at: act.at, fixing, action: act.action };
    let verdict = group.step(what, &mut |event| watcher.event(&event));
    watcher.happening(group, &what);
    match verdict {
        Verdict::NotApplicable(why) => {
            // it changed nothing, so the stage is what it was
            let stage = group.status(fixing).map_or(StageWord::Planned, |status| StageWord::of(&status.stage));
            ignored.push(Ignored { fixing, act: *act, why, stage });
        }
        Verdict::Done | Verdict::Accepted | Verdict::AcceptedWithCandidate | Verdict::Refused(_) | Verdict::Missing => {
        }
    }
}

/// What a row tells the step.
#[inline]
pub fn happening(row: &Row) -> Happening {
    let at = Instant::from_seconds(row.seconds);
    match row.reading {
        Sample::Count(count) => Happening::Reading { at, count },
        Sample::OutOfRange => Happening::Unusable { at, cause: Refusal::OutOfRange },
        Sample::PowerUp => Happening::Unusable { at, cause: Refusal::PowerUp },
        Sample::Missing => Happening::Missing { at },
    }
}

fn too_late(trace: &impl Rows, plan: &Plan, fixing: FixingNumber, act: &Act, latest_row: i64) -> Problem {
    let end = format_seconds(latest_row, act.offset_seconds);
    let at = format_seconds(act.at.seconds(), act.offset_seconds);
    let (word, of) = (act.word(), plan.name_of(fixing));
    let of = of.map_or(String::new(), |name| format!(" of fixing {}", shown(name.as_bytes())));
    let what = format!("the trace ends at {end}, before the {word}{of} at {at}");
    Problem::unusable(trace.file(), what, "give a trace that reaches beyond every action, or correct the action's time")
        .at_line(trace.line())
}
