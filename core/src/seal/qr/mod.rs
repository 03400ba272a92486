//! A release code as a QR code (ISO/IEC 18004), drawn into a buffer of the caller.
//!
//! Always version 8, 49 modules: on a display of 64 lines a module is one pixel whatever the version, since two pixels a
//! module would need 66 lines for version 2 already (25 modules and a quiet zone of 4 on either side), and a sealed record
//! never fits into version 1. One pixel a module would fit up to version 9 (53 + 8 = 61 lines); version 8 leaves 7 light
//! lines above and 8 below.
//! A smaller version would not be any larger on the display, so what room there is goes into correction instead: the
//! strongest level that the code fits into. That is L (7 % of the codewords) for nearly every code, M (15 %) needs a code
//! of at most 221 characters. L is enough here: a display has no dirt and no torn corner, and who misses takes another
//! picture.
//!
//! Why an own encoder: the one version and the one mode that release codes need take less code and less stack than a library
//! for all of them, and no length has to be asserted, so none can panic. [`codeword`] makes the text into bits with their
//! correction, [`layout`] knows where everything stands, [`mask`] chooses how the data are turned over.
//!
//! What it does not do: paint. Light modules and the quiet zone are to be lit on a display.

mod codeword;
mod layout;
mod mask;
#[cfg(test)]
mod tests;

use super::code::{MOST_CODE, ReleaseCode};
use codeword::Codewords;

/// Modules along a side of version 8: 17 and 4 for each version.
pub const MODULES: u8 = 49;

/// Light modules that have to stand around the symbol.
pub const QUIET: u8 = 4;

/// The modules of a symbol, row by row from above; a row's lowest bit is the module furthest left, dark is 1.
type Rows = [u64; MODULES as usize];

/// Room to draw in.
#[derive(Clone, Debug)]
pub struct SymbolBuffers {
    rows: Rows,
}

impl SymbolBuffers {
    /// Empty buffers, 392 bytes.
    pub const fn new() -> Self {
        Self { rows: [0; MODULES as usize] }
    }
}

impl Default for SymbolBuffers {
    fn default() -> Self {
        Self::new()
    }
}

/// Correction level: how much of a symbol may be spoilt.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Strength {
    /// L, about 7 % of the codewords.
    Low,
    /// M, about 15 %.
    Medium,
    /// Q, about 25 %.
    Quartile,
    /// H, about 30 %.
    High,
}

impl Strength {
    /// The strongest level that a symbol of version 8 has room for so many alphanumeric characters at (ISO/IEC 18004, table
    /// of capacities); `None` when even the weakest has not.
    const fn of(characters: usize) -> Option<Self> {
        match characters {
            0..=122 => Some(Self::High),
            123..=157 => Some(Self::Quartile),
            158..=221 => Some(Self::Medium),
            222..=MOST_CODE => Some(Self::Low),
            _ => None,
        }
    }
}

/// Why there is no symbol: the text is longer than any release code.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct SymbolError {
    /// Characters of the text.
    pub found: usize,
}

/// A drawn symbol.
pub struct Symbol<'a> {
    rows: &'a Rows,
    strength: Strength,
}

impl<'a> Symbol<'a> {
    /// Draws a release code.
    ///
    /// # Errors
    /// [`SymbolError`] when it does not fit, which no release code does not.
    pub fn of(code: &ReleaseCode, buffers: &'a mut SymbolBuffers) -> Result<Self, SymbolError> {
        let text = code.text();
        let wrong = SymbolError { found: text.len() };
        let strength = Strength::of(text.len()).ok_or(wrong)?;
        draw(text, strength, &mut buffers.rows).ok_or(wrong)?;
        Ok(Self { rows: &buffers.rows, strength })
    }

    /// Whether a module is dark; `x` to the right and `y` down from the upper left corner, beyond [`MODULES`] light.
    pub fn is_dark(&self, x: u8, y: u8) -> bool {
        x < MODULES && self.rows.get(usize::from(y)).is_some_and(|row| row >> x & 1 == 1)
    }

    /// The correction level.
    pub const fn strength(&self) -> Strength {
        self.strength
    }
}

impl core::fmt::Debug for Symbol<'_> {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        formatter.debug_struct("Symbol").field("strength", &self.strength()).finish_non_exhaustive()
    }
}

/// Draws a text; `None` when it does not fit.
fn draw(text: &str, strength: Strength, rows: &mut Rows) -> Option<()> {
    place(&Codewords::of(text, strength)?, rows);
    mask::choose(rows, strength);
    Some(())
}

/// Lays the bits of the codewords down on their way, high ones first.
fn place(codewords: &Codewords, rows: &mut Rows) {
    *rows = [0; MODULES as usize];
    let mut way = layout::way();
    codewords.each(|codeword| {
        for bit in (0..8).rev() {
            if let Some((x, y)) = way.next()
                && let Some(row) = rows.get_mut(y)
            {
                *row |= u64::from(codeword >> bit & 1) << x;
            }
        }
    });
}
