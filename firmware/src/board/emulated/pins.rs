//! The five buttons: up, down, left, right on port E, select on port F, low when pressed.
//!
//! Why a line counts only after it was seen high: the emulator drives none of them before the first press and release.

use super::register::{read, write};
use crate::board::Buttons;
use core::sync::atomic::{AtomicBool, Ordering};

/// The interrupt of port E.
pub(super) const PORT_E: u16 = 4;
/// The interrupt of port F.
pub(super) const PORT_F: u16 = 30;

const E: usize = 0x4002_4000;
const F: usize = 0x4002_5000;
const E_LINES: u32 = 0x0F;
const F_LINES: u32 = 0x02;
/// Data of all lines of a port.
const DATA: usize = 0x3FC;
const BOTH_EDGES: usize = 0x408;
const MASK: usize = 0x410;
const CLEAR: usize = 0x41C;
const DIGITAL: usize = 0x51C;

static CHANGED: AtomicBool = AtomicBool::new(false);

#[derive(Debug)]
pub(super) struct Pins {
    /// Lines of E that were seen high, and those of F above them.
    seen_high: u32,
}

impl Pins {
    pub(super) fn set_up() -> Self {
        for (port, lines) in [(E, E_LINES), (F, F_LINES)] {
            write(port + DIGITAL, lines);
            write(port + BOTH_EDGES, lines);
            write(port + CLEAR, lines);
            write(port + MASK, lines);
        }
        Self { seen_high: 0 }
    }

    pub(super) fn buttons(&mut self) -> Buttons {
        CHANGED.store(false, Ordering::Relaxed);
        let lines = (read(E + DATA) & E_LINES) | ((read(F + DATA) & F_LINES) << 4);
        self.seen_high |= lines;
        let down = self.seen_high & !lines;
        Buttons {
            up: down & 1 != 0,
            down: down & 2 != 0,
            left: down & 4 != 0,
            right: down & 8 != 0,
            select: down & (F_LINES << 4) != 0,
        }
    }
}

/// Whether a line has changed since the buttons were last looked at.
pub(super) fn changed() -> bool {
    CHANGED.load(Ordering::Relaxed)
}

pub(super) fn edge() {
    write(E + CLEAR, E_LINES);
    write(F + CLEAR, F_LINES);
    CHANGED.store(true, Ordering::Relaxed);
}
