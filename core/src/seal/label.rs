//! What a fixing is called on site.

use crate::log::Bytes;

/// Most bytes of a label.
pub const MOST_LABEL: usize = 16;

/// A label: up to 16 bytes of UTF-8 without control characters; may be empty.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Label(Bytes<MOST_LABEL>);

/// Why a label is refused.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum LabelError {
    /// More than 16 bytes.
    TooLong {
        /// Bytes found.
        found: usize,
    },
    /// Not UTF-8, or a control character.
    NotText {
        /// The offset of the first byte that is wrong.
        offset: usize,
    },
}

impl Label {
    /// No label.
    pub const EMPTY: Self = Self(Bytes::EMPTY);

    /// Checks a label.
    ///
    /// # Errors
    /// [`LabelError`] when it is too long, or no plain text.
    pub fn new(bytes: &[u8]) -> Result<Self, LabelError> {
        let made = Bytes::new(bytes).ok_or(LabelError::TooLong { found: bytes.len() })?;
        let text = core::str::from_utf8(bytes).map_err(|error| LabelError::NotText { offset: error.valid_up_to() })?;
        match text.char_indices().find(|(_, character)| character.is_control()) {
            Some((offset, _)) => Err(LabelError::NotText { offset }),
            None => Ok(Self(made)),
        }
    }

    /// The label.
    pub fn text(&self) -> &str {
        // checked when it was made, so this never falls back
        self.0.text().unwrap_or_default()
    }

    /// The label as bytes.
    pub fn bytes(&self) -> &[u8] {
        self.0.bytes()
    }
}

impl core::fmt::Debug for Label {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        core::fmt::Debug::fmt(self.text(), formatter)
    }
}

#[cfg(test)]
mod tests {
    use super::{Label, LabelError};

    #[test]
    fn a_label_is_sixteen_bytes_of_plain_text_at_most() {
        assert_eq!(Label::new("Süd 3".as_bytes()).map(|label| label.text().len()), Ok(6));
        assert_eq!(Label::new(b"").as_ref().map(Label::text), Ok(""));
        assert_eq!(Label::new(b"seventeen letters"), Err(LabelError::TooLong { found: 17 }));
        assert_eq!(Label::new(&[b'a'; 300]), Err(LabelError::TooLong { found: 300 }));
        assert_eq!(Label::new(b"a\x1b[2J"), Err(LabelError::NotText { offset: 1 }));
        assert_eq!(Label::new(b"ab\xff"), Err(LabelError::NotText { offset: 2 }));
    }
}
