//! What a file is, by its first bytes.

use holdoff_core::log::{Geometry, PAGE};
use holdoff_core::seal::MOST_SEALED_HEAD;

/// How many bytes of a file tell what it is.
pub const FIRST: u64 = 4096;

/// How the part of a memory begins that is being read out.
pub(crate) const PART: &[u8] = b"holdoff part ";

/// A kind of file that the program writes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Kind {
    /// A page: HTML.
    Html,
    /// A drawing: SVG.
    Svg,
    /// A picture: PNG.
    Png,
    /// A manual page of the program.
    Manual,
    /// A table whose first line begins with these names of columns.
    Csv(String),
    /// A table in Parquet.
    Parquet,
    /// The raw memory of a logger.
    Image,
    /// The part of a memory whose reading was broken off.
    Part,
    /// A register.
    Register,
    /// A signed decision: none is ever replaced, since nobody else can make it again.
    Decision,
    /// This very text: a file that people change, so another one is theirs.
    Text(&'static str),
}

impl Kind {
    /// Whether a file that begins like this, of so many bytes in all, is of the kind.
    pub fn is(&self, first: &[u8], length: u64) -> bool {
        match self {
            Self::Html => begins(first, "<!doctype html"),
            Self::Svg => begins(first, "<svg") || (begins(first, "<?xml") && holds(first, b"<svg")),
            Self::Png => first.starts_with(b"\x89PNG\r\n\x1a\n"),
            Self::Manual => holds(first, b".TH holdoff"),
            Self::Csv(header) => first
                .strip_prefix(header.as_bytes())
                .is_some_and(|rest| matches!(rest.first(), Some(b',' | b'\n' | b'\r'))),
            Self::Parquet => first.starts_with(b"PAR1"),
            Self::Image => is_image(first, length),
            // killed while its first bytes were written, it has fewer
            Self::Part => first.starts_with(PART) || PART.starts_with(first),
            Self::Register => is_database(first),
            Self::Decision => false,
            Self::Text(text) => length == text.len() as u64 && text.as_bytes().starts_with(first),
        }
    }

    /// What it is called.
    pub const fn words(&self) -> &'static str {
        match self {
            Self::Html => "an HTML page",
            Self::Svg => "an SVG drawing",
            Self::Png => "a PNG picture",
            Self::Manual => "a manual page of holdoff",
            Self::Csv(_) => "this CSV table",
            Self::Parquet => "a Parquet table",
            Self::Image => "the memory of a logger",
            Self::Part => "the part of a memory that is being read",
            Self::Register => "a register",
            Self::Decision => "an empty file",
            Self::Text(_) => "this very example",
        }
    }
}

/// What a file is called that begins like this; `None` where that cannot be told.
pub fn told(first: &[u8], length: u64) -> Option<&'static str> {
    crate::given::Given::of(first, length).map(crate::given::Given::words)
}

fn is_database(first: &[u8]) -> bool {
    first.starts_with(b"SQLite format 3\0")
}

/// The memory in a file of so many bytes: all of it, or all but the logger's signed word for its end; `None` where no memory
/// has that size.
pub fn geometry_of(length: u64) -> Option<Geometry> {
    let of_size = |length: u64| u32::try_from(length).ok().and_then(Geometry::of_size);
    of_size(length).or_else(|| length.checked_sub(MOST_SEALED_HEAD as u64).and_then(of_size))
}

/// A memory has a size that there is, and its first slot is blank or holds a page of a memory of this size.
fn is_image(first: &[u8], length: u64) -> bool {
    let Some(geometry) = geometry_of(length) else { return false };
    let slots = geometry.bytes() as usize / PAGE;
    let blank = first.iter().take(PAGE).all(|byte| *byte == 0xFF);
    // the low bits of its layout are the logarithm of the number of slots (docs/log-format.md)
    let page = first.first() == Some(&b'H') && first.get(6).is_some_and(|layout| 1 << (layout & 0x0F) == slots);
    blank || page
}

/// Whether a text begins so, in capitals or not, behind a byte order mark and blanks.
fn begins(first: &[u8], word: &str) -> bool {
    let text = first.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(first).trim_ascii_start();
    text.get(..word.len()).is_some_and(|found| found.eq_ignore_ascii_case(word.as_bytes()))
}

fn holds(first: &[u8], part: &[u8]) -> bool {
    memchr::memmem::find(first, part).is_some()
}

#[cfg(test)]
mod tests {
    use super::{Kind, told};

    #[test]
    fn a_kind_is_told_by_its_first_bytes() {
        let mut page = vec![0u8; 4096];
        page[0] = b'H';
        page[6] = 0x13; // 2^3 slots of 512 bytes
        let files: [(&[u8], Kind); 9] = [
            (b"\xEF\xBB\xBF <!DOCTYPE html><html>", Kind::Html),
            (b"<?xml version=\"1.0\"?>\n<svg>", Kind::Svg),
            (b"\x89PNG\r\n\x1a\n...", Kind::Png),
            (b".ie \\n(.g .ds Aq\n.TH holdoff-read 1\n", Kind::Manual),
            (b"sha256,device,life\n", Kind::Csv("sha256,device".to_owned())),
            (b"PAR1...", Kind::Parquet),
            (&page, Kind::Image),
            (b"holdoff part 1\n", Kind::Part),
            (b"SQLite format 3\0", Kind::Register),
        ];
        for (place, (bytes, _)) in files.iter().enumerate() {
            for (other, (_, kind)) in files.iter().enumerate() {
                assert_eq!(kind.is(bytes, bytes.len() as u64), place == other, "{kind:?} {place}");
            }
        }
        assert!(Kind::Image.is(&[0xFF; 4096], 4096) && Kind::Image.is(&[0xFF; 4096], 65_536));
        assert!(!Kind::Image.is(&page, 8192) && !Kind::Image.is(&page, 4097));
        assert!(!Kind::Csv("time".to_owned()).is(b"times,temperature_c\n", 20));
        assert!(Kind::Part.is(b"holdoff p", 9) && !Kind::Part.is(b"holdoff q", 9));
        assert!(Kind::Text("a = 1\n").is(b"a = 1\n", 6) && !Kind::Text("a = 1\n").is(b"a = 2\n", 6));
    }

    #[test]
    fn what_would_be_lost_is_named() {
        assert_eq!(told(b"SQLite format 3\0", 16), Some("a database, such as a register"));
        assert_eq!(told(b"# holdoff\n[secret]\n", 19), Some("a secret key"));
        assert_eq!(told(b"time,temperature_c\n", 19), Some("a table in CSV, such as a trace"));
        assert_eq!(told(b"a letter\n", 9), None);
    }
}
