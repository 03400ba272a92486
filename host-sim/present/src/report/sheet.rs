//! The sheet of one fixing.

use super::cure::cure;
use super::objection::{Objection, against, keeps_stage};
use super::reckon::{Reckoning, accepted};
use super::specification::torque;
use super::start::checks;
use super::values::{SessionWords, fact, facts, table};
use crate::plot::{Course, course_svg};
use crate::words::{self, ProofPhrase, ReportPhrase as P};
use holdoff_core::fixing::{Action, Stage, Status};
use holdoff_core::group::Verdict;
use holdoff_core::log::StageWord;
use holdoff_core::quantity::{Count, Fine, Instant};
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::{Claim, Deed, Fixing, Proving, Session, StageFacts, claim, leads_on};
use holdoff_files::deeds::Act;
use holdoff_files::stamp::Clock;
use maud::{Markup, PreEscaped, html};

/// What is said of a fixing in the overview and at the head of its sheet.
#[derive(Debug)]
pub(super) struct SheetHead {
    pub(super) headline: &'static str,
    pub(super) sentence: String,
    /// That no signature covers it, or that it was held against no key.
    pub(super) weight: Option<String>,
    /// What stands against it besides, as a sentence.
    pub(super) against: Option<String>,
    /// Whether it is told before everything else: somebody might load it.
    pub(super) first: bool,
}

/// Where a fixing stands, by the order of claims; a stage does not count where something else stands against it.
pub(super) fn standing(said: SessionWords<'_>, fixing: &Fixing, objections: &[Objection]) -> SheetHead {
    let speech = said.speech;
    let grounds = fixing.grounds(said.session);
    let claim = claim(&grounds);
    let told = StageFacts::of(&fixing.status, fixing.spec.torque);
    let words::ClaimWords { headline, sentence, weight } = speech.standing(&claim, &told, &|at| said.instant(at));
    let against = against(speech, objections);
    let Some(stage) = claim.stage() else {
        return SheetHead { headline, sentence, weight, against, first: true };
    };
    if let (Some(why), Some(worst), false) = (&against, objections.first(), keeps_stage(stage)) {
        // it is the sentence
        let sentence = why.clone();
        return SheetHead { headline: speech.say(worst.head()), sentence, weight, against: None, first: true };
    }
    let first = stage == StageWord::Rejected || leads_on(stage) && matches!(claim, Claim::NotCovered(..));
    SheetHead { headline, sentence, weight, against, first }
}

/// The sheet; `notes` are about the job file.
pub(super) fn sheet(
    said: SessionWords<'_>,
    fixing: &Fixing,
    (id, standing): (&str, &SheetHead),
    notes: &Markup,
    tests: &Markup,
) -> Markup {
    let speech = said.speech;
    let reckoning = Reckoning::of(said.session, fixing);
    let decided =
        speech.decision_beside(StageWord::of(&fixing.status.stage), fixing.decided.as_ref(), &fixing.conflicts);
    let alarm = if standing.first || standing.weight.is_some() { "alarm" } else { "panel" };
    html! {
        article.sheet id=(id) {
            h2 { (said.name(fixing)) }
            p class=(format!("headline {alarm}")) { (standing.headline) }
            p { (standing.sentence) }
            @if let Some(weight) = &standing.weight { p.notice.not-covered { (weight) "." } }
            @if let Some(against) = &standing.against { p.alarm { (against) } }
            @if let Some(decided) = &decided { p.notice.decided { (decided) "." } }
            @if let Some(outside) = speech.outside_note(fixing.status.outside_at_seating) {
                p.notice.outside-at-seating { (outside) "." }
            }
            @if let Some(at) = said.session.as_of { p.small { (speech.fill(P::AsOf, &[("at", &said.time(at))])) } }
            @if let Some(why) = &said.session.untrusted {
                p.alarm { (speech.fill(P::Untrusted, &[("why", &said.told(why))])) }
            }
            (notes)
            (facts("loaded", &loaded(said, fixing)))
            (instants(said, fixing))
            (checks(said, fixing))
            (temperatures(said, fixing, reckoning.as_ref()))
            (cure(said, fixing, reckoning.as_ref()))
            (deeds(said, fixing))
            (tests)
            (log(said, fixing))
        }
    }
}

fn loaded(said: SessionWords<'_>, fixing: &Fixing) -> Markup {
    let (speech, session) = (said.speech, said.session);
    html! {
        (fact(speech.say(P::Drilled), speech.hole(fixing.status.hole)))
        (fact(speech.say(P::Torque), torque(speech, fixing.spec.torque)))
        (fact(speech.say(P::Rule), speech.rule(session.job.rule)))
        (fact(speech.say(P::Proof), proof(said, fixing)))
    }
}

fn proof(said: SessionWords<'_>, fixing: &Fixing) -> String {
    match &fixing.proving {
        Proving::NoRelease => said.speech.say(P::NoRelease).to_owned(),
        Proving::NoKeys => said.speech.say(P::NoKeys).to_owned(),
        Proving::Proved(why) => said.speech.fill(P::Proved, &[("why", &said.told(why))]),
        Proving::NotProved(why) => said.speech.fill(P::NotProved, &[("why", &said.told(why))]),
    }
}

/// The instants of a fixing's life, as far as there are any.
fn moments(fixing: &Fixing) -> Vec<(P, Instant)> {
    let status: &Status = &fixing.status;
    let torqued = fixing.deeds.iter().filter(|deed| applied(deed)).map(|deed| (P::Torqued, deed.at));
    let mut moments = Vec::new();
    moments.extend(status.injected_at.map(|at| (P::Injected, at)));
    moments.extend(fixing.seat_by.map(|at| (P::SeatBy, at)));
    moments.extend(status.seated_at.map(|at| (P::Seated, at)));
    moments.extend(status.cured_at.map(|at| (P::Cured, at)));
    moments.extend(status.announced_at.filter(|_| status.cured_at.is_none()).map(|at| (P::CuredForecast, at)));
    moments.extend(torqued);
    match status.stage {
        Stage::Released(released) => moments.push((P::Released, released.at())),
        Stage::Rejected(rejection) | Stage::AcceptedAsIs(rejection) | Stage::Removed(rejection) => {
            moments.push((P::Rejected, rejection.at));
        }
        Stage::Planned | Stage::Refused | Stage::Working | Stage::Curing | Stage::Held | Stage::Cured(_) => {}
    }
    moments
}

fn applied(deed: &Deed) -> bool {
    matches!(deed.action, Action::Torque(_) | Action::TorquedEarly(_)) && deed.verdict == Verdict::Done
}

fn instants(said: SessionWords<'_>, fixing: &Fixing) -> Markup {
    let (speech, session) = (said.speech, said.session);
    let moments = moments(fixing);
    let heads = [P::What, P::When, P::Second].map(|head| speech.say(head));
    let row =
        |what: P, at: i64| html! { tr { th scope="row" { (speech.say(what)) } td { (said.stamp(at)) } td { (at) } } };
    let from = fixing.status.injected_at.map(Instant::seconds);
    let to = moments.iter().map(|(_, at)| at.seconds()).max();
    let corrections = from.zip(to).map_or_else(Vec::new, |(from, to)| session.wall.corrections(from, to));
    html! {
        section.instants {
            h3 { (speech.say(P::Instants)) }
            (table("instants", &heads, &html! {
                @for (what, at) in &moments { (row(*what, at.seconds())) }
                @if let Some(at) = session.as_of { (row(P::LastRecorded, at)) }
            }))
            @for (at, seconds) in corrections {
                p { (speech.fill(P::ClockCorrected, &[("seconds", &seconds.to_string()), ("at", &at.to_string())])) }
            }
        }
    }
}

/// From somewhat before the injection to somewhat behind the last thing that happened to the fixing.
fn shown_span(session: &Session, fixing: &Fixing, reckoning: Option<&Reckoning>) -> (i64, i64) {
    let first = session.readings.first().map_or(0, |reading| reading.at);
    let last = session.as_of.unwrap_or(first);
    let moments = moments(fixing);
    let start = moments.iter().map(|(_, at)| at.seconds()).min().unwrap_or(first);
    let end = moments.iter().map(|(_, at)| at.seconds()).chain(reckoning.map(|reckoning| reckoning.until)).max();
    let end = end.unwrap_or(last);
    let margin = (end.saturating_sub(start) / 12).max(1800);
    ((start.saturating_sub(margin)).max(first), end.saturating_add(margin).min(last.max(end)))
}

fn temperatures(said: SessionWords<'_>, fixing: &Fixing, reckoning: Option<&Reckoning>) -> Markup {
    let (speech, session) = (said.speech, said.session);
    let span = shown_span(session, fixing, reckoning);
    let mut readings: Vec<(i64, i16)> = accepted(session).collect();
    readings.sort_unstable_by_key(|(at, _)| *at);
    let seen = || readings.iter().filter(|(at, _)| (span.0..=span.1).contains(at)).map(|(_, raw)| *raw);
    let Some((least, most)) = seen().min().zip(seen().max()) else {
        return html! { section.temperatures { h3 { (speech.say(P::Temperatures)) } p { (speech.say(P::NothingRead)) } } };
    };
    let degrees = |raw: i16| speech.degrees(Count::new(raw).fine());
    let label = speech.fill(
        P::DrawingOf,
        &[
            ("from", &said.time(span.0)),
            ("to", &said.time(span.1)),
            ("least", &degrees(least)),
            ("greatest", &degrees(most)),
        ],
    );
    let marks: Vec<(i64, &'static str)> = moments(fixing)
        .into_iter()
        .filter(|(what, _)| !matches!(what, P::SeatBy | P::Released))
        .map(|(what, at)| (at.seconds(), speech.say(what)))
        .collect();
    // without a wall clock the axis counts hours from the first reading
    let hours = Clock { ahead: span.0.saturating_neg(), offset_seconds: 0 };
    let drawn = course_svg(&Course {
        readings: &readings,
        stretches: &session.story.stretches,
        resin: session.group.resin(),
        uncertainty: session.job.settings.uncertainty().counts(),
        span,
        clock: session.wall.clock(span.1).or_else(|| session.wall.latest()).unwrap_or(hours),
        marks: &marks,
        label: &label,
        speech,
    });
    html! {
        section.temperatures {
            h3 { (speech.say(P::Temperatures)) }
            figure { (PreEscaped(drawn)) figcaption.small { (label) } }
        }
    }
}

fn deeds(said: SessionWords<'_>, fixing: &Fixing) -> Markup {
    let speech = said.speech;
    let heads = [P::When, P::Action, P::CameOfIt].map(|head| speech.say(head));
    let decisions: Vec<String> = fixing
        .deeds
        .iter()
        .filter(|deed| deed.verdict == Verdict::Done)
        .filter_map(|deed| {
            let Action::Decide(decision) = deed.action else { return None };
            Some(format!("{} ({})", speech.decision(decision), said.instant(deed.at)))
        })
        .collect();
    let decided = if decisions.is_empty() { speech.say(P::NoneRecorded).to_owned() } else { speech.listed(&decisions) };
    html! {
        section.deeds {
            h3 { (speech.say(P::Deeds)) }
            @if fixing.deeds.is_empty() {
                p { (speech.say(P::NoDeeds)) }
            } @else {
                (table("deeds", &heads, &html! {
                    @for deed in &fixing.deeds {
                        tr {
                            td { (said.stamp(deed.at.seconds())) }
                            th scope="row" { (action(said, deed)) }
                            td { (outcome(said, fixing, deed)) }
                        }
                    }
                }))
            }
            (facts("decision", &fact(speech.say(P::Decision), decided)))
        }
    }
}

fn action(said: SessionWords<'_>, deed: &Deed) -> String {
    let speech = said.speech;
    let word = speech.act(&Act { at: deed.at, action: deed.action, offset_seconds: 0, by: None });
    match deed.action {
        Action::Torque(torque) | Action::TorquedEarly(torque) => {
            format!("{word}{}{}", speech.colon(), speech.torque(torque))
        }
        Action::Hole(hole) => format!("{word}{}{}", speech.colon(), speech.hole(hole)),
        Action::Decide(decision) => speech.decision(decision).to_owned(),
        Action::Declare(declaration) => speech.declaration(declaration),
        Action::Inject(_) | Action::CarriedOut | Action::Seat => word.to_owned(),
    }
}

fn outcome(said: SessionWords<'_>, fixing: &Fixing, deed: &Deed) -> String {
    let speech = said.speech;
    match deed.verdict {
        Verdict::NotApplicable(why) => speech.fill(P::NoEffectBecause, &[("why", &speech.why_not(why, deed.stage))]),
        Verdict::Done | Verdict::Accepted | Verdict::AcceptedWithCandidate | Verdict::Refused(_) | Verdict::Missing => {
            let told =
                deed.events.iter().filter_map(|event| speech.told_event(event, fixing.number, &|at| said.instant(at)));
            speech.listed(&told.map(|(_, what)| what).collect::<Vec<_>>())
        }
    }
}

fn supply(said: SessionWords<'_>, (millivolts, at): (u16, Instant)) -> String {
    let (speech, at) = (said.speech, said.instant(at));
    if millivolts == 0 {
        return speech.fill(P::NotMeasured, &[("at", &at)]);
    }
    let volts = speech.decimal(format!("{}.{:03}", millivolts / 1000, millivolts % 1000));
    speech.fill(P::SupplyAt, &[("volts", &volts), ("at", &at)])
}

fn log(said: SessionWords<'_>, fixing: &Fixing) -> Markup {
    let (speech, session) = (said.speech, said.session);
    let (identity, settings) = (session.identity, session.job.settings);
    let version = identity.firmware.map(|part| part.to_string()).join(".");
    let device = to_hex(&identity.device.0);
    let laxer = speech.laxer(settings.laxer());
    let readings = session.group.readings();
    let lost: u64 = session.losses.iter().map(|loss| u64::from(loss.count)).sum();
    let uncertainty = Fine::new(i32::from(settings.uncertainty().counts()));
    html! {
        section.log {
            h3 { (speech.say(P::Log)) }
            (facts("log", &html! {
                (fact(speech.say(P::Device), speech.fill(P::DeviceIs, &[
                    ("device", &device),
                    ("version", &version),
                    ("page", &session.first_page.to_string()),
                ])))
                (fact(speech.say(P::Proof), proof(said, fixing)))
                (fact(speech.say(P::Every), speech.length(u64::from(session.job.period.seconds()))))
                tr.uncertainty {
                    th scope="row" { (speech.say(P::Uncertainty)) }
                    td { (speech.degrees_apart(uncertainty)) " (" (uncertainty.raw()) ")" }
                }
                (fact(speech.say(P::LongestGap), speech.length(u64::from(settings.longest_gap().seconds()))))
                tr.clock-ppm { th scope="row" { (speech.say(P::ClockAllowance)) } td { (settings.clock_ppm()) " ppm" } }
                (fact(speech.say(P::Settle), speech.length(u64::from(settings.settle().seconds()))))
                @if let Some(supply) = session.lowest_supply {
                    (fact(speech.say(P::LowestSupply), self::supply(said, supply)))
                }
                (fact(speech.say(P::ReadingsOf), speech.fill(P::ReadingsAre, &[
                    ("accepted", &readings.accepted.to_string()),
                    ("refused", &readings.refused.to_string()),
                    ("missing", &readings.missing.to_string()),
                    ("lost", &lost.to_string()),
                ])))
                (fact(speech.say(P::JobHash), html! { span.hash { (to_hex(&session.job.file.0)) } }))
                (fact(speech.say(P::ResinHash), html! { span.hash { (to_hex(&session.resin.file.0)) } }))
            }))
            @if !laxer.is_empty() { p.notice { (speech.fill(P::LaxerThan, &[("which", &laxer.join(", "))])) } }
            p.small { (speech.say(ProofPhrase::Worth)) }
        }
    }
}
