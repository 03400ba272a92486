//! A proof for a person, and for scripts: what it came to, and everything that it rests on.

use super::listing_words::source;
use crate::replay::celsius;
use crate::words::{ListingPhrase, ProofPhrase as P, Speech, Worded, coded};
use holdoff_core::log::Source;
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::{Cover, Finding, Proof, ProofVerdict, RestsOn, Subject, Why};
use holdoff_files::problem::visible;
use serde_json::{Value, json};
use std::fmt::Write;

/// What a proof is about, by its name.
fn name(proof: &Proof, speech: Speech) -> String {
    match &proof.subject {
        Subject::Fixing { label, number } => speech.name(label, *number),
        Subject::Session { page } => {
            speech.fill(crate::words::EvidencePhrase::SessionFrom, &[("page", &page.to_string())])
        }
    }
}

/// Proofs and findings for a person.
pub fn text(proofs: &[Proof], findings: &[Finding], speech: Speech) -> String {
    let mut text = String::new();
    for proof in proofs {
        let verdict = speech.say(match proof.came_to() {
            ProofVerdict::Proved => P::Proved,
            ProofVerdict::NotProved => P::NotProved,
            ProofVerdict::NoReleaseYet => P::NoReleaseYet,
            ProofVerdict::NoRelease => P::NoRelease,
        });
        let why = Why::from(proof.verdict.clone()).words(speech);
        let name = name(proof, speech);
        let _ = writeln!(text, "{}{}{verdict}\n  {}", visible(&name), speech.colon(), visible(&why));
        let rows = rows(proof, speech);
        let width = rows.iter().map(|(head, _)| head.chars().count()).max().unwrap_or(0);
        for (head, what) in rows {
            let _ = writeln!(text, "  {head:width$}  {}", visible(&what));
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
        let _ = writeln!(text, "{}", speech.fill(ListingPhrase::Finding, &[("what", &finding.words(speech))]));
    }
    if proofs.iter().any(|proof| proof.demo) {
        let _ = writeln!(text, "\n{}", speech.demo_caution());
    }
    let _ = writeln!(text, "\n{}\n{}", speech.say(P::Worth), speech.caution());
    text
}

/// Instants, and what the proof rests on, each under its head.
fn rows(proof: &Proof, speech: Speech) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    rows.extend(proof.cured.map(|at| (speech.say(P::Cured), at.words(speech))));
    rows.extend(proof.released.map(|at| (speech.say(P::Torqued), at.words(speech))));
    let Some(on) = &proof.rests_on else { return rows };
    let hash = |phrase: P, name: &str, bytes: &[u8]| speech.fill(phrase, &[("name", name), ("hash", &to_hex(bytes))]);
    let resin = match &on.resin {
        Some(name) => hash(P::ResinIs, name, &on.resin_hash),
        None => hash(P::FileIs, "", &on.resin_hash),
    };
    rows.push((speech.say(P::Resin), resin));
    let required = [("seconds", &*on.required.to_string()), ("rule", speech.rule_word(on.rule))];
    rows.push((speech.say(P::Required), speech.fill(P::RequiredIs, &required)));
    rows.push((speech.say(P::Job), hash(P::FileIs, "", &on.job_hash)));
    rows.push((
        speech.say(P::Source),
        speech
            .say(match on.source {
                Some(from) => source(from),
                None => ListingPhrase::NotInCode,
            })
            .to_owned(),
    ));
    rows.push((
        speech.say(P::Clock),
        match on.clock {
            Some(clock) => {
                let offset = holdoff_files::stamp::format_seconds(0, clock.offset_seconds);
                let offset = offset.get(19..).unwrap_or_default().replace('Z', "+00:00");
                speech.fill(P::ClockSet, &[("offset", &offset)])
            }
            None => speech.say(P::ClockUnset).to_owned(),
        },
    ));
    rows.push((speech.say(P::Device), on.device.clone()));
    rows.push((speech.say(P::Key), on.key.clone().unwrap_or_else(|| speech.say(P::NoKey).to_owned())));
    rows.extend(on.cover.map(|cover| {
        let signed = match cover {
            Cover::UpTo { page, items } => {
                speech.fill(P::SignedTo, &[("page", &page.to_string()), ("item", &items.to_string())])
            }
            Cover::NoKeys | Cover::Nothing => speech.say(P::SignedNothing).to_owned(),
        };
        (speech.say(P::Signed), signed)
    }));
    rows.push((speech.say(P::End), end(on, speech)));
    rows
}

/// Where the log ends, and whether anything signed says so.
fn end(on: &RestsOn, speech: Speech) -> String {
    let Some(end) = on.end else { return speech.say(P::EndNotInCode).to_owned() };
    let at = end.at.map_or_else(|| speech.say(P::NoTime).to_owned(), |at| speech.dated(end.clock, at));
    let (page, items) = (end.place.0.to_string(), end.place.1.to_string());
    let gaps = [("page", &*page), ("items", &*items), ("at", &*at)];
    match end.answered {
        None => speech.fill(P::EndIs, &gaps),
        Some(answered) => {
            let signed = speech.dated(answered.clock, answered.at);
            speech.fill(P::EndSigned, &[&gaps[..], &[("signed", &*signed)]].concat())
        }
    }
}

/// Proofs and findings as one JSON object.
pub fn object(proofs: &[Proof], findings: &[Finding]) -> String {
    let fixings: Vec<Value> = proofs.iter().map(of_proof).collect();
    let findings: Vec<Value> = findings.iter().map(coded).collect();
    let caution = Speech::PLAIN.cautions(proofs.iter().any(|proof| proof.demo));
    format!("{}\n", json!({"fixings": fixings, "findings": findings, "caution": caution}))
}

fn of_proof(proof: &Proof) -> Value {
    json!({
        "fixing": name(proof, Speech::PLAIN),
        "verdict": proof.came_to(),
        "proved": proof.is_proved(),
        "why": coded(&Why::from(proof.verdict.clone())),
        "cured_at": proof.cured.map(|at| at.words(Speech::PLAIN)),
        "released_at": proof.released.map(|at| at.words(Speech::PLAIN)),
        "demo": proof.demo,
        "laxer": proof.laxer.words().collect::<Vec<_>>(),
        "outside_at_seating": proof.outside_at_seating.map(celsius),
        "rests_on": proof.rests_on.as_ref().map(of_rest),
    })
}

fn of_rest(on: &RestsOn) -> Value {
    json!({
        "resin": on.resin,
        "resin_sha256": to_hex(&on.resin_hash),
        "job_sha256": to_hex(&on.job_hash),
        "required_s": on.required,
        "rule": on.rule.word(),
        "source": on.source.map(|from| match from {
            Source::Trace => "trace",
            Source::Sensor(_) => "logger",
        }),
        "clock_set": on.clock.is_some(),
        "device": on.device,
        "key": on.key,
        "signed_to": match on.cover {
            Some(Cover::UpTo { page, items }) => Some(json!({"page": page, "items": items})),
            Some(Cover::NoKeys | Cover::Nothing) | None => None,
        },
        "end": on.end.map(|end| json!({
            "page": end.place.0,
            "items": end.place.1,
            "at_s": end.at,
            "at": end.at.map(|at| Speech::PLAIN.dated(end.clock, at)),
            "signed": end.answered.is_some(),
            "signed_at": end.answered.map(|answered| Speech::PLAIN.dated(answered.clock, answered.at)),
        })),
    })
}
