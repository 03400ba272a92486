//! Up to sixteen fixings that share one probe: the one public step.
//!
//! What for: what happened goes in ([`Happening`]), status and events come out. The live device, a replay, a restart
//! and a proof are the same sequence of steps; a group is a value and reads nothing but what it is told.
//! Why this way: every reading is judged once for the whole group, and its seconds are added to one running tally; a
//! fixing's own seconds are the difference to what stood there at its seating. A reading that changes nothing but
//! seconds takes a short path without data-dependent branches; everything else takes the long one, and a differential
//! test holds the two together.
//! Invariants: accepted readings rise in time; an action never lies before an accepted reading; what was decided stays
//! decided.
//! What it does not do: keep a history (the log does), or know wall-clock time, names and units on screens.

mod event;
mod glide;
mod set;
mod step;
#[cfg(test)]
mod tests;

pub use event::{Darkness, Event, Happening, Seconds, Verdict};
pub use set::{FixingSet, Numbers};

use crate::cure::{Recent, Rule, Running, Settings};
use crate::fixing::{
    Accepted, Between, Cleaning, Deed, Demands, Fixing, FixingSpec, Frame, Grounds, Injection, Moment, Stage, Status,
    TorqueRange,
};
use crate::probe::{LOGGER_LOOKS_BACK, LOOKS_BACK, SENSOR_GREATEST, SENSOR_LEAST, Settling};
use crate::quantity::{Count, Instant, Span};
use crate::resin::{Accrual, Resin};
use heapless::Vec;
use step::{Candidate, Latest};

/// Most fixings of one group.
pub const MOST_FIXINGS: usize = 16;
/// A count that stays the same for six hours raises a warning (rule R5).
pub const STUCK_SECONDS: i64 = 6 * 3600;

/// Warmer than any raw count.
const NOT_YET: i32 = i32::MAX;
/// No instant lies before it.
const DISTANT_PAST: Instant = Instant::from_seconds(i64::MIN);

/// Number of a fixing in its group, from 0.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct FixingNumber(u8);

impl FixingNumber {
    /// The fixing with this place, 0 to 15; `None` beyond.
    pub const fn new(place: u8) -> Option<Self> {
        if (place as usize) < MOST_FIXINGS { Some(Self(place)) } else { None }
    }

    /// The place, from 0.
    pub const fn place(self) -> usize {
        self.0 as usize
    }
}

/// Why a group or a fixing cannot be made.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum GroupError {
    /// The resin does not permit the accrual rule.
    AccrualNotPermitted,
    /// The group has as many fixings as it has room for.
    Full,
}

impl core::fmt::Display for GroupError {
    fn fmt(&self, formatter: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        formatter.write_str(match self {
            Self::AccrualNotPermitted => "the resin does not permit the accrual rule",
            Self::Full => "the group has no room for another fixing",
        })
    }
}

impl core::error::Error for GroupError {}

/// How many readings of each kind there were. A candidate that was confirmed is an accepted reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Readings {
    /// Accepted.
    pub accepted: u64,
    /// Refused, and not confirmed later.
    pub refused: u64,
    /// Missing.
    pub missing: u64,
}

/// What the probe has shown, for all fixings.
#[derive(Clone, PartialEq, Eq, Debug)]
struct Watch {
    frame: Frame,
    running: Running,
    /// The last accepted reading; of no meaning before the first (`any`).
    last: Accepted,
    /// Whether a reading has been accepted.
    any: bool,
    latest: Option<Latest>,
    /// A reading was refused or lost, or the logger restarted, since the last accepted reading.
    broken: bool,
    /// The readings before the last one, for a start (R6).
    settling: Settling<LOOKS_BACK>,
    /// What hands have done (H).
    deed: Deed,
}

impl Watch {
    /// The last accepted reading.
    fn last(&self) -> Option<Accepted> {
        self.any.then_some(self.last)
    }

    /// What a fixing is told by, given its own coldest reading.
    fn moment(&self, coldest: i16) -> Moment<'_> {
        self.moment_after(&self.running, coldest)
    }

    /// The same with other running seconds.
    #[cfg_attr(target_os = "none", inline(never))]
    fn moment_after<'a>(&'a self, running: &'a Running, coldest: i16) -> Moment<'a> {
        Moment {
            frame: &self.frame,
            running,
            last: self.last(),
            latest_accepted: self.latest.is_some_and(|latest| latest.accepted),
            broken: self.broken,
            settling: &self.settling,
            coldest,
            deed: &self.deed,
        }
    }
}

/// A group of fixings on one probe, with room for `N` of them, 1 to 16. Each takes its place whether it is there or not; the
/// log keeps groups of sixteen.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Group<const N: usize = MOST_FIXINGS> {
    watch: Watch,
    /// Raw count of each fixing's coldest reading since its injection, up to the last reading on the long path.
    coldest: [i16; N],
    /// Raw count of the coldest reading since then; a full word, so that it is read back with the width it was
    /// written with (a narrower field is read together with its neighbour, which stalls the next reading).
    coldest_since: i32,
    /// Counted seconds of the short path since the last reading on the long one.
    recent: Recent,
    /// The last accepted reading's time when the long path ended.
    recent_from: Instant,
    /// Since when the last accepted count has not changed.
    same_since: Instant,
    /// Raw counts between which a reading needs no judgement of its own.
    calm: Between,
    /// The longest gap of the settings, in seconds.
    longest_gap: i64,
    /// From this instant on a reading takes the long path; the distant past when every reading must.
    attention_at: Instant,
    /// No fixing uses a reading from before this instant, unless that reading rejects by itself: none is in its working
    /// window, and no cure and no hold can be complete. The distant past when it is not known.
    quiet_until: Instant,
    /// Whether a fixing may be in its working time, which ends by itself.
    unseated: bool,
    readings: Readings,
    candidate: Option<Candidate>,
    /// The run of equal counts that was warned of last, by its beginning.
    stuck_told: Option<Instant>,
    /// In a list whose unused places are nothing at all: an empty group is made without a copy of it on the stack.
    fixings: Vec<Fixing, N>,
}

/// Whether the resin permits the rule (C4).
fn permitted(resin: &Resin, rule: Rule) -> Result<(), GroupError> {
    match (rule, resin.accrual()) {
        (Rule::Accrual, Accrual::Forbidden) => Err(GroupError::AccrualNotPermitted),
        (Rule::Accrual, Accrual::Permitted) | (Rule::Coldest, _) => Ok(()),
    }
}

impl Group {
    /// An empty group with room for sixteen fixings.
    ///
    /// # Errors
    /// As [`Self::with_room`].
    pub fn new(resin: Resin, settings: Settings, rule: Rule) -> Result<Self, GroupError> {
        Self::with_room(resin, settings, rule)
    }
}

impl<const N: usize> Group<N> {
    /// An empty group with room for `N` fixings.
    ///
    /// # Errors
    /// [`GroupError::AccrualNotPermitted`] when the accrual rule is asked of a resin that does not permit it (C4).
    pub fn with_room(resin: Resin, settings: Settings, rule: Rule) -> Result<Self, GroupError> {
        const { assert!(1 <= N && N <= MOST_FIXINGS, "a group has room for 1 to 16 fixings") };
        permitted(&resin, rule)?;
        let frame = Frame::new(resin, settings, rule);
        Ok(Self {
            calm: frame.calm(SENSOR_LEAST, SENSOR_GREATEST),
            longest_gap: i64::from(settings.longest_gap().seconds()),
            watch: Watch {
                frame,
                running: Running::ZERO,
                last: Accepted { at: Instant::from_seconds(0), raw: 0 },
                any: false,
                latest: None,
                broken: false,
                settling: Settling::new(),
                deed: Deed::NONE,
            },
            coldest: [i16::MAX; N],
            coldest_since: NOT_YET,
            recent: Recent::NONE,
            recent_from: Instant::from_seconds(0),
            same_since: Instant::from_seconds(0),
            attention_at: DISTANT_PAST,
            quiet_until: DISTANT_PAST,
            unseated: false,
            readings: Readings::default(),
            candidate: None,
            stuck_told: None,
            fixings: Vec::new(),
        })
    }

    #[cfg(feature = "log")] // only a replay learns of them later
    /// Gives an empty group other settings and another rule.
    ///
    /// # Errors
    /// As [`Self::with_room`]; nothing has changed.
    pub(crate) fn set_up(&mut self, settings: Settings, rule: Rule) -> Result<(), GroupError> {
        permitted(self.resin(), rule)?;
        let frame = Frame::new(self.resin().clone(), settings, rule);
        self.calm = frame.calm(SENSOR_LEAST, SENSOR_GREATEST);
        self.longest_gap = i64::from(settings.longest_gap().seconds());
        self.watch.frame = frame;
        Ok(())
    }

    /// Adds a planned fixing.
    ///
    /// # Errors
    /// [`GroupError::Full`] when there is no room for it.
    pub fn add(&mut self, spec: &FixingSpec) -> Result<FixingNumber, GroupError> {
        let place = self.fixings.len() as u8; // at most sixteen
        self.fixings.push(Fixing::new(spec)).map_err(|_| GroupError::Full)?;
        Ok(FixingNumber(place))
    }

    /// The numbers of the fixings.
    pub fn fixings(&self) -> impl Iterator<Item = FixingNumber> + use<N> {
        (0..self.fixings.len() as u8).map(FixingNumber)
    }

    /// The status of a fixing by what has been told so far; `None` where there is no such fixing.
    pub fn status(&self, number: FixingNumber) -> Option<Status> {
        let fixing = self.fixings.get(number.place())?;
        let stopped = match (self.watch.latest, self.watch.last()) {
            (Some(latest), Some(last)) => latest.at.since(last.at) > self.longest_gap,
            (_, None) => true,
            (None, Some(_)) => false,
        };
        let mut running = self.watch.running;
        running.take_in(&self.recent, self.recent_elapsed());
        let coldest = self.coldest.get(number.place()).copied().unwrap_or(i16::MAX);
        Some(fixing.status(&self.watch.moment_after(&running, self.colder(coldest)), stopped))
    }

    /// The stage that [`Self::status`] gives. What is looked at in every step of a run loop asks for this: the whole status is
    /// long divisions, sixteen times.
    pub fn stage(&self, number: FixingNumber) -> Option<Stage> {
        // a stage rests on no running seconds but those that were taken in
        Some(self.fixings.get(number.place())?.stage(&self.watch.moment(i16::MAX)))
    }

    #[cfg(feature = "log")] // only the log records them
    /// The grounds that [`Self::status`] gives.
    pub(crate) fn grounds(&self, number: FixingNumber) -> Option<Grounds> {
        Some(self.fixings.get(number.place())?.grounds())
    }

    /// Every ground that would be against an injection at `at`, as the group stands (rule A1); nothing changes. `None` where
    /// there is no such fixing. What decides is the injection itself, with a reading of its own.
    pub fn start_grounds(&self, number: FixingNumber, at: Instant, injection: &Injection) -> Option<Grounds> {
        let fixing = self.fixings.get(number.place())?;
        Some(fixing.would_refuse(&self.watch.moment(i16::MAX), at, injection))
    }

    /// The specified torque of a fixing; `None` where none is specified, or there is no such fixing.
    pub fn torque_range(&self, number: FixingNumber) -> Option<TorqueRange> {
        self.fixings.get(number.place())?.torque_range()
    }

    /// How many readings of each kind there were.
    pub const fn readings(&self) -> Readings {
        self.readings
    }

    /// Time and count of the last accepted reading.
    pub fn last_reading(&self) -> Option<(Instant, Count)> {
        self.watch.last().map(|last| (last.at, Count::new(last.raw)))
    }

    /// How long it takes at least until the probe has settled, if it keeps the last accepted reading; zero when it has (rule R6).
    /// For showing only: what decides is the injection itself.
    pub fn still_settling(&self) -> Span {
        self.watch.settling.still(self.watch.last.raw, &self.watch.frame.settings)
    }

    /// From here on the group looks back over no more readings than a logger can (rule R6), so that a replay of its log comes to
    /// the same.
    pub fn look_back_as_a_logger(&mut self) {
        self.watch.settling.keep(LOGGER_LOOKS_BACK);
    }

    /// Whether `low` or `high` of the last accepted reading lies outside the limits (rule S2), in-hole readings left
    /// aside: the cure of the group is held.
    pub fn is_outside(&self) -> bool {
        self.watch.last().is_some_and(|last| self.watch.frame.is_outside(last.raw))
    }

    /// The resin.
    pub const fn resin(&self) -> &Resin {
        &self.watch.frame.resin
    }

    /// The settings.
    pub const fn settings(&self) -> &Settings {
        &self.watch.frame.settings
    }

    /// What the job demands of hands (section H of `docs/cure-rules.md`): nothing, unless [`Self::demand`] said so.
    pub const fn demands(&self) -> &Demands {
        &self.watch.deed.demands
    }

    /// Says what the job demands of hands; to be said before anything happens.
    pub const fn demand(&mut self, demands: Demands) {
        self.watch.deed.demands = demands;
    }

    /// The cleaning that is being done: how far it is along the prescribed steps.
    pub const fn cleaning(&self) -> Option<Cleaning> {
        self.watch.deed.cleaning
    }

    /// The rule.
    pub const fn rule(&self) -> Rule {
        self.watch.frame.rule
    }

    /// The colder of a fixing's coldest reading and of those on the short path since.
    fn colder(&self, coldest: i16) -> i16 {
        i16::try_from(self.coldest_since).map_or(coldest, |since| since.min(coldest))
    }

    /// Observed seconds since the long path ended.
    fn recent_elapsed(&self) -> u64 {
        u64::try_from(self.watch.last.at.since(self.recent_from)).unwrap_or(0)
    }
}
