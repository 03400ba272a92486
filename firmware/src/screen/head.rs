//! What stands at the head of every screen of a fixing: which one, how warm, what time, what it is called.

use super::canvas::{Canvas, Ink, WIDTH};
use super::font::SMALL;
use super::line::Line;
use super::{number, words};
use crate::view::{Alert, Around, Battery, Head};
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;
use holdoff_core::resin::ResinUse;

/// The top of the capitals of the first row.
const FIRST: i32 = 0;
/// The top of the capitals of the second row.
const SECOND: i32 = 9;
/// Where the temperature ends.
const LEFT_OF_CLOCK: i32 = 97;

/// Both rows: number, temperature, time; label and demo mark.
pub(super) fn head<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    head: &Head,
) -> Result<(), D::Error> {
    number_and_time(canvas, head)?;
    canvas.right(&SMALL, LEFT_OF_CLOCK, FIRST, &temperature(&head.around), Ink::Lit)?;
    canvas.words(&SMALL, 0, SECOND, head.label.text(), Ink::Lit)?;
    demo(canvas, head.resin, WIDTH, SECOND)
}

/// The first row alone, where a screen needs the room; the mark of an invented resin then stands for the temperature.
pub(super) fn first_row<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    head: &Head,
) -> Result<(), D::Error> {
    number_and_time(canvas, head)?;
    match head.resin {
        ResinUse::OnSite => canvas.right(&SMALL, LEFT_OF_CLOCK, FIRST, &temperature(&head.around), Ink::Lit),
        ResinUse::Demo => demo(canvas, head.resin, LEFT_OF_CLOCK, FIRST + 1),
    }
}

fn number_and_time<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    head: &Head,
) -> Result<(), D::Error> {
    canvas.text(&SMALL, 0, FIRST, number::which(&mut Line::of(""), head.which), Ink::Lit)?;
    marks_and_time(canvas, &head.around)
}

/// Temperature, marks and time on the right of the first row.
pub(super) fn around<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    around: &Around,
) -> Result<(), D::Error> {
    canvas.right(&SMALL, LEFT_OF_CLOCK, FIRST, &temperature(around), Ink::Lit)?;
    marks_and_time(canvas, around)
}

fn marks_and_time<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    around: &Around,
) -> Result<(), D::Error> {
    canvas.right(&SMALL, WIDTH, FIRST, &clock(around), Ink::Lit)?;
    // marks stand between number and temperature, where the rarest widths leave room for them
    match around.alert {
        Alert::None => {}
        Alert::Fault => canvas.words(&SMALL, 43, FIRST, words::LAX, Ink::Lit)?,
    }
    battery(canvas, around.battery)
}

/// The last accepted reading with its degree sign.
pub(super) fn temperature(around: &Around) -> Line {
    let mut line = Line::EMPTY;
    number::reading(&mut line, around.temperature).and(words::DEGREE);
    line
}

/// The time of day.
pub(super) fn clock(around: &Around) -> Line {
    let mut line = Line::EMPTY;
    match around.now {
        Some(now) => number::clock(&mut line, now),
        None => line.and(words::NO_CLOCK),
    };
    line
}

/// The mark of an invented resin, dark on lit, up to the column before `end`.
pub(super) fn demo<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    resin: ResinUse,
    end: i32,
    y: i32,
) -> Result<(), D::Error> {
    match resin {
        ResinUse::OnSite => Ok(()),
        ResinUse::Demo => {
            canvas.fill(end - 25, y - 1, 25, 9)?;
            canvas.right(&SMALL, end - 1, y, &Line::of(words::DEMO), Ink::Dark)
        }
    }
}

/// A battery with little in it, or nothing; a good one is not worth a mark.
fn battery<D: DrawTarget<Color = BinaryColor>>(canvas: &mut Canvas<'_, D>, battery: Battery) -> Result<(), D::Error> {
    let filled = match battery {
        Battery::Good => return Ok(()),
        Battery::Low => 2,
        Battery::VeryLow => 0,
    };
    canvas.frame(50, FIRST, 9, 7)?;
    canvas.fill(59, FIRST + 2, 1, 3)?;
    canvas.fill(52, FIRST + 2, filled, 3)
}
