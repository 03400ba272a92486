//! Writing a file whole or not at all.

use crate::problem::Problem;
use std::fs;
use std::io::Write;
use std::path::Path;

/// Writes a file under a temporary name beside it and puts it in place when it is complete.
pub(super) fn whole(file: &Path, bytes: &[u8]) -> Result<(), Problem> {
    let name = file.to_string_lossy().into_owned();
    let problem = |error: std::io::Error| {
        let what = format!("it can't be written: {error}");
        Problem::unusable(&name, what, "check that its folder exists and that you may write there")
    };
    let mut beside = file.as_os_str().to_owned();
    beside.push(format!(".{}.part", std::process::id()));
    let beside = Path::new(&beside);
    let written = fs::File::create(beside).and_then(|mut part| part.write_all(bytes).and_then(|()| part.sync_all()));
    let placed = written.and_then(|()| fs::rename(beside, file));
    placed.map_err(|error| {
        let _ = fs::remove_file(beside);
        problem(error)
    })
}
