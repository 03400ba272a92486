//! Rejected: do not load it. Only the engineer's decision changes what is done with it, and it always shows.

use super::card::Card;
use super::words;
use holdoff_core::fixing::Grounds;

/// Rejected, with its first ground; the others are on the page of reasons.
pub(super) fn do_not_load(card: &mut Card, grounds: Grounds) {
    let ground = grounds.iter().next().map_or("", |ground| words::ground(ground).large);
    card.do_not(words::DO_NOT_LOAD).large().and(ground);
    let more = grounds.iter().count().saturating_sub(1) as u64; // 13 at most
    match more {
        0 => card.next().and(words::ASK_ENGINEER),
        more => card.next().byte(b'+').number(more).and(words::MORE_ASK),
    };
}

/// Accepted as it is by the engineer.
pub(super) fn accepted(card: &mut Card) {
    card.do_not(words::REJECTED).said(&words::ACCEPTED);
}

/// To be removed by the engineer's decision.
pub(super) fn removed(card: &mut Card) {
    card.do_not(words::TO_BE_REMOVED).words(words::DO_NOT_LOAD_IT, words::ENGINEERS_DECISION);
}
