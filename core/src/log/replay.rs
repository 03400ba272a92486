//! A session, rebuilt item by item.
//!
//! What for: the second half of a mount, and every later reading of a log. Every recorded happening goes through
//! [`crate::group::Group::step`] again, and the outcome is compared with the evidence.
//! Terms: a log is *untrusted* from the first thing that a power cut cannot have left: a page missing or damaged inside
//! the session, a broken link, evidence that differs, or a record of distrust. The group is told so at that point and
//! once more at the end, so that nothing that was begun after the gap is ever cured or released either (rule E4): what
//! came before, a stricter hole for one, may stand in what is missing.
//! Invariants: the same pages give the same group on the logger and on the PC.
//! What it does not do: find pages (`super::mount` on the logger, [`super::read`] on the PC).

use super::chain::{ChainHead, first_link, head_of};
use super::course::{Course, Evidence, Parts};
use super::item::{Habit, Item, ItemError, ItemRead, MissingCause, Plain};
use super::page::Page;
use super::record::{
    Bytes, ClockTie, FileHash, FixingRecord, Identity, Job, Loss, PersonNumber, Record, ResinRecord, Source,
};
use super::tie::{Chip, Hold, Holds};
use crate::cure::{Rule, Settings};
use crate::group::{Event, FixingNumber, FixingSet, Group, Happening, Verdict};
use crate::quantity::Instant;
use crate::resin::ResinUse;

/// Whether a log can be trusted.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Trust {
    /// It can.
    Trusted,
    /// It cannot, for this reason first.
    Untrusted(Why),
}

/// Why a log cannot be trusted.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Why {
    /// A page of the session is missing or damaged.
    PageLost {
        /// Its number.
        number: u32,
    },
    /// A page was not written by this logger.
    Foreign {
        /// Its number.
        number: u32,
    },
    /// A page does not follow from the one before it.
    Unlinked {
        /// Its number.
        number: u32,
    },
    /// A page's items cannot all be read.
    Items {
        /// Its number.
        number: u32,
        /// Why not.
        why: ItemError,
    },
    /// The engine makes something else of what is recorded.
    Evidence {
        /// The page's number.
        number: u32,
        /// Place of the item in its page.
        item: u16,
    },
    /// Pages are missing behind the newest one.
    Tail,
    /// The log says so itself: an earlier mount found it.
    Recorded,
}

/// What replaying an item gave.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Outcome {
    /// The item is a happening; the engine says this of it.
    Step(Verdict),
    /// The item is evidence, and agrees.
    Agrees,
    /// The item names something.
    Noted,
}

/// What is called with every item of a session after it was replayed: the replay so far, the item's page and its place
/// in it, the item and what came of it.
pub type Each<'a> = dyn FnMut(&Replay, &Page<'_>, u16, (&ItemRead, Outcome)) + 'a;

/// A head is signed at least so often while readings come.
const HEAD_SECONDS: i64 = 86_400;

/// What a resin is called.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ResinName {
    /// Whether it may be used on site.
    pub resin_use: ResinUse,
    /// The SHA-256 of the resin file.
    pub file: FileHash,
    /// Its name.
    pub name: Bytes<32>,
}

/// A session as far as it has been replayed.
// in this order the room for a group, which is most of it, ends it: nothing that is set at the start stands behind, or that room
// would be copied with it over the stack
#[repr(C)]
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Replay {
    trust: Trust,
    identity: Option<Identity>,
    resin: Option<ResinName>,
    job: Option<Job>,
    /// Fixings at their end with a release record.
    released: FixingSet,
    /// Whether the session holds a record of distrust.
    distrust_recorded: bool,
    /// Whether something happened that a head is to be signed for.
    head_due: bool,
    /// Time of the last item before the last signature.
    signed_at: Option<Instant>,
    free_below: u32,
    tie: Option<ClockTie>,
    /// Which ties were in force when, the last of them.
    holds: Holds,
    /// Whose hands act (rule H6).
    hands: Option<PersonNumber>,
    /// Readings of any kind that are recorded.
    readings: u64,
    lost: u64,
    last_at: Option<Instant>,
    head: Option<ChainHead>,
    habit: Habit,
    /// Made of the resin; nothing is taken before the job is there.
    course: Option<Course>,
}

impl Default for Replay {
    fn default() -> Self {
        Self::new()
    }
}

impl Replay {
    /// Before the session's first page.
    pub const fn new() -> Self {
        Self {
            trust: Trust::Trusted,
            identity: None,
            resin: None,
            job: None,
            released: FixingSet::EMPTY,
            distrust_recorded: false,
            head_due: false,
            signed_at: None,
            free_below: 0,
            tie: None,
            holds: Holds::NONE,
            hands: None,
            readings: 0,
            lost: 0,
            last_at: None,
            head: None,
            habit: Habit::NONE,
            course: None,
        }
    }

    /// Back to before the session's first page.
    pub(crate) fn reset(&mut self) {
        self.course = None; // apart: what follows would else carry room for one over the stack
        let Self { trust, identity, resin, job, released, .. } = self;
        (*trust, *identity, *resin, *job, *released) = (Trust::Trusted, None, None, None, FixingSet::EMPTY);
        let Self { distrust_recorded, head_due, signed_at, free_below, tie, .. } = self;
        (*distrust_recorded, *head_due, *signed_at, *free_below, *tie) = (false, false, None, 0, None);
        self.hands = None;
        let Self { holds, readings, lost, last_at, head, habit, .. } = self;
        (*holds, *readings, *lost, *last_at, *head, *habit) = (Holds::NONE, 0, 0, None, None, Habit::NONE);
    }

    /// Whether the log can be trusted as far as it was replayed.
    pub const fn trust(&self) -> Trust {
        self.trust
    }

    /// Who wrote the session.
    pub const fn identity(&self) -> Option<&Identity> {
        self.identity.as_ref()
    }

    /// What the resin is called; its schedule is the group's.
    pub const fn resin(&self) -> Option<&ResinName> {
        self.resin.as_ref()
    }

    /// The resin as it was recorded, put together again; `None` before resin and job were read.
    pub fn resin_record(&self) -> Option<ResinRecord> {
        let ResinName { resin_use, file, name } = self.resin?;
        Some(ResinRecord { resin: self.group()?.resin().clone(), resin_use, file, name })
    }

    /// The job.
    pub const fn job(&self) -> Option<&Job> {
        self.job.as_ref()
    }

    /// The group; `None` before resin and job were read.
    pub fn group(&self) -> Option<&Group> {
        self.course().map(Course::group)
    }

    /// The group with what is recorded of it.
    pub const fn course(&self) -> Option<&Course> {
        match (&self.course, &self.job) {
            (Some(course), Some(_)) => Some(course),
            (Some(_) | None, _) => None,
        }
    }

    /// Whether a release record of the fixing as it is has been read. One of a cure that was withdrawn, or of a fixing that was
    /// rejected since, does not count any more.
    pub const fn has_release(&self, fixing: FixingNumber) -> bool {
        self.released.has(fixing)
    }

    /// Whose hands act; `None` for nobody that the job names (rule H6).
    pub const fn hands(&self) -> Option<PersonNumber> {
        self.hands
    }

    /// The last tie of the clocks.
    pub const fn tie(&self) -> Option<ClockTie> {
        self.tie
    }

    /// Which ties were in force when, the last of them: what labels an instant, with [`clock_at`](super::clock_at).
    pub fn holds(&self) -> &[Hold] {
        self.holds.all()
    }

    /// Whether the clock of the session can be one that was never set.
    pub const fn chip(&self) -> Chip {
        match &self.identity {
            Some(Identity { source: Source::Trace, .. }) => Chip::OfTrace,
            Some(Identity { source: Source::Sensor(_), .. }) | None => Chip::OfLogger,
        }
    }

    /// Readings of any kind, and those that were lost.
    pub const fn readings(&self) -> (u64, u64) {
        (self.readings, self.lost)
    }

    /// Time of the latest item that has one.
    pub const fn last_at(&self) -> Option<Instant> {
        self.last_at
    }

    /// Pages below were read out or freed.
    pub const fn free_below(&self) -> u32 {
        self.free_below
    }

    /// The seal value of the last page.
    pub const fn head(&self) -> Option<ChainHead> {
        self.head
    }

    pub(crate) const fn habit(&self) -> Habit {
        self.habit
    }

    pub(crate) const fn course_mut(&mut self) -> Option<&mut Course> {
        match (&mut self.course, &self.job) {
            (Some(course), Some(_)) => Some(course),
            (Some(_) | None, _) => None,
        }
    }

    pub(crate) const fn distrust_recorded(&self) -> bool {
        self.distrust_recorded
    }

    /// The page before the session's first, where it is still there.
    pub(crate) const fn after(&mut self, head: ChainHead) {
        self.head = Some(head);
    }

    /// Whether a head is to be signed before anything else is recorded: after the first reading of a session, a cure, a
    /// rejection, a cure that was withdrawn or moved, a restart, a read-out, and when a day has gone by. A release is signed
    /// over what stands before it, and does for a head.
    pub fn is_head_due(&self) -> bool {
        let old = match (self.signed_at, self.last_at) {
            (Some(signed), Some(last)) => last.since(signed) >= HEAD_SECONDS,
            (Some(_) | None, _) => false,
        };
        old || self.head_due
    }

    fn signed(&mut self) {
        (self.head_due, self.signed_at) = (false, self.last_at);
    }

    /// Fixings in their working time.
    pub fn working(&self) -> FixingSet {
        self.parts().working
    }

    /// Fixings that are between injection and their end: working, curing, held, or cured and still to be torqued.
    pub fn running(&self) -> FixingSet {
        self.parts().running
    }

    /// Fixings that are released or cured without a torque, and have no release record yet.
    pub fn unsealed(&self) -> FixingSet {
        self.parts().ended.without(self.released)
    }

    fn parts(&self) -> Parts {
        self.course().map_or(Parts::NONE, Course::parts)
    }

    /// How many fixings end pages are kept for: running ones, and those whose release record is still to come.
    pub(crate) fn ending(&self) -> u32 {
        self.running().count().saturating_add(self.unsealed().count())
    }

    /// The log is not to be trusted from here on.
    pub fn distrust(&mut self, why: Why, tell: &mut dyn FnMut(Event)) {
        if self.trust == Trust::Trusted {
            self.trust = Trust::Untrusted(why);
        }
        let _ = self.step(Happening::Untrusted, tell);
    }

    /// The step of the group; `None` while there is none. A cure that is withdrawn or moved takes its release record with it: what
    /// follows is signed anew.
    fn step(&mut self, what: Happening, tell: &mut dyn FnMut(Event)) -> Option<Verdict> {
        let (Some(course), Some(_)) = (&mut self.course, &self.job) else { return None };
        let mut moved = FixingSet::EMPTY;
        let due = &mut self.head_due;
        if let Happening::PowerUp { .. } = what {
            *due = true;
        }
        let verdict = course.step(what, &mut |event| {
            match event {
                Event::CureMoved { fixing, .. } => {
                    moved = moved.with(fixing);
                    *due = true;
                }
                Event::Cured { .. } | Event::Withdrawn { .. } | Event::Rejected { .. } => *due = true,
                Event::Interval { .. }
                | Event::Stuck { .. }
                | Event::CandidateAccepted { .. }
                | Event::StartRefused { .. }
                | Event::Started { .. }
                | Event::Seated { .. }
                | Event::HoleStricter { .. }
                | Event::TorqueNoted { .. }
                | Event::Released { .. }
                | Event::Decided { .. } => {}
            }
            tell(event);
        });
        self.released = self.released.without(moved).also_in(course.parts().ended);
        Some(verdict)
    }

    /// A page of the session is missing or damaged.
    pub fn lost(&mut self, number: u32, tell: &mut dyn FnMut(Event)) {
        self.distrust(Why::PageLost { number }, tell);
        self.head = None;
    }

    /// The session has been replayed to its end.
    pub fn finish(&mut self, tell: &mut dyn FnMut(Event)) {
        if let Trust::Untrusted(why) = self.trust {
            self.distrust(why, tell);
        }
    }

    /// Replays a page. `each` is called with every item after it was replayed; events go to `tell`.
    ///
    /// The pages of a session come in their order. A page that is not linked to the one before it, or whose items
    /// cannot be read, is replayed as far as it goes and makes the log untrusted; see [`Self::trust`].
    pub fn page(
        &mut self,
        page: &Page<'_>,
        each: &mut dyn FnMut(&Self, u16, &ItemRead, Outcome),
        tell: &mut dyn FnMut(Event),
    ) {
        let number = page.header().number;
        if self.head.is_some_and(|head| head.link() != page.header().link) {
            self.distrust(Why::Unlinked { number }, tell);
        }
        let mut items = page.read();
        let mut place = 0u16;
        loop {
            if let Some(Plain { at, count, clock }) = items.next_plain() {
                let read = ItemRead { item: Item::Reading { at, count }, clock };
                self.one(number, place, &read, each, tell);
            } else {
                match items.next() {
                    Some(Ok(read)) => self.one(number, place, &read, each, tell),
                    Some(Err(why)) => self.distrust(Why::Items { number, why }, tell),
                    None => break,
                }
            }
            place = place.saturating_add(1);
        }
        let device = self.identity.map(|identity| identity.device);
        if number == 0 && device.is_some_and(|device| first_link(device) != page.header().link) {
            self.distrust(Why::Unlinked { number }, tell);
        }
        let (_, _, state) = items.standing();
        self.habit = state.habit(self.habit);
        self.head = Some(head_of(page));
    }

    /// Replays an item of a page.
    fn one(
        &mut self,
        number: u32,
        place: u16,
        read: &ItemRead,
        each: &mut dyn FnMut(&Self, u16, &ItemRead, Outcome),
        tell: &mut dyn FnMut(Event),
    ) {
        let outcome = self.item(&read.item, tell).unwrap_or_else(|| {
            self.distrust(Why::Evidence { number, item: place }, tell);
            Outcome::Noted
        });
        each(self, place, read, outcome);
    }

    /// Replays an item; `None` when it is no evidence of what was replayed before.
    pub fn item(&mut self, item: &Item, tell: &mut dyn FnMut(Event)) -> Option<Outcome> {
        let what = match item {
            Item::Reading { at, count } => {
                self.taken(*at);
                Happening::Reading { at: *at, count: *count }
            }
            Item::Unusable { at, cause } => {
                self.taken(*at);
                Happening::Unusable { at: *at, cause: *cause }
            }
            Item::Missing { at, cause: MissingCause::NotTaken | MissingCause::EmptyField } => {
                self.taken(*at);
                Happening::Missing { at: *at }
            }
            Item::Refused { cause } => return self.compare(Evidence::Refused(*cause)),
            Item::Record(record) => return self.record(record, tell),
        };
        self.happened(what, tell)
    }

    /// A reading of any kind.
    fn taken(&mut self, at: Instant) {
        if self.readings == 0 {
            self.head_due = true;
        }
        self.readings += 1;
        self.last_at = Some(at);
    }

    fn record(&mut self, record: &Record, tell: &mut dyn FnMut(Event)) -> Option<Outcome> {
        if let Some(hold) = Hold::begun_by(record, self.last_at, self.chip()) {
            self.holds.begin(hold);
        }
        let what = match record {
            Record::Action { at, fixing, action } => Happening::Action { at: *at, fixing: *fixing, action: *action },
            Record::PowerUp { dark, .. } => Happening::PowerUp { dark: *dark },
            Record::Loss(Loss { count, last, .. }) => {
                self.lost += u64::from(*count);
                Happening::Lost { at: *last }
            }
            Record::Untrusted => {
                self.distrust_recorded = true;
                if self.trust == Trust::Trusted {
                    self.trust = Trust::Untrusted(Why::Recorded);
                }
                Happening::Untrusted
            }
            Record::Stage { fixing, seen } => return self.compare(Evidence::Stage(*fixing, *seen)),
            Record::CandidateAccepted { at, count } => return self.compare(Evidence::Candidate(*at, *count)),
            Record::Identity(identity) => {
                self.identity = Some(*identity);
                self.free_below = self.free_below.max(identity.free_below);
                return Some(Outcome::Noted);
            }
            Record::Resin(resin) => {
                return self.schedule(resin);
            }
            Record::Job(job) => return self.begun(job),
            Record::Fixing(FixingRecord { number, spec, .. }) => {
                let made = self.course_mut()?.add(spec)?;
                return (made == *number).then_some(Outcome::Noted);
            }
            Record::Batch(_) | Record::Person(_) | Record::Supply { .. } | Record::PassedOver { .. } => {
                return Some(Outcome::Noted);
            }
            Record::Demands(demands) => return self.course_mut()?.demand(*demands),
            Record::Hands { of } => {
                self.hands = *of;
                return Some(Outcome::Noted);
            }
            Record::ClockTie(tie) => {
                self.tie = Some(*tie);
                return Some(Outcome::Noted);
            }
            Record::ReadOut { below } | Record::Freed { below } => {
                self.free_below = self.free_below.max(*below);
                self.head_due = true;
                return Some(Outcome::Noted);
            }
            Record::Head { .. } => {
                self.signed();
                return Some(Outcome::Noted);
            }
            Record::Release { fixing, .. } => {
                self.signed();
                self.released = self.released.with(*fixing).also_in(self.parts().ended);
                return Some(Outcome::Noted);
            }
        };
        self.happened(what, tell)
    }

    // a new group is large: apart, it is made in its place, and no other item pays for it on the stack
    #[cfg_attr(target_os = "none", inline(never))]
    fn schedule(&mut self, resin: &ResinRecord) -> Option<Outcome> {
        if self.course.is_some() {
            return None; // a session has one
        }
        self.resin = Some(ResinName { resin_use: resin.resin_use, file: resin.file, name: resin.name });
        let group = Group::new(resin.resin.clone(), Settings::DEFAULT, Rule::Coldest).ok()?;
        self.course = Some(Course::new(group));
        Some(Outcome::Noted)
    }

    fn begun(&mut self, job: &Job) -> Option<Outcome> {
        if self.job.is_some() {
            return None; // as above
        }
        let course = self.course.as_mut()?;
        course.set_up(job.settings, job.rule)?;
        if self.identity.is_some_and(|identity| identity.source != Source::Trace) {
            course.look_back_as_a_logger();
        }
        self.job = Some(*job);
        Some(Outcome::Noted)
    }

    /// All evidence of what happened before must have been there, unless the power was cut in between.
    fn happened(&mut self, what: Happening, tell: &mut dyn FnMut(Event)) -> Option<Outcome> {
        let trusted = self.trust == Trust::Trusted;
        let course = self.course_mut()?;
        let excused = match what {
            // a record of distrust is written before the evidence of the power-up
            Happening::PowerUp { .. } | Happening::Untrusted => true,
            Happening::Reading { .. }
            | Happening::Unusable { .. }
            | Happening::Missing { .. }
            | Happening::Lost { .. }
            | Happening::Action { .. } => false,
        };
        let complete = excused || !trusted || course.evidence().is_none();
        let verdict = self.step(what, tell)?;
        complete.then_some(Outcome::Step(verdict))
    }

    fn compare(&mut self, recorded: Evidence) -> Option<Outcome> {
        let trusted = self.trust == Trust::Trusted;
        let course = self.course_mut()?;
        let agrees = course.evidence() == Some(recorded);
        course.taken(recorded);
        (agrees || !trusted).then_some(Outcome::Agrees)
    }
}
