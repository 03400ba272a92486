//! A log whose page becomes full with the very reading that cures a whole group.
//!
//! What for: closing a page and writing down what became of sixteen fixings are the two dearest things a reading can meet. A run
//! of the board hits both at once by chance only; here a recorded run is written again on the PC, with more or less text in its
//! batches, until they coincide. The board is then run with that text.
//! What it does not do: guess. With no text at all the memory written again must be the recorded one, byte for byte.

use crate::emulator::Held;
use crate::log_sample::owner_of;
use crate::memory::FakeMemory;
use holdoff_core::fixing::Demands;
use holdoff_core::group::{Event, FixingNumber, Happening};
use holdoff_core::log::{Batch, Beginning, Bytes, ClockTie, Item, Logger, PAGE, Page, Record, mount};
use holdoff_core::quantity::Instant;
use holdoff_core::seal::{SecretKey, seal_due_head};

/// Text in the batches of a job.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Filler {
    /// The first so many fixings have a batch.
    pub fixings: usize,
    /// Characters of its text.
    pub text: usize,
}

impl Filler {
    /// No batch.
    pub const NONE: Self = Self { fixings: 0, text: 0 };
    /// Most characters of a batch.
    const MOST_TEXT: usize = 24;

    /// All there are.
    fn all() -> impl Iterator<Item = Self> {
        (1..=16).flat_map(|fixings| (1..=Self::MOST_TEXT).map(move |text| Self { fixings, text }))
    }

    /// The text.
    #[must_use]
    pub fn batch(self) -> String {
        "B".repeat(self.text)
    }
}

/// A run that is written again.
struct Run<'a> {
    beginning: Beginning,
    items: &'a [Item],
    seed: [u8; 32],
    key: SecretKey,
    size: usize,
}

/// The text with which the reading of the last cure begins a page, in the run of the logger with this seed that the image holds.
///
/// # Errors
/// The image is no such run, or no text does it.
pub fn filler(image: &[u8], seed: [u8; 32]) -> Result<Filler, String> {
    let held = Held::of(image).map_err(|error| error.to_string())?.ok_or("a blank memory")?;
    let replay = &held.replay;
    let (Some(identity), Some(resin), Some(job)) = (replay.identity(), replay.resin_record(), replay.job()) else {
        return Err("no session".to_owned());
    };
    let demands = replay.group().map_or(Demands::NONE, |group| *group.demands());
    let beginning = Beginning { firmware: identity.firmware, source: identity.source, resin, job: *job, demands };
    let key = SecretKey::from_seed(seed).map_err(|error| format!("{error:?}"))?;
    let run = Run { beginning, items: &held.items, seed, key, size: image.len() };
    let (again, _) = run.write(Filler::NONE)?;
    let pages = |image: &[u8]| -> Vec<Vec<u8>> {
        image.chunks(PAGE).map(|slot| Page::find(slot).map(|page| page.bytes().to_vec()).unwrap_or_default()).collect()
    };
    if pages(again.memory().bytes()) != pages(image) {
        return Err("the run is not what the PC makes of the same happenings".to_owned());
    }
    let found = Filler::all().find(|filler| run.write(*filler).is_ok_and(|(_, turns)| turns));
    found.ok_or_else(|| "no text makes a page turn there".to_owned())
}

impl Run<'_> {
    /// The log with this text, and whether the reading of the last cure began a page.
    fn write(&self, filler: Filler) -> Result<(Logger<FakeMemory>, bool), String> {
        let said = |error: &dyn std::fmt::Debug| format!("{error:?}");
        let blank = FakeMemory::blank(self.size, 64);
        let mounted = mount(blank, owner_of(self.seed), &mut |_| {}, &mut |_| {});
        let (mut logger, _) = mounted.map_err(|error| said(&error))?;
        logger.begin(&self.beginning).map_err(|error| said(&error))?;
        let (mut hour, mut turns) = (None, false);
        let mut number = 0;
        for item in self.items {
            let what = match item {
                Item::Record(Record::Fixing(fixing)) => {
                    logger.add(fixing.label, fixing.spec).map_err(|error| said(&error))?;
                    if number < filler.fixings {
                        let fixing = FixingNumber::new(number as u8).ok_or("sixteen at most")?;
                        let text = Bytes::cut(&filler.batch());
                        logger.batch(Batch { fixing, text, use_by: None }).map_err(|error| said(&error))?;
                    }
                    number += 1;
                    continue;
                }
                Item::Reading { at, count } => Happening::Reading { at: *at, count: *count },
                Item::Record(Record::Action { at, fixing, action }) => {
                    Happening::Action { at: *at, fixing: *fixing, action: *action }
                }
                Item::Record(_) | Item::Refused { .. } => continue, // written by the logger itself
                Item::Unusable { .. } | Item::Missing { .. } => return Err(said(item)),
            };
            let at = match what {
                Happening::Reading { at, .. } | Happening::Action { at, .. } => at,
                other => return Err(said(&other)),
            };
            self.settle(&mut logger, at, &mut hour)?;
            let page = logger.head().map(|head| head.page);
            let mut cured = false;
            let tell = &mut |event: Event| cured |= matches!(event, Event::Cured { .. });
            let _ = logger.happen(what, tell).map_err(|error| said(&error))?;
            if cured {
                turns = page != logger.head().map(|head| head.page);
            }
        }
        seal_due_head(&mut logger, &self.key).map_err(|error| said(&error))?;
        Ok((logger, turns))
    }

    /// What the board does before something is recorded.
    fn settle(&self, logger: &mut Logger<FakeMemory>, at: Instant, hour: &mut Option<i64>) -> Result<(), String> {
        seal_due_head(logger, &self.key).map_err(|error| format!("{error:?}"))?;
        let this = at.seconds().div_euclid(3600);
        if hour.is_none_or(|before| this > before) {
            *hour = Some(this);
            let tie = ClockTie { at, utc: at.seconds(), offset_minutes: 60 };
            logger.clock(tie).map_err(|error| format!("{error:?}"))?;
        }
        Ok(())
    }
}
