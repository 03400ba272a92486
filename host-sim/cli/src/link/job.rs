//! A job for the logger: from resin file and fixings to messages, and how they are loaded.
//!
//! Names are cut to what the logger's memory takes, as `holdoff replay --image` does; two that are the same then are
//! refused, because nobody could tell them apart on the logger.

use super::status::{fixings, group};
use super::talk::Talk;
use super::trouble::Trouble;
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::FixingSpec;
use holdoff_core::log::{Bytes, StageWord};
use holdoff_core::quantity::Span;
use holdoff_core::resin::{Hole, ResinUse};
use holdoff_files::problem::shown;
use holdoff_files::resin_file::ResinFile;
use holdoff_files::toml_file::file_hash;
use holdoff_link::message::{Batch, Job, MOST_BATCHES, Planned, Request, Resin};
use holdoff_link::status::Loaded;
use std::str::FromStr;

/// A resin batch.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BatchText {
    /// What is printed on the cartridge.
    pub text: String,
    /// The first second past its date, UTC.
    pub use_by: Option<i64>,
}

/// What is to be loaded.
#[derive(Debug)]
pub struct Shipment<'a> {
    /// The resin.
    pub resin: &'a ResinFile,
    /// Settings of the count.
    pub settings: Settings,
    /// The rule.
    pub rule: Rule,
    /// Time between readings.
    pub period: Span,
    /// Offset of local time, minutes.
    pub offset_minutes: i16,
    /// The text of the job file.
    pub file: &'a str,
    /// The fixings: label, what it is, its batch.
    pub fixings: Vec<(String, FixingSpec, Option<BatchText>)>,
}

impl Shipment<'_> {
    /// The messages that load it.
    ///
    /// # Errors
    /// What the logger could not hold or would refuse, in words.
    pub fn messages(&self) -> Result<Vec<Request>, String> {
        let mut batches: Vec<&BatchText> = Vec::new();
        for batch in self.fixings.iter().filter_map(|(_, _, batch)| batch.as_ref()) {
            if !batches.contains(&batch) {
                batches.push(batch);
            }
        }
        if batches.len() > MOST_BATCHES {
            return Err(format!(
                "the fixings are set with {} batches; the logger takes {MOST_BATCHES} in one job",
                batches.len()
            ));
        }
        let mut messages = vec![Request::Begin(self.job(batches.len())), Request::Resin(self.resin()?)];
        for (number, batch) in (0u8..).zip(&batches) {
            let text = heapless::String::from_str(batch.text.trim())
                .map_err(|_| format!("the batch {} is longer than 24 bytes", shown(batch.text.as_bytes())))?;
            messages.push(Request::Batch(Batch { number, text, use_by: batch.use_by }));
        }
        let mut labels = Vec::new();
        for (number, (label, spec, batch)) in (0u8..).zip(&self.fixings) {
            let cut = cut(label);
            if labels.contains(&cut) {
                return Err(format!(
                    "two fixings are called {} in the 16 bytes that the logger shows",
                    shown(cut.as_bytes())
                ));
            }
            let place = batch.as_ref().and_then(|batch| batches.iter().position(|other| *other == batch));
            let torque = spec.torque.map(|range| (range.least().hundredths(), range.greatest().hundredths()));
            let (hole, batch) = (spec.hole, place.and_then(|place| u8::try_from(place).ok()));
            messages.push(Request::Fix(Planned { number, label: cut.clone(), hole, torque, batch }));
            labels.push(cut);
        }
        messages.push(Request::Commit);
        Ok(messages)
    }

    fn job(&self, batches: usize) -> Job {
        Job {
            file: file_hash(self.file).0,
            uncertainty: self.settings.uncertainty().counts(),
            longest_gap: self.settings.longest_gap().seconds(),
            clock_ppm: self.settings.clock_ppm(),
            settle: self.settings.settle().seconds(),
            rule: self.rule,
            period: self.period.seconds(),
            offset_minutes: self.offset_minutes,
            batches: batches as u8, // at most MOST_BATCHES
            fixings: u8::try_from(self.fixings.len()).unwrap_or(u8::MAX),
            undecided: 0,
        }
    }

    fn resin(&self) -> Result<Resin, String> {
        let resin = self.resin.resin();
        let mut bands = heapless::Vec::new();
        for band in resin.bands().iter() {
            bands.push(band).map_err(|_| "the resin has more than sixteen bands".to_owned())?;
        }
        let holes = Hole::ALL.into_iter().enumerate();
        Ok(Resin {
            name: cut(self.resin.name()),
            file: self.resin.hash().0,
            resin_use: if self.resin.demo() { ResinUse::Demo } else { ResinUse::OnSite },
            limits: *resin.limits(),
            cartridge: (resin.cartridge_least(), resin.cartridge_greatest()),
            holes: holes.fold(0, |bits, (bit, hole)| bits | u8::from(resin.holes().allows(hole)) << bit),
            wet_factor: resin.wet_factor(),
            accrual: resin.accrual(),
            bands,
        })
    }
}

/// As many characters as the logger's memory takes.
fn cut<const N: usize>(text: &str) -> heapless::String<N> {
    let cut = Bytes::<N>::cut(text);
    heapless::String::from_str(cut.text().unwrap_or_default()).unwrap_or_default()
}

/// The rejected fixings of the job on the logger on which the engineer has not decided: number from 0, and label.
///
/// # Errors
/// Why the logger did not say.
pub fn undecided(talk: &mut Talk) -> Result<Vec<(u8, String)>, Trouble> {
    let group = group(talk)?;
    let rejected = fixings(talk, &group)?.into_iter().filter(|fixing| fixing.stage == StageWord::Rejected);
    Ok(rejected.map(|fixing| (fixing.number, fixing.label.as_str().to_owned())).collect())
}

/// The messages of a job that leaves these fixings, numbered from 0, undecided.
pub fn leaving(messages: &[Request], undecided: &[u8]) -> Vec<Request> {
    let bits = undecided.iter().filter_map(|number| 1u16.checked_shl((*number).into())).fold(0, |bits, bit| bits | bit);
    messages
        .iter()
        .map(|message| match message {
            Request::Begin(job) => Request::Begin(Job { undecided: bits, ..*job }),
            other => other.clone(),
        })
        .collect()
}

/// Loads a job: message by message, then all at once. What is loaded then, as the logger says it.
///
/// # Errors
/// Why not. Before the last message nothing has taken effect ([`Trouble::Unloaded`]); from it on a break leaves open whether
/// the job is loaded ([`Trouble::Unknown`]), unless the same logger can be asked.
pub fn load(talk: &mut Talk, messages: &[Request]) -> Result<Option<Loaded>, Trouble> {
    let before = loaded(talk)?.map(|loaded| loaded.page);
    for message in messages {
        match (talk.act(message), *message == Request::Commit) {
            (Ok(()), _) => {}
            // it may have acted before the logger started anew: then the log has a new session
            (Err(trouble), true) if trouble.is_restart() => return anew(talk, before),
            (Err(trouble), true) => return Err(trouble),
            (Err(trouble), false) => return Err(trouble.before_commit()),
        }
    }
    loaded(talk).map_err(Trouble::behind_commit)
}

/// What is loaded after the logger started anew under the last message of a job.
fn anew(talk: &mut Talk, before: Option<u32>) -> Result<Option<Loaded>, Trouble> {
    let now = loaded(talk).map_err(Trouble::behind_commit)?;
    if now.as_ref().map(|loaded| loaded.page) == before {
        return Err(Trouble::Unloaded(Box::new(Trouble::Restarted)));
    }
    Ok(now)
}

fn loaded(talk: &mut Talk) -> Result<Option<Loaded>, Trouble> {
    Ok(group(talk)?.loaded)
}
