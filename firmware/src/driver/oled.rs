//! The display: 128 x 64 points, one colour, with its own memory (SSD1306 data sheet).
//!
//! What for: eight strips of eight lines, as the run loop draws them. A strip is a *page* of the part's memory: one byte a
//! column, its lowest bit the topmost line.
//! Why page addressing, with page and column sent before every strip: a byte that was lost or doubled on the way spoils the
//! strip it was in and nothing after it. Why the whole setting is sent again whenever the display is lit: a part that lost its
//! supply for a moment, or took a spark from a sleeve, is right again at the next press of a button.
//! Terms: *commands* go with the data line low, *data* with it high.
//! Invariants: every call makes a bounded number of transfers and stops at the first that fails; after a failure the part
//! counts as unknown, and the next strip sets it up first. It is lit only after its memory was cleared: what it holds when power
//! comes on is noise, and nobody must read noise.
//! What it does not do: read anything back (the part can't over these wires), or know what it shows.

use crate::board::{DISPLAY_HEIGHT, DISPLAY_WIDTH, Strip};
use embedded_hal::delay::DelayNs;
use embedded_hal::digital::OutputPin;
use embedded_hal::spi::SpiDevice;

/// Strips of the display.
const STRIPS: u8 = (DISPLAY_HEIGHT / 8) as u8;
/// Microseconds that the reset line is held low, and that the part is left alone after it. The data sheet asks for 3.
const RESET_US: u32 = 10;

const OFF: u8 = 0xAE;
const ON: u8 = 0xAF;
const PUMP: u8 = 0x8D;
const PUMP_OFF: u8 = 0x10;
const PUMP_ON: u8 = 0x14;
const PAGE: u8 = 0xB0;
const COLUMN_LOW: u8 = 0x00;
const COLUMN_HIGH: u8 = 0x10;

/// What the part is set to while it is still dark: what the data sheet's software configuration gives for 128 x 64 points and
/// the part's own charge pump, the contrast at its reset value.
const SETTING: [u8; 22] = [
    OFF, //
    0xD5, 0x80, // clock: divided by 1, as after a reset
    0xA8, 0x3F, // 64 lines
    0xD3, 0x00, // none of them shifted
    0x40, // the first line is the first
    0x20, 0x02, // page addressing
    0xA1, 0xC8, // columns and lines run from the plug's side
    0xDA, 0x12, // lines wired alternately
    0x81, 0x7F, // contrast
    0xD9, 0xF1, // charging phases for the pump
    0xDB, 0x40, // level of a point that is dark
    0xA4, 0xA6, // what is in the memory, and a bit that is set is lit
];

/// The display on its wires: the bus with its select line, the line that tells data from commands, and the reset line.
pub struct Oled<S, D, R, W> {
    bus: S,
    data_line: D,
    reset_line: R,
    wait: W,
    state: State,
}

/// What is known of the part.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum State {
    /// It was not set up, or a transfer failed since.
    Unknown,
    /// It is dark, and wants to be.
    Dark,
    /// It is set up and lit.
    Lit,
}

/// A transfer failed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct NotShown;

impl<S: SpiDevice, D: OutputPin, R: OutputPin, W: DelayNs> Oled<S, D, R, W> {
    /// A display that nothing is known of.
    pub const fn new(bus: S, data_line: D, reset_line: R, wait: W) -> Self {
        Self { bus, data_line, reset_line, wait, state: State::Unknown }
    }

    /// Lights it, all dark points, or puts it to sleep (a few microamperes).
    ///
    /// # Errors
    /// [`NotShown`] at the first transfer that failed.
    pub fn light(&mut self, on: bool) -> Result<(), NotShown> {
        self.state = State::Unknown;
        if on {
            self.set_up()
        } else {
            self.commands(&[OFF, PUMP, PUMP_OFF])?;
            self.state = State::Dark;
            Ok(())
        }
    }

    /// Shows eight lines; `place` counts strips from the top, 0 to 7. One beyond that, or on a display that was put to sleep, is
    /// not shown.
    ///
    /// # Errors
    /// [`NotShown`] at the first transfer that failed.
    pub fn show(&mut self, place: u8, strip: &Strip) -> Result<(), NotShown> {
        if place >= STRIPS {
            return Ok(());
        }
        match self.state {
            State::Dark => Ok(()),
            State::Unknown => {
                self.set_up()?;
                self.strip(place, strip)
            }
            State::Lit => self.strip(place, strip),
        }
    }

    fn set_up(&mut self) -> Result<(), NotShown> {
        self.state = State::Unknown;
        self.reset_line.set_low().map_err(|_| NotShown)?;
        self.wait.delay_us(RESET_US);
        self.reset_line.set_high().map_err(|_| NotShown)?;
        self.wait.delay_us(RESET_US);
        self.commands(&SETTING)?;
        for place in 0..STRIPS {
            self.strip(place, &[0; DISPLAY_WIDTH as usize])?;
        }
        self.commands(&[PUMP, PUMP_ON, ON])?; // the pump starts with the last of these
        self.state = State::Lit;
        Ok(())
    }

    fn strip(&mut self, place: u8, strip: &Strip) -> Result<(), NotShown> {
        self.commands(&[PAGE | place, COLUMN_LOW, COLUMN_HIGH])?;
        let sent = self.data_line.set_high().is_ok() && self.bus.write(strip).is_ok();
        self.seen(sent)
    }

    fn commands(&mut self, bytes: &[u8]) -> Result<(), NotShown> {
        let sent = self.data_line.set_low().is_ok() && self.bus.write(bytes).is_ok();
        self.seen(sent)
    }

    fn seen(&mut self, sent: bool) -> Result<(), NotShown> {
        if sent {
            Ok(())
        } else {
            self.state = State::Unknown;
            Err(NotShown)
        }
    }
}
