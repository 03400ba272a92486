//! The logger on the emulated board.
#![no_std]
#![no_main]

use cortex_m_rt::entry;
use holdoff_firmware::board::emulated::{Emulated, restart};
use holdoff_firmware::run::Device;

/// A board's image has nobody to tell: it starts anew and says so in its log. No panic is reachable, so this is not
/// linked (`tests/image_panic_free` looks).
#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    restart()
}

#[entry]
fn main() -> ! {
    let Some(mut core) = cortex_m::Peripherals::take() else { restart() };
    let mut board = Emulated::new(core.SYST, &mut core.NVIC);
    let Some(device) = device() else { restart() };
    device.run(&mut board)
}

/// Makes the device at the start, in its place: an initial value would stand in the flash as well. By itself, so that what
/// that takes of the stack is given back.
#[inline(never)]
fn device() -> Option<&'static mut Device<Emulated>> {
    cortex_m::singleton!(DEVICE: Device<Emulated> = Device::new())
}
