//! Reading a whole file that cannot be large: evidence of any kind.

use super::Streams;
use crate::picture;
use holdoff_core::seal::{PREFIX, ShortError, ShortForm};
use holdoff_files::decision::{MOST_BYTES as MOST_DECISION, Signed};
use holdoff_files::given::{Given, wanted};
use holdoff_files::problem::{Problem, shown_file};
use holdoff_files::toml_file::text_from;
use std::io::Read;

/// Larger than any memory image or picture that is read.
const MOST_BYTES: u64 = 64 * 1024 * 1024;

/// The bytes of a file.
fn bytes(file: &str) -> Result<Vec<u8>, Problem> {
    let unreadable = |error: std::io::Error| {
        Problem::unusable(file, format!("it can't be read: {error}"), "check its name and that you may read it")
    };
    // 24 digits are no file's name, as long as there is none of it
    if let (false, Some(problem)) = (std::path::Path::new(file).exists(), is_short(file)) {
        return Err(problem(file));
    }
    let mut bytes = Vec::new();
    let opened = holdoff_disk::open(file).map_err(unreadable)?;
    opened.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > MOST_BYTES {
        let what = format!("it is larger than {} MiB", MOST_BYTES / 1024 / 1024);
        return Err(Problem::unusable(file, what, "give a memory image, a release code or a picture of one"));
    }
    Ok(bytes)
}

/// The bytes of a file that is to be the raw memory of a logger.
pub(super) fn image(file: &str) -> Result<Vec<u8>, Problem> {
    let bytes = bytes(file)?;
    wanted(file, (&bytes, bytes.len() as u64), &[Given::Image])?;
    Ok(bytes)
}

/// What a file, or an argument that is none, is evidence of.
pub(super) enum Evidence {
    /// Perhaps a memory.
    Image(Vec<u8>),
    /// Release codes: one, or those of a picture.
    Codes(Vec<String>),
    /// A signed decision, and the bytes of its file.
    #[cfg_attr(not(feature = "register"), allow(dead_code, reason = "the register alone takes one in"))]
    Decision(Box<Signed>, Vec<u8>),
}

impl Evidence {
    /// Of an argument: a release code, or the name of a file.
    ///
    /// What else stands in a picture is passed over, and said to be.
    pub(super) fn of(argument: &str, streams: &mut Streams) -> Result<Self, Problem> {
        if argument.starts_with(PREFIX) {
            return Ok(Self::Codes(vec![argument.to_owned()]));
        }
        let bytes = bytes(argument)?;
        if picture::is_picture(&bytes) {
            return in_picture(argument, &bytes, streams).map(Self::Codes);
        }
        if Given::of(&bytes, bytes.len() as u64) == Some(Given::Decision) {
            return decision(argument, bytes);
        }
        wanted(argument, (&bytes, bytes.len() as u64), &[Given::Image, Given::Code, Given::Png])?;
        let Some(text) = text_in(&bytes) else { return Ok(Self::Image(bytes)) };
        if text.starts_with(PREFIX) {
            return Ok(Self::Codes(vec![text.to_owned()]));
        }
        match is_short(text) {
            Some(problem) => Err(problem(argument)),
            None => Ok(Self::Image(bytes)),
        }
    }
}

/// A signed decision in a file of these bytes.
fn decision(name: &str, bytes: Vec<u8>) -> Result<Evidence, Problem> {
    let text = text_from(name, &[Given::Decision], MOST_DECISION, Ok(&*bytes))?;
    Ok(Evidence::Decision(Box::new(Signed::parse(name, &text)?), bytes))
}

/// The release codes in a picture; there is one at least.
fn in_picture(name: &str, bytes: &[u8], streams: &mut Streams) -> Result<Vec<String>, Problem> {
    let remedy = "take it closer and sharper, with the whole code in it and no glare on it";
    let found = picture::codes(bytes)
        .map_err(|error| Problem::unusable(name, error.to_string(), "give a PNG or JPEG picture of a release code"))?;
    let (ours, others): (Vec<_>, Vec<_>) = found.into_iter().partition(|code| code.starts_with(PREFIX.as_bytes()));
    let others = match others.len() {
        0 => None,
        1 => Some("another code in the picture is no release code".to_owned()),
        number => Some(format!("{number} other codes in the picture are no release codes")),
    };
    if ours.is_empty() {
        let what = others.map_or_else(String::new, |others| format!("; {others}"));
        return Err(Problem::unusable(name, format!("no release code can be read in the picture{what}"), remedy));
    }
    if let Some(others) = others {
        streams.warn(&format!("{}: {others}, and passed over", shown_file(name)));
    }
    Ok(ours.iter().map(|code| String::from_utf8_lossy(code).into_owned()).collect())
}

/// The text of a file, whatever its program put before and behind it; `None` where it is none.
fn text_in(bytes: &[u8]) -> Option<&str> {
    let text = std::str::from_utf8(bytes).ok()?;
    Some(text.strip_prefix('\u{FEFF}').unwrap_or(text).trim())
}

/// What is said of a text that is the short form of a release, or that was meant as one; `None` of any other.
fn is_short(text: &str) -> Option<impl Fn(&str) -> Problem + use<>> {
    let (what, remedy) = match ShortForm::parse(text) {
        Ok(_) => (
            "this is the short form of a release, which names it and proves nothing",
            "give the release code itself, or a picture of it",
        ),
        Err(ShortError::Check | ShortError::Nothing) => (
            "these are 24 digits as the short form of a release has them, but a digit is wrong; it would prove nothing",
            "give the release code itself, or a picture of it",
        ),
        Err(ShortError::Character { .. } | ShortError::Length { .. }) => return None,
    };
    Some(move |name: &str| Problem::unusable(name, what, remedy))
}
