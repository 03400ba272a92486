//! The items of a page: readings coded by the model, everything else by a kind and its fields.
//!
//! Terms: the *beat* is the usual time between readings; the *expected* time of the next reading is the last one's plus
//! the beat. *Timed* items are readings, missing and unusable ones.
//! Why this way: a reading at its expected time costs its step and a hundredth of a bit; the rare rest pays eleven bits
//! before it says anything. The hourly tie of the clocks is one bit of its own that follows the first timed item of an
//! hour: as long as the wall clock agrees with the tie in force to the second it costs a fiftieth of a reading.
//! Invariants: a page decodes alone: it begins with the time, the beat and the count in full. Decoding an item leaves
//! the same state as encoding it did, so a page that was read back can be written on.
//! What it does not do: know pages, memory, or what an item means to the engine.

use super::coder::{BitCoder, Decoder};
use super::model::Model;
use super::record::{BodyError, BodyWriter, ClockTie, MOST_BODY, Record, STAGE, StageSeen};
use crate::group::FixingNumber;
use crate::probe::Refusal;
use crate::quantity::{Count, Instant};

/// The longest body of a stage: two bytes, an instant of ten, grounds of three.
const MOST_STAGE: usize = 16;

/// Why there is no reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum MissingCause {
    /// The logger did not take it.
    NotTaken,
    /// The field of a trace is empty.
    EmptyField,
}

/// One item of a page.
#[derive(Clone, PartialEq, Eq, Debug)]
#[allow(clippy::large_enum_variant, reason = "there is no heap; items are made and read one at a time")]
pub enum Item {
    /// A count the probe delivered. Accepted, unless [`Item::Refused`] follows.
    Reading {
        /// When.
        at: Instant,
        /// The count.
        count: Count,
    },
    /// The probe answered with nothing that can be used.
    Unusable {
        /// When.
        at: Instant,
        /// Why.
        cause: Refusal,
    },
    /// There is no reading for this time.
    Missing {
        /// When.
        at: Instant,
        /// Why.
        cause: MissingCause,
    },
    /// Evidence: the reading or unusable answer just before was refused (with nothing but power-ups in between). Only a
    /// reading can be accepted after all.
    Refused {
        /// Why.
        cause: Refusal,
    },
    /// A record.
    Record(Record),
}

/// What the wall clock said in the hour before a timed item, while a tie is in force.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Clock {
    /// It was read, and agreed with the tie in force to the second.
    Agreed,
    /// It was not read.
    NotRead,
}

/// An item as it was read, with the word on the clocks where one stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ItemRead {
    /// The item.
    pub item: Item,
    /// The first timed item of an hour says whether the clocks still agreed.
    pub clock: Option<Clock>,
}

/// A reading at its expected time.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Plain {
    pub(crate) at: Instant,
    pub(crate) count: Count,
    pub(crate) clock: Option<Clock>,
}

/// Why the bits of a page are not items.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub enum ItemError {
    /// The page's bits end before its items do.
    Short,
    /// A code that no item has.
    Code {
        /// What was found.
        found: u8,
    },
    /// A record's body is too long.
    Length {
        /// What was found.
        found: u64,
    },
    /// A record's body is not a record.
    Body(BodyError),
    /// The page's bits go on after its items, or end otherwise than the coder ends them.
    Ending,
}

/// What is kept from one item of a page to the next.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct State {
    model: Model,
    quantum_bits: u8,
    /// Time of the last timed item; 0 before the first.
    last_at: i64,
    /// The last reading.
    last_raw: i16,
    beat: i64,
    full: Full,
    tie: Tie,
    /// The hour, since the monotonic clock's zero, that the last word on the clocks stands for.
    hour: i64,
}

/// Whether the page has had a reading in full.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Full {
    Awaited,
    Had,
}

/// Whether a tie of the clocks is in force.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Tie {
    /// None, or it ended with a restart.
    Loose,
    /// One is.
    InForce,
}

/// What only the writer knows.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Habit {
    /// The beat, also across pages.
    pub(crate) beat: i64,
    /// The time between the last two timed items.
    stride: i64,
    /// Time of the last timed item, also across pages.
    pub(crate) last_at: Option<i64>,
    /// What the wall clock has said since the last word on it.
    pub(crate) clock: Clock,
}

impl Habit {
    pub(crate) const NONE: Self = Self { beat: 0, stride: 0, last_at: None, clock: Clock::NotRead };
}

const FULL: u32 = 0;
const TIME: u32 = 1;
const BEAT: u32 = 2;
const EXACT: u32 = 3;
const MISSING: u32 = 4;
const UNUSABLE: u32 = 5;
const REFUSED: u32 = 6;
const RECORD: u32 = 7;
/// Bits of a kind.
const KIND_BITS: u32 = 3;

const REFUSALS: [Refusal; 6] =
    [Refusal::NotLater, Refusal::Bus, Refusal::OutOfRange, Refusal::PowerUp, Refusal::Step, Refusal::Supply];
const CAUSES: [MissingCause; 2] = [MissingCause::NotTaken, MissingCause::EmptyField];

#[inline(never)] // a division of 64 bits
const fn hour_of(at: i64) -> i64 {
    at.div_euclid(3600)
}

impl State {
    /// At the beginning of a page.
    pub(crate) const fn new(quantum_bits: u8, tie: Tie) -> Self {
        Self {
            model: Model::new(),
            quantum_bits,
            last_at: 0,
            last_raw: 0,
            beat: 0,
            full: Full::Awaited,
            tie,
            hour: i64::MIN,
        }
    }

    pub(crate) const fn tie(&self) -> Tie {
        self.tie
    }

    /// What a writer can go on with that has only read the page.
    pub(crate) fn habit(&self, before: Habit) -> Habit {
        let beat = if self.full == Full::Had { self.beat } else { before.beat };
        let last_at = if self.last_at == 0 { before.last_at } else { Some(self.last_at) };
        Habit { beat, stride: 0, last_at, clock: Clock::NotRead }
    }

    /// Writes an item.
    pub(crate) fn write(&mut self, coder: &mut impl BitCoder, habit: &mut Habit, item: &Item) {
        match item {
            Item::Reading { at, count } => {
                self.reading(coder, habit, at.seconds(), count.raw());
                self.word_on_the_clocks(coder, &mut habit.clock);
            }
            Item::Missing { at, cause } => {
                self.timed(coder, habit, at.seconds());
                self.kind(coder, MISSING);
                coder.bits(*cause as u32, 2);
                self.word_on_the_clocks(coder, &mut habit.clock);
            }
            Item::Unusable { at, cause } => {
                self.timed(coder, habit, at.seconds());
                self.kind(coder, UNUSABLE);
                coder.bits(refusal_code(*cause), 3);
                self.word_on_the_clocks(coder, &mut habit.clock);
            }
            Item::Refused { cause } => {
                self.kind(coder, REFUSED);
                coder.bits(refusal_code(*cause), 3);
            }
            Item::Record(record) => {
                self.body(coder, record.tag(), &record.body(self.last_at));
                self.recorded(record);
                if self.tie == Tie::Loose {
                    habit.clock = Clock::NotRead;
                }
            }
        }
    }

    /// Writes the record of a stage, of which there may be sixteen at once: without a record of the greatest size for each.
    pub(crate) fn write_stage(&mut self, coder: &mut impl BitCoder, fixing: FixingNumber, seen: &StageSeen) {
        let mut body = BodyWriter::<MOST_STAGE>::new(self.last_at);
        seen.write(fixing, &mut body);
        self.body(coder, STAGE, &body);
    }

    fn body<const N: usize>(&mut self, coder: &mut impl BitCoder, tag: u8, body: &BodyWriter<N>) {
        self.kind(coder, RECORD);
        coder.bits(u32::from(tag), 8);
        // every record is shorter than its body may be: see `every_record_fits`
        let bytes = body.bytes().unwrap_or(&[]);
        coder.number(bytes.len() as u64);
        for byte in bytes {
            coder.bits(u32::from(*byte), 8);
        }
    }

    fn kind(&mut self, coder: &mut impl BitCoder, kind: u32) {
        self.model.other(coder, true);
        coder.bits(kind, KIND_BITS);
    }

    /// A writer's reading.
    fn reading(&mut self, coder: &mut impl BitCoder, habit: &mut Habit, at: i64, raw: i16) {
        match self.full {
            Full::Awaited => {
                self.kind(coder, FULL);
                coder.signed(at);
                coder.number(habit.beat.unsigned_abs());
                coder.bits(u32::from(raw as u16), 16);
                habit.stride = habit.last_at.map_or(0, |last| at.wrapping_sub(last));
                habit.last_at = Some(at);
                self.full(at, habit.beat, raw);
            }
            Full::Had => {
                self.timed(coder, habit, at);
                let step = i32::from(raw) - i32::from(self.last_raw);
                let quantum_mask = (1i32 << self.quantum_bits) - 1;
                if step & quantum_mask == 0 {
                    self.model.other(coder, false);
                    self.model.step(coder, step >> self.quantum_bits);
                } else {
                    self.kind(coder, EXACT);
                    coder.bits(u32::from(raw as u16), 16);
                }
                self.last_raw = raw;
            }
        }
    }

    /// Says the time of a timed item where it is not the expected one.
    fn timed(&mut self, coder: &mut impl BitCoder, habit: &mut Habit, at: i64) {
        let stride = at.wrapping_sub(self.last_at);
        if stride != self.beat {
            // a stride that comes twice is the new beat; the first one of all is taken for it at once
            let beat = stride > 0 && self.full == Full::Had && (self.beat == 0 || stride == habit.stride);
            self.kind(coder, if beat { BEAT } else { TIME });
            coder.signed(stride);
            if beat {
                self.beat = stride;
                habit.beat = stride;
            }
        }
        habit.stride = stride;
        habit.last_at = Some(at);
        self.last_at = at;
    }

    fn full(&mut self, at: i64, beat: i64, raw: i16) {
        self.last_at = at;
        self.beat = beat;
        self.last_raw = raw;
        self.full = Full::Had;
    }

    /// After a timed item: the first one of an hour, and of a page, says whether the clocks agreed.
    fn word_on_the_clocks(&mut self, coder: &mut impl BitCoder, clock: &mut Clock) -> Option<Clock> {
        let hour = hour_of(self.last_at);
        if self.tie == Tie::Loose || hour == self.hour {
            return None;
        }
        self.hour = hour;
        let unread = self.model.unread(coder, *clock == Clock::NotRead);
        *clock = Clock::NotRead;
        Some(if unread { Clock::NotRead } else { Clock::Agreed })
    }

    /// What a record changes for the items after it.
    fn recorded(&mut self, record: &Record) {
        match record {
            Record::ClockTie(ClockTie { at, .. }) => {
                self.tie = Tie::InForce;
                self.hour = hour_of(at.seconds());
            }
            Record::PowerUp { .. } => self.tie = Tie::Loose,
            Record::Identity(_)
            | Record::Resin(_)
            | Record::Job(_)
            | Record::Fixing(_)
            | Record::Batch(_)
            | Record::Action { .. }
            | Record::Loss(_)
            | Record::Untrusted
            | Record::ReadOut { .. }
            | Record::Freed { .. }
            | Record::Release { .. }
            | Record::Stage { .. }
            | Record::CandidateAccepted { .. }
            | Record::Supply { .. }
            | Record::Demands(_)
            | Record::Person(_)
            | Record::Hands { .. }
            | Record::PassedOver { .. }
            | Record::Head { .. } => {}
        }
    }

    /// Reads an item if it is a plain reading at its expected time; `None` leaves the rest of another item to
    /// [`Self::read_other`]. Apart from it because items are large and readings many: a mount on a small processor would
    /// spend half its time moving them.
    pub(crate) fn read_plain(&mut self, coder: &mut Decoder<'_>) -> Option<Plain> {
        if self.model.other(coder, false) {
            return None;
        }
        let at = self.last_at.wrapping_add(self.beat);
        let (at, count, clock) = self.stepped(coder, at);
        Some(Plain { at, count, clock })
    }

    /// The step of a plain reading.
    fn stepped(&mut self, coder: &mut Decoder<'_>, at: i64) -> (Instant, Count, Option<Clock>) {
        let step = self.model.step(coder, 0) << self.quantum_bits;
        self.last_raw = self.last_raw.wrapping_add(step as i16);
        let clock = self.timed_read(coder, at);
        (Instant::from_seconds(at), Count::new(self.last_raw), clock)
    }

    /// Reads an item behind the bit that says that it is no plain reading.
    ///
    /// # Errors
    /// Bits that no writer writes. Nothing after them can be read.
    pub(crate) fn read_other(&mut self, coder: &mut Decoder<'_>) -> Result<ItemRead, ItemError> {
        let mut at = self.last_at.wrapping_add(self.beat);
        let mut said = false;
        loop {
            if coder.overran() {
                return Err(ItemError::Short);
            }
            if said && !self.model.other(coder, false) {
                let (at, count, clock) = self.stepped(coder, at);
                return Ok(ItemRead { item: Item::Reading { at, count }, clock });
            }
            match coder.bits(0, KIND_BITS) {
                FULL => {
                    let (full_at, beat) = (coder.signed(0), coder.number(0));
                    let beat = i64::try_from(beat).map_err(|_| ItemError::Length { found: beat })?;
                    let raw = coder.bits(0, 16) as u16 as i16;
                    self.full(full_at, beat, raw);
                    return Ok(self.reading_read(coder, full_at));
                }
                kind @ (TIME | BEAT) if !said => {
                    said = true;
                    let stride = coder.signed(0);
                    at = self.last_at.wrapping_add(stride);
                    if kind == BEAT {
                        self.beat = stride;
                    }
                }
                EXACT => {
                    self.last_raw = coder.bits(0, 16) as u16 as i16;
                    return Ok(self.reading_read(coder, at));
                }
                MISSING => {
                    let cause = pick(&CAUSES, coder.bits(0, 2))?;
                    let clock = self.timed_read(coder, at);
                    return Ok(ItemRead { item: Item::Missing { at: Instant::from_seconds(at), cause }, clock });
                }
                UNUSABLE => {
                    let cause = pick(&REFUSALS, coder.bits(0, 3))?;
                    let clock = self.timed_read(coder, at);
                    return Ok(ItemRead { item: Item::Unusable { at: Instant::from_seconds(at), cause }, clock });
                }
                REFUSED => {
                    let cause = pick(&REFUSALS, coder.bits(0, 3))?;
                    return Ok(ItemRead { item: Item::Refused { cause }, clock: None });
                }
                RECORD => return self.record_read(coder),
                again => return Err(ItemError::Code { found: again as u8 }),
            }
        }
    }

    /// After a timed item of this time: the word on the clocks that follows it, where one does.
    #[cfg_attr(target_os = "none", inline(never))]
    fn timed_read(&mut self, coder: &mut Decoder<'_>, at: i64) -> Option<Clock> {
        self.last_at = at;
        self.word_on_the_clocks(coder, &mut Clock::NotRead.clone())
    }

    fn reading_read(&mut self, coder: &mut Decoder<'_>, at: i64) -> ItemRead {
        let clock = self.timed_read(coder, at);
        let item = Item::Reading { at: Instant::from_seconds(at), count: Count::new(self.last_raw) };
        ItemRead { item, clock }
    }

    fn record_read(&mut self, coder: &mut Decoder<'_>) -> Result<ItemRead, ItemError> {
        let tag = coder.bits(0, 8) as u8;
        let length = coder.number(0);
        let mut body = [0u8; MOST_BODY];
        let bytes = usize::try_from(length).ok().and_then(|length| body.get_mut(..length));
        let bytes = bytes.ok_or(ItemError::Length { found: length })?;
        for byte in bytes.iter_mut() {
            *byte = coder.bits(0, 8) as u8;
            if coder.overran() {
                return Err(ItemError::Short);
            }
        }
        let record = Record::read(tag, bytes, self.last_at).map_err(ItemError::Body)?;
        self.recorded(&record);
        Ok(ItemRead { item: Item::Record(record), clock: None })
    }
}

fn refusal_code(refusal: Refusal) -> u32 {
    match refusal {
        Refusal::NotLater => 0,
        Refusal::Bus => 1,
        Refusal::OutOfRange => 2,
        Refusal::PowerUp => 3,
        Refusal::Step => 4,
        Refusal::Supply => 5,
    }
}

fn pick<T: Copy>(all: &[T], code: u32) -> Result<T, ItemError> {
    all.get(code as usize).copied().ok_or(ItemError::Code { found: code as u8 })
}
