//! A replay as a picture (SVG): temperature and bands above, served against required below.
//!
//! What for: to see at a glance why a cure took as long as it did. The upper panel shows the temperature with the
//! guard band under it, the lower edges of the bands, and what did not count; the lower panel the seconds served and
//! required of the first fixing. Nothing rests on colour alone: every area and line has its word beside it.
//! Invariants: text from files is escaped; the picture needs no font, script or file but itself.
//! What it does not do: interpolate; joined readings are drawn as the range they span.

mod axis;
mod canvas;
mod depth;
mod record;
mod timeline;

pub(crate) use canvas::{patterns as embedded_patterns, sheet as embedded_sheet};
pub use depth::depth_svg;
pub use record::{Course, course_svg};
pub use timeline::timeline_svg;

use crate::words::{PlotPhrase as P, Speech, TemperatureUnit, fahrenheit, rounded};
use axis::{Scale, degree_ticks, hours, nice_step};
use canvas::{Canvas, Fill, Line, Text};
use holdoff_core::cure::Laxer;
use holdoff_core::fixing::Status;
use holdoff_core::log::StageWord;
use holdoff_evidence::StageFacts;
use holdoff_files::deeds::Fixing;
use holdoff_files::stamp::{Clock, format_seconds};
use holdoff_site::replay::{Outcome, Point, Story};

/// What is drawn.
#[derive(Debug)]
pub struct Picture<'a> {
    /// Name of the resin.
    pub resin: &'a str,
    /// Whether it is an invented one.
    pub demo: bool,
    /// Lower edges of the bands, °C.
    pub edges: &'a [f64],
    /// Coldest usable edge, °C.
    pub coldest_usable: f64,
    /// Greatest curing temperature, °C.
    pub cure_greatest: f64,
    /// Expanded uncertainty of a reading, °C.
    pub uncertainty: f64,
    /// The fixing whose standing is drawn: the first of the plan.
    pub fixing: &'a Fixing,
    /// Its status.
    pub status: &'a Status,
    /// What the replay came to.
    pub outcome: &'a Outcome,
    /// What was kept of it.
    pub story: &'a Story,
    /// How it is said.
    pub speech: Speech,
}

const WIDTH: f64 = 1000.0;
const HEIGHT: f64 = 660.0;
const LEFT: f64 = 70.0;
const RIGHT: f64 = 830.0;
const UPPER: (f64, f64) = (96.0, 370.0);
const LOWER: (f64, f64) = (420.0, 560.0);

/// Draws the picture.
pub fn svg(picture: &Picture<'_>) -> String {
    let mut canvas = Canvas::new(WIDTH, HEIGHT);
    let span = shown_span(picture);
    let time = Scale::new(span, (LEFT, RIGHT));
    head(&mut canvas, picture);
    temperature(&mut canvas, picture, time, span);
    standing(&mut canvas, picture, time, span);
    time_axis(&mut canvas, picture, time, span);
    canvas.paragraph(LEFT, HEIGHT - 50.0, 150, &picture.speech.cautions(picture.demo), Text::Small);
    canvas.finish()
}

/// The resin's name, and that it is invented where it is.
fn resin_words(speech: Speech, resin: &str, demo: bool) -> String {
    if demo { speech.fill(P::Invented, &[("resin", resin)]) } else { resin.to_owned() }
}

/// The time that is shown: from somewhat before the injection to somewhat behind the last thing that happened.
fn shown_span(picture: &Picture<'_>) -> (f64, f64) {
    let points = &picture.story.points;
    let first = points.first().map_or(0, |point| point.from);
    let last = points.last().map_or(first + 3600, |point| point.to);
    let start = picture.status.injected_at.or(picture.fixing.acts.first().map(|act| act.at));
    let start = start.map_or(first, |at| at.seconds());
    let end = [picture.status.cured_at, picture.status.announced_at].into_iter().flatten().map(|at| at.seconds()).max();
    let end = end.unwrap_or(last).max(start + 3600);
    let margin = ((end - start) / 6).max(1800);
    let (from, to) = ((start - margin).max(first), (end + margin).min(last.max(end)));
    (from as f64, (to.max(from + 60)) as f64)
}

/// Settings laxer than their default, above the resin's name.
fn laxer(canvas: &mut Canvas, speech: Speech, laxer: Laxer) {
    if let Some(note) = speech.laxer_note(laxer) {
        canvas.text(WIDTH - 20.0, 16.0, &note, Text::Right);
    }
}

fn head(canvas: &mut Canvas, picture: &Picture<'_>) {
    let name = picture.fixing.name.as_deref().map_or(String::new(), |name| format!("{name}: "));
    let (speech, offset) = (picture.speech, picture.fixing.offset_seconds);
    let title = format!("{name}{}", speech.headline(StageWord::of(&picture.status.stage)));
    canvas.text(LEFT, 32.0, &title, Text::Title);
    let told = StageFacts::of(picture.status, picture.fixing.spec.torque);
    let sentence = speech.told_sentence(&told, &|at| format_seconds(at.seconds(), offset));
    canvas.paragraph(LEFT, 52.0, 120, &sentence, Text::Plain);
    canvas.text(WIDTH - 20.0, 32.0, &resin_words(speech, picture.resin, picture.demo), Text::Right);
    laxer(canvas, speech, picture.outcome.group.settings().laxer());
}

fn temperature(canvas: &mut Canvas, picture: &Picture<'_>, time: Scale, span: (f64, f64)) {
    let (speech, points) = (picture.speech, within(&picture.story.points, span));
    let low = points.iter().map(|point| celsius(point.coldest)).fold(f64::INFINITY, f64::min) - picture.uncertainty;
    let high = points.iter().map(|point| celsius(point.warmest)).fold(f64::NEG_INFINITY, f64::max);
    let (low, high) = if low.is_finite() && high.is_finite() { (low, high) } else { (0.0, 10.0) };
    let (low, high) = ((low - 1.0).floor(), (high + 1.0).ceil());
    let scale = Scale::new((low, high), (UPPER.1, UPPER.0));
    canvas.frame(LEFT, UPPER.0, RIGHT - LEFT, UPPER.1 - UPPER.0);
    for stretch in &picture.story.stretches {
        let (from, to) = ((stretch.from as f64).max(span.0), (stretch.to as f64).min(span.1));
        if from < to {
            let fill = if stretch.why.is_held() { Fill::Held } else { Fill::Unobserved };
            canvas.area(time.at(from), UPPER.0, time.at(to) - time.at(from), UPPER.1 - UPPER.0, fill);
        }
    }
    for (tick, words) in degree_ticks(low, high, 6, picture.speech) {
        canvas.text(LEFT - 8.0, scale.at(tick) + 4.0, &words, Text::Right);
    }
    for edge in picture.edges.iter().filter(|edge| (low..=high).contains(*edge)) {
        canvas.line(&[(LEFT, scale.at(*edge)), (RIGHT, scale.at(*edge))], Line::Edge);
        canvas.text(
            RIGHT + 8.0,
            scale.at(*edge) + 4.0,
            &speech.fill(P::BandFrom, &[("degrees", &edge_words(speech, *edge))]),
            Text::Small,
        );
    }
    let limits = [(picture.coldest_usable, P::HeldBelow), (picture.cure_greatest, P::HeldAbove)];
    for (limit, word) in limits.into_iter().filter(|(limit, _)| (low..=high).contains(limit)) {
        canvas.line(&[(LEFT, scale.at(limit)), (RIGHT, scale.at(limit))], Line::Limit);
        canvas.text(RIGHT + 8.0, scale.at(limit) + 16.0, speech.say(word), Text::Small);
    }
    let lower = |point: &&Point| (time.at(point.to as f64), scale.at(celsius(point.coldest)));
    let upper = |point: &&Point| (time.at(point.to as f64), scale.at(celsius(point.warmest)));
    let guarded = |point: &&Point| (time.at(point.to as f64), scale.at(celsius(point.coldest) - picture.uncertainty));
    // a break of more than an hour interrupts the line
    for run in points.chunk_by(|last, point| point.from - last.to <= 3600) {
        let mut outline: Vec<(f64, f64)> = run.iter().map(upper).collect();
        outline.extend(run.iter().rev().map(guarded));
        canvas.polygon(&outline, Fill::Guard);
        canvas.line(&run.iter().map(guarded).collect::<Vec<_>>(), Line::Guarded);
        canvas.line(&run.iter().map(lower).collect::<Vec<_>>(), Line::Temperature);
    }
    canvas.text(LEFT + 6.0, UPPER.0 - 6.0, speech.say(P::Temperature), Text::Small);
    legend(canvas, picture, span);
}

fn legend(canvas: &mut Canvas, picture: &Picture<'_>, span: (f64, f64)) {
    let shows = |held: bool| {
        let stretches = picture.story.stretches.iter();
        let mut of_kind = stretches.filter(|stretch| stretch.why.is_held() == held);
        of_kind.any(|stretch| (stretch.from as f64) < span.1 && (stretch.to as f64) > span.0)
    };
    let mut x = RIGHT - 8.0;
    for (held, fill, word) in [(true, Fill::Held, P::Held), (false, Fill::Unobserved, P::Unobserved)] {
        if shows(held) {
            let word = picture.speech.say(word);
            canvas.text(x, UPPER.0 - 6.0, word, Text::Right);
            x -= 6.2 * word.chars().count() as f64;
            canvas.area(x - 14.0, UPPER.0 - 16.0, 12.0, 12.0, fill);
            x -= 24.0;
        }
    }
}

fn standing(canvas: &mut Canvas, picture: &Picture<'_>, time: Scale, span: (f64, f64)) {
    let speech = picture.speech;
    canvas.frame(LEFT, LOWER.0, RIGHT - LEFT, LOWER.1 - LOWER.0);
    let points: Vec<&Point> = within(&picture.story.points, span);
    let most =
        points.iter().map(|point| point.required.max(point.served)).max().unwrap_or(0).max(picture.status.required);
    let most = (most.max(3600) as f64) * 1.1;
    let scale = Scale::new((0.0, most), (LOWER.1, LOWER.0));
    let step = nice_step(most / 3600.0, 4) * 3600.0;
    let mut tick = 0.0;
    while tick <= most {
        canvas.text(
            LEFT - 8.0,
            scale.at(tick) + 4.0,
            &speech.decimal(format!("{:.4} h", tick / 3600.0).replace(".0000", "")),
            Text::Right,
        );
        tick += step;
    }
    let seated = picture.status.seated_at.map_or(f64::INFINITY, |at| at.seconds() as f64);
    let counting: Vec<&&Point> = points.iter().filter(|point| point.to as f64 >= seated).collect();
    let stairs = |value: &dyn Fn(&Point) -> u64| {
        let mut line: Vec<(f64, f64)> = Vec::with_capacity(2 * counting.len());
        for point in &counting {
            let y = scale.at(value(point) as f64);
            if let Some((_, before)) = line.last().copied() {
                line.push((time.at(point.to as f64), before));
            }
            line.push((time.at(point.to as f64), y));
        }
        line
    };
    canvas.line(&stairs(&|point| point.required), Line::Required);
    let served: Vec<(f64, f64)> =
        counting.iter().map(|point| (time.at(point.to as f64), scale.at(point.served as f64))).collect();
    canvas.line(&served, Line::Served);
    if let Some(last) = counting.last() {
        let (required, served) = (scale.at(last.required as f64), scale.at(last.served as f64));
        let apart = if (required - served).abs() < 14.0 { 14.0 } else { 0.0 };
        let words = |phrase: P, seconds| speech.fill(phrase, &[("length", &speech.length(seconds))]);
        let (required, served) = (required - apart / 2.0 + 2.0, served + apart / 2.0 + 6.0);
        // in little room: required up to the minute, served down to it
        canvas.text(RIGHT + 8.0, required, &words(P::Required, last.required.div_ceil(60) * 60), Text::Small);
        canvas.text(RIGHT + 8.0, served, &words(P::Served, last.served / 60 * 60), Text::Small);
    }
    canvas.text(LEFT + 6.0, LOWER.0 - 6.0, speech.say(P::ServedAgainst), Text::Small);
}

fn time_axis(canvas: &mut Canvas, picture: &Picture<'_>, time: Scale, span: (f64, f64)) {
    let offset = picture.fixing.offset_seconds;
    hours(canvas, time, span, Clock { ahead: 0, offset_seconds: offset }, LOWER.1);
    let status = picture.status;
    let cured = status.cured_at.map(|at| (at, P::Cured));
    let forecast = match (status.cured_at, status.announced_at) {
        (None, Some(at)) => Some((at, P::Earliest)),
        (Some(_), _) | (None, None) => None,
    };
    let marks =
        [status.injected_at.map(|at| (at, P::Injected)), status.seated_at.map(|at| (at, P::Seated)), cured, forecast];
    for (place, (at, word)) in marks.into_iter().enumerate().filter_map(|(place, mark)| Some((place, mark?))) {
        let x = time.at(at.seconds() as f64);
        canvas.line(&[(x, UPPER.0), (x, LOWER.1)], Line::Mark);
        // words of marks that stand close together go one under the other
        let clock = format_seconds(at.seconds(), offset).get(11..16).unwrap_or_default().to_owned();
        let words = format!("{} {clock}", picture.speech.say(word));
        canvas.text(x + 4.0, UPPER.0 + 14.0 + 13.0 * place as f64, &words, Text::Small);
    }
}

/// The points inside the span, and one on each side.
fn within(points: &[Point], span: (f64, f64)) -> Vec<&Point> {
    points.iter().filter(|point| point.to as f64 >= span.0 && point.from as f64 <= span.1).collect()
}

/// The edge of a band in the unit spoken: as the file has it in °C, to a tenth in °F.
fn edge_words(speech: Speech, celsius: f64) -> String {
    let edge = match speech.temperature {
        TemperatureUnit::Celsius => celsius.to_string(),
        TemperatureUnit::Fahrenheit => rounded(fahrenheit(celsius), 1).trim_end_matches(".0").to_owned(),
    };
    format!("{} {}", speech.decimal(edge), speech.temperature.sign())
}

fn celsius(raw: i16) -> f64 {
    f64::from(raw) / 256.0
}
