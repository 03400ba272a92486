//! Reading a whole file that cannot be large: evidence of any kind.

use crate::problem::Problem;
use holdoff_core::seal::{PREFIX, ShortForm};
use std::io::Read;

/// Larger than any memory image or picture that is read.
const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// The bytes of a file.
pub(super) fn bytes(file: &str) -> Result<Vec<u8>, Problem> {
    let unreadable = |error: std::io::Error| {
        Problem::unusable(file, format!("it can't be read: {error}"), "check its name and that you may read it")
    };
    // 24 digits are no file's name, as long as there is none of it
    if !std::path::Path::new(file).exists() && ShortForm::parse(file).is_ok() {
        let what = "this is the short form of a release, which names it and proves nothing";
        return Err(Problem::unusable(file, what, "give the release code itself, or a picture of it"));
    }
    let mut bytes = Vec::new();
    let opened = crate::files::open(file).map_err(unreadable)?;
    opened.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > MOST_BYTES {
        let what = format!("it is larger than {} MiB", MOST_BYTES / 1024 / 1024);
        return Err(Problem::unusable(file, what, "give a memory image, a release code or a picture of one"));
    }
    Ok(bytes)
}

/// The release code that a text file holds, whatever its program put before and behind it; `None` of any other file.
pub(super) fn code_in(bytes: &[u8]) -> Option<&str> {
    let text = std::str::from_utf8(bytes).ok()?;
    let code = text.strip_prefix('\u{FEFF}').unwrap_or(text).trim();
    code.starts_with(PREFIX).then_some(code)
}
