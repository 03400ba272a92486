//! Rejected: do not load it. Only the engineer's decision changes what is done with it, and it always shows.

use super::card::{Body, Card};
use super::line::Line;
use super::words;
use holdoff_core::fixing::Grounds;

/// Rejected, with its first ground; the others are on the page of reasons.
pub(super) fn do_not_load(grounds: Grounds) -> Card {
    let large = grounds.iter().next().map_or(Line::EMPTY, |ground| Line::of(words::ground(ground).large));
    let small = match grounds.iter().count() {
        0 | 1 => Line::of(words::ASK_ENGINEER),
        all => Line::of("+").number(all.saturating_sub(1) as u64).and(words::MORE_ASK), // 13 at most
    };
    Card::do_not(words::DO_NOT_LOAD, Body::Words(large, small))
}

/// Accepted as it is by the engineer.
pub(super) fn accepted() -> Card {
    Card::do_not(words::REJECTED, Body::said(&words::ACCEPTED))
}

/// To be removed by the engineer's decision.
pub(super) fn removed() -> Card {
    let body = Body::Words(Line::of(words::DO_NOT_LOAD_IT), Line::of(words::ENGINEERS_DECISION));
    Card::do_not(words::TO_BE_REMOVED, body)
}
