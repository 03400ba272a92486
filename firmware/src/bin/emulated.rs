//! The logger on the emulated board.
#![no_std]
#![no_main]

use cortex_m_rt::entry;
use holdoff_firmware::board::emulated::{Emulated, restart};
use holdoff_firmware::run::Device;

/// A board's image has nobody to tell: it starts anew and says so in its log. No panic is reachable, so this is not
/// linked (`tests/firmware_budget` looks).
#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    restart()
}

#[entry]
fn main() -> ! {
    static mut DEVICE: Device<Emulated> = Device::new();
    let Some(mut core) = cortex_m::Peripherals::take() else { restart() };
    let mut board = Emulated::new(core.SYST, &mut core.NVIC);
    DEVICE.run(&mut board)
}
