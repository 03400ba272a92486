//! Writing a table's file whole or not at all, without holding it in memory.

use super::super::Refusal;
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::Path;

/// Why a file of an export cannot be written.
pub(super) fn unwritable(file: &Path, error: &std::io::Error) -> Refusal {
    Refusal::Export(format!("{} can't be written: {error}", file.to_string_lossy()))
}

/// Lets `write` fill a file under a temporary name in the folder, and puts it in place when it is complete.
pub(super) fn whole(
    folder: &Path,
    name: &str,
    write: &mut dyn FnMut(BufWriter<File>) -> Result<BufWriter<File>, Refusal>,
) -> Result<(), Refusal> {
    std::fs::create_dir_all(folder).map_err(|error| unwritable(folder, &error))?;
    let (file, part) = (folder.join(name), folder.join(format!("{name}.{}.part", std::process::id())));
    let failed = |error: std::io::Error| unwritable(&file, &error);
    let written =
        File::create(&part).map_err(failed).and_then(|made| write(BufWriter::new(made))).and_then(|mut made| {
            made.flush().and_then(|()| made.get_ref().sync_all()).map_err(failed)?;
            std::fs::rename(&part, &file).map_err(failed)
        });
    if written.is_err() {
        let _ = std::fs::remove_file(&part);
    }
    written
}
