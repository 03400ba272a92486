//! The checks at the start of an injection: what was found, what was asked for, and what the engine made of it.

use super::reckon::{accepted, started};
use super::values::{SessionWords, fact, facts, table};
use crate::words::{DeedPhrase, ReportPhrase as P};
use holdoff_core::fixing::{Action, Ground, Grounds, Injection, Needs};
use holdoff_core::group::{Event, Verdict};
use holdoff_core::quantity::{Count, Fine, Instant, Span};
use holdoff_core::resin::Hole;
use holdoff_evidence::{Deed, Fixing};
use maud::{Markup, html};

/// One check.
struct Row {
    what: &'static str,
    found: String,
    asked: String,
    /// `None` where nothing is asked of it by itself.
    result: Option<Outcome>,
}

/// What the engine made of a check.
#[derive(Clone, Copy)]
enum Outcome {
    Within,
    Outside,
    NotJudged,
}

impl Outcome {
    fn of(grounds: Grounds, ground: Ground) -> Self {
        if grounds.has(ground) { Self::Outside } else { Self::Within }
    }

    const fn word(self) -> P {
        match self {
            Self::Within => P::Within,
            Self::Outside => P::Outside,
            Self::NotJudged => P::NotJudged,
        }
    }
}

/// Every injection that was begun or refused, with its checks, and the batch.
pub(super) fn checks(said: SessionWords<'_>, fixing: &Fixing) -> Markup {
    let speech = said.speech;
    let attempts: Vec<&Deed> = fixing
        .deeds
        .iter()
        .filter(|deed| matches!(deed.action, Action::Inject(_)) && deed.verdict == Verdict::Done)
        .collect();
    html! {
        section.start {
            h3 { (speech.say(P::Start)) }
            @if attempts.is_empty() { p { (speech.say(P::NothingInjected)) } }
            @for deed in attempts { (attempt(said, fixing, deed)) }
            (facts("batch", &fact(speech.say(P::Batch), batch(said, fixing))))
            p.small { (speech.say(P::ShownRounded)) }
        }
    }
}

/// The batch as it was recorded.
pub(super) fn batch(said: SessionWords<'_>, fixing: &Fixing) -> String {
    let Some(batch) = fixing.batch else { return said.speech.say(P::NoneRecorded).to_owned() };
    let text = batch.text.text().unwrap_or("?");
    match batch.use_by {
        // by the wall clock, in the offset of the logger
        Some(use_by) => {
            let injected = fixing.status.injected_at.and_then(|at| said.session.wall.clock(at.seconds()));
            let clock = injected.or_else(|| said.session.wall.latest());
            let at = holdoff_files::stamp::format_seconds(use_by, clock.map_or(0, |clock| clock.offset_seconds));
            said.speech.fill(P::BatchBefore, &[("batch", text), ("at", &at)])
        }
        None => said.speech.fill(P::BatchNoDate, &[("batch", text)]),
    }
}

fn attempt(said: SessionWords<'_>, fixing: &Fixing, deed: &Deed) -> Markup {
    let speech = said.speech;
    let Action::Inject(injection) = deed.action else { return html! {} };
    let refused = deed.events.iter().find_map(|event| {
        let Event::StartRefused { grounds, .. } = event else { return None };
        Some(*grounds)
    });
    let begun = started(deed.verdict, &deed.events);
    let grounds = refused.unwrap_or(Grounds::NONE);
    let outcome = match (begun, refused) {
        (_, Some(grounds)) => format!("{} ({})", speech.say(P::RefusedStart), speech.grounds(grounds)),
        (true, None) => speech.say(P::Begun).to_owned(),
        (false, None) => speech.say(P::NotJudged).to_owned(),
    };
    let at = said.instant(deed.at);
    let heads = [P::Check, P::Found, P::Asked, P::Result].map(|head| speech.say(head));
    let rows = rows(said, fixing, deed, &injection, grounds);
    html! {
        h4 { (speech.fill(P::Attempt, &[("at", &at), ("outcome", &outcome)])) }
        (table("checks", &heads, &html! {
            @for row in rows {
                tr {
                    th scope="row" { (row.what) }
                    td { (row.found) }
                    td { (row.asked) }
                    td { @if let Some(result) = row.result { (speech.say(result.word())) } }
                }
            }
        }))
    }
}

fn rows(said: SessionWords<'_>, fixing: &Fixing, deed: &Deed, injection: &Injection, grounds: Grounds) -> Vec<Row> {
    let speech = said.speech;
    let (resin, settings) = (said.session.group.resin(), said.session.job.settings);
    let limits = resin.limits();
    let at_least = |count| speech.fill(P::AtLeast, &[("degrees", &said.count(count))]);
    let at_most = |count| speech.fill(P::AtMost, &[("degrees", &said.count(count))]);
    let not_said = || speech.say(P::NotSaid).to_owned();
    let judged = if grounds.has(Ground::NoReading) { None } else { deed.reading };
    let uncertainty = i32::from(settings.uncertainty().counts());
    let in_hole = injection.in_hole.map(|reading| i32::from(reading.count.raw()));
    let reading = judged.map(|(_, count)| i32::from(count.raw()));
    // P5: the least limit against the lower `low`, the greatest against the higher `high`
    let low = reading.map(|raw| in_hole.map_or(raw, |hole| hole.min(raw)) - uncertainty);
    let high = reading.map(|raw| in_hole.map_or(raw, |hole| hole.max(raw)) + uncertainty + 1);
    let of_reading = |ground| if judged.is_some() { Outcome::of(grounds, ground) } else { Outcome::NotJudged };
    let shown = |raw: Option<i32>| raw.map_or_else(not_said, |raw| said.exact(raw));
    let declared = declared_before(fixing, deed);
    let mut rows = vec![
        Row {
            what: speech.say(P::ResinDate),
            found: said.instant(deed.at),
            asked: injection
                .past_from
                .map_or_else(not_said, |past| speech.fill(P::GoodUntil, &[("at", &said.instant(past))])),
            result: Some(injection.past_from.map_or(Outcome::NotJudged, |_| Outcome::of(grounds, Ground::PastDate))),
        },
        Row {
            what: speech.say(P::FreshReading),
            found: deed.reading.map_or_else(not_said, |(at, count)| {
                speech.fill(P::ReadingAt, &[("degrees", &said.count(count)), ("at", &said.instant(at))])
            }),
            asked: {
                let gap = speech.length(u64::from(settings.longest_gap().seconds()));
                speech.fill(P::NotOlder, &[("gap", &gap)])
            },
            result: Some(Outcome::of(grounds, Ground::NoReading)),
        },
        Row {
            what: speech.say(P::SettledProbe),
            found: judged.map_or_else(not_said, |now| settled(said, now)),
            asked: {
                let settle = speech.length(u64::from(settings.settle().seconds()));
                let [rate, off] = [26, 32].map(|counts| speech.degrees_apart(Fine::new(counts)));
                speech.fill(P::SettledIs, &[("settle", &settle), ("rate", &rate), ("off", &off)])
            },
            // nor where a reading of the hole was given, or the rule is switched off (R6)
            result: Some(match (injection.in_hole, settings.settle()) {
                (None, settle) if settle > Span::ZERO => of_reading(Ground::ProbeNotSettled),
                (Some(_) | None, _) => Outcome::NotJudged,
            }),
        },
        Row {
            what: speech.say(P::InHole),
            found: match injection.in_hole {
                Some(reading) => {
                    let at = said.instant(reading.at);
                    speech.fill(P::ReadingAt, &[("degrees", &said.count(reading.count)), ("at", &at)])
                }
                None => speech.say(P::NotTaken).to_owned(),
            },
            asked: String::new(),
            result: None,
        },
        Row {
            what: speech.say(P::ColdEnd),
            found: shown(low),
            asked: at_least(limits.install_least),
            result: Some(of_reading(Ground::TooCold)),
        },
        Row {
            what: speech.say(P::WarmEnd),
            found: shown(high),
            asked: at_most(limits.install_greatest),
            result: Some(of_reading(Ground::TooWarm)),
        },
        Row {
            what: speech.say(P::CartridgeTemperature),
            found: injection.cartridge.map_or_else(not_said, |cartridge| said.count(cartridge.count)),
            asked: {
                let (least, most) = (said.count(resin.cartridge_least()), said.count(resin.cartridge_greatest()));
                speech.fill(P::FromTo, &[("from", &least), ("to", &most)])
            },
            result: Some(injection.cartridge.map_or(Outcome::NotJudged, |_| Outcome::of(grounds, Ground::Cartridge))),
        },
        Row {
            what: speech.say(P::HoleDeclared),
            found: speech.hole(declared).to_owned(),
            asked: speech.holes(resin.holes()),
            result: Some(Outcome::of(grounds, Ground::HoleExcluded)),
        },
    ];
    rows.extend(records(said, grounds));
    rows
}

/// What the job demands of hands at a start; what was declared stands among the deeds.
fn records(said: SessionWords<'_>, grounds: Grounds) -> Vec<Row> {
    let (speech, demands) = (said.speech, said.session.group.demands());
    let row = |needs, what, asked, ground| {
        (needs == Needs::Required).then(|| Row {
            what: speech.say(what),
            found: String::new(),
            asked,
            result: Some(Outcome::of(grounds, ground)),
        })
    };
    let cleaning = row(demands.cleaning(), DeedPhrase::HoleWork, speech.prescribed(demands), Ground::NotCleaned);
    let even = speech.say(DeedPhrase::Even).to_owned();
    cleaning.into_iter().chain(row(demands.nozzle(), DeedPhrase::NozzleWork, even, Ground::Nozzle)).collect()
}

/// The reading that a start is judged on, and the one that rule R6 holds it against.
fn settled(said: SessionWords<'_>, (at, count): (Instant, Count)) -> String {
    let speech = said.speech;
    let reading = |at: Instant, count: Count| {
        speech.fill(P::ReadingAt, &[("degrees", &said.count(count)), ("at", &said.instant(at))])
    };
    let until = at.seconds().saturating_sub(i64::from(said.session.job.settings.settle().seconds()));
    let before = accepted(said.session).filter(|(at, _)| *at <= until).max_by_key(|(at, _)| *at);
    let before = before.map_or_else(
        || speech.say(P::NotSaid).to_owned(),
        |(at, raw)| reading(Instant::from_seconds(at), Count::new(raw)),
    );
    speech.fill(P::ReadingBefore, &[("now", &reading(at, count)), ("before", &before)])
}

/// The hole condition in force at a deed.
fn declared_before(fixing: &Fixing, deed: &Deed) -> Hole {
    let before = fixing.deeds.iter().take_while(|other| !std::ptr::eq(*other, deed));
    let changed = before.filter(|other| other.verdict == Verdict::Done).filter_map(|other| {
        let Action::Hole(hole) = other.action else { return None };
        Some(hole)
    });
    changed.last().unwrap_or(fixing.spec.hole)
}
