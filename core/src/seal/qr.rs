//! A release code as a QR code (ISO/IEC 18004), drawn into buffers of the caller.
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
//! What it does not do: paint. Light modules and the quiet zone are to be lit on a display.

use super::code::{MOST_CODE, ReleaseCode};
use qrcodegen_no_heap::{DataTooLong, QrCode, QrCodeEcc, Version};

/// The version of every symbol.
const VERSION: Version = Version::new(8);

/// Modules along a side: 17 and 4 for each version.
pub const MODULES: u8 = 49;

/// Light modules that have to stand around the symbol.
pub const QUIET: u8 = 4;

/// Bytes of one buffer.
const BUFFER: usize = 302;

const _: () = assert!(VERSION.buffer_len() == BUFFER);

/// Room to draw in.
#[derive(Clone, Debug)]
pub struct SymbolBuffers {
    drawing: [u8; BUFFER],
    scratch: [u8; BUFFER],
}

impl SymbolBuffers {
    /// Empty buffers, 604 bytes.
    pub const fn new() -> Self {
        Self { drawing: [0; BUFFER], scratch: [0; BUFFER] }
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

    const fn level(self) -> QrCodeEcc {
        match self {
            Self::Low => QrCodeEcc::Low,
            Self::Medium => QrCodeEcc::Medium,
            Self::Quartile => QrCodeEcc::Quartile,
            Self::High => QrCodeEcc::High,
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
    code: QrCode<'a>,
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
        // the library panics on buffers that are too short; these are as long as it asks
        let SymbolBuffers { drawing, scratch } = buffers;
        let drawn = QrCode::encode_text(text, scratch, drawing, strength.level(), VERSION, VERSION, None, false);
        match drawn {
            Ok(code) => Ok(Self { code, strength }),
            Err(DataTooLong::SegmentTooLong | DataTooLong::DataOverCapacity(..)) => Err(wrong),
        }
    }

    /// Whether a module is dark; `x` to the right and `y` down from the upper left corner, beyond [`MODULES`] light.
    pub fn is_dark(&self, x: u8, y: u8) -> bool {
        self.code.get_module(i32::from(x), i32::from(y))
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
