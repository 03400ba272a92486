//! `holdoff report`: the hand-over record as one HTML file.

use super::register::now;
use super::speech::SpeechArguments;
use super::{Streams, load};
use holdoff_core::log::StageWord;
use holdoff_disk::Load;
use holdoff_disk::ring_file;
use holdoff_disk::{Kind, Outputs};
use holdoff_evidence::keys::{Ring, to_hex};
use holdoff_evidence::row::{CodeRow, FixingRow, Is, Verdict};
use holdoff_evidence::{Cover, Keep, Memory, Proving, Session, Why};
use holdoff_files::job::JobFile;
use holdoff_files::problem::{Exit, Problem, shown};
use holdoff_files::proof_test::ProofTests;
use holdoff_present::memory::mount_error;
use holdoff_present::report::Page;
use holdoff_register::{self, Refusal, Register};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

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
    /// Where the page goes
    #[arg(long, value_name = "FILE.html")]
    out: PathBuf,
    #[command(flatten)]
    speech: SpeechArguments,
}

impl Arguments {
    /// The files that are read.
    fn inputs(&self) -> impl Iterator<Item = PathBuf> {
        let texts = self.image.iter().chain(&self.job).chain(&self.proof_tests).map(PathBuf::from);
        texts.chain(self.register.clone()).chain(self.keys.as_deref().map(ring_file))
    }
}

/// What is told of: a page in the making, and whether a release on it failed its proof.
struct Telling<'a> {
    page: Page<'a>,
    only: Option<&'a str>,
    exit: Exit,
    /// Names of the fixings that there are.
    known: Vec<String>,
}

impl Telling<'_> {
    fn session(&mut self, session: &Session) {
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

    /// A fixing that is known by its release code alone.
    fn code(&mut self, code: &CodeRow) {
        self.known.push(code.called());
        if self.only.is_none_or(|name| name == code.called()) {
            self.page.code(code);
            if code.void() == Is::Yes {
                self.exit = Exit::NotProved;
            }
        }
    }
}

/// Runs the command.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Exit {
    let result = try_run(arguments);
    streams.end(result)
}

fn try_run(arguments: &Arguments) -> Result<Exit, Problem> {
    let out = Outputs::beside(arguments.inputs()).take(&arguments.out, &Kind::Html)?;
    let ring = arguments.keys.as_deref().map(Ring::load).transpose()?;
    let jobs: Vec<JobFile> = arguments.job.iter().map(JobFile::load).collect::<Result<_, _>>()?;
    let tests = arguments.proof_tests.as_deref().map(ProofTests::load).transpose()?;
    let only = arguments.fixing.as_deref();
    let page = Page::new(arguments.speech.speech(), &jobs, tests.as_ref());
    let mut telling = Telling { page, only, exit: Exit::Ran, known: Vec::new() };
    let from = match (&arguments.image, &arguments.register) {
        (Some(image), _) => {
            of_image(image, ring.as_ref(), &mut telling)?;
            image.clone()
        }
        (None, Some(file)) => {
            of_register(file, &jobs, ring.as_ref(), &mut telling)?;
            file.to_string_lossy().into_owned()
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
    let bytes = load::bytes(image)?;
    let remedy = "give the raw memory of a logger, as it was read out";
    let memory =
        Memory::of(&bytes, ring, Keep::Told).map_err(|error| Problem::unusable(image, mount_error(&error), remedy))?;
    memory.findings.into_iter().for_each(|finding| telling.page.finding(finding));
    memory.sessions.iter().for_each(|session| telling.session(session));
    Ok(())
}

/// The fixings of a register that belong to the job, in the job file's order; all of them where no job is given.
fn of_register(file: &Path, jobs: &[JobFile], ring: Option<&Ring>, telling: &mut Telling<'_>) -> Result<(), Problem> {
    let name = file.to_string_lossy();
    let failed = |refusal: Refusal| refusal.problem(&name);
    let register = Register::open(file).map_err(failed)?;
    let hashes: Vec<String> = jobs.iter().map(|job| to_hex(&job.hash().0)).collect();
    let of_job = |hash: &str| jobs.is_empty() || hashes.iter().any(|known| !hash.is_empty() && known.starts_with(hash));
    let planned_names: BTreeMap<&str, usize> = jobs
        .last()
        .into_iter()
        .flat_map(|file| &file.job().groups)
        .flat_map(|group| &group.fixings)
        .map(|fixing| fixing.name.as_str())
        .zip(0..)
        .collect();
    let place = |label: &str| planned_names.get(label).copied().unwrap_or(usize::MAX);
    let mut rows: Vec<FixingRow> = register.fixings_since(-1).map_err(failed)?;
    // what was done to a fixing of the job is told whatever its logger was loaded from
    let denied = |label: &str, session: &holdoff_evidence::row::Session, planned: bool| {
        !of_job(&session.job) && (!planned_names.contains_key(label) || (planned && session.untrusted.is_none()))
    };
    rows.retain(|row| !denied(&row.fixing.label, &row.session, row.fixing.seen.word == StageWord::Planned));
    let mut sessions: Vec<&[FixingRow]> = rows.chunk_by(|one, next| one.session == next.session).collect();
    sessions.sort_by_key(|rows| rows.iter().map(|row| place(&row.fixing.called())).min());
    for rows in sessions {
        let Some(first) = rows.first() else { continue };
        let told = telling.only.is_none_or(|name| rows.iter().any(|row| row.fixing.called() == name));
        if let Some(read) = first.session.read.as_ref().filter(|_| told) {
            telling.page.read_out(&first.session.device, read);
        }
        let image = register.image_of(&first.session).map_err(failed)?;
        let memory = Memory::of(&image, ring, Keep::Told).map_err(|error| {
            let what = format!("a raw image in it cannot be read any more: {}", mount_error(&error));
            Problem::unusable(&name, what, "keep it, and ask")
        })?;
        let found = memory.sessions.into_iter().find(|told| told.first_page == first.session.first_page);
        let Some(mut told) = found else { continue };
        told.fixings.retain(|fixing| rows.iter().any(|row| usize::from(row.fixing.number) == fixing.number.place()));
        for fixing in &mut told.fixings {
            let row = rows.iter().find(|row| usize::from(row.fixing.number) == fixing.number.place());
            fixing.conflicts = row.map(|row| row.fixing.conflicts.clone()).unwrap_or_default();
        }
        if ring.is_none() {
            stored(&mut told, rows);
        }
        telling.session(&told);
    }
    let codes: Vec<CodeRow> = register.codes().map_err(failed)?;
    for code in codes.into_iter().filter(|code| of_job(&code.job) || planned_names.contains_key(code.label.as_str())) {
        let code = match ring {
            Some(ring) => code.held_against(ring),
            None => code,
        };
        telling.code(&code);
    }
    if telling.only.is_none() {
        telling.page.whole_job();
    }
    Ok(())
}

/// Without keys, what the register keeps of an earlier proof.
fn stored(told: &mut Session, rows: &[FixingRow]) {
    for fixing in &mut told.fixings {
        let row = rows.iter().find(|row| usize::from(row.fixing.number) == fixing.number.place());
        fixing.proving = match row.map(|row| (row.fixing.verdict, row.fixing.why.clone())) {
            Some((Some(Verdict::Proved | Verdict::NotProved), Some(Why::Proved(by)))) => Proving::Proved(by),
            Some((Some(Verdict::Proved | Verdict::NotProved), Some(Why::Not(why)))) => Proving::NotProved(why),
            Some((Some(Verdict::Proved | Verdict::NotProved), None) | (Some(Verdict::NotChecked), _)) => {
                Proving::NoKeys
            }
            Some((None, _)) | None => Proving::NoRelease,
        };
    }
    told.cover = rows.first().map_or(Cover::NoKeys, |row| row.session.cover);
    told.failed = rows.first().and_then(|row| row.session.failed.clone());
}
