//! A line of the plain form, read from fixed places: `2026-11-25T06:30:00Z,7.994` and a line end.
//!
//! The stamp takes 20 or 25 bytes, then a comma, then at most eight digits with sign and point; no spaces, no
//! quotation marks, no third field. Whatever else stands there is left to the CSV reader, with nothing decided.

use super::field::short_sample;
use super::{Row, Unit};
use crate::decimal::Short;
use crate::stamp::Quick;

/// Bytes looked at: more than the longest such line, 25 + 1 + 12.
pub(super) const WINDOW: usize = 64;

/// The row and how many bytes it takes; `None` for any other form.
#[inline]
pub(super) fn read(window: &[u8; WINDOW], quick: &mut Quick, unit: Unit) -> Option<(Row, usize)> {
    let stamp = quick.read(window.first_chunk()?)?;
    let (comma, number) = match stamp.length {
        20 => (window[20], window[21..].first_chunk()?),
        _ => (window[25], window[26..].first_chunk()?),
    };
    if comma != b',' {
        return None;
    }
    let (short, length) = Short::until_newline(number)?;
    let reading = short_sample(short, unit);
    let row = Row { seconds: stamp.seconds, offset_seconds: stamp.offset_seconds, reading };
    Some((row, stamp.length + 1 + length))
}
