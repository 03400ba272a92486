//! The temperatures of one fixing, as they stand in its hand-over record: readings, guard band, bands, what did not count.

use super::axis::{Scale, hours, whole_ticks};
use super::canvas::{Canvas, Fill, Line, Text};
use super::celsius;
use crate::words::{ReportPhrase as P, Speech};
use holdoff_core::quantity::Count;
use holdoff_core::resin::Resin;
use holdoff_files::stamp::Clock;
use holdoff_site::replay::Stretch;

const WIDTH: f64 = 1000.0;
const HEIGHT: f64 = 330.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 830.0;
const TOP: f64 = 34.0;
const BOTTOM: f64 = 286.0;
/// Points of the line, about; more readings are joined as the range they span.
const MOST_POINTS: usize = 1500;

/// What is drawn.
#[derive(Debug)]
pub struct Course<'a> {
    /// Accepted readings: second of the logger's clock, and count.
    pub readings: &'a [(i64, i16)],
    /// What did not count, as far as it is drawn.
    pub stretches: &'a [Stretch],
    /// The resin.
    pub resin: &'a Resin,
    /// Expanded uncertainty, counts.
    pub uncertainty: u16,
    /// Seconds that are shown, from and to.
    pub span: (i64, i64),
    /// The wall clock.
    pub clock: Clock,
    /// Instants to be marked, in their order, with their words.
    pub marks: &'a [(i64, &'static str)],
    /// What is told to who cannot see it.
    pub label: &'a str,
    /// How it is said.
    pub speech: Speech,
}

impl Course<'_> {
    /// A temperature in the unit that is shown.
    fn shown(&self, celsius: f64) -> f64 {
        self.speech.temperature.shown(celsius)
    }

    fn count(&self, count: Count) -> f64 {
        self.shown(celsius(count.raw()))
    }
}

/// Draws the picture as markup for a page.
pub fn course_svg(course: &Course<'_>) -> String {
    let mut canvas = Canvas::embedded(WIDTH, HEIGHT, course.label);
    let (from, to) = (course.span.0, course.span.1.max(course.span.0.saturating_add(60)));
    let time = Scale::new((from as f64, to as f64), (LEFT, RIGHT));
    let seen: Vec<(i64, i16)> = course.readings.iter().copied().filter(|(at, _)| (from..=to).contains(at)).collect();
    let guard = f64::from(course.uncertainty) / 256.0;
    let least = seen.iter().map(|(_, raw)| celsius(*raw)).fold(f64::INFINITY, f64::min) - guard;
    let most = seen.iter().map(|(_, raw)| celsius(*raw)).fold(f64::NEG_INFINITY, f64::max);
    let (least, most) = if least.is_finite() && most.is_finite() { (least, most) } else { (0.0, 10.0) };
    let (low, high) = (course.shown(least - 1.0).floor(), course.shown(most + 1.0).ceil());
    let scale = Scale::new((low, high), (BOTTOM, TOP));
    stretches(&mut canvas, course, time, (from, to));
    canvas.frame(LEFT, TOP, RIGHT - LEFT, BOTTOM - TOP);
    for (tick, words) in whole_ticks(low, high, 6, course.speech.temperature.sign()) {
        canvas.text(LEFT - 8.0, scale.at(tick) + 4.0, &words, Text::Right);
    }
    limits(&mut canvas, course, scale, (low, high));
    curve(&mut canvas, course, &seen, time, scale);
    canvas.text(LEFT + 4.0, TOP - 8.0, course.speech.say(P::DrawCurve), Text::Small);
    hours(&mut canvas, time, (from as f64, to as f64), course.clock, BOTTOM);
    for (place, (at, word)) in course.marks.iter().enumerate() {
        let x = time.at(*at as f64);
        canvas.line(&[(x, TOP), (x, BOTTOM)], Line::Mark);
        // words of marks that stand close together go one under the other, and not across the next mark
        let y = TOP + 14.0 + 13.0 * place as f64;
        let room = course.marks.iter().map(|(other, _)| time.at(*other as f64) - x).filter(|room| *room > 0.0);
        let room = room.fold(RIGHT - x, f64::min);
        if room < 7.0 * word.chars().count() as f64 && x - LEFT > room {
            canvas.text(x - 4.0, y, word, Text::Right);
        } else {
            canvas.text(x + 4.0, y, word, Text::Small);
        }
    }
    canvas.finish()
}

fn stretches(canvas: &mut Canvas, course: &Course<'_>, time: Scale, span: (i64, i64)) {
    let mut x = RIGHT;
    for (held, fill, word) in [(true, Fill::Held, P::DrawHeld), (false, Fill::Unobserved, P::DrawUnobserved)] {
        let of_kind = course.stretches.iter().filter(|stretch| stretch.why.is_held() == held);
        let mut drawn = false;
        for stretch in of_kind.filter_map(|stretch| stretch.within(span)) {
            let (from, to) = (time.at(stretch.from as f64), time.at(stretch.to as f64));
            canvas.area(from, TOP, to - from, BOTTOM - TOP, fill);
            drawn = true;
        }
        if drawn {
            let word = course.speech.say(word);
            canvas.text(x, TOP - 8.0, word, Text::Right);
            x -= 6.2 * word.chars().count() as f64;
            canvas.area(x - 14.0, TOP - 18.0, 12.0, 12.0, fill);
            x -= 24.0;
        }
    }
}

fn limits(canvas: &mut Canvas, course: &Course<'_>, scale: Scale, (low, high): (f64, f64)) {
    for band in course.resin.bands().iter() {
        let y = course.count(band.from);
        if (low..=high).contains(&y) {
            canvas.line(&[(LEFT, scale.at(y)), (RIGHT, scale.at(y))], Line::Edge);
            let edge = course.speech.degrees(band.from.fine());
            let words = course.speech.fill(P::DrawBand, &[("edge", &edge)]);
            canvas.text(RIGHT + 6.0, scale.at(y) + 4.0, &words, Text::Small);
        }
    }
    let limits = [
        (course.resin.coldest_usable_edge(), P::DrawHeldBelow),
        (course.resin.limits().cure_greatest, P::DrawHeldAbove),
    ];
    for (limit, word) in limits {
        let y = course.count(limit);
        if (low..=high).contains(&y) {
            canvas.line(&[(LEFT, scale.at(y)), (RIGHT, scale.at(y))], Line::Limit);
            canvas.text(RIGHT + 6.0, scale.at(y) + 16.0, course.speech.say(word), Text::Small);
        }
    }
}

/// Runs of readings without a break of more than an hour; joined readings are drawn as the range they span.
fn curve(canvas: &mut Canvas, course: &Course<'_>, seen: &[(i64, i16)], time: Scale, scale: Scale) {
    let joined = seen.len().div_ceil(MOST_POINTS).max(1);
    let guard = f64::from(course.uncertainty) / 256.0;
    let apart = |one: &(i64, i16), next: &(i64, i16)| next.0.saturating_sub(one.0) <= 3600;
    for run in seen.chunk_by(apart) {
        let points: Vec<(f64, f64, f64)> = run
            .chunks(joined)
            .filter_map(|part| {
                let (at, _) = part.last()?;
                let least = part.iter().map(|(_, raw)| *raw).min()?;
                let most = part.iter().map(|(_, raw)| *raw).max()?;
                Some((time.at(*at as f64), celsius(least), celsius(most)))
            })
            .collect();
        let line = |of: &dyn Fn(&(f64, f64, f64)) -> f64| -> Vec<(f64, f64)> {
            points.iter().map(|point| (point.0, scale.at(course.shown(of(point))))).collect()
        };
        let (lower, upper) = (line(&|point| point.1), line(&|point| point.2));
        let guarded = line(&|point| point.1 - guard);
        let mut outline = upper;
        outline.extend(guarded.iter().rev());
        canvas.polygon(&outline, Fill::Guard);
        canvas.line(&guarded, Line::Guarded);
        canvas.line(&lower, Line::Temperature);
    }
}
