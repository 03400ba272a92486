//! One fixing's cure on the emulated board, from the loading of the job to the torque.
//!
//! The job is loaded over the link in the second of the trace's first row, so that the readings, one period apart, fall on the
//! rows. The injection, the seating and the torque are made with the buttons.

use super::{Deed, EmulatorError, Felt, Held, Image, Kind, Machine, Setup, Site, blank_memory, load_job, shipment};
use holdoff::link::{Patience, Shipment};
use holdoff_core::cure::Settings;
use holdoff_core::fixing::{FixingSpec, Ground, Stage, TorqueRange};
use holdoff_core::quantity::{Span, Torque};
use holdoff_core::resin::Hole;
use holdoff_files::resin_file::ResinFile;
use holdoff_files::trace::Row;
use sha2::{Digest, Sha256};
use std::path::Path;

/// The board is switched on so many seconds before the job is loaded.
const BEFORE: i64 = 6;
/// The longest time between two readings.
const MOST_PERIOD: i64 = 3600;

/// What is to be done.
#[derive(Clone, Debug)]
pub struct Cure<'a> {
    /// The trace, in order; not empty.
    pub rows: &'a [Row],
    /// The resin.
    pub resin: &'a ResinFile,
    /// The hole's condition.
    pub hole: Hole,
    /// How long before a start the probe must have said nearly the same (rule R6), at most an hour.
    pub settle: Span,
    /// The second of the injection.
    pub inject: i64,
    /// The second of the seating.
    pub seat: Option<i64>,
    /// What is applied, the specified range, and when; without a second: as soon as it is cured.
    pub torque: Option<(Torque, TorqueRange, Option<i64>)>,
    /// Offset of local time, in minutes.
    pub offset_minutes: i16,
    /// The last second.
    pub until: i64,
}

/// Something that was not done, since the fixing's stage does not have it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Undone {
    /// What.
    pub what: &'static str,
    /// The stage it met.
    pub stage: &'static str,
}

/// Seed of the emulated device's key where none is given: its own, and known to everybody.
#[must_use]
pub fn known_seed() -> [u8; 32] {
    Sha256::digest(b"the emulated device's key, known to everybody").into()
}

impl Cure<'_> {
    /// Time between readings: that of the first two rows.
    #[must_use]
    pub fn period(&self) -> Span {
        let apart = match self.rows {
            [first, second, ..] => second.seconds - first.seconds,
            _ => 60,
        };
        Span::from_seconds(u32::try_from(apart.clamp(1, MOST_PERIOD)).unwrap_or(60))
    }

    /// The second that the job is loaded at.
    #[must_use]
    pub fn begins(&self) -> i64 {
        self.rows.first().map_or(0, |row| row.seconds)
    }

    /// A board that is about to begin it, switched on a few seconds before.
    ///
    /// # Errors
    /// It does not start.
    pub fn switch_on(&self, memory: &Path, seed: [u8; 32]) -> Result<Site, EmulatorError> {
        blank_memory(memory)?;
        let rows: Vec<Felt> = self.rows.iter().map(Felt::of).collect();
        let (image, clock) = (Image::get(Kind::Release)?, self.begins() - BEFORE);
        let sixteenths = rows.first().map_or(0, |row| row.sixteenths);
        let setup = Setup { seed: Some(seed), ..Setup::plain(image, memory, clock, sixteenths) };
        let machine = Machine::start(&setup)?;
        Ok(Site::new(machine, rows))
    }

    /// Loads the job in its second.
    ///
    /// # Errors
    /// The device refuses, or that second is over when it is done.
    pub fn load(&self, site: &mut Site) -> Result<(), EmulatorError> {
        site.advance(self.begins())?;
        let spec = FixingSpec { hole: self.hole, torque: self.torque.map(|(_, range, _)| range) };
        let fixings = vec![("fixing 1".to_owned(), spec, None)];
        let plain = shipment(self.resin, self.period(), self.offset_minutes, fixings);
        let settings = Settings::DEFAULT.with_settle(self.settle).unwrap_or(Settings::DEFAULT);
        let shipment = Shipment { settings, ..plain };
        load_job(&mut site.machine, &shipment, Patience::default())?;
        let now = site.machine.now_ms()?.div_euclid(1000);
        if now == self.begins() { Ok(()) } else { Err(EmulatorError::Late { second: self.begins(), now }) }
    }

    /// Injects, seats, torques and waits, from the loaded job to the last second.
    ///
    /// # Errors
    /// A second was missed; or the board is gone, or hangs.
    pub fn go(&self, site: &mut Site, memory: &Path) -> Result<Vec<Undone>, EmulatorError> {
        let mut undone = Vec::new();
        site.press_by(self.inject, &Deed::Inject.presses())?;
        if let Some(second) = self.seat {
            // what it is then decides what the menu offers
            site.advance(second - 3)?;
            let stage = stage(memory)?;
            if may_still_be_seated(&stage) {
                site.press_by(second, &Deed::Seat.presses())?;
            } else {
                undone.push(Undone { what: "seat", stage: stage.word() });
            }
        }
        if let Some((torque, range, at)) = self.torque {
            self.torque(site, memory, (torque, range, at), &mut undone)?;
        }
        site.advance(self.until)?;
        Ok(undone)
    }

    fn torque(
        &self,
        site: &mut Site,
        memory: &Path,
        (torque, range, at): (Torque, TorqueRange, Option<i64>),
        undone: &mut Vec<Undone>,
    ) -> Result<(), EmulatorError> {
        let from = holdoff_firmware::view::middle(range);
        let deed = |stage: &Stage| match stage {
            Stage::Cured(_) => Some(Deed::Torque(torque, from)),
            Stage::Curing | Stage::Held => Some(Deed::TorqueEarly(torque, from)),
            Stage::Planned
            | Stage::Working
            | Stage::Refused
            | Stage::Released(_)
            | Stage::Rejected(_)
            | Stage::AcceptedAsIs(_)
            | Stage::Removed(_) => None,
        };
        let second = match at {
            Some(second) => {
                // what it is then decides what the menu offers
                site.advance(second - 4)?;
                second
            }
            None => {
                let Some(cured) = self.wait_for_cure(site, memory)? else {
                    undone.push(Undone { what: "torque", stage: stage(memory)?.word() });
                    return Ok(());
                };
                cured + 4
            }
        };
        let stage = stage(memory)?;
        match deed(&stage) {
            Some(deed) => site.press_by(second, &deed.presses()),
            None => {
                undone.push(Undone { what: "torque", stage: stage.word() });
                Ok(())
            }
        }
    }

    /// Runs until the fixing is known to be cured; the second after that. `None` when it is not, by the end.
    fn wait_for_cure(&self, site: &mut Site, memory: &Path) -> Result<Option<i64>, EmulatorError> {
        let period = i64::from(self.period().seconds());
        let mut second = site.machine.now_ms()?.div_euclid(1000);
        loop {
            let status = Held::read(memory)?.and_then(|held| held.status(0));
            let Some(status) = status else { return Ok(None) };
            match status.stage {
                Stage::Cured(_) => return Ok(Some(second)),
                Stage::Curing | Stage::Held => {}
                Stage::Planned
                | Stage::Refused
                | Stage::Working
                | Stage::Released(_)
                | Stage::Rejected(_)
                | Stage::AcceptedAsIs(_)
                | Stage::Removed(_) => return Ok(None),
            }
            // it cannot be cured before it has served what it still has to
            let left = i64::try_from(status.required.saturating_sub(status.served)).unwrap_or(i64::MAX / 2);
            second += (left - period).max(period);
            if second > self.until {
                return Ok(None);
            }
            site.advance(second)?;
        }
    }
}

/// The stage of the one fixing.
fn stage(memory: &Path) -> Result<Stage, EmulatorError> {
    let held = Held::read(memory)?;
    let status = held.and_then(|held| held.status(0));
    status.map(|status| status.stage).ok_or_else(|| EmulatorError::Device("no fixing is loaded".to_owned()))
}

/// Whether a rejected fixing can still be reported as seated.
fn may_still_be_seated(stage: &Stage) -> bool {
    match stage {
        Stage::Rejected(rejection) => rejection.grounds.has(Ground::NotSeated),
        Stage::Working => true,
        Stage::Planned
        | Stage::Refused
        | Stage::Curing
        | Stage::Held
        | Stage::Cured(_)
        | Stage::Released(_)
        | Stage::AcceptedAsIs(_)
        | Stage::Removed(_) => false,
    }
}
