//! What can be done to a fixing now, and which of its pages there are.
//!
//! Why by stage: what does not apply is not offered, so that nobody has to know the rules to press the right thing. Whether
//! a start is refused is no matter of offering: it is asked of the engine, and a refused start is on record.

use super::time::Now;
use super::ui::Place;
use super::{Key, Works};
use crate::board::Board;
use crate::view::{Item, Items};
use holdoff_core::fixing::{Ground, Stage, Status};
use holdoff_core::group::FixingNumber;
use holdoff_core::log::Trust;
use holdoff_core::resin::Hole;

impl<B: Board> Works<B> {
    /// How many fixings the group has.
    pub(super) fn count(&self) -> u8 {
        if !self.knows_job() {
            return 0;
        }
        self.logger.group().map_or(0, |group| group.fixings().count().min(16) as u8)
    }

    /// The fixing that is shown.
    pub(super) fn shown(&self) -> Option<FixingNumber> {
        let last = self.count().checked_sub(1)?;
        FixingNumber::new(self.ui.shown.min(last))
    }

    /// Its status.
    pub(super) fn status(&self, fixing: FixingNumber) -> Option<Status> {
        self.logger.group()?.status(fixing)
    }

    /// What can be done to a fixing.
    pub(super) fn items(&self, fixing: FixingNumber) -> Items {
        let Some(status) = self.status(fixing) else { return Items::NONE };
        match self.logger.trust() {
            Trust::Trusted => {}
            Trust::Untrusted(_) => return Items::NONE,
        }
        let range = self.logger.group().and_then(|group| group.torque_range(fixing));
        let wetter = |items: Items| {
            items
                .with_if(status.hole < Hole::Wet, Item::HoleWet)
                .with_if(status.hole < Hole::Flooded, Item::HoleFlooded)
        };
        match status.stage {
            Stage::Planned => wetter(Items::NONE.with(Item::Inject).with(Item::MeasureInHole)),
            Stage::Refused => wetter(Items::NONE.with(Item::Inject).with(Item::MeasureInHole).with(Item::CarriedOut)),
            Stage::Working => {
                let seat = if self.is_too_late(&status) { Item::SeatedLate } else { Item::Seat };
                wetter(Items::NONE.with(seat).with(Item::MayItBeTorqued))
            }
            Stage::Curing | Stage::Held => wetter(Items::NONE.with(Item::MayItBeTorqued).with(Item::TorquedEarly)),
            Stage::Cured(_) => wetter(
                Items::NONE.with_if(range.is_some(), Item::MayItBeTorqued).with_if(range.is_some(), Item::Torqued),
            ),
            // torqued once more, it may be too much
            Stage::Released(_) => Items::NONE.with(Item::Torqued),
            Stage::Rejected(rejection) => {
                // whoever seats it all the same says so
                let unseated = rejection.grounds.has(Ground::NotSeated) && status.seated_at.is_none();
                Items::NONE.with_if(unseated, Item::SeatedLate).with(Item::Accept).with(Item::Remove)
            }
            Stage::AcceptedAsIs(_) => Items::NONE.with(Item::Remove),
            Stage::Removed(_) => Items::NONE,
        }
    }

    /// Whether the working time of a fixing is over by the clock, or by one that failed: what is not seated by then is
    /// rejected. The engine says so with the next reading, which may be an hour away; until then nobody is told to seat.
    pub(super) fn is_too_late(&self, status: &Status) -> bool {
        status.seat_by.is_some_and(|by| self.is_clock_failed() || self.time.at_most().is_none_or(|at| at > by))
    }

    /// Whether a page of the fixing has anything on it.
    pub(super) fn has_page(&mut self, fixing: FixingNumber, place: Place, now: Option<Now>) -> bool {
        let Some(status) = self.status(fixing) else { return false };
        let recorded = self.logger.session().has_release(fixing);
        match place {
            Place::Fault(_) => false,
            Place::Overview => self.count() > 1,
            Place::Status | Place::Materials | Place::Cartridge | Place::Setting => true,
            Place::Code => recorded || self.key == Key::Missing && matches!(status.stage, Stage::Released(_)),
            Place::Short => recorded,
            Place::Reasons => match status.stage {
                // what stands against a start by now
                Stage::Planned => !self.may(fixing, now).is_yes(),
                Stage::Refused
                | Stage::Working
                | Stage::Curing
                | Stage::Held
                | Stage::Cured(_)
                | Stage::Released(_)
                | Stage::Rejected(_)
                | Stage::AcceptedAsIs(_)
                | Stage::Removed(_) => !status.grounds.is_empty(),
            },
            Place::Times => status.injected_at.is_some(),
            Place::Counting => status.seated_at.is_some(),
        }
    }
}
