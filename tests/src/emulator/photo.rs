//! A picture of the display.

use super::EmulatorError;
use std::path::Path;

/// Columns.
pub const WIDTH: usize = 128;
/// Lines.
pub const HEIGHT: usize = 64;

/// A picture: one value a pixel, `true` where it is lit, line by line from the top left.
#[derive(Clone, PartialEq, Eq)]
pub struct Photo(pub Vec<bool>);

impl Photo {
    /// From a PNG file, of the display's size or a whole multiple of it.
    ///
    /// # Errors
    /// It is no such picture.
    pub fn read(path: &Path) -> Result<Self, EmulatorError> {
        let wrong = |why: String| EmulatorError::Photo(format!("{}: {why}", path.display()));
        let picture = image::open(path).map_err(|error| wrong(error.to_string()))?.to_luma8();
        let (width, height) = (picture.width() as usize, picture.height() as usize);
        let scale = width / WIDTH;
        if scale == 0 || width != scale * WIDTH || height != scale * HEIGHT {
            return Err(wrong(format!("{width} x {height} pixels are no multiple of {WIDTH} x {HEIGHT}")));
        }
        let lit = |place: usize| {
            let (line, column) = (place / WIDTH * scale, place % WIDTH * scale);
            picture.as_raw()[line * width + column] > 127
        };
        Ok(Self((0..WIDTH * HEIGHT).map(lit).collect()))
    }

    /// Whether nothing is lit.
    #[must_use]
    pub fn is_dark(&self) -> bool {
        !self.0.contains(&true)
    }
}

impl std::fmt::Debug for Photo {
    /// As text, two lines of the display to a line.
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        writeln!(formatter)?;
        for lines in self.0.chunks(2 * WIDTH) {
            let (upper, lower) = lines.split_at(WIDTH);
            let text: String = upper
                .iter()
                .zip(lower)
                .map(|pair| match pair {
                    (true, true) => '\u{2588}',
                    (true, false) => '\u{2580}',
                    (false, true) => '\u{2584}',
                    (false, false) => ' ',
                })
                .collect();
            writeln!(formatter, "{text}")?;
        }
        Ok(())
    }
}
