//! `holdoff prove`: is every release what the raw readings, the chain and the signature say?

use super::Streams;
use super::load::Evidence;
use super::speech::SpeechArguments;
use crate::keys::Ring;
use crate::memory_image::{Proof, ProofVerdict, prove_code, prove_image};
use crate::problem::{Exit, Problem, visible};
use crate::words::{ListingPhrase, ProofPhrase as P, Speech};
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
    #[command(flatten)]
    speech: SpeechArguments,
}

/// Runs the command.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Exit {
    let proved = Ring::load(&arguments.keys).and_then(|ring| proofs(&arguments.evidence, &ring, streams));
    let (proofs, findings) = match proved {
        Ok(found) => found,
        Err(problem) => return streams.refuse(&problem),
    };
    // what failed is worse than what is not there yet
    let worst = if proofs.is_empty() || proofs.iter().any(|proof| proof.verdict == ProofVerdict::NotProved) {
        Exit::NotProved
    } else if proofs.iter().any(|proof| proof.verdict != ProofVerdict::Proved) {
        Exit::NoRelease
    } else {
        Exit::Ran
    };
    let printed = if arguments.json {
        let caution = Speech::PLAIN.cautions(proofs.iter().any(|proof| proof.demo));
        let object = serde_json::json!({"fixings": proofs, "findings": findings, "caution": caution});
        streams.print_json(&format!("{object}\n"))
    } else {
        streams.print(&text(&proofs, &findings, arguments.speech.speech()))
    };
    if printed == Exit::Ran { worst } else { printed }
}

fn proofs(evidence: &str, ring: &Ring, streams: &mut Streams) -> Result<(Vec<Proof>, Vec<String>), Problem> {
    let (name, remedy) = if evidence.starts_with(PREFIX) {
        ("the code", "type or scan it again")
    } else {
        (evidence, "give a raw memory image, a release code, or a sharp picture of one")
    };
    let unusable = |what: String| Problem::unusable(name, what, remedy);
    match Evidence::of(evidence, streams)? {
        Evidence::Image(bytes) => prove_image(&bytes, ring).map_err(unusable),
        Evidence::Codes(codes) => {
            let proofs: Result<_, _> = codes.iter().map(|code| prove_code(code, ring)).collect();
            proofs.map(|proofs| (proofs, Vec::new())).map_err(unusable)
        }
    }
}

fn text(proofs: &[Proof], findings: &[String], speech: Speech) -> String {
    let mut text = String::new();
    let width = [P::Cured, P::Torqued].map(|word| speech.say(word).chars().count()).into_iter().max().unwrap_or(0);
    for proof in proofs {
        let verdict = speech.say(match proof.verdict {
            ProofVerdict::Proved => P::Proved,
            ProofVerdict::NotProved => P::NotProved,
            ProofVerdict::NoReleaseYet => P::NoReleaseYet,
            ProofVerdict::NoRelease => P::NoRelease,
        });
        let name = match proof.place {
            Some((_, number)) => speech.name(&proof.fixing, number.place() as u8), // at most 15
            None => speech.called(&proof.fixing),
        };
        let (name, why) = (visible(&name), visible(&speech.retell(&proof.why)));
        let _ = writeln!(text, "{name}: {verdict}\n  {why}");
        for (word, at) in [(P::Cured, &proof.cured_at), (P::Torqued, &proof.released_at)] {
            if let Some(at) = at {
                let _ = writeln!(text, "  {:width$}  {}", speech.say(word), speech.retell(at));
            }
        }
        if let Some(laxer) = speech.laxer_note(proof.laxer) {
            let _ = writeln!(text, "  {laxer}");
        }
        if let Some(outside) = speech.outside_note(proof.outside_at_seating) {
            let _ = writeln!(text, "  {outside}.");
        }
    }
    if proofs.is_empty() {
        let _ = writeln!(text, "{}", speech.say(P::NoFixing));
    }
    for finding in findings {
        let _ = writeln!(text, "{}", speech.fill(ListingPhrase::Finding, &[("what", &speech.retell(finding))]));
    }
    if proofs.iter().any(|proof| proof.demo) {
        let _ = writeln!(text, "\n{}", speech.demo_caution());
    }
    let _ = writeln!(text, "\n{}\n{}", speech.say(P::Worth), speech.caution());
    text
}
