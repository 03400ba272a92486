//! Codes with their fields, in and out of the tables: as JSON.

use rusqlite::Row;
use rusqlite::types::Type;
use serde::Serialize;
use serde::de::DeserializeOwned;

/// A value as it is kept.
pub(super) fn kept<T: Serialize>(value: &T) -> rusqlite::Result<String> {
    serde_json::to_string(value).map_err(|error| rusqlite::Error::ToSqlConversionFailure(error.into()))
}

/// The value in a column.
pub(super) fn read<T: DeserializeOwned>(row: &Row<'_>, column: usize) -> rusqlite::Result<T> {
    let text: String = row.get(column)?;
    of_text(&text, column)
}

/// The value in a column; `None` where there is none.
pub(super) fn read_if_any<T: DeserializeOwned>(row: &Row<'_>, column: usize) -> rusqlite::Result<Option<T>> {
    let text: Option<String> = row.get(column)?;
    text.map(|text| of_text(&text, column)).transpose()
}

fn of_text<T: DeserializeOwned>(text: &str, column: usize) -> rusqlite::Result<T> {
    serde_json::from_str(text)
        .map_err(|error| rusqlite::Error::FromSqlConversionFailure(column, Type::Text, error.into()))
}
