//! A board on a site: a recorded trace at its probe, and a pair of hands at its buttons.
//!
//! The probe gives the value of a row from that row's second on, until the next. It is set half a second before, so that a
//! reading of that second has it; whoever acts in the second before is done by then.
//! A row without a temperature: the emulator cannot unplug a probe, so from that row on it gives what lies outside any
//! probe's range. The logger refuses that, as it does when a probe does not answer; it never sees an assumed value.
//! Invariant: an action's confirming press falls into the very second it is meant for, or it is an error.

use super::{Button, EmulatorError, Machine};
use holdoff_core::quantity::Torque;
use holdoff_files::trace::{Row, Sample};

/// What the probe gives where the trace has no temperature: 127.9375 °C.
const NO_TEMPERATURE: i32 = 0x7FF;
/// Where in a second the board is held.
const PLACE_MS: i64 = 500;
/// So many presses are made in a second.
const PRESSES: i64 = 8;

/// A row for the probe.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Felt {
    /// The second it begins at.
    pub at: i64,
    /// Sixteenths of a degree Celsius.
    pub sixteenths: i32,
}

impl Felt {
    /// What a probe with steps of 1/16 °C gives for a row: rounded down, as a reading always is (rule Q1).
    #[must_use]
    pub fn of(row: &Row) -> Self {
        let sixteenths = match row.reading {
            Sample::Count(count) => i32::from(count.raw()) >> 4,
            Sample::PowerUp => 0,
            Sample::OutOfRange | Sample::Missing => NO_TEMPERATURE,
        };
        Self { at: row.seconds, sixteenths }
    }
}

/// A board with a trace at its probe.
#[derive(Debug)]
pub struct Site {
    /// The board.
    pub machine: Machine,
    rows: Vec<Felt>,
    next: usize,
}

impl Site {
    /// A board that measures these rows; they are in order.
    #[must_use]
    pub const fn new(machine: Machine, rows: Vec<Felt>) -> Self {
        Self { machine, rows, next: 0 }
    }

    /// Lets the board run to the middle of a second, its probe following the rows.
    ///
    /// # Errors
    /// The board is gone, or hangs.
    pub fn advance(&mut self, second: i64) -> Result<(), EmulatorError> {
        // a row of the next second is set after whatever is to be done in this one
        while let Some(row) = self.rows.get(self.next).copied().filter(|row| row.at <= second) {
            self.machine.run_to(row.at * 1000 - PLACE_MS)?;
            self.machine.measure(row.sixteenths)?;
            self.next += 1;
        }
        self.machine.run_to(second * 1000 + PLACE_MS)
    }

    /// Sets the probe to what is due by now, after something was done in the second before a row's.
    fn keep_up(&mut self) -> Result<(), EmulatorError> {
        let now = self.machine.now_ms()?;
        while let Some(row) = self.rows.get(self.next).copied()
            && row.at * 1000 - PLACE_MS <= now
        {
            self.machine.measure(row.sixteenths)?;
            self.next += 1;
        }
        Ok(())
    }

    /// Presses a button, here and now.
    ///
    /// # Errors
    /// The board is gone, or hangs.
    pub fn press(&mut self, button: Button) -> Result<(), EmulatorError> {
        self.machine.press(button)?;
        self.keep_up()
    }

    /// Presses buttons, one after another.
    ///
    /// # Errors
    /// As [`Self::press`].
    pub fn press_all(&mut self, buttons: &[Button]) -> Result<(), EmulatorError> {
        buttons.iter().try_for_each(|button| self.press(*button))
    }

    /// Presses buttons so that the last press falls into a second. With one fixing in the group, it begins from whatever is
    /// shown: the display is lit, and what stood there is left.
    ///
    /// # Errors
    /// The second is over before the last button's turn; or the board is gone, or hangs.
    pub fn press_by(&mut self, second: i64, buttons: &[Button]) -> Result<(), EmulatorError> {
        let Some((last, before)) = buttons.split_last() else { return Ok(()) };
        let count = i64::try_from(before.len()).unwrap_or(i64::MAX / 2) + 2;
        let lead = 2 + count / PRESSES;
        if self.machine.now_ms()? < (second - lead) * 1000 {
            self.advance(second - lead)?;
        }
        // lights a dark display; leaves whatever a lit one shows for the fixing's status
        self.press_all(&[Button::Right, Button::Right])?;
        self.press_all(before)?;
        self.advance(second)?;
        let now = self.machine.now_ms()?;
        if now.div_euclid(1000) != second {
            return Err(EmulatorError::Late { second, now: now.div_euclid(1000) });
        }
        self.machine.press_down(*last)?;
        // what the board read last before it did it; to sign a release may take it into the next second
        let seen = i64::from(self.machine.words()?.chip_seconds);
        self.machine.let_go(*last)?;
        if seen != second.rem_euclid(86_400) {
            return Err(EmulatorError::Late { second, now: now.div_euclid(1000) });
        }
        self.keep_up()
    }
}

/// What is done to the one fixing of a group, as presses from its status page; the last one confirms it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Deed {
    /// Starts the injection, the cartridge's temperature undeclared.
    Inject,
    /// Seats the element.
    Seat,
    /// Torques the cured fixing; the entry begins at the second value.
    Torque(Torque, Torque),
    /// Torques it before it is cured.
    TorqueEarly(Torque, Torque),
}

impl Deed {
    /// The presses.
    #[must_use]
    pub fn presses(self) -> Vec<Button> {
        use Button::{Down, Right, Select};
        let (chosen, entered) = match self {
            Self::Inject => (vec![Select, Select, Select], Vec::new()),
            Self::Seat => (vec![Select, Select], Vec::new()),
            // the second item of the menu, after the question whether it may be
            Self::Torque(torque, from) | Self::TorqueEarly(torque, from) => {
                let mut entered = entry(torque, from);
                entered.push(Select);
                (vec![Select, Down, Select], entered)
            }
        };
        chosen.into_iter().chain(entered).chain([Right, Select]).collect()
    }
}

/// Up and down are a newton metre, right and left a tenth.
fn entry(torque: Torque, from: Torque) -> Vec<Button> {
    let tenths = (i64::from(torque.hundredths()) - i64::from(from.hundredths())) / 10;
    let (whole, part) = (tenths / 10, tenths % 10);
    let many = |count: i64, more, less| {
        let button = if count < 0 { less } else { more };
        std::iter::repeat_n(button, usize::try_from(count.abs()).unwrap_or(0))
    };
    many(whole, Button::Up, Button::Down).chain(many(part, Button::Right, Button::Left)).collect()
}
