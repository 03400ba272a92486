//! The engine and its log without seal, screens, link and drivers, linked for the processor of a board: what they alone take
//! of the flash (`tests/budgets` measures it). It is only looked at, never run, so everything comes in from outside and
//! nothing is known while it is built: whatever a logger can do is in it.
#![no_std]
#![no_main]

use core::hint::black_box;
use holdoff_core::cure::{Settings, Uncertainty};
use holdoff_core::fixing::{FixingSpec, Injection, TorqueRange};
use holdoff_core::group::{FixingNumber, Group, Happening};
use holdoff_core::log::{Batch, Beginning, Bytes, ClockTie, Logger, Memory, MemoryError, MissingCause, Record};
use holdoff_core::probe::SensorKind;
use holdoff_core::quantity::{Instant, Torque};
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
    settings: (u16, u32, u16),
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
    let _ = black_box(logger.mount(
        &mut |found| {
            black_box(found);
        },
        &mut |event| {
            black_box(event);
        },
    ));
    if let Record::PowerUp { dark, cause } = given.record {
        let _ = black_box(logger.power_up(dark, cause, &mut |event| {
            black_box(event);
        }));
    }
    let _ = black_box(Resin::new(given.resin));
    let uncertainty = Uncertainty::from_counts(given.settings.0);
    let gap = holdoff_core::quantity::Span::from_seconds(given.settings.1);
    let _ = black_box(uncertainty.map(|uncertainty| Settings::new(uncertainty, gap, given.settings.2)));
    let _ = black_box(TorqueRange::new(given.torque.0, given.torque.1));
    let _ = black_box(given.kind.count(given.raw));
    let _ = black_box(logger.begin(given.beginning));
    let _ = black_box(logger.add(given.label, given.spec));
    let _ = black_box(logger.batch(given.batch));
    let _ = black_box(logger.clock(given.tie));
    let _ = black_box(logger.happen(given.what, &mut |event| {
        black_box(event);
    }));
    let _ = black_box(logger.missing(given.at, MissingCause::NotTaken, &mut |event| {
        black_box(event);
    }));
    let _ = black_box(logger.may_inject());
    let _ = black_box(logger.release(given.fixing, given.signed));
    let _ = black_box(logger.read_out(given.page));
    let _ = black_box((logger.room(), logger.head(), logger.losing(), logger.trust()));
    for (fixing, status) in logger.session().running() {
        black_box((fixing, status));
    }
    for fixing in logger.session().unsealed() {
        black_box(fixing);
    }
    if let Some(group) = logger.group() {
        told(group, given.fixing, given.at, &given.injection);
    }
}

fn told(group: &Group, fixing: FixingNumber, at: Instant, injection: &Injection) {
    black_box(group.status(fixing));
    black_box(group.start_grounds(fixing, at, injection));
    black_box((group.torque_range(fixing), group.last_reading(), group.is_outside()));
    black_box((group.settings().laxer(), group.readings()));
}
