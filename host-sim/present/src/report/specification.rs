//! What the engineer specified for a group, as the job file has it.

use super::values::{fact, facts};
use crate::job;
use crate::words::{ReportPhrase as P, Speech};
use holdoff_core::fixing::TorqueRange;
use holdoff_files::job::sampling::{ProofTests, Sample};
use holdoff_files::job::{BlowWith, Group, Job, Load, Substrate};
use maud::{Markup, html};

/// The facts of a group's specification.
pub(super) fn specification(speech: Speech, job: &Job, group: &Group) -> Markup {
    let said = |text: Option<&str>| text.unwrap_or_else(|| speech.say(P::NotSaid)).to_owned();
    facts(
        "specification",
        &html! {
            (fact(speech.say(P::Element), job::element(speech, &group.element)))
            (fact(speech.say(P::Drilled), drilled(speech, group)))
            (fact(speech.say(P::Embedment), format!("{} mm", speech.decimal(group.embedment))))
            (fact(speech.say(P::Edge), job::distance(speech, group.edge_distance)))
            (fact(speech.say(P::Spacing), job::distance(speech, group.spacing)))
            (fact(speech.say(P::Substrate), substrate(speech, group.substrate)))
            (fact(speech.say(P::LoadOf), speech.say(match group.load {
                Load::SustainedTension => P::Sustained,
                Load::Other => P::OtherLoad,
            })))
            (fact(speech.say(P::Torque), torque(speech, group.spec().torque)))
            (fact(speech.say(P::Cleaning), cleaning(speech, group)))
            (fact(speech.say(P::Rule), speech.rule(group.rule)))
            @if group.certified_installer.is_some() || group.inspector.is_some() || group.needs_certified_people() {
                (fact(speech.say(P::People), format!(
                    "{}; {}",
                    said(group.certified_installer.as_deref()),
                    said(group.inspector.as_deref())
                )))
            }
            (fact(speech.say(P::Planned), group.planned.map_or_else(|| said(None), |day| day.to_string())))
            (fact(speech.say(P::BatchAsked), match job.batch_of(group) {
                Some(batch) => speech.fill(P::BatchGood, &[("batch", &batch.name), ("day", &batch.use_by.to_string())]),
                None => said(None),
            }))
        },
    )
}

fn drilled(speech: Speech, group: &Group) -> String {
    speech.fill(
        P::DrilledAs,
        &[
            ("diameter", &speech.decimal(group.drilled.diameter)),
            ("depth", &speech.decimal(group.drilled.depth)),
            ("direction", job::direction(speech, group.direction)),
            ("condition", speech.hole(group.condition)),
        ],
    )
}

fn substrate(speech: Speech, substrate: Substrate) -> String {
    let mut parts = vec![job::substrate_kind(speech, substrate.kind).to_owned()];
    if let Some(day) = substrate.cast {
        parts.push(speech.fill(P::CastBy, &[("day", &day.to_string())]));
    }
    if let Some(days) = substrate.least_age_days {
        parts.push(speech.fill(P::LeastAge, &[("days", &days.to_string())]));
    }
    parts.join(", ")
}

/// A specified torque as the range that was asked for.
pub(super) fn torque(speech: Speech, range: Option<TorqueRange>) -> String {
    match range {
        Some(range) => {
            let (least, greatest) = speech.torque_range(range);
            speech.fill(P::TorqueFromTo, &[("least", &least), ("greatest", &greatest)])
        }
        None => speech.say(P::NotTorqued).to_owned(),
    }
}

fn cleaning(speech: Speech, group: &Group) -> String {
    let steps = job::cleaning_steps(speech, &group.cleaning);
    let blow = group.blow_with.map_or_else(String::new, |with| {
        let with = match with {
            BlowWith::HandPump => P::HandPump,
            BlowWith::CompressedAir => P::CompressedAir,
        };
        format!(", {}", speech.say(with))
    });
    format!("{steps}{blow} ({})", speech.say(P::CleaningNote))
}

/// What the job file asks for in proof tests of a group.
pub(super) fn sampling(speech: Speech, group: &Group, proof: &ProofTests) -> Markup {
    let number = group.number();
    let load = holdoff_files::job::kilonewtons(proof.load);
    let mut asked = speech.fill(
        P::SampleAsked,
        &[
            ("sample", &proof.sample.of(number).to_string()),
            ("number", &number.to_string()),
            ("load", &speech.decimal(load)),
        ],
    );
    if let Some(hold) = proof.hold {
        asked.push_str(&format!(
            ", {}",
            speech.fill(P::HeldFor, &[("hold", &speech.length(u64::from(hold.seconds())))])
        ));
    }
    if let Some(most) = proof.displacement {
        asked.push_str(&format!(", {}", speech.fill(P::DisplacementMost, &[("most", &speech.decimal(most))])));
    }
    let after = |sample: Option<Sample>| match sample {
        Some(sample) => speech.fill(P::InAll, &[("number", &sample.of(number).to_string())]),
        None => speech.say(P::EngineerDecides).to_owned(),
    };
    facts(
        "sampling",
        &html! {
            (fact(speech.say(P::Asked), asked))
            (fact(speech.say(P::AfterOne), after(proof.after_one_failure)))
            (fact(speech.say(P::AfterMore), after(proof.after_more_failures)))
        },
    )
}
