//! A picture of the display.

use super::EmulatorError;
use holdoff_firmware::screen::Frame;
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

    /// What the display should show of a frame.
    #[must_use]
    pub fn of(frame: &Frame) -> Self {
        let place = |place: usize| ((place % WIDTH) as u32, (place / WIDTH) as u32);
        Self((0..WIDTH * HEIGHT).map(place).map(|(x, y)| frame.is_lit(x, y)).collect())
    }

    /// Writes it as a PNG file, a pixel a point.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn save(&self, path: &Path) -> Result<(), EmulatorError> {
        let pixels = self.0.iter().map(|lit| if *lit { u8::MAX } else { 0 }).collect();
        let picture = image::GrayImage::from_vec(WIDTH as u32, HEIGHT as u32, pixels)
            .ok_or_else(|| EmulatorError::Photo("it has another size".to_owned()))?;
        picture.save(path).map_err(|error| EmulatorError::Photo(format!("{}: {error}", path.display())))
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
