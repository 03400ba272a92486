//! The link's serial port: 115 200 baud, eight bits, no parity, on only while a PC's line is there.
//!
//! Why not always on: a receiver that listens keeps the fast clock running and draws a hundred times what the sleeping logger
//! does. An idle serial line is high; with no plug in, the resistor of the board holds it low. A line that rises wakes the
//! board and switches the port on, one that stays low for [`UNPLUGGED_MS`] switches it off.
//! What finds the ring full is lost; the link's frames are checked, so that it is asked for again.
//! Invariant: whoever makes the port takes its parts out of the air, so there is one at most: [`Serial`] makes it only when it has
//! none.
#![allow(unsafe_code, reason = "a port that is switched off and on again needs its parts again")]

use super::Irqs;
use super::pins::Watched;
use super::time::uptime_ms;
use core::pin::pin;
use core::ptr;
use core::task::{Context, Poll, Waker};
use embassy_nrf::buffered_uarte::{Baudrate, BufferedUarte};
use embassy_nrf::gpio::Pull;
use embassy_nrf::peripherals::{P0_06, P0_08, PPI_CH0, PPI_CH1, PPI_GROUP0, TIMER1, UARTE0};
use embassy_nrf::{Peri, pac, uarte};

/// Milliseconds of a low line after which nobody is there.
const UNPLUGGED_MS: u32 = 2_000;
/// Milliseconds that sending waits for room, and no longer: 64 bytes take 6.
const FULL_MS: u32 = 100;
/// The longest frame of the link, coded (305 bytes), and the beginning of the next.
const RING: usize = 320;
const OUT: usize = 64;

static mut RECEIVED: [u8; RING] = [0; RING];
static mut SENT: [u8; OUT] = [0; OUT];

/// What the port is made of. Held here while the port is off, so that nobody else takes it.
pub(super) struct Parts {
    pub(super) uarte: Peri<'static, UARTE0>,
    pub(super) timer: Peri<'static, TIMER1>,
    pub(super) channels: (Peri<'static, PPI_CH0>, Peri<'static, PPI_CH1>, Peri<'static, PPI_GROUP0>),
    pub(super) receive: Peri<'static, P0_08>,
    pub(super) send: Peri<'static, P0_06>,
}

/// The port.
pub(super) struct Serial {
    line: Watched,
    parts: Parts,
    port: Option<BufferedUarte<'static>>,
    /// Since when the line has been low.
    low_since: Option<u32>,
}

impl Serial {
    pub(super) fn new(parts: Parts) -> Self {
        // SAFETY: here the pin is only looked at, and the port sets it up as an input as well.
        let line = Watched::new(unsafe { parts.receive.clone_unchecked() }, Pull::None);
        Self { line, parts, port: None, low_since: None }
    }

    /// Switches the port on where a line is there, and off where it is not any more.
    fn look(&mut self) {
        let now = uptime_ms();
        if self.line.is_high() {
            self.low_since = None;
            if self.port.is_none() {
                self.port = Some(port(&self.parts));
            }
        } else if self.port.is_some() {
            let since = *self.low_since.get_or_insert(now);
            if now.wrapping_sub(since) >= UNPLUGGED_MS {
                self.switch_off();
            }
        }
    }

    fn switch_off(&mut self) {
        self.port = None;
        self.low_since = None;
        // a timer that is only stopped goes on drawing current (the part's errata)
        pac::TIMER1.tasks_shutdown().write_value(1);
        self.line.listen();
    }

    /// Whether there is something to receive, or to see to; if not, the line wakes the board.
    pub(super) fn waiting(&mut self) -> bool {
        match &mut self.port {
            Some(port) => {
                // asking when nothing is there makes the next byte wake
                let waits = poll_once(pin!(port.fill_buf())).is_ready();
                waits || !self.line.is_high() && self.low_since.is_none()
            }
            None => {
                self.line.watch();
                self.line.is_high()
            }
        }
    }

    pub(super) fn receive(&mut self, into: &mut [u8]) -> usize {
        self.look();
        let Some(port) = &mut self.port else { return 0 };
        let taken = match poll_once(pin!(port.read(into))) {
            Poll::Ready(Ok(taken)) => taken,
            Poll::Ready(Err(_)) | Poll::Pending => 0,
        };
        if taken > 0 {
            self.low_since = None;
        }
        taken
    }

    pub(super) fn send(&mut self, bytes: &[u8]) {
        let Some(port) = &mut self.port else { return };
        let mut rest = bytes;
        let mut since = uptime_ms();
        while !rest.is_empty() {
            let sent = port.try_write(rest).unwrap_or(0);
            rest = rest.get(sent..).unwrap_or(&[]);
            let now = uptime_ms();
            if sent > 0 {
                since = now;
            } else if now.wrapping_sub(since) >= FULL_MS {
                return; // nobody takes it; who asked will ask again
            }
        }
    }
}

/// Looks once whether a future is ready.
fn poll_once<T>(future: core::pin::Pin<&mut impl Future<Output = T>>) -> Poll<T> {
    future.poll(&mut Context::from_waker(Waker::noop()))
}

/// Switches the port on.
fn port(parts: &Parts) -> BufferedUarte<'static> {
    let mut config = uarte::Config::default();
    config.baudrate = Baudrate::Baud115200;
    // SAFETY: these are the parts of the one `Serial`, which calls this only while it has no port that uses them; the two rings
    // are used by the port alone.
    unsafe {
        let (first, second, group) = &parts.channels;
        BufferedUarte::new(
            parts.uarte.clone_unchecked(),
            parts.timer.clone_unchecked(),
            first.clone_unchecked(),
            second.clone_unchecked(),
            group.clone_unchecked(),
            parts.receive.clone_unchecked(),
            parts.send.clone_unchecked(),
            Irqs,
            config,
            &mut *ptr::addr_of_mut!(RECEIVED),
            &mut *ptr::addr_of_mut!(SENT),
        )
    }
}
