//! Rows of small text: name on the left, value on the right.

use super::canvas::{Canvas, Ink, WIDTH};
use super::font::SMALL;
use super::line::Line;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;

/// Top of the first row's capitals: below the first row of the head.
const TOP: i32 = 10;
/// From row to row.
const PITCH: i32 = 9;
/// From row to row where letters with accents may follow letters that reach down.
const WIDE_PITCH: i32 = 10;
/// Rows there is room for.
pub(super) const ROWS: usize = 6;
/// Characters that fit a row whatever they are.
const MOST: usize = 21;

/// Rows that are filled from the top.
pub(super) struct Rows<'c, 'a, D> {
    canvas: &'c mut Canvas<'a, D>,
    y: i32,
    pitch: i32,
}

impl<'c, 'a, D: DrawTarget<Color = BinaryColor>> Rows<'c, 'a, D> {
    /// No rows yet, room for six.
    pub(super) const fn new(canvas: &'c mut Canvas<'a, D>) -> Self {
        Self { canvas, y: TOP, pitch: PITCH }
    }

    /// No rows yet, room for five of any letters.
    pub(super) const fn spaced(canvas: &'c mut Canvas<'a, D>) -> Self {
        Self { canvas, y: TOP, pitch: WIDE_PITCH }
    }

    /// A name, and a value that is written.
    pub(super) fn pair(&mut self, name: &str, write: impl FnOnce(&mut Line) -> &mut Line) -> Result<(), D::Error> {
        let mut value = Line::EMPTY;
        write(&mut value);
        self.row(name, &value)
    }

    /// A row that stands out, dark on lit.
    pub(super) fn marked(&mut self, text: &str) -> Result<(), D::Error> {
        self.canvas.fill(0, self.y, WIDTH as u32, 9)?;
        self.canvas.words(&SMALL, 1, self.y + 1, text, Ink::Dark)?;
        self.next();
        Ok(())
    }

    /// A text on one row, or on two where it is longer.
    pub(super) fn text(&mut self, write: impl FnOnce(&mut Line) -> &mut Line) -> Result<(), D::Error> {
        let mut text = Line::EMPTY;
        write(&mut text);
        let (first, rest) = text.split(first_row(text.bytes()));
        self.part(first)?;
        if rest.is_empty() { Ok(()) } else { self.part(rest.trim_ascii_start()) }
    }

    #[inline(never)]
    fn part(&mut self, part: &[u8]) -> Result<(), D::Error> {
        self.canvas.text(&SMALL, 0, self.y, Line::EMPTY.clone().bytes_of(part), Ink::Lit)?;
        self.next();
        Ok(())
    }

    #[inline(never)]
    fn row(&mut self, name: &str, value: &Line) -> Result<(), D::Error> {
        self.canvas.words(&SMALL, 0, self.y, name, Ink::Lit)?;
        self.canvas.right(&SMALL, WIDTH, self.y, value, Ink::Lit)?;
        self.next();
        Ok(())
    }

    fn next(&mut self) {
        self.y += self.pitch;
    }
}

/// How many characters of a text stand on its first row: up to a blank where the rest then fits the second one.
fn first_row(text: &[u8]) -> usize {
    if text.len() <= MOST {
        return text.len();
    }
    let least = text.len().saturating_sub(MOST.saturating_add(1));
    let blank = text.iter().take(MOST.saturating_add(1)).rposition(|&character| character == b' ');
    blank.filter(|&place| place >= least).unwrap_or(MOST)
}

#[cfg(test)]
mod tests {
    use super::first_row;

    #[test]
    fn a_long_text_is_broken_at_a_blank_if_the_rest_fits() {
        assert_eq!(first_row(b"batch L-2231 B"), 14);
        assert_eq!(first_row(b"resin Harbour slow (invented)"), 18);
        assert_eq!(first_row(b"batch abcdefghijklmnopqrstuvwx"), 21);
        assert_eq!(first_row(b"resin abcdefghijklmnopqrstuvwxyzabcdef"), 21);
    }
}
