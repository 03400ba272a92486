//! The status of a logger's group: as a table for a person, as JSON for scripts.
//!
//! What for: the foreman's look from the site hut. It says nothing that the logger's display does not.

use super::beyond::{Beyond, Doubt, counts_cannot_be, known_grounds};
use super::talk::Talk;
use super::trouble::Trouble;
use holdoff_core::cure::{Laxer, Settings, Uncertainty};
use holdoff_core::fixing::TorqueRange;
use holdoff_core::log::{Hold, StageSeen, StageWord};
use holdoff_core::quantity::{Fine, Instant, Span, Torque};
use holdoff_core::resin::ResinUse;
use holdoff_evidence::Passed;
use holdoff_evidence::keys::to_hex;
use holdoff_evidence::{StageFacts, is_rejection};
use holdoff_files::problem::visible;
use holdoff_files::stamp::{Clock, Wall};
use holdoff_link::message::{Answer, Identity, Request};
use holdoff_link::status::{ClockState, Fixing, Group, Loaded, Probe, Readings, Release, Trust};
use holdoff_present::words::{LinkPhrase as P, ListingPhrase, ProofPhrase, Speech};
use serde::Serialize;
use std::fmt::Write;

/// Everything a logger says of its group.
#[derive(Clone, Debug)]
pub struct GroupStatus {
    /// Who it is.
    pub identity: Identity,
    /// The group.
    pub group: Group,
    /// Its fixings.
    pub fixings: Vec<Fixing>,
    /// Which ties of its clocks label its instants.
    pub wall: Wall,
}

/// Asks how the group of this logger stands.
///
/// # Errors
/// Why not.
pub fn watch(talk: &mut Talk) -> Result<GroupStatus, Trouble> {
    let group = group(talk)?;
    let fixings = fixings(talk, &group)?;
    let Answer::Ties(ties) = talk.ask(&Request::Ties)? else { return Err(Trouble::Unfitting) };
    let wall = Wall::of(ties.iter().map(|tie| Hold::new(Instant::from_seconds(tie.from), tie.clock)));
    Ok(GroupStatus { identity: talk.identity()?.clone(), group, fixings, wall })
}

/// Asks for the group.
pub(super) fn group(talk: &mut Talk) -> Result<Group, Trouble> {
    let Answer::Group(group) = talk.ask(&Request::Group)? else { return Err(Trouble::Unfitting) };
    Ok(group)
}

/// Asks for every fixing of a group.
pub(super) fn fixings(talk: &mut Talk, group: &Group) -> Result<Vec<Fixing>, Trouble> {
    if let Some(beyond) = Beyond::of_group(group) {
        return Err(Trouble::Beyond(beyond));
    }
    let mut fixings = Vec::new();
    for number in 0..group.loaded.as_ref().map_or(0, |loaded| loaded.fixings) {
        let Answer::Fixing(fixing) = talk.ask(&Request::Fixing { number })? else { return Err(Trouble::Unfitting) };
        if fixing.number != number {
            return Err(Trouble::Beyond(Beyond::OtherFixing { asked: number, told: fixing.number }));
        }
        fixings.push(fixing);
    }
    Ok(fixings)
}

impl GroupStatus {
    /// What the clock on the wall shows now; seconds of the logger's own clock while that is not known.
    fn now(&self, speech: Speech, now: i64) -> String {
        match self.group.ahead {
            Some(ahead) => Clock::tied(ahead, self.group.offset_minutes).stamp(now),
            None => speech.fill(P::OwnClock, &[("seconds", &now.to_string())]),
        }
    }

    /// An instant as the clock on the wall showed it; seconds of the logger's own clock where it has no date.
    fn when(&self, speech: Speech, at: i64) -> String {
        match self.wall.stamp(at) {
            Some(stamp) => stamp,
            None => speech.fill(P::OwnClock, &[("seconds", &at.to_string())]),
        }
    }

    /// What is to be looked at.
    fn lacks(&self, speech: Speech) -> Vec<String> {
        let group = &self.group;
        let untrusted = (group.trust == Trust::Untrusted).then_some(P::Untrusted);
        let lost = (group.readings == Readings::Lost).then_some(P::ReadingsLost);
        let probe = match group.probe {
            Probe::Unasked | Probe::Answers => None,
            Probe::NoAnswer => Some(P::ProbeNoAnswer),
            Probe::Unusable => Some(P::ProbeUnusable),
            Probe::Stuck => Some(P::ProbeStuck),
        };
        let clock = match group.clock {
            ClockState::Set => None,
            ClockState::Unset => Some(P::ClockNotSet),
            ClockState::Failed => Some(P::ClockFailed),
            ClockState::Down => Some(P::ClockDown),
            ClockState::Silent => Some(P::ClockNoAnswer),
        };
        let starting = (group.readings == Readings::NotTaken && group.clock != ClockState::Down).then_some(P::Starting);
        let counts = counts_cannot_be(group).then_some(P::CountsCannotBe);
        let all = [untrusted, starting, lost, probe, clock, counts].into_iter().flatten();
        let mut lacks: Vec<String> = all.map(|lack| speech.say(lack).to_owned()).collect();
        if let Some(loaded) = &group.loaded {
            let laxer = speech.laxer(laxer(loaded));
            if !laxer.is_empty() {
                lacks.push(speech.fill(P::Laxer, &[("which", &laxer.join(", "))]));
            }
        }
        lacks
    }
}

/// What is said of a fixing when its forecast or its working time has passed by the logger's clock, of which it is still
/// curing or not seated: the readings have stopped, or it is rejected with the next one.
fn passed(of: &GroupStatus, fixing: &Fixing) -> Option<Passed> {
    let now = of.group.now.filter(|_| of.group.trust != Trust::Untrusted)?;
    told(fixing).passed(Instant::from_seconds(now))
}

/// The table.
pub fn table(of: &GroupStatus, speech: Speech) -> String {
    let mut text = String::new();
    let group = &of.group;
    let (device, now) = (
        to_hex(&of.identity.device),
        group.now.map_or_else(|| speech.say(P::UnknownTime).to_owned(), |now| of.now(speech, now)),
    );
    let volts = group
        .battery_mv
        .map(|millivolts| speech.decimal(format!("{}.{:02}", millivolts / 1000, millivolts % 1000 / 10)));
    let gaps = [("device", device.as_str()), ("now", &now), ("volts", volts.as_deref().unwrap_or_default())];
    let head = if volts.is_some() { P::HeadBattery } else { P::Head };
    let _ = writeln!(text, "{}", speech.fill(head, &gaps));
    for lack in of.lacks(speech) {
        let _ = writeln!(text, "  ! {lack}");
    }
    let Some(loaded) = &group.loaded else {
        // where nobody knows what the memory holds, nobody is asked to load a job over it
        if group.trust == Trust::Trusted && (group.readings != Readings::NotTaken || group.clock == ClockState::Down) {
            let _ = writeln!(text, "{}", speech.say(P::NoJob));
        }
        return text;
    };
    let rule = speech.rule_word(loaded.rule);
    let (resin, period) = (visible(&loaded.resin), speech.length(u64::from(loaded.period)));
    let _ =
        writeln!(text, "{}", speech.fill(P::Resin, &[("resin", resin.as_str()), ("rule", rule), ("period", &period)]));
    let reading = match group.reading {
        Some(reading) => {
            let degrees = speech.degrees(Fine::new(i32::from(reading.count)));
            speech.fill(P::LastReading, &[("degrees", &degrees), ("time", &of.when(speech, reading.at))])
        }
        None => speech.say(P::NoReading).to_owned(),
    };
    let (accepted, refused, missing, lost) = loaded.counts;
    let [accepted, refused, missing, lost] = [accepted, refused, missing, lost].map(|number| number.to_string());
    let gaps = [("accepted", &*accepted), ("refused", &*refused), ("missing", &*missing), ("lost", &*lost)];
    let _ = writeln!(text, "{reading}\n{}\n", speech.fill(P::Readings, &gaps));
    let label = |fixing: &Fixing| visible(&fixing.label);
    let width = of.fixings.iter().map(|fixing| label(fixing).chars().count()).max().unwrap_or(0);
    for fixing in &of.fixings {
        let (number, (words, sentence)) = (u16::from(fixing.number) + 1, said(of, fixing, speech));
        let _ = writeln!(text, "{number:>2}  {:width$}  {words}\n    {sentence}", label(fixing));
        if let Some(passed) = passed(of, fixing) {
            let _ = writeln!(text, "    {}", speech.passed(passed));
        }
        for doubt in Doubt::of(of, fixing) {
            let _ = writeln!(text, "    ! {}", speech.say(doubt_words(doubt)));
        }
        if fixing.stage == StageWord::Released && fixing.release == Release::None && of.identity.key.is_none() {
            let _ = writeln!(text, "    {}", speech.say(P::ReleasedUnsigned));
        }
    }
    if loaded.resin_use == ResinUse::Demo {
        let _ = writeln!(text, "\n{}", speech.demo_caution());
    }
    let _ = writeln!(text, "\n{}", speech.caution());
    text
}

/// What the logger tells of a fixing, for the words that everything here speaks in.
fn told(fixing: &Fixing) -> StageFacts {
    let torque = Torque::from_hundredths;
    let instant = |at: Option<i64>| at.map(Instant::from_seconds);
    StageFacts {
        seen: StageSeen { word: fixing.stage, since: instant(fixing.since), grounds: known_grounds(fixing) },
        torque: fixing.torque.map(torque),
        range: fixing.range.and_then(|(least, greatest)| TorqueRange::new(torque(least), torque(greatest))),
        seat_by: instant(fixing.seat_by),
        announced_at: instant(fixing.announced_at),
        required: fixing.required,
        served: fixing.served,
    }
}

/// Headline and sentence; whatever a log says that cannot be trusted, is not to be loaded.
fn said(of: &GroupStatus, fixing: &Fixing, speech: Speech) -> (&'static str, String) {
    let word = fixing.stage;
    if of.group.trust == Trust::Untrusted && !is_rejection(word) {
        let why = speech.say(ListingPhrase::CannotBeTrusted);
        return (speech.say(ProofPhrase::UntrustedHead), speech.fill(ProofPhrase::DoNotLoad, &[("why", why)]));
    }
    if let Some(by) = fixing.seat_by.filter(|_| is_too_late(of, fixing)) {
        let by = of.when(speech, by);
        return (speech.say(P::HeadTooLate), speech.fill(P::SayTooLate, &[("by", &by)]));
    }
    // who contradicts himself is not believed where somebody would load for it
    match (Doubt::of(of, fixing).first(), lets_load(word)) {
        (Some(doubt), Lets::Load) => {
            let why = speech.say(doubt_words(*doubt));
            (speech.say(P::DoubtHead), speech.fill(ProofPhrase::DoNotLoad, &[("why", why)]))
        }
        (Some(_) | None, _) => {
            let told = told(fixing);
            (speech.told_headline(&told), speech.told_sentence(&told, &|at| of.when(speech, at.seconds())))
        }
    }
}

/// What a stage lets somebody do.
enum Lets {
    /// Torque or load the fixing.
    Load,
    /// Neither.
    Neither,
}

const fn lets_load(word: StageWord) -> Lets {
    match word {
        StageWord::Cured | StageWord::Released | StageWord::AcceptedAsIs => Lets::Load,
        StageWord::Planned
        | StageWord::Refused
        | StageWord::Working
        | StageWord::Curing
        | StageWord::Held
        | StageWord::Rejected
        | StageWord::Removed => Lets::Neither,
    }
}

const fn doubt_words(doubt: Doubt) -> P {
    match doubt {
        Doubt::NoGround => P::NoGround,
        Doubt::UnknownGround => P::UnknownGround,
        Doubt::NotRecorded => P::NotRecorded,
        Doubt::NoTime => P::NoTime,
        Doubt::Times => P::Times,
        Doubt::Torque => P::TorqueCannotBe,
        Doubt::Numbers => P::Numbers,
    }
}

/// Whether the working time is over by the logger's clock, or by one that failed, and the logger has not rejected the fixing
/// yet: it does with its next reading.
fn is_too_late(of: &GroupStatus, fixing: &Fixing) -> bool {
    let over = |by| of.group.clock == ClockState::Down || of.group.now.is_some_and(|now| now > by);
    fixing.seat_by.is_some_and(over)
}

fn laxer(loaded: &Loaded) -> Laxer {
    let uncertainty = Uncertainty::from_counts(loaded.uncertainty).unwrap_or(Uncertainty::DEFAULT);
    let settings = Settings::new(uncertainty, Span::from_seconds(loaded.longest_gap), loaded.clock_ppm);
    settings
        .and_then(|settings| settings.with_settle(Span::from_seconds(loaded.settle)))
        .map_or(Laxer { uncertainty: true, longest_gap: true, clock_ppm: true, settle: true }, |found| found.laxer())
}

#[derive(Serialize)]
struct Object<'a> {
    device: String,
    at: Option<String>,
    battery_mv: Option<u16>,
    temperature_c: Option<f64>,
    temperature_at: Option<String>,
    warnings: Vec<String>,
    loaded: Option<LoadedObject<'a>>,
    fixings: Vec<FixingObject<'a>>,
    caution: String,
}

#[derive(Serialize)]
struct LoadedObject<'a> {
    resin: &'a str,
    demo: bool,
    rule: &'static str,
    laxer: Vec<&'static str>,
    job_sha256: String,
    resin_sha256: String,
    period_s: u32,
    readings: ReadingsObject,
}

#[derive(Serialize)]
struct ReadingsObject {
    accepted: u64,
    refused: u64,
    missing: u64,
    lost: u64,
}

#[derive(Serialize)]
struct FixingObject<'a> {
    number: u16,
    fixing: &'a str,
    stage: &'static str,
    hole: &'static str,
    injected_at: Option<String>,
    seated_at: Option<String>,
    seat_by: Option<String>,
    too_late: bool,
    cured_at: Option<String>,
    announced_at: Option<String>,
    required_s: u64,
    served_s: u64,
    counted_s: u64,
    held_s: u64,
    unobserved_s: u64,
    accrued: f64,
    coldest_c: Option<f64>,
    reasons: Vec<&'static str>,
    torque_nm: Option<f64>,
    release_recorded: bool,
    time_passed: bool,
    doubts: Vec<&'static str>,
    status: String,
}

/// The same as one JSON object.
pub fn object(of: &GroupStatus) -> impl Serialize {
    let group = &of.group;
    // times without a wall clock would be taken for times
    let time = |at: Option<i64>| at.and_then(|at| of.wall.stamp(at));
    let now = group.now.filter(|_| group.ahead.is_some()).map(|now| of.now(Speech::PLAIN, now));
    let demo = group.loaded.as_ref().is_some_and(|loaded| loaded.resin_use == ResinUse::Demo);
    let loaded = group.loaded.as_ref().map(|loaded| {
        let (accepted, refused, missing, lost) = loaded.counts;
        LoadedObject {
            resin: &loaded.resin,
            demo,
            rule: loaded.rule.word(),
            laxer: laxer(loaded).words().collect::<Vec<_>>(),
            job_sha256: to_hex(&loaded.job),
            resin_sha256: to_hex(&loaded.resin_file),
            period_s: loaded.period,
            readings: ReadingsObject { accepted, refused, missing, lost },
        }
    });
    let fixings = of.fixings.iter().map(|fixing| FixingObject {
        number: u16::from(fixing.number) + 1,
        fixing: &fixing.label,
        stage: fixing.stage.word(),
        hole: fixing.hole.word(),
        injected_at: time(fixing.injected_at),
        seated_at: time(fixing.seated_at),
        seat_by: time(fixing.seat_by),
        too_late: is_too_late(of, fixing),
        cured_at: time(fixing.cured_at),
        announced_at: time(fixing.announced_at),
        required_s: fixing.required,
        served_s: fixing.served,
        counted_s: fixing.counted,
        held_s: fixing.held,
        unobserved_s: fixing.unobserved,
        accrued: f64::from(fixing.accrued) / 1e6,
        coldest_c: fixing.coldest.map(|coldest| f64::from(coldest) / 256.0),
        reasons: told(fixing).seen.grounds.iter().map(|ground| ground.word()).collect(),
        torque_nm: fixing.torque.map(|torque| f64::from(torque) / 100.0),
        release_recorded: fixing.release == Release::Recorded,
        time_passed: passed(of, fixing).is_some(),
        doubts: Doubt::of(of, fixing).into_iter().map(Doubt::word).collect(),
        status: said(of, fixing, Speech::PLAIN).1,
    });
    Object {
        device: to_hex(&of.identity.device),
        at: now,
        battery_mv: group.battery_mv,
        temperature_c: group.reading.map(|reading| f64::from(reading.count) / 256.0),
        temperature_at: time(group.reading.map(|reading| reading.at)),
        warnings: of.lacks(Speech::PLAIN),
        loaded,
        fixings: fixings.collect(),
        caution: Speech::PLAIN.cautions(demo),
    }
}
