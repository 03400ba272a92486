//! A shift plan as a picture: the forecast above; below it, group by group, when injection is allowed and what becomes of
//! a few starts.

use super::axis::{Scale, degree_ticks, hour_ticks, tick_words};
use super::canvas::{Canvas, Fill, Line, Text};
use super::{LEFT, RIGHT, WIDTH, celsius};
use crate::plan::{Began, Fate, GroupPlan, ShiftPlan, Standing, shown, windows};
use crate::series::Series;
use crate::trace::Sample;
use crate::words::{CAUTION, DEMO_CAUTION, hole};
use holdoff_core::cure::Rule;
use holdoff_core::quantity::Instant;

/// Top of the forecast's panel and its bottom.
const PANEL: (f64, f64) = (96.0, 236.0);
/// Height of the bar of windows.
const BAR: f64 = 16.0;
/// Height of a start's row.
const ROW: f64 = 17.0;
/// Starts that are drawn a group, about.
const MOST_STARTS: usize = 4;
/// Groups that are drawn.
const MOST_GROUPS: usize = 20;
/// Points of the forecast's line, about.
const MOST_POINTS: usize = 2000;
/// What goes below the last group.
const FOOT: f64 = 120.0;

/// Draws the timeline.
pub fn timeline_svg(plan: &ShiftPlan, series: &Series) -> String {
    let groups: Vec<&GroupPlan> = plan.groups.iter().take(MOST_GROUPS).collect();
    let heights: Vec<f64> = groups.iter().map(|group| height(plan, group)).collect();
    let bottom = PANEL.1 + 44.0 + heights.iter().sum::<f64>();
    let total = bottom + FOOT;
    let mut canvas = Canvas::new(WIDTH, total);
    let span = (plan.span.0.seconds() as f64, (plan.span.1.seconds() as f64).max(plan.span.0.seconds() as f64 + 60.0));
    let time = Scale::new(span, (LEFT, RIGHT));
    canvas.text(LEFT, 32.0, &format!("Shift plan: {}", plan.job), Text::Title);
    let left_out = plan.groups.len() - groups.len();
    let more = if left_out > 0 { format!(" {left_out} groups more are not drawn.") } else { String::new() };
    let words = format!(
        "{}, by {}. A forecast is no measurement: on the day the logger decides. Seating {} min after the start of \
         injection.{more}",
        plan.site,
        plan.forecast,
        plan.seat_after.div_euclid(60)
    );
    canvas.paragraph(LEFT, 54.0, 140, &words, Text::Plain);
    let demo = if plan.demo { " (invented, never on site)" } else { "" };
    canvas.text(WIDTH - 20.0, PANEL.0 - 6.0, &format!("{}{demo}", plan.resin), Text::Right);
    forecast(&mut canvas, series, time);
    ticks(&mut canvas, plan, time, span, bottom);
    let mut top = PANEL.1 + 44.0;
    for (group, height) in groups.iter().zip(&heights) {
        one(&mut canvas, plan, group, time, top);
        top += height;
    }
    legend(&mut canvas, bottom + 16.0);
    let caution = if plan.demo { format!("{DEMO_CAUTION} {CAUTION}") } else { CAUTION.to_owned() };
    canvas.paragraph(LEFT, total - 58.0, 150, &caution, Text::Small);
    canvas.finish()
}

fn drawn(plan: &ShiftPlan, group: &GroupPlan) -> Vec<usize> {
    let Some(forecast) = group.variants.first() else { return Vec::new() };
    shown(&forecast.starts, group.rule, plan.every, plan.offset_seconds, MOST_STARTS)
}

fn height(plan: &ShiftPlan, group: &GroupPlan) -> f64 {
    let lanes = group.variants.len();
    22.0 + (BAR + 3.0) * lanes as f64 + ROW * drawn(plan, group).len() as f64 + 14.0
}

fn forecast(canvas: &mut Canvas, series: &Series, time: Scale) {
    let counts: Vec<(i64, i16)> = series
        .rows()
        .iter()
        .filter_map(|row| match row.reading {
            Sample::Count(count) => Some((row.seconds, count.raw())),
            Sample::OutOfRange | Sample::PowerUp | Sample::Missing => None,
        })
        .collect();
    let low = counts.iter().map(|(_, raw)| *raw).min().map_or(0.0, celsius);
    let high = counts.iter().map(|(_, raw)| *raw).max().map_or(10.0, celsius);
    let (low, high) = ((low - 1.0).floor(), (high + 1.0).ceil());
    let scale = Scale::new((low, high), (PANEL.1, PANEL.0));
    canvas.frame(LEFT, PANEL.0, RIGHT - LEFT, PANEL.1 - PANEL.0);
    for (tick, words) in degree_ticks(low, high, 4) {
        canvas.line(&[(LEFT, scale.at(tick)), (RIGHT, scale.at(tick))], Line::Edge);
        canvas.text(LEFT - 8.0, scale.at(tick) + 4.0, &words, Text::Right);
    }
    let joined = counts.len().div_ceil(MOST_POINTS).max(1);
    let points: Vec<(f64, f64)> = counts
        .chunks(joined)
        .filter_map(|part| {
            let (at, _) = part.first()?;
            let coldest = part.iter().map(|(_, raw)| *raw).min()?;
            Some((time.at(*at as f64), scale.at(celsius(coldest))))
        })
        .collect();
    canvas.line(&points, Line::Temperature);
    canvas.text(LEFT + 6.0, PANEL.0 - 6.0, "forecast temperature", Text::Small);
}

fn ticks(canvas: &mut Canvas, plan: &ShiftPlan, time: Scale, span: (f64, f64), bottom: f64) {
    for tick in hour_ticks(span, plan.offset_seconds) {
        let x = time.at(tick as f64);
        canvas.line(&[(x, PANEL.1), (x, bottom)], Line::Edge);
        let (clock, date) = tick_words(tick, plan.offset_seconds);
        canvas.text(x, PANEL.1 + 16.0, &clock, Text::Middle);
        if let Some(date) = date {
            canvas.text(x, PANEL.1 + 29.0, &date, Text::Middle);
        }
    }
    for by in &plan.torque_by {
        let x = time.at(by.seconds() as f64);
        canvas.line(&[(x, PANEL.1), (x, bottom)], Line::Limit);
        canvas.text(x + 3.0, PANEL.1 - 4.0, "torque wanted", Text::Small);
    }
}

fn one(canvas: &mut Canvas, plan: &ShiftPlan, group: &GroupPlan, time: Scale, top: f64) {
    let rule = match group.rule {
        Rule::Coldest => "coldest-band rule",
        Rule::Accrual => "accrual rule",
    };
    let title = format!("{}: {} fixings, hole {}, {rule}", group.name, group.number, hole(group.hole));
    canvas.text(LEFT, top + 14.0, &title, Text::Plain);
    let mut y = top + 22.0;
    for (place, variant) in group.variants.iter().enumerate() {
        for window in windows(&variant.starts, group.rule, plan.every) {
            let (from, to) =
                (time.at(window.from.seconds() as f64), time.at((window.to.seconds() + plan.every) as f64));
            let fill = match window.standing {
                Standing::Cures | Standing::Open => Fill::Allowed,
                Standing::Refused(_) | Standing::RejectedLater(_) => Fill::Refused,
            };
            canvas.area(from, y, to - from, BAR, fill);
        }
        let words = if place == 0 { "inject".to_owned() } else { format!("if {} °C colder", variant.colder) };
        canvas.text(RIGHT + 8.0, y + 12.0, &words, Text::Small);
        y += BAR + 3.0;
    }
    for place in drawn(plan, group) {
        start(canvas, plan, group, place, time, y);
        y += ROW;
    }
}

/// One start: injection to seating, cure, and how much longer the cure is if it is colder.
fn start(canvas: &mut Canvas, plan: &ShiftPlan, group: &GroupPlan, place: usize, time: Scale, y: f64) {
    let Some((forecast, colder)) = group.variants.split_first() else { return };
    let Some(start) = forecast.starts.get(place) else { return };
    let Began::Injected { seat_by, coldest, accrual } = start.began else { return };
    let fate = match group.rule {
        Rule::Coldest => coldest,
        Rule::Accrual => accrual.unwrap_or(coldest),
    };
    let end = plan.span.1;
    let x = |at: Instant| time.at(at.seconds() as f64);
    let seated = x(start.at.after(plan.seat_after));
    let until = |fate: &Fate| match fate {
        Fate::Cured { known, .. } => *known,
        Fate::Rejected { at, .. } => *at,
        Fate::Open => end,
    };
    let latest = colder.iter().filter_map(|variant| variant.starts.get(place));
    let latest = latest.filter_map(|start| start.fate(group.rule).or(start.fate(Rule::Coldest)));
    let latest = latest.map(|fate| until(&fate)).max();
    if let Some(latest) = latest.filter(|latest| *latest > until(&fate)) {
        canvas.area(x(until(&fate)), y + 5.0, x(latest) - x(until(&fate)), 5.0, Fill::Colder);
    }
    canvas.area(seated, y + 3.0, x(until(&fate)) - seated, 9.0, Fill::Curing);
    let seat_by = seat_by.map_or(seated, x);
    canvas.area(x(start.at), y + 1.0, seat_by - x(start.at), 5.0, Fill::Working);
    let clock = |at: Instant| tick_words(at.seconds() + (60 - at.seconds().rem_euclid(60)) % 60, plan.offset_seconds).0;
    let words = match fate {
        Fate::Cured { known, .. } => format!("{}: torque from {}", clock(start.at), clock(known)),
        Fate::Rejected { at, .. } => format!("{}: rejected {}", clock(start.at), clock(at)),
        Fate::Open => format!("{}: beyond the forecast", clock(start.at)),
    };
    canvas.text(RIGHT + 8.0, y + 12.0, &words, Text::Small);
}

fn legend(canvas: &mut Canvas, y: f64) {
    let entries = [
        (Fill::Allowed, "injection allowed"),
        (Fill::Refused, "refused, or rejected later"),
        (Fill::Working, "working time: seat before it ends"),
        (Fill::Curing, "curing: leave alone; its end: may be torqued"),
        (Fill::Colder, "longer if colder"),
    ];
    let mut x = LEFT;
    for (fill, words) in entries {
        canvas.area(x, y, 14.0, 10.0, fill);
        canvas.text(x + 19.0, y + 9.0, words, Text::Small);
        x += 32.0 + 5.6 * words.len() as f64;
    }
}
