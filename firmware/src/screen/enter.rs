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
    entry(canvas, words::TORQUED_WITH, &number::torque(Line::EMPTY, torque), words::NEWTON_METRES)?;
    let specified = cured::span(Line::of(words::SPECIFIED), range);
    let specified = if SMALL.width(specified.bytes()) <= WIDTH { specified } else { cured::span(Line::EMPTY, range) };
    hints(canvas, &specified, words::STEPS)
}

/// The cartridge's temperature, with what the resin allows.
pub(super) fn cartridge<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    degrees: Option<i8>,
    (least, greatest): (Count, Count),
) -> Result<(), D::Error> {
    match degrees {
        Some(degrees) => entry(canvas, words::CARTRIDGE, &number::whole_degrees(degrees), words::DEGREES)?,
        None => {
            canvas.text(&SMALL, 0, TITLE, &Line::of(words::CARTRIDGE), Ink::Lit)?;
            canvas.centred(&MIDDLE, (0, WIDTH), ENTRY + 6, &Line::of(words::NOT_DECLARED), Ink::Lit)?;
        }
    }
    let allowed = number::tidy_degrees(Line::of(words::ALLOWED), least).and(words::TO);
    hints(canvas, &number::tidy_degrees(allowed, greatest).and(words::DEGREES), words::UP_DOWN)
}

fn entry<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    title: &str,
    value: &Line,
    unit: &str,
) -> Result<(), D::Error> {
    canvas.text(&SMALL, 0, TITLE, &Line::of(title), Ink::Lit)?;
    let unit = Line::of(unit);
    let beside = MIDDLE.width(unit.bytes()) + 5;
    let font = card::largest(value, WIDTH - beside);
    let left = (WIDTH - font.width(value.bytes()) - beside) / 2;
    let base = ENTRY + NUMBER.height;
    canvas.text(font, left, base - font.height, value, Ink::Lit)?;
    canvas.text(&MIDDLE, left + font.width(value.bytes()) + 5, base - MIDDLE.height, &unit, Ink::Lit)
}

fn hints<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    range: &Line,
    keys: &str,
) -> Result<(), D::Error> {
    canvas.centred(&SMALL, (0, WIDTH), 46, range, Ink::Lit)?;
    canvas.centred(&SMALL, (0, WIDTH), 55, &Line::of(keys), Ink::Lit)
}
