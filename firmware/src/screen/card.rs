//! The card: what nearly every screen is, once its words are chosen.
//!
//! Why one shape: tired eyes must find the place. A heading of a few large words, framed where something may be done and
//! filled where it may not; below it one large number or a few words.

use super::canvas::{Canvas, Ink, WIDTH};
use super::font::{Font, LARGE, MIDDLE, NUMBER, SMALL};
use super::line::Line;
use super::words::Said;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;

/// Top of the heading's box below the head of a fixing's screen.
pub(super) const BELOW_HEAD: Place = Place { top: 19, body: 39 };
/// Where a card has the display to itself.
pub(super) const ALONE: Place = Place { top: 7, body: 33 };
/// Lines of the heading's box.
const BOX: u32 = 17;
/// Columns between a number and what stands beside it.
const GAP: i32 = 5;

/// Where a card stands.
#[derive(Clone, Copy)]
pub(super) struct Place {
    /// Top of the heading's box.
    top: i32,
    /// Top of the capitals below it.
    body: i32,
}

/// How a heading stands out.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Heading {
    /// Something may be done: large words in a frame.
    May,
    /// Something may not be done, or something is wrong: dark words on a lit bar.
    DoNot,
    /// Neither: large words over a line.
    Tells,
}

/// What stands below a heading.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Body {
    /// Middling words, and below them small ones.
    Words,
    /// One large number and up to three small lines on its right.
    Number,
    /// Up to three small lines.
    Lines,
}

/// A heading and what stands below it. It is filled in place, since a screen is made anew for every strip of the display.
pub(super) struct Card {
    heading: Heading,
    title: &'static str,
    body: Body,
    first: Line,
    others: [Line; 3],
    used: usize,
}

impl Card {
    /// A blank card.
    pub(super) const fn new() -> Self {
        Self {
            heading: Heading::Tells,
            title: "",
            body: Body::Words,
            first: Line::EMPTY,
            others: [Line::EMPTY; 3],
            used: 0,
        }
    }

    /// A heading that says that something may be done.
    pub(super) const fn may(&mut self, title: &'static str) -> &mut Self {
        self.heading = Heading::May;
        self.title = title;
        self
    }

    /// A heading that says that something may not be done.
    pub(super) const fn do_not(&mut self, title: &'static str) -> &mut Self {
        self.heading = Heading::DoNot;
        self.title = title;
        self
    }

    /// A heading that only tells.
    pub(super) const fn tells(&mut self, title: &'static str) -> &mut Self {
        self.heading = Heading::Tells;
        self.title = title;
        self
    }

    /// Middling words and small ones.
    #[inline(never)]
    pub(super) fn words(&mut self, large: &str, small: &str) {
        self.large().and(large);
        self.next().and(small);
    }

    /// Words that stand in the list of words.
    pub(super) fn said(&mut self, said: &Said) {
        self.words(said.large, said.small);
    }

    /// The line of middling words, to be filled; [`Self::next`] is the small one.
    pub(super) const fn large(&mut self) -> &mut Line {
        self.body = Body::Words;
        &mut self.first
    }

    /// The large number, to be filled; [`Self::next`] stands beside it.
    pub(super) const fn number(&mut self) -> &mut Line {
        self.body = Body::Number;
        &mut self.first
    }

    /// Three small lines.
    pub(super) fn lines(&mut self, lines: [&str; 3]) {
        self.body = Body::Lines;
        for line in lines {
            self.next().and(line);
        }
    }

    /// The next small line, to be filled.
    #[inline(never)]
    pub(super) fn next(&mut self) -> &mut Line {
        let place = self.used;
        self.used = place.saturating_add(1);
        match self.others.get_mut(place) {
            Some(line) => line,
            None => &mut self.first, // no screen has a fourth
        }
    }

    /// The small line that was filled last.
    pub(super) fn last(&mut self) -> &mut Line {
        self.used = self.used.saturating_sub(1);
        self.next()
    }

    /// Whether the number and what stands beside it fit in any letters.
    #[inline(never)]
    pub(super) fn fits(&self) -> bool {
        SMALL.width(self.first.bytes()) + GAP + self.beside() <= WIDTH
    }

    /// Draws it.
    pub(super) fn draw<D: DrawTarget<Color = BinaryColor>>(
        &self,
        canvas: &mut Canvas<'_, D>,
        place: Place,
    ) -> Result<(), D::Error> {
        let ink = match self.heading {
            Heading::May => {
                canvas.frame(0, place.top, WIDTH as u32, BOX)?;
                Ink::Lit
            }
            Heading::DoNot => {
                canvas.fill(0, place.top, WIDTH as u32, BOX)?;
                Ink::Dark
            }
            Heading::Tells => {
                canvas.fill(0, place.top + BOX as i32 - 1, WIDTH as u32, 1)?; // 17
                Ink::Lit
            }
        };
        canvas.centred_words(&LARGE, (0, WIDTH), place.top + 2, self.title, ink)?;
        let y = place.body;
        let [first, second, third] = &self.others;
        match self.body {
            Body::Words => {
                let font = if MIDDLE.width(self.first.bytes()) <= WIDTH { &MIDDLE } else { &SMALL };
                canvas.centred(font, (0, WIDTH), y, &self.first, Ink::Lit)?;
                canvas.centred(&SMALL, (0, WIDTH), y + 15, first, Ink::Lit)
            }
            Body::Number => self.draw_number(canvas, y),
            Body::Lines => {
                canvas.centred(&SMALL, (0, WIDTH), y - 2, first, Ink::Lit)?;
                canvas.centred(&SMALL, (0, WIDTH), y + 7, second, Ink::Lit)?;
                canvas.centred(&SMALL, (0, WIDTH), y + 16, third, Ink::Lit)
            }
        }
    }

    fn draw_number<D: DrawTarget<Color = BinaryColor>>(
        &self,
        canvas: &mut Canvas<'_, D>,
        top: i32,
    ) -> Result<(), D::Error> {
        let beside = self.beside();
        let font = largest(&self.first, WIDTH - beside - GAP);
        let wide = font.width(self.first.bytes());
        // number and lines together stand in the middle
        let left = (WIDTH - wide - GAP - beside).max(0) / 2;
        canvas.text(font, left, top + 2 + (NUMBER.height - font.height) / 2, &self.first, Ink::Lit)?;
        let filled = || self.others.iter().filter(|line| !line.is_empty());
        let (mut y, pitch) = match filled().count() {
            0 | 1 => (top + 15, 0),
            2 => (top + 3, 11),
            _ => (top - 2, 9),
        };
        for line in filled() {
            canvas.text(&SMALL, left + wide + GAP, y, line, Ink::Lit)?;
            y += pitch;
        }
        Ok(())
    }

    /// Columns of what stands beside the number.
    fn beside(&self) -> i32 {
        self.others.iter().fold(0, |most, line| SMALL.width(line.bytes()).max(most))
    }
}

/// The largest letters in which a number takes no more columns than these.
pub(super) fn largest(number: &Line, columns: i32) -> &'static Font {
    [&NUMBER, &LARGE, &MIDDLE].into_iter().find(|font| font.width(number.bytes()) <= columns).unwrap_or(&SMALL)
}
