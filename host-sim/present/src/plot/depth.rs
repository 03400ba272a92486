//! A depth check as a picture: the face and the bottom of the hole over time.

use super::axis::{Scale, degree_ticks, hours, tick_words};
use super::canvas::{Canvas, Fill, Line, Text};
use super::{LEFT, RIGHT, WIDTH, celsius, laxer, resin_words};
use crate::words::{PlotPhrase as P, Speech};
use holdoff_core::log::StageWord;
use holdoff_core::quantity::Instant;
use holdoff_files::stamp::Clock;
use holdoff_site::depth::{Before, Report};

const HEIGHT: f64 = 480.0;
const PANEL: (f64, f64) = (90.0, 380.0);
/// Most points of a line.
const MOST_POINTS: usize = 2000;

/// One reading, or the coldest of several that follow one another without a gap.
#[derive(Clone, Copy)]
struct Point {
    at: i64,
    face: i16,
    bottom: i16,
    /// Whether the line is interrupted before it.
    broken: bool,
}

/// Draws the picture.
pub fn depth_svg(report: &Report<'_>, speech: Speech) -> String {
    let mut canvas = Canvas::new(WIDTH, HEIGHT);
    let points = points(report);
    let first = points.first().map_or(0, |point| point.at);
    let last = points.last().map_or(first, |point| point.at).max(first + 60);
    let span = (first as f64, last as f64);
    let time = Scale::new(span, (LEFT, RIGHT));
    let low = points.iter().map(|point| celsius(point.face.min(point.bottom))).fold(f64::INFINITY, f64::min);
    let high = points.iter().map(|point| celsius(point.face.max(point.bottom))).fold(f64::NEG_INFINITY, f64::max);
    let (low, high) = ((low - 1.0).floor(), (high + 1.0).ceil());
    // room for the words of the marks above the lines
    let top = if report.fixing.is_some() { high + 0.25 * (high - low) } else { high };
    let scale = Scale::new((low, top), (PANEL.1, PANEL.0));
    head(&mut canvas, report, speech);
    canvas.frame(LEFT, PANEL.0, RIGHT - LEFT, PANEL.1 - PANEL.0);
    for (tick, words) in degree_ticks(low, high, 6, speech) {
        canvas.line(&[(LEFT, scale.at(tick)), (RIGHT, scale.at(tick))], Line::Edge);
        canvas.text(LEFT - 8.0, scale.at(tick) + 4.0, &words, Text::Right);
    }
    for run in points.chunk_by(|_, next| !next.broken) {
        let line = |value: &dyn Fn(&Point) -> i16| -> Vec<(f64, f64)> {
            run.iter().map(|point| (time.at(point.at as f64), scale.at(celsius(value(point))))).collect()
        };
        let (face, bottom) = (line(&|point| point.face), line(&|point| point.bottom));
        let mut between = face.clone();
        between.extend(bottom.iter().rev());
        canvas.polygon(&between, Fill::Guard);
        canvas.line(&face, Line::Temperature);
        canvas.line(&bottom, Line::Bottom);
    }
    legend(&mut canvas, &points, scale, speech);
    time_axis(&mut canvas, report, (time, speech), span);
    let demo = report.fixing.as_ref().is_some_and(|fixing| fixing.demo);
    canvas.paragraph(LEFT, HEIGHT - 50.0, 150, &speech.cautions(demo), Text::Small);
    canvas.finish()
}

fn head(canvas: &mut Canvas, report: &Report<'_>, speech: Speech) {
    let title = match &report.fixing {
        Some(fixing) => speech.headline(StageWord::of(&fixing.statuses.stated().stage)),
        None => speech.say(P::FaceAndBottom),
    };
    canvas.text(LEFT, 32.0, title, Text::Title);
    let (least, greatest) = report.question.diffusivity;
    let [least, greatest] = [least, greatest].map(|value| speech.decimal(value));
    let before = speech.calculated(report.below.before, 1);
    let depth = report.question.depth_mm.to_string();
    let gaps = [("depth", &*depth), ("least", &*least), ("greatest", &*greatest), ("degrees", &*before)];
    let mut words = speech.fill(P::Calculated, &gaps);
    if report.fixing.is_some() {
        words = format!("{}. {words}", speech.say(P::FaceAndBottom));
    }
    canvas.paragraph(LEFT, 54.0, 120, &words, Text::Plain);
    if let Some(fixing) = &report.fixing {
        canvas.text(WIDTH - 20.0, 32.0, &resin_words(speech, fixing.resin, fixing.demo), Text::Right);
        laxer(canvas, speech, fixing.group.settings().laxer());
    }
}

fn points(report: &Report<'_>) -> Vec<Point> {
    let joined = report.readings.len().div_ceil(MOST_POINTS).max(1);
    let mut points: Vec<Point> = Vec::new();
    let mut room = 0;
    for (reading, bottom) in report.readings.iter().zip(&report.below.bottom) {
        let broken = reading.before == Before::Unobserved;
        let (face, bottom) = (reading.count.raw(), bottom.raw());
        match points.last_mut() {
            Some(last) if room > 0 && !broken => {
                room -= 1;
                (last.face, last.bottom) = (last.face.min(face), last.bottom.min(bottom));
            }
            Some(_) | None => {
                room = joined - 1;
                points.push(Point { at: reading.at.seconds(), face, bottom, broken });
            }
        }
    }
    points
}

fn legend(canvas: &mut Canvas, points: &[Point], scale: Scale, speech: Speech) {
    let Some(last) = points.last() else { return };
    let (face, bottom) = (scale.at(celsius(last.face)), scale.at(celsius(last.bottom)));
    // words of lines that end close together go apart
    let apart = (16.0 - (face - bottom).abs()).max(0.0) / 2.0;
    let (face, bottom) = if face < bottom { (face - apart, bottom + apart) } else { (face + apart, bottom - apart) };
    canvas.text(RIGHT + 8.0, face + 4.0, speech.say(P::Face), Text::Small);
    canvas.text(RIGHT + 8.0, bottom + 4.0, speech.say(P::Bottom), Text::Small);
}

fn time_axis(canvas: &mut Canvas, report: &Report<'_>, (time, speech): (Scale, Speech), span: (f64, f64)) {
    let offset = report.offset_seconds;
    hours(canvas, time, span, Clock { ahead: 0, offset_seconds: offset }, PANEL.1);
    let Some(fixing) = &report.fixing else { return };
    let (face, stated) = (fixing.statuses.face.cured_at, fixing.statuses.stated().cured_at);
    let marks = [
        (Some(fixing.injection), P::Injected),
        (fixing.statuses.face.seated_at, P::Seated),
        (face, P::CuredByFace),
        (stated.filter(|at| Some(*at) != face), P::CuredWithHole),
    ];
    let marks = marks.into_iter().filter_map(|(at, word): (Option<Instant>, _)| Some((at?, word)));
    for (place, (at, word)) in (0u8..).zip(marks) {
        let x = time.at(at.seconds() as f64);
        canvas.line(&[(x, PANEL.0), (x, PANEL.1)], Line::Mark);
        let (clock, _) = tick_words(at.seconds(), offset);
        let y = PANEL.0 + 14.0 + 13.0 * f64::from(place);
        let words = format!("{} {clock}", speech.say(word));
        if x > RIGHT - 180.0 {
            canvas.text(x - 4.0, y, &words, Text::Right);
        } else {
            canvas.text(x + 4.0, y, &words, Text::Small);
        }
    }
}
