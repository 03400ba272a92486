//! Values of a TOML file with the place they stand at.

use crate::decimal::Decimal;
use crate::problem::{Problem, shown};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A TOML text and what it is called.
pub(super) struct Reader<'a> {
    file: &'a str,
    text: &'a str,
}

impl<'a> Reader<'a> {
    pub(super) fn new(file: &'a str, text: &'a str) -> Self {
        Self { file, text }
    }

    pub(super) fn document(&self) -> Result<Spanned<DeTable<'a>>, Problem> {
        DeTable::parse(self.text).map_err(|error| {
            let span = error.span().unwrap_or(0..0);
            let what = error.message().replace('\n', ", ");
            self.at(&span, format!("this is no TOML: {what}"), "correct the file at this place")
        })
    }

    fn at(&self, span: &Range<usize>, what: impl Into<String>, remedy: &str) -> Problem {
        let before = self.text.get(..span.start).unwrap_or(self.text);
        let line = before.matches('\n').count() as u64 + 1;
        let column = before.rsplit('\n').next().map_or(0, |line| line.chars().count()) as u64 + 1;
        Problem::unusable(self.file, what, remedy).at(line, column)
    }
}

/// A table with its place.
pub(super) struct Table<'r, 'a> {
    reader: &'r Reader<'a>,
    table: &'r DeTable<'a>,
    span: Range<usize>,
}

impl<'r, 'a> Table<'r, 'a> {
    pub(super) fn new(reader: &'r Reader<'a>, table: &'r Spanned<DeTable<'a>>) -> Self {
        Self { reader, table: table.get_ref(), span: table.span() }
    }

    /// Refuses keys that are not known.
    pub(super) fn only(&self, known: &[&str]) -> Result<(), Problem> {
        let unknown = self.table.keys().find(|key| !known.contains(&key.get_ref().as_ref()));
        unknown.map_or(Ok(()), |key| {
            let what = format!("the key {} is not known here", shown(key.get_ref().as_bytes()));
            Err(self.reader.at(&key.span(), what, &format!("use one of: {}", known.join(", "))))
        })
    }

    /// Something is wrong with the table as a whole.
    pub(super) fn wrong(&self, what: impl Into<String>, remedy: &str) -> Problem {
        self.reader.at(&self.span, what, remedy)
    }

    /// A key is missing.
    pub(super) fn missing(&self, key: &str) -> Problem {
        self.wrong(format!("the key {key} is missing"), "add it; docs/interfaces.md shows a scenario")
    }

    /// Something is wrong with the value at a place.
    pub(super) fn wrong_at(&self, span: &Range<usize>, what: impl Into<String>, remedy: &str) -> Problem {
        self.reader.at(span, what, remedy)
    }

    /// Whether the key is there.
    pub(super) fn has(&self, key: &str) -> bool {
        self.value(key).is_some()
    }

    fn value(&self, key: &str) -> Option<&'r Spanned<DeValue<'a>>> {
        self.table.get(key)
    }

    /// A text.
    pub(super) fn text(&self, key: &str) -> Result<Option<(String, Range<usize>)>, Problem> {
        let Some(value) = self.value(key) else { return Ok(None) };
        match value.get_ref() {
            DeValue::String(text) => Ok(Some((text.clone().into_owned(), value.span()))),
            other => Err(self.kind(key, value, other, "a text in quotation marks")),
        }
    }

    /// A text that must be there and not be empty.
    pub(super) fn needed_text(&self, key: &str) -> Result<String, Problem> {
        match self.text(key)? {
            Some((text, _)) if !text.trim().is_empty() => Ok(text),
            Some((_, span)) => Err(self.wrong_at(&span, format!("{key} is empty"), "give it")),
            None => Err(self.missing(key)),
        }
    }

    /// One of several words.
    pub(super) fn word<'w>(&self, key: &str, words: &[&'w str]) -> Result<Option<&'w str>, Problem> {
        let Some((text, span)) = self.text(key)? else { return Ok(None) };
        let found = words.iter().find(|word| **word == text).copied();
        found.map(Some).ok_or_else(|| {
            let what = format!("{key} is {}, which is not known", shown(text.as_bytes()));
            self.wrong_at(&span, what, &format!("write one of: {}", words.join(", ")))
        })
    }

    /// A number, exactly as written.
    pub(super) fn decimal(&self, key: &str) -> Result<Option<(Decimal, Range<usize>)>, Problem> {
        let Some(value) = self.value(key) else { return Ok(None) };
        let decimal = match value.get_ref() {
            DeValue::Integer(whole) if whole.radix() == 10 => Decimal::parse(&whole.as_str().replace('_', "")).ok(),
            DeValue::Float(number) => Decimal::parse(&number.as_str().replace('_', "")).ok(),
            other => return Err(self.kind(key, value, other, "a number")),
        };
        decimal.map(|decimal| Some((decimal, value.span()))).ok_or_else(|| {
            self.wrong_at(&value.span(), format!("{key} is no finite decimal number"), "write it with digits")
        })
    }

    /// A time: a text or a TOML date-time, as text.
    pub(super) fn time(&self, key: &str) -> Result<Option<(String, Range<usize>)>, Problem> {
        let Some(value) = self.value(key) else { return Ok(None) };
        match value.get_ref() {
            DeValue::String(text) => Ok(Some((text.clone().into_owned(), value.span()))),
            DeValue::Datetime(_) => {
                let span = value.span();
                Ok(self.reader.text.get(span.clone()).map(|text| (text.to_owned(), span)))
            }
            other => Err(self.kind(key, value, other, "a time with its offset")),
        }
    }

    /// Whether the key is there and true; false is refused, since it would say nothing.
    pub(super) fn is_so(&self, key: &str) -> Result<bool, Problem> {
        let Some(value) = self.value(key) else { return Ok(false) };
        match value.get_ref() {
            DeValue::Boolean(true) => Ok(true),
            DeValue::Boolean(false) => {
                Err(self.wrong_at(&value.span(), format!("{key} = false says nothing"), "leave the line out"))
            }
            other => Err(self.kind(key, value, other, "true")),
        }
    }

    /// A table.
    pub(super) fn table(&self, key: &str) -> Result<Option<Self>, Problem> {
        let Some(value) = self.value(key) else { return Ok(None) };
        match value.get_ref() {
            DeValue::Table(table) => Ok(Some(Self { reader: self.reader, table, span: value.span() })),
            other => Err(self.kind(key, value, other, "a table")),
        }
    }

    /// A table, or true; `None` where it is true.
    pub(super) fn table_or_so(&self, key: &str) -> Result<Option<Self>, Problem> {
        match self.value(key).map(Spanned::get_ref) {
            Some(DeValue::Table(_)) => self.table(key),
            Some(_) | None => self.is_so(key).map(|_| None),
        }
    }

    /// A list of texts with their places; none where the key is missing.
    pub(super) fn texts(&self, key: &str) -> Result<Vec<(String, Range<usize>)>, Problem> {
        let Some(value) = self.value(key) else { return Ok(Vec::new()) };
        let DeValue::Array(list) = value.get_ref() else {
            return Err(self.kind(key, value, value.get_ref(), "a list of texts"));
        };
        list.iter()
            .map(|item| match item.get_ref() {
                DeValue::String(text) => Ok((text.clone().into_owned(), item.span())),
                other => Err(self.kind(key, item, other, "a text in quotation marks")),
            })
            .collect()
    }

    /// A list of tables; none where the key is missing.
    pub(super) fn tables(&self, key: &str) -> Result<Vec<Self>, Problem> {
        let Some(value) = self.value(key) else { return Ok(Vec::new()) };
        let DeValue::Array(list) = value.get_ref() else {
            return Err(self.kind(key, value, value.get_ref(), "a list of tables"));
        };
        list.iter()
            .map(|item| match item.get_ref() {
                DeValue::Table(table) => Ok(Self { reader: self.reader, table, span: item.span() }),
                other => Err(self.kind(key, item, other, "a table")),
            })
            .collect()
    }

    fn kind(&self, key: &str, value: &Spanned<DeValue<'a>>, found: &DeValue<'a>, wanted: &str) -> Problem {
        let what = format!("{key} is a {}, not {wanted}", found.type_str());
        self.wrong_at(&value.span(), what, &format!("give {wanted}"))
    }
}
