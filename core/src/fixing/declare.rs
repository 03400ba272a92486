//! What declarations make of a fixing: cleaning and nozzle at its start (H3, H4), the facts of its seating (H5).

use super::life::{Change, Fixing, Moment, Phase};
use super::{Declaration, Frame, Injection, NotApplicable, Rejection, SeatingFacts};
use crate::quantity::{Fine, Instant};

/// What was done to the hole.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum HoleWork {
    /// It has no complete cleaning.
    Uncleaned,
    /// Its last complete cleaning ended then (H2).
    Cleaned { at: Instant },
    /// It is filled.
    Injected {
        /// Since when.
        at: Instant,
        /// Whether it had a complete cleaning that was young enough (H3).
        cleaned: bool,
        /// Whether the colour of what came out of the nozzle was declared to be even (H4).
        even: bool,
    },
}

impl Fixing {
    /// What somebody declares. Cleaning and nozzle are counted by the group, which asks here whether they apply.
    pub(super) fn declare(
        &mut self,
        moment: &Moment<'_>,
        at: Instant,
        declaration: Declaration,
    ) -> Result<Change, NotApplicable> {
        match declaration {
            Declaration::Cleaned(_) => match self.phase {
                Phase::Planned | Phase::Refused => Ok(Change::Nothing),
                Phase::Working
                | Phase::Overrun
                | Phase::Closing
                | Phase::Curing
                | Phase::Released
                | Phase::Rejected
                | Phase::AcceptedAsIs
                | Phase::Removed => Err(NotApplicable::Stage),
            },
            Declaration::NewNozzle | Declaration::Discarded => Ok(Change::Nothing),
            Declaration::Seating(facts) => self.declare_seating(moment, at, facts),
        }
    }

    /// The facts of the seating: a *no* rejects, dated to the seating, also after the cure (H5).
    fn declare_seating(
        &mut self,
        moment: &Moment<'_>,
        at: Instant,
        facts: SeatingFacts,
    ) -> Result<Change, NotApplicable> {
        let seated = self.seated.ok_or(NotApplicable::Stage)?;
        let found = Rejection { at: seated, grounds: facts.grounds() };
        match self.phase {
            Phase::Closing | Phase::Curing | Phase::Released => {
                self.facts = self.facts.and(facts);
                if found.grounds.is_empty() {
                    return Ok(Change::Nothing);
                }
                Ok(self.reject(self.mark_at(moment, at), found))
            }
            Phase::Rejected => {
                self.facts = self.facts.and(facts);
                match &mut self.rejection {
                    // grounds of the same instant are all named (E3)
                    Some(rejection) if rejection.at == seated && !found.grounds.is_empty() => {
                        rejection.grounds = rejection.grounds.and(found.grounds);
                        Ok(Change::Rejected(*rejection))
                    }
                    Some(_) | None => Ok(Change::Nothing),
                }
            }
            Phase::Planned
            | Phase::Refused
            | Phase::Working
            | Phase::Overrun
            | Phase::AcceptedAsIs
            | Phase::Removed => Err(NotApplicable::Stage),
        }
    }

    /// Since when the hole is filled, and whether the colour of what was injected was declared to be even (H4).
    pub(crate) const fn began(&self) -> Option<(Instant, bool)> {
        match self.hole_work {
            HoleWork::Injected { at, even, .. } => Some((at, even)),
            HoleWork::Uncleaned | HoleWork::Cleaned { .. } => None,
        }
    }

    /// Start of the injection.
    pub(super) const fn injected(&self) -> Option<Instant> {
        match self.hole_work {
            HoleWork::Injected { at, .. } => Some(at),
            HoleWork::Uncleaned | HoleWork::Cleaned { .. } => None,
        }
    }

    /// Whether the hole has a complete cleaning that is young enough (H3).
    pub(super) fn is_clean(&self, moment: &Moment<'_>, at: Instant) -> bool {
        match self.hole_work {
            HoleWork::Cleaned { at: cleaned } => {
                at.since(cleaned) <= i64::from(moment.deed.demands.clean_within().seconds())
            }
            HoleWork::Uncleaned => false,
            HoleWork::Injected { cleaned, .. } => cleaned,
        }
    }

    /// The hole has a complete cleaning.
    pub(crate) fn cleaned(&mut self, at: Instant) {
        match self.hole_work {
            HoleWork::Uncleaned | HoleWork::Cleaned { .. } => self.hole_work = HoleWork::Cleaned { at },
            HoleWork::Injected { .. } => {}
        }
    }
}

/// Whether the colour of what comes out of the nozzle is declared to be even at a start (H4). The working time of a pause is that
/// of the band that the start begins with (A2): of the highest `high` of its reading, the in-hole reading and the declared
/// cartridge temperature; without a reading the shortest.
pub(super) fn is_even(
    moment: &Moment<'_>,
    at: Instant,
    reading: impl Into<Option<i16>>,
    injection: &Injection,
) -> bool {
    let frame = moment.frame;
    let working = match reading.into() {
        Some(reading) => frame.working(hottest_at_start(frame, reading, injection), false),
        None => frame.working(Fine::new(i32::MIN), true),
    };
    moment.deed.is_even(at, working)
}

/// The highest `high` that a start begins with (A2).
pub(super) fn hottest_at_start(frame: &Frame, reading: i16, injection: &Injection) -> Fine {
    let in_hole = injection.in_hole.map_or(reading, |in_hole| in_hole.count.raw());
    let cartridge = injection.cartridge.map_or(reading, |cartridge| cartridge.count.raw());
    frame.high(reading.max(in_hole).max(cartridge))
}
