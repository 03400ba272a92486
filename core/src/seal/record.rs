//! The release record: a value that can only be valid.
//!
//! What for: everything that an inspector needs to work the release out again. Files stand for themselves under their
//! hash; the readings under the chain head.
//! Terms: the *particulars* are what the engine does not know (device, key, files, label, wall clock, chain head); the
//! record *speaks for* an instant: of a torqued fixing the release, of one without torque the later of its cure and the
//! last accepted reading, since a stricter hole condition may still withdraw that cure (rule A4).
//! Invariants: made of [`Stage::Released`], or of [`Stage::Cured`] where no torque is specified, and of nothing else;
//! injection <= seating <= cure <= the instant it speaks for; counted + held + unobserved = cure - seating; under the
//! coldest-band rule served >= required; the torque lies within its range.
//! What it does not do: say when the record was made, or that the files behind the hashes exist.

use super::counted::CountedSeconds;
use super::field::{Field, MOST_OFFSET, Unrecordable, zigzag};
use super::identity::{BatchHash, JobHash, KeyId, ResinHash};
use super::label::Label;
use super::layout::MOST_RECORD;
use crate::cure::{Rule, Settings, served};
use crate::fixing::{Stage, Status, TorqueRange};
use crate::group::{FixingNumber, Group};
use crate::log::{DeviceId, Hold, Link, clock_at};
use crate::quantity::{Count, Fine, Instant, Torque};
use crate::resin::{Hole, ResinUse};

/// What ties the monotonic clock to the wall clock when the record is made.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum WallClock {
    /// The wall clock was set.
    Tied {
        /// Seconds since 1970-01-01T00:00:00Z at the monotonic instant 0.
        ahead: i64,
        /// Offset of local time from UTC in minutes, -1439 to 1439.
        offset_minutes: i16,
    },
    /// The wall clock was never set, or had stopped.
    Unknown,
}

impl WallClock {
    /// By the tie that labels an instant.
    pub fn at(holds: &[Hold], at: Instant) -> Self {
        match clock_at(holds, at) {
            Some((ahead, offset_minutes)) => Self::Tied { ahead, offset_minutes },
            None => Self::Unknown,
        }
    }
}

/// How the fixing was finished.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum End {
    /// Torqued as specified after the cure.
    Torqued {
        /// The torque applied.
        applied: Torque,
        /// The torque specified.
        range: TorqueRange,
    },
    /// No torque is specified; the cure is the end.
    NoTorque,
}

/// What the engine does not know.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Particulars {
    /// The device.
    pub device: DeviceId,
    /// The key that will sign.
    pub key: KeyId,
    /// The job file.
    pub job: JobHash,
    /// The resin file.
    pub resin: ResinHash,
    /// The resin batch of this fixing.
    pub batch: BatchHash,
    /// Where the log stands.
    pub chain: Link,
    /// What the fixing is called.
    pub label: Label,
    /// Whether the resin may be used on site.
    pub resin_use: ResinUse,
    /// The wall clock.
    pub clock: WallClock,
}

/// A release, ready to be signed, or read from signed bytes.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct ReleaseRecord {
    pub(super) particulars: Particulars,
    pub(super) label_left_out: bool,
    pub(super) fixing: FixingNumber,
    pub(super) rule: Rule,
    pub(super) settings: Settings,
    pub(super) hole: Hole,
    pub(super) seated: Instant,
    /// Seconds from the injection to the seating.
    pub(super) working: u32,
    /// Seconds from the cure to the instant the record speaks for.
    pub(super) since: u32,
    pub(super) required: u32,
    pub(super) counted: CountedSeconds,
    pub(super) held: u32,
    pub(super) unobserved: u32,
    pub(super) coldest: Fine,
    pub(super) outside_at_seating: Option<Count>,
    pub(super) end: End,
}

/// That a record is not what a group would make of a fixing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Departure {
    /// The group would make none.
    None(Unrecordable),
    /// It would make one with another value here (the first that differs).
    Differs {
        /// Where.
        field: Field,
    },
}

impl ReleaseRecord {
    /// The record of a fixing as the group stands. Where it would be too long for a release code, the label is left out,
    /// and where that does not do, the counted seconds are given together; that is recorded too.
    ///
    /// # Errors
    /// [`Unrecordable`] for a fixing that is neither released, nor cured where no torque is specified; and when a number
    /// is out of the bounds of a record, which no cure on site comes near.
    pub fn of(group: &Group, fixing: FixingNumber, particulars: &Particulars) -> Result<Self, Unrecordable> {
        let status = group.status(fixing).ok_or(Unrecordable::NoSuchFixing)?;
        let (end, speaks_for) = Self::end_of(group, fixing, &status)?;
        let wrong = |field| Unrecordable::OutOfBounds { field };
        let seated = status.seated_at.ok_or(Unrecordable::Stage)?;
        let injected = status.injected_at.ok_or(Unrecordable::Stage)?;
        let cured = status.cured_at.ok_or(Unrecordable::Stage)?;
        check(Field::Seated, zigzag(seated.seconds()))?;
        check_clock(particulars.clock)?;
        let record = Self {
            particulars: *particulars,
            label_left_out: false,
            fixing,
            rule: group.rule(),
            settings: *group.settings(),
            hole: status.hole,
            seated,
            working: span(Field::Working, injected, seated)?,
            since: span(Field::Since, cured, speaks_for)?,
            required: bounded(Field::Required, status.required)?,
            counted: CountedSeconds::by_band(&status.tally.bands, group.resin().bands().len())?,
            held: bounded(Field::Held, status.tally.held)?,
            unobserved: bounded(Field::Unobserved, status.tally.unobserved)?,
            coldest: status.coldest.ok_or(wrong(Field::Coldest))?,
            outside_at_seating: status.outside_at_seating,
            end,
        };
        check(Field::Coldest, zigzag(i64::from(record.coldest.raw())))?;
        // what follows from the rules is relied on by readers of the record, so it is not taken on trust here
        if record.cured_at() != cured {
            return Err(wrong(Field::Counted));
        }
        if record.shortfall().is_some() {
            return Err(wrong(Field::Required));
        }
        Ok(record.fitted())
    }

    /// How it ended, and the instant that is spoken for.
    fn end_of(group: &Group, fixing: FixingNumber, status: &Status) -> Result<(End, Instant), Unrecordable> {
        match (status.stage, group.torque_range(fixing)) {
            (Stage::Released(released), Some(range)) => {
                let applied = released.torque();
                let below = |less: Torque, more: Torque| more.hundredths().checked_sub(less.hundredths());
                let wrong = |field| Unrecordable::OutOfBounds { field };
                bounded(Field::TorqueLeast, u64::from(range.least().hundredths()))?;
                let over = below(range.least(), applied).ok_or(wrong(Field::TorqueOver))?;
                bounded(Field::TorqueOver, u64::from(over))?;
                let spare = below(applied, range.greatest()).ok_or(wrong(Field::TorqueSpare))?;
                bounded(Field::TorqueSpare, u64::from(spare))?;
                Ok((End::Torqued { applied, range }, released.at()))
            }
            (Stage::Cured(cured), None) => {
                let last = group.last_reading().map_or(cured.at(), |(at, _)| at);
                Ok((End::NoTorque, if last > cured.at() { last } else { cured.at() }))
            }
            (Stage::Released(_), None)
            | (Stage::Cured(_), Some(_))
            | (
                Stage::Planned
                | Stage::Refused
                | Stage::Working
                | Stage::Curing
                | Stage::Held
                | Stage::Rejected(_)
                | Stage::AcceptedAsIs(_)
                | Stage::Removed(_),
                Some(_) | None,
            ) => Err(Unrecordable::Stage),
        }
    }

    /// Leaves out what there is no room for.
    fn fitted(mut self) -> Self {
        if self.length() > MOST_RECORD {
            self.particulars.label = Label::EMPTY;
            self.label_left_out = true;
        }
        if self.length() > MOST_RECORD {
            self.counted = self.counted.together();
        }
        self
    }

    /// Holds the record against what the group makes of the same fixing: the proof that it was worked out right.
    ///
    /// The group must stand where the log stood when the record was made; of a torqued fixing it may have gone on since.
    /// Particulars are not compared.
    ///
    /// # Errors
    /// [`Departure`] names what differs.
    pub fn hold_against(&self, group: &Group) -> Result<(), Departure> {
        let mut made = Self::of(group, self.fixing, &self.particulars).map_err(Departure::None)?;
        if self.counted.is_total() {
            made.counted = made.counted.together();
        }
        match self.first_difference(&made) {
            Some(field) => Err(Departure::Differs { field }),
            None => Ok(()),
        }
    }

    fn first_difference(&self, other: &Self) -> Option<Field> {
        let same = [
            (Field::Rule, self.rule == other.rule),
            (Field::Uncertainty, self.settings.uncertainty() == other.settings.uncertainty()),
            (Field::LongestGap, self.settings.longest_gap() == other.settings.longest_gap()),
            (Field::ClockPpm, self.settings.clock_ppm() == other.settings.clock_ppm()),
            (Field::Settle, self.settings.settle() == other.settings.settle()),
            (Field::Hole, self.hole == other.hole),
            (Field::Seated, self.seated == other.seated),
            (Field::Working, self.working == other.working),
            (Field::Required, self.required == other.required),
            (Field::Counted, self.counted == other.counted),
            (Field::Held, self.held == other.held),
            (Field::Unobserved, self.unobserved == other.unobserved),
            (Field::Coldest, self.coldest == other.coldest),
            (Field::OutsideAtSeating, self.outside_at_seating == other.outside_at_seating),
            (Field::Since, self.since == other.since),
            (Field::End, self.end == other.end),
        ];
        same.into_iter().find(|(_, same)| !same).map(|(field, _)| field)
    }

    /// Required and served seconds, when less was served than required under the coldest-band rule. (What the accrual rule
    /// asks for cannot be told without the resin.)
    pub(super) fn shortfall(&self) -> Option<(u64, u64)> {
        let (required, served) = (self.required_seconds(), self.served_seconds());
        match self.rule {
            Rule::Coldest if served < required => Some((required, served)),
            Rule::Coldest | Rule::Accrual => None,
        }
    }

    /// What the engine does not know: device, key, files, batch, chain head, label, clock. The label is empty where it was
    /// left out.
    pub const fn particulars(&self) -> &Particulars {
        &self.particulars
    }

    /// The label; `None` where there was no room for it.
    pub fn label(&self) -> Option<&str> {
        if self.label_left_out { None } else { Some(self.particulars.label.text()) }
    }

    /// The fixing's number.
    pub const fn fixing(&self) -> FixingNumber {
        self.fixing
    }

    /// The rule of the cure.
    pub const fn rule(&self) -> Rule {
        self.rule
    }

    /// The settings; [`Settings::laxer`] names those that are laxer than their default.
    pub const fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The hole condition in force.
    pub const fn hole(&self) -> Hole {
        self.hole
    }

    /// Start of the injection.
    pub const fn injected_at(&self) -> Instant {
        self.seated.after(-(self.working as i64))
    }

    /// Seating.
    pub const fn seated_at(&self) -> Instant {
        self.seated
    }

    /// The first second at which the cure was complete.
    pub const fn cured_at(&self) -> Instant {
        let seconds = self.counted.total() as i64 + self.held as i64 + self.unobserved as i64;
        self.seated.after(seconds)
    }

    /// Of a torqued fixing the release; else the instant up to which it was seen to stay cured.
    pub const fn speaks_for(&self) -> Instant {
        self.cured_at().after(self.since as i64)
    }

    /// Required seconds of the coldest-band rule, the factor of the hole in them.
    pub const fn required_seconds(&self) -> u64 {
        self.required as u64
    }

    /// Served seconds of the coldest-band rule: counted less the clock allowance (rule C2).
    pub const fn served_seconds(&self) -> u64 {
        served(self.counted.total() as u64, self.settings.clock_ppm())
    }

    /// Counted seconds.
    pub const fn counted(&self) -> &CountedSeconds {
        &self.counted
    }

    /// Held seconds, from the seating to the cure.
    pub const fn held_seconds(&self) -> u64 {
        self.held as u64
    }

    /// Unobserved seconds, from the seating to the cure.
    pub const fn unobserved_seconds(&self) -> u64 {
        self.unobserved as u64
    }

    /// The coldest `low` of rule C3.
    pub const fn coldest(&self) -> Fine {
        self.coldest
    }

    /// Of the accepted readings between injection and seating the one that lay furthest outside the installation limits (rule A5).
    pub const fn outside_at_seating(&self) -> Option<Count> {
        self.outside_at_seating
    }

    /// How it was finished.
    pub const fn end(&self) -> End {
        self.end
    }

    /// Seconds since 1970-01-01T00:00:00Z of an instant, by the tie of the record; `None` where the wall clock is unknown.
    pub const fn utc(&self, at: Instant) -> Option<i64> {
        match self.particulars.clock {
            WallClock::Tied { ahead, .. } => Some(at.seconds().saturating_add(ahead)),
            WallClock::Unknown => None,
        }
    }
}

/// The number in 32 bits, when it lies within the bounds of the field.
fn bounded(field: Field, number: u64) -> Result<u32, Unrecordable> {
    let within = field.within(number).and_then(|within| u32::try_from(within).ok());
    within.ok_or(Unrecordable::OutOfBounds { field })
}

/// Whether a number that may have more bits lies within the bounds of the field.
fn check(field: Field, number: u64) -> Result<(), Unrecordable> {
    match field.within(number) {
        Some(_) => Ok(()),
        None => Err(Unrecordable::OutOfBounds { field }),
    }
}

/// Seconds between two instants that do not lie the wrong way round.
fn span(field: Field, from: Instant, to: Instant) -> Result<u32, Unrecordable> {
    let seconds = u64::try_from(to.since(from)).map_err(|_| Unrecordable::OutOfBounds { field })?;
    bounded(field, seconds)
}

fn check_clock(clock: WallClock) -> Result<(), Unrecordable> {
    match clock {
        WallClock::Tied { ahead, offset_minutes } => {
            check(Field::Ahead, zigzag(ahead))?;
            if offset_minutes.unsigned_abs() > MOST_OFFSET.unsigned_abs() {
                return Err(Unrecordable::OutOfBounds { field: Field::Offset });
            }
            Ok(())
        }
        WallClock::Unknown => Ok(()),
    }
}
