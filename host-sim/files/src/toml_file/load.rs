//! The text of a file, and the document in it.

use super::Findings;
use crate::given::{Given, wanted};
use crate::problem::{Problem, replaced};
use holdoff_core::log::FileHash;
use sha2::{Digest, Sha256};
use std::io::Read;
use toml::Spanned;
use toml::de::DeTable;

/// What is looked at behind the most that is read, to tell what it is instead: more than any memory of a logger.
const MOST_BEHIND: u64 = 1024 * 1024;

/// Reads the text of a file of one of these kinds, the first of which gives it its name in messages, of at most `most_bytes`
/// bytes, from what came of opening it.
///
/// # Errors
/// A [`Problem`] when it can't be read, is of another kind, is too large for its kind, or is not UTF-8.
pub fn text_from(
    file: &str,
    kinds: &[Given],
    most_bytes: u64,
    opened: std::io::Result<impl Read>,
) -> Result<String, Problem> {
    let kind = kinds.first().map_or("file", |kind| kind.noun());
    let unreadable = |error: std::io::Error| {
        let what = format!("the {kind} can't be read: {error}");
        Problem::unusable(file, what, "check its name and that you may read it")
    };
    let mut bytes = Vec::new();
    let mut opened = opened.map_err(unreadable)?;
    opened.by_ref().take(most_bytes + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    let length =
        bytes.len() as u64 + std::io::copy(&mut opened.take(MOST_BEHIND), &mut std::io::sink()).map_err(unreadable)?;
    wanted(file, (&bytes, length), kinds)?;
    if bytes.len() as u64 > most_bytes {
        let what = format!("the file is larger than {} KiB, which no {kind} is", most_bytes / 1024);
        return Err(Problem::unusable(file, what, format!("give a {kind} in TOML")));
    }
    String::from_utf8(bytes).map_err(|error| {
        let good = error.as_bytes().get(..error.utf8_error().valid_up_to()).unwrap_or_default();
        let line = good.iter().filter(|byte| **byte == b'\n').count() as u64 + 1;
        let start = good.iter().rposition(|byte| *byte == b'\n').map_or(0, |last| last + 1);
        let column = String::from_utf8_lossy(good.get(start..).unwrap_or_default()).chars().count() as u64 + 1;
        Problem::unusable(file, "a byte that is not UTF-8: this is no TOML text", "save the file as text in UTF-8")
            .at(line, column)
    })
}

/// What a record that rests on a file keeps of it: the SHA-256 of its text, byte for byte.
pub fn file_hash(text: &str) -> FileHash {
    FileHash(Sha256::digest(text.as_bytes()).into())
}

/// A text as a basic string of TOML.
pub fn quoted(text: &str) -> String {
    let special = |character: char| matches!(character, '"' | '\\') || character.is_control();
    let inner = replaced(text, special, |character, made| match character {
        '"' | '\\' => made.extend(['\\', character]),
        control => made.push_str(&format!("\\u{:04X}", u32::from(control))),
    });
    format!("\"{inner}\"")
}

/// The document of a text; `None`, with findings, when it is no TOML.
pub(crate) fn document<'t>(text: &'t str, findings: &mut Findings) -> Option<Spanned<DeTable<'t>>> {
    let (document, errors) = DeTable::parse_recoverable(text);
    if errors.is_empty() {
        return Some(document);
    }
    for error in &errors {
        let what = format!("this is no TOML: {}", error.message().replace('\n', ", "));
        findings.error(error.span().unwrap_or(0..0), what, "correct the file at this place");
    }
    None
}
