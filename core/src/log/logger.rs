//! The logger's log: what happens is written, then stepped, then its evidence is written.
//!
//! Why written first: whatever the step makes of a happening must rest on something that is there after a cut. Were it
//! stepped first, a fixing could be shown as cured, or a rejection be shown and forgotten, on the strength of a reading
//! that nobody will ever see again. So a happening is acknowledged when it stands in both slots; only then the group
//! takes the step. A cut before leaves the old state, a cut after leaves the new one, whose evidence the mount makes up
//! for.
//! Terms: *periodic* happenings are readings, unusable answers and missing ones; what becomes of those that cannot be
//! written stands in `super::loss`.
//! Invariants: the group is the replay of the log at any time; nothing is taken before the power-up of a mounted session
//! is recorded; an untrusted session takes no injection.
//! What it does not do: read clocks or sensors, sign, or show anything.

use super::chain::ChainHead;
use super::geometry::Geometry;
use super::item::{Clock, Item, MissingCause, Tie};
use super::memory::Memory;
use super::mount::{MountError, Mounted, Report, mount_in_place};
use super::open::{Items, Written};
use super::record::{
    Batch, Bytes, ClockTie, DeviceId, FixingRecord, Identity, Job, Loss, Person, PersonNumber, Record, ResetCause,
    ResinRecord, Source,
};
use super::replay::{Outcome, Replay, Trust};
use super::room::{end_pages, longest, reading_pages};
use super::scan::Finding;
use super::store::{Store, StoreError};
use super::tag::PageKey;
use crate::cure::Rule;
use crate::fixing::{Action, Demands, FixingSpec};
use crate::group::{Darkness, Event, FixingNumber, Group, Happening, Verdict};
use crate::quantity::{Instant, Span};
use crate::resin::Accrual;
use core::cell::Cell;

/// What a session begins with.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Beginning {
    /// Version of what runs here.
    pub firmware: [u8; 3],
    /// Where readings come from.
    pub source: Source,
    /// The resin.
    pub resin: ResinRecord,
    /// The job.
    pub job: Job,
    /// What it demands of hands; nothing of it is recorded where that is nothing.
    pub demands: Demands,
}

/// What a session's first page begins with. Written together: a job that demands something of hands is never there without it.
struct First<'a> {
    identity: Identity,
    beginning: &'a Beginning,
}

impl Items for First<'_> {
    fn each(&self, write: &mut dyn FnMut(Written<'_>)) {
        let mut put = |record| write(Written::Item(&Item::Record(record)));
        put(Record::Identity(self.identity));
        put(Record::Resin(self.beginning.resin.clone()));
        put(Record::Job(self.beginning.job));
        if self.beginning.demands != Demands::NONE {
            put(Record::Demands(self.beginning.demands));
        }
    }
}

/// That something was taken.
#[must_use = "a reading may be lost, and an action may not apply"]
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Acknowledged {
    /// It is recorded, and this is what the engine says of it.
    Stored(Verdict),
    /// A periodic happening could not be recorded; the status must say so. So many are lost since they were last
    /// recorded as lost, itself included.
    Lost {
        /// How many.
        count: u32,
    },
}

/// Why something was not taken. Nothing has changed, unless the memory failed: then it may be there after a power cut.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum LogError {
    /// It could not be written.
    Store(StoreError),
    /// The memory is not mounted.
    NotMounted,
    /// There is no session.
    NoSession,
    /// The power-up of the mounted session is not recorded yet.
    PowerUpFirst,
    /// A fixing of the session is between injection and its end.
    Running {
        /// The first such.
        fixing: FixingNumber,
    },
    /// The memory has no room for the longest cure of another fixing.
    NoRoom {
        /// Pages it would need, those kept for the end of running fixings included.
        needed: u32,
        /// Pages there are.
        left: u32,
    },
    /// The log of the session cannot be trusted, so nothing may be begun in it (rule E4).
    Untrusted,
    /// The group has sixteen fixings.
    GroupFull,
    /// The resin does not permit the rule.
    AccrualNotPermitted,
}

/// How the memory stands.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Room {
    /// Pages that can still be begun.
    pub left: u32,
    /// Of these, pages that readings may not take.
    pub reserved: u32,
    /// All slots.
    pub slots: u32,
}

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Up {
    /// Not mounted, or the memory was refused.
    NotMounted,
    /// Mounted, and the power-up not recorded.
    Awaited,
    Recorded,
}

/// Whose log it is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Owner {
    /// The device.
    pub device: DeviceId,
    /// What it tags its pages with.
    pub key: PageKey,
}

impl Owner {
    /// A device without a secret: anybody could have written its pages.
    pub const fn without_key(device: DeviceId) -> Self {
        Self { device, key: PageKey::KNOWN }
    }
}

impl From<DeviceId> for Owner {
    /// As [`Self::without_key`].
    fn from(device: DeviceId) -> Self {
        Self::without_key(device)
    }
}

/// A log and the group that it is the log of.
#[derive(Debug)]
pub struct Logger<M> {
    store: Store<M>,
    device: DeviceId,
    replay: Replay,
    up: Up,
    /// Readings lost since the last record of loss.
    pub(super) loss: Option<Loss>,
    /// When a loss was last recorded, while readings are still being lost.
    pub(super) loss_told: Option<Instant>,
    /// What is kept free as it was last counted; `None` when a record may have changed it since.
    kept: Cell<Option<Kept>>,
}

impl<M: Memory> Logger<M> {
    /// A logger of a memory that is still to be mounted; until then it has no group and takes nothing. For a static: it
    /// is large, and everything that is done to it is done where it stands.
    pub const fn new(memory: M, owner: Owner) -> Self {
        Self {
            store: Store::new(memory, owner.key),
            device: owner.device,
            replay: Replay::new(),
            up: Up::NotMounted,
            loss: None,
            loss_told: None,
            kept: Cell::new(None),
        }
    }

    /// Whose log it is.
    pub const fn device(&self) -> DeviceId {
        self.device
    }

    /// Says whose log it is; to be said before a mount, which refuses another's log.
    pub const fn set_owner(&mut self, owner: Owner) {
        self.device = owner.device;
        self.store.set_key(owner.key);
    }

    /// Mounts the memory: from what it holds to a logger that goes on. `find` is told of everything amiss, `tell` of
    /// the events of the replay. Nothing is written. May be done again at any time: what was known is forgotten.
    ///
    /// # Errors
    /// Why it was refused. Until a later mount succeeds there is no group, and nothing is taken.
    pub fn mount(&mut self, find: &mut dyn FnMut(Finding), tell: &mut dyn FnMut(Event)) -> Result<Report, MountError> {
        (self.up, self.loss, self.loss_told) = (Up::NotMounted, None, None);
        self.kept.set(None);
        let into = Mounted { store: &mut self.store, device: self.device, replay: &mut self.replay };
        let report = mount_in_place(into, find, tell).inspect_err(|_| self.replay.reset())?;
        self.up = if self.replay.group().is_some() { Up::Awaited } else { Up::Recorded };
        Ok(report)
    }

    /// The group; `None` while there is no session.
    pub fn group(&self) -> Option<&Group> {
        self.replay.group()
    }

    /// The session as it would be replayed from the log.
    pub const fn session(&self) -> &Replay {
        &self.replay
    }

    /// Whether the session's log can be trusted.
    pub const fn trust(&self) -> Trust {
        self.replay.trust()
    }

    /// Readings that are lost and not recorded as lost yet.
    pub const fn losing(&self) -> Option<Loss> {
        self.loss
    }

    /// Whether a reading is being lost: the last periodic happening could not be written.
    pub const fn is_losing(&self) -> bool {
        self.loss.is_some() || self.loss_told.is_some()
    }

    /// Readings of the session that found no room, recorded as lost or not yet.
    pub fn lost(&self) -> u64 {
        let (_, recorded) = self.replay.readings();
        recorded.saturating_add(self.loss.map_or(0, |loss| u64::from(loss.count)))
    }

    /// How the memory stands.
    pub fn room(&self) -> Room {
        let reserved = end_pages(self.replay.ending()).saturating_add(1);
        Room { left: self.store.left(), reserved, slots: self.store.geometry().slots() }
    }

    /// The memory's size.
    pub const fn geometry(&self) -> Geometry {
        self.store.geometry()
    }

    /// The seal value after everything that is recorded: what a release is signed over, right before
    /// [`Self::release`].
    pub fn head(&self) -> Option<ChainHead> {
        self.store.head()
    }

    /// The number of the session's first page; `None` while there is no session.
    pub fn session_page(&self) -> Option<u32> {
        self.store.open().map(|open| open.header().session)
    }

    /// The memory.
    pub const fn memory(&self) -> &M {
        self.store.memory()
    }

    /// The memory, for uses outside the log (a driver's settings, a bus that is shared). Who writes into it must mount
    /// anew.
    pub const fn memory_mut(&mut self) -> &mut M {
        self.store.memory_mut()
    }

    /// Gives the memory back.
    pub fn into_memory(self) -> M {
        self.store.into_memory()
    }

    /// Records that the logger came up again; the first thing after a mount. A session that cannot be trusted is
    /// recorded as such.
    ///
    /// # Errors
    /// It could not be written; do it again.
    pub fn power_up(&mut self, dark: Darkness, cause: ResetCause, tell: &mut dyn FnMut(Event)) -> Result<(), LogError> {
        match self.up {
            Up::NotMounted => return Err(LogError::NotMounted),
            Up::Awaited | Up::Recorded if self.replay.group().is_none() => return Err(LogError::NoSession),
            Up::Awaited => {}
            Up::Recorded => self.write_evidence(0)?,
        }
        self.note(Record::PowerUp { dark, cause }, Class::Any, tell)?;
        self.up = Up::Recorded;
        // the power-up is recorded; what follows from it is written now or before the next thing is
        if self.write_distrust(tell).is_ok() {
            self.evidence_may_wait();
        }
        Ok(())
    }

    /// A session that cannot be trusted is recorded as such, so that it stays so whatever a later mount finds.
    fn write_distrust(&mut self, tell: &mut dyn FnMut(Event)) -> Result<(), LogError> {
        match (self.replay.trust(), self.replay.distrust_recorded()) {
            (Trust::Trusted, _) | (Trust::Untrusted(_), true) => Ok(()),
            (Trust::Untrusted(_), false) => self.note(Record::Untrusted, Class::Any, tell),
        }
    }

    /// Begins a session: a new group with this resin and job. It takes effect as a whole or not at all.
    ///
    /// # Errors
    /// A fixing is running, the rule is not permitted, or it could not be written.
    pub fn begin(&mut self, beginning: &Beginning) -> Result<(), LogError> {
        match self.up {
            Up::NotMounted => return Err(LogError::NotMounted),
            Up::Awaited => return Err(LogError::PowerUpFirst),
            Up::Recorded => {}
        }
        if let Some(fixing) = self.replay.running().first() {
            return Err(LogError::Running { fixing });
        }
        match (beginning.job.rule, beginning.resin.resin.accrual()) {
            (Rule::Accrual, Accrual::Forbidden) => return Err(LogError::AccrualNotPermitted),
            (Rule::Accrual, Accrual::Permitted) | (Rule::Coldest, _) => {}
        }
        let identity = Identity {
            device: self.device,
            firmware: beginning.firmware,
            source: beginning.source,
            geometry: self.store.geometry(),
            free_below: self.store.free_below(),
        };
        let items = First { identity, beginning };
        let quantum_bits = beginning.source.quantum_bits();
        self.store.begin_session(self.device, quantum_bits, &items).map_err(LogError::Store)?;
        self.replay.reset();
        (self.loss, self.loss_told, self.up) = (None, None, Up::Recorded);
        items.each(&mut |written| match written {
            Written::Item(item) => {
                self.replay.item(item, &mut |_| {});
            }
            Written::Stage(..) => {}
        });
        self.kept.set(None);
        if let Some(habit) = self.store.habit_mut() {
            habit.beat = i64::from(beginning.job.period.seconds());
        }
        Ok(())
    }

    /// Adds a fixing to the session's group.
    ///
    /// # Errors
    /// The group is full, or it could not be written.
    pub fn add(&mut self, label: Bytes<16>, spec: FixingSpec) -> Result<FixingNumber, LogError> {
        self.ready(&mut |_| {})?;
        let count = self.replay.group().map_or(0, |group| group.fixings().count());
        let number = u8::try_from(count).ok().and_then(FixingNumber::new).ok_or(LogError::GroupFull)?;
        self.note(Record::Fixing(FixingRecord { number, label, spec }), Class::Notes, &mut |_| {})?;
        Ok(number)
    }

    /// Records the resin batch of a fixing.
    ///
    /// # Errors
    /// It could not be written.
    pub fn batch(&mut self, batch: Batch) -> Result<(), LogError> {
        self.ready(&mut |_| {})?;
        self.note(Record::Batch(batch), Class::Notes, &mut |_| {})
    }

    /// Records a person of the job (rule H6).
    ///
    /// # Errors
    /// It could not be written.
    pub fn person(&mut self, person: Person) -> Result<(), LogError> {
        self.ready(&mut |_| {})?;
        self.note(Record::Person(person), Class::Notes, &mut |_| {})
    }

    /// Records whose hands act from here on (rule H6).
    ///
    /// # Errors
    /// It could not be written.
    pub fn hands(&mut self, of: Option<PersonNumber>) -> Result<(), LogError> {
        self.ready(&mut |_| {})?;
        self.note(Record::Hands { of }, Class::Notes, &mut |_| {})
    }

    /// Records the supply of the probe: `None` where it could not be measured.
    ///
    /// # Errors
    /// It could not be written.
    pub fn supply(&mut self, at: Instant, millivolts: Option<u16>) -> Result<(), LogError> {
        self.ready(&mut |_| {})?;
        self.note(Record::Supply { at, millivolts }, Class::Notes, &mut |_| {})
    }

    /// Records the signed release record of a fixing.
    ///
    /// # Errors
    /// It could not be written. A page is kept for it, so only the memory itself can be at fault.
    pub fn release(&mut self, fixing: FixingNumber, signed: Bytes<255>) -> Result<(), LogError> {
        self.ready(&mut |_| {})?;
        self.note(Record::Release { fixing, signed }, Class::Any, &mut |_| {})
    }

    /// Whether a record of so many bytes would find room without taking the pages that are kept for the end of running fixings.
    pub fn has_room_for(&self, bytes: usize) -> bool {
        let open = self.store.open().map_or(0, |open| open.room());
        open >= bytes || self.store.left() > self.kept().ends
    }

    /// Records a signed head of the log as it stands.
    ///
    /// # Errors
    /// It could not be written; the pages kept for the end of running fixings are none for it.
    pub fn sign(&mut self, signed: Bytes<255>) -> Result<(), LogError> {
        self.ready(&mut |_| {})?;
        self.note(Record::Head { signed }, Class::Notes, &mut |_| {})
    }

    /// Records that all pages with a lower number were read out. Those of the running session are kept all the same.
    ///
    /// # Errors
    /// It could not be written.
    pub fn read_out(&mut self, below: u32) -> Result<(), LogError> {
        let below = below.min(self.open_number());
        self.free(below, Record::ReadOut { below })
    }

    /// Records that the owner gives all pages with a lower number up. Those of the running session are kept all the
    /// same.
    ///
    /// # Errors
    /// It could not be written.
    pub fn freed(&mut self, below: u32) -> Result<(), LogError> {
        let below = below.min(self.open_number());
        self.free(below, Record::Freed { below })
    }

    fn free(&mut self, below: u32, record: Record) -> Result<(), LogError> {
        self.ready(&mut |_| {})?;
        // the record may stand in a page that it sets free: whoever says so wants them gone
        self.store.free(below);
        self.note(record, Class::Any, &mut |_| {})
    }

    pub(super) fn open_number(&self) -> u32 {
        self.store.open().map_or(0, |open| open.header().number)
    }

    /// Tells what the wall clock says at an instant of the monotonic one: at a start, once in every hour before the
    /// hour's first reading, and after a correction. As long as it agrees with the tie in force to the second, the next
    /// reading takes the word along; else the clocks are tied anew.
    ///
    /// # Errors
    /// It could not be written.
    pub fn clock(&mut self, tie: ClockTie) -> Result<(), LogError> {
        self.ready(&mut |_| {})?;
        let in_force = self.store.open().map_or(Tie::Loose, |open| open.tie());
        let agrees = self.replay.tie().is_some_and(|before| {
            let ahead = before.utc.wrapping_sub(before.at.seconds());
            ahead == tie.utc.wrapping_sub(tie.at.seconds()) && before.offset_minutes == tie.offset_minutes
        });
        let latest = self.replay.last_at().max(self.replay.tie().map(|before| before.at));
        let silent = latest.is_none_or(|latest| tie.at.since(latest) >= 3600);
        if in_force == Tie::InForce && agrees && !silent {
            if let Some(habit) = self.store.habit_mut() {
                habit.clock = Clock::Agreed;
            }
            return Ok(());
        }
        self.note(Record::ClockTie(tie), Class::Notes, &mut |_| {})
    }

    /// Takes what happened: records it, steps the group, records what came of it. Events go to `tell`.
    ///
    /// # Errors
    /// Why it was not taken. A periodic happening is lost instead when it cannot be written.
    pub fn happen(&mut self, what: Happening, tell: &mut dyn FnMut(Event)) -> Result<Acknowledged, LogError> {
        match what {
            Happening::Reading { at, count } => self.periodic(at, Item::Reading { at, count }, tell),
            Happening::Unusable { at, cause } => self.periodic(at, Item::Unusable { at, cause }, tell),
            Happening::Missing { at } => self.missing(at, MissingCause::NotTaken, tell),
            Happening::Lost { at } => {
                self.ready(tell)?;
                let loss = Loss { count: 1, first: at, last: at };
                let verdict = self.put(Item::Record(Record::Loss(loss)), Class::Notes, tell)?;
                self.evidence_may_wait();
                Ok(Acknowledged::Stored(verdict))
            }
            Happening::Action { at, fixing, action } => self.action(at, fixing, action, tell),
            Happening::PowerUp { dark } => {
                self.power_up(dark, ResetCause::Unknown, tell)?;
                Ok(Acknowledged::Stored(Verdict::Done))
            }
            Happening::Untrusted => {
                self.ready(tell)?;
                let verdict = self.put(Item::Record(Record::Untrusted), Class::Any, tell)?;
                self.evidence_may_wait();
                Ok(Acknowledged::Stored(verdict))
            }
        }
    }

    /// Takes that there is no reading for this time.
    ///
    /// # Errors
    /// As [`Self::happen`].
    pub fn missing(
        &mut self,
        at: Instant,
        cause: MissingCause,
        tell: &mut dyn FnMut(Event),
    ) -> Result<Acknowledged, LogError> {
        self.periodic(at, Item::Missing { at, cause }, tell)
    }

    fn action(
        &mut self,
        at: Instant,
        fixing: FixingNumber,
        action: Action,
        tell: &mut dyn FnMut(Event),
    ) -> Result<Acknowledged, LogError> {
        self.ready(tell)?;
        match action {
            Action::Inject(_) => self.may_inject()?,
            Action::CarriedOut
            | Action::Seat
            | Action::Hole(_)
            | Action::Torque(_)
            | Action::TorquedEarly(_)
            | Action::Declare(_)
            | Action::Decide(_) => {}
        }
        if self.loss.is_some() {
            self.write_loss(Class::Any, tell)?;
        }
        let verdict = self.put(Item::Record(Record::Action { at, fixing, action }), Class::Any, tell)?;
        self.evidence_may_wait();
        Ok(Acknowledged::Stored(verdict))
    }

    /// Whether another fixing may be begun: the log can be trusted, and there is room for the longest that it and the
    /// running ones can last.
    ///
    /// # Errors
    /// Why not.
    pub fn may_inject(&self) -> Result<(), LogError> {
        match self.replay.trust() {
            Trust::Trusted => {}
            Trust::Untrusted(_) => return Err(LogError::Untrusted),
        }
        if self.replay.group().is_none() {
            return Err(LogError::NoSession);
        }
        let kept = self.kept();
        // an end page of the new fixing's own, and one for losses
        let needed = kept.readings.saturating_add(kept.ends).saturating_add(2);
        let left = self.store.left();
        if left < needed { Err(LogError::NoRoom { needed, left }) } else { Ok(()) }
    }

    /// A session that is up, and all evidence written.
    pub(crate) fn ready(&mut self, tell: &mut dyn FnMut(Event)) -> Result<(), LogError> {
        match self.up {
            Up::NotMounted => return Err(LogError::NotMounted),
            Up::Awaited | Up::Recorded if self.replay.group().is_none() => return Err(LogError::NoSession),
            Up::Awaited => return Err(LogError::PowerUpFirst),
            Up::Recorded => {}
        }
        self.write_distrust(tell)?;
        self.write_evidence(0)
    }

    /// Writes a record of which the engine says nothing that its caller would ask for, then replays it.
    #[inline(always)] // else the record would be copied on its way
    pub(super) fn note(&mut self, record: Record, class: Class, tell: &mut dyn FnMut(Event)) -> Result<(), LogError> {
        self.put(Item::Record(record), class, tell).map(|_| ())
    }

    /// Writes the item, then replays it.
    pub(super) fn put(&mut self, item: Item, class: Class, tell: &mut dyn FnMut(Event)) -> Result<Verdict, LogError> {
        let reserved = match class {
            Class::Any => 0,
            Class::Notes => self.kept().ends,
            Class::Periodic => {
                // the last page but the end pages is for losses; once it is begun, it is no more for readings either
                let (left, reserved) = (self.store.left(), self.kept().ends);
                if left <= reserved {
                    return Err(LogError::Store(StoreError::Full { left, reserved }));
                }
                reserved.saturating_add(1)
            }
        };
        self.store.append(&item, reserved, 0).map_err(LogError::Store)?;
        let outcome = self.replay.item(&item, tell);
        match item {
            Item::Record(_) => self.kept.set(None),
            Item::Reading { .. } | Item::Unusable { .. } | Item::Missing { .. } | Item::Refused { .. } => {}
        }
        Ok(match outcome {
            Some(Outcome::Step(verdict)) => verdict,
            Some(Outcome::Agrees | Outcome::Noted) | None => Verdict::Done,
        })
    }

    /// What is kept free, counted anew only after a record: that looks at every fixing.
    fn kept(&self) -> Kept {
        if let Some(kept) = self.kept.get() {
            return kept;
        }
        let seconds = self.replay.group().map_or(0, longest);
        let period = self.replay.job().map_or(Span::from_seconds(1), |job| job.period);
        let quantum_bits = self.store.open().map_or(0, |open| open.header().quantum_bits);
        let kept =
            Kept { ends: end_pages(self.replay.ending()), readings: reading_pages(seconds, period, quantum_bits) };
        self.kept.set(Some(kept));
        kept
    }

    /// Writes all evidence that is not recorded yet, in one commit; a page is begun for it when more than `reserved` are left.
    fn write_evidence(&mut self, reserved: u32) -> Result<(), LogError> {
        let Some(course) = self.replay.course_mut() else { return Ok(()) };
        if course.evidence().is_none() {
            return Ok(());
        }
        let expected = course.waiting() * STAGE_BYTES;
        self.store.append(course, reserved, expected).map_err(LogError::Store)?;
        if course.all_taken() {
            self.kept.set(None);
        }
        Ok(())
    }

    /// What happened is recorded; its evidence is written now, or before the next thing is. It waits where it is much, or the
    /// open page has no room for it: so one reading does not have to take all fixings to another stage, write down each, and
    /// close a page.
    pub(super) fn evidence_may_wait(&mut self) {
        if self.replay.course().is_some_and(|course| course.waiting() <= MOST_AT_ONCE) {
            let _ = self.write_evidence(u32::MAX);
        }
    }
}

/// Stages that are recorded together with what they came from.
const MOST_AT_ONCE: usize = 4;
/// Bytes that the record of a stage can be expected to take.
const STAGE_BYTES: usize = 8;

/// Pages that are kept free.
#[derive(Clone, Copy, Debug)]
struct Kept {
    /// End pages.
    ends: u32,
    /// For the readings of another fixing, from its injection to its end. None of those that run lasts longer.
    readings: u32,
}

/// What the last pages are open to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Class {
    /// What must never be refused: actions, stages, releases, power-ups.
    Any,
    /// What can wait: losses, clock ties, batches, new fixings.
    Notes,
    /// Readings of any kind.
    Periodic,
}
