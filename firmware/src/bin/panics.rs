//! An image in which a panic is reachable: what `tests/image_panic_free` must find. No device runs it.
#![no_std]
#![no_main]

use core::hint::black_box;
use cortex_m_rt::entry;
use holdoff_firmware::board::emulated::restart;

#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    restart()
}

#[entry]
#[allow(clippy::indexing_slicing, reason = "the panic that is to be found")]
fn main() -> ! {
    black_box(black_box([0u8; 4])[black_box(5usize)]);
    restart()
}
