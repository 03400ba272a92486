//! The engine and its log without seal, screens, link and drivers, linked for the processor of a board: what they alone take
//! of the flash (`tests/budgets` measures it). It is only looked at, never run, so everything comes in from outside and
//! nothing is known while it is built: whatever a logger can do is in it.
#![no_std]
#![no_main]

use core::hint::black_box;
use holdoff_core::cure::{Settings, Uncertainty};
use holdoff_core::fixing::{FixingSpec, Injection, TorqueRange};
use holdoff_core::group::{FixingNumber, Happening};
use holdoff_core::log::{Batch, Beginning, Bytes, ClockTie, Logger, Memory, MemoryError, MissingCause, Record};
use holdoff_core::probe::SensorKind;
use holdoff_core::quantity::{Instant, Span, Torque};
use holdoff_core::resin::{Resin, ResinSpec};

#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    loop {}
}

/// A memory whose driver is elsewhere.
pub struct Elsewhere {
    size: u32,
    read: fn(u32, &mut [u8]) -> Result<(), MemoryError>,
    write: fn(u32, &[u8]) -> Result<(), MemoryError>,
}

impl Memory for Elsewhere {
    fn size(&self) -> u32 {
        self.size
    }

    fn read(&mut self, offset: u32, into: &mut [u8]) -> Result<(), MemoryError> {
        (self.read)(offset, into)
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), MemoryError> {
        (self.write)(offset, bytes)
    }
}

/// What comes in from outside.
pub struct Given<'a> {
    logger: &'a mut Logger<Elsewhere>,
    what: Happening,
    record: Record,
    beginning: &'a Beginning,
    resin: &'a ResinSpec<'a>,
    settings: (u16, u32, u16, u32),
    supply: Option<u16>,
    raw: u16,
    kind: SensorKind,
    fixing: FixingNumber,
    spec: FixingSpec,
    torque: (Torque, Torque),
    injection: Injection,
    label: Bytes<16>,
    batch: Batch,
    signed: Bytes<255>,
    tie: ClockTie,
    at: Instant,
    page: u32,
}

/// Everything that a board's firmware asks of them.
#[unsafe(no_mangle)]
pub fn holdoff_all(given: &mut Given<'_>) {
    let Given { logger, .. } = given;
    let tell = &mut |event| seen(&event);
    seen(&logger.mount(&mut |found| seen(&found), tell));
    if let Record::PowerUp { dark, cause } = given.record {
        seen(&logger.power_up(dark, cause, tell));
    }
    seen(&Resin::new(given.resin));
    if let Ok(uncertainty) = Uncertainty::from_counts(given.settings.0) {
        let settings = Settings::new(uncertainty, Span::from_seconds(given.settings.1), given.settings.2);
        seen(&settings.and_then(|settings| settings.with_settle(Span::from_seconds(given.settings.3))));
    }
    seen(&TorqueRange::new(given.torque.0, given.torque.1));
    seen(&given.kind.count(given.raw));
    seen(&logger.begin(given.beginning));
    seen(&logger.add(given.label, given.spec));
    seen(&logger.batch(given.batch));
    seen(&logger.clock(given.tie));
    seen(&logger.happen(given.what, tell));
    seen(&logger.missing(given.at, MissingCause::NotTaken, tell));
    seen(&logger.supply(given.at, given.supply));
    seen(&logger.may_inject());
    seen(&logger.release(given.fixing, given.signed));
    seen(&logger.read_out(given.page));
    seen(&logger.room());
    seen(&logger.head());
    seen(&logger.session().working().is_empty());
    seen(&logger.session().running().first());
    seen(&logger.session().unsealed().first());
    if let Some(group) = logger.group() {
        seen(&group.status(given.fixing));
        seen(&group.start_grounds(given.fixing, given.at, &given.injection));
        seen(&group.still_settling());
        seen(&group.torque_range(given.fixing));
        seen(&group.last_reading());
        seen(&group.is_outside());
        seen(&group.settings().laxer());
    }
}

/// Whatever is asked for is wanted.
fn seen<T>(what: &T) {
    black_box(what);
}
