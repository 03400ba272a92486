//! Cured: torque it now, or load it as specified; torqued: it may be loaded when the foreman decides so.

use super::card::{self, Body, Card};
use super::line::Line;
use super::{number, words};
use crate::view::{Head, Wall, middle};
use holdoff_core::fixing::TorqueRange;
use holdoff_core::log::Standing;
use holdoff_core::quantity::Torque;

/// It may be torqued.
pub(super) fn torque_now(head: &Head, range: TorqueRange, too_low: Option<Torque>) -> Card {
    let third = match (too_low, head.resin) {
        (Some(torque), _) => number::torque(Line::EMPTY, torque).and(words::TOO_LOW),
        (None, Standing::Demo) => Line::of(words::NEVER),
        (None, Standing::ForUse) => Line::EMPTY,
    };
    let unit = Line::of(words::NEWTON_METRES);
    let second = if range.least() == range.greatest() { Line::EMPTY } else { span(Line::EMPTY, range) };
    let (number, beside) = (number::torque(Line::EMPTY, middle(range)), [unit, second, third]);
    let body = if card::fits(&number, &beside) {
        Body::Number(number, beside)
    } else {
        // numbers that no wrench has: better small than cut off
        let least = number::torque(Line::EMPTY, range.least()).and(words::TO);
        let greatest = number::torque(Line::EMPTY, range.greatest()).byte(b' ').and(words::NEWTON_METRES);
        Body::Lines([least, greatest, third])
    };
    Card::may(words::TORQUE_NOW, body)
}

/// Cured, and no torque is specified.
pub(super) fn cured(head: &Head) -> Card {
    match head.resin {
        Standing::ForUse => Card::may(words::CURED, Body::Lines(words::NO_TORQUE.map(Line::of))),
        Standing::Demo => {
            let large = Line::of(words::NO_TORQUE_SHORT);
            Card::may(words::CURED, Body::Words(large, Line::of(words::NEVER_ON_SITE)))
        }
    }
}

/// Torqued as specified after the cure.
pub(super) fn may_be_loaded(head: &Head, torque: Torque, at: Option<Wall>) -> Card {
    let small = match head.resin {
        Standing::Demo => Line::of(words::NEVER_ON_SITE),
        Standing::ForUse => {
            let line = number::torque(Line::EMPTY, torque).byte(b' ').and(words::NEWTON_METRES);
            match at {
                Some(at) => number::clock_and_day(line.byte(b' '), at, head.around.now),
                None => line,
            }
        }
    };
    Card::may(words::MAY_BE_LOADED, Body::Words(Line::of(words::FOREMAN_DECIDES), small))
}

/// `38 to 42`; one number where both are the same.
pub(super) fn span(line: Line, range: TorqueRange) -> Line {
    let line = number::torque(line, range.least());
    if range.least() == range.greatest() { line } else { number::torque(line.and(words::TO), range.greatest()) }
}
