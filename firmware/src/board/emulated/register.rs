//! Reading and writing the board's registers.

use cortex_m::interrupt::InterruptNumber;

/// An interrupt by its number.
#[derive(Clone, Copy, Debug)]
pub(super) struct Source(pub(super) u16);

// SAFETY: the number is the one of the vector table, and it does not change.
unsafe impl InterruptNumber for Source {
    fn number(self) -> u16 {
        self.0
    }
}

pub(super) fn read(address: usize) -> u32 {
    // SAFETY: only addresses of registers of this board are asked for; they are words, and always there.
    unsafe { (address as *const u32).read_volatile() }
}

pub(super) fn write(address: usize, value: u32) {
    // SAFETY: as above; none of these registers touches memory that Rust knows of.
    unsafe { (address as *mut u32).write_volatile(value) }
}

pub(super) fn read_byte(address: usize) -> u8 {
    // SAFETY: only used for the key's page of the flash, which nothing writes.
    unsafe { (address as *const u8).read_volatile() }
}
