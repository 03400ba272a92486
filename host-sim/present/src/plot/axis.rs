//! Scales and ticks.

use super::canvas::{Canvas, Line, Text};
use crate::words::{Speech, TemperatureUnit, fahrenheit};
use holdoff_files::stamp::{Clock, format_seconds};

/// From values to places on the picture, linear, held inside the panel.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    values: (f64, f64),
    places: (f64, f64),
}

impl Scale {
    pub(super) fn new(values: (f64, f64), places: (f64, f64)) -> Self {
        Self { values, places }
    }

    pub(super) fn at(self, value: f64) -> f64 {
        let width = self.values.1 - self.values.0;
        let part = if width > 0.0 { ((value - self.values.0) / width).clamp(0.0, 1.0) } else { 0.0 };
        self.places.0 + part * (self.places.1 - self.places.0)
    }
}

/// A round step (1, 2 or 5 times a power of ten) that makes about `wanted` ticks over `width`.
pub(super) fn nice_step(width: f64, wanted: u32) -> f64 {
    let rough = (width / f64::from(wanted)).max(f64::MIN_POSITIVE);
    let power = 10f64.powf(rough.log10().floor());
    let factor = [1.0, 2.0, 5.0, 10.0].into_iter().find(|factor| factor * power >= rough).unwrap_or(10.0);
    factor * power
}

/// Whole degrees between two temperatures in °C, about `wanted` of them: each in °C, with its words in the unit spoken.
pub(super) fn degree_ticks(low: f64, high: f64, wanted: u32, speech: Speech) -> Vec<(f64, String)> {
    match speech.temperature {
        TemperatureUnit::Celsius => whole_ticks(low, high, wanted, "°C"),
        TemperatureUnit::Fahrenheit => {
            let ticks = whole_ticks(fahrenheit(low), fahrenheit(high), wanted, "°F");
            ticks.into_iter().map(|(tick, words)| ((tick - 32.0) / 1.8, words)).collect()
        }
    }
}

/// Whole numbers of a unit between two of them, about `wanted`, each with its words.
pub(super) fn whole_ticks(low: f64, high: f64, wanted: u32, unit: &str) -> Vec<(f64, String)> {
    // a label has no decimals, so neither has a tick
    let step = nice_step(high - low, wanted).max(1.0);
    let first = (low / step).ceil();
    // adding zero makes a plain zero of a negative one
    let tick = |number: i32| (first + f64::from(number)) * step + 0.0;
    (0..64).map(tick).take_while(|tick| *tick <= high).map(|tick| (tick, format!("{tick:.0} {unit}"))).collect()
}

/// Full hours of local time in the span, about ten of them, s.
pub(super) fn hour_ticks(span: (f64, f64), offset_seconds: i32) -> Vec<i64> {
    let width = span.1 - span.0;
    let steps =
        [300, 600, 900, 1800, 3600, 7200, 10_800, 21_600, 43_200, 86_400, 172_800, 604_800, 2_592_000, 31_536_000];
    let step = steps.into_iter().find(|step| width / (*step as f64) <= 12.0).unwrap_or(315_360_000i64);
    let offset = i64::from(offset_seconds);
    let local = (span.0.ceil() as i64).saturating_add(offset);
    let first = local.div_euclid(step).saturating_mul(step).saturating_sub(offset);
    (0..64)
        .map(|number| first.saturating_add(number * step))
        .filter(|tick| (span.0..=span.1).contains(&(*tick as f64)))
        .collect()
}

/// The hours under a panel that ends at `bottom`: ticks with their times, and dates at midnight and noon.
///
/// `time` places seconds of the clock that `span` is in; `clock` is how the wall clock lies to it.
pub(super) fn hours(canvas: &mut Canvas, time: Scale, span: (f64, f64), clock: Clock, bottom: f64) {
    let Clock { ahead, offset_seconds } = clock;
    for tick in hour_ticks((span.0 + ahead as f64, span.1 + ahead as f64), offset_seconds) {
        let x = time.at(tick.saturating_sub(ahead) as f64);
        canvas.line(&[(x, bottom), (x, bottom + 5.0)], Line::Tick);
        let (clock, date) = tick_words(tick, offset_seconds);
        canvas.text(x, bottom + 18.0, &clock, Text::Middle);
        if let Some(date) = date {
            canvas.text(x, bottom + 31.0, &date, Text::Middle);
        }
    }
}

/// The clock time of a tick, and its date at midnight or noon.
pub(super) fn tick_words(tick: i64, offset_seconds: i32) -> (String, Option<String>) {
    let text = format_seconds(tick, offset_seconds);
    let clock = text.get(11..16).unwrap_or(&text).to_owned();
    let date = text.get(..10).filter(|_| matches!(clock.as_str(), "00:00" | "12:00")).map(str::to_owned);
    (clock, date)
}

#[cfg(test)]
mod tests {
    use super::{Canvas, Scale, degree_ticks, hour_ticks, hours, nice_step, tick_words};
    use crate::words::{Speech, TemperatureUnit};
    use approx::assert_abs_diff_eq;
    use holdoff_files::stamp::Clock;

    #[test]
    fn steps_are_round() {
        assert_eq!(nice_step(10.0, 5), 2.0);
        assert_eq!(nice_step(24.0, 6), 5.0);
        assert_eq!(nice_step(0.7, 7), 0.1);
    }

    #[test]
    fn temperatures_are_labelled_in_whole_degrees_and_zero_has_no_sign() {
        let words = |low, high, wanted| {
            degree_ticks(low, high, wanted, Speech::PLAIN).into_iter().map(|(_, words)| words).collect()
        };
        let ticks: Vec<String> = words(-2.0, 14.0, 6);
        assert_eq!(ticks, ["0 °C", "5 °C", "10 °C"]);
        let ticks: Vec<String> = words(-1.0, 2.0, 6);
        assert_eq!(ticks, ["-1 °C", "0 °C", "1 °C", "2 °C"]);
        let fahrenheit = Speech { temperature: TemperatureUnit::Fahrenheit, ..Speech::PLAIN };
        let ticks = degree_ticks(-2.0, 14.0, 6, fahrenheit);
        let words: Vec<&str> = ticks.iter().map(|(_, words)| words.as_str()).collect();
        assert_eq!(words, ["30 °F", "35 °F", "40 °F", "45 °F", "50 °F", "55 °F"]);
        assert_abs_diff_eq!(ticks[4].0, 10.0, epsilon = 1e-9); // 50 °F stand where 10 °C do
    }

    #[test]
    fn ticks_fall_on_full_hours_of_local_time() {
        let ticks = hour_ticks((0.0, 86_400.0), 3600 * 5 + 1800);
        assert!(ticks.iter().all(|tick| (tick + 19_800) % 7200 == 0), "{ticks:?}");
        assert_eq!(tick_words(-19_800, 19_800), ("00:00".to_owned(), Some("1970-01-01".to_owned())));
    }

    #[test]
    fn hours_at_the_ends_of_time_are_drawn_without_overflow() {
        for (span, ahead) in [((9.2e18, 9.3e18), i64::MAX), ((-9.3e18, -9.2e18), i64::MIN), ((0.0, 7200.0), i64::MAX)] {
            let mut canvas = Canvas::new(100.0, 100.0);
            let time = Scale::new(span, (0.0, 100.0));
            hours(&mut canvas, time, span, Clock { ahead, offset_seconds: 3600 }, 50.0);
            assert!(canvas.finish().ends_with("</svg>\n"));
        }
    }

    #[test]
    fn what_lies_outside_is_held_at_the_edge() {
        let scale = Scale::new((0.0, 10.0), (100.0, 200.0));
        assert_eq!((scale.at(-5.0), scale.at(5.0), scale.at(50.0)), (100.0, 150.0, 200.0));
    }
}
