//! `holdoff report`: the hand-over record as one HTML file.

use super::speech::SpeechArguments;
use super::{Streams, load, now};
use holdoff_disk::ring_file;
use holdoff_disk::{Kind, Outputs};
use holdoff_disk::{Load, calibration};
use holdoff_evidence::keys::Ring;
#[cfg(feature = "register")]
use holdoff_evidence::row::{CodeRow, FixingRow};
use holdoff_evidence::{Keep, Memory, Proving, Session};
use holdoff_files::calibration::latest_day;
use holdoff_files::job::JobFile;
use holdoff_files::problem::{Exit, Problem, shown};
use holdoff_files::proof_test::ProofTests;
use holdoff_present::memory::mount_error;
use holdoff_present::report::ReportPage;
use std::path::PathBuf;

/// `holdoff report`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The raw memory image
    #[arg(value_name = "IMAGE", required_unless_present = "register", conflicts_with = "register")]
    image: Option<String>,
    /// The register of a site, instead of one image
    #[arg(long, value_name = "SITE.db")]
    register: Option<PathBuf>,
    /// The public keys that count
    #[arg(long, value_name = "FILE")]
    keys: Option<PathBuf>,
    /// The job file with the specification; give earlier versions of it too, the newest last
    #[arg(long, value_name = "JOB.toml")]
    job: Vec<String>,
    /// Only the fixing of this name
    #[arg(long, value_name = "NAME")]
    fixing: Option<String>,
    /// Results of proof tests (docs/report.md)
    #[arg(long, value_name = "FILE.toml")]
    proof_tests: Option<String>,
    /// The calibration of the probe (docs/probe.md)
    #[arg(long, value_name = "FILE.toml")]
    calibration: Option<String>,
    /// Where the page goes
    #[arg(long, value_name = "FILE.html")]
    out: PathBuf,
    #[command(flatten)]
    speech: SpeechArguments,
}

impl Arguments {
    /// The files that are read.
    fn inputs(&self) -> impl Iterator<Item = PathBuf> {
        let texts = self.image.iter().chain(&self.job).chain(&self.proof_tests);
        let texts = texts.chain(&self.calibration).map(PathBuf::from);
        texts.chain(self.register.clone()).chain(self.keys.as_deref().map(ring_file))
    }
}

/// What is told of: a page in the making, and whether a release on it failed its proof.
pub(super) struct Telling<'a> {
    pub(super) page: ReportPage<'a>,
    pub(super) only: Option<&'a str>,
    exit: Exit,
    /// Names of the fixings that there are.
    known: Vec<String>,
}

impl Telling<'_> {
    pub(super) fn session(&mut self, session: &Session) {
        self.page.add(session, self.only);
        for fixing in &session.fixings {
            self.known.push(fixing.called());
            let told = self.only.is_none_or(|name| name == fixing.called());
            let doubted = matches!(fixing.proving, Proving::NotProved(_)) || !fixing.conflicts.is_empty();
            if told && doubted {
                self.exit = Exit::NotProved;
            }
        }
    }

    /// A fixing whose session can be read in no memory any more.
    #[cfg(feature = "register")]
    pub(super) fn row(&mut self, row: &FixingRow) {
        self.known.push(row.fixing.called());
        if self.only.is_none_or(|name| name == row.fixing.called()) {
            self.page.row(row);
            self.exit = Exit::NotProved;
        }
    }

    /// A fixing that is known by its release code alone.
    #[cfg(feature = "register")]
    pub(super) fn code(&mut self, code: &CodeRow) {
        self.known.push(code.called());
        if self.only.is_none_or(|name| name == code.called()) {
            self.page.code(code);
            if code.void() {
                self.exit = Exit::NotProved;
            }
        }
    }
}

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, _: &mut Streams) -> Result<Exit, Problem> {
    let out = Outputs::beside(arguments.inputs()).take(&arguments.out, &Kind::Html)?;
    let ring = arguments.keys.as_deref().map(Ring::load).transpose()?;
    let jobs: Vec<JobFile> = arguments.job.iter().map(JobFile::load).collect::<Result<_, _>>()?;
    let tests = arguments.proof_tests.as_deref().map(ProofTests::load).transpose()?;
    let calibration = arguments.calibration.as_deref().map(|file| calibration(file, latest_day(now()))).transpose()?;
    let only = arguments.fixing.as_deref();
    let page = ReportPage::new(arguments.speech.speech(), &jobs, tests.as_ref()).with_calibration(calibration.as_ref());
    let mut telling = Telling { page, only, exit: Exit::Ran, known: Vec::new() };
    let from = match (&arguments.image, &arguments.register) {
        (Some(image), _) => {
            of_image(image, ring.as_ref(), &mut telling)?;
            image.clone()
        }
        #[cfg(feature = "register")]
        (None, Some(file)) => {
            super::report_register::tell(file, &jobs, ring.as_ref(), &mut telling)?;
            file.to_string_lossy().into_owned()
        }
        #[cfg(not(feature = "register"))]
        (None, Some(_)) => {
            let what = "this program was built without the register";
            return Err(Problem::usage(what, "give an image, or build it with the feature register"));
        }
        (None, None) => return Err(Problem::usage("nothing is named to report on", "give an image or a register")),
    };
    let Telling { page, exit, known, .. } = telling;
    if let (Some(name), true) = (only, page.is_empty()) {
        let what = format!("there is no fixing named {} in it", shown(name.as_bytes()));
        let remedy =
            if known.is_empty() { "it holds no fixing".to_owned() } else { format!("name one of {}", list(&known)) };
        return Err(Problem::unusable(&from, what, remedy));
    }
    if let Some(tests) = &tests {
        let in_job = |name: &str| {
            let mut groups = jobs.iter().flat_map(|file| &file.job().groups);
            groups.any(|group| group.fixings.iter().any(|fixing| fixing.name == name))
        };
        tests.only(|name| in_job(name) || known.iter().any(|label| label == name))?;
    }
    out.write(page.html(now()).as_bytes())?;
    Ok(exit)
}

/// The first names of a list.
fn list(names: &[String]) -> String {
    let first: Vec<String> = names.iter().take(20).map(|name| shown(name.as_bytes())).collect();
    let more = if names.len() > first.len() { " ..." } else { "" };
    format!("{}{more}", first.join(", "))
}

fn of_image(image: &str, ring: Option<&Ring>, telling: &mut Telling<'_>) -> Result<(), Problem> {
    let bytes = load::image(image)?;
    let remedy = "give the raw memory of a logger, as it was read out";
    let memory =
        Memory::of(&bytes, ring, Keep::Told).map_err(|error| Problem::unusable(image, mount_error(&error), remedy))?;
    memory.findings.into_iter().for_each(|finding| telling.page.finding(finding));
    memory.sessions.iter().for_each(|session| telling.session(session));
    Ok(())
}
