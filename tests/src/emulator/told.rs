//! What the telling image has told: its lines, decoded with the image itself.

use super::EmulatorError;
use super::image::Image;
use defmt_decoder::{DecodeError, Table};
use std::path::Path;

/// A line.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Line {
    /// When: the board's uptime, in seconds.
    pub at: String,
    /// Its level: `info`, `warn`.
    pub level: &'static str,
    /// What it says.
    pub text: String,
}

/// The lines in a file that a board was started with as the place for what it tells.
///
/// # Errors
/// The file or the image cannot be read; the image tells nothing; or there is something in the file that it did not tell.
pub fn told(image: &Image, file: &Path) -> Result<Vec<Line>, EmulatorError> {
    let wrong = |why: String| EmulatorError::File(format!("what the board told: {why}"));
    let elf = std::fs::read(&image.path)?;
    let table = Table::parse(&elf).map_err(|error| EmulatorError::Image(error.to_string()))?;
    let table = table.ok_or_else(|| EmulatorError::Image("it tells nothing".to_owned()))?;
    let mut decoder = table.new_stream_decoder();
    decoder.received(&std::fs::read(file)?);
    let mut lines = Vec::new();
    loop {
        match decoder.decode() {
            Ok(frame) => lines.push(Line {
                at: frame.display_timestamp().map_or_else(String::new, |at| at.to_string()),
                level: frame.level().map_or("", |level| level.as_str()),
                text: frame.display_message().to_string(),
            }),
            Err(DecodeError::UnexpectedEof) => return Ok(lines),
            Err(DecodeError::Malformed) => return Err(wrong(format!("malformed after {:?}", lines.last()))),
        }
    }
}
