//! A release code as a picture that a screen or a printer shows.

use holdoff_core::seal::{MODULES, QUIET, ReleaseCode, Symbol, SymbolBuffers};
use image::{GrayImage, ImageFormat, Luma};
use std::io::Cursor;

/// Pixels a module.
const PIXELS: u32 = 8;

/// The QR symbol of a release code as PNG bytes, black on white with its quiet zone.
///
/// # Errors
/// Why it cannot be drawn; a code from a log always can.
pub fn png(code: &ReleaseCode) -> Result<Vec<u8>, String> {
    let mut buffers = SymbolBuffers::new();
    let symbol = Symbol::of(code, &mut buffers).map_err(|_| "the code fits no symbol".to_owned())?;
    let (modules, quiet) = (u32::from(MODULES), u32::from(QUIET));
    let side = (modules + 2 * quiet) * PIXELS;
    let picture = GrayImage::from_fn(side, side, |x, y| {
        let place = |pixel: u32| (pixel / PIXELS).checked_sub(quiet).filter(|place| *place < modules);
        let dark = match (place(x), place(y)) {
            (Some(x), Some(y)) => symbol.is_dark(x as u8, y as u8), // below 49
            (_, _) => false,
        };
        Luma([if dark { 0 } else { 255 }])
    });
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Png).map_err(|error| format!("the picture can't be made: {error}"))?;
    Ok(bytes.into_inner())
}
