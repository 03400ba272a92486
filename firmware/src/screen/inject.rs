//! May it be injected, and why not.

use super::card::{Body, Card};
use super::line::Line;
use super::words::Said;
use super::{number, words};
use crate::view::{Head, May};
use holdoff_core::fixing::Grounds;
use holdoff_core::log::Standing;

/// Nothing has been injected.
pub(super) fn not_injected(head: &Head, may: May) -> Card {
    match reasons(may).next() {
        None => Card::may(words::MAY_INJECT, temperature(head)),
        Some(first) => Card::do_not(words::DO_NOT_INJECT, with_more(&first, reasons(may).count())),
    }
}

/// The last start was refused.
pub(super) fn refused(grounds: Grounds, now: May) -> Card {
    let large = grounds.iter().next().map_or(Line::EMPTY, |ground| Line::of(words::ground(ground).large));
    let small = if now.is_yes() { words::TRY_AGAIN } else { words::DO_NOT_INJECT_YET };
    Card::do_not(words::START_REFUSED, Body::Words(large, Line::of(small)))
}

/// Everything that stands against an injection.
pub(super) fn reasons(may: May) -> impl Iterator<Item = Said> {
    may.grounds.iter().map(words::ground).chain(may.lacks.iter().map(words::lack))
}

fn temperature(head: &Head) -> Body {
    let number = head.around.temperature.map_or(Line::of(words::NO_TEMPERATURE), |count| number::degrees(count.fine()));
    let beside = match head.resin {
        Standing::ForUse => [Line::of(words::DEGREES), Line::EMPTY, Line::EMPTY],
        Standing::Demo => words::DEMO_BESIDE.map(Line::of),
    };
    Body::Number(number, beside)
}

fn with_more(first: &Said, all: usize) -> Body {
    let small = match all {
        0 | 1 => Line::of(first.small),
        2 => Line::of(words::AND_ONE_MORE),
        all => Line::of(words::AND).number(all.saturating_sub(1) as u64).and(words::AND_MORE), // 18 at most
    };
    Body::Words(Line::of(first.large), small)
}
