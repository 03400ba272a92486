//! One CSV record: where it ends, its fields, and where in the file they stand.
//!
//! The splitting is done by a CSV parser without allocation; around it stand the guards that a parser which "prefers
//! a parse over no parse" lacks: a longest record, quotation marks that close, text that is text. A quotation mark that
//! is never closed would otherwise swallow the rest of the file as one field.

use csv_core::{ReadFieldResult, Reader};

/// Cuts records into fields; keeps those of the last one.
pub(super) struct Splitter {
    reader: Reader,
    /// The fields' text, unquoted, one behind the other; as long as the longest record.
    text: Vec<u8>,
    fields: Vec<Field>,
    /// Bytes of the record, line end included.
    length: usize,
}

/// Where a field stands; small, since a record can have many.
#[derive(Clone, Copy, Debug)]
struct Field {
    /// Its first byte in the record.
    at: u32,
    /// Its unquoted text in the splitter's buffer.
    from: u32,
    to: u32,
}

/// Most fields a record may have.
const MOST_FIELDS: usize = 4096;

/// What makes a record unreadable; `at` is a byte in the record, from 0.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Fault {
    /// Longer than a record may be.
    TooLong,
    /// More fields than a record may have.
    TooMany,
    /// A quotation mark that is not closed within the longest record, or at all.
    Unclosed { at: usize },
    /// Something between a closing quotation mark and the next comma.
    BehindQuote { at: usize },
    /// A zero byte.
    Zero { at: usize },
    /// A byte that is no UTF-8.
    NotText { at: usize },
    /// A byte-order mark that does not stand at the beginning of the file.
    Mark,
}

impl Fault {
    /// What is wrong, what to do, and the byte in the record.
    pub(super) fn words(self, most: usize) -> (String, &'static str, usize) {
        match self {
            Self::TooLong => {
                let what = format!("a line is longer than {} KiB", most / 1024);
                (what, "check that this is a CSV file with one reading a line", 0)
            }
            Self::TooMany => {
                let what = format!("a line has more than {MOST_FIELDS} fields");
                (what, "check that this is a CSV file with one reading a line", 0)
            }
            Self::Unclosed { at } => {
                let what = "a quotation mark opens a field here and is not closed".to_owned();
                (what, "close it, or double it where it is part of the text", at)
            }
            Self::BehindQuote { at } => {
                let what = "text follows a closing quotation mark".to_owned();
                (what, "put a comma there, or double quotation marks that are part of the text", at)
            }
            Self::Zero { at } => {
                let what = "a zero byte: this is no text".to_owned();
                (what, "give a CSV file in UTF-8, not a spreadsheet or memory image", at)
            }
            Self::NotText { at } => ("a byte that is not UTF-8".to_owned(), "save the file as CSV in UTF-8", at),
            Self::Mark => {
                let what = "a byte-order mark in the middle of the file".to_owned();
                (what, "files were joined here: remove the mark and the repeated header", 0)
            }
        }
    }
}

const MARK: &[u8] = b"\xEF\xBB\xBF";

impl std::fmt::Debug for Splitter {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Splitter").field("fields", &self.fields).finish_non_exhaustive()
    }
}

impl Splitter {
    pub(super) fn new(most: usize) -> Self {
        Self { reader: Reader::new(), text: vec![0; most], fields: Vec::new(), length: 0 }
    }

    /// Longest record in bytes, line end included.
    pub(super) fn most(&self) -> usize {
        self.text.len()
    }

    /// How many fields the last record has.
    pub(super) fn count(&self) -> usize {
        self.fields.len()
    }

    /// Text of a field of the last record, without quotation marks and without spaces around it, and the place of its
    /// first byte in the record. Empty, and behind the last field, when there is no such field.
    pub(super) fn field(&self, number: usize) -> (&[u8], usize) {
        match self.fields.get(number) {
            Some(field) => {
                let text = self.text.get(field.from as usize..field.to as usize).unwrap_or_default();
                (trimmed(text), field.at as usize)
            }
            None => (&[], self.length.saturating_sub(1)),
        }
    }

    /// The bytes of the last record, when `rest` still begins with it.
    pub(super) fn raw<'a>(&self, rest: &'a [u8]) -> &'a [u8] {
        rest.get(..self.length).unwrap_or(rest)
    }

    /// Cuts the record that `rest` begins with. `rest` holds all that is left of the file when `ended`, else at least
    /// two bytes more than the longest record.
    pub(super) fn cut(&mut self, rest: &[u8], ended: bool) -> Result<(), Fault> {
        if rest.starts_with(MARK) {
            return Err(Fault::Mark);
        }
        let most = self.most().min(rest.len());
        let may_end = ended && rest.len() <= self.most();
        let window = rest.get(..most).unwrap_or(rest);
        match self.split(window, may_end) {
            Split::Whole => {
                // a line feed behind a carriage return belongs to it
                let pair = rest.get(self.length.saturating_sub(1)..=self.length) == Some(b"\r\n");
                self.length += usize::from(pair);
                text_only(self.raw(rest))?;
                self.well_quoted(self.raw(rest))
            }
            Split::TooMany => Err(Fault::TooMany),
            Split::Endless { field } => {
                text_only(without_cut_character(window))?;
                let unclosed = window.get(field) == Some(&b'"');
                Err(if unclosed { Fault::Unclosed { at: field } } else { Fault::TooLong })
            }
        }
    }

    fn split(&mut self, window: &[u8], may_end: bool) -> Split {
        self.fields.clear();
        match self.split_at_commas(window) {
            Some(split) => split,
            None => self.split_with_quotes(window, may_end),
        }
    }

    /// A line that ends in a line feed and has no quotation mark is split at its commas, which is half as fast again
    /// as the CSV parser; `None` for any other.
    fn split_at_commas(&mut self, window: &[u8]) -> Option<Split> {
        let end = memchr::memchr(b'\n', window)?;
        let line = window.get(..end)?;
        let line = line.strip_suffix(b"\r").unwrap_or(line);
        if memchr::memchr2(b'"', b'\r', line).is_some() {
            return None;
        }
        self.text.get_mut(..line.len())?.copy_from_slice(line);
        let mut from = 0;
        for to in memchr::memchr_iter(b',', line).chain([line.len()]) {
            if self.fields.len() == MOST_FIELDS {
                return Some(Split::TooMany);
            }
            self.fields.push(Field { at: from as u32, from: from as u32, to: to as u32 }); // a record is short
            from = to + 1;
        }
        self.length = end + 1;
        Some(Split::Whole)
    }

    fn split_with_quotes(&mut self, window: &[u8], may_end: bool) -> Split {
        self.reader.reset();
        // where the field being read, and its text, begin; the next bytes to be read and to be written
        let (mut at, mut from, mut taken, mut written) = (0, 0, 0, 0);
        loop {
            let input = window.get(taken..).unwrap_or_default();
            if input.is_empty() && !may_end {
                return Split::Endless { field: at };
            }
            let room = self.text.get_mut(written..).unwrap_or_default();
            let (result, read, wrote) = self.reader.read_field(input, room);
            (taken, written) = (taken + read, written + wrote);
            let last = match result {
                ReadFieldResult::InputEmpty => continue,
                ReadFieldResult::OutputFull => return Split::Endless { field: at },
                ReadFieldResult::Field { record_end } => record_end,
                ReadFieldResult::End => break,
            };
            if self.fields.len() == MOST_FIELDS {
                return Split::TooMany;
            }
            self.fields.push(Field { at: at as u32, from: from as u32, to: written as u32 }); // a record is short
            if last {
                break;
            }
            (at, from) = (taken, written);
        }
        self.length = taken;
        Split::Whole
    }

    /// Every field that begins with a quotation mark ends with one, and those between are doubled.
    fn well_quoted(&self, record: &[u8]) -> Result<(), Fault> {
        if memchr::memchr(b'"', record).is_none() {
            return Ok(());
        }
        for field in &self.fields {
            let start = field.at as usize;
            let raw = record.get(start..).unwrap_or_default();
            if !raw.starts_with(b"\"") {
                continue;
            }
            let mut at = 1;
            loop {
                let Some(mark) = memchr::memchr(b'"', raw.get(at..).unwrap_or_default()) else {
                    return Err(Fault::Unclosed { at: start });
                };
                at += mark + 1;
                match raw.get(at) {
                    Some(b'"') => at += 1,
                    None | Some(b',' | b'\r' | b'\n') => break,
                    Some(_) => return Err(Fault::BehindQuote { at: start + at }),
                }
            }
        }
        Ok(())
    }
}

enum Split {
    Whole,
    /// More fields than a record may have.
    TooMany,
    /// No end in sight; the field that was being read begins there.
    Endless {
        field: usize,
    },
}

fn text_only(bytes: &[u8]) -> Result<(), Fault> {
    if let Some(at) = memchr::memchr(0, bytes) {
        return Err(Fault::Zero { at });
    }
    std::str::from_utf8(bytes).map(|_| ()).map_err(|error| Fault::NotText { at: error.valid_up_to() })
}

/// Without the beginning of a character whose end lies behind the window.
fn without_cut_character(window: &[u8]) -> &[u8] {
    match std::str::from_utf8(window) {
        Err(error) if error.error_len().is_none() => window.get(..error.valid_up_to()).unwrap_or(window),
        _ => window,
    }
}

/// Without the spaces and tabs around it, and without the quotation marks that such spaces had hidden.
fn trimmed(text: &[u8]) -> &[u8] {
    match blanks_off(text) {
        [b'"', inner @ .., b'"'] if !inner.contains(&b'"') => blanks_off(inner),
        text => text,
    }
}

fn blanks_off(mut text: &[u8]) -> &[u8] {
    while let [b' ' | b'\t', rest @ ..] | [rest @ .., b' ' | b'\t'] = text {
        text = rest;
    }
    text
}

/// Length of the line that `rest` begins with, line end included, when nothing but spaces and tabs is on it.
pub(super) fn blank_line(rest: &[u8]) -> Option<usize> {
    let blanks = rest.iter().take_while(|byte| matches!(byte, b' ' | b'\t')).count();
    match rest.get(blanks..) {
        Some([b'\r', b'\n', ..]) => Some(blanks + 2),
        Some([b'\r' | b'\n', ..]) => Some(blanks + 1),
        Some([]) => Some(blanks),
        _ => None,
    }
}

/// How many lines end in these bytes: at a line feed, or at a carriage return without one.
pub(super) fn line_ends(bytes: &[u8]) -> u64 {
    memchr::memchr2_iter(b'\n', b'\r', bytes).filter(|at| ends_at(bytes, *at)).count() as u64
}

/// Line (from 0, counted from the record's own) and column (from 1) of a byte in a record.
pub(super) fn place(record: &[u8], at: usize) -> (u64, u64) {
    let at = at.min(record.len());
    let last = (0..at).rev().find(|place| ends_at(record, *place));
    let lines = (0..at).filter(|place| ends_at(record, *place)).count();
    (lines as u64, last.map_or(at + 1, |last| at - last) as u64)
}

fn ends_at(bytes: &[u8], at: usize) -> bool {
    match bytes.get(at) {
        Some(b'\n') => true,
        Some(b'\r') => bytes.get(at + 1) != Some(&b'\n'),
        _ => false,
    }
}
