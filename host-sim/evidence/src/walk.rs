//! The one walk over a log: an image becomes a [`Memory`] in one replay of each session.
//!
//! What it does not do: judge what may be said of a fixing (`super::claim`), or make words.

use super::cover::{Cover, bound};
use super::doubt::NotProved;
use super::finding::{Finding, Untrusted};
use super::head::{answered, follows, recorded, split};
use super::memory::{Deed, Fixing, Held, LogPlace, Memory, Overwritten, PageSeen, Proving, Release, Session, Stump};
use super::readings::Readings;
use crate::keys::Ring;
use crate::keys::verify::prove;
use holdoff_core::fixing::{Action, FixingSpec, Stage};
use holdoff_core::group::{Darkness, Event, FixingNumber, Group, Verdict};
use holdoff_core::log::read::{Found, Log};
use holdoff_core::log::{
    Batch, Item, ItemRead, Loss, MountError, Outcome, Page, Record, Replay, StageSeen, StageWord, head_after, head_of,
};
use holdoff_core::quantity::Instant;
use holdoff_core::seal::SealedView;
use holdoff_files::deeds::called;
use holdoff_files::stamp::Wall;
use holdoff_site::replay::{Story, Watcher};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// Whether the single items of a log are kept.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Keep {
    /// They are: for a listing.
    Items,
    /// Their findings are enough.
    #[default]
    Told,
}

impl Memory {
    /// Walks through an image; with a ring, every signature in it is held against its keys.
    ///
    /// # Errors
    /// Why it holds no log that can be read.
    pub fn of(image: &[u8], ring: Option<&Ring>, keep: Keep) -> Result<Self, MountError> {
        let (image, answer) = split(image);
        let findings = RefCell::new(Vec::new());
        let find = |finding: holdoff_core::log::Finding| findings.borrow_mut().push(Finding::from(finding));
        let log = Log::open(image, &mut |finding| find(finding))?;
        let oldest = log.newest().saturating_sub(log.geometry().slots().saturating_sub(2));
        let (mut pages, mut ends) = (Vec::new(), BTreeMap::new());
        for found in log.pages() {
            if let Found::Page(_, page) = found {
                let (header, items) = (page.header(), page.items());
                ends.insert(header.session, (header.number, items));
                // a page whose items cannot be read is a damaged one, and no other history
                if head_after(&page, items).is_none() {
                    continue;
                }
                pages.push(PageSeen { number: header.number, items, head: head_of(&page).value, link: header.link.0 });
            }
        }
        let (mut sessions, mut stumps, mut held): (Vec<Session>, _, _) = (Vec::new(), Vec::new(), Vec::new());
        for (first, end) in ends {
            let gathering = RefCell::new(Gathering::new(keep));
            let replay = log.replay(
                first,
                &mut |replay, page, place, (read, outcome)| {
                    gathering.borrow_mut().take(replay, (page, place), read, outcome, ring);
                },
                &mut |finding| find(finding),
                &mut |event| gathering.borrow_mut().event(event),
            )?;
            let gathering = gathering.into_inner();
            held.extend(gathering.signed.iter().cloned());
            match gathering.end(first, end, &replay) {
                Ok(session) => sessions.push(session),
                Err(mut stump) => {
                    if first < oldest {
                        stump.overwritten = Overwritten::Yes;
                        findings.borrow_mut().push(Finding::PartOverwritten { page: first });
                    }
                    stumps.push(stump);
                }
            }
        }
        let mut binds = bound(held.iter());
        if let Some((sealed, newest)) = answer.zip(sessions.last_mut()) {
            match answered(sealed, newest.identity.device, pages.last(), ring) {
                Some((place, said)) => {
                    binds.push(place);
                    newest.answered = Some(said);
                }
                None if ring.is_some() => findings.borrow_mut().push(Finding::AnswerFails),
                None => {}
            }
        }
        for session in &mut sessions {
            session.cover = match ring {
                Some(_) => Cover::of(session.first_page, &binds, &pages),
                None => Cover::NoKeys,
            };
        }
        let mut findings = findings.into_inner();
        let mut seen = Vec::new();
        findings.retain(|finding| {
            !seen.contains(finding) && {
                seen.push(*finding);
                true
            }
        });
        let capacity = log.geometry().bytes();
        Ok(Self { capacity, reading_bytes: log.usage().reading_bytes, pages, findings, sessions, stumps })
    }
}

/// What is gathered of a fixing.
#[derive(Default)]
struct Gathered {
    /// What it is called, and what it is; `None` while it was not added.
    named: Option<(String, FixingSpec)>,
    batch: Option<Batch>,
    deeds: Vec<Deed>,
    /// Whether its working time runs.
    works: bool,
    seat_by: Option<Instant>,
    /// The last stage that is recorded of it, and where.
    stage: Option<(StageSeen, LogPlace)>,
}

/// What is gathered while a session is replayed.
#[derive(Default)]
struct Gathering {
    keep: Keep,
    items: Vec<(LogPlace, Item)>,
    fixings: BTreeMap<FixingNumber, Gathered>,
    releases: Vec<Release>,
    /// What each signature came to, of releases and heads.
    signed: Vec<Held>,
    readings: Readings,
    losses: Vec<Loss>,
    lowest_supply: Option<(u16, Instant)>,
    restarts: Vec<(Option<i64>, Darkness)>,
    wall: Wall,
    story: Story,
    /// What the engine told of the item at hand.
    told: Vec<Event>,
    began: Option<i64>,
    as_of: Option<i64>,
}

impl Gathering {
    fn new(keep: Keep) -> Self {
        Self { keep, story: Story::told(), ..Self::default() }
    }

    fn event(&mut self, event: Event) {
        self.story.event(&event);
        self.told.push(event);
    }

    fn take(
        &mut self,
        replay: &Replay,
        (page, place): (&Page<'_>, u16),
        read: &ItemRead,
        outcome: Outcome,
        ring: Option<&Ring>,
    ) {
        let told = std::mem::take(&mut self.told);
        self.readings.take(&read.item, outcome);
        let at = match &read.item {
            Item::Reading { at, .. } | Item::Unusable { at, .. } | Item::Missing { at, .. } => Some(*at),
            Item::Refused { .. } => None,
            Item::Record(record) => self.record(replay, (page, place), record, outcome, told, ring),
        };
        if let Some(at) = at.map(Instant::seconds) {
            self.began = Some(self.began.map_or(at, |began| began.min(at)));
            self.as_of = self.as_of.max(Some(at));
        }
        match self.keep {
            Keep::Items => {
                self.items.push((LogPlace { page: page.header().number, item: place }, read.item.clone()));
            }
            Keep::Told => {}
        }
        let Some(group) = replay.group() else { return };
        for (number, fixing) in self.fixings.iter_mut().filter(|(_, fixing)| fixing.works) {
            let status = group.status(*number);
            fixing.works = status.is_some_and(|status| matches!(status.stage, Stage::Working));
            fixing.seat_by = status.and_then(|status| status.seat_by).or(fixing.seat_by);
        }
    }

    fn of(&mut self, fixing: FixingNumber) -> &mut Gathered {
        self.fixings.entry(fixing).or_default()
    }

    fn record(
        &mut self,
        replay: &Replay,
        (page, item): (&Page<'_>, u16),
        record: &Record,
        outcome: Outcome,
        events: Vec<Event>,
        ring: Option<&Ring>,
    ) -> Option<Instant> {
        self.wall.take(replay, record);
        let place = LogPlace { page: page.header().number, item };
        match record {
            Record::Fixing(fixing) => {
                let label = own_label(fixing.label.text(), fixing.number);
                let planned = StageSeen::of(Stage::Planned, holdoff_core::fixing::Grounds::default());
                let gathered = self.of(fixing.number);
                gathered.named.get_or_insert((label, fixing.spec));
                gathered.stage.get_or_insert((planned, place));
            }
            Record::Stage { fixing, seen } => self.of(*fixing).stage = Some((*seen, place)),
            Record::Batch(batch) => self.of(batch.fixing).batch = Some(*batch),
            Record::Release { fixing, signed } => {
                let release = release(replay, page, place, *fixing, signed.bytes(), ring);
                self.signed.push(release.held.clone());
                self.releases.push(release);
            }
            Record::Action { at, fixing, action } => {
                let verdict = match outcome {
                    Outcome::Step(verdict) => verdict,
                    Outcome::Agrees | Outcome::Noted => Verdict::Done,
                };
                let reading = replay.group().and_then(Group::last_reading);
                let status = replay.group().and_then(|group| group.status(*fixing));
                let stage = status.map_or(StageWord::Planned, |status| StageWord::of(&status.stage));
                let gathered = self.of(*fixing);
                gathered.works |= matches!((action, verdict), (Action::Inject(_), Verdict::Done));
                gathered.deeds.push(Deed { at: *at, action: *action, verdict, stage, events, reading });
                return Some(*at);
            }
            Record::ClockTie(tie) => return Some(tie.at),
            Record::PowerUp { dark, .. } => self.restarts.push((self.as_of, *dark)),
            Record::Loss(loss) => {
                self.losses.push(*loss);
                return Some(loss.last);
            }
            Record::Supply { at, millivolts } => {
                let found = millivolts.unwrap_or(0);
                if self.lowest_supply.is_none_or(|(lowest, _)| found < lowest) {
                    self.lowest_supply = Some((found, *at));
                }
                return Some(*at);
            }
            Record::Identity(_)
            | Record::Resin(_)
            | Record::Job(_)
            | Record::Untrusted
            | Record::ReadOut { .. }
            | Record::Freed { .. }
            | Record::CandidateAccepted { .. }
            | Record::Demands(_)
            | Record::Person(_)
            | Record::Hands { .. }
            | Record::PassedOver { .. } => {}
            Record::Head { signed } => self.signed.push(recorded(replay, page, place, signed.bytes(), ring)),
        }
        None
    }

    /// The session, or what is left of it where its beginning is missing.
    fn end(self, first_page: u32, end: (u32, u16), replay: &Replay) -> Result<Session, Stump> {
        let untrusted = Untrusted::of(replay.trust());
        let beginning = replay.group().zip(replay.identity()).zip(replay.resin_record().zip(replay.job()));
        let Some(((group, identity), (resin, job))) = beginning else {
            return Err(Stump {
                first_page,
                end,
                why: untrusted.unwrap_or(Untrusted::NoBeginning),
                overwritten: Overwritten::No,
                wall: self.wall,
                items: self.items,
            });
        };
        let mut fixings = Vec::new();
        for (number, gathered) in self.fixings {
            let (Some((label, spec)), Some(status)) = (gathered.named, group.status(number)) else { continue };
            let own: Vec<&Release> = self.releases.iter().filter(|release| release.fixing == number).collect();
            let proving = Proving::of(&own, &status, untrusted);
            // what the power was cut before is not recorded
            let now = StageSeen::of(status.stage, status.grounds);
            let stage_at = gathered.stage.filter(|(seen, _)| *seen == now).map(|(_, place)| place);
            let Gathered { batch, deeds, seat_by, .. } = gathered;
            let conflicts = Vec::new();
            fixings.push(Fixing {
                number,
                label,
                spec,
                batch,
                status,
                deeds,
                seat_by,
                stage_at,
                proving,
                conflicts,
                decided: None,
            });
        }
        Ok(Session {
            first_page,
            end,
            identity: *identity,
            resin,
            job: *job,
            group: group.clone(),
            wall: self.wall,
            readings: self.readings.all(),
            losses: self.losses,
            lowest_supply: self.lowest_supply,
            restarts: self.restarts,
            story: self.story,
            untrusted,
            began: self.began,
            as_of: self.as_of,
            fixings,
            failed: self.signed.iter().find_map(Held::failed).cloned(),
            releases: self.releases,
            cover: Cover::NoKeys,
            answered: None,
            items: self.items,
        })
    }
}

/// What somebody called a fixing; empty where it is called by its number, by whoever loaded its logger.
pub fn own_label(text: Option<&str>, number: FixingNumber) -> String {
    let label = text.map(str::trim).unwrap_or_default();
    let by_number = called("", number.place() as u8); // at most 15
    if label == by_number { String::new() } else { label.to_owned() }
}

/// A signed release as it stands at a place, held against the keys.
fn release(
    replay: &Replay,
    page: &Page<'_>,
    place: LogPlace,
    fixing: FixingNumber,
    sealed: &[u8],
    ring: Option<&Ring>,
) -> Release {
    let view = SealedView::parse(sealed);
    let record = view.as_ref().ok().map(|view| *view.unverified());
    let held = match (ring, view) {
        (None, _) => Held::NoKeys,
        (Some(_), Err(error)) => Held::Fails { why: NotProved::RecordUnreadable { error: error.into() } },
        (Some(ring), Ok(view)) => match holds(replay, page, place, fixing, &view, ring) {
            Ok((key, binds)) => Held::Holds { key, binds },
            Err(why) => Held::Fails { why },
        },
    };
    Release { fixing, place, sealed: sealed.to_vec(), record, held }
}

/// The key of a signature that holds, and what it binds.
fn holds(
    replay: &Replay,
    page: &Page<'_>,
    place: LogPlace,
    fixing: FixingNumber,
    view: &SealedView<'_>,
    ring: &Ring,
) -> Result<(String, LogPlace), NotProved> {
    let proved = prove(view, ring)?;
    let record = *proved.record();
    if record.fixing() != fixing {
        return Err(NotProved::RecordOfOtherFixing);
    }
    if replay.identity().is_none_or(|identity| identity.device != record.particulars().device) {
        return Err(NotProved::RecordOfOtherDevice);
    }
    if !follows(page, place, record.particulars().chain) {
        return Err(NotProved::SignedOverOtherLog);
    }
    let Some(group) = replay.group() else {
        return Err(NotProved::LogUntrusted { why: Untrusted::NoBeginning });
    };
    record.hold_against(group)?;
    Ok((proved.key.name.clone(), place))
}
