//! The menu of what can be done now.

use super::canvas::{Canvas, Ink, WIDTH};
use super::font::MIDDLE;
use super::words;
use crate::view::{Item, Items};
use embedded_graphics::draw_target::DrawTarget;
use embedded_graphics::pixelcolor::BinaryColor;

/// Items that are seen at once.
const SEEN: usize = 4;
/// Top of the first row.
const TOP: i32 = 10;
/// From row to row.
const PITCH: i32 = 13;

/// Draws it below the first row of the head; the chosen item stands dark on lit.
pub(super) fn draw<D: DrawTarget<Color = BinaryColor>>(
    canvas: &mut Canvas<'_, D>,
    items: Items,
    chosen: Item,
) -> Result<(), D::Error> {
    let all = items.iter().count();
    let place = items.iter().take_while(|&item| item != chosen).count();
    let first = place.saturating_sub(SEEN - 1).min(all.saturating_sub(SEEN));
    let mut y = TOP;
    for item in items.iter().skip(first).take(SEEN) {
        let ink = if item == chosen {
            canvas.fill(0, y, WIDTH as u32 - 5, 13)?;
            Ink::Dark
        } else {
            Ink::Lit
        };
        canvas.words(&MIDDLE, 2, y + 1, words::item(item), ink)?;
        y += PITCH;
    }
    // how far down the list what is seen lies
    if all > SEEN {
        let track = PITCH * SEEN as i32 - 1;
        let (all, first) = (all as i32, first as i32); // 11 at most
        canvas.fill(WIDTH - 2, TOP + track * first / all, 2, (track * SEEN as i32 / all) as u32)?;
    }
    Ok(())
}
