//! The status of a logger's group: as a table for a person, as JSON for scripts.
//!
//! What for: the foreman's look from the site hut. It says nothing that the logger's display does not.

use super::talk::{Talk, Trouble};
use crate::keys::to_hex;
use crate::problem::visible;
use crate::stamp::format_seconds;
use crate::words::{CAUTION, DEMO_CAUTION, Told, degrees, headline, hole, laxer_words, length, told_sentence};
use holdoff_core::cure::{Laxer, Settings, Uncertainty};
use holdoff_core::fixing::{Grounds, TorqueRange};
use holdoff_core::log::{StageSeen, StageWord};
use holdoff_core::quantity::{Fine, Instant, Span, Torque};
use holdoff_core::resin::Hole as CoreHole;
use holdoff_firmware::link::message::{Answer, Hole, Identity, Request, Rule, Standing as Use};
use holdoff_firmware::link::status::{Fixing, Group, Loaded, Probe, Readings, Release, Stage, Trust};
use serde::Serialize;
use std::fmt::Write;

/// Everything a logger says of its group.
#[derive(Clone, Debug)]
pub struct Standing {
    /// Who it is.
    pub identity: Identity,
    /// The group.
    pub group: Group,
    /// Its fixings.
    pub fixings: Vec<Fixing>,
}

/// Asks who it is. Once a talk is enough: the logger has to work its public key out.
///
/// # Errors
/// Why not.
pub fn identity(talk: &mut Talk) -> Result<Identity, Trouble> {
    let Answer::Identity(identity) = talk.ask(&Request::Identity)? else { return Err(Trouble::Unfitting) };
    Ok(identity)
}

/// Asks how the group of this logger stands.
///
/// # Errors
/// Why not.
pub fn watch(talk: &mut Talk, identity: &Identity) -> Result<Standing, Trouble> {
    let Answer::Group(group) = talk.ask(&Request::Group)? else { return Err(Trouble::Unfitting) };
    let mut fixings = Vec::new();
    for number in 0..group.loaded.as_ref().map_or(0, |loaded| loaded.fixings) {
        let Answer::Fixing(fixing) = talk.ask(&Request::Fixing { number })? else { return Err(Trouble::Unfitting) };
        fixings.push(fixing);
    }
    Ok(Standing { identity: identity.clone(), group, fixings })
}

impl Standing {
    /// An instant as the clock on the wall shows it; seconds of the logger's own clock while that is not known.
    fn when(&self, at: i64) -> String {
        match self.group.ahead {
            Some(ahead) => format_seconds(at.saturating_add(ahead), i32::from(self.group.offset_minutes) * 60),
            None => format!("{at} s of the logger's own clock"),
        }
    }

    fn lacks(&self) -> Vec<String> {
        let group = &self.group;
        let mut lacks = Vec::new();
        if group.trust == Trust::Untrusted {
            lacks.push("ITS LOG CANNOT BE TRUSTED: nothing will be released".to_owned());
        }
        if group.readings == Readings::Lost {
            lacks.push("READINGS ARE BEING LOST: the memory is full or does not answer".to_owned());
        }
        match group.probe {
            Probe::Unasked | Probe::Answers => {}
            Probe::NoAnswer => lacks.push("the probe does not answer".to_owned()),
            Probe::Unusable => lacks.push("the probe's readings can't be used".to_owned()),
            Probe::Stuck => {
                lacks.push("the same value for six hours: is the probe still clipped on?".to_owned());
            }
        }
        if group.now.is_none() {
            lacks.push("its clock does not answer".to_owned());
        } else if group.ahead.is_none() {
            lacks.push("its clock was not set: `holdoff link PORT clock --set`".to_owned());
        }
        if let Some(loaded) = &group.loaded {
            let laxer = laxer(loaded);
            if !laxer.is_empty() {
                lacks.push(format!("LAXER THAN THE DEFAULT: {}. Everything here rests on it", laxer.join(", ")));
            }
        }
        lacks
    }
}

/// The table.
pub fn table(of: &Standing) -> String {
    let mut text = String::new();
    let group = &of.group;
    let battery =
        group.battery_mv.map_or(String::new(), |mv| format!(", battery {}.{:02} V", mv / 1000, mv % 1000 / 10));
    let now = group.now.map_or_else(|| "an unknown time".to_owned(), |now| of.when(now));
    let _ = writeln!(text, "logger {} at {now}{battery}", to_hex(&of.identity.device));
    for lack in of.lacks() {
        let _ = writeln!(text, "  ! {lack}");
    }
    let Some(loaded) = &group.loaded else {
        let _ = writeln!(text, "no job is loaded");
        return text;
    };
    let rule = match loaded.rule {
        Rule::Coldest => "coldest-band rule",
        Rule::Accrual => "accrual rule",
    };
    let period = length(u64::from(loaded.period));
    let _ = writeln!(text, "resin  {}, {rule}, a reading every {period}", visible(&loaded.resin));
    match group.reading {
        Some(reading) => {
            let celsius = degrees(Fine::new(i32::from(reading.count)));
            let _ = writeln!(text, "last accepted reading  {celsius} at {}", of.when(reading.at));
        }
        None => text.push_str("no reading was accepted yet\n"),
    }
    let (accepted, refused, missing, lost) = loaded.counts;
    let _ = writeln!(text, "readings  {accepted} accepted, {refused} refused, {missing} missing, {lost} lost\n");
    let label = |fixing: &Fixing| visible(&fixing.label);
    let width = of.fixings.iter().map(|fixing| label(fixing).chars().count()).max().unwrap_or(0);
    for fixing in &of.fixings {
        let (number, words) = (u16::from(fixing.number) + 1, headline(word(fixing.stage)));
        let _ = writeln!(text, "{number:>2}  {:width$}  {words}\n    {}", label(fixing), sentence(of, fixing));
    }
    if loaded.standing == Use::Demo {
        let _ = writeln!(text, "\n{DEMO_CAUTION}");
    }
    let _ = writeln!(text, "\n{CAUTION}");
    text
}

/// What the logger tells of a fixing, for the words that everything here speaks in.
fn told(fixing: &Fixing) -> Told {
    let torque = Torque::from_hundredths;
    let instant = |at: Option<i64>| at.map(Instant::from_seconds);
    Told {
        seen: StageSeen {
            word: word(fixing.stage),
            since: instant(fixing.since),
            grounds: Grounds::from_bits(fixing.grounds).unwrap_or(Grounds::NONE),
        },
        torque: fixing.torque.map(torque),
        range: fixing.range.and_then(|(least, greatest)| TorqueRange::new(torque(least), torque(greatest))),
        seat_by: instant(fixing.seat_by),
        announced_at: instant(fixing.announced_at),
        required: fixing.required,
        served: fixing.served,
    }
}

fn sentence(of: &Standing, fixing: &Fixing) -> String {
    told_sentence(&told(fixing), &|at| of.when(at.seconds()))
}

fn laxer(loaded: &Loaded) -> Vec<&'static str> {
    let uncertainty = Uncertainty::from_counts(loaded.uncertainty).unwrap_or(Uncertainty::DEFAULT);
    let settings = Settings::new(uncertainty, Span::from_seconds(loaded.longest_gap), loaded.clock_ppm);
    laxer_words(settings.map_or(Laxer { uncertainty: true, longest_gap: true, clock_ppm: true }, |found| found.laxer()))
}

const fn core_hole(hole: Hole) -> CoreHole {
    match hole {
        Hole::Dry => CoreHole::Dry,
        Hole::Wet => CoreHole::Wet,
        Hole::Flooded => CoreHole::Flooded,
    }
}

const fn word(stage: Stage) -> StageWord {
    match stage {
        Stage::Planned => StageWord::Planned,
        Stage::Refused => StageWord::Refused,
        Stage::Working => StageWord::Working,
        Stage::Curing => StageWord::Curing,
        Stage::Held => StageWord::Held,
        Stage::Cured => StageWord::Cured,
        Stage::Released => StageWord::Released,
        Stage::Rejected => StageWord::Rejected,
        Stage::AcceptedAsIs => StageWord::AcceptedAsIs,
        Stage::Removed => StageWord::Removed,
    }
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
    status: String,
}

/// The same as one JSON object.
///
/// # Errors
/// None that is known of; the library may have some.
pub fn json(of: &Standing) -> Result<String, serde_json::Error> {
    let group = &of.group;
    // times without a wall clock would be taken for times
    let time = |at: Option<i64>| at.filter(|_| group.ahead.is_some()).map(|at| of.when(at));
    let demo = group.loaded.as_ref().is_some_and(|loaded| loaded.standing == Use::Demo);
    let loaded = group.loaded.as_ref().map(|loaded| {
        let (accepted, refused, missing, lost) = loaded.counts;
        LoadedObject {
            resin: &loaded.resin,
            demo,
            rule: match loaded.rule {
                Rule::Coldest => "coldest",
                Rule::Accrual => "accrual",
            },
            laxer: laxer(loaded),
            job_sha256: to_hex(&loaded.job),
            resin_sha256: to_hex(&loaded.resin_file),
            period_s: loaded.period,
            readings: ReadingsObject { accepted, refused, missing, lost },
        }
    });
    let fixings = of.fixings.iter().map(|fixing| FixingObject {
        number: u16::from(fixing.number) + 1,
        fixing: &fixing.label,
        stage: word(fixing.stage).word(),
        hole: hole(core_hole(fixing.hole)),
        injected_at: time(fixing.injected_at),
        seated_at: time(fixing.seated_at),
        seat_by: time(fixing.seat_by),
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
        status: sentence(of, fixing),
    });
    let demo_words = if demo { format!("{DEMO_CAUTION} ") } else { String::new() };
    serde_json::to_string(&Object {
        device: to_hex(&of.identity.device),
        at: time(group.now),
        battery_mv: group.battery_mv,
        temperature_c: group.reading.map(|reading| f64::from(reading.count) / 256.0),
        temperature_at: time(group.reading.map(|reading| reading.at)),
        warnings: of.lacks(),
        loaded,
        fixings: fixings.collect(),
        caution: format!("{demo_words}{CAUTION}"),
    })
}
