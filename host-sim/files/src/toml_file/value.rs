//! Further kinds of values: words, dates, whole numbers, lists, tables in tables.

use super::Findings;
use super::table::{At, Need, Table, wrong_kind};
use crate::decimal::Decimal;
use crate::problem::shown;
use crate::stamp::{Stamp, parse_date};
use chrono::NaiveDate;
use holdoff_core::cure::Rule;
use holdoff_core::resin::Hole;
use std::ops::RangeInclusive;
use toml::de::DeValue;

/// Hole conditions with their words.
pub(crate) const HOLES: [(&str, Hole); 3] =
    [(Hole::Dry.word(), Hole::Dry), (Hole::Wet.word(), Hole::Wet), (Hole::Flooded.word(), Hole::Flooded)];
/// Rules with their words.
pub(crate) const RULES: [(&str, Rule); 2] =
    [(Rule::Coldest.word(), Rule::Coldest), (Rule::Accrual.word(), Rule::Accrual)];

impl<'t, 'i> Table<'t, 'i> {
    /// Whether the key is there.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.entries.contains_key(key)
    }

    /// Whether the key is there with a text.
    pub(crate) fn is_text(&self, key: &str) -> bool {
        self.entries.get(key).is_some_and(|value| matches!(value.get_ref(), DeValue::String(_)))
    }

    /// Whether the key is there with a table.
    pub(crate) fn is_table(&self, key: &str) -> bool {
        self.entries.get(key).is_some_and(|value| matches!(value.get_ref(), DeValue::Table(_)))
    }

    /// Notes that a key that is known elsewhere says nothing here.
    pub(crate) fn unwanted(&self, key: &str, why: &str, findings: &mut Findings) {
        if let Some((found, _)) = self.entries.get_key_value(key) {
            findings.error(found.span(), format!("{key} says nothing here: {why}"), "remove the line");
        }
    }

    /// A table in this one that may be left out.
    pub(crate) fn table_if_there(
        &self,
        key: &str,
        name: &'static str,
        findings: &mut Findings,
    ) -> Option<Table<'t, 'i>> {
        if self.has(key) { self.table(key, name, findings) } else { None }
    }

    /// The tables of a list, such as all `[[group]]`; none, with a finding when they are needed, where the key is missing.
    pub(crate) fn tables(
        &self,
        key: &str,
        name: &'static str,
        need: Need,
        findings: &mut Findings,
    ) -> Vec<Table<'t, 'i>> {
        let remedy = format!("write {name}, in double brackets, above each");
        let Some((value, span)) = self.value(key, need, findings) else { return Vec::new() };
        let DeValue::Array(list) = value else {
            wrong_kind::<()>(key, value, span, "a list of tables", &remedy, findings);
            return Vec::new();
        };
        if list.is_empty() && need == Need::Required {
            findings.error(span, format!("there is no {name}"), remedy.as_str());
        }
        let table = |entry: &'t toml::Spanned<DeValue<'i>>| match entry.get_ref() {
            DeValue::Table(entries) => Some(Table::new(entries, entry.span(), name, self.example)),
            other => wrong_kind(name, other, entry.span(), "a table", &remedy, findings),
        };
        list.iter().filter_map(table).collect()
    }

    /// A text with something in it, without blanks around it and without characters that can't be seen.
    pub(crate) fn plain_text(&self, key: &str, need: Need, findings: &mut Findings) -> Option<At<String>> {
        let text = self.text(key, need, findings)?;
        plain(key, text, findings)
    }

    /// One of several words.
    pub(crate) fn word<T: Copy>(
        &self,
        key: &str,
        need: Need,
        words: &[(&str, T)],
        findings: &mut Findings,
    ) -> Option<At<T>> {
        let text = self.text(key, need, findings)?;
        let found = words.iter().find(|(word, _)| *word == text.value);
        if found.is_none() {
            let known: Vec<String> = words.iter().map(|(word, _)| format!("\"{word}\"")).collect();
            let what = format!("{key} is {}, which is not known", shown(text.value.as_bytes()));
            findings.error(text.span.clone(), what, format!("write one of {}", known.join(", ")));
        }
        found.map(|(_, value)| At { value: *value, span: text.span })
    }

    /// A whole number within a range.
    pub(crate) fn whole(
        &self,
        key: &str,
        need: Need,
        range: RangeInclusive<u32>,
        findings: &mut Findings,
    ) -> Option<At<u32>> {
        let bounds = format!("is no whole number from {} to {}", range.start(), range.end());
        let made = |number: &Decimal| number.exactly(1).filter(|value| range.contains(value));
        self.number_as(key, need, made, (&bounds, &format!("write it such as {}", self.written(key))), findings)
    }

    /// A day, as a TOML date or as a text of the same form.
    pub(crate) fn date(&self, key: &str, need: Need, findings: &mut Findings) -> Option<At<NaiveDate>> {
        let (value, span) = self.value(key, need, findings)?;
        let text = match value {
            DeValue::Datetime(day) => day.to_string(),
            DeValue::String(text) => text.clone().into_owned(),
            other => return wrong_kind(key, other, span, "a day", &self.written(key), findings),
        };
        match parse_date(&text) {
            Ok(value) => Some(At { value, span }),
            Err(error) => {
                findings.error(span, format!("{key} {} {error}", shown(text.as_bytes())), error.remedy());
                None
            }
        }
    }

    /// A time with its offset, as a TOML date-time or as a text of the same form.
    pub(crate) fn stamp(&self, key: &str, need: Need, findings: &mut Findings) -> Option<Stamp> {
        let (value, span) = self.value(key, need, findings)?;
        let text = match value {
            DeValue::String(text) => text.clone().into_owned(),
            // as it is written, however many digits that has
            DeValue::Datetime(_) => findings.source().get(span.clone())?.to_owned(),
            other => return wrong_kind(key, other, span, "a time with its offset", &self.written(key), findings),
        };
        let read = Stamp::parse(&text);
        if let Err(error) = read {
            findings.error(span, format!("{key} {} {error}", shown(text.as_bytes())), error.remedy());
        }
        read.ok()
    }

    /// A list of plain texts; `None` where the key is missing or any of them can't be used.
    pub(crate) fn texts(&self, key: &str, findings: &mut Findings) -> Option<At<Vec<At<String>>>> {
        let (list, span) = self.list(key, findings)?;
        let mut texts = Vec::new();
        for entry in list {
            match entry.get_ref() {
                DeValue::String(text) => {
                    let text = At { value: text.clone().into_owned(), span: entry.span() };
                    texts.push(plain(key, text, findings));
                }
                other => {
                    texts.push(wrong_kind(key, other, entry.span(), "a list of texts", &self.written(key), findings))
                }
            }
        }
        texts.into_iter().collect::<Option<_>>().map(|value| At { value, span })
    }

    /// A list of whole numbers within a range; `None` where the key is missing or any of them can't be used.
    pub(crate) fn wholes(
        &self,
        key: &str,
        range: RangeInclusive<u32>,
        findings: &mut Findings,
    ) -> Option<At<Vec<u32>>> {
        let (list, span) = self.list(key, findings)?;
        let mut numbers = Vec::new();
        for entry in list {
            let number = match entry.get_ref() {
                DeValue::Integer(whole) => u32::from_str_radix(whole.as_str(), whole.radix()).ok(),
                other => wrong_kind(key, other, entry.span(), "a list of whole numbers", &self.written(key), findings),
            };
            let within = number.filter(|number| range.contains(number));
            if within.is_none() && matches!(entry.get_ref(), DeValue::Integer(_)) {
                let what = format!("a number in {key} is not from {} to {}", range.start(), range.end());
                findings.error(entry.span(), what, format!("write it such as {}", self.written(key)));
            }
            numbers.push(within);
        }
        numbers.into_iter().collect::<Option<_>>().map(|value| At { value, span })
    }

    fn list(
        &self,
        key: &str,
        findings: &mut Findings,
    ) -> Option<(impl Iterator<Item = &'t toml::Spanned<DeValue<'i>>> + use<'t, 'i>, std::ops::Range<usize>)> {
        let (value, span) = self.value(key, Need::Optional, findings)?;
        match value {
            DeValue::Array(list) => Some((list.iter(), span)),
            other => wrong_kind(key, other, span, "a list", &self.written(key), findings),
        }
    }
}

fn plain(key: &str, text: At<String>, findings: &mut Findings) -> Option<At<String>> {
    if text.value.trim().is_empty() {
        findings.error(text.span, format!("{key} is empty"), "give it, or leave the line out where it is optional");
        return None;
    }
    if text.value.trim() != text.value || text.value.chars().any(crate::problem::is_invisible) {
        let what =
            format!("{key} {} has blanks around it or characters that can't be seen", shown(text.value.as_bytes()));
        findings.error(text.span, what, "write it in plain letters: records carry it");
        return None;
    }
    Some(text)
}
