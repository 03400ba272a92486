//! The JSON object of a fixing (`docs/interfaces.md`, Replay).

use crate::seen::SeenObject;
use crate::words::{Speech, fact_word, status_sentence};
use holdoff_core::cure::WHOLE;
use holdoff_core::fixing::{Action, Decision, Demands, Status};
use holdoff_core::group::FixingNumber;
use holdoff_core::quantity::{Count, Instant};
use holdoff_files::deeds::Fixing;
use holdoff_files::hands::Hands;
use holdoff_files::stamp::format_seconds;
use holdoff_site::replay::{Ignored, Outcome, Seen};
use serde::Serialize;

/// One fixing at the end of a replay.
#[derive(Debug, Serialize)]
pub struct Object {
    #[serde(skip_serializing_if = "Option::is_none")]
    fixing: Option<String>,
    stage: &'static str,
    cured_at: Option<String>,
    announced_at: Option<String>,
    laxer: Vec<&'static str>,
    required_s: u64,
    served_s: u64,
    elapsed_s: u64,
    counted_s: u64,
    held_s: u64,
    unobserved_s: u64,
    bands: Vec<BandObject>,
    accrued: f64,
    coldest_c: Option<f64>,
    readings: ReadingsObject,
    reasons: Vec<&'static str>,
    rule: &'static str,
    hole: &'static str,
    injected_at: Option<String>,
    seated_at: Option<String>,
    seat_by: Option<String>,
    outside_at_seating: Option<f64>,
    cartridge: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    torque_nm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    decision: Option<&'static str>,
    #[serde(flatten)]
    hands: Option<HandsObject>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    no_effect: Vec<NoEffect>,
    #[serde(flatten)]
    seen: SeenObject,
    status: String,
    resin: String,
    demo: bool,
    caution: String,
}

#[derive(Debug, Serialize)]
struct BandObject {
    from_c: f64,
    counted_s: u32,
}

#[derive(Debug, Serialize)]
struct ReadingsObject {
    accepted: u64,
    refused: u64,
    missing: u64,
}

#[derive(Debug, Serialize)]
struct HandsObject {
    cleaned: bool,
    colour_even: bool,
    excess: Option<&'static str>,
    depth: Option<&'static str>,
    set_by: Option<String>,
    torqued_by: Option<String>,
}

#[derive(Debug, Serialize)]
struct NoEffect {
    action: &'static str,
    at: String,
}

/// What the objects of all fixings share.
#[derive(Clone, Copy, Debug)]
pub struct Shared<'a> {
    /// Name of the resin.
    pub resin: &'a str,
    /// Whether it is an invented one.
    pub demo: bool,
    /// Lower edges of the bands, °C, as the file writes them.
    pub edges: &'a [f64],
    /// What is told of the trace.
    pub seen: &'a Seen,
    /// What the replay came to.
    pub outcome: &'a Outcome,
    /// What is demanded of hands, and whose they are.
    pub hands: &'a Hands,
}

/// The object of one fixing; `None` where there is no such fixing.
pub fn object(shared: &Shared<'_>, number: FixingNumber, fixing: &Fixing) -> Option<Object> {
    let group = &shared.outcome.group;
    let status = group.status(number)?;
    let time = |at: Option<Instant>| at.map(|at| format_seconds(at.seconds(), fixing.offset_seconds));
    let readings = group.readings();
    Some(Object {
        fixing: fixing.name.clone(),
        stage: status.stage.word(),
        cured_at: time(status.cured_at),
        announced_at: time(status.announced_at),
        laxer: with_clean_within(group.settings().laxer().words().collect(), group.demands()),
        required_s: status.required,
        served_s: status.served,
        elapsed_s: status.tally.elapsed(),
        counted_s: status.tally.counted(),
        held_s: status.tally.held,
        unobserved_s: status.tally.unobserved,
        bands: bands(shared.edges, &status),
        accrued: status.accrued as f64 / WHOLE as f64,
        coldest_c: status.coldest.map(|coldest| f64::from(coldest.raw()) / 256.0),
        readings: ReadingsObject { accepted: readings.accepted, refused: readings.refused, missing: readings.missing },
        reasons: status.grounds.iter().map(|ground| ground.word()).collect(),
        rule: group.rule().word(),
        hole: status.hole.word(),
        injected_at: time(status.injected_at),
        seated_at: time(status.seated_at),
        seat_by: time(status.seat_by),
        outside_at_seating: status.outside_at_seating.map(celsius),
        cartridge: cartridge(fixing),
        torque_nm: status.torque.map(|torque| f64::from(torque.hundredths()) / 100.0),
        decision: status.decision.map(|decision| match decision {
            Decision::Accept => "accept",
            Decision::Remove => "remove",
        }),
        hands: hands(&status, shared.hands, fixing),
        no_effect: no_effect(&shared.outcome.ignored, number, fixing),
        seen: SeenObject::of(&shared.seen.of_fixing(number)),
        status: status_sentence(&status, fixing.spec.torque, fixing.offset_seconds),
        resin: shared.resin.to_owned(),
        demo: shared.demo,
        caution: Speech::PLAIN.cautions(shared.demo),
    })
}

/// The words with that of a cleaning that may be older than by default (Q4).
fn with_clean_within(mut words: Vec<&'static str>, demands: &Demands) -> Vec<&'static str> {
    if demands.is_clean_within_laxer() {
        words.push("clean-within");
    }
    words
}

/// A count as it is told in JSON.
pub fn celsius(count: Count) -> f64 {
    f64::from(count.raw()) / 256.0
}

fn bands(edges: &[f64], status: &Status) -> Vec<BandObject> {
    let seconds = status.tally.bands.iter();
    edges.iter().zip(seconds).map(|(&from_c, &counted_s)| BandObject { from_c, counted_s }).collect()
}

fn cartridge(fixing: &Fixing) -> &'static str {
    let declared = fixing.acts.iter().rev().find_map(|act| {
        let Action::Inject(injection) = act.action else { return None };
        Some(injection.cartridge.is_some())
    });
    if declared == Some(true) { "declared" } else { "undeclared" }
}

/// What was declared of hole, nozzle and seating, and by whom; `None` where nothing was.
fn hands(status: &Status, hands: &Hands, fixing: &Fixing) -> Option<HandsObject> {
    fixing.tells_of_hands(hands).then(|| HandsObject {
        cleaned: status.declared.cleaned,
        colour_even: status.declared.even,
        excess: fact_word(status.declared.facts.excess),
        depth: fact_word(status.declared.facts.depth),
        set_by: fixing.set_by().and_then(|by| hands.name(by)).map(str::to_owned),
        torqued_by: fixing.torqued_by().and_then(|by| hands.name(by)).map(str::to_owned),
    })
}

fn no_effect(ignored: &[Ignored], number: FixingNumber, fixing: &Fixing) -> Vec<NoEffect> {
    ignored
        .iter()
        .filter(|ignored| ignored.fixing == number)
        .map(|ignored| NoEffect {
            action: ignored.act.word(),
            at: format_seconds(ignored.act.at.seconds(), fixing.offset_seconds),
        })
        .collect()
}
