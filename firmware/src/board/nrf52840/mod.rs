//! A real board: an nRF52840 with a probe, a clock chip, an FRAM and a display. `docs/hardware.md` says what it is made of and
//! how it is wired. It compiles and links; it has not run on real hardware.
//!
//! Why this microcontroller: it sleeps with its crystal running on a few microamperes, wakes by a pin, measures its own
//! battery behind its own regulator, has a number of its own and registers for a key that a programmer can't read once they
//! are closed, room for the whole firmware several times over, and a library that is kept up.
//! Why that library without its executor: the run loop is the one that decides when to sleep; drivers that block for a bounded
//! time are all it needs.
//! Invariants: everything that waits is bounded by the crystal's time or by a number of looks; between two steps nothing but the
//! crystal, the clock chip and the sleeping parts draws current.
//! What it does not do: radio, USB, floating point (the image is built without, so the unit for it never wakes).
#![allow(unsafe_code, reason = "interrupts are bound, and the key is read, by address")]

mod bus;
mod fault;
mod key;
mod pins;
mod power;
mod serial;
mod time;

pub use super::restart::restart;
pub use bus::{Bus, BusError};

use super::{BatteryLimits, Board, Buttons, Strip, Supply};
use crate::driver::clock::ClockKind;
use crate::driver::memory::MemoryPart;
use crate::driver::oled::Oled;
use bus::{Wait, Wires};
use core::cell::RefCell;
use embassy_nrf::gpio::{Level, Output, OutputDrive, Pull};
use embassy_nrf::peripherals::{SAADC, TWISPI0, TWISPI1, UARTE0};
use embassy_nrf::spim::{self, Spim};
use embassy_nrf::wdt::WatchdogHandle;
use embassy_nrf::{Peri, bind_interrupts, buffered_uarte, pac, saadc, twim};
use embedded_hal_bus::spi::ExclusiveDevice;
use holdoff_core::log::ResetCause;
use pins::{Pins, Watched};
use power::Debugging;
use serial::{Parts, Serial};

bind_interrupts!(struct Irqs {
    TWISPI0 => twim::InterruptHandler<TWISPI0>;
    TWISPI1 => spim::InterruptHandler<TWISPI1>;
    UARTE0 => buffered_uarte::InterruptHandler<UARTE0>;
    SAADC => saadc::InterruptHandler;
    GPIOTE => pins::Sensed;
});

const MEMORY: MemoryPart = MemoryPart::FRAM_64K;

type Display = Oled<ExclusiveDevice<Spim<'static>, Output<'static>, Wait>, Output<'static>, Output<'static>, Wait>;

/// The board; there is one.
pub struct Nrf52840 {
    bus: Bus,
    pins: Pins,
    display: Display,
    serial: Serial,
    saadc: Peri<'static, SAADC>,
    watchdog: Option<WatchdogHandle>,
    cause: ResetCause,
}

impl Nrf52840 {
    /// Sets everything up; once. `None` when it was already, or the display's select line cannot be set.
    pub fn new() -> Option<Self> {
        let cause = fault::cause();
        key::bear();
        let debugging = if key::seed().is_some() { Debugging::Closed } else { Debugging::Open };
        let parts = embassy_nrf::init(power::config(debugging));
        let watchdog = fault::watch(parts.WDT);
        let wires =
            cortex_m::singleton!(: RefCell<Wires> = RefCell::new(Wires::new(parts.TWISPI0, parts.P0_26, parts.P0_27)))?;

        let mut clock = spim::Config::default();
        clock.frequency = spim::Frequency::M4;
        let spi = Spim::new_txonly(parts.TWISPI1, Irqs, parts.P1_15, parts.P1_13, clock);
        let select = Output::new(parts.P1_12, Level::High, OutputDrive::Standard);
        let data = Output::new(parts.P1_11, Level::Low, OutputDrive::Standard);
        let reset = Output::new(parts.P1_10, Level::High, OutputDrive::Standard);
        let spi = ExclusiveDevice::new(spi, select, Wait).ok()?;

        let pins = [
            Watched::new(parts.P0_11, Pull::Up),
            Watched::new(parts.P0_12, Pull::Up),
            Watched::new(parts.P0_24, Pull::Up),
            Watched::new(parts.P0_25, Pull::Up),
            Watched::new(parts.P1_08, Pull::Up),
        ];
        let link = Parts {
            uarte: parts.UARTE0,
            timer: parts.TIMER1,
            channels: (parts.PPI_CH0, parts.PPI_CH1, parts.PPI_GROUP0),
            receive: parts.P0_08,
            send: parts.P0_06,
        };
        Some(Self {
            bus: Bus(wires),
            pins: Pins::new(pins),
            display: Oled::new(spi, data, reset, Wait),
            serial: Serial::new(link),
            saadc: parts.SAADC,
            watchdog,
            cause,
        })
    }
}

impl Board for Nrf52840 {
    type Bus = Bus;

    const NAME: &'static str = "nrf52840";
    const CLOCK: ClockKind = ClockKind::Pcf8523;
    const MEMORY: MemoryPart = MEMORY;
    const PROBE: u8 = 0x48;
    /// 500 ppm: the crystals of the part and of the clock chip are 20 ppm off at 25 °C and some 150 ppm slower at -35 °C.
    const UPTIME_PARTS: u32 = 2_000;
    /// Three cells in a row: 1.3 V each, and 1.2 V each, below which the 3.3 V are not held any more. The probe needs 2.7 V,
    /// the part's own converter takes up to 0.3 V off what the cells give, and 0.1 V is for the cable and for what measuring errs by.
    const SUPPLY: Supply = Supply::Battery(BatteryLimits { low: 3900, empty: 3600, probe: 3100 });

    fn bus(&self) -> Bus {
        self.bus
    }

    fn number(&self) -> Option<[u8; 8]> {
        let [low, high] = [0, 1].map(|half| pac::FICR.deviceid(half).read());
        Some(((u64::from(high) << 32) | u64::from(low)).to_be_bytes())
    }

    fn uptime_ms(&mut self) -> u32 {
        time::uptime_ms()
    }

    fn sleep_until(&mut self, uptime_ms: u32) {
        let Self { pins, serial, .. } = self;
        // both are asked, so that both can wake
        time::sleep_until(uptime_ms, &mut || pins.changed() | serial.waiting());
    }

    fn buttons(&mut self) -> Buttons {
        self.pins.buttons()
    }

    fn show(&mut self, place: u8, strip: &Strip) {
        let _ = self.display.show(place, strip); // the next strip sets it up again
    }

    fn light(&mut self, on: bool) {
        let _ = self.display.light(on);
    }

    fn receive(&mut self, into: &mut [u8]) -> usize {
        self.serial.receive(into)
    }

    fn send(&mut self, bytes: &[u8]) {
        self.serial.send(bytes);
    }

    fn battery_mv(&mut self) -> Option<u16> {
        power::millivolts(self.saadc.reborrow())
    }

    fn reset_cause(&self) -> ResetCause {
        self.cause
    }

    fn kept(&mut self) -> Option<u8> {
        crate::board::restart::kept()
    }

    fn keep(&mut self, number: u8) {
        crate::board::restart::keep(number);
    }

    fn feed_watchdog(&mut self) {
        if let Some(watchdog) = &mut self.watchdog {
            watchdog.pet();
        }
    }

    fn key_seed(&self) -> Option<[u8; 32]> {
        key::seed()
    }
}
