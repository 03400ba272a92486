//! The link's serial port, with a ring that the interrupt fills.
//!
//! Invariant: the interrupt alone moves the ring's head, the run loop alone its tail. What finds the ring full is lost;
//! the link's frames are checked, so that it is asked for again.

use super::published::{HOLDOFF_WORDS, count};
use super::register::{read, write};
use core::sync::atomic::{AtomicU8, AtomicUsize, Ordering};

/// The interrupt of the port.
pub(super) const UART_0: u16 = 5;

const BASE: usize = 0x4000_C000;
const DATA: usize = BASE;
const FLAGS: usize = BASE + 0x18;
const RATE_WHOLE: usize = BASE + 0x24;
const RATE_PART: usize = BASE + 0x28;
const LINE: usize = BASE + 0x2C;
const CONTROL: usize = BASE + 0x30;
const MASK: usize = BASE + 0x38;
const CLEAR: usize = BASE + 0x44;
const NOTHING_IN: u32 = 0x10;
const FULL_OUT: u32 = 0x20;
const ARRIVED: u32 = 0x50;

const RING: usize = 256;
static BYTES: [AtomicU8; RING] = [const { AtomicU8::new(0) }; RING];
static HEAD: AtomicUsize = AtomicUsize::new(0);
static TAIL: AtomicUsize = AtomicUsize::new(0);

pub(super) fn set_up() {
    write(CONTROL, 0);
    write(RATE_WHOLE, 6); // 12.5 MHz / (16 x 115 200) = 6 + 50/64
    write(RATE_PART, 50);
    write(LINE, 0x70); // eight bits, queues on
    write(MASK, ARRIVED);
    write(CONTROL, 0x301);
}

/// The interrupt: takes all that is there.
pub(super) fn arrived() {
    while read(FLAGS) & NOTHING_IN == 0 {
        let byte = read(DATA).to_le_bytes()[0];
        count(&HOLDOFF_WORDS.received, 1);
        let head = HEAD.load(Ordering::Relaxed);
        let next = (head + 1) % RING;
        if next != TAIL.load(Ordering::Relaxed)
            && let Some(place) = BYTES.get(head)
        {
            place.store(byte, Ordering::Relaxed);
            HEAD.store(next, Ordering::Release);
        }
    }
    write(CLEAR, ARRIVED);
}

pub(super) fn waiting() -> bool {
    HEAD.load(Ordering::Acquire) != TAIL.load(Ordering::Relaxed)
}

pub(super) fn receive(into: &mut [u8]) -> usize {
    let mut taken = 0;
    for place in into {
        if !waiting() {
            break;
        }
        let tail = TAIL.load(Ordering::Relaxed);
        let Some(byte) = BYTES.get(tail) else { break };
        *place = byte.load(Ordering::Relaxed);
        TAIL.store((tail + 1) % RING, Ordering::Release);
        taken += 1;
    }
    taken
}

pub(super) fn send(bytes: &[u8]) {
    for byte in bytes {
        while read(FLAGS) & FULL_OUT != 0 {}
        write(DATA, u32::from(*byte));
    }
}
