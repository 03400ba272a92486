//! Reading key files: TOML without ever quoting what stands in it.

use holdoff_files::given::{Given, wanted};
use holdoff_files::problem::Problem;
use std::io::Read;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Most bytes of a key file; a hundred thousand keys.
const MOST: u64 = 16 * 1024 * 1024;

/// A key file's name and text.
pub(super) struct Source<'a> {
    pub(super) file: &'a str,
    pub(super) text: &'a str,
}

/// The text of a key file of one of these kinds, from what came of opening it.
///
/// # Errors
/// A [`Problem`] when it can't be read, is of another kind, is too long for a key file, or is not UTF-8.
pub fn text_from(name: &str, kinds: &[Given], opened: std::io::Result<impl Read>) -> Result<String, Problem> {
    let remedy = "name a key file made by `holdoff keys new`";
    let unusable = |error: std::io::Error| Problem::unusable(name, format!("it can't be read: {error}"), remedy);
    let mut bytes = Vec::new();
    let read = opened.map_err(unusable)?.take(MOST + 1).read_to_end(&mut bytes).map_err(unusable)?;
    wanted(name, (&bytes, read as u64), kinds)?;
    if read as u64 > MOST {
        return Err(Problem::unusable(name, "it is too long for a key file", remedy));
    }
    String::from_utf8(bytes).map_err(|_| Problem::unusable(name, "it is no text, so no key file", remedy))
}

impl<'a> Source<'a> {
    /// What is wrong, at a place in the file.
    pub(super) fn problem(&self, span: Range<usize>, what: &str, remedy: &str) -> Problem {
        let before = self.text.get(..span.start).unwrap_or(self.text);
        let line = before.bytes().filter(|&byte| byte == b'\n').count() as u64 + 1;
        let column = before.rsplit('\n').next().map_or(1, |line| line.chars().count() as u64 + 1);
        Problem::unusable(self.file, what, remedy).at(line, column)
    }

    /// The file as a table.
    pub(super) fn table(&self) -> Result<DeTable<'a>, Problem> {
        let parsed = DeTable::parse(self.text);
        // the parser's own message may quote the file, and the file may be a secret one
        parsed.map(Spanned::into_inner).map_err(|error| {
            let span = error.span().unwrap_or(0..0);
            self.problem(span, "this is no key file: a mistake in the TOML", "make it anew with `holdoff keys new`")
        })
    }

    /// A text of the table; `None` where it is left out.
    pub(super) fn text(
        &self,
        table: &DeTable<'a>,
        key: &'static str,
    ) -> Result<Option<(String, Range<usize>)>, Problem> {
        let Some(value) = table.get(key) else { return Ok(None) };
        let DeValue::String(text) = value.get_ref() else {
            return Err(self.problem(value.span(), &format!("{key} is not a text"), "put it in quotation marks"));
        };
        Ok(Some((text.clone().into_owned(), value.span())))
    }

    /// `N` bytes in hexadecimal digits; `None` where they are left out.
    pub(super) fn bytes<const N: usize>(
        &self,
        table: &DeTable<'a>,
        key: &'static str,
    ) -> Result<Option<[u8; N]>, Problem> {
        let Some((text, span)) = self.text(table, key)? else { return Ok(None) };
        let what = format!("{key} is not {N} bytes in {} hexadecimal digits", 2 * N);
        let remedy = "copy it whole from the file that `holdoff keys new` made";
        super::from_hex(&text).map(Some).ok_or_else(|| self.problem(span, &what, remedy))
    }

    /// Refuses keys that have no meaning.
    pub(super) fn only(&self, table: &DeTable<'a>, known: &[&str]) -> Result<(), Problem> {
        match table.keys().find(|key| !known.contains(&key.get_ref().as_ref())) {
            Some(key) => {
                let remedy = format!("remove it; known here: {}", known.join(", "));
                Err(self.problem(key.span(), "an unknown key", &remedy))
            }
            None => Ok(()),
        }
    }
}
