//! From the fields of a record to a row.

use super::record::Splitter;
use super::sensor;
use super::{Row, Sample, Unit};
use crate::decimal::{Decimal, DecimalError, Short};
use crate::problem::shown;
use crate::stamp::{Quick, Stamp};
use holdoff_core::probe::SensorKind;
use holdoff_core::quantity::Count;
use std::cmp::Ordering;

/// Where the two columns stand.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    pub(super) time: usize,
    pub(super) temperature: usize,
    /// How many columns the header has.
    pub(super) count: usize,
    /// Two columns, time first: the form that is read at fixed places.
    pub(super) in_order: bool,
    pub(super) unit: Unit,
    pub(super) sensor: Option<SensorKind>,
}

impl Default for Columns {
    fn default() -> Self {
        Self { time: 0, temperature: 1, count: 2, in_order: true, unit: Unit::Celsius, sensor: None }
    }
}

/// What is wrong with a row.
pub(super) struct Wrong {
    pub(super) what: String,
    pub(super) remedy: &'static str,
    /// Byte in the record, from 0.
    pub(super) at: usize,
}

/// Makes the row of the last record.
pub(super) fn row(record: &Splitter, columns: &Columns, quick: &mut Quick) -> Result<Row, Wrong> {
    let found = record.count();
    if found != columns.count {
        return Err(ragged(record, columns));
    }
    let (text, at) = record.field(columns.time);
    let (seconds, offset_seconds) = match quick.read_all(text) {
        Some(stamp) => (stamp.seconds, stamp.offset_seconds),
        None => Stamp::from_bytes(text)
            .map(|stamp| (stamp.floor_seconds(), stamp.offset_seconds()))
            .map_err(|error| Wrong { what: format!("time {} {error}", shown(text)), remedy: error.remedy(), at })?,
    };
    let (text, at) = record.field(columns.temperature);
    let reading = sample(text, columns.unit).map_err(|error| Wrong {
        what: format!("temperature {} {error}", shown(text)),
        remedy: error.remedy(),
        at,
    })?;
    let reading = match (columns.sensor, reading) {
        (Some(kind), Sample::Count(count)) => {
            let exactly = counts_exactly(text, columns.unit);
            sensor::deliver(kind, count, exactly).map_err(|what| Wrong {
                what: format!("temperature {} {what}", shown(text)),
                remedy: "give the trace as that sensor delivers it, or leave the sensor out",
                at,
            })?
        }
        (None, reading) | (Some(_), reading @ (Sample::OutOfRange | Sample::PowerUp | Sample::Missing)) => reading,
    };
    Ok(Row { seconds, offset_seconds, reading })
}

/// Whether a decimal that is a temperature is a whole number of counts.
fn counts_exactly(text: &[u8], unit: Unit) -> Exactly {
    let Ok(decimal) = Decimal::from_bytes(text) else { return Exactly::No };
    let (floor, ceil) = (decimal.floor_times(multiplier(unit)), decimal.ceil_times(multiplier(unit)));
    let whole = match unit {
        Unit::Celsius => true,
        Unit::Fahrenheit => (floor - 40_960).rem_euclid(9) == 0,
    };
    if floor == ceil && whole { Exactly::Yes } else { Exactly::No }
}

/// Whether rounding has changed nothing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Exactly {
    Yes,
    No,
}

fn ragged(record: &Splitter, columns: &Columns) -> Wrong {
    let found = record.count();
    let fields = if found == 1 { "field" } else { "fields" };
    let what = format!("the row has {found} {fields} where the header has {}", columns.count);
    let (remedy, at) = if found > columns.count {
        let remedy =
            "remove what is too much; a decimal comma needs to be a point, and text with commas quotation marks";
        (remedy, record.field(columns.count).1)
    } else {
        ("complete the row; a missing temperature is an empty field behind its comma", 0)
    };
    Wrong { what, remedy, at }
}

/// What a temperature field says; the field comes without spaces around it.
pub(super) fn sample(text: &[u8], unit: Unit) -> Result<Sample, DecimalError> {
    if text.is_empty() {
        return Ok(Sample::Missing);
    }
    if let Some(short) = Short::from_bytes(text) {
        return Ok(short_sample(short, unit));
    }
    let decimal = Decimal::from_bytes(text)?;
    let (least, greatest) = range(unit);
    let below = decimal.cmp_whole(i64::from(least)) == Ordering::Less;
    if below || decimal.cmp_whole(i64::from(greatest)) == Ordering::Greater {
        return Ok(Sample::OutOfRange);
    }
    Ok(in_range(decimal.floor_times(multiplier(unit)), unit))
}

/// The same for a short decimal.
#[inline]
pub(super) fn short_sample(short: Short, unit: Unit) -> Sample {
    let (least, greatest) = range(unit);
    if short.cmp_whole(least) == Ordering::Less || short.cmp_whole(greatest) == Ordering::Greater {
        return Sample::OutOfRange;
    }
    in_range(short.floor_times(multiplier(unit)), unit)
}

/// The sensor's own range, -55 to 125 °C, both inclusive (rule R2b). In Fahrenheit the same, exactly.
#[inline]
const fn range(unit: Unit) -> (i16, i16) {
    match unit {
        Unit::Celsius => (-55, 125),
        Unit::Fahrenheit => (-67, 257),
    }
}

#[inline]
const fn multiplier(unit: Unit) -> u16 {
    match unit {
        Unit::Celsius => 256,
        Unit::Fahrenheit => 1280, // 256 x 5
    }
}

/// From the number times the multiplier, rounded down, to the count. For Fahrenheit, floor(256 (F - 32) 5/9) =
/// floor((floor(1280 F) - 40 960) / 9): rounding down first changes nothing before a division by a whole number.
#[inline]
const fn in_range(product: i64, unit: Unit) -> Sample {
    let counts = match unit {
        Unit::Celsius => product,
        Unit::Fahrenheit => (product - 40_960).div_euclid(9),
    };
    Sample::Count(Count::new(counts as i16)) // -55 to 125 °C fits
}
