//! A shift plan for a person, to be read aloud.

use super::{Began, Fate, GroupPlan, ShiftPlan, Standing, Start, Variant, Window, deadline, shown, windows};
use crate::words::{CAUTION, DEMO_CAUTION, ground, hole, laxer_words, length};
use chrono::{DateTime, FixedOffset};
use holdoff_core::cure::Rule;
use holdoff_core::fixing::Grounds;
use holdoff_core::quantity::Instant;
use std::fmt::Write;

/// Starts that are told one by one, about.
const MOST_STARTS: usize = 4;
/// Windows that are told one by one.
const MOST_WINDOWS: usize = 6;
/// A window shorter than this (s) is told only in sum.
const SHORT: i64 = 900;

/// What a plan is worth.
pub const FORECAST_CAUTION: &str = "A forecast is no measurement: it says what the air may be, not what the substrate \
is. On the day the logger decides, start by start. Nothing here releases a fixing.";

/// Writes the plan.
pub fn text(plan: &ShiftPlan) -> String {
    let mut text = String::new();
    let (from, to) = plan.span;
    let _ = writeln!(text, "SHIFT PLAN: {}, {}", plan.job, plan.site);
    let clock = Clock::of(plan);
    let zone = FixedOffset::east_opt(plan.offset_seconds).map_or(String::new(), |offset| offset.to_string());
    let _ = writeln!(text, "By {}, {} (local time, UTC{zone}).", plan.forecast, clock.dates(from, to));
    let _ = writeln!(text, "{FORECAST_CAUTION}");
    if plan.demo {
        let _ = writeln!(text, "{DEMO_CAUTION}");
    }
    let _ = writeln!(text, "Reckoned with seating {} after the start of injection.", seconds(plan.seat_after));
    for group in &plan.groups {
        text.push('\n');
        one(&mut text, plan, group);
    }
    let laxer = laxer_words(plan.laxer);
    if !laxer.is_empty() {
        let gap = length(u64::from(plan.longest_gap_s));
        let _ = writeln!(
            text,
            "\nLAXER THAN THE DEFAULT: {} (longest gap {gap}). Everything above rests on it.",
            laxer.join(", ")
        );
    }
    let _ = writeln!(text, "\n{CAUTION}");
    text
}

fn one(text: &mut String, plan: &ShiftPlan, group: &GroupPlan) {
    let rule = match group.rule {
        Rule::Coldest => "coldest-band rule",
        Rule::Accrual => "accrual rule",
    };
    let fixings = if group.number == 1 { "fixing" } else { "fixings" };
    let _ =
        writeln!(text, "{}: {} {fixings}, hole {}, {}, {rule}", group.name, group.number, hole(group.hole), plan.resin);
    let Some((forecast, colder)) = group.variants.split_first() else { return };
    if forecast.starts.is_empty() {
        let _ = writeln!(
            text,
            "  No start lies in the forecast: see its planned day, the shift and the times that were given."
        );
        return;
    }
    told_windows(text, plan, group, forecast);
    for variant in colder {
        colder_windows(text, plan, group, variant);
    }
    for by in &plan.torque_by {
        deadlines(text, plan, group, *by);
    }
    told_starts(text, plan, group);
}

fn told_windows(text: &mut String, plan: &ShiftPlan, group: &GroupPlan, variant: &Variant) {
    let clock = Clock::of(plan);
    let mut left_out = 0;
    let mut told = 0;
    let mut any = false;
    for window in windows(&variant.starts, group.rule, plan.every) {
        let short = window.to.since(window.from) < SHORT;
        any |= window.standing.is_good();
        if short || told == MOST_WINDOWS {
            left_out += 1;
            continue;
        }
        told += 1;
        let span = clock.span(window.from, window.to);
        let _ = match window.standing {
            Standing::Cures => writeln!(text, "  INJECT  {span}{}", working(&variant.starts, &window)),
            Standing::Open => {
                writeln!(text, "  INJECT  {span}{}; cured beyond the forecast", working(&variant.starts, &window))
            }
            Standing::Refused(grounds) => writeln!(text, "  do not  {span}: {}", reasons(grounds)),
            Standing::RejectedLater(grounds) => {
                writeln!(text, "  do not  {span}: allowed, but by this forecast rejected later: {}", reasons(grounds))
            }
        };
    }
    if !any {
        let _ = writeln!(text, "  There is no time to inject in this forecast.");
    }
    if left_out > 0 {
        let _ = writeln!(text, "          and {left_out} shorter or further stretches, see --json");
    }
}

/// The shortest working time of a window, and the longest where it is another.
fn working(starts: &[Start], window: &Window) -> String {
    let inside = starts.iter().filter(|start| window.from <= start.at && start.at <= window.to);
    let times = inside.filter_map(|start| match start.began {
        Began::Injected { seat_by, .. } => seat_by.map(|by| by.since(start.at)),
        Began::Refused(_) => None,
    });
    let range = times.fold(None, |range: Option<(i64, i64)>, time| match range {
        None => Some((time, time)),
        Some((least, most)) => Some((least.min(time), most.max(time))),
    });
    match range {
        None => String::new(),
        Some((least, most)) if least == most => format!("; working time {}", seconds(least)),
        Some((least, most)) => format!("; working time {} to {}", seconds(least), seconds(most)),
    }
}

fn colder_windows(text: &mut String, plan: &ShiftPlan, group: &GroupPlan, variant: &Variant) {
    let clock = Clock::of(plan);
    let windows = windows(&variant.starts, group.rule, plan.every);
    let good = windows.iter().filter(|window| window.standing.is_good() && window.to.since(window.from) >= SHORT);
    let mut spans: Vec<String> = joined(good, plan.every).iter().map(|(from, to)| clock.span(*from, *to)).collect();
    if spans.len() > 3 {
        let more = spans.len() - 3;
        spans.truncate(3);
        spans.push(format!("{more} more"));
    }
    let spans = if spans.is_empty() { "no time to inject".to_owned() } else { format!("inject {}", spans.join("; ")) };
    let _ = writeln!(text, "          {} °C colder: {spans}", variant.colder);
}

/// Windows that may be used, those that touch joined.
fn joined<'a>(windows: impl Iterator<Item = &'a Window>, every: i64) -> Vec<(Instant, Instant)> {
    let mut made: Vec<(Instant, Instant)> = Vec::new();
    for window in windows {
        match made.last_mut() {
            Some((_, to)) if window.from.since(*to) <= every => *to = window.to,
            Some(_) | None => made.push((window.from, window.to)),
        }
    }
    made
}

fn deadlines(text: &mut String, plan: &ShiftPlan, group: &GroupPlan, by: Instant) {
    let clock = Clock::of(plan);
    let first = group.variants.first().and_then(|variant| variant.starts.first());
    if first.is_none_or(|first| first.at >= by) {
        return;
    }
    let found: Vec<_> =
        group.variants.iter().map(|variant| deadline(&variant.starts, group.rule, plan.every, by)).collect();
    let _ = write!(text, "  TORQUE  by {}: ", clock.by(by));
    if found.iter().all(|found| found.latest.is_none()) {
        let _ = writeln!(text, "not possible from any start.");
        return;
    }
    for (place, (variant, found)) in group.variants.iter().zip(&found).enumerate() {
        if place > 0 {
            let _ = write!(text, "; {} °C colder: ", variant.colder);
        }
        let _ = match (found.latest, found.windows.last()) {
            (Some(latest), Some(window)) => write!(
                text,
                "start {}, the last seated by {}",
                clock.span(window.from, latest),
                clock.by(latest.after(plan.seat_after))
            ),
            (_, _) => write!(text, "not possible"),
        };
        if found.windows.len() > 1 {
            let _ = write!(text, ", or in earlier windows ({})", found.windows.len() - 1);
        }
    }
    let _ = writeln!(text, ".");
}

fn told_starts(text: &mut String, plan: &ShiftPlan, group: &GroupPlan) {
    let Some((forecast, colder)) = group.variants.split_first() else { return };
    let clock = Clock::of(plan);
    let mut beyond = Vec::new();
    for place in shown(&forecast.starts, group.rule, plan.every, plan.offset_seconds, MOST_STARTS) {
        let start = &forecast.starts[place];
        let Began::Injected { coldest, accrual, .. } = start.began else { continue };
        let (fate, other) = match (group.rule, accrual) {
            (Rule::Coldest, None) => (coldest, None),
            (Rule::Coldest, Some(accrual)) => (coldest, Some(("accrual rule, not allowed here", accrual))),
            (Rule::Accrual, None) => (coldest, None),
            (Rule::Accrual, Some(accrual)) => (accrual, Some(("coldest-band rule", coldest))),
        };
        let by_rule = |start: &Start| start.fate(group.rule).or(start.fate(Rule::Coldest));
        let fates: Vec<Option<Fate>> =
            colder.iter().map(|variant| variant.starts.get(place).and_then(by_rule)).collect();
        let all_open = fate == Fate::Open && fates.iter().all(|fate| *fate == Some(Fate::Open));
        if all_open && other.is_none_or(|(_, fate)| fate == Fate::Open) {
            beyond.push(clock.at(start.at));
            continue;
        }
        let _ = write!(text, "  Started {}: torque {}", clock.at(start.at), torque_from(clock, fate));
        if all_open && !colder.is_empty() {
            let _ = write!(text, ", colder too");
        } else {
            for (variant, fate) in colder.iter().zip(&fates) {
                let words = fate.map_or("no start".to_owned(), |fate| torque_from(clock, fate));
                let _ = write!(text, "; {} °C colder {words}", variant.colder);
            }
        }
        if let Some((words, fate)) = other {
            let _ = write!(text, "; {words}: {}", torque_from(clock, fate));
        }
        let _ = writeln!(text, ".");
    }
    if !beyond.is_empty() {
        let _ = writeln!(text, "  Started {}: torque beyond the forecast by every count.", beyond.join(", "));
    }
}

fn torque_from(clock: Clock, fate: Fate) -> String {
    match fate {
        Fate::Cured { known, .. } => format!("from {}", clock.at(known)),
        Fate::Rejected { at, grounds } => format!("never: rejected {}, {}", clock.at(at), reasons(grounds)),
        Fate::Open => "beyond the forecast".to_owned(),
    }
}

fn reasons(grounds: Grounds) -> String {
    grounds.iter().map(ground).collect::<Vec<_>>().join("; ")
}

fn seconds(seconds: i64) -> String {
    length(u64::try_from(seconds).unwrap_or(0))
}

/// How a day is named.
#[derive(Clone, Copy)]
enum Days {
    /// By its weekday: the plan reaches less than a week.
    Weekdays,
    /// By weekday and date.
    Dates,
}

/// A clock on the wall.
#[derive(Clone, Copy)]
struct Clock {
    /// Seconds ahead of UTC.
    offset: i32,
    days: Days,
}

impl Clock {
    fn of(plan: &ShiftPlan) -> Self {
        let (from, to) = plan.span;
        let days = if to.since(from) < 6 * 86_400 { Days::Weekdays } else { Days::Dates };
        Self { offset: plan.offset_seconds, days }
    }

    /// Day and time from which something holds, up to the next full minute.
    fn at(self, at: Instant) -> String {
        self.written(at.after(59), self.form())
    }

    /// Day and time until which something holds, down to the full minute.
    fn by(self, at: Instant) -> String {
        self.written(at, self.form())
    }

    const fn form(self) -> &'static str {
        match self.days {
            Days::Weekdays => "%a %H:%M",
            Days::Dates => "%a %Y-%m-%d %H:%M",
        }
    }

    /// From and to; the day once where it is the same.
    fn span(self, from: Instant, to: Instant) -> String {
        let day = |at| self.written(at, "%F");
        let end = if day(from.after(59)) == day(to) { self.written(to, "%H:%M") } else { self.by(to) };
        format!("{} to {end}", self.at(from))
    }

    /// From and to with their dates.
    fn dates(self, from: Instant, to: Instant) -> String {
        Self { days: Days::Dates, ..self }.span(from, to)
    }

    fn written(self, at: Instant, form: &str) -> String {
        match (DateTime::from_timestamp(at.seconds(), 0), FixedOffset::east_opt(self.offset)) {
            (Some(moment), Some(offset)) => moment.with_timezone(&offset).format(form).to_string(),
            (_, _) => format!("{} s after 1970-01-01T00:00:00Z", at.seconds()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Clock, Days};
    use holdoff_core::quantity::Instant;

    #[test]
    fn what_begins_is_rounded_up_and_what_ends_down() {
        let clock = Clock { offset: -25_200, days: Days::Weekdays };
        let at = |seconds: i64| Instant::from_seconds(1_641_222_000 + seconds); // 2022-01-03T08:00:00-07:00, a Monday
        assert_eq!((clock.at(at(0)), clock.at(at(1))), ("Mon 08:00".to_owned(), "Mon 08:01".to_owned()));
        assert_eq!((clock.by(at(59)), clock.by(at(60))), ("Mon 08:00".to_owned(), "Mon 08:01".to_owned()));
        assert_eq!(clock.span(at(1), at(119)), "Mon 08:01 to 08:01");
        assert_eq!(clock.dates(at(0), at(86_400)), "Mon 2022-01-03 08:00 to Tue 2022-01-04 08:00");
    }
}
