//! What people write, from the disk: opened here, read by the rooms that know what it says.

use crate::keys::PUBLIC_FILE;
use crate::open;
use chrono::NaiveDate;
use holdoff_evidence::keys::{Ring, SecretFile, text_from as key_text};
use holdoff_files::calibration::{self, Calibration};
use holdoff_files::decision::{self, Signed};
use holdoff_files::given::{Given, wanted};
use holdoff_files::job::{self, JobFile};
use holdoff_files::kind::FIRST;
use holdoff_files::problem::Problem;
use holdoff_files::proof_test::{self, ProofTests};
use holdoff_files::resin_file::{self, ResinFile};
use holdoff_files::scenario::{self, Scenario};
use holdoff_files::toml_file::{Findings, text_from};
use holdoff_files::trace::{Options, Trace};
use std::fs::File;
use std::io::{Read, Seek};
use std::path::{Path, PathBuf};

/// What is read as a public key file; a secret one has a message of its own.
pub(crate) const RING: &[Given] = &[Given::PublicKeys, Given::SecretKey];

/// A file that is read whole.
pub trait Load: Sized {
    /// Reads it.
    ///
    /// # Errors
    /// A [`Problem`] when it can't be read, and all that is wrong with what it says.
    fn load(file: &(impl AsRef<Path> + ?Sized)) -> Result<Self, Problem>;
}

impl Load for ResinFile {
    fn load(file: &(impl AsRef<Path> + ?Sized)) -> Result<Self, Problem> {
        let file = &*file.as_ref().to_string_lossy();
        Self::parse(file, &resin_text(file)?)
    }
}

impl Load for JobFile {
    /// With the resin file that it names, relative to its own folder.
    fn load(file: &(impl AsRef<Path> + ?Sized)) -> Result<Self, Problem> {
        let file = &*file.as_ref().to_string_lossy();
        let text = job_text(file)?;
        Self::examine(file, &text, resin_beside(file)).map_err(Findings::into_problem)
    }
}

impl Load for Scenario {
    /// The names of trace and resin file are made relative to where the program runs.
    fn load(file: &(impl AsRef<Path> + ?Sized)) -> Result<Self, Problem> {
        let file = &*file.as_ref().to_string_lossy();
        let text = text_from(file, &[Given::Scenario], scenario::MOST_BYTES, open(file))?;
        let mut scenario = Self::parse(file, &text)?;
        for name in [&mut scenario.trace, &mut scenario.resin] {
            if name != "-" {
                *name = beside(file, name);
            }
        }
        Ok(scenario)
    }
}

impl Load for ProofTests {
    fn load(file: &(impl AsRef<Path> + ?Sized)) -> Result<Self, Problem> {
        let file = &*file.as_ref().to_string_lossy();
        Self::parse(file, &text_from(file, &[Given::ProofTests], proof_test::MOST_BYTES, open(file))?)
    }
}

impl Load for Signed {
    fn load(file: &(impl AsRef<Path> + ?Sized)) -> Result<Self, Problem> {
        let file = &*file.as_ref().to_string_lossy();
        Self::parse(file, &text_from(file, &[Given::Decision], decision::MOST_BYTES, open(file))?)
    }
}

impl Load for Ring {
    /// Of a folder, the public key file that `holdoff keys new` made there.
    fn load(file: &(impl AsRef<Path> + ?Sized)) -> Result<Self, Problem> {
        let file = ring_file(file.as_ref());
        let name = file.to_string_lossy();
        Self::parse(&name, &key_text(&name, RING, open(&file))?)
    }
}

impl Load for SecretFile {
    fn load(file: &(impl AsRef<Path> + ?Sized)) -> Result<Self, Problem> {
        let file = &*file.as_ref().to_string_lossy();
        Self::parse(file, &key_text(file, &[Given::SecretKey], open(file))?)
    }
}

/// The public key file that is read where this is named: of a folder, the one in it.
pub fn ring_file(path: &Path) -> PathBuf {
    if path.is_dir() { path.join(PUBLIC_FILE) } else { path.to_path_buf() }
}

/// A calibration record; `today` as [`calibration::latest_day`] has it.
///
/// # Errors
/// A [`Problem`] when it can't be read, and all that is wrong with what it says.
pub fn calibration(file: &str, today: NaiveDate) -> Result<Calibration, Problem> {
    let text = text_from(file, &[Given::Calibration], calibration::MOST_BYTES, open(file))?;
    Calibration::parse(file, &text, today)
}

/// The text of a resin file.
///
/// # Errors
/// A [`Problem`] when it can't be read, is too large, or is not UTF-8.
pub fn resin_text(file: &str) -> Result<String, Problem> {
    text_from(file, &[Given::Resin], resin_file::MOST_BYTES, open(file))
}

/// The text of a job file.
///
/// # Errors
/// As [`resin_text`].
pub fn job_text(file: &str) -> Result<String, Problem> {
    text_from(file, &[Given::Job], job::MOST_BYTES, open(file))
}

/// The text of a file that may be a job file or a scenario.
///
/// # Errors
/// As [`resin_text`].
pub fn job_or_scenario_text(file: &str) -> Result<String, Problem> {
    text_from(file, &[Given::Job, Given::Scenario], job::MOST_BYTES, open(file))
}

/// Loads the resin files that a job file names: relative to its own folder.
pub fn resin_beside(file: &str) -> impl FnOnce(&str) -> Result<ResinFile, Problem> + use<'_> {
    move |name| ResinFile::load(&beside(file, name))
}

/// A name that stands in a file, as seen from where the program runs.
fn beside(file: &str, name: &str) -> String {
    Path::new(file).parent().unwrap_or(Path::new("")).join(name).to_string_lossy().into_owned()
}

/// Opens a trace; `-` is standard input.
///
/// # Errors
/// As [`Trace::new`] and [`open_recorded`].
pub fn open_trace(name: &str, options: &Options) -> Result<Trace<Box<dyn Read>>, Problem> {
    if name == "-" {
        return Trace::new(name, Box::new(std::io::stdin()), options);
    }
    Trace::new(name, Box::new(open_recorded(name)?.0), options)
}

/// Opens the file of a trace, with its length in bytes.
///
/// # Errors
/// A [`Problem`] when it can't be opened, or is of another kind.
pub fn open_recorded(name: &str) -> Result<(File, u64), Problem> {
    let unreadable = |error: std::io::Error| {
        let what = format!("the trace can't be opened: {error}");
        Problem::unusable(name, what, "check its name and that you may read it")
    };
    let mut file = open(name).map_err(unreadable)?;
    let length = file.metadata().map_or(0, |metadata| metadata.len());
    let mut first = Vec::new();
    (&file).take(FIRST).read_to_end(&mut first).map_err(unreadable)?;
    file.rewind().map_err(unreadable)?;
    wanted(name, (&first, length), &[Given::Trace])?;
    Ok((file, length))
}

/// What is said of a file that no register is; `None` where it cannot be told what it is, or it is a database.
pub fn no_register(file: &str) -> Option<Problem> {
    let opened = open(file).ok()?;
    let length = opened.metadata().ok()?.len();
    let mut first = Vec::new();
    opened.take(FIRST).read_to_end(&mut first).ok()?;
    wanted(file, (&first, length), &[Given::Register]).err()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{Load, open_trace, resin_text};
    use holdoff_files::resin_file::ResinFile;
    use holdoff_files::trace::Options;

    const DEMO: &str = include_str!("../../demo/harbour-slow.toml");

    #[test]
    fn a_trace_that_is_not_there_is_refused_by_its_name() {
        let problem = open_trace("no/such/trace.csv", &Options::default()).err().unwrap();
        assert!(problem.to_string().starts_with("no/such/trace.csv: the trace can't be opened"), "{problem}");
        let problem = open_trace(env!("CARGO_MANIFEST_DIR"), &Options::default()).err().unwrap();
        assert!(problem.what().contains("it is a folder, no file"), "{problem}");
    }

    #[test]
    fn files_that_are_no_resin_file_are_refused() {
        assert!(resin_text("no/such.toml").unwrap_err().what().contains("can't be read"));
        assert!(resin_text(env!("CARGO_MANIFEST_DIR")).unwrap_err().what().contains("can't be read"));
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("resin.toml").to_string_lossy().into_owned();
        std::fs::write(&file, " ".repeat(70_000)).unwrap();
        assert!(resin_text(&file).unwrap_err().what().contains("larger than 64 KiB"));
        std::fs::write(&file, b"name = \"a\"\n# \xC3\xA4 5\xB0C\n").unwrap();
        let problem = resin_text(&file).unwrap_err();
        assert_eq!((problem.line(), problem.column()), (Some(2), Some(6)));
        std::fs::write(&file, format!("\u{FEFF}{}", DEMO.replace('\n', "\r\n"))).unwrap();
        let (read, given) = (ResinFile::load(&file).unwrap(), ResinFile::parse("demo", DEMO).unwrap());
        assert_eq!((read.name(), read.resin()), (given.name(), given.resin()));
    }
}
