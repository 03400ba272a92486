//! The release code: a sealed record as text for a QR code.
//!
//! [`PREFIX`] and the sealed record in base45. All characters are of the alphanumeric mode of QR codes. The version of the
//! format is the record's first byte, so the prefix needs none.
//!
//! What it does not do: mend a text. Blanks and line ends before and behind it are passed over: no code ends with a blank,
//! since the last character of a triple is at most 32 of 45, that of a pair at most 5, and the blank is 36. Blanks within
//! it belong to it.

use super::base45::{self, Base45Error, encoded_length};
use super::field::RecordError;
use super::signature::{MOST_SEALED, SealedView};

/// What every release code begins with.
pub const PREFIX: &str = "HOR:";

/// Most characters of a release code: what a symbol of version 8 takes at correction level L (ISO/IEC 18004).
pub const MOST_CODE: usize = 279;

const _: () = assert!(PREFIX.len() + encoded_length(MOST_SEALED) == MOST_CODE);

/// Room for what is read from a release code.
pub type CodeBuffer = [u8; MOST_SEALED];

/// Why a text is no release code.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum CodeError {
    /// It does not begin with [`PREFIX`].
    Prefix,
    /// It is longer than any release code.
    TooLong {
        /// Characters found.
        found: usize,
    },
    /// What follows the prefix is not base45; offsets count from there.
    Base45(Base45Error),
    /// What it stands for holds no valid record; offsets count from the record's first byte.
    Record(RecordError),
}

/// A release code, up to 279 characters.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct ReleaseCode {
    text: [u8; MOST_CODE],
    used: usize,
}

impl ReleaseCode {
    /// The code of sealed bytes, from [`super::Sealed::bytes`] or from the log.
    ///
    /// # Errors
    /// [`RecordError`] when they hold no valid record.
    pub fn of(sealed: &[u8]) -> Result<Self, RecordError> {
        SealedView::parse(sealed)?;
        let mut made = Self { text: [0; MOST_CODE], used: PREFIX.len() };
        let (prefix, rest) = made.text.split_at_mut(PREFIX.len());
        for (place, &byte) in prefix.iter_mut().zip(PREFIX.as_bytes()) {
            *place = byte;
        }
        // what has been parsed is not longer than a code has room for
        made.used = made.used.saturating_add(base45::encode(sealed, rest).unwrap_or_default().len());
        Ok(made)
    }

    /// The code.
    pub fn text(&self) -> &str {
        self.text.get(..self.used).and_then(|text| core::str::from_utf8(text).ok()).unwrap_or_default()
    }
}

impl core::fmt::Debug for ReleaseCode {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        core::fmt::Debug::fmt(self.text(), formatter)
    }
}

/// Reads a release code; nothing in it is verified yet.
///
/// # Errors
/// [`CodeError`] for anything that no device writes.
pub fn read<'b>(text: &[u8], buffer: &'b mut CodeBuffer) -> Result<SealedView<'b>, CodeError> {
    let text = text.trim_ascii();
    let rest = text.strip_prefix(PREFIX.as_bytes()).ok_or(CodeError::Prefix)?;
    if text.len() > MOST_CODE {
        return Err(CodeError::TooLong { found: text.len() });
    }
    let sealed = base45::decode(rest, buffer).map_err(CodeError::Base45)?;
    SealedView::parse(sealed).map_err(CodeError::Record)
}
