//! The logger on the emulated board.
#![no_std]
#![no_main]

use cortex_m_rt::entry;
use embedded_hal::i2c::I2c;
use holdoff_firmware::board::Board;
use holdoff_firmware::board::emulated::{Emulated, restart};

/// A board's image has nobody to tell: it starts anew and says so in its log. No panic is reachable, so this is not
/// linked (`tests/firmware_budget` looks).
#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    restart()
}

#[entry]
fn main() -> ! {
    let Some(mut core) = cortex_m::Peripherals::take() else { restart() };
    let mut board = Emulated::new(core.SYST, &mut core.NVIC);
    let mut bus = board.bus();
    let mut line = [0u8; 32];
    let mut strip = [0u8; 128];
    let mut turn = 0u8;
    loop {
        board.feed_watchdog();
        let mut time = [0u8; 7];
        let _ = bus.write_read(0x68, &[0], &mut time);
        let _ = bus.write(0x48, &[1, 0x60]);
        let mut probe = [0u8; 2];
        if bus.write_read(0x48, &[0], &mut probe).is_err() {
            board.send(b"no probe\n");
        }
        let _ = bus.write(0x50, &[0, turn, probe[0], probe[1], time[0]]);
        let buttons = board.buttons();
        board.send(&probe);
        let got = board.receive(&mut line);
        board.send(line.get(..got).unwrap_or(&[]));
        if buttons.up {
            strip.fill(0xAA);
        } else {
            strip.fill(turn);
        }
        board.show(0, &strip);
        turn = turn.wrapping_add(1);
        let now = board.uptime_ms();
        board.sleep_until(now.wrapping_add(10_000));
    }
}
