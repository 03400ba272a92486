//! The whole group at a glance, in words: which may be torqued or loaded, and which not.

use super::canvas::{Canvas, Ink, WIDTH};
use super::font::{MIDDLE, SMALL};
use super::line::Line;
use super::{head, words};
use crate::view::{Glance, Overview};
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;

/// Rows of a side.
const ROWS: usize = 4;
/// Fixings that are seen at once.
const SEEN: usize = 2 * ROWS;
/// Top of the first row.
const TOP: i32 = 9;
/// From row to row.
const PITCH: i32 = 14;
/// Columns of a side.
const SIDE: i32 = WIDTH / 2;

/// The eight fixings around the chosen one, whose number is marked; above them how many of all may be loaded and torqued.
pub(super) fn draw<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Overview,
) -> Result<(), D::Error> {
    let count = |wanted: Glance| of.fixings.iter().filter(|glance| **glance == Some(wanted)).count() as u64; // 16 at most
    let mut sum = Line::of(words::MAY_LOAD);
    sum.number(count(Glance::Load)).and(words::MAY_TORQUE).number(count(Glance::Torque));
    canvas.text(&SMALL, 0, 0, &sum, Ink::Lit)?;
    head::demo(canvas, of.resin, WIDTH, 1)?;
    let chosen = usize::from(of.chosen.number.saturating_sub(1));
    let first = chosen / SEEN * SEEN;
    for (place, glance) in of.fixings.iter().enumerate().skip(first).take(SEEN) {
        let Some(glance) = glance else { continue };
        let cell = (place - first) as i32; // under 8
        let (x, y) = (cell / ROWS as i32 * SIDE, TOP + cell % ROWS as i32 * PITCH);
        let ink = if place == chosen {
            canvas.fill(x, y, 14, 13)?;
            Ink::Dark
        } else {
            Ink::Lit
        };
        let number = place.saturating_add(1) as u64; // 16 at most
        canvas.right(&SMALL, x + 13, y + 3, Line::of("").number(number), ink)?;
        word(canvas, (x + 16, y), *glance)?;
    }
    Ok(())
}

fn word<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    (x, y): (i32, i32),
    glance: Glance,
) -> Result<(), D::Error> {
    // what may be done now stands out
    let font = match glance {
        Glance::Load | Glance::Torque => &MIDDLE,
        Glance::NotInjected
        | Glance::Settling
        | Glance::Refused
        | Glance::SeatNow
        | Glance::TooLate
        | Glance::LeaveAlone
        | Glance::Held
        | Glance::Cured
        | Glance::DoNotLoad
        | Glance::AsIs
        | Glance::Removed => &SMALL,
    };
    canvas.words(font, x, y + (13 - font.height) / 2, words::glance(glance), Ink::Lit)
}
