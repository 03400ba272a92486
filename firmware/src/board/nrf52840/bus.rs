//! The two-wire bus, at 100 kHz.
//!
//! Why the driver is made anew for every transfer: then it draws nothing in between, the pins are free for clock pulses, and
//! whatever a transfer that ran out of time left behind is switched off with it.
//! Why writes are joined here: several writes of one transaction belong together without a repeated start (`embedded-hal`), and
//! the memory takes the address and what follows it as one. The hardware would start anew between them.
//! Invariant: no transfer takes longer than [`LONGEST_MS`]; the time is the crystal's, not a count of turns.
//! What it does not do: any transaction but writes, one read, or writes before one read; no driver here asks for another.

use super::Irqs;
use crate::board::{self, Lines};
use crate::driver::wires;
use core::cell::RefCell;
use embassy_nrf::Peri;
use embassy_nrf::gpio::{Flex, OutputDrive, Pull};
use embassy_nrf::peripherals::{P0_26, P0_27, TWISPI0};
use embassy_nrf::twim::{self, Twim};
use embassy_time::Duration;
use embedded_hal::delay::DelayNs;
use embedded_hal::i2c::{self, ErrorKind, ErrorType, I2c, Operation};

/// The longest that is written at once: an offset in the memory, and a part page.
const LONGEST: usize = 2 + super::MEMORY.page as usize;
/// Milliseconds after which a transfer is given up. A page of the log takes 47 to read.
const LONGEST_MS: u64 = 100;
/// Cycles of the processor in a microsecond.
const CYCLES_IN_US: u32 = 64;

/// The bus with its pins.
pub(super) struct Wires {
    twim: Peri<'static, TWISPI0>,
    sda: Peri<'static, P0_26>,
    scl: Peri<'static, P0_27>,
    /// What is written: the hardware reads RAM only.
    written: [u8; LONGEST],
}

impl Wires {
    pub(super) const fn new(
        twim: Peri<'static, TWISPI0>,
        sda: Peri<'static, P0_26>,
        scl: Peri<'static, P0_27>,
    ) -> Self {
        Self { twim, sda, scl, written: [0; LONGEST] }
    }
}

/// A handle to the bus.
#[derive(Clone, Copy)]
pub struct Bus(pub(super) &'static RefCell<Wires>);

/// Why a transfer failed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum BusError {
    /// The hardware says so.
    Transfer(twim::Error),
    /// A transaction of a shape that is not supported, or too long.
    Shape,
}

impl i2c::Error for BusError {
    fn kind(&self) -> ErrorKind {
        match self {
            Self::Transfer(error) => i2c::Error::kind(error),
            Self::Shape => ErrorKind::Other,
        }
    }
}

impl ErrorType for Bus {
    type Error = BusError;
}

/// Waits, awake.
#[derive(Clone, Copy)]
pub(super) struct Wait;

impl DelayNs for Wait {
    /// Never shorter; longer by what memory waits add.
    fn delay_ns(&mut self, ns: u32) {
        cortex_m::asm::delay((ns / 1000 + 1).saturating_mul(CYCLES_IN_US));
    }
}

impl DelayNs for Bus {
    fn delay_ns(&mut self, ns: u32) {
        Wait.delay_ns(ns);
    }
}

impl board::Bus for Bus {
    fn free(&mut self) -> Lines {
        let Ok(mut wires) = self.0.try_borrow_mut() else { return Lines::Held };
        let Wires { sda, scl, .. } = &mut *wires;
        let mut scl = open_drain(Flex::new(scl.reborrow()));
        let mut sda = open_drain(Flex::new(sda.reborrow()));
        wires::free(&mut scl, &mut sda, &mut Wait)
    }
}

fn open_drain(mut pin: Flex<'_>) -> Flex<'_> {
    pin.set_high();
    pin.set_as_input_output(Pull::Up, OutputDrive::Standard0Disconnect1);
    pin
}

impl I2c for Bus {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), BusError> {
        let mut wires = self.0.try_borrow_mut().map_err(|_| BusError::Shape)?;
        let Wires { twim, sda, scl, written } = &mut *wires;
        let mut length = 0usize;
        let mut reads = None;
        for operation in operations {
            match operation {
                Operation::Write(bytes) if reads.is_none() => {
                    let end = length.saturating_add(bytes.len());
                    written.get_mut(length..end).ok_or(BusError::Shape)?.copy_from_slice(bytes);
                    length = end;
                }
                Operation::Read(into) if reads.is_none() => reads = Some(into),
                Operation::Write(_) | Operation::Read(_) => return Err(BusError::Shape),
            }
        }
        let written = written.get(..length).ok_or(BusError::Shape)?;
        let mut twim =
            Twim::new(twim.reborrow(), Irqs, sda.reborrow(), scl.reborrow(), twim::Config::default(), &mut []);
        let longest = Duration::from_millis(LONGEST_MS);
        match reads {
            Some(into) if written.is_empty() => twim.blocking_read_timeout(address, into, longest),
            Some(into) => twim.blocking_write_read_timeout(address, written, into, longest),
            None => twim.blocking_write_timeout(address, written, longest),
        }
        .map_err(BusError::Transfer)
    }
}
