//! The clock chip whose time stands elsewhere (PCF8523 data sheet): twenty registers, and one of them that says since when nothing
//! can be believed.
#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a broken expectation must stop the test"
)]

use embedded_hal::delay::DelayNs;
use embedded_hal::i2c::{ErrorType, I2c, Operation};
use holdoff_firmware::board::{Bus, Lines};
use holdoff_firmware::driver::clock::{ClockChip, ClockFault, ClockKind, FIRST, LAST};
use std::convert::Infallible;

/// The chip as it is when both its supplies were gone: it may run, on 2000-01-01 or on noise, and its battery does not take
/// over.
struct Chip {
    registers: [u8; 20],
    pointer: usize,
}

impl Chip {
    fn powered() -> Self {
        let mut registers = [0; 20];
        registers[2] = 0xE0;
        registers[3..10].copy_from_slice(&[0x80, 0, 0, 1, 6, 1, 0]);
        Self { registers, pointer: 0 }
    }

    fn holding(time: [u8; 7]) -> Self {
        let mut chip = Self::powered();
        chip.registers[3..10].copy_from_slice(&time);
        chip
    }
}

impl ErrorType for Chip {
    type Error = Infallible;
}

impl DelayNs for Chip {
    fn delay_ns(&mut self, _: u32) {}
}

impl Bus for Chip {
    fn free(&mut self) -> Lines {
        Lines::Free
    }
}

impl I2c for Chip {
    fn transaction(&mut self, address: u8, operations: &mut [Operation<'_>]) -> Result<(), Infallible> {
        assert_eq!(address, 0x68);
        for operation in operations {
            match operation {
                Operation::Write(bytes) => {
                    let (first, values) = bytes.split_first().expect("a register");
                    self.pointer = usize::from(*first);
                    for value in values {
                        self.registers[self.pointer] = *value;
                        self.pointer += 1;
                    }
                }
                Operation::Read(into) => {
                    for byte in into.iter_mut() {
                        *byte = self.registers[self.pointer];
                        self.pointer += 1;
                    }
                }
            }
        }
        Ok(())
    }
}

const CLOCK: ClockChip = ClockChip::new(ClockKind::Pcf8523);

#[test]
fn a_chip_that_lost_its_supplies_tells_nothing_and_setting_it_puts_its_battery_on() {
    let mut chip = Chip::powered();
    assert_eq!(CLOCK.now(&mut chip), Err(ClockFault::Stopped));
    // 2026-11-26T06:30:00Z, a Thursday (CPython's datetime): the day stands before the weekday, and Sunday is 0
    CLOCK.set(&mut chip, 1_795_674_600).expect("it takes it");
    assert_eq!(chip.registers[3..10], [0x00, 0x30, 0x06, 0x26, 4, 0x11, 0x26]);
    assert_eq!(chip.registers[0] & 0x28, 0, "it must run, in 24-hour form");
    assert_eq!(chip.registers[2] >> 5, 0, "its battery must take over");
    assert_eq!(chip.registers[15] & 0x38, 0x38, "its clock output must be off");
    assert_eq!(CLOCK.now(&mut chip), Ok(1_795_674_600));
}

#[test]
fn every_week_from_2000_to_2099_is_told_as_it_was_set() {
    let mut chip = Chip::powered();
    for utc in (FIRST..=LAST).step_by(7 * 86_400 - 3_599) {
        CLOCK.set(&mut chip, utc).expect("it takes it");
        assert_eq!(CLOCK.now(&mut chip), Ok(utc));
    }
    // 2000-01-02T00:00:00Z was a Sunday
    CLOCK.set(&mut chip, 946_771_200).expect("it takes it");
    assert_eq!(chip.registers[7], 0);
}

#[test]
fn what_is_no_time_is_refused_in_this_chip_too() {
    let good = [0x59, 0x59, 0x23, 0x28, 0, 0x02, 0x23];
    assert!(CLOCK.now(&mut Chip::holding(good)).is_ok());
    for (register, byte) in [(0, 0x5A), (1, 0x60), (2, 0x24), (3, 0x29), (3, 0), (4, 7), (5, 0x13), (6, 0xA0)] {
        let mut wrong = good;
        wrong[register] = byte;
        assert_eq!(
            CLOCK.now(&mut Chip::holding(wrong)),
            Err(ClockFault::Impossible),
            "register {register} {byte:#04x}"
        );
    }
    assert_eq!(CLOCK.now(&mut Chip::holding([0x80 | 0x59, 0x59, 0x23, 0x28, 0, 2, 0x23])), Err(ClockFault::Stopped));
}
