//! `holdoff register`: the register of a site.

use super::load::Evidence;
use super::register_decision::{self, Given, Tell};
use super::speech::SpeechArguments;
use super::{Streams, now, register_link};
use holdoff_core::seal::PREFIX;
use holdoff_disk::Load;
use holdoff_disk::ring_file;
use holdoff_disk::{Kind, Outputs};
use holdoff_evidence::decision::{Beside, beside};
use holdoff_evidence::keys::{Ring, to_hex};
use holdoff_evidence::row::{CodeRow, FixingRow, Verdict};
use holdoff_files::job::JobFile;
use holdoff_files::problem::{Exit, Problem, shown_file};
use holdoff_files::stamp::format_seconds;
use holdoff_present::replay::celsius;
use holdoff_present::words::{Language, RegisterPhrase, Speech, coded};
use holdoff_register::{
    Added, Life, Refusal, Register, Settlement, VERSION, added_text, csv_files, export_csv, export_json, list_text,
    proved_text, release_cautions,
};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// `holdoff register`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The register
    #[arg(long, value_name = "SITE.db")]
    file: PathBuf,
    #[command(flatten)]
    speech: SpeechArguments,
    #[command(subcommand)]
    what: What,
}

impl Arguments {
    /// The same, with another time to wait for a logger's answer before a request is sent again.
    #[must_use]
    pub fn awaiting(mut self, answer: Duration) -> Self {
        if let What::Link(link) = &mut self.what {
            link.line.answer = answer;
        }
        self
    }
}

#[derive(Debug, clap::Subcommand)]
enum What {
    /// Take in memories that were read out, and release codes; makes the register where there is none
    Add(AddArguments),
    /// Read a logger's memory out and take it in; goes on where it was broken off
    Link(register_link::Arguments),
    /// Every fixing with its status
    List(ListArguments),
    /// Hold every release against keys, and store what comes of it
    Prove(ProveArguments),
    /// Say, as who answers for it, that the contradictions of a logger are settled (docs/register.md)
    Settle(SettleArguments),
    /// All of it for other programs (docs/register.md)
    Export(ExportArguments),
}

#[derive(Debug, clap::Args)]
struct SettleArguments {
    /// The logger's number, 16 hexadecimal digits
    #[arg(value_name = "LOGGER")]
    device: String,
    /// Who answers for it
    #[arg(long, value_name = "NAME")]
    by: String,
    /// Why
    #[arg(long, value_name = "TEXT")]
    because: String,
    /// One of the two memory images: what it says is told from now on
    #[arg(long, value_name = "IMAGE")]
    keep: Option<String>,
}

#[derive(Debug, clap::Args)]
struct AddArguments {
    /// Raw memory images, release codes (or text files with one), pictures of codes (PNG, JPEG), signed decisions
    #[arg(value_name = "IMAGE|CODE|PICTURE|DECISION", required = true)]
    evidence: Vec<String>,
    /// The public keys that count
    #[arg(long, value_name = "FILE")]
    keys: Option<PathBuf>,
    /// The job files that name the engineers whose decisions count
    #[arg(long, value_name = "JOB.toml")]
    job: Vec<String>,
    /// The logger's memory was made blank by its owner since it was read out last
    #[arg(long)]
    blanked: bool,
    /// Print one JSON object a line for what was taken in
    #[arg(long)]
    json: bool,
}

#[derive(Debug, clap::Args)]
struct ListArguments {
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

#[derive(Debug, clap::Args)]
struct ProveArguments {
    /// The public keys that count
    #[arg(long, value_name = "FILE")]
    keys: PathBuf,
}

#[derive(Debug, clap::Args)]
#[group(required = true, multiple = false)]
struct ExportArguments {
    /// One CSV file a table, into this folder
    #[arg(long, value_name = "DIR")]
    csv: Option<PathBuf>,
    /// One JSON object a line, to standard output
    #[arg(long)]
    json: bool,
    /// One Parquet file a table, into this folder
    #[cfg(feature = "parquet")]
    #[arg(long, value_name = "DIR")]
    parquet: Option<PathBuf>,
}

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let (file, speech) = (&arguments.file, arguments.speech.speech());
    match &arguments.what {
        What::Add(add) => added(file, add, speech, streams),
        What::Link(link) => register_link::run(file, link, speech, streams),
        What::List(list) => {
            let text = Register::open(file).and_then(|register| listed(&register, list, speech));
            let text = text.map_err(of(file))?;
            Ok(if list.json { streams.print_json(&text) } else { streams.print(&text) })
        }
        What::Prove(prove) => proved(file, prove, speech, streams),
        What::Settle(settle) => settled(file, settle, speech, streams),
        What::Export(export) => exported(file, export, streams),
    }
}

/// A refusal of the register in this file.
fn of(file: &Path) -> impl Fn(Refusal) -> Problem + use<'_> {
    |refusal| refusal.problem(&file.to_string_lossy())
}

/// Each piece of evidence is an addition of its own: what is refused is told on standard error, the others are taken in.
fn added(file: &Path, add: &AddArguments, speech: Speech, streams: &mut Streams) -> Result<Exit, Problem> {
    let ring = add.keys.as_deref().map(Ring::load).transpose()?;
    let jobs: Vec<JobFile> = add.job.iter().map(JobFile::load).collect::<Result<_, _>>()?;
    // looked at before a register is made for it
    let first = match add.evidence.first().map(|argument| Evidence::of(argument, streams)) {
        Some(Err(problem)) if add.evidence.len() == 1 => return Err(problem),
        // no register is made for a decision: the fixing would not be in it
        Some(Ok(Evidence::Decision(..))) if !file.exists() => return Err(of(file)(Refusal::Missing)),
        Some(first) => first,
        None => return Ok(Exit::Ran),
    };
    let read = add.evidence.iter().chain(&add.job).map(PathBuf::from).chain(add.keys.as_deref().map(ring_file));
    Outputs::beside(read).take(file, &Kind::Register)?;
    let mut register = Register::open_or_make(file).map_err(of(file))?;
    let life = if add.blanked { Life::BeginsAnew } else { Life::GoesOn };
    let mut exit = Exit::Ran;
    let mut first = Some(first);
    let mut releases = Vec::new();
    for argument in &add.evidence {
        let evidence = first.take().unwrap_or_else(|| Evidence::of(argument, streams));
        if let Ok(Evidence::Decision(signed, raw)) = &evidence {
            let tell = if add.json { Tell::Json } else { Tell::Words(speech) };
            let given = Given { name: argument, signed, raw };
            match register_decision::add(&mut register, &given, &jobs, (tell, now()), streams) {
                Ok(Exit::Contradicted) if exit != Exit::Unusable => exit = Exit::Contradicted,
                Ok(Exit::Ran | Exit::Contradicted) => {}
                Ok(printed) => return Ok(printed),
                Err(refusal @ (Refusal::Busy | Refusal::Database(_))) => {
                    exit = streams.refuse(&refusal.problem(&file.to_string_lossy()));
                }
                Err(refusal) => exit = streams.refuse(&refusal.problem(argument)),
            }
            continue;
        }
        let typed = argument.starts_with(PREFIX);
        let name = if typed { RegisterPhrase::Code.of(Language::English) } else { argument.as_str() };
        let said_name = if typed { speech.say(RegisterPhrase::Code) } else { argument.as_str() };
        let taken = evidence.and_then(|evidence| {
            let taken = match evidence {
                Evidence::Image(image) => {
                    register.add_image(argument, &image, ring.as_ref(), life, now()).map(|added| vec![added])
                }
                Evidence::Codes(codes) => {
                    let source = if typed { "" } else { argument };
                    register.add_codes(source, &codes, ring.as_ref(), now()).inspect(|added| {
                        let held = codes.len() - added.len();
                        if held > 0 {
                            let (of, file) = (codes.len(), shown_file(argument));
                            streams.warn(&format!(
                                "{file}: {held} of {of} codes are in the register already, and passed over"
                            ));
                        }
                    })
                }
                // taken in above
                Evidence::Decision(..) => Ok(Vec::new()),
            };
            taken.map_err(|refusal| match &refusal {
                Refusal::Busy | Refusal::Database(_) => of(file)(refusal),
                _ => refusal.problem(name),
            })
        });
        match taken {
            Ok(all) => {
                let not = all.iter().flat_map(|added| &added.releases).any(|one| one.verdict == Verdict::NotProved);
                if not && exit == Exit::Ran {
                    exit = Exit::NotProved;
                }
                if all.iter().any(|added| !added.conflicts.is_empty()) && exit != Exit::Unusable {
                    exit = Exit::Contradicted;
                }
                for added in &all {
                    let text = if add.json { added_json(name, added) } else { added_text(said_name, added, speech) };
                    let printed = if add.json { streams.print_json(&text) } else { streams.print(&text) };
                    if printed != Exit::Ran {
                        return Ok(printed);
                    }
                }
                releases.extend(all.into_iter().flat_map(|added| added.releases));
            }
            Err(problem) => exit = streams.refuse(&problem),
        }
    }
    if releases.is_empty() || add.json {
        return Ok(exit);
    }
    Ok(match streams.print(&(release_cautions(&releases, speech) + "\n")) {
        Exit::Ran => exit,
        printed => printed,
    })
}

pub(super) fn added_json(name: &str, added: &Added) -> String {
    format!("{}\n", added_object(name, added))
}

pub(super) fn added_object(name: &str, added: &Added) -> Value {
    let releases: Vec<Value> = added
        .releases
        .iter()
        .map(|one| {
            json!({
                "fixing": Speech::PLAIN.name(&one.fixing, one.number),
                "verdict": one.verdict.word(),
                "why": one.why.as_ref().map(coded),
                "laxer": one.laxer.words().collect::<Vec<_>>(),
                "outside_at_seating": one.outside_at_seating.map(celsius),
            })
        })
        .collect();
    json!({
        "added": name,
        "device": added.device,
        "fixings": added.fixings,
        "changed": added.changed,
        "releases": releases,
        "findings": added.findings.iter().map(coded).collect::<Vec<_>>(),
        "contradictions": added.conflicts.iter().map(coded).collect::<Vec<_>>(),
    })
}

fn proved(file: &Path, prove: &ProveArguments, speech: Speech, streams: &mut Streams) -> Result<Exit, Problem> {
    let ring = Ring::load(&prove.keys)?;
    let all = there(file).and_then(|mut register| register.prove(&ring)).map_err(of(file))?;
    let (text, good) = proved_text(&all, speech);
    Ok(match streams.print(&text) {
        Exit::Ran if good < all.len() => Exit::NotProved,
        exit => exit,
    })
}

/// The register to be written in; none is made.
fn there(file: &Path) -> Result<Register, Refusal> {
    if file.exists() { Register::open_or_make(file) } else { Err(Refusal::Missing) }
}

fn listed(register: &Register, list: &ListArguments, speech: Speech) -> Result<String, Refusal> {
    let (fixings, codes) = (register.fixings_since(-1)?, register.codes()?);
    let id = to_hex(&register.id()?);
    Ok(if list.json { list_json(&id, &fixings, &codes) } else { list_text(&fixings, &codes, speech, now()) })
}

fn list_json(id: &str, fixings: &[FixingRow], codes: &[CodeRow]) -> String {
    let demo = fixings.iter().any(|row| row.session.demo) || codes.iter().any(|code| code.demo);
    let fixings: Vec<Value> = fixings.iter().map(|row| fixing_json(row, now())).collect();
    let codes: Vec<Value> = codes.iter().map(code_json).collect();
    let register = json!({"id": id, "schema": VERSION});
    let object =
        json!({"register": register, "fixings": fixings, "codes": codes, "caution": Speech::PLAIN.cautions(demo)});
    format!("{object}\n")
}

fn fixing_json(row: &FixingRow, now: i64) -> Value {
    let (fixing, session) = (&row.fixing, &row.session);
    let time = |at: Option<i64>| at.map(|at| Speech::PLAIN.dated(session.wall.clock(at), at));
    let grounds: Vec<&str> = fixing.seen.grounds.iter().map(|ground| ground.word()).collect();
    let standing = Speech::PLAIN.standing_of(fixing, session);
    json!({
        "fixing": Speech::PLAIN.fixing_name(fixing),
        "group": Speech::PLAIN.group_name(session),
        "device": session.device,
        "first_page": session.first_page,
        "number": fixing.number,
        "stage": fixing.seen.word.word(),
        "since": time(fixing.seen.since.map(holdoff_core::quantity::Instant::seconds)),
        "reasons": grounds,
        "injected_at": time(fixing.injected_at),
        "seated_at": time(fixing.seated_at),
        "seat_by": time(fixing.seat_by),
        "cured_at": time(fixing.cured_at),
        "announced_at": time(fixing.announced_at),
        "required_s": fixing.required,
        "served_s": fixing.served,
        "verdict": fixing.verdict.map(Verdict::word),
        "why": fixing.why.as_ref().map(coded),
        "claim": fixing.claim(session).word(),
        "contradicted": fixing.conflicts.iter().map(coded).collect::<Vec<_>>(),
        "status": standing.sentence,
        "not_covered": standing.weight,
        "time_passed": fixing.passed(session, now).is_some(),
        "decided": Speech::PLAIN.decision_beside(fixing.seen.word, fixing.decided.as_ref(), &fixing.conflicts),
        "decision_signed": beside(fixing.seen.word, fixing.decided.as_ref(), &fixing.conflicts).map(|beside| matches!(beside, Beside::Signed(_))),
        "as_of": time(session.span.map(|span| span.1)),
        "read_out_at": session.read.map(|read| format_seconds(read.at, 0)),
        "clock_ahead_s": session.read.and_then(|read| read.ahead),
        "untrusted": session.untrusted.as_ref().map(coded),
        "source": if session.of_trace { "trace" } else { "logger" },
        "resin": session.resin,
        "demo": session.demo,
        "laxer": session.laxer().words().collect::<Vec<_>>(),
        "outside_at_seating": fixing.outside_at_seating.map(celsius),
    })
}

fn code_json(code: &CodeRow) -> Value {
    json!({
        "fixing": Speech::PLAIN.name(&code.label, code.number),
        "device": code.device,
        "number": code.number,
        "cured_at": Speech::PLAIN.dated(code.clock, code.cured),
        "speaks_for": Speech::PLAIN.dated(code.clock, code.speaks_for),
        "torque_nm": code.torque.map(|torque| f64::from(torque.hundredths()) / 100.0),
        "verdict": code.verdict.word(),
        "why": code.why.as_ref().map(coded),
        "claim": code.claim().word(),
        "contradicted": code.contradicted.as_ref().map(coded),
        "short": code.short,
        "demo": code.demo,
        "laxer": code.laxer.words().collect::<Vec<_>>(),
        "outside_at_seating": code.outside_at_seating.map(celsius),
    })
}

fn settled(file: &Path, settle: &SettleArguments, speech: Speech, streams: &mut Streams) -> Result<Exit, Problem> {
    if settle.by.trim().is_empty() || settle.because.trim().is_empty() {
        let remedy = "say who answers for it, and why";
        return Err(Problem::usage("nobody is named who settles it, or no reason".to_owned(), remedy));
    }
    let keep = settle.keep.as_deref().map(super::load::image).transpose()?;
    let mut register = there(file).map_err(of(file))?;
    let settlement = Settlement {
        device: &settle.device,
        by: settle.by.trim(),
        because: settle.because.trim(),
        keep: keep.as_deref(),
        at: now(),
    };
    let number = register.settle(&settlement).map_err(of(file))?.to_string();
    let said = speech.fill(RegisterPhrase::Settled, &[("device", &settle.device), ("number", &number)]);
    Ok(streams.print(&format!("{said}\n\n{}\n", speech.caution())))
}

fn exported(file: &Path, export: &ExportArguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let failed = of(file);
    let register = Register::open(file).map_err(&failed)?;
    if let Some(folder) = &export.csv {
        let files = Outputs::beside([file]).take_in(folder, &csv_files())?;
        return export_csv(&register, &files).map(|()| Exit::Ran).map_err(failed);
    }
    #[cfg(feature = "parquet")]
    if let Some(folder) = &export.parquet {
        let files = Outputs::beside([file]).take_in(folder, &holdoff_register::parquet_files())?;
        return holdoff_register::export_parquet(&register, &files).map(|()| Exit::Ran).map_err(failed);
    }
    match export_json(&register, &mut streams.out) {
        Ok(()) | Err(Refusal::Enough) => Ok(Exit::Ran),
        Err(refusal) => Err(failed(refusal)),
    }
}
