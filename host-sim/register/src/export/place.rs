//! The files of an export: one a table, each written whole or not at all.

use super::super::Refusal;
use super::Table;
use holdoff_disk::Output;
use std::fs::File;
use std::io::BufWriter;

/// Fills a file, called so, with the rows of a table.
pub(super) type Fill<'a> = dyn FnMut(&Table, &str, BufWriter<File>) -> Result<BufWriter<File>, Refusal> + 'a;

/// Why a file of an export cannot be written.
pub(super) fn unwritable(name: &str, error: &std::io::Error) -> Refusal {
    Refusal::Export(format!("{name} can't be written: {error}"))
}

/// Lets `fill` write every table into its file.
pub(super) fn each(files: &[Output], fill: &mut Fill<'_>) -> Result<(), Refusal> {
    Table::ALL.iter().zip(files).try_for_each(|(table, file)| {
        let name = file.name();
        file.fill(&mut |made| fill(table, name, made), |error| unwritable(name, &error))
    })
}
