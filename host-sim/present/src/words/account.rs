//! The account of a replay for a person: what was decided and when, served against required, what did not count.

use super::{AccountPhrase as P, ListingPhrase, ProofPhrase, Speech, StatusPhrase, TemperatureUnit};
use holdoff_core::cure::Laxer;
use holdoff_core::fixing::{Action, Decision, Declaration, Demands, NotApplicable, Status};
use holdoff_core::group::{Event, FixingNumber};
use holdoff_core::log::StageWord;
use holdoff_core::probe::Refusal;
use holdoff_core::quantity::{Count, Fine, Instant};
use holdoff_core::resin::Accrual;
use holdoff_evidence::StageFacts;
use holdoff_files::deeds::{Act, Fixing, Plan};
use holdoff_files::problem::visible;
use holdoff_site::replay::{Outcome, Seen, Story, Why};
use std::fmt::Write;

/// What an account is made of.
#[derive(Debug)]
pub struct Account<'a> {
    /// Name of the trace.
    pub trace: &'a str,
    /// What is told of the trace.
    pub seen: &'a Seen,
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
    /// How it is said.
    pub speech: Speech,
}

/// Most stretches that are printed one by one.
const MOST_LINES: usize = 12;

/// Writes the account.
pub fn account(of: &Account<'_>) -> String {
    let mut text = of.speech.head(of.seen);
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
        let _ = writeln!(text, "\n{}", of.speech.demo_caution());
    }
    let _ = writeln!(text, "\n{}", of.speech.caution());
    text
}

/// Characters that the longest word before a line takes.
fn margin(speech: Speech) -> usize {
    let words = [
        P::Resin,
        P::Hole,
        P::NoEffect,
        P::Cartridge,
        P::Required,
        P::Served,
        P::Accrued,
        P::Coldest,
        P::Elapsed,
        P::Held,
        P::Unobserved,
        P::Hands,
    ];
    words.iter().map(|word| speech.say(*word).chars().count()).max().unwrap_or(0)
}

/// A line with its word before it.
fn line(text: &mut String, speech: Speech, word: Option<P>, what: &str) {
    let word = word.map_or("", |word| speech.say(word));
    let _ = writeln!(text, "  {word:<width$} {what}", width = margin(speech));
}

fn one(text: &mut String, of: &Account<'_>, number: FixingNumber, fixing: &Fixing, status: &Status) {
    let (speech, offset) = (of.speech, fixing.offset_seconds);
    let name = fixing.name.as_deref().map_or(String::new(), |name| format!("{}: ", visible(name)));
    let _ = writeln!(text, "{name}{}", speech.told_headline(&StageFacts::of(status, fixing.spec.torque)));
    let _ = writeln!(text, "{}\n", speech.status_sentence(status, fixing.spec.torque, offset));
    let rule = speech.rule(of.outcome.group.rule());
    line(text, speech, Some(P::Resin), &format!("{}, {rule}", visible(of.resin)));
    line(text, speech, Some(P::Hole), speech.hole(status.hole));
    decided(text, of, number, fixing);
    if let Some(outside) = speech.outside_note(status.outside_at_seating) {
        let _ = writeln!(text, "  {outside}.");
    }
    if fixing.tells_of_hands(&of.plan.hands) {
        line(text, speech, Some(P::Hands), &speech.hands_of(status, fixing, &of.plan.hands));
    }
    if status.seated_at.is_some() {
        count(text, of, fixing, status);
    }
    for ignored in of.outcome.ignored.iter().filter(|ignored| ignored.fixing == number) {
        let (at, why) = (speech.when(ignored.act.at, offset), speech.why_not(ignored.why, ignored.stage));
        let gaps = [("action", speech.act(&ignored.act)), ("at", at.as_str()), ("why", why.as_str())];
        line(text, speech, Some(P::NoEffect), &speech.fill(P::NoEffectOf, &gaps));
    }
}

fn decided(text: &mut String, of: &Account<'_>, number: FixingNumber, fixing: &Fixing) {
    let (speech, offset) = (of.speech, fixing.offset_seconds);
    for event in &of.story.events {
        let Some((at, what)) = speech.told_event(event, number, &|at| speech.when(at, offset)) else { continue };
        let reported = reported_early(speech, event, fixing);
        let _ = writeln!(text, "  {}  {what}{reported}", speech.when(at, offset));
    }
    let undeclared = |act: &Act| matches!(act.action, Action::Inject(injection) if injection.cartridge.is_none());
    let undeclared = fixing.acts.iter().any(undeclared);
    if undeclared {
        line(text, speech, Some(P::Cartridge), speech.say(P::Undeclared));
    }
}

/// That a rejection rests on a report of an early torque.
fn reported_early(speech: Speech, event: &Event, fixing: &Fixing) -> String {
    let Event::Rejected { rejection, .. } = event else { return String::new() };
    let reported = fixing.acts.iter().filter(|act| act.at == rejection.at).find_map(|act| {
        let Action::TorquedEarly(torque) = act.action else { return None };
        Some(torque)
    });
    reported.map_or_else(String::new, |torque| {
        format!(" ({})", speech.fill(ListingPhrase::TorquedEarly, &[("torque", &speech.torque(torque))]))
    })
}

fn count(text: &mut String, of: &Account<'_>, fixing: &Fixing, status: &Status) {
    let (speech, tally) = (of.speech, &status.tally);
    let until = speech.say(if status.cured_at.is_some() { P::AtCure } else { P::SoFar });
    line(text, speech, Some(P::Required), &format!("{} ({} s)", speech.length(status.required), status.required));
    line(text, speech, Some(P::Served), &format!("{} ({} s) {until}", speech.length(status.served), status.served));
    match of.outcome.group.resin().accrual() {
        Accrual::Permitted => {
            let tenths = status.accrued.saturating_mul(1000) / holdoff_core::cure::WHOLE; // rounded down
            let percent = speech.decimal(format!("{}.{}", tenths / 10, tenths % 10));
            line(text, speech, Some(P::Accrued), &speech.fill(P::BySum, &[("percent", &percent)]));
        }
        // a sum that counts for nothing would be taken for how far it is
        Accrual::Forbidden => {}
    }
    if let Some(coldest) = status.coldest {
        let words = speech.fill(P::UncertaintyOff, &[("degrees", &speech.degrees(coldest))]);
        line(text, speech, Some(P::Coldest), &words);
    }
    let [elapsed, counted, held, unobserved] =
        [tally.elapsed(), tally.counted(), tally.held, tally.unobserved].map(|seconds| speech.length(seconds));
    let gaps = [("elapsed", &*elapsed), ("counted", &*counted), ("held", &*held), ("unobserved", &*unobserved)];
    line(text, speech, Some(P::Elapsed), &speech.fill(P::ElapsedSum, &gaps));
    let bands = of.outcome.group.resin().bands();
    for ((edge, band), seconds) in of.edges.iter().zip(bands.iter()).zip(tally.bands) {
        if seconds > 0 {
            let band = speech.fill(P::BandUp, &[("edge", &speech.edge(edge, band.from))]);
            line(text, speech, None, &format!("{band:>18}   {}", speech.length(u64::from(seconds))));
        }
    }
    stretches(text, of, fixing, status);
}

fn stretches(text: &mut String, of: &Account<'_>, fixing: &Fixing, status: &Status) {
    let Some(seated) = status.seated_at else { return };
    let (speech, offset) = (of.speech, fixing.offset_seconds);
    // counting ends with the cure, or where the seconds that are told end: at a rejection
    let elapsed = i64::try_from(status.tally.elapsed()).unwrap_or(i64::MAX);
    let end = seated.seconds().saturating_add(elapsed);
    let since = of.story.stretches.iter().filter_map(|stretch| stretch.within((seated.seconds(), end)));
    let mut shown = 0;
    let mut more = of.story.stretches_left_out;
    for stretch in since {
        if shown == MOST_LINES {
            more += 1;
            continue;
        }
        shown += 1;
        let time = |seconds: i64| speech.when(Instant::from_seconds(seconds), offset);
        let (from, to) = (time(stretch.from), time(stretch.to));
        let kind = if stretch.why.is_held() { P::Held } else { P::Unobserved };
        let gaps = [("from", from.as_str()), ("to", to.as_str()), ("why", speech.why(stretch.why))];
        line(text, speech, Some(kind), &speech.fill(P::FromTo, &gaps));
    }
    if more > 0 {
        line(text, speech, None, &speech.fill(P::MoreStretches, &[("number", &more.to_string())]));
    }
}

fn readings(text: &mut String, of: &Account<'_>) {
    let speech = of.speech;
    let readings = of.outcome.group.readings();
    let settings = of.outcome.group.settings();
    let [accepted, refused, missing] =
        [readings.accepted, readings.refused, readings.missing].map(|number| number.to_string());
    let gaps =
        [("trace", &*visible(of.trace)), ("accepted", &*accepted), ("refused", &*refused), ("missing", &*missing)];
    let _ = writeln!(text, "{}", speech.fill(P::Readings, &gaps));
    let _ = writeln!(text, "  {}", speech.read_as(&of.seen.read_as));
    for (cause, count) in of.story.refused.iter().filter(|(_, count)| *count > 0) {
        let gaps = [("number", &*count.to_string()), ("cause", speech.refusal(*cause))];
        let _ = writeln!(text, "  {}", speech.fill(P::RefusedOf, &gaps));
    }
    for event in &of.story.events {
        if let Event::Stuck { since, at } = event {
            let offset = of.plan.fixings.first().map_or(0, |fixing| fixing.offset_seconds);
            let (since, at) = (speech.when(*since, offset), speech.when(*at, offset));
            let _ = writeln!(text, "  {}", speech.fill(P::Stuck, &[("since", &since), ("at", &at)]));
        }
    }
    let uncertainty = speech.degrees_apart(Fine::new(i32::from(settings.uncertainty().counts())));
    let (gap, ppm) = (speech.length(u64::from(settings.longest_gap().seconds())), settings.clock_ppm().to_string());
    let settle = speech.length(u64::from(settings.settle().seconds()));
    let gaps = [("uncertainty", uncertainty.as_str()), ("gap", &gap), ("ppm", &ppm), ("settle", &settle)];
    let _ = writeln!(text, "{}", speech.fill(P::Settings, &gaps));
    let demands = of.outcome.group.demands();
    if *demands != Demands::NONE {
        let _ = writeln!(text, "{}", speech.demands(demands));
    }
    let mut laxer = speech.laxer(settings.laxer());
    if demands.is_clean_within_laxer() {
        laxer.push(speech.say(P::LaxCleanWithin));
    }
    if !laxer.is_empty() {
        let _ = writeln!(text, "{}", speech.fill(P::Laxer, &[("which", &laxer.join(", "))]));
    }
}

impl Speech {
    /// What an event says of a fixing: its time, and what happened; `None` where it says nothing of it. `time` shows an
    /// instant as the clock on the wall did.
    pub fn told_event(
        &self,
        event: &Event,
        number: FixingNumber,
        time: &dyn Fn(Instant) -> String,
    ) -> Option<(Instant, String)> {
        let known = |announced: Instant| format!(" ({})", self.fill(P::Known, &[("at", &time(announced))]));
        let plain = |phrase: P| self.say(phrase).to_owned();
        let (fixing, at, what) = match event {
            Event::StartRefused { fixing, at, grounds } => {
                (*fixing, *at, self.fill(P::StartRefused, &[("reasons", &self.grounds(*grounds))]))
            }
            Event::Started { fixing, at } => (*fixing, *at, plain(P::Injected)),
            Event::Seated { fixing, at } => (*fixing, *at, plain(P::Seated)),
            Event::HoleStricter { fixing, at } => (*fixing, *at, plain(P::Stricter)),
            Event::Cured { fixing, at, announced } => {
                (*fixing, *at, format!("{}{}", self.say(P::Cured), known(*announced)))
            }
            Event::Withdrawn { fixing, at } => (*fixing, *at, plain(P::Withdrawn)),
            Event::CureMoved { fixing, at, cured } => (*fixing, *at, self.fill(P::CureMoved, &[("at", &time(*cured))])),
            Event::TorqueNoted { fixing, at, torque } => {
                (*fixing, *at, self.fill(P::TorqueNoted, &[("torque", &self.torque(*torque))]))
            }
            Event::Released { fixing, at } => (*fixing, *at, plain(P::Released)),
            Event::Rejected { fixing, rejection, announced } => {
                let late = if rejection.at == *announced { String::new() } else { known(*announced) };
                let words = self.fill(P::Rejected, &[("reasons", &self.grounds(rejection.grounds))]);
                (*fixing, rejection.at, format!("{words}{late}"))
            }
            Event::Decided { fixing, at, decision } => (*fixing, *at, self.decision(*decision).to_owned()),
            Event::Interval { .. } | Event::CandidateAccepted { .. } | Event::Stuck { .. } => return None,
        };
        (fixing == number).then_some((at, what))
    }

    /// The engineer's decision.
    pub fn decision(&self, decision: Decision) -> &'static str {
        self.say(match decision {
            Decision::Accept => P::DecidedAccept,
            Decision::Remove => P::DecidedRemove,
        })
    }

    /// The lower edge of a band: the file's decimal in °C, or its count in °F.
    pub fn edge(&self, celsius: &str, count: Count) -> String {
        match self.temperature {
            TemperatureUnit::Celsius => format!("{} °C", self.decimal(celsius)),
            TemperatureUnit::Fahrenheit => self.degrees(count.fine()),
        }
    }

    /// A difference of temperatures: the file's or the option's decimal in °C, or its counts in °F.
    pub fn apart(&self, celsius: &str, counts: i32) -> String {
        match self.temperature {
            TemperatureUnit::Celsius => format!("{} °C", self.decimal(celsius)),
            TemperatureUnit::Fahrenheit => self.degrees_apart(Fine::new(counts)),
        }
    }

    /// Why seconds did not count.
    pub fn why(&self, why: Why) -> &'static str {
        self.say(match why {
            Why::TooCold => P::TooCold,
            Why::TooWarm => P::TooWarm,
            Why::LongGap => P::LongGap,
            Why::Interrupted => P::Interrupted,
        })
    }

    /// What an action is called.
    pub fn act(&self, act: &Act) -> &'static str {
        self.say(match act.action {
            Action::Inject(_) => P::ActInjection,
            Action::CarriedOut => P::ActCarriedOut,
            Action::Seat => P::ActSeating,
            Action::Hole(_) => P::ActHole,
            Action::Torque(_) => P::ActTorque,
            Action::TorquedEarly(_) => P::ActTorquedEarly,
            Action::Decide(_) => P::ActDecision,
            Action::Declare(Declaration::Cleaned(_)) => P::ActCleaning,
            Action::Declare(Declaration::NewNozzle) => P::ActNewNozzle,
            Action::Declare(Declaration::Discarded) => P::ActDiscard,
            Action::Declare(Declaration::Seating(_)) => P::ActSeatingFacts,
        })
    }

    /// What a refusal of a reading is called.
    pub fn refusal(&self, cause: Refusal) -> &'static str {
        self.say(match cause {
            Refusal::NotLater => P::NotLater,
            Refusal::Bus => P::Bus,
            Refusal::OutOfRange => P::OutOfRange,
            Refusal::PowerUp => P::PowerUpValue,
            Refusal::Step => P::Step,
            Refusal::Supply => P::Supply,
        })
    }

    /// That a reading between injection and seating lay outside the installation limits (rule A5); `None` where none did.
    pub fn outside_note(&self, outside: Option<Count>) -> Option<String> {
        outside.map(|count| self.fill(StatusPhrase::OutsideAtSeating, &[("degrees", &self.degrees(count.fine()))]))
    }

    /// Settings laxer than their default.
    pub fn laxer(&self, laxer: Laxer) -> Vec<&'static str> {
        let all = [
            (laxer.uncertainty, P::LaxUncertainty),
            (laxer.longest_gap, P::LaxGap),
            (laxer.clock_ppm, P::LaxClock),
            (laxer.settle, P::LaxSettle),
        ];
        all.into_iter().filter(|(is, _)| *is).map(|(_, word)| self.say(word)).collect()
    }

    /// That settings are laxer than their default, and which (rule Q4); `None` where none is.
    pub fn laxer_note(&self, laxer: Laxer) -> Option<String> {
        let laxer = self.laxer(laxer);
        (!laxer.is_empty()).then(|| self.fill(ProofPhrase::LaxerThan, &[("which", &laxer.join(", "))]))
    }

    /// Why an action did not apply to a fixing at a stage.
    pub(crate) fn why_not(&self, why: NotApplicable, stage: StageWord) -> String {
        let phrase = match why {
            NotApplicable::Stage => return self.fill(P::OtherStage, &[("stage", self.stage(stage))]),
            NotApplicable::NoSuchFixing => P::NoSuchFixing,
            NotApplicable::Earlier => P::Earlier,
            NotApplicable::NotStricter => P::NotStricter,
            NotApplicable::InHoleTime => P::InHoleTime,
            NotApplicable::InHoleRange => P::InHoleRange,
            NotApplicable::Cured => P::WasCured,
        };
        self.say(phrase).to_owned()
    }
}
