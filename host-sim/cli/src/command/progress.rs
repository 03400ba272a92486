//! The source of a trace, with a progress bar where a person waits for a long file.

use holdoff_files::problem::Problem;
use std::fs::File;
use std::io::Read;

/// A shorter file is read before a bar could be seen.
const LONG_FILE: u64 = 64 * 1024 * 1024;

/// Opens a trace; `-` is standard input.
pub(super) fn open(name: &str, watched: bool) -> Result<Box<dyn Read>, Problem> {
    if name == "-" {
        return Ok(Box::new(std::io::stdin()));
    }
    let (file, length) = holdoff_disk::open_recorded(name)?;
    if watched && length >= LONG_FILE { Ok(with_bar(file, length)) } else { Ok(Box::new(file)) }
}

#[cfg(feature = "terminal")]
fn with_bar(file: File, length: u64) -> Box<dyn Read> {
    use indicatif::{ProgressBar, ProgressStyle};
    let style = ProgressStyle::with_template("{msg} {bar:40} {bytes} of {total_bytes}, {eta} left");
    let bar = ProgressBar::new(length).with_message("reading the trace");
    if let Ok(style) = style {
        bar.set_style(style);
    }
    Box::new(bar.wrap_read(file))
}

/// In a program that is built without bars.
#[cfg(not(feature = "terminal"))]
fn with_bar(file: File, _length: u64) -> Box<dyn Read> {
    Box::new(file)
}
