//! The values of one table of a job file, with where they stand.

use super::Length;
use super::place::Places;
use crate::toml_file::{At, Findings, Need, Table};
use chrono::NaiveDate;
use std::ops::RangeInclusive;

/// Reads a table and notes where its values stand.
pub(super) struct Reader<'r, 't, 'i> {
    pub(super) table: &'r Table<'t, 'i>,
    pub(super) findings: &'r mut Findings,
    pub(super) places: Places,
    /// Whether a required key is missing, or one is there and can't be used.
    pub(super) spoilt: bool,
}

impl<'r, 't, 'i> Reader<'r, 't, 'i> {
    pub(super) fn new(table: &'r Table<'t, 'i>, findings: &'r mut Findings) -> Self {
        let places = Places { header: table.span.clone(), ..Places::default() };
        Self { table, findings, places, spoilt: false }
    }

    /// Takes a value, notes its place, and remembers when it is there and can't be used.
    pub(super) fn take<T>(
        &mut self,
        key: &'static str,
        need: Need,
        read: impl FnOnce(&Table<'t, 'i>, &mut Findings) -> Option<At<T>>,
    ) -> Option<T> {
        match read(self.table, self.findings) {
            Some(at) => {
                self.places.keys.insert(key, at.span);
                Some(at.value)
            }
            None => {
                self.spoilt |= need == Need::Required || self.table.has(key);
                None
            }
        }
    }

    pub(super) fn text(&mut self, key: &'static str, need: Need) -> Option<String> {
        self.take(key, need, |table, findings| table.plain_text(key, need, findings))
    }

    pub(super) fn word<T: Copy>(&mut self, key: &'static str, need: Need, words: &[(&str, T)]) -> Option<T> {
        self.take(key, need, |table, findings| table.word(key, need, words, findings))
    }

    pub(super) fn whole(&mut self, key: &'static str, need: Need, range: RangeInclusive<u32>) -> Option<u32> {
        self.take(key, need, |table, findings| table.whole(key, need, range, findings))
    }

    pub(super) fn date(&mut self, key: &'static str, need: Need) -> Option<NaiveDate> {
        self.take(key, need, |table, findings| table.date(key, need, findings))
    }

    pub(super) fn length(&mut self, key: &'static str, need: Need) -> Option<Length> {
        self.take(key, need, |table, findings| length(table, key, need, findings))
    }

    /// Notes that a key stands where it says nothing.
    pub(super) fn unwanted(&mut self, key: &str, why: &str) {
        self.spoilt |= self.table.has(key);
        self.table.unwanted(key, why, self.findings);
    }
}

pub(super) fn length(table: &Table<'_, '_>, key: &str, need: Need, findings: &mut Findings) -> Option<At<Length>> {
    let number = table.number(key, need, findings)?;
    match Length::from_millimetres(&number.value) {
        Ok(value) => Some(At { value, span: number.span }),
        Err(error) => {
            findings.error(number.span, format!("{key} {} {error}", number.value), "give it in mm");
            None
        }
    }
}
