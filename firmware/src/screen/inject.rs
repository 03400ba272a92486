//! May it be injected, and why not.

use super::card::Card;
use super::line::Line;
use super::words::Said;
use super::{number, words};
use crate::view::{Head, May};
use holdoff_core::fixing::{Ground, Grounds};
use holdoff_core::quantity::{Count, Span};
use holdoff_core::resin::ResinUse;

/// Nothing has been injected.
pub(super) fn not_injected(card: &mut Card, head: &Head, may: May) {
    let Some(first) = reasons(may).next() else {
        number::reading(card.may(words::MAY_INJECT).number(), head.around.temperature);
        card.next().and(words::DEGREES);
        match head.resin {
            ResinUse::OnSite => {}
            ResinUse::Demo => {
                card.next().and(words::NOT_ON);
                card.next().and(words::SITE);
            }
        }
        return;
    };
    card.do_not(words::DO_NOT_INJECT).large().and(first.large);
    let more = reasons(may).count().saturating_sub(1) as u64; // 18 at most
    match more {
        0 => card.next().and(first.small),
        1 => card.next().and(words::AND_ONE_MORE),
        more => card.next().and(words::AND).number(more).and(words::AND_MORE),
    };
}

/// Nothing but the probe, which has not settled.
pub(super) fn settling(card: &mut Card, still: Span) {
    minutes(card.do_not(words::SETTLING).number(), still);
    for word in [words::LEFT, words::LEAVE_THE, words::PROBE_ON] {
        card.next().and(word);
    }
}

/// A reading in the hole is waited for.
pub(super) fn hole_settling(card: &mut Card, reading: Option<Count>, still: Span) {
    number::reading(card.do_not(words::HOLE_SETTLING).number(), reading);
    card.next().and(words::DEGREES);
    card.next().and(words::LEAVE_IT_IN);
    minutes(card.next(), still).and(words::BLANK_LEFT);
}

/// A reading was taken in the hole; how long it counts is rounded down.
pub(super) fn in_hole(card: &mut Card, reading: Count, counts_for: Span) {
    number::degrees(card.tells(words::IN_THE_HOLE).number(), reading.fine());
    card.next().and(words::DEGREES);
    card.next().and(words::COUNTS_FOR);
    card.next().number(u64::from(counts_for.seconds() / 60)).and(words::MIN);
}

/// Minutes and seconds.
fn minutes(line: &mut Line, span: Span) -> &mut Line {
    let seconds = u64::from(span.seconds());
    line.number(seconds / 60).byte(b':').padded(seconds % 60, 2)
}

/// The last start was refused.
pub(super) fn refused(card: &mut Card, grounds: Grounds, now: May) {
    let said = grounds.iter().next().map(words::ground);
    // what was declared is not looked at again before another cartridge is
    let small = match said {
        Some(ref said) if now.is_yes() && grounds == Grounds::only(Ground::Cartridge) => said.small,
        Some(_) | None if now.is_yes() => words::TRY_AGAIN,
        Some(_) | None if now.is_settling() && !grounds.has(Ground::ProbeNotSettled) => words::IS_SETTLING,
        Some(_) | None => words::DO_NOT_INJECT_YET,
    };
    card.do_not(words::START_REFUSED).words(said.map_or("", |said| said.large), small);
}

/// Everything that stands against an injection.
pub(super) fn reasons(may: May) -> impl Iterator<Item = Said> {
    may.grounds.iter().map(words::ground).chain(may.lacks.iter().map(words::lack))
}
