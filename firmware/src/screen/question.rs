//! Asks once more before something that can't be undone. Nothing but YES says yes.

use super::canvas::{Canvas, Ink, WIDTH};
use super::font::{LARGE, MIDDLE, SMALL};
use super::line::Line;
use super::{number, words};
use crate::view::{Answer, Question};
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;
use holdoff_core::quantity::Torque;

/// Top of the boxes of NO and YES.
const BOXES: i32 = 45;

/// Draws it below the head.
pub(super) fn draw<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    question: Question,
    answer: Answer,
) -> Result<(), D::Error> {
    let said = words::question(question);
    let large = match question {
        Question::Torqued(torque) | Question::TorquedEarly(torque) => torqued(Line::of(said.large), torque),
        Question::Inject
        | Question::CarriedOut
        | Question::Seat
        | Question::Hole(_)
        | Question::Accept
        | Question::Remove => Line::of(said.large),
    };
    let font = if MIDDLE.width(large.bytes()) <= WIDTH { &MIDDLE } else { &SMALL };
    canvas.centred(font, (0, WIDTH), 20, &large, Ink::Lit)?;
    canvas.centred(&SMALL, (0, WIDTH), 34, &Line::of(said.small), Ink::Lit)?;
    let (no, yes) = match answer {
        Answer::No => (Ink::Dark, Ink::Lit),
        Answer::Yes => (Ink::Lit, Ink::Dark),
    };
    choice(canvas, 4, words::NO, no)?;
    choice(canvas, WIDTH / 2 + 4, words::YES, yes)
}

/// `torqued 40 N·m?`, without the word where the number leaves no room for it.
fn torqued(word: Line, torque: Torque) -> Line {
    let with = |line| number::torque(line, torque).byte(b' ').and(words::NEWTON_METRES).byte(b'?');
    let whole = with(word);
    if SMALL.width(whole.bytes()) <= WIDTH { whole } else { with(Line::EMPTY) }
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
    canvas.centred(&LARGE, (x, x + width), BOXES + 3, &Line::of(word), ink)
}
