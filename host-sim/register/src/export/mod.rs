//! The register as tables for other programs: CSV, JSON lines, and Parquet behind the feature of that name.
//!
//! What for: any analysis engine reads a whole company's records. The layout is documented in `docs/register.md`, one
//! table for images, sessions, fixings, releases, contradictions, decisions and readings each; columns may join, none is renamed.
//! Why one description: the three formats are written from the same rows, so that they cannot differ.
//! What it does not do: hold a table in memory; rows are told one by one.

mod layout;
#[cfg(feature = "parquet")]
mod parquet;
mod place;
mod text;

#[cfg(feature = "parquet")]
pub use parquet::{parquet, parquet_files};
pub use text::{csv, csv_files, json};

use super::{Refusal, Register};
use holdoff_core::fixing::Grounds;
use holdoff_evidence::Reading;
use holdoff_evidence::row::KeptSession;
use holdoff_present::words::Speech;
use layout::{Column, Kind};
use rusqlite::types::ValueRef;

/// A value of a row.
#[derive(Clone, PartialEq, Debug)]
pub(super) enum Value {
    /// There is none.
    None,
    /// A whole number.
    Whole(i64),
    /// A number.
    Real(f64),
    /// A text.
    Text(String),
    /// Yes or no.
    Yes(bool),
    /// Seconds since 1970-01-01T00:00:00Z, and the offset of local time in seconds.
    Time(i64, i32),
}

/// A table of the layout.
pub(super) struct Table {
    /// Its name.
    pub(super) name: &'static str,
    /// Its columns.
    pub(super) columns: &'static [Column],
    from: From,
}

/// Where rows come from.
enum From {
    /// This part of a query; the columns stand before it.
    Tables(&'static str),
    /// The raw images.
    Images,
}

/// What to do with a row.
pub(super) type Tell<'a> = dyn FnMut(&[Value]) -> Result<(), Refusal> + 'a;

impl Table {
    /// All tables, in the order of the layout.
    pub(super) const ALL: [Self; 7] = [
        Self { name: "image", columns: layout::IMAGE, from: From::Tables("FROM image ORDER BY id") },
        Self {
            name: "session",
            columns: layout::SESSION,
            from: From::Tables(
                "FROM session JOIN image ON image.id = session.image ORDER BY session.device, session.life, first_page",
            ),
        },
        Self {
            name: "fixing",
            columns: layout::FIXING,
            from: From::Tables(
                "FROM fixing JOIN session ON session.id = fixing.session ORDER BY device, life, first_page, number",
            ),
        },
        Self {
            name: "release",
            columns: layout::RELEASE,
            from: From::Tables(
                "FROM release LEFT JOIN session ON session.id = release.session
                 ORDER BY release.device, release.number, speaks_for",
            ),
        },
        Self {
            name: "contradiction",
            columns: layout::CONTRADICTION,
            from: From::Tables(
                "FROM contradiction LEFT JOIN session ON session.id = contradiction.session
                 LEFT JOIN settlement ON settlement.id = contradiction.settled ORDER BY contradiction.id",
            ),
        },
        Self {
            name: "decision",
            columns: layout::DECISION,
            from: From::Tables("FROM decision JOIN session ON session.id = decision.session ORDER BY decision.id"),
        },
        Self { name: "reading", columns: layout::READING, from: From::Images },
    ];

    /// Tells every row.
    pub(super) fn rows(&self, register: &Register, tell: &mut Tell<'_>) -> Result<(), Refusal> {
        match self.from {
            From::Tables(from) => self.of_tables(register, from, tell),
            From::Images => register.readings(&mut |session, readings| {
                readings.iter().try_for_each(|reading| tell(&of_reading(session, reading)))
            }),
        }
    }

    fn of_tables(&self, register: &Register, from: &str, tell: &mut Tell<'_>) -> Result<(), Refusal> {
        let columns: Vec<&str> = self.columns.iter().map(|column| column.from).collect();
        // an instant of a session comes with the offset of its own tie
        let offset = if self.name == "release" { "release.offset_seconds" } else { "0" };
        let text = format!("SELECT {}, {offset} {from}", columns.join(", "));
        let mut statement = register.connection.prepare(&text)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let offset: i32 = row.get::<_, Option<i32>>(columns.len())?.unwrap_or(0);
            let mut values = Vec::with_capacity(columns.len());
            for (place, column) in self.columns.iter().enumerate() {
                values.push(value(row.get_ref(place)?, column.kind, offset));
            }
            tell(&values)?;
        }
        Ok(())
    }
}

fn value(found: ValueRef<'_>, kind: Kind, offset: i32) -> Value {
    match (found, kind) {
        (ValueRef::Null, _) => Value::None,
        (ValueRef::Integer(seconds), Kind::Time) => Value::Time(seconds, offset),
        (ValueRef::Text(labelled), Kind::Time) => of_label(labelled),
        (ValueRef::Integer(number), Kind::Yes) => Value::Yes(number != 0),
        (ValueRef::Integer(hundredths), Kind::Hundredths) => Value::Real(hundredths as f64 / 100.0),
        (ValueRef::Integer(counts), Kind::Counts) => Value::Real(counts as f64 / 256.0),
        (ValueRef::Integer(bits), Kind::Grounds) => {
            let grounds = u32::try_from(bits).ok().and_then(Grounds::from_bits).unwrap_or_default();
            let words: Vec<&str> = grounds.iter().map(|ground| ground.word()).collect();
            Value::Text(words.join(","))
        }
        (ValueRef::Integer(number), Kind::Whole | Kind::Text) => Value::Whole(number),
        (ValueRef::Real(number), _) => Value::Real(number),
        (ValueRef::Text(text), _) => Value::Text(String::from_utf8_lossy(text).into_owned()),
        (ValueRef::Blob(bytes), _) => Value::Text(holdoff_evidence::keys::to_hex(bytes)),
    }
}

/// A time with the offset of the tie that labels it.
fn of_label(labelled: &[u8]) -> Value {
    let parts = std::str::from_utf8(labelled).ok().and_then(|text| text.split_once(' '));
    let time = parts.and_then(|(utc, offset)| utc.parse().ok().zip(offset.parse().ok()));
    time.map_or(Value::None, |(utc, offset)| Value::Time(utc, offset))
}

fn of_reading(session: &KeptSession, reading: &Reading) -> Vec<Value> {
    let text = |text: &str| Value::Text(text.to_owned());
    vec![
        text(&session.device),
        Value::Whole(i64::from(session.life)),
        Value::Whole(i64::from(session.first_page)),
        Value::Whole(reading.at),
        session
            .wall
            .clock(reading.at)
            .map_or(Value::None, |clock| Value::Time(clock.utc(reading.at), clock.offset_seconds)),
        reading.count.map_or(Value::None, |count| Value::Whole(i64::from(count))),
        reading.count.map_or(Value::None, |count| Value::Real(f64::from(count) / 256.0)),
        text(reading.became.word()),
        reading.became.cause().map_or(Value::None, |cause| text(Speech::PLAIN.refusal(cause))),
    ]
}
