//! Why the register does not take something in, in words.

use super::decision::NotTaken;
use super::memory::MemoryError;
use holdoff_core::seal::CodeError;
use holdoff_evidence::{NotProved, Piece, RecordFault};
use holdoff_files::problem::{Problem, visible};
use holdoff_present::memory::{code_error, mount_error};
use holdoff_present::words::{Speech, Worded};

/// Why something is no evidence that a register takes in.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Unusable {
    /// It is no memory image.
    Memory(MemoryError),
    /// It is no release code.
    Code(CodeError),
    /// The release record in it cannot be read.
    Record(RecordFault),
}

impl Unusable {
    fn words(&self) -> String {
        match self {
            Self::Memory(MemoryError::NoLog(error)) => mount_error(error),
            Self::Memory(MemoryError::NoDevice) => {
                "no session's beginning can be read in it, so nobody knows whose it is".to_owned()
            }
            Self::Memory(MemoryError::TwoDevices { one, other }) => {
                format!("it holds sessions of two loggers, {one} and {other}")
            }
            Self::Code(error) => code_error(*error),
            Self::Record(fault) => NotProved::RecordUnreadable { error: *fault }.words(Speech::PLAIN),
        }
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
    Unusable(Unusable),
    /// The same bytes were taken in before.
    Duplicate(Piece),
    /// It was declared that the memory had been made blank, but it goes on where it was.
    NotBlanked {
        /// The device.
        device: String,
    },
    /// There is no open contradiction of a logger.
    NothingToSettle {
        /// The logger.
        device: String,
    },
    /// Two histories of a logger contradict each other, and nobody said which is right.
    WhichSide {
        /// The logger.
        device: String,
    },
    /// The image that is to be told from is not in the register.
    NotHeld {
        /// The logger.
        device: String,
    },
    /// A signed decision that is not taken in.
    Decision(Box<NotTaken>),
    /// A release that a later one of the same fixing replaced.
    Replaced {
        /// The fixing.
        fixing: String,
        /// Where the register has the one that replaced it, or this very one, from.
        known: Piece,
    },
}

impl Refusal {
    /// With the name of what was to be taken in, or of the register.
    pub fn problem(&self, name: &str) -> Problem {
        if let (Self::NoRegister, Some(problem)) = (self, holdoff_disk::no_register(name)) {
            return problem;
        }
        let (what, remedy) = self.words();
        Problem::unusable(name, what, remedy)
    }

    fn words(&self) -> (String, String) {
        let told = |known: &Piece| known.words(Speech::PLAIN);
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
                (what.words(), "give a raw memory image, a release code, or a sharp picture of one".to_owned())
            }
            Self::Duplicate(known) => {
                (format!("this is in the register already ({})", told(known)), "nothing has to be done".to_owned())
            }
            Self::NotBlanked { device } => (
                format!("the memory of logger {device} was not made blank: it goes on where the earlier image ends"),
                "leave --blanked out".to_owned(),
            ),
            Self::NothingToSettle { device } => (
                format!("nothing that is held of logger {device} contradicts itself"),
                "nothing was changed; `holdoff register list` names the loggers".to_owned(),
            ),
            Self::WhichSide { device } => (
                format!("two memories of logger {device} contradict each other, and it is not said which is right"),
                "nothing was changed; name one of the two files with --keep".to_owned(),
            ),
            Self::NotHeld { device } => (
                format!("the image to keep is none that the register holds of logger {device}"),
                "nothing was changed; give one of the two files that the contradiction names".to_owned(),
            ),
            Self::Decision(why) => why.words(),
            Self::Replaced { fixing, known } => (
                format!(
                    "this release of fixing {} was replaced by a later one: its hole was made stricter after it was signed \
                     ({})",
                    visible(fixing),
                    told(known)
                ),
                "nothing was taken in; `holdoff register list` tells what is in force".to_owned(),
            ),
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
