//! Seat it now; leave it alone; not yet.

use super::card::{Body, Card};
use super::line::Line;
use super::number::{self, Left};
use super::words;
use crate::view::{Forecast, Head, Held, Wait, Wall};
use holdoff_core::quantity::Span;

/// The working time runs.
pub(super) fn seat_now(left: Span, by: Option<Wall>) -> Card {
    let seconds = u64::from(left.seconds());
    let (number, unit) = if seconds < 100 * 60 {
        (Line::EMPTY.number(seconds / 60).byte(b':').padded(seconds % 60, 2), words::LEFT)
    } else {
        (Line::EMPTY.number(seconds / 3600).byte(b':').padded(seconds / 60 % 60, 2), words::H_LEFT)
    };
    let beside = match by {
        Some(by) => [Line::of(unit), Line::of(words::SEAT_BY), number::clock(Line::EMPTY, by)],
        None => [Line::of(unit), Line::EMPTY, Line::EMPTY],
    };
    Card::may(words::SEAT_NOW, Body::Number(number, beside))
}

/// Seated: leave it alone.
pub(super) fn leave_alone(head: &Head, wait: Wait) -> Card {
    match wait {
        Wait::NotSeated => Card::do_not(words::LEAVE_ALONE, Body::said(&words::NOT_SEATED)),
        Wait::Curing(forecast) => Card::do_not(words::LEAVE_ALONE, until(head, &forecast)),
        Wait::Held(held) => Card::do_not(title(held), held_at(head, held)),
    }
}

/// Asked too early whether it may be torqued.
pub(super) fn not_yet(head: &Head, wait: Wait) -> Card {
    let body = match wait {
        Wait::NotSeated => Body::said(&words::NOT_SEATED),
        Wait::Curing(forecast) => until(head, &forecast),
        Wait::Held(held) => {
            let large = match held {
                Held::TooCold => words::IS_HELD_COLD,
                Held::TooWarm => words::IS_HELD_WARM,
                Held::NoReadings => words::IS_NO_READINGS,
            };
            Body::Words(Line::of(large), Line::of(words::LEAVE_IT_ALONE))
        }
    };
    Card::do_not(words::NOT_YET, body)
}

const fn title(held: Held) -> &'static str {
    match held {
        Held::TooCold => words::HELD_TOO_COLD,
        Held::TooWarm => words::HELD_TOO_WARM,
        Held::NoReadings => words::NO_READINGS,
    }
}

fn held_at(head: &Head, held: Held) -> Body {
    match (held, head.around.temperature) {
        (Held::TooCold | Held::TooWarm, Some(count)) => {
            let beside = [words::DEGREES, words::LEAVE, words::ALONE].map(Line::of);
            Body::Number(number::degrees(count.fine()), beside)
        }
        (Held::TooCold | Held::TooWarm | Held::NoReadings, _) => {
            Body::Words(Line::of(words::LEAVE_IT_ALONE), Line::of(words::DOES_NOT_COUNT))
        }
    }
}

/// The time left, and the clock time before which the cure does not end.
fn until(head: &Head, forecast: &Forecast) -> Body {
    let (number, unit) = match number::left(u64::from(forecast.left.seconds())) {
        Left::Minutes(minutes) => (Line::EMPTY.number(minutes), Line::of(words::MIN_LEFT)),
        Left::Hours(hours, minutes) => {
            (Line::EMPTY.number(hours).byte(b':').padded(minutes, 2), Line::of(words::H_LEFT))
        }
        Left::Days(days, 0) => (Line::EMPTY.number(days), Line::of(words::D_LEFT)),
        Left::Days(days, hours) => {
            (Line::EMPTY.number(days), Line::of(words::DAYS).number(hours).byte(b' ').and(words::H_LEFT))
        }
    };
    let (word, when) = match forecast.ends.map(Wall::ceil_minute) {
        Some(ends) => (words::EARLIEST, number::clock_and_day(Line::EMPTY, ends, head.around.now)),
        None => (words::CLOCK, Line::of(words::NOT_SET)),
    };
    Body::Number(number, [unit, Line::of(word), when])
}
