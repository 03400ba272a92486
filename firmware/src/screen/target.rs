//! What is drawn on: eight lines at a time, or all of them.
//!
//! Why strips: a whole picture of 1 KiB would be the largest thing in the logger's memory. A view draws fast enough to be
//! drawn eight times, and each time only what lies in the strip is kept.

use crate::board::{DISPLAY_HEIGHT, DISPLAY_WIDTH, Strip};
use core::convert::Infallible;
use embedded_graphics::Pixel;
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::geometry::{Dimensions, Point, Size};
use embedded_graphics::pixelcolor::BinaryColor;
use embedded_graphics::primitives::Rectangle;

/// Strips of the display.
pub const STRIPS: u8 = (DISPLAY_HEIGHT / 8) as u8;

/// Eight lines of the display to draw on; it stands where they stand, and leaves everything else off.
#[derive(Debug)]
pub struct StripTarget<'a> {
    strip: &'a mut Strip,
    place: u8,
}

impl<'a> StripTarget<'a> {
    /// A strip, cleared; `place` counts from the top, 0 to 7.
    pub fn new(strip: &'a mut Strip, place: u8) -> Self {
        strip.fill(0);
        Self { strip, place }
    }
}

impl Dimensions for StripTarget<'_> {
    fn bounding_box(&self) -> Rectangle {
        Rectangle::new(Point::new(0, i32::from(self.place) * 8), Size::new(DISPLAY_WIDTH, 8))
    }
}

impl DrawTarget for StripTarget<'_> {
    type Color = BinaryColor;
    type Error = Infallible;

    fn draw_iter<I>(&mut self, pixels: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = Pixel<BinaryColor>>,
    {
        for Pixel(at, colour) in pixels {
            if at.y >> 3 == i32::from(self.place) {
                set(self.strip, at, colour);
            }
        }
        Ok(())
    }

    /// Eight points at a time.
    fn fill_solid(&mut self, area: &Rectangle, colour: BinaryColor) -> Result<(), Infallible> {
        let shown = area.intersection(&self.bounding_box());
        let top = (shown.top_left.y & 7) as u32;
        // as many low bits as there are lines, at most eight, moved down to the first line
        let lines = ((1u32 << shown.size.height.min(8)) - 1) << top;
        let lines = (lines & 0xff) as u8;
        let left = usize::try_from(shown.top_left.x).unwrap_or_default();
        for column in self.strip.iter_mut().skip(left).take(shown.size.width as usize) {
            match colour {
                BinaryColor::On => *column |= lines,
                BinaryColor::Off => *column &= !lines,
            }
        }
        Ok(())
    }
}

/// The whole display to draw on, for pictures and tests.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Frame {
    strips: [Strip; STRIPS as usize],
}

impl Frame {
    /// A dark display.
    pub const DARK: Self = Self { strips: [[0; DISPLAY_WIDTH as usize]; STRIPS as usize] };

    /// Puts eight lines where they belong; a place beyond the display changes nothing.
    pub fn put(&mut self, place: u8, strip: &Strip) {
        if let Some(at) = self.strips.get_mut(usize::from(place)) {
            *at = *strip;
        }
    }

    /// Whether a point is lit; beyond the display nothing is.
    pub fn is_lit(&self, x: u32, y: u32) -> bool {
        let strip = self.strips.get((y >> 3) as usize);
        strip.and_then(|strip| strip.get(x as usize)).is_some_and(|column| column >> (y & 7) & 1 == 1)
    }
}

impl Dimensions for Frame {
    fn bounding_box(&self) -> Rectangle {
        Rectangle::new(Point::zero(), Size::new(DISPLAY_WIDTH, DISPLAY_HEIGHT))
    }
}

impl DrawTarget for Frame {
    type Color = BinaryColor;
    type Error = Infallible;

    fn draw_iter<I>(&mut self, pixels: I) -> Result<(), Infallible>
    where
        I: IntoIterator<Item = Pixel<BinaryColor>>,
    {
        for Pixel(at, colour) in pixels {
            let strip = usize::try_from(at.y >> 3).ok().and_then(|place| self.strips.get_mut(place));
            if let Some(strip) = strip {
                set(strip, at, colour);
            }
        }
        Ok(())
    }
}

fn set(strip: &mut Strip, at: Point, colour: BinaryColor) {
    let column = usize::try_from(at.x).ok().and_then(|x| strip.get_mut(x));
    if let Some(column) = column {
        let bit = 1 << (at.y & 7);
        match colour {
            BinaryColor::On => *column |= bit,
            BinaryColor::Off => *column &= !bit,
        }
    }
}
