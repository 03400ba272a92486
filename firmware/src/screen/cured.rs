//! Cured: torque it now, or load it as specified; torqued: it may be loaded when the foreman decides so.

use super::card::Card;
use super::line::Line;
use super::{number, words};
use crate::view::{Head, Wall, middle};
use holdoff_core::fixing::TorqueRange;
use holdoff_core::quantity::Torque;
use holdoff_core::resin::ResinUse;

/// It may be torqued.
pub(super) fn torque_now(card: &mut Card, head: &Head, range: TorqueRange, too_low: Option<Torque>) {
    number::torque(card.may(words::TORQUE_NOW).number(), middle(range));
    card.next().and(words::NEWTON_METRES);
    if range.least() != range.greatest() {
        span(card.next(), range);
    }
    match (too_low, head.resin) {
        (Some(torque), _) => {
            number::torque(card.next(), torque).and(words::TOO_LOW);
        }
        (None, ResinUse::Demo) => {
            card.next().and(words::NOT_ON_SITE);
        }
        (None, ResinUse::OnSite) => {}
    }
    if !card.fits() {
        // numbers that no wrench has: better small than cut off
        *card = Card::new();
        number::torque(card.may(words::TORQUE_NOW).large(), range.least()).and(words::TO);
        number::newton_metres(card.next(), range.greatest());
    }
}

/// Cured, and no torque is specified.
pub(super) fn cured(card: &mut Card, head: &Head) {
    card.may(words::CURED);
    match head.resin {
        ResinUse::OnSite => card.lines(words::NO_TORQUE),
        ResinUse::Demo => card.words(words::NO_TORQUE_SHORT, words::NEVER_ON_SITE),
    }
}

/// Torqued as specified after the cure.
pub(super) fn may_be_loaded(card: &mut Card, head: &Head, torque: Torque, at: Option<Wall>) {
    card.may(words::MAY_BE_LOADED).large().and(words::FOREMAN_DECIDES);
    let line = card.next();
    match head.resin {
        ResinUse::Demo => {
            line.and(words::NEVER_ON_SITE);
        }
        ResinUse::OnSite => {
            number::newton_metres(line, torque);
            if let Some(at) = at {
                number::clock_and_day(line.byte(b' '), at, head.around.now);
            }
        }
    }
}

/// `38 to 42`; one number where both are the same.
pub(super) fn span(line: &mut Line, range: TorqueRange) -> &mut Line {
    number::torque(line, range.least());
    if range.least() == range.greatest() { line } else { number::torque(line.and(words::TO), range.greatest()) }
}
