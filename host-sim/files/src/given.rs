//! What a file is that was given to be read, by its bytes.
//!
//! What for: whoever names a job file where a resin file is read is told so in one line, and not that a dozen keys are unknown.
//! Terms: a file is *given* for what the user takes it for, and *wanted* is what is read there.
//! Invariants: nothing that a reader would take is refused here: a kind is told only by marks that no other kind has, and a
//! file with the marks of two kinds, or of none, is left to its reader.
//! What it does not do: say whether a file of a kind can be used.

use crate::kind::{Kind, PART};
use crate::problem::Problem;
use holdoff_core::seal::PREFIX;

/// A kind of file that users have.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Given {
    /// A resin's schedule.
    Resin,
    /// The specification of a site.
    Job,
    /// A group of fixings with their actions in time.
    Scenario,
    /// Results of proof tests.
    ProofTests,
    /// The calibration of a probe.
    Calibration,
    /// A signed decision of an engineer.
    Decision,
    /// Public keys.
    PublicKeys,
    /// A secret key.
    SecretKey,
    /// A table with a column for the time.
    Trace,
    /// The raw memory of a logger.
    Image,
    /// The part of a memory whose reading was broken off.
    Part,
    /// A register.
    Register,
    /// A release code as text.
    Code,
    /// A picture: PNG.
    Png,
    /// A picture: JPEG.
    Jpeg,
    /// A page.
    Html,
    /// A drawing.
    Svg,
    /// A manual page.
    Manual,
    /// A table of an export.
    Parquet,
}

/// The tables of TOML files, and the one kind of file that has them.
const TABLES: [(&str, Given); 17] = [
    ("substrate", Given::Resin),
    ("cartridge", Given::Resin),
    ("hole", Given::Resin),
    ("accrual", Given::Resin),
    ("band", Given::Resin),
    ("settings", Given::Job),
    ("supplies", Given::Job),
    ("batch", Given::Job),
    ("group", Given::Job),
    ("engineer", Given::Job),
    ("fixing", Given::Scenario),
    ("test", Given::ProofTests),
    ("reference", Given::Calibration),
    ("point", Given::Calibration),
    ("decision", Given::Decision),
    ("key", Given::PublicKeys),
    ("secret", Given::SecretKey),
];

impl Given {
    /// What begins like this and has so many bytes in all; `None` where that cannot be told.
    pub fn of(first: &[u8], length: u64) -> Option<Self> {
        let written = [
            (Kind::Html, Self::Html),
            (Kind::Svg, Self::Svg),
            (Kind::Png, Self::Png),
            (Kind::Manual, Self::Manual),
            (Kind::Parquet, Self::Parquet),
            (Kind::Image, Self::Image),
            (Kind::Register, Self::Register),
        ];
        if let Some((_, given)) = written.iter().find(|(kind, _)| kind.is(first, length)) {
            return Some(*given);
        }
        if first.starts_with(PART) {
            return Some(Self::Part);
        }
        if first.starts_with(b"\xFF\xD8\xFF") {
            return Some(Self::Jpeg);
        }
        let text = first.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(first).trim_ascii_start();
        if text.starts_with(PREFIX.as_bytes()) {
            return Some(Self::Code);
        }
        of_toml(text).or_else(|| is_trace(text).then_some(Self::Trace))
    }

    /// What it is called, with its article.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Resin => "a resin file",
            Self::Job => "a job file",
            Self::Scenario => "a scenario",
            Self::ProofTests => "a file of proof tests",
            Self::Calibration => "a calibration record",
            Self::Decision => "a signed decision",
            Self::PublicKeys => "a file of public keys",
            Self::SecretKey => "a secret key",
            Self::Trace => "a table in CSV, such as a trace",
            Self::Image => Kind::Image.words(),
            Self::Part => Kind::Part.words(),
            Self::Register => "a database, such as a register",
            Self::Code => "a release code",
            Self::Png => Kind::Png.words(),
            Self::Jpeg => "a JPEG picture",
            Self::Html => Kind::Html.words(),
            Self::Svg => Kind::Svg.words(),
            Self::Manual => Kind::Manual.words(),
            Self::Parquet => Kind::Parquet.words(),
        }
    }

    /// What it is called without its article.
    pub fn noun(self) -> &'static str {
        let words = self.words();
        words.split_once(' ').map_or(words, |(_, noun)| noun)
    }

    /// What is wanted where it is read.
    const fn wanted(self) -> &'static str {
        match self {
            Self::Trace => "a trace (CSV)",
            Self::Register => "a register",
            Self::Png | Self::Jpeg => "a picture of one",
            Self::Resin
            | Self::Job
            | Self::Scenario
            | Self::ProofTests
            | Self::Calibration
            | Self::Decision
            | Self::PublicKeys
            | Self::SecretKey
            | Self::Image
            | Self::Part
            | Self::Code
            | Self::Html
            | Self::Svg
            | Self::Manual
            | Self::Parquet => self.words(),
        }
    }

    /// Where it is read.
    const fn place(self) -> &'static str {
        match self {
            Self::Resin => "`holdoff resin check` and --resin take this one",
            Self::Job => "`holdoff job check`, `plan`, `link PORT load` and --job take this one",
            Self::Scenario => "`holdoff replay --scenario` and `link PORT load` take this one",
            Self::ProofTests => "`holdoff report --proof-tests` takes this one",
            Self::Calibration => "`holdoff probe check` and `report --calibration` take this one",
            Self::Decision => "`holdoff decide check` and `register add` take this one",
            Self::PublicKeys => "`holdoff keys list` and --keys take this one",
            Self::SecretKey => "`holdoff replay --key` takes this one; nobody but its logger needs it",
            Self::Trace => "`holdoff replay`, `depth` and `plan --forecast` take a trace",
            Self::Image => "`holdoff read`, `prove`, `report` and `register add` take this one",
            Self::Part => "`holdoff link PORT read` goes on with this one",
            Self::Register => "`holdoff register --file`, `board --register` and `report --register` take a register",
            Self::Code | Self::Png | Self::Jpeg => {
                "`holdoff prove` and `register add` take a release code or its picture"
            }
            Self::Html | Self::Svg | Self::Manual | Self::Parquet => "no command reads this one",
        }
    }
}

/// Refuses what is told to be of another kind than is read; `first` is how the file begins, `length` its bytes in all.
///
/// # Errors
/// A [`Problem`] that says what it is, what is needed, and where this one is read.
pub fn wanted(file: &str, (first, length): (&[u8], u64), kinds: &[Given]) -> Result<(), Problem> {
    match Given::of(first, length) {
        Some(given) if !kinds.contains(&given) => Err(given.instead(file, kinds)),
        Some(_) | None => Ok(()),
    }
}

impl Given {
    /// What is said where it was given instead of one of these kinds.
    fn instead(self, file: &str, kinds: &[Self]) -> Problem {
        let mut names: Vec<&str> = kinds.iter().map(|kind| kind.wanted()).collect();
        names.dedup();
        let last = names.pop().unwrap_or_default();
        let names = if names.is_empty() { last.to_owned() } else { format!("{} or {last}", names.join(", ")) };
        let what = format!("this is {}, and {names} is needed here", self.words());
        Problem::unusable(file, what, format!("name {names}; {}", self.place()))
    }
}

/// A kind whose tables the text has, and no other kind's.
fn of_toml(text: &[u8]) -> Option<Given> {
    let mut found = None;
    for line in text.split(|byte| *byte == b'\n') {
        let line = line.trim_ascii();
        let Some(name) = line.strip_prefix(b"[[").or_else(|| line.strip_prefix(b"[")) else { continue };
        let name = name.split(|byte| matches!(byte, b']' | b'.')).next().unwrap_or_default().trim_ascii();
        let Some((_, given)) = TABLES.iter().find(|(table, _)| table.as_bytes() == name) else { continue };
        match found {
            None => found = Some(*given),
            Some(other) if other == *given => {}
            Some(_) => return None,
        }
    }
    found
}

/// Whether the first line names columns, and one of them `time`.
fn is_trace(text: &[u8]) -> bool {
    let header = text.split(|byte| *byte == b'\n').next().unwrap_or_default();
    let mut names = header.split(|byte| *byte == b',').map(<[u8]>::trim_ascii);
    header.contains(&b',') && names.any(|name| name == b"time" || name == b"\"time\"")
}

#[cfg(test)]
mod tests {
    use super::{Given, wanted};

    fn of(text: &str) -> Option<Given> {
        Given::of(text.as_bytes(), text.len() as u64)
    }

    #[test]
    fn a_kind_is_told_by_marks_that_no_other_kind_has() {
        assert_eq!(of("\u{FEFF}name = \"x\"\n  [[ band ]]  # the first\n"), Some(Given::Resin));
        assert_eq!(of("[group.proof]\n[[group]]\n"), Some(Given::Job));
        assert_eq!(of("time,temperature_c\r\n"), Some(Given::Trace));
        assert_eq!(of("[[band]]\n[[group]]\n"), None, "two kinds");
        assert_eq!(of("# [[band]] in a comment\nname = 1\n"), None);
        assert_eq!(of("clock,temperature\n"), None);
        assert_eq!(of(""), None);
    }

    #[test]
    fn a_refusal_says_what_it_is_what_is_needed_and_where_this_one_is_read() {
        let text = "[[group]]\n";
        let given = (text.as_bytes(), text.len() as u64);
        let problem = wanted("a.toml", given, &[Given::Resin]).err().map(|problem| problem.to_string());
        assert_eq!(
            problem.as_deref(),
            Some(
                "a.toml: this is a job file, and a resin file is needed here\n  name a resin file; `holdoff job check`, `plan`, \
                 `link PORT load` and --job take this one"
            )
        );
        assert_eq!(wanted("a.toml", given, &[Given::Job, Given::Scenario]), Ok(()));
        assert_eq!(wanted("a.toml", (b"rubbish", 7), &[Given::Resin]), Ok(()));
    }
}
