//! Asks once more before something that can't be undone. Nothing but YES says yes.

use super::canvas::{Canvas, Ink, WIDTH};
use super::font::{LARGE, MIDDLE, SMALL};
use super::line::Line;
use super::{number, words};
use crate::view::{Answer, Question};
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;

/// Top of the boxes of NO and YES.
const BOXES: i32 = 45;

/// Draws it below the head.
pub(super) fn draw<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    question: Question,
    answer: Answer,
) -> Result<(), D::Error> {
    let said = words::question(question);
    let mut large = Line::of(said.large);
    match question {
        Question::Torqued(torque) | Question::TorquedEarly(torque) => {
            number::newton_metres(&mut large, torque).byte(b'?');
            if SMALL.width(large.bytes()) > WIDTH {
                // the number without the word
                large = Line::EMPTY;
                number::newton_metres(&mut large, torque).byte(b'?');
            }
        }
        Question::Inject
        | Question::CarriedOut
        | Question::Seat
        | Question::SeatedLate
        | Question::Hole(_)
        | Question::Accept
        | Question::Remove => {}
    }
    let font = if MIDDLE.width(large.bytes()) <= WIDTH { &MIDDLE } else { &SMALL };
    canvas.centred(font, (0, WIDTH), 20, &large, Ink::Lit)?;
    canvas.centred_words(&SMALL, (0, WIDTH), 34, said.small, Ink::Lit)?;
    let (no, yes) = match answer {
        Answer::No => (Ink::Dark, Ink::Lit),
        Answer::Yes => (Ink::Lit, Ink::Dark),
    };
    choice(canvas, 4, words::NO, no)?;
    choice(canvas, WIDTH / 2 + 4, words::YES, yes)
}

fn choice<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    x: i32,
    word: &str,
    ink: Ink,
) -> Result<(), D::Error> {
    let width = WIDTH / 2 - 8;
    match ink {
        Ink::Dark => canvas.fill(x, BOXES, width as u32, 19)?,
        Ink::Lit => canvas.frame(x, BOXES, width as u32, 19)?,
    }
    canvas.centred_words(&LARGE, (x, x + width), BOXES + 3, word, ink)
}
