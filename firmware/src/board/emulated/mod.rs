//! The emulated board: the machine `lm3s6965evb` of QEMU, with a probe, a clock chip and a serial EEPROM on its bus.
//!
//! What for: the whole firmware runs, unchanged, where a test can feed its probe, press its buttons, photograph its
//! screen and cut its power at any instruction (`tests/src/emulator`). It is no board that anybody should build.
//! Terms: a *hop* is a piece of sleep, at most a second; before each, [`time::holdoff_idle`] is called, where the
//! harness may hold the machine; what the harness wants to know stands in the words of [`published`].
//! Invariants: one timer at most is armed while the processor sleeps (two make the emulator skip time); nothing here
//! counts ticks of a repeating timer.
//! What it does not do: measure a battery (it has none), or stay correct on real silicon of that kind.
#![allow(unsafe_code, reason = "registers of the board are reached through their addresses")]

mod bus;
mod display;
mod fault;
mod pins;
mod published;
mod register;
mod serial;
mod time;

use super::{Board, Buttons, Strip, Supply};
use crate::driver::clock::ClockKind;
use crate::driver::memory::MemoryPart;
use cortex_m::peripheral::{NVIC, SYST};
use holdoff_core::log::ResetCause;

// with this feature the image runs only where somebody answers its calls: in the emulator, or at a probe
#[cfg(feature = "defmt")]
use defmt_semihosting as _;

pub use super::restart::restart;
pub use bus::Bus;

/// Where the key's seed lies: the last KiB of the flash.
const SEED_AT: usize = 0x3_FC00;
/// Gates of the clock: I2C 0, UART 0 and SSI 0; GPTM 0; then ports A to F.
const RCGC1: usize = 0x400F_E104;
const RCGC2: usize = 0x400F_E108;

/// The board; there is one.
pub struct Emulated {
    time: time::Time,
    pins: pins::Pins,
    cause: ResetCause,
}

impl Emulated {
    /// Sets everything up. Whoever calls it gives the processor's timer and interrupt controller away, so it is called
    /// once.
    pub fn new(timer: SYST, nvic: &mut NVIC) -> Self {
        register::write(RCGC1, (1 << 0) | (1 << 4) | (1 << 12) | (1 << 16));
        register::write(RCGC2, 0x3F);
        let cause = fault::cause();
        bus::set_up();
        display::set_up();
        serial::set_up();
        let pins = pins::Pins::set_up();
        let time = time::Time::new(timer);
        fault::set_up(nvic);
        for source in [pins::PORT_E, pins::PORT_F, serial::UART_0, fault::TIMER_0A] {
            // SAFETY: the handler of every one of these is below, and nothing relies on them being masked.
            unsafe { NVIC::unmask(register::Source(source)) };
        }
        Self { time, pins, cause }
    }
}

impl Board for Emulated {
    type Bus = Bus;

    const NAME: &'static str = "emulated";
    const CLOCK: ClockKind = ClockKind::Ds1338;
    const MEMORY: MemoryPart = MemoryPart::EEPROM_64K;
    const PROBE: u8 = 0x48;
    const SUPPLY: Supply = Supply::Bench;

    fn bus(&self) -> Bus {
        Bus
    }

    fn number(&self) -> Option<[u8; 8]> {
        None
    }

    fn uptime_ms(&mut self) -> u32 {
        self.time.uptime_ms()
    }

    fn sleep_until(&mut self, uptime_ms: u32) {
        fault::rest();
        self.time.sleep_until(uptime_ms, &mut || pins::changed() || serial::waiting());
        fault::watch();
    }

    fn buttons(&mut self) -> Buttons {
        self.pins.buttons()
    }

    fn show(&mut self, place: u8, strip: &Strip) {
        display::show(place, strip);
    }

    fn light(&mut self, on: bool) {
        display::light(on);
    }

    fn receive(&mut self, into: &mut [u8]) -> usize {
        serial::receive(into)
    }

    fn send(&mut self, bytes: &[u8]) {
        serial::send(bytes);
    }

    fn battery_mv(&mut self) -> Option<u16> {
        None
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
        fault::watch();
    }

    fn key_seed(&self) -> Option<[u8; 32]> {
        let mut seed = [0; 32];
        for (byte, place) in seed.iter_mut().zip(0..) {
            *byte = register::read_byte(SEED_AT.wrapping_add(place));
        }
        crate::board::seed_of(seed)
    }
}

/// Interrupts up to the last one that is used.
const INTERRUPTS: usize = pins::PORT_F as usize + 1;

/// The vectors of the board's interrupts, no more than there are: a table for every processor of its kind takes 240.
#[unsafe(link_section = ".vector_table.interrupts")]
#[unsafe(no_mangle)]
pub static __INTERRUPTS: [unsafe extern "C" fn(); INTERRUPTS] = [{
    unsafe extern "C" {
        fn DefaultHandler();
    }
    DefaultHandler
}; INTERRUPTS];

/// Every interrupt of the board comes here.
#[cortex_m_rt::exception]
unsafe fn DefaultHandler(number: i16) {
    match u16::try_from(number) {
        Ok(pins::PORT_E | pins::PORT_F) => pins::edge(),
        Ok(serial::UART_0) => serial::arrived(),
        Ok(fault::TIMER_0A) => fault::bite(),
        Ok(_) | Err(_) => {}
    }
}
