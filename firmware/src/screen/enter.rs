//! A number is entered: the torque that was applied, the temperature of the cartridge.

use super::canvas::{Canvas, Ink, WIDTH};
use super::font::{MIDDLE, NUMBER, SMALL};
use super::line::Line;
use super::{card, cured, number, words};
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;
use holdoff_core::fixing::TorqueRange;
use holdoff_core::quantity::{Count, Torque};

/// Top of the title.
const TITLE: i32 = 10;
/// Top of the number.
const ENTRY: i32 = 21;

/// The torque, with what is specified.
pub(super) fn torque<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    torque: Torque,
    range: TorqueRange,
) -> Result<(), D::Error> {
    let mut value = Line::EMPTY;
    entry(canvas, words::TORQUED_WITH, number::torque(&mut value, torque), words::NEWTON_METRES)?;
    let mut specified = Line::of(words::SPECIFIED);
    if SMALL.width(cured::span(&mut specified, range).bytes()) > WIDTH {
        specified = Line::EMPTY;
        cured::span(&mut specified, range);
    }
    hints(canvas, &specified, words::STEPS)
}

/// The cartridge's temperature, with what the resin allows.
pub(super) fn cartridge<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    degrees: Option<i8>,
    (least, greatest): (Count, Count),
) -> Result<(), D::Error> {
    match degrees {
        Some(degrees) => {
            let mut value = Line::EMPTY;
            entry(canvas, words::CARTRIDGE, number::whole_degrees(&mut value, degrees), words::DEGREES)?;
        }
        None => {
            canvas.words(&SMALL, 0, TITLE, words::CARTRIDGE, Ink::Lit)?;
            canvas.centred_words(&MIDDLE, (0, WIDTH), ENTRY + 6, words::NOT_DECLARED, Ink::Lit)?;
        }
    }
    let mut allowed = Line::of(words::ALLOWED);
    number::tidy_degrees(&mut allowed, least).and(words::TO);
    number::tidy_degrees(&mut allowed, greatest).and(words::DEGREES);
    hints(canvas, &allowed, words::UP_DOWN)
}

fn entry<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    title: &str,
    value: &Line,
    unit: &str,
) -> Result<(), D::Error> {
    canvas.words(&SMALL, 0, TITLE, title, Ink::Lit)?;
    let unit = Line::of(unit);
    let beside = SMALL.width(unit.bytes()) + 5;
    let font = card::largest(value, WIDTH - beside);
    let left = (WIDTH - font.width(value.bytes()) - beside) / 2;
    let base = ENTRY + NUMBER.height;
    canvas.text(font, left, base - font.height, value, Ink::Lit)?;
    canvas.text(&SMALL, left + font.width(value.bytes()) + 5, base - SMALL.height, &unit, Ink::Lit)
}

fn hints<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    range: &Line,
    keys: &str,
) -> Result<(), D::Error> {
    canvas.centred(&SMALL, (0, WIDTH), 46, range, Ink::Lit)?;
    canvas.centred_words(&SMALL, (0, WIDTH), 55, keys, Ink::Lit)
}
