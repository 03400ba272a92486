//! An export as Parquet files.
//!
//! Why without Arrow: the rows are few kinds of values, and the crate's own column writers take them; Arrow would take longer
//! to build than all else together.
//! Why groups of rows: columns are written one after another, so the rows of a group are held in memory, and no more.

use super::super::{Refusal, Register};
use super::layout::{Column, Kind};
use super::place::each;
use super::{Table, Value};
use holdoff_disk::{Kind as FileKind, Output};
use parquet::basic::Compression;
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedColumnWriter, SerializedFileWriter};
use parquet::schema::parser::parse_message_type;
use std::fmt::Write as _;
use std::fs::File;
use std::io::BufWriter;
use std::sync::Arc;

/// Rows of a group.
const GROUP: usize = 65_536;

/// A file that is being written.
type Writer = SerializedFileWriter<BufWriter<File>>;

/// The files that [`parquet`] fills, by name and kind, in their order: `image.parquet` and so on.
pub fn parquet_files() -> Vec<(String, FileKind)> {
    Table::ALL.iter().map(|table| (format!("{}.parquet", table.name), FileKind::Parquet)).collect()
}

/// Writes the tables as Parquet files, each whole or not at all. Every column may be null; times are microseconds in UTC.
///
/// # Errors
/// The register, or a file, cannot be used.
pub fn parquet(register: &Register, files: &[Output]) -> Result<(), Refusal> {
    each(files, &mut |table, name, file| {
        let failed = |error: ParquetError| Refusal::Export(format!("{name} can't be written: {error}"));
        let schema = parse_message_type(&schema(table)).map_err(failed)?;
        let properties = WriterProperties::builder().set_compression(Compression::SNAPPY).build();
        let mut writer = SerializedFileWriter::new(file, Arc::new(schema), Arc::new(properties)).map_err(failed)?;
        let mut rows: Vec<Vec<Value>> = Vec::new();
        table.rows(register, &mut |values| {
            rows.push(values.to_vec());
            if rows.len() == GROUP {
                group(&mut writer, table.columns, &rows).map_err(failed)?;
                rows.clear();
            }
            Ok(())
        })?;
        if !rows.is_empty() {
            group(&mut writer, table.columns, &rows).map_err(failed)?;
        }
        writer.into_inner().map_err(failed)
    })
}

/// The schema of a table in the words of the format.
fn schema(table: &Table) -> String {
    let mut text = format!("message {} {{", table.name);
    for column in table.columns {
        let kind = match column.kind {
            Kind::Text | Kind::Grounds => format!("BYTE_ARRAY {} (STRING)", column.name),
            Kind::Whole => format!("INT64 {}", column.name),
            Kind::Yes => format!("BOOLEAN {}", column.name),
            Kind::Time => format!("INT64 {} (TIMESTAMP(MICROS,true))", column.name),
            Kind::Hundredths | Kind::Counts => format!("DOUBLE {}", column.name),
        };
        let _ = write!(text, " OPTIONAL {kind};");
    }
    text.push_str(" }");
    text
}

/// Writes a group of rows, column by column.
fn group(writer: &mut Writer, columns: &[Column], rows: &[Vec<Value>]) -> Result<(), ParquetError> {
    let mut group = writer.next_row_group()?;
    let mut place = 0;
    while let Some(mut column) = group.next_column()? {
        let values = rows.iter().filter_map(|row| row.get(place));
        match columns.get(place) {
            Some(found) => write(&mut column, found.name, values)?,
            None => return Err(ParquetError::General("a column too many".to_owned())),
        }
        column.close()?;
        place += 1;
    }
    group.close().map(|_| ())
}

/// Writes a column: what there is, and for every row whether there is something.
fn write<'v>(
    column: &mut SerializedColumnWriter<'_>,
    name: &str,
    values: impl Iterator<Item = &'v Value>,
) -> Result<(), ParquetError> {
    let values: Vec<&Value> = values.collect();
    let levels: Vec<i16> = values.iter().map(|value| i16::from(**value != Value::None)).collect();
    let there = || values.iter().copied().filter(|value| **value != Value::None);
    let wrong = || ParquetError::General(format!("column {name} holds a value of another kind"));
    let levels = Some(levels.as_slice());
    match column.untyped() {
        ColumnWriter::Int64ColumnWriter(writer) => {
            let whole = |value: &Value| match value {
                Value::Whole(number) => Ok(*number),
                Value::Time(seconds, _) => Ok(seconds.saturating_mul(1_000_000)),
                Value::None | Value::Real(_) | Value::Text(_) | Value::Yes(_) => Err(wrong()),
            };
            let numbers: Vec<i64> = there().map(whole).collect::<Result<_, _>>()?;
            writer.write_batch(&numbers, levels, None).map(|_| ())
        }
        ColumnWriter::DoubleColumnWriter(writer) => {
            let real = |value: &Value| match value {
                Value::Real(number) => Ok(*number),
                Value::None | Value::Whole(_) | Value::Text(_) | Value::Yes(_) | Value::Time(..) => Err(wrong()),
            };
            let numbers: Vec<f64> = there().map(real).collect::<Result<_, _>>()?;
            writer.write_batch(&numbers, levels, None).map(|_| ())
        }
        ColumnWriter::BoolColumnWriter(writer) => {
            let yes = |value: &Value| match value {
                Value::Yes(yes) => Ok(*yes),
                Value::None | Value::Whole(_) | Value::Text(_) | Value::Real(_) | Value::Time(..) => Err(wrong()),
            };
            let flags: Vec<bool> = there().map(yes).collect::<Result<_, _>>()?;
            writer.write_batch(&flags, levels, None).map(|_| ())
        }
        ColumnWriter::ByteArrayColumnWriter(writer) => {
            let text = |value: &Value| match value {
                Value::Text(text) => Ok(ByteArray::from(text.as_bytes().to_vec())),
                Value::None | Value::Whole(_) | Value::Yes(_) | Value::Real(_) | Value::Time(..) => Err(wrong()),
            };
            let texts: Vec<ByteArray> = there().map(text).collect::<Result<_, _>>()?;
            writer.write_batch(&texts, levels, None).map(|_| ())
        }
        // kinds that no schema of ours has
        ColumnWriter::Int32ColumnWriter(_)
        | ColumnWriter::Int96ColumnWriter(_)
        | ColumnWriter::FloatColumnWriter(_)
        | ColumnWriter::FixedLenByteArrayColumnWriter(_) => Err(wrong()),
    }
}
