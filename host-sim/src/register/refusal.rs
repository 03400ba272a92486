//! Why the register does not take something in, in words.

use crate::problem::{Problem, shown_file, visible};
use crate::stamp::format_seconds;
use crate::words::{EvidencePhrase as P, recorded};

/// Something that is in the register already.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Known {
    /// Where it came from.
    pub source: String,
    /// When it was taken in, seconds since 1970-01-01T00:00:00Z.
    pub taken_in: i64,
}

impl std::fmt::Display for Known {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let gaps = [("source", &*shown_file(&self.source)), ("time", &*format_seconds(self.taken_in, 0))];
        formatter.write_str(&recorded(P::Source, &gaps))
    }
}

/// Why not.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Refusal {
    /// Another program is writing to the register.
    Busy,
    /// There is no such file.
    Missing,
    /// The file is no register.
    NoRegister,
    /// The register was written by a later program.
    Later {
        /// Its version.
        found: usize,
    },
    /// The database failed.
    Database(String),
    /// Whoever took the export has gone away (a closed pipe).
    Enough,
    /// The export cannot be written.
    Export(String),
    /// It cannot be used: what is wrong with it.
    Unusable(String),
    /// The same bytes were taken in before.
    Duplicate(Known),
    /// A page differs from what an earlier image of the device holds.
    Rewritten {
        /// The device.
        device: String,
        /// The page.
        page: u32,
        /// The earlier image.
        earlier: Known,
    },
    /// It was declared that the memory had been made blank, but it goes on where it was.
    NotBlanked {
        /// The device.
        device: String,
    },
    /// Another release of the same fixing, at the same time.
    OtherRelease {
        /// The fixing.
        fixing: String,
        /// The other one.
        earlier: Known,
    },
    /// A release that a later one of the same fixing replaced.
    Replaced {
        /// The fixing.
        fixing: String,
        /// Where the register has the one that replaced it, or this very one, from.
        known: Known,
    },
    /// A release, and the memory that should hold it.
    AgainstMemory {
        /// The fixing.
        fixing: String,
        /// What they say differently.
        what: String,
        /// The other one.
        other: Known,
    },
}

impl Refusal {
    /// With the name of what was to be taken in, or of the register.
    pub fn problem(&self, name: &str) -> Problem {
        let (what, remedy) = self.words();
        Problem::unusable(name, what, remedy)
    }

    fn words(&self) -> (String, String) {
        let ask = "nothing was taken in; ask who keeps the logger which of the two is right, and keep both files";
        match self {
            Self::Busy => (
                "another program is writing to the register".to_owned(),
                "nothing was changed; wait until it is done and do it again".to_owned(),
            ),
            Self::Missing => (
                "there is no such register".to_owned(),
                "check its name; `holdoff register add` makes a new one".to_owned(),
            ),
            Self::NoRegister => {
                ("this is no register of holdoff".to_owned(), "name another file; this one was left alone".to_owned())
            }
            Self::Later { found } => (
                format!(
                    "the register has version {found}, written by a later holdoff; this one knows versions up to {}",
                    super::VERSION
                ),
                "use the later program; the file was left alone".to_owned(),
            ),
            Self::Database(what) => {
                (format!("the register failed: {what}"), "check the disk and that you may write there".to_owned())
            }
            Self::Enough => ("nobody takes the export any more".to_owned(), "nothing has to be done".to_owned()),
            Self::Export(what) => {
                (what.clone(), "check that the folder exists and that you may write there".to_owned())
            }
            Self::Unusable(what) => {
                (what.clone(), "give a raw memory image, a release code, or a sharp picture of one".to_owned())
            }
            Self::Duplicate(known) => {
                (format!("this is in the register already ({known})"), "nothing has to be done".to_owned())
            }
            Self::Rewritten { device, page, earlier } => (
                format!(
                    "page {page} of logger {device} differs from what an earlier image of it holds ({earlier}): its \
                     history was rewritten"
                ),
                format!("{ask}; if its owner made its memory blank in between, add it with --blanked"),
            ),
            Self::NotBlanked { device } => (
                format!("the memory of logger {device} was not made blank: it goes on where the earlier image ends"),
                "leave --blanked out".to_owned(),
            ),
            Self::OtherRelease { fixing, earlier } => (
                format!("there is another release of fixing {} for the same time ({earlier})", visible(fixing)),
                ask.to_owned(),
            ),
            Self::Replaced { fixing, known } => (
                format!(
                    "this release of fixing {} was replaced by a later one: its hole was made stricter after it was signed \
                     ({known})",
                    visible(fixing)
                ),
                "nothing was taken in; `holdoff register list` tells what is in force".to_owned(),
            ),
            Self::AgainstMemory { fixing, what, other } => {
                (format!("release of fixing {}: {what} ({other})", visible(fixing)), ask.to_owned())
            }
        }
    }
}

impl From<rusqlite::Error> for Refusal {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            Some(ErrorCode::NotADatabase) => Self::NoRegister,
            // without the statement, which says nothing to a person
            Some(_) | None => Self::Database(match error {
                rusqlite::Error::SqliteFailure(_, Some(what)) => what,
                rusqlite::Error::SqlInputError { msg, .. } => msg,
                other => other.to_string(),
            }),
        }
    }
}
