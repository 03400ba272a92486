//! The letters: three sizes, and one drawn double for the one large number.
//!
//! Taken from the library's fixed-width fonts (Latin-1). A blank is half a letter wide and points are as narrow as they are,
//! so that a line holds more; the largest words are made bold by drawing every dot twice. Doubling smooths corners
//! (each dot becomes four, a quarter takes its neighbours' value where those agree and the opposite ones don't: the
//! well-known scaling rule EPX, from memory).

use embedded_graphics::geometry::Point;
use embedded_graphics::image::GetPixel;
use embedded_graphics::mono_font::{MonoFont, ascii, iso_8859_1};
use embedded_graphics::pixelcolor::BinaryColor;

/// A size of letters.
#[derive(Clone, Copy)]
pub(super) struct Font {
    mono: &'static MonoFont<'static>,
    /// Columns of a letter before it is doubled.
    width: i32,
    /// First line of a capital, and the lines from there to the lowest stroke.
    cap: i32,
    lines: i32,
    /// Empty columns before a letter's first dot.
    bearing: i32,
    /// Lines of a capital as drawn.
    pub(super) height: i32,
    letters: Letters,
    weight: Weight,
}

/// Which characters there are.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Letters {
    Ascii,
    Latin1,
}

/// How a dot is drawn.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Weight {
    Plain,
    /// Twice side by side.
    Bold,
    /// Two by two.
    Double,
}

/// Capitals of 7 lines.
pub(super) const SMALL: Font = Font {
    mono: &iso_8859_1::FONT_6X10,
    width: 6,
    cap: 1,
    lines: 9,
    bearing: 0,
    height: 7,
    letters: Letters::Latin1,
    weight: Weight::Plain,
};

/// Capitals of 10 lines, bold.
pub(super) const MIDDLE: Font = Font {
    mono: &iso_8859_1::FONT_8X13_BOLD,
    width: 8,
    cap: 1,
    lines: 12,
    bearing: 0,
    height: 10,
    letters: Letters::Latin1,
    weight: Weight::Plain,
};

/// Capitals of 13 lines, bold.
pub(super) const LARGE: Font = Font {
    mono: &ascii::FONT_10X20,
    width: 10,
    cap: 3,
    lines: 17,
    bearing: 1,
    height: 13,
    letters: Letters::Ascii,
    weight: Weight::Bold,
};

/// Digits of 20 lines.
pub(super) const NUMBER: Font = Font { height: 20, weight: Weight::Double, ..MIDDLE };

/// Side of a point.
const POINT: i32 = 2;

/// Letters in a row of the font's picture.
const ROW: i32 = 16;

impl Font {
    /// Lines below the top of a capital that a letter can reach, as drawn.
    pub(super) const fn depth(&self) -> i32 {
        match self.weight {
            Weight::Plain | Weight::Bold => self.lines,
            Weight::Double => self.lines * 2,
        }
    }

    /// Columns that a character takes as drawn, its gap to the next one included.
    pub(super) const fn advance(&self, character: u8) -> i32 {
        let columns = match character {
            b' ' => self.width / 2,
            b'.' | b':' => POINT + 1 + self.bearing,
            _ => self.width,
        };
        match self.weight {
            Weight::Plain | Weight::Bold => columns,
            Weight::Double => columns * 2,
        }
    }

    /// Columns of a line of text as drawn, from its first dot to its last.
    pub(super) fn width(&self, text: &[u8]) -> i32 {
        let all = text.iter().fold(0i32, |all, &character| all.saturating_add(self.advance(character)));
        let gap = match self.weight {
            Weight::Plain | Weight::Bold => 1,
            Weight::Double => 2,
        };
        all.saturating_sub(gap).saturating_sub(self.bearing).max(0)
    }

    /// Where a line of text is begun so that its first dot stands at `x`.
    pub(super) const fn begin(&self, x: i32) -> i32 {
        x - self.bearing
    }

    /// Whether a character is inked there; `x` from its left edge, `y` from the top of a capital, both as drawn.
    pub(super) fn ink(&self, character: u8, x: i32, y: i32) -> bool {
        match self.weight {
            Weight::Plain => self.dot(character, x, y),
            Weight::Bold => self.dot(character, x, y) || self.dot(character, x - 1, y),
            Weight::Double => self.quarter(character, x, y),
        }
    }

    fn quarter(&self, character: u8, x: i32, y: i32) -> bool {
        let (column, line) = (x >> 1, y >> 1);
        let dot = |right: i32, down: i32| self.dot(character, column + right, line + down);
        // towards this quarter, and away from it
        let (sideways, upright) = (if x & 1 == 0 { -1 } else { 1 }, if y & 1 == 0 { -1 } else { 1 });
        let (near, over) = (dot(sideways, 0), dot(0, upright));
        if near == over && near != dot(0, -upright) && over != dot(-sideways, 0) { near } else { dot(0, 0) }
    }

    /// A dot of the font's own picture; nothing outside the character's cell.
    fn dot(&self, character: u8, x: i32, y: i32) -> bool {
        let line = y + self.cap;
        if !(0..self.width).contains(&x) || !(0..self.cap + self.lines).contains(&line) {
            return false;
        }
        if character == b'.' || character == b':' {
            return self.point(character, x, y);
        }
        let place = self.place(character);
        let cell = self.mono.character_size.height as i32; // 20 at most
        let at = Point::new(place % ROW * self.width + x, place / ROW * cell + line);
        self.mono.image.pixel(at) == Some(BinaryColor::On)
    }

    /// The place of a character in the font's picture; what it does not have is a question mark.
    fn place(&self, character: u8) -> i32 {
        let place = match (character, self.letters) {
            (0x20..=0x7e, _) => character - 0x20,
            (0xa0..=0xff, Letters::Latin1) => character - 0x40,
            _ => b'?' - 0x20,
        };
        i32::from(place)
    }

    /// Full stop and colon are square points of our own: the fonts' are as wide as a letter, and crosses.
    const fn point(&self, character: u8, x: i32, y: i32) -> bool {
        let base = match self.weight {
            Weight::Plain | Weight::Bold => self.height,
            Weight::Double => self.height / 2,
        };
        let across = x >= self.bearing && x < self.bearing + POINT;
        let low = y >= base - POINT && y < base;
        // the upper one as far below the top of a capital as the lower one stands above its foot, and a bit
        let high = character == b':' && y >= base - POINT * 2 - base / 4 && y < base - POINT - base / 4;
        across && (low || high)
    }
}
