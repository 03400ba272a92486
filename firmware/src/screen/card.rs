//! The card: what nearly every screen is, once its words are chosen.
//!
//! Why one shape: who reads it with tired eyes should know where to look. A heading of a few large words, framed where
//! something may be done and filled where it may not; below it one large number or a few words.

use super::canvas::{Canvas, Ink, WIDTH};
use super::font::{Font, LARGE, MIDDLE, NUMBER, SMALL};
use super::line::Line;
use super::words::Said;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;

/// Top of the heading's box below the head of a fixing's screen.
const BELOW_HEAD: i32 = 19;
/// Top of the heading's box where there is no head.
const ALONE: i32 = 7;
/// Lines of the heading's box.
const BOX: u32 = 17;
/// From the top of the heading's box to the top of the capitals below it.
const BODY: i32 = 20;

/// How a heading stands out.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Heading {
    /// Something may be done: large words in a frame.
    May,
    /// Something may not be done, or something is wrong: dark words on a lit bar.
    DoNot,
    /// Neither: large words over a line.
    Tells,
}

/// A heading and what stands below it.
pub(super) struct Card {
    pub(super) heading: Heading,
    pub(super) title: &'static str,
    pub(super) body: Body,
}

/// What stands below a heading.
pub(super) enum Body {
    /// One large number and up to three small lines on its right.
    Number(Line, [Line; 3]),
    /// One line of middling words and one of small ones.
    Words(Line, Line),
    /// Three small lines.
    Lines([Line; 3]),
}

impl Body {
    /// Words that stand in the list of words.
    pub(super) fn said(said: &Said) -> Self {
        Self::Words(Line::of(said.large), Line::of(said.small))
    }
}

impl Card {
    /// A heading that says that something may be done.
    pub(super) const fn may(title: &'static str, body: Body) -> Self {
        Self { heading: Heading::May, title, body }
    }

    /// A heading that says that something may not be done.
    pub(super) const fn do_not(title: &'static str, body: Body) -> Self {
        Self { heading: Heading::DoNot, title, body }
    }

    /// A heading that only tells.
    pub(super) const fn tells(title: &'static str, body: Body) -> Self {
        Self { heading: Heading::Tells, title, body }
    }

    /// Draws it below the head of a fixing's screen.
    pub(super) fn draw<D: DrawTarget<Color = BinaryColor>>(&self, canvas: &mut Canvas<'_, D>) -> Result<(), D::Error> {
        self.draw_at(canvas, BELOW_HEAD, BELOW_HEAD + BODY)
    }

    /// Draws it where it has the display to itself.
    pub(super) fn draw_alone<D: DrawTarget<Color = BinaryColor>>(
        &self,
        canvas: &mut Canvas<'_, D>,
    ) -> Result<(), D::Error> {
        self.draw_at(canvas, ALONE, ALONE + BODY + 6)
    }

    fn draw_at<D: DrawTarget<Color = BinaryColor>>(
        &self,
        canvas: &mut Canvas<'_, D>,
        top: i32,
        body: i32,
    ) -> Result<(), D::Error> {
        let ink = match self.heading {
            Heading::May => {
                canvas.frame(0, top, WIDTH as u32, BOX)?;
                Ink::Lit
            }
            Heading::DoNot => {
                canvas.fill(0, top, WIDTH as u32, BOX)?;
                Ink::Dark
            }
            Heading::Tells => {
                canvas.fill(0, top + BOX as i32 - 1, WIDTH as u32, 1)?; // 17
                Ink::Lit
            }
        };
        canvas.centred(&LARGE, (0, WIDTH), top + 2, &Line::of(self.title), ink)?;
        match &self.body {
            Body::Number(number, beside) => draw_number(canvas, body, number, beside),
            Body::Words(large, small) => {
                let font = if MIDDLE.width(large.bytes()) <= WIDTH { &MIDDLE } else { &SMALL };
                canvas.centred(font, (0, WIDTH), body, large, Ink::Lit)?;
                canvas.centred(&SMALL, (0, WIDTH), body + 15, small, Ink::Lit)
            }
            Body::Lines(lines) => {
                for (y, line) in [body - 2, body + 7, body + 16].into_iter().zip(lines) {
                    canvas.centred(&SMALL, (0, WIDTH), y, line, Ink::Lit)?;
                }
                Ok(())
            }
        }
    }
}

fn draw_number<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    top: i32,
    number: &Line,
    beside: &[Line; 3],
) -> Result<(), D::Error> {
    let small = beside.iter().map(|line| SMALL.width(line.bytes())).max().unwrap_or(0);
    let font = largest(number, WIDTH - small - 5);
    let wide = font.width(number.bytes());
    // number and lines together stand in the middle
    let left = (WIDTH - wide - 5 - small).max(0) / 2;
    canvas.text(font, left, top + 2 + (NUMBER.height - font.height) / 2, number, Ink::Lit)?;
    let lines = beside.iter().filter(|line| !line.is_empty()).count();
    let (first, pitch) = match lines {
        0 | 1 => (top + 15, 0),
        2 => (top + 3, 11),
        _ => (top - 2, 9),
    };
    let mut y = first;
    for line in beside.iter().filter(|line| !line.is_empty()) {
        canvas.text(&SMALL, left + wide + 5, y, line, Ink::Lit)?;
        y += pitch;
    }
    Ok(())
}

/// The largest letters in which a number takes no more columns than these.
pub(super) fn largest(number: &Line, columns: i32) -> &'static Font {
    [&NUMBER, &LARGE, &MIDDLE].into_iter().find(|font| font.width(number.bytes()) <= columns).unwrap_or(&SMALL)
}

/// Whether a number and the lines beside it fit the display in any letters.
pub(super) fn fits(number: &Line, beside: &[Line; 3]) -> bool {
    let small = beside.iter().map(|line| SMALL.width(line.bytes())).max().unwrap_or(0);
    SMALL.width(number.bytes()) + 5 + small <= WIDTH
}
