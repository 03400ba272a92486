//! An export as text: CSV files, and JSON lines.

use super::super::{Refusal, Register};
use super::layout::Column;
use super::place::{unwritable, whole};
use super::{Table, Value};
use crate::stamp::format_seconds;
use serde_json::{Map, Value as Json};
use std::io::Write;
use std::path::Path;

/// Writes `image.csv`, `session.csv`, `fixing.csv`, `release.csv` and `reading.csv` (RFC 4180 with a header, UTF-8) into a
/// folder, each whole or not at all; a folder that is not there is made.
///
/// # Errors
/// The register, or the folder, cannot be used.
pub fn csv(register: &Register, folder: &Path) -> Result<(), Refusal> {
    for table in &Table::ALL {
        let name = format!("{}.csv", table.name);
        whole(folder, &name, &mut |mut file| {
            let failed = |error: std::io::Error| unwritable(&folder.join(&name), &error);
            let names: Vec<&str> = table.columns.iter().map(|column| column.name).collect();
            writeln!(file, "{}", names.join(",")).map_err(failed)?;
            let mut line = String::new();
            table.rows(register, &mut |values| {
                line.clear();
                for (place, value) in values.iter().enumerate() {
                    if place > 0 {
                        line.push(',');
                    }
                    push_field(&mut line, value);
                }
                writeln!(file, "{line}").map_err(failed)
            })?;
            Ok(file)
        })?;
    }
    Ok(())
}

/// Writes every row of every table as one JSON object a line, with the table's name under `table`.
///
/// # Errors
/// The register cannot be used, or nobody takes the text.
pub fn json(register: &Register, out: &mut dyn Write) -> Result<(), Refusal> {
    let failed = |error: std::io::Error| match error.kind() {
        std::io::ErrorKind::BrokenPipe => Refusal::Enough,
        _ => Refusal::Export(error.to_string()),
    };
    for table in &Table::ALL {
        table.rows(register, &mut |values| {
            let object = object(table.name, table.columns, values);
            writeln!(out, "{object}").map_err(failed)
        })?;
    }
    out.flush().map_err(failed)
}

/// A row as an object.
pub(super) fn object(name: &str, columns: &[Column], values: &[Value]) -> Json {
    let mut object = Map::new();
    object.insert("table".to_owned(), name.into());
    for (column, value) in columns.iter().zip(values) {
        let value = match value {
            Value::None => Json::Null,
            Value::Whole(number) => (*number).into(),
            Value::Real(number) => (*number).into(),
            Value::Text(text) => text.as_str().into(),
            Value::Yes(yes) => (*yes).into(),
            Value::Time(seconds, offset) => format_seconds(*seconds, *offset).into(),
        };
        object.insert(column.name.to_owned(), value);
    }
    Json::Object(object)
}

fn push_field(line: &mut String, value: &Value) {
    match value {
        Value::None => {}
        Value::Whole(number) => line.push_str(&number.to_string()),
        Value::Real(number) => line.push_str(&number.to_string()),
        Value::Yes(yes) => line.push_str(if *yes { "true" } else { "false" }),
        Value::Time(seconds, offset) => line.push_str(&format_seconds(*seconds, *offset)),
        Value::Text(text) if text.contains(['"', ',', '\n', '\r']) => {
            line.push('"');
            line.push_str(&text.replace('"', "\"\""));
            line.push('"');
        }
        Value::Text(text) => line.push_str(text),
    }
}
