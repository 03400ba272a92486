//! The logger on an nRF52840 (`docs/hardware.md`).
#![no_std]
#![no_main]

use cortex_m_rt::entry;
use holdoff_firmware::board::nrf52840::{Nrf52840, restart};
use holdoff_firmware::run::Device;

/// A board's image has nobody to tell: it starts anew and says so in its log.
#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    restart()
}

#[entry]
fn main() -> ! {
    static mut DEVICE: Device<Nrf52840> = Device::new();
    let Some(mut board) = Nrf52840::new() else { restart() };
    DEVICE.run(&mut board)
}
