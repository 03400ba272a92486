//! An export as text: CSV files, and JSON lines.

use super::super::{Refusal, Register};
use super::layout::Column;
use super::place::{each, unwritable};
use super::{Table, Value};
use holdoff_disk::{Kind, Output};
use holdoff_files::stamp::format_seconds;
use serde_json::{Map, Value as Json};
use std::io::Write;

/// The files that [`csv`] fills, by name and kind, in their order: `image.csv` and so on. A table of an earlier export has the
/// same first columns; others may have joined them.
pub fn csv_files() -> Vec<(String, Kind)> {
    let kind = |table: &Table| Kind::Csv(names(table).get(..2).unwrap_or_default().join(","));
    Table::ALL.iter().map(|table| (format!("{}.csv", table.name), kind(table))).collect()
}

/// Writes the tables as CSV (RFC 4180 with a header, UTF-8), each whole or not at all.
///
/// # Errors
/// The register, or a file, cannot be used.
pub fn csv(register: &Register, files: &[Output]) -> Result<(), Refusal> {
    each(files, &mut |table, name, mut file| {
        let failed = |error: std::io::Error| unwritable(name, &error);
        writeln!(file, "{}", names(table).join(",")).map_err(failed)?;
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
    })
}

fn names(table: &Table) -> Vec<&'static str> {
    table.columns.iter().map(|column| column.name).collect()
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

/// What a text begins with that gets an apostrophe before it: a spreadsheet would take it for a formula, or it has one itself.
const FORMULA: [char; 8] = ['=', '+', '-', '@', '\t', '\r', '\n', '\''];

fn push_field(line: &mut String, value: &Value) {
    match value {
        Value::None => {}
        Value::Whole(number) => line.push_str(&number.to_string()),
        Value::Real(number) => line.push_str(&number.to_string()),
        Value::Yes(yes) => line.push_str(if *yes { "true" } else { "false" }),
        Value::Time(seconds, offset) => line.push_str(&format_seconds(*seconds, *offset)),
        Value::Text(text) => {
            let guard = if text.starts_with(FORMULA) { "'" } else { "" };
            if text.contains(['"', ',', '\n', '\r', '\t']) {
                line.push_str(&format!("\"{guard}{}\"", text.replace('"', "\"\"")));
            } else {
                line.push_str(guard);
                line.push_str(text);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Value, push_field};

    #[test]
    fn a_text_that_a_spreadsheet_would_run_gets_an_apostrophe_and_numbers_stay() {
        let field = |value: Value| {
            let mut line = String::new();
            push_field(&mut line, &value);
            line
        };
        let text = |text: &str| field(Value::Text(text.to_owned()));
        assert_eq!(text("=HYPERLINK(\"x\")"), "\"'=HYPERLINK(\"\"x\"\")\"");
        assert_eq!(["+1", "-1", "@a", "'a"].map(text), ["'+1", "'-1", "'@a", "''a"]);
        assert_eq!(["\ta", "\ra", "\na"].map(text), ["\"'\ta\"", "\"'\ra\"", "\"'\na\""]);
        assert_eq!(["a=1", "bolt 1", ""].map(text), ["a=1", "bolt 1", ""]);
        assert_eq!([field(Value::Whole(-5)), field(Value::Real(-2.5))], ["-5", "-2.5"]);
    }
}
