//! The letters: three sizes, and one drawn double for the one large number.
//!
//! Taken from the library's fixed-width fonts (Latin-1). A blank is half a letter wide and points are as narrow as they are,
//! so that a line holds more; the largest words are made bold by drawing every dot twice. Doubling smooths corners
//! (each dot becomes four, a quarter takes its neighbours' value where those agree and the opposite ones don't: the
//! well-known scaling rule EPX, from memory).

use embedded_graphics::geometry::Point;
use embedded_graphics::image::{GetPixel, ImageRaw};
use embedded_graphics::mono_font::{ascii, iso_8859_1};
use embedded_graphics::pixelcolor::BinaryColor;

/// A size of letters.
#[derive(Clone, Copy)]
pub(super) struct Font {
    picture: ImageRaw<'static, BinaryColor>,
    /// Lines of a letter's cell.
    cell: i32,
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
    picture: iso_8859_1::FONT_6X10.image,
    cell: 10,
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
    picture: ascii::FONT_8X13_BOLD.image,
    cell: 13,
    width: 8,
    cap: 1,
    lines: 12,
    bearing: 0,
    height: 10,
    letters: Letters::Ascii,
    weight: Weight::Plain,
};

/// Capitals of 13 lines, bold.
pub(super) const LARGE: Font = Font {
    picture: ascii::FONT_10X20.image,
    cell: 20,
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

/// The dot of a product of units.
const MIDDLE_DOT: u8 = 0xb7;

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
            MIDDLE_DOT => POINT + 3 + self.bearing,
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

    /// One line of a character as drawn, `y` from the top of a capital: bit 0 is its leftmost column.
    pub(super) fn row(&self, character: u8, y: i32) -> u32 {
        match self.weight {
            Weight::Plain => self.dots(character, y),
            Weight::Bold => {
                let dots = self.dots(character, y);
                (dots | dots << 1) & ((1 << self.width) - 1)
            }
            Weight::Double => self.doubled(character, y),
        }
    }

    /// Half a line of dots, each twice as wide; what is above and below decides on the corners.
    fn doubled(&self, character: u8, y: i32) -> u32 {
        let line = y >> 1;
        let (towards, away) = if y & 1 == 0 { (line - 1, line + 1) } else { (line + 1, line - 1) };
        let [here, towards, away] = [line, towards, away].map(|line| self.dots(character, line));
        let (left, right) = (here << 1, here >> 1);
        // a quarter takes its neighbours' value where these two agree and the ones opposite them don't
        let quarter = |beside: u32, opposite: u32| {
            let takes = !(beside ^ towards) & (beside ^ away) & (towards ^ opposite);
            takes & beside | !takes & here
        };
        let (lefts, rights) = (quarter(left, right), quarter(right, left));
        (0..self.width).fold(0, |row, column| {
            row | (lefts >> column & 1) << (column * 2) | (rights >> column & 1) << (column * 2 + 1)
        })
    }

    /// A line of the font's own picture; nothing outside the character's cell.
    fn dots(&self, character: u8, y: i32) -> u32 {
        let line = y + self.cap;
        if !(0..self.cap + self.lines).contains(&line) || character == b' ' {
            return 0;
        }
        if character == b'.' || character == b':' || character == MIDDLE_DOT {
            let left = self.bearing + i32::from(character == MIDDLE_DOT);
            return if self.point(character, y) { ((1 << POINT) - 1) << left } else { 0 };
        }
        let place = self.place(character);
        let (left, line) = (place % ROW * self.width, place / ROW * self.cell + line);
        (0..self.width).fold(0, |row, column| match self.picture.pixel(Point::new(left + column, line)) {
            Some(BinaryColor::On) => row | 1 << column,
            Some(BinaryColor::Off) | None => row,
        })
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

    /// Whether a point has that line: full stop, colon and middle dot are square points of our own: the fonts' are as wide as a letter, or crosses.
    const fn point(&self, character: u8, y: i32) -> bool {
        let base = match self.weight {
            Weight::Plain | Weight::Bold => self.height,
            Weight::Double => self.height / 2,
        };
        let low = y >= base - POINT && y < base;
        // the upper one of a colon as far above the lower one as that looks right in all sizes
        let high = y >= base - POINT * 2 - base / 4 && y < base - POINT - base / 4;
        let middle = y >= (base - POINT) / 2 && y < (base - POINT) / 2 + POINT;
        match character {
            b':' => low || high,
            MIDDLE_DOT => middle,
            _ => low,
        }
    }
}
