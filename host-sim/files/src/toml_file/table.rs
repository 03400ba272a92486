//! Values of a TOML table, each with its place; everything wrong is noted and reading goes on.

use super::Findings;
use crate::decimal::{Decimal, DecimalError};
use crate::duration;
use crate::problem::shown;
use holdoff_core::quantity::Span;
use std::ops::Range;
use strsim::levenshtein;
use toml::Spanned;
use toml::de::{DeInteger, DeString, DeTable, DeValue};

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

    /// Every key that isn't among these.
    pub(crate) fn unknown(&self, known: &[&str]) -> impl Iterator<Item = &'t Spanned<DeString<'i>>> {
        self.entries.keys().filter(move |key| !known.contains(&key.get_ref().as_ref()))
    }

    /// Notes every key that isn't among these.
    pub(crate) fn only(&self, known: &[&str], findings: &mut Findings) {
        for key in self.unknown(known) {
            let name = key.get_ref().as_ref();
            // a key longer than this resembles none
            let first: String = name.chars().take(64).collect();
            let distance = |other: &str| levenshtein(&first, other);
            let near = known.iter().min_by_key(|other| distance(other));
            // a third of the letters may be wrong
            let near = near.filter(|other| distance(other) * 3 <= name.len().max(3));
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
        let inside = |celsius: &Decimal| {
            let inside = celsius.cmp_whole(LEAST_DEGREES).is_ge() && celsius.cmp_whole(GREATEST_DEGREES).is_le();
            inside.then(|| celsius.clone())
        };
        let bounds = format!("lies outside {LEAST_DEGREES} to {GREATEST_DEGREES} °C");
        self.number_as(key, need, inside, (&bounds, "give the temperature in °C"), findings)
    }

    /// A number, exactly as written.
    pub(crate) fn number(&self, key: &str, need: Need, findings: &mut Findings) -> Option<At<Decimal>> {
        let (value, span) = self.value(key, need, findings)?;
        let read = match value {
            DeValue::Integer(integer) => whole(integer),
            DeValue::Float(float) => Decimal::parse(float.as_str()),
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

    /// A number that something can be made of; `bounds` and what to do are said of one that nothing can be made of.
    pub(crate) fn number_as<T>(
        &self,
        key: &str,
        need: Need,
        made: impl FnOnce(&Decimal) -> Option<T>,
        (bounds, remedy): (&str, &str),
        findings: &mut Findings,
    ) -> Option<At<T>> {
        let At { value: number, span } = self.number(key, need, findings)?;
        let found = made(&number);
        if found.is_none() {
            findings.error(span.clone(), format!("{key} {number} {bounds}"), remedy);
        }
        found.map(|value| At { value, span })
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
