//! Everything outside the device, and the board that gives it to the device.

use super::parts::{Clock, Eeprom, Probe, Written};
use embedded_hal::delay::DelayNs;
use embedded_hal::i2c::{Error, ErrorKind, ErrorType, I2c, NoAcknowledgeSource, Operation};
use holdoff_core::log::ResetCause;
use holdoff_firmware::board::{BatteryLimits, Board, Bus, Buttons, Lines, Strip, Supply};
use holdoff_firmware::driver::clock::{ADDRESS as CLOCK, ClockKind};
use holdoff_firmware::driver::memory::MemoryPart;
use holdoff_firmware::screen::Frame;
use std::cell::RefCell;
use std::collections::VecDeque;
use std::rc::Rc;

const PROBE: u8 = 0x48;
const MEMORY: u8 = 0x50;

/// Whether something holds the bus down.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Held {
    /// Nothing.
    No,
    /// A part that lets go after a few clock pulses.
    ByAPart,
    /// A short.
    Short,
}

/// The world.
pub struct World {
    /// True time in microseconds.
    pub now: u64,
    /// The true second at the microsecond 0.
    pub epoch: i64,
    booted_at: u64,
    /// How fast the board's own time runs, in thousandths.
    pub uptime_rate: u64,
    /// Microseconds of a byte on the bus: 90 at 100 kHz.
    pub byte: u64,
    /// Bytes that went over the bus, addresses included, also those of repeated starts.
    pub carried: u64,
    /// The probe.
    pub probe: Probe,
    /// The clock chip.
    pub clock: Clock,
    /// The memory.
    pub memory: Eeprom,
    /// Whether the bus is held down.
    pub held: Held,
    /// The power went: nothing answers any more.
    pub dead: bool,
    /// The buttons.
    pub buttons: Buttons,
    /// The battery.
    pub battery_mv: Option<u16>,
    /// What comes over the link.
    pub received: VecDeque<u8>,
    /// What went over it.
    pub sent: Vec<u8>,
    /// What the display shows.
    pub frame: Frame,
    /// Whether it is on.
    pub lit: bool,
    /// How often a whole picture was drawn.
    pub drawn: u64,
    /// Why the board started.
    pub reset_cause: ResetCause,
    /// What the board keeps over a reset.
    pub kept: Option<u8>,
    /// The number that was put in with the key; `None` where it is the key's own.
    pub number: Option<[u8; 8]>,
    /// The key.
    pub seed: Option<[u8; 32]>,
    fed_at: u64,
    /// The longest time without feeding the watchdog.
    pub longest_unfed: u64,
}

impl World {
    /// A world that begins at this true second, with a memory of this size.
    pub fn new(utc: i64, size: usize) -> Self {
        Self {
            now: 0,
            epoch: utc,
            booted_at: 0,
            uptime_rate: 1000,
            byte: 90,
            carried: 0,
            probe: Probe::steady(12 * 16),
            clock: Clock::set(utc),
            memory: Eeprom::blank(size, 128),
            held: Held::No,
            dead: false,
            buttons: Buttons::default(),
            battery_mv: Some(3000),
            received: VecDeque::new(),
            sent: Vec::new(),
            frame: Frame::DARK,
            lit: false,
            drawn: 0,
            reset_cause: ResetCause::PowerOn,
            kept: None,
            number: None,
            seed: None,
            fed_at: 0,
            longest_unfed: 0,
        }
    }

    /// The true second.
    pub fn second(&self) -> i64 {
        self.epoch + (self.now / 1_000_000) as i64
    }

    pub(super) fn boot(&mut self, cause: ResetCause) {
        (self.booted_at, self.fed_at, self.reset_cause) = (self.now, self.now, cause);
        (self.dead, self.memory.cut_after) = (false, None);
        if cause == ResetCause::PowerOn {
            self.kept = None;
        }
        self.received.clear();
    }

    pub(super) fn uptime_ms(&self) -> u32 {
        ((self.now - self.booted_at) / 1000 * self.uptime_rate / 1000) as u32
    }

    /// Goes on to an uptime.
    pub fn sleep_until(&mut self, uptime_ms: u32) {
        let wait = uptime_ms.wrapping_sub(self.uptime_ms());
        if wait < u32::MAX / 2 {
            self.now += u64::from(wait) * 1_000_000 / self.uptime_rate + 1;
        }
    }
}

/// What goes wrong on the bus.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Fault {
    /// Nobody answers at the address.
    Address,
    /// A byte is not acknowledged.
    Data,
    /// The lines are not free.
    Lines,
}

impl Error for Fault {
    fn kind(&self) -> ErrorKind {
        match self {
            Self::Address => ErrorKind::NoAcknowledge(NoAcknowledgeSource::Address),
            Self::Data => ErrorKind::NoAcknowledge(NoAcknowledgeSource::Data),
            Self::Lines => ErrorKind::ArbitrationLoss,
        }
    }
}

/// A handle to the bus.
#[derive(Clone)]
pub struct FakeBus(pub Rc<RefCell<World>>);

impl ErrorType for FakeBus {
    type Error = Fault;
}

impl DelayNs for FakeBus {
    fn delay_ns(&mut self, ns: u32) {
        self.0.borrow_mut().now += u64::from(ns.div_ceil(1000));
    }
}

impl Bus for FakeBus {
    fn free(&mut self) -> Lines {
        let mut world = self.0.borrow_mut();
        world.now += 200;
        match world.held {
            Held::No => Lines::Free,
            Held::ByAPart => {
                world.held = Held::No;
                Lines::Free
            }
            Held::Short => Lines::Held,
        }
    }
}

impl I2c for FakeBus {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), Fault> {
        let world = &mut *self.0.borrow_mut();
        world.carry(1);
        if world.dead || world.held != Held::No {
            return Err(Fault::Lines);
        }
        // neighbours of one direction are one transfer
        let mut out = Vec::new();
        let mut turned = 0; // a read after a write begins with the address once more; the time of that is left out
        let mut operations = operations.iter_mut().peekable();
        while let Some(operation) = operations.next() {
            match operation {
                Operation::Write(bytes) => {
                    out.extend_from_slice(bytes);
                    if let Some(Operation::Write(_)) = operations.peek() {
                        continue;
                    }
                    world.carry(out.len());
                    world.write(address, &out)?;
                    out.clear();
                    turned = 1;
                }
                Operation::Read(into) => {
                    world.carried += turned;
                    world.carry(into.len());
                    world.read(address, into)?;
                }
            }
        }
        Ok(())
    }
}

impl World {
    fn carry(&mut self, bytes: usize) {
        self.carried += bytes as u64;
        self.now += self.byte * bytes as u64;
    }

    fn write(&mut self, address: u8, bytes: &[u8]) -> Result<(), Fault> {
        match address {
            PROBE if self.probe.plugged => self.probe.write(bytes),
            CLOCK if self.clock.hears() => self.clock.write(bytes, self.now),
            MEMORY if self.memory.answers && self.now >= self.memory.busy_until => {
                match self.memory.write(bytes, self.now) {
                    Written::Taken => {}
                    Written::Refused => return Err(Fault::Data),
                    Written::Cut => {
                        self.dead = true;
                        return Err(Fault::Lines);
                    }
                }
            }
            _ => return Err(Fault::Address),
        }
        Ok(())
    }

    fn read(&mut self, address: u8, into: &mut [u8]) -> Result<(), Fault> {
        let (second, now) = (self.second(), self.now);
        match address {
            PROBE if self.probe.plugged => self.probe.read(into, second, now),
            CLOCK if self.clock.hears() => self.clock.read(into, now),
            MEMORY if self.memory.answers && now >= self.memory.busy_until => self.memory.read(into),
            _ => return Err(Fault::Address),
        }
        Ok(())
    }
}

/// The board, with a memory of so many bytes; with a battery, or fed from the bench.
pub struct FakeBoard<const SIZE: u32 = 65_536, const BATTERY: bool = true>(pub Rc<RefCell<World>>);

impl<const SIZE: u32, const BATTERY: bool> Board for FakeBoard<SIZE, BATTERY> {
    type Bus = FakeBus;

    const NAME: &'static str = "fake board";
    const CLOCK: ClockKind = ClockKind::Ds1338;
    const MEMORY: MemoryPart = MemoryPart { address: MEMORY, bytes: SIZE, page: 128 };
    const PROBE: u8 = PROBE;
    const SUPPLY: Supply =
        if BATTERY { Supply::Battery(BatteryLimits { low: 2600, empty: 2400, probe: 2250 }) } else { Supply::Bench };

    fn bus(&self) -> FakeBus {
        FakeBus(Rc::clone(&self.0))
    }

    fn number(&self) -> Option<[u8; 8]> {
        self.0.borrow().number
    }

    fn uptime_ms(&mut self) -> u32 {
        self.0.borrow().uptime_ms()
    }

    fn sleep_until(&mut self, uptime_ms: u32) {
        self.0.borrow_mut().sleep_until(uptime_ms);
    }

    fn buttons(&mut self) -> Buttons {
        self.0.borrow().buttons
    }

    fn show(&mut self, place: u8, strip: &Strip) {
        let mut world = self.0.borrow_mut();
        world.frame.put(place, strip);
        world.drawn += u64::from(place == 7);
    }

    fn light(&mut self, on: bool) {
        self.0.borrow_mut().lit = on;
    }

    fn receive(&mut self, into: &mut [u8]) -> usize {
        let mut world = self.0.borrow_mut();
        let count = into.len().min(world.received.len());
        for (place, byte) in into.iter_mut().zip(world.received.drain(..count)) {
            *place = byte;
        }
        count
    }

    fn send(&mut self, bytes: &[u8]) {
        self.0.borrow_mut().sent.extend_from_slice(bytes);
    }

    fn battery_mv(&mut self) -> Option<u16> {
        self.0.borrow().battery_mv
    }

    fn reset_cause(&self) -> ResetCause {
        self.0.borrow().reset_cause
    }

    fn kept(&mut self) -> Option<u8> {
        self.0.borrow().kept
    }

    fn keep(&mut self, number: u8) {
        self.0.borrow_mut().kept = Some(number);
    }

    fn feed_watchdog(&mut self) {
        let world = &mut *self.0.borrow_mut();
        world.longest_unfed = world.longest_unfed.max(world.now - world.fed_at);
        world.fed_at = world.now;
    }

    fn key_seed(&self) -> Option<[u8; 32]> {
        self.0.borrow().seed
    }
}
