//! A shift plan as a picture: the forecast above; below it, group by group, when injection is allowed and what becomes of
//! a few starts.

use super::axis::{Scale, degree_ticks, hour_ticks, tick_words};
use super::canvas::{Canvas, Fill, Line, Text};
use super::{LEFT, RIGHT, WIDTH, celsius, laxer, resin_words};
use crate::plan::{Clock, colder};
use crate::words::{PlotPhrase as P, Speech};
use holdoff_core::cure::Rule;
use holdoff_core::quantity::Instant;
use holdoff_files::trace::Sample;
use holdoff_site::plan::{Began, Fate, GroupPlan, Outlook, ShiftPlan, shown, windows};
use holdoff_site::series::Series;

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
pub fn timeline_svg(plan: &ShiftPlan, series: &Series, speech: Speech) -> String {
    let groups: Vec<&GroupPlan> = plan.groups.iter().take(MOST_GROUPS).collect();
    let heights: Vec<f64> = groups.iter().map(|group| height(plan, group)).collect();
    let bottom = PANEL.1 + 44.0 + heights.iter().sum::<f64>();
    let total = bottom + FOOT;
    // room for two times with their days at the right
    let room = if Clock::of(plan, speech).dated() { 350.0 } else { 230.0 };
    let mut canvas = Canvas::new(RIGHT + room, total);
    let span = (plan.span.0.seconds() as f64, (plan.span.1.seconds() as f64).max(plan.span.0.seconds() as f64 + 60.0));
    let time = Scale::new(span, (LEFT, RIGHT));
    canvas.text(LEFT, 32.0, &speech.fill(P::Plan, &[("job", &plan.job)]), Text::Title);
    let left_out = plan.groups.len() - groups.len();
    let more = speech.fill(P::NotDrawn, &[("number", &left_out.to_string())]);
    let more = if left_out > 0 { format!(" {more}") } else { String::new() };
    let length = speech.length(plan.seat_after.unsigned_abs());
    let gaps = [("site", plan.site.as_str()), ("forecast", &plan.forecast), ("length", &length)];
    let words = speech.fill(P::PlanNote, &gaps) + &more;
    canvas.paragraph(LEFT, 54.0, 120, &words, Text::Plain);
    canvas.text(WIDTH - 20.0, PANEL.0 - 6.0, &resin_words(speech, &plan.resin, plan.demo), Text::Right);
    laxer(&mut canvas, speech, plan.laxer);
    forecast(&mut canvas, series, time, speech);
    ticks(&mut canvas, plan, time, span, bottom, speech);
    let mut top = PANEL.1 + 44.0;
    for (group, height) in groups.iter().zip(&heights) {
        one(&mut canvas, plan, group, (time, speech), top);
        top += height;
    }
    legend(&mut canvas, bottom + 16.0, speech);
    canvas.paragraph(LEFT, total - 58.0, 150, &speech.cautions(plan.demo), Text::Small);
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

fn forecast(canvas: &mut Canvas, series: &Series, time: Scale, speech: Speech) {
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
    for (tick, words) in degree_ticks(low, high, 4, speech) {
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
    canvas.text(LEFT + 6.0, PANEL.0 - 6.0, speech.say(P::Forecast), Text::Small);
}

fn ticks(canvas: &mut Canvas, plan: &ShiftPlan, time: Scale, span: (f64, f64), bottom: f64, speech: Speech) {
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
        canvas.text(x + 3.0, PANEL.1 - 4.0, speech.say(P::TorqueWanted), Text::Small);
    }
}

fn one(canvas: &mut Canvas, plan: &ShiftPlan, group: &GroupPlan, (time, speech): (Scale, Speech), top: f64) {
    let number = group.number.to_string();
    let gaps = [
        ("group", group.name.as_str()),
        ("number", &number),
        ("hole", speech.hole(group.hole)),
        ("rule", speech.rule_word(group.rule)),
    ];
    let title = speech.fill(P::Group, &gaps);
    canvas.text(LEFT, top + 14.0, &title, Text::Plain);
    let mut y = top + 22.0;
    for (place, variant) in group.variants.iter().enumerate() {
        for window in windows(&variant.starts, group.rule, plan.every) {
            let (from, to) =
                (time.at(window.from.seconds() as f64), time.at((window.to.seconds() + plan.every) as f64));
            let fill = match window.standing {
                Outlook::Cures | Outlook::Open => Fill::Allowed,
                Outlook::Refused(_) | Outlook::RejectedLater(_) => Fill::Refused,
            };
            canvas.area(from, y, to - from, BAR, fill);
        }
        let words = if place == 0 {
            speech.say(P::Inject).to_owned()
        } else {
            speech.fill(P::IfColder, &[("degrees", &colder(speech, &variant.colder))])
        };
        canvas.text(RIGHT + 8.0, y + 12.0, &words, Text::Small);
        y += BAR + 3.0;
    }
    for place in drawn(plan, group) {
        start(canvas, plan, group, place, (time, speech), y);
        y += ROW;
    }
}

/// One start: injection to seating, cure, and how much longer the cure is if it is colder.
fn start(
    canvas: &mut Canvas,
    plan: &ShiftPlan,
    group: &GroupPlan,
    place: usize,
    (time, speech): (Scale, Speech),
    y: f64,
) {
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
    // with its day: a cure may be complete at the same hour of the next one
    let clock = Clock::of(plan, speech);
    let started = clock.at(start.at);
    let time = ("time", started.as_str());
    let words = match fate {
        Fate::Cured { known, .. } => speech.fill(P::TorqueFrom, &[time, ("at", &clock.at(known))]),
        Fate::Rejected { at, .. } => speech.fill(P::RejectedAt, &[time, ("at", &clock.at(at))]),
        Fate::Open => speech.fill(P::Beyond, &[time]),
    };
    canvas.text(RIGHT + 8.0, y + 12.0, &words, Text::Small);
}

fn legend(canvas: &mut Canvas, y: f64, speech: Speech) {
    let entries = [
        (Fill::Allowed, P::Allowed),
        (Fill::Refused, P::Refused),
        (Fill::Working, P::Working),
        (Fill::Curing, P::Curing),
        (Fill::Colder, P::Colder),
    ];
    let mut x = LEFT;
    for (fill, words) in entries {
        canvas.area(x, y, 14.0, 10.0, fill);
        let words = speech.say(words);
        canvas.text(x + 19.0, y + 9.0, words, Text::Small);
        x += 32.0 + 5.6 * words.chars().count() as f64;
    }
}
