//! Reading a whole file that cannot be large.

use crate::problem::Problem;
use std::io::Read;

/// Larger than any memory image or picture that is read.
const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// The bytes of a file.
pub(super) fn bytes(file: &str) -> Result<Vec<u8>, Problem> {
    let unreadable = |error: std::io::Error| {
        Problem::unusable(file, format!("it can't be read: {error}"), "check its name and that you may read it")
    };
    let mut bytes = Vec::new();
    let opened = crate::files::open(file).map_err(unreadable)?;
    opened.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > MOST_BYTES {
        let what = format!("it is larger than {} MiB", MOST_BYTES / 1024 / 1024);
        return Err(Problem::unusable(file, what, "give a memory image, a release code or a picture of one"));
    }
    Ok(bytes)
}
