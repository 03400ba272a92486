//! Opening what a command reads.

use std::fs::{File, FileType};
use std::io;
use std::path::Path;

/// Opens a file for reading. What is no file (a folder, a named pipe, a device) is refused before it is opened: whoever opens
/// a pipe waits for its other end, and a device has none.
///
/// # Errors
/// It cannot be opened, or is no file.
pub fn open(path: impl AsRef<Path>) -> io::Result<File> {
    regular(path.as_ref())?;
    File::open(path)
}

/// Whether there is a file that can be read from its beginning to its end.
///
/// # Errors
/// There is nothing, or what there is is no file.
pub fn regular(path: &Path) -> io::Result<()> {
    match other(std::fs::metadata(path)?.file_type()) {
        None => Ok(()),
        Some(what) => Err(io::Error::other(format!("it is {what}, no file"))),
    }
}

/// What something is that is no file.
pub(super) fn other(found: FileType) -> Option<&'static str> {
    if found.is_file() {
        return None;
    }
    if found.is_dir() {
        return Some("a folder");
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt;
        if found.is_fifo() {
            return Some("a named pipe");
        }
        if found.is_socket() {
            return Some("a socket");
        }
    }
    Some("a device")
}
