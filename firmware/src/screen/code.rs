//! The release code as a picture, its short form, and what is said where there is none.

use super::canvas::{Canvas, Ink, WIDTH};
use super::card::Card;
use super::font::{LARGE, SMALL};
use super::line::Line;
use super::{head, number, words};
use crate::view::{Head, Picture};
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;
use holdoff_core::seal::{MODULES, SHORT_TEXT, ShortForm};

/// Side of the lit square that the code stands in: more than the four light modules that it needs around it.
const SQUARE: u32 = 64;
/// Where the code begins in it.
const INSET: i32 = (SQUARE as i32 - MODULES as i32) / 2;
/// Left edge of the words beside it.
const BESIDE: i32 = SQUARE as i32 + 4;
/// Characters of a label that fit beside it.
const MOST: usize = 10;

/// The code, one dot a module, as large as 64 lines allow, with what it is of beside it.
pub(super) fn picture<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    of: &Head,
    picture: &Picture<'_>,
) -> Result<(), D::Error> {
    canvas.fill(0, 0, SQUARE, SQUARE)?;
    canvas.dark_points((INSET, INSET), MODULES, |x, y| picture.0.is_dark(x, y))?;
    canvas.text(&SMALL, BESIDE, 0, number::which(&mut Line::of(""), of.which), Ink::Lit)?;
    let label = Line::of(of.label.text());
    let (first, rest) = label.split(MOST);
    for (y, part) in [(9, first), (19, rest)] {
        canvas.text(&SMALL, BESIDE, y, Line::of("").bytes_of(part), Ink::Lit)?;
    }
    canvas.words(&SMALL, BESIDE, 30, words::RELEASE, Ink::Lit)?;
    canvas.words(&SMALL, BESIDE, 39, words::CODE, Ink::Lit)?;
    head::demo(canvas, of.resin, WIDTH, 39)?;
    canvas.text(&SMALL, BESIDE, 49, &head::temperature(&of.around), Ink::Lit)?;
    canvas.text(&SMALL, BESIDE, 57, &head::clock(&of.around), Ink::Lit)
}

/// Six groups of four digits, two a row.
pub(super) fn short<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    form: &ShortForm,
) -> Result<(), D::Error> {
    let mut buffer = [0; SHORT_TEXT];
    let text = form.show(&mut buffer);
    let mut y = 19;
    for row in text.as_bytes().chunks(10) {
        canvas.centred(&LARGE, (0, WIDTH), y, Line::of("").bytes_of(row.trim_ascii_end()), Ink::Lit)?;
        y += 16;
    }
    Ok(())
}

/// It is released, but there is no code.
pub(super) fn no_key(card: &mut Card) {
    card.tells(words::NO_CODE).said(&words::NO_KEY);
}
