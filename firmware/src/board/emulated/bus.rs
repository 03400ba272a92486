//! The two-wire bus.
//!
//! What it cannot do: a repeated start, which the emulator does not know. Where the direction changes, the transaction is
//! stopped and begun again; the parts keep their register pointer over that. Data that is not acknowledged is never
//! reported, only an address.

use super::published;
use super::register::{read, write};
use crate::board::{self, Lines};
use embedded_hal::delay::DelayNs;
use embedded_hal::i2c::{ErrorKind, ErrorType, I2c, NoAcknowledgeSource, Operation};

const BASE: usize = 0x4002_0000;
const ADDRESS: usize = BASE;
const CONTROL: usize = BASE + 4;
const DATA: usize = BASE + 8;
const ENABLE: usize = BASE + 0x20;

const RUN: u32 = 1;
const START: u32 = 2;
const STOP: u32 = 4;
const ACK: u32 = 8;
const ERROR: u32 = 2;
const LOST: u32 = 16;

/// A handle to the bus.
#[derive(Clone, Copy, Debug)]
pub struct Bus;

/// Why a transfer ended early.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct NoPart;

impl embedded_hal::i2c::Error for NoPart {
    fn kind(&self) -> ErrorKind {
        ErrorKind::NoAcknowledge(NoAcknowledgeSource::Address)
    }
}

impl ErrorType for Bus {
    type Error = NoPart;
}

impl DelayNs for Bus {
    fn delay_ns(&mut self, ns: u32) {
        // two instructions a turn of 64 ns each, as the emulator is started; never shorter
        cortex_m::asm::delay(ns / 64);
    }
}

impl board::Bus for Bus {
    /// Nothing on the emulated bus can hold it.
    fn free(&mut self) -> Lines {
        stop();
        Lines::Free
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Direction {
    Write,
    Read,
}

pub(super) fn set_up() {
    write(ENABLE, 0x10);
}

/// Ends whatever goes on.
pub(super) fn stop() {
    write(CONTROL, STOP);
}

fn start(address: u8, direction: Direction) -> Result<(), NoPart> {
    let read_bit = match direction {
        Direction::Write => 0,
        Direction::Read => 1,
    };
    write(ADDRESS, (u32::from(address) << 1) | read_bit);
    write(CONTROL, START);
    answered()
}

fn answered() -> Result<(), NoPart> {
    if read(CONTROL) & (ERROR | LOST) == 0 {
        Ok(())
    } else {
        stop();
        Err(NoPart)
    }
}

impl I2c for Bus {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), NoPart> {
        let mut running = None;
        for operation in operations {
            let direction = match operation {
                Operation::Write(_) => Direction::Write,
                Operation::Read(_) => Direction::Read,
            };
            if running != Some(direction) {
                if running.is_some() {
                    stop();
                }
                start(address, direction)?;
                running = Some(direction);
            }
            match operation {
                Operation::Write(bytes) => {
                    for byte in bytes.iter() {
                        write(DATA, u32::from(*byte));
                        write(CONTROL, RUN);
                        answered()?;
                    }
                }
                Operation::Read(bytes) => {
                    for byte in bytes.iter_mut() {
                        write(CONTROL, RUN | ACK);
                        answered()?;
                        *byte = read(DATA).to_le_bytes()[0];
                    }
                    published::seen(address, bytes);
                }
            }
        }
        if running.is_some() {
            stop();
        }
        Ok(())
    }
}
