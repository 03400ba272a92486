//! The account of a replay for a person: what was decided and when, served against required, what did not count.

use super::{CAUTION, DEMO_CAUTION, degrees, ground, hole, length, stage, status_sentence, torque, when};
use crate::replay::{Fixing, Outcome, Plan, Story, Why};
use holdoff_core::cure::{Laxer, Rule};
use holdoff_core::fixing::{Decision, Status};
use holdoff_core::group::{Event, FixingNumber};
use holdoff_core::quantity::{Count, Fine};
use std::fmt::Write;

/// What an account is made of.
#[derive(Debug)]
pub struct Account<'a> {
    /// Name of the trace.
    pub trace: &'a str,
    /// Name of the resin.
    pub resin: &'a str,
    /// Whether the resin is an invented one.
    pub demo: bool,
    /// Lower edges of the bands as the file writes them, °C.
    pub edges: &'a [String],
    /// The fixings.
    pub plan: &'a Plan,
    /// What the replay came to.
    pub outcome: &'a Outcome,
    /// What was kept of it.
    pub story: &'a Story,
}

/// Most stretches that are printed one by one.
const MOST_LINES: usize = 12;

/// Writes the account.
pub fn account(of: &Account<'_>) -> String {
    let mut text = String::new();
    for (place, fixing) in (0u8..).zip(&of.plan.fixings) {
        let Some(number) = FixingNumber::new(place) else { continue };
        let Some(status) = of.outcome.group.status(number) else { continue };
        if place > 0 {
            text.push('\n');
        }
        one(&mut text, of, number, fixing, &status);
    }
    text.push('\n');
    readings(&mut text, of);
    if of.demo {
        let _ = writeln!(text, "\n{DEMO_CAUTION}");
    }
    let _ = writeln!(text, "\n{CAUTION}");
    text
}

fn one(text: &mut String, of: &Account<'_>, number: FixingNumber, fixing: &Fixing, status: &Status) {
    let offset = fixing.offset_seconds;
    let name = fixing.name.as_deref().map_or(String::new(), |name| format!("{name}: "));
    let _ = writeln!(text, "{name}{}", stage(&status.stage));
    let _ = writeln!(text, "{}\n", status_sentence(status, fixing.spec.torque, offset));
    let rule = match of.outcome.group.rule() {
        Rule::Coldest => "coldest-band rule",
        Rule::Accrual => "accrual rule, by which the cure is summed up over the bands",
    };
    let _ = writeln!(text, "  resin      {}, {rule}", of.resin);
    let _ = writeln!(text, "  hole       {}", hole(status.hole));
    decided(text, of, number, fixing);
    if status.seated_at.is_some() {
        count(text, of, fixing, status);
    }
    for ignored in of.outcome.ignored.iter().filter(|ignored| ignored.fixing == number) {
        let (word, at) = (ignored.act.word(), when(ignored.act.at, offset));
        let _ = writeln!(text, "  no effect  {word} at {at}: {}", why_not(ignored.why));
    }
}

fn decided(text: &mut String, of: &Account<'_>, number: FixingNumber, fixing: &Fixing) {
    let offset = fixing.offset_seconds;
    for event in &of.story.events {
        let Some((at, what)) = told(event, number, offset) else { continue };
        let _ = writeln!(text, "  {at}  {what}");
    }
    let undeclared = fixing.acts.iter().any(|act| match act.action {
        holdoff_core::fixing::Action::Inject(injection) => injection.cartridge.is_none(),
        _ => false,
    });
    if undeclared {
        let _ = writeln!(text, "  cartridge  temperature undeclared");
    }
}

fn told(event: &Event, number: FixingNumber, offset: i32) -> Option<(String, String)> {
    let known = |announced| format!(" (known with the reading at {})", when(announced, offset));
    let (fixing, at, what) = match event {
        Event::StartRefused { fixing, at, grounds } => {
            let words: Vec<&str> = grounds.iter().map(ground).collect();
            (*fixing, *at, format!("start refused: {}", words.join("; ")))
        }
        Event::Started { fixing, at } => (*fixing, *at, "injected".to_owned()),
        Event::Seated { fixing, at } => {
            (*fixing, *at, "seated within the working time; the cure is counted".to_owned())
        }
        Event::HoleStricter { fixing, at } => {
            (*fixing, *at, "hole condition made stricter; it holds for all seconds since seating".to_owned())
        }
        Event::Cured { fixing, at, announced } => (*fixing, *at, format!("cured{}", known(*announced))),
        Event::Withdrawn { fixing, at } => (*fixing, *at, "hole condition made stricter: no longer cured".to_owned()),
        Event::TorqueNoted { fixing, at, torque: value } => {
            (*fixing, *at, format!("torqued to {}: noted, releases nothing", torque(*value)))
        }
        Event::Released { fixing, at } => (*fixing, *at, "torqued as specified: released".to_owned()),
        Event::Rejected { fixing, rejection, announced } => {
            let words: Vec<&str> = rejection.grounds.iter().map(ground).collect();
            let late = if rejection.at == *announced { String::new() } else { known(*announced) };
            (*fixing, rejection.at, format!("rejected: {}{late}", words.join("; ")))
        }
        Event::Decided { fixing, at, decision } => {
            let what = match decision {
                Decision::Accept => "the engineer's decision: accept as it is",
                Decision::Remove => "the engineer's decision: remove",
            };
            (*fixing, *at, what.to_owned())
        }
        Event::Interval { .. } | Event::CandidateAccepted { .. } | Event::Stuck { .. } => return None,
    };
    (fixing == number).then(|| (when(at, offset), what))
}

fn count(text: &mut String, of: &Account<'_>, fixing: &Fixing, status: &Status) {
    let tally = &status.tally;
    let until = if status.cured_at.is_some() { "at the cure" } else { "so far" };
    let _ = writeln!(text, "  required   {} ({} s)", length(status.required), status.required);
    let _ = writeln!(text, "  served     {} ({} s) {until}", length(status.served), status.served);
    let accrued = status.accrued as f64 / holdoff_core::cure::WHOLE as f64;
    let _ = writeln!(text, "  accrued    {:.1} % by the sum over the bands", (accrued * 1000.0).floor() / 10.0);
    if let Some(coldest) = status.coldest {
        let _ = writeln!(text, "  coldest    {} (the probe's uncertainty taken off)", degrees(coldest));
    }
    let _ = writeln!(
        text,
        "  elapsed    {} = {} counted + {} held + {} unobserved",
        length(tally.elapsed()),
        length(tally.counted()),
        length(tally.held),
        length(tally.unobserved)
    );
    for (edge, seconds) in of.edges.iter().zip(tally.bands) {
        if seconds > 0 {
            let _ = writeln!(text, "             {:>8} °C and up   {}", edge, length(u64::from(seconds)));
        }
    }
    stretches(text, of, fixing, status);
}

fn stretches(text: &mut String, of: &Account<'_>, fixing: &Fixing, status: &Status) {
    let Some(seated) = status.seated_at else { return };
    // counting ends with the cure, or where the seconds that are told end: at a rejection
    let elapsed = i64::try_from(status.tally.elapsed()).unwrap_or(i64::MAX);
    let end = seated.seconds().saturating_add(elapsed);
    let since = of.story.stretches.iter().filter(|stretch| stretch.to > seated.seconds() && stretch.from < end);
    let mut shown = 0;
    let mut more = of.story.stretches_left_out;
    for stretch in since {
        if shown == MOST_LINES {
            more += 1;
            continue;
        }
        shown += 1;
        let from = crate::stamp::format_seconds(stretch.from.max(seated.seconds()), fixing.offset_seconds);
        let to = crate::stamp::format_seconds(stretch.to.min(end), fixing.offset_seconds);
        let kind = if stretch.why.is_held() { "held      " } else { "unobserved" };
        let _ = writeln!(text, "  {kind} {from} to {to}: {}", why(stretch.why));
    }
    if more > 0 {
        let _ = writeln!(text, "             and {more} such stretches more");
    }
}

fn why(why: Why) -> &'static str {
    match why {
        Why::TooCold => "too cold",
        Why::TooWarm => "too warm",
        Why::LongGap => "readings further apart than the longest gap",
        Why::Interrupted => "a reading was refused in between",
    }
}

fn readings(text: &mut String, of: &Account<'_>) {
    let readings = of.outcome.group.readings();
    let settings = of.outcome.group.settings();
    let _ = writeln!(
        text,
        "readings from {}: {} accepted, {} refused, {} missing",
        of.trace, readings.accepted, readings.refused, readings.missing
    );
    for (cause, count) in of.story.refused.iter().filter(|(_, count)| **count > 0) {
        let _ = writeln!(text, "  {count} refused: {cause}");
    }
    for event in &of.story.events {
        if let Event::Stuck { since, at } = event {
            let offset = of.plan.fixings.first().map_or(0, |fixing| fixing.offset_seconds);
            let (since, at) = (when(*since, offset), when(*at, offset));
            let _ = writeln!(text, "  warning: the same value from {since} to {at}: is the probe still clipped on?");
        }
    }
    let uncertainty = Fine::new(i32::from(Count::new(settings.uncertainty().counts() as i16).raw()));
    let _ = writeln!(
        text,
        "settings: uncertainty {}, longest gap {}, clock allowance {} ppm",
        degrees(uncertainty),
        length(u64::from(settings.longest_gap().seconds())),
        settings.clock_ppm()
    );
    let laxer = laxer_words(settings.laxer());
    if !laxer.is_empty() {
        let _ = writeln!(text, "LAXER THAN THE DEFAULT: {}. Everything above rests on it.", laxer.join(", "));
    }
}

/// Settings laxer than their default, by the words of `docs/interfaces.md`.
pub fn laxer_words(laxer: Laxer) -> Vec<&'static str> {
    let all = [(laxer.uncertainty, "uncertainty"), (laxer.longest_gap, "longest-gap"), (laxer.clock_ppm, "clock-ppm")];
    all.into_iter().filter(|(is, _)| *is).map(|(_, word)| word).collect()
}

fn why_not(why: holdoff_core::fixing::NotApplicable) -> &'static str {
    use holdoff_core::fixing::NotApplicable;
    match why {
        NotApplicable::NoSuchFixing => "there is no such fixing",
        NotApplicable::Stage => "the fixing was at another stage",
        NotApplicable::Earlier => "it lies before what was already known",
        NotApplicable::NotStricter => "the hole was declared so already, or stricter",
        NotApplicable::InHoleTime => "the in-hole reading is older than 15 min, or later than the injection",
        NotApplicable::InHoleRange => "the in-hole reading is outside the sensor's range",
        NotApplicable::NoTorqueSpecified => "no torque is specified for it",
    }
}
