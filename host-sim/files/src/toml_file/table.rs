//! Values of a TOML table, each with its place; everything wrong is noted and reading goes on.

use super::Findings;
use crate::decimal::{Decimal, DecimalError};
use crate::duration;
use crate::problem::shown;
use holdoff_core::quantity::Span;
use std::cmp::Ordering;
use std::ops::Range;
use toml::de::{DeFloat, DeInteger, DeTable, DeValue};

/// Least temperature a resin file may have, °C.
const LEAST_DEGREES: i64 = -100;
/// Greatest temperature a resin file may have, °C.
const GREATEST_DEGREES: i64 = 120;

/// A table and where it is.
#[derive(Clone)]
pub(crate) struct Table<'t, 'i> {
    pub(super) entries: &'t DeTable<'i>,
    /// Of its header; what is missing is missing there.
    pub(crate) span: Range<usize>,
    /// As written in a message, such as `[substrate]`.
    pub(super) name: &'static str,
    /// How the value of a key is written, for a remedy.
    pub(super) example: fn(&str) -> String,
}

/// A value and the bytes of the file it stands in.
#[derive(Clone, Debug)]
pub(crate) struct At<T> {
    pub(crate) value: T,
    pub(crate) span: Range<usize>,
}

/// Whether a key may be left out.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Need {
    Required,
    Optional,
}

impl<'t, 'i> Table<'t, 'i> {
    /// A table called `name` in messages; `example` says how the value of a key is written.
    pub(crate) fn new(
        entries: &'t DeTable<'i>,
        span: Range<usize>,
        name: &'static str,
        example: fn(&str) -> String,
    ) -> Self {
        Self { entries, span, name, example }
    }

    /// Notes every key that isn't among these.
    pub(crate) fn only(&self, known: &[&str], findings: &mut Findings) {
        for key in self.entries.keys() {
            let name = key.get_ref().as_ref();
            if known.contains(&name) {
                continue;
            }
            let near = known.iter().min_by_key(|other| distance(name, other));
            // a third of the letters may be wrong
            let near = near.filter(|other| distance(name, other) * 3 <= name.len().max(3));
            let remedy = match near {
                Some(near) => format!("remove it, or write {near} if that is meant"),
                None => format!("remove it; {} may have {}", self.name, known.join(", ")),
            };
            findings.error(key.span(), format!("unknown key {} in {}", shown(name.as_bytes()), self.name), remedy);
        }
    }

    /// How a key with its value is written.
    pub(super) fn written(&self, key: &str) -> String {
        (self.example)(key)
    }

    /// A value and its place.
    pub(crate) fn value(
        &self,
        key: &str,
        need: Need,
        findings: &mut Findings,
    ) -> Option<(&'t DeValue<'i>, Range<usize>)> {
        let found = self.entries.get(key);
        if found.is_none() && need == Need::Required {
            let what = format!("{key} is missing in {}", self.name);
            findings.error(self.span.clone(), what, format!("add it: {}", self.written(key)));
        }
        found.map(|value| (value.get_ref(), value.span()))
    }

    /// A table in this one; always required.
    pub(crate) fn table(&self, key: &str, name: &'static str, findings: &mut Findings) -> Option<Table<'t, 'i>> {
        match self.value(key, Need::Required, findings)? {
            (DeValue::Table(entries), span) => Some(Table::new(entries, span, name, self.example)),
            (other, span) => wrong_kind(key, other, span, "a table", &format!("write it as {name}"), findings),
        }
    }

    /// A temperature within the range of a resin file.
    pub(crate) fn degrees(&self, key: &str, need: Need, findings: &mut Findings) -> Option<At<Decimal>> {
        let number = self.number(key, need, findings)?;
        let below = number.value.cmp_whole(LEAST_DEGREES) == Ordering::Less;
        if below || number.value.cmp_whole(GREATEST_DEGREES) == Ordering::Greater {
            let what = format!("{key} {} lies outside {LEAST_DEGREES} to {GREATEST_DEGREES} °C", number.value);
            findings.error(number.span, what, "give the temperature in °C");
            return None;
        }
        Some(number)
    }

    /// A number, exactly as written.
    pub(crate) fn number(&self, key: &str, need: Need, findings: &mut Findings) -> Option<At<Decimal>> {
        let (value, span) = self.value(key, need, findings)?;
        let read = match value {
            DeValue::Integer(integer) => whole(integer),
            DeValue::Float(float) => fraction(float),
            other => return wrong_kind(key, other, span, "a number", &self.written(key), findings),
        };
        match read {
            Ok(value) => Some(At { value, span }),
            Err(DecimalError::NotFinite) => {
                findings.error(span, format!("{key} is not a finite number"), "give the number the maker prints");
                None
            }
            Err(error) => {
                findings.error(span, format!("{key} {error}"), error.remedy());
                None
            }
        }
    }

    /// A duration.
    pub(crate) fn duration(&self, key: &str, need: Need, findings: &mut Findings) -> Option<At<Span>> {
        let (value, span) = self.value(key, need, findings)?;
        let DeValue::String(text) = value else {
            return wrong_kind(key, value, span, "a duration", &self.written(key), findings);
        };
        match duration::parse(text) {
            Ok(value) => Some(At { value, span }),
            Err(error) => {
                findings.error(span, format!("{key} {} {error}", shown(text.as_bytes())), error.remedy());
                None
            }
        }
    }

    /// A text.
    pub(crate) fn text(&self, key: &str, need: Need, findings: &mut Findings) -> Option<At<String>> {
        match self.value(key, need, findings)? {
            (DeValue::String(text), span) => Some(At { value: text.clone().into_owned(), span }),
            (other, span) => wrong_kind(key, other, span, "a text", &self.written(key), findings),
        }
    }

    /// True or false.
    pub(crate) fn yes_or_no(&self, key: &str, need: Need, findings: &mut Findings) -> Option<At<bool>> {
        match self.value(key, need, findings)? {
            (DeValue::Boolean(value), span) => Some(At { value: *value, span }),
            (other, span) => wrong_kind(key, other, span, "true or false", &self.written(key), findings),
        }
    }
}

/// Notes a value of another kind; gives `None` to go on with.
pub(crate) fn wrong_kind<T>(
    key: &str,
    found: &DeValue<'_>,
    span: Range<usize>,
    needed: &str,
    remedy: &str,
    findings: &mut Findings,
) -> Option<T> {
    let found = match found {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    };
    findings.error(span, format!("{key} is {found} where {needed} is needed"), remedy);
    None
}

fn whole(integer: &DeInteger<'_>) -> Result<Decimal, DecimalError> {
    if integer.radix() == 10 {
        return Decimal::parse(integer.as_str());
    }
    // more digits than this type holds are far outside every range all the same
    Ok(Decimal::from_whole(i128::from_str_radix(integer.as_str(), integer.radix()).unwrap_or(i128::MAX)))
}

fn fraction(float: &DeFloat<'_>) -> Result<Decimal, DecimalError> {
    Decimal::parse(float.as_str())
}

/// How many letters must be changed, put in or left out to make one word of the other.
fn distance(left: &str, right: &str) -> usize {
    let right: Vec<char> = right.chars().collect();
    let mut row: Vec<usize> = (0..=right.len()).collect();
    // a key longer than this resembles none
    for (line, letter) in left.chars().take(64).enumerate() {
        let (mut diagonal, mut last) = (line, line + 1);
        if let Some(first) = row.first_mut() {
            *first = last;
        }
        for (place, other) in row.iter_mut().skip(1).zip(&right) {
            let changed = diagonal + usize::from(letter != *other);
            diagonal = *place;
            *place = changed.min(diagonal + 1).min(last + 1);
            last = *place;
        }
    }
    row.last().copied().unwrap_or(usize::MAX)
}
