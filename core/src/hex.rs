//! Numbers of devices and keys as they are written for people: two hexadecimal digits a byte.

use core::fmt::{Display, Formatter, Result};

/// Bytes, to be displayed.
pub(crate) struct Hex<'a>(pub(crate) &'a [u8]);

impl Display for Hex<'_> {
    fn fmt(&self, formatter: &mut Formatter<'_>) -> Result {
        self.0.iter().try_for_each(|byte| write!(formatter, "{byte:02x}"))
    }
}
