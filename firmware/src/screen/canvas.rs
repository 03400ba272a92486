//! Strokes: text, filled and framed rectangles. Every screen is made of these.

use super::font::Font;
use super::line::Line;
use crate::board::DISPLAY_WIDTH;
use embedded_graphics::Pixel;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::geometry::{Point, Size};
use embedded_graphics::pixelcolor::BinaryColor;
use embedded_graphics::primitives::Rectangle;

/// Columns of the display.
pub(super) const WIDTH: i32 = DISPLAY_WIDTH as i32;

/// How text stands out.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Ink {
    /// Lit, on dark ground.
    Lit,
    /// Dark, on lit ground.
    Dark,
}

/// What is drawn on, with the strokes there are.
pub(super) struct Canvas<'a, D> {
    target: &'a mut D,
}

impl<'a, D: DrawTarget<Color = BinaryColor>> Canvas<'a, D> {
    pub(super) const fn new(target: &'a mut D) -> Self {
        Self { target }
    }

    /// Text from `x` on, the top of its capitals at `y`.
    pub(super) fn text(&mut self, font: &Font, x: i32, y: i32, text: &Line, ink: Ink) -> Result<(), D::Error> {
        let colour = match ink {
            Ink::Lit => BinaryColor::On,
            Ink::Dark => BinaryColor::Off,
        };
        // accents stand up to three lines above a capital
        let (first, end) = self.rows(y - 3, y + font.depth());
        let mut left = font.begin(x);
        for &character in text.bytes() {
            let rows = (first..end).map(|line| (line, font.row(character, line - y)));
            let inked = rows
                .flat_map(|(line, row)| Bits(row).map(move |column| Pixel(Point::new(left + column, line), colour)));
            self.target.draw_iter(inked)?;
            left += font.advance(character);
        }
        Ok(())
    }

    /// Words from `x` on.
    #[inline(never)]
    pub(super) fn words(&mut self, font: &Font, x: i32, y: i32, words: &str, ink: Ink) -> Result<(), D::Error> {
        self.text(font, x, y, &Line::of(words), ink)
    }

    /// Words in the middle of the columns from `from` up to `to`.
    #[inline(never)]
    pub(super) fn centred_words(
        &mut self,
        font: &Font,
        columns: (i32, i32),
        y: i32,
        words: &str,
        ink: Ink,
    ) -> Result<(), D::Error> {
        self.centred(font, columns, y, &Line::of(words), ink)
    }

    /// Text that ends at the column before `end`.
    #[inline(never)]
    pub(super) fn right(&mut self, font: &Font, end: i32, y: i32, text: &Line, ink: Ink) -> Result<(), D::Error> {
        self.text(font, end - font.width(text.bytes()), y, text, ink)
    }

    /// Text in the middle of the columns from `from` up to `to`.
    #[inline(never)]
    pub(super) fn centred(
        &mut self,
        font: &Font,
        (from, to): (i32, i32),
        y: i32,
        text: &Line,
        ink: Ink,
    ) -> Result<(), D::Error> {
        let rest = to - from - font.width(text.bytes());
        self.text(font, from + rest / 2, y, text, ink)
    }

    /// A lit rectangle.
    #[inline(never)]
    pub(super) fn fill(&mut self, x: i32, y: i32, width: u32, height: u32) -> Result<(), D::Error> {
        let (top, bottom) = self.rows(y, y + height as i32); // the display's height at most
        let lines = Size::new(width, (bottom - top).max(0) as u32);
        if lines.height == 0 {
            Ok(())
        } else {
            self.target.fill_solid(&Rectangle::new(Point::new(x, top), lines), BinaryColor::On)
        }
    }

    /// A lit frame, one dot thick, around a dark inside.
    #[inline(never)]
    pub(super) fn frame(&mut self, x: i32, y: i32, width: u32, height: u32) -> Result<(), D::Error> {
        let (right, bottom) = (x + width as i32 - 1, y + height as i32 - 1); // the display's size at most
        self.fill(x, y, width, 1)?;
        self.fill(x, bottom, width, 1)?;
        self.fill(x, y + 1, 1, height.saturating_sub(2))?;
        self.fill(right, y + 1, 1, height.saturating_sub(2))
    }

    /// Dark points on lit ground, those that `is_dark` says of a square.
    pub(super) fn dark_points(
        &mut self,
        (x, y): (i32, i32),
        side: u8,
        is_dark: impl Fn(u8, u8) -> bool,
    ) -> Result<(), D::Error> {
        let (first, end) = self.rows(y, y + i32::from(side));
        let all = (0..side).filter(|row| (first..end).contains(&(y + i32::from(*row))));
        let all = all.flat_map(|row| (0..side).map(move |column| (column, row)));
        let dark = all.filter(|&(column, row)| is_dark(column, row));
        self.target.draw_iter(
            dark.map(|(column, row)| Pixel(Point::new(x + i32::from(column), y + i32::from(row)), BinaryColor::Off)),
        )
    }

    /// The part of these rows that lies in the target; the rest need not be worked out.
    fn rows(&self, from: i32, end: i32) -> (i32, i32) {
        let shown = self.target.bounding_box();
        let (top, bottom) = (shown.top_left.y, shown.top_left.y + shown.size.height as i32); // 64 at most
        (from.max(top), end.min(bottom))
    }
}

/// The places of the bits that are set, lowest first.
struct Bits(u32);

impl Iterator for Bits {
    type Item = i32;

    fn next(&mut self) -> Option<i32> {
        let place = self.0.trailing_zeros();
        self.0 &= self.0.wrapping_sub(1);
        if place < u32::BITS { Some(place as i32) } else { None }
    }
}
