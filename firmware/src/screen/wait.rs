//! Seat it now; leave it alone; not yet.

use super::card::Card;
use super::number::{self, Left};
use super::words;
use crate::view::{Forecast, Head, Held, Wait, Wall};
use holdoff_core::quantity::Span;

/// The working time runs.
pub(super) fn seat_now(card: &mut Card, head: &Head, left: Span, by: Option<Wall>) {
    let seconds = u64::from(left.seconds());
    let (large, small, unit) = if seconds < 100 * 60 {
        (seconds / 60, seconds % 60, words::LEFT)
    } else {
        (seconds / 3600, seconds / 60 % 60, words::H_LEFT)
    };
    card.may(words::SEAT_NOW).number().number(large).byte(b':').padded(small, 2);
    card.next().and(unit);
    if let Some(by) = by {
        card.next().and(words::SEAT_BY);
        number::clock_and_day(card.next(), by, head.around.now);
    }
}

/// The working time is over, and it is not seated.
pub(super) fn too_late(card: &mut Card) {
    card.do_not(words::TOO_LATE).lines(words::DO_NOT_SEAT);
}

/// Seated: leave it alone.
pub(super) fn leave_alone(card: &mut Card, head: &Head, wait: Wait) {
    match wait {
        Wait::NotSeated => card.do_not(words::LEAVE_ALONE).said(&words::NOT_SEATED),
        Wait::Curing(forecast) => until(card.do_not(words::LEAVE_ALONE), head, &forecast),
        Wait::Held(held) => {
            let title = match held {
                Held::TooCold => words::HELD_TOO_COLD,
                Held::TooWarm => words::HELD_TOO_WARM,
                Held::NoReadings => words::NO_READINGS,
            };
            held_at(card.do_not(title), head, held);
        }
    }
}

/// Asked too early whether it may be torqued.
pub(super) fn not_yet(card: &mut Card, head: &Head, wait: Wait) {
    card.do_not(words::NOT_YET);
    match wait {
        Wait::NotSeated => card.said(&words::NOT_SEATED),
        Wait::Curing(forecast) => until(card, head, &forecast),
        Wait::Held(held) => {
            let large = match held {
                Held::TooCold => words::IS_HELD_COLD,
                Held::TooWarm => words::IS_HELD_WARM,
                Held::NoReadings => words::IS_NO_READINGS,
            };
            card.words(large, words::LEAVE_IT_ALONE);
        }
    }
}

fn held_at(card: &mut Card, head: &Head, held: Held) {
    match (held, head.around.temperature) {
        (Held::TooCold | Held::TooWarm, Some(count)) => {
            number::degrees(card.number(), count.fine());
            for word in [words::DEGREES, words::LEAVE, words::ALONE] {
                card.next().and(word);
            }
        }
        (Held::TooCold | Held::TooWarm | Held::NoReadings, _) => {
            card.words(words::LEAVE_IT_ALONE, words::DOES_NOT_COUNT);
        }
    }
}

/// The time left, and the clock time before which the cure does not end.
fn until(card: &mut Card, head: &Head, forecast: &Forecast) {
    match number::left(u64::from(forecast.left.seconds())) {
        Left::Minutes(minutes) => {
            card.number().number(minutes);
            card.next().and(words::MIN_LEFT);
        }
        Left::Hours(hours, minutes) => {
            card.number().number(hours).byte(b':').padded(minutes, 2);
            card.next().and(words::H_LEFT);
        }
        Left::Days(days, hours) => {
            card.number().number(days);
            let line = card.next().and(words::DAYS);
            if hours > 0 {
                line.byte(b' ').number(hours).and(words::H);
            }
            line.and(words::BLANK_LEFT);
        }
    }
    match forecast.ends.map(Wall::ceil_minute) {
        Some(ends) => {
            card.next().and(words::EARLIEST);
            number::clock_and_day(card.next(), ends, head.around.now);
        }
        None => {
            card.next().and(words::CLOCK);
            card.next().and(words::NOT_SET);
        }
    }
}
