//! `holdoff prove`: is every release what the raw readings, the chain and the signature say?

use super::{Streams, load};
use crate::keys::Ring;
use crate::memory_image::{Proof, prove_code, prove_image};
use crate::picture;
use crate::problem::{Exit, Problem};
use crate::words::{CAUTION, DEMO_CAUTION};
use holdoff_core::seal::PREFIX;
use std::fmt::Write;
use std::path::PathBuf;

/// `holdoff prove`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// A raw memory image, a release code (or a text file with one), or a picture of one (PNG, JPEG)
    #[arg(value_name = "IMAGE|CODE|PICTURE")]
    evidence: String,
    /// The public keys that count
    #[arg(long, value_name = "FILE")]
    keys: PathBuf,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Exit {
    let proved = Ring::load(&arguments.keys).and_then(|ring| proofs(&arguments.evidence, &ring));
    let (proofs, findings) = match proved {
        Ok(found) => found,
        Err(problem) => return streams.refuse(&problem),
    };
    let all = !proofs.is_empty() && proofs.iter().all(|proof| proof.proved);
    let printed = if arguments.json {
        let object = serde_json::json!({"fixings": proofs, "findings": findings, "caution": CAUTION});
        streams.print(&format!("{object}\n"))
    } else {
        streams.print(&text(&proofs, &findings))
    };
    match (printed, all) {
        (Exit::Ran, false) => Exit::NotProved,
        (exit, _) => exit,
    }
}

fn proofs(evidence: &str, ring: &Ring) -> Result<(Vec<Proof>, Vec<String>), Problem> {
    let remedy = "give a raw memory image, a release code, or a sharp picture of one";
    if evidence.starts_with(PREFIX) {
        let what = |what| Problem::unusable("the code", what, "type or scan it again");
        return prove_code(evidence, ring).map(|proof| (vec![proof], Vec::new())).map_err(what);
    }
    let bytes = load::bytes(evidence)?;
    let unusable = |what: String| Problem::unusable(evidence, what, remedy);
    if picture::is_picture(&bytes) {
        let codes = picture::codes(&bytes).map_err(|error| unusable(error.to_string()))?;
        let mut proofs = Vec::new();
        for code in codes {
            let text = String::from_utf8_lossy(&code);
            proofs.push(prove_code(&text, ring).map_err(unusable)?);
        }
        return Ok((proofs, Vec::new()));
    }
    match std::str::from_utf8(&bytes) {
        Ok(text) if text.trim_start().starts_with(PREFIX) => {
            prove_code(text, ring).map(|proof| (vec![proof], Vec::new())).map_err(unusable)
        }
        Ok(_) | Err(_) => prove_image(&bytes, ring).map_err(unusable),
    }
}

fn text(proofs: &[Proof], findings: &[String]) -> String {
    let mut text = String::new();
    for proof in proofs {
        let word = if proof.proved { "PROVED" } else { "NOT PROVED" };
        let _ = writeln!(text, "{}: {word}\n  {}", proof.fixing, proof.why);
        if let Some(at) = &proof.cured_at {
            let _ = writeln!(text, "  cured    {at}");
        }
        if let Some(at) = &proof.released_at {
            let _ = writeln!(text, "  torqued  {at}");
        }
    }
    if proofs.is_empty() {
        text.push_str("NOT PROVED: there is no fixing in it\n");
    }
    for finding in findings {
        let _ = writeln!(text, "finding: {finding}");
    }
    if proofs.iter().any(|proof| proof.demo) {
        let _ = writeln!(text, "\n{DEMO_CAUTION}");
    }
    let _ = writeln!(
        text,
        "\nA proof says that this log is whole and that its device made it; not that the probe was where it should be."
    );
    let _ = writeln!(text, "{CAUTION}");
    text
}
