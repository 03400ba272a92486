//! State of one fixing, and what actions and readings make of it.

use super::course::{Course, Mark, Stretch};
use super::declare::{HoleWork, hottest_at_start, is_even};
use super::{
    Action, Decision, Deed, Fact, FixingSpec, Frame, Ground, Grounds, IN_HOLE_SECONDS, Injection, Needs, NotApplicable,
    Rejection, Released, SeatingFacts, TorqueRange,
};
use crate::cure::{Class, Running, Tally};
use crate::probe::{LOOKS_BACK, SENSOR_GREATEST, SENSOR_LEAST, Settling};
use crate::quantity::{Count, Fine, Instant, Torque};
use crate::resin::Hole;

/// An accepted reading.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Accepted {
    pub(crate) at: Instant,
    pub(crate) raw: i16,
}

/// The stretch between two accepted readings (R3): raw counts of the colder and of the warmer one.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Interval {
    pub(crate) from: Instant,
    pub(crate) to: Instant,
    pub(crate) coldest: i16,
    pub(crate) warmest: i16,
    pub(crate) observed: bool,
}

impl Interval {
    /// The class of its seconds where the in-hole reading `cap`, if any, limits its `low` (A3).
    pub(crate) fn class(&self, frame: &Frame, cap: Option<i16>) -> Class {
        if self.observed {
            frame.class(cap.map_or(self.coldest, |cap| cap.min(self.coldest)), self.warmest)
        } else {
            Class::Unobserved
        }
    }

    /// The interval's part from `start` on: its beginning and its seconds.
    pub(crate) fn since(&self, start: Instant) -> (Instant, u64) {
        let from = if self.from > start { self.from } else { start };
        (from, u64::try_from(self.to.since(from)).unwrap_or(0))
    }
}

/// What the group knows when something happens.
pub(crate) struct Moment<'a> {
    pub(crate) frame: &'a Frame,
    /// Seconds by class up to the last accepted reading.
    pub(crate) running: &'a Running,
    /// The last accepted reading.
    pub(crate) last: Option<Accepted>,
    /// Whether the latest reading of any kind is the last accepted one.
    pub(crate) latest_accepted: bool,
    /// Whether a reading was refused or lost, or the logger restarted, since the last accepted reading.
    pub(crate) broken: bool,
    /// The accepted readings before the last one (R6).
    pub(crate) settling: &'a Settling<LOOKS_BACK>,
    /// Raw count of the fixing's coldest reading since the last one at or before its injection.
    pub(crate) coldest: i16,
    /// What the job demands of hands, and how far it is done (H3, H4).
    pub(crate) deed: &'a Deed,
}

impl Moment<'_> {
    /// Whether the stretch from the last accepted reading to `to` is unobserved, judged as if it ended there (A2).
    pub(super) fn unobserved_to(&self, to: Instant) -> bool {
        let gap = i64::from(self.frame.settings.longest_gap().seconds());
        self.last.is_none_or(|last| self.broken || to.since(last.at) > gap)
    }
}

/// Where a fixing stands inside the engine; [`super::Stage`] is what is shown of it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Phase {
    Planned,
    Refused,
    Working,
    /// Not seated by the end of the working time; a seating that follows makes it `seated-late`.
    Overrun,
    /// Seated; the interval in which it was seated is not closed yet, so the working time is still open to judgement.
    Closing,
    /// Seated and counting; whether it is cured says the course in force.
    Curing,
    Released,
    Rejected,
    AcceptedAsIs,
    Removed,
}

/// What became of a fixing through one reading or action.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Change {
    Nothing,
    StartRefused(Grounds),
    Started,
    Seated,
    HoleStricter,
    Cured(Instant),
    /// A stricter hole condition undid the cure (A4).
    Withdrawn,
    /// A stricter hole condition moved the cure, or what it rests on (A4).
    CureMoved(Instant),
    TorqueNoted,
    Released,
    Rejected(Rejection),
    Decided(Decision),
}

/// One fixing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Fixing {
    pub(super) hole: Hole,
    pub(super) torque_range: Option<TorqueRange>,
    pub(super) phase: Phase,
    pub(super) hole_work: HoleWork,
    pub(super) seated: Option<Instant>,
    latest_action: Option<Instant>,
    /// Raw count of the in-hole reading (A3).
    pub(super) cap: Option<i16>,
    /// The cartridge's temperature as it was declared at the last start.
    pub(super) cartridge: Option<Count>,
    /// Highest `high` of the working window so far (A2).
    pub(super) hottest: Fine,
    /// Whether part of the working window was not observed (A2).
    pub(super) blind: bool,
    /// The group's running seconds at the seating.
    pub(super) mark: Running,
    pub(super) dry: Course,
    pub(super) wet: Course,
    pub(super) refusal: Grounds,
    pub(super) rejection: Option<Rejection>,
    pub(super) released: Option<Released>,
    pub(super) torque: Option<Torque>,
    /// Raw count of the accepted reading between injection and seating that lay furthest outside the installation limits (A5).
    pub(super) outside_at_seating: Option<i16>,
    pub(super) decision: Option<Decision>,
    /// What was declared of the seating (H5).
    pub(super) facts: SeatingFacts,
}

impl Fixing {
    pub(crate) const fn new(spec: &FixingSpec) -> Self {
        Self {
            hole: spec.hole,
            torque_range: spec.torque,
            phase: Phase::Planned,
            hole_work: HoleWork::Uncleaned,
            seated: None,
            latest_action: None,
            cap: None,
            cartridge: None,
            hottest: Fine::new(i32::MIN),
            blind: false,
            mark: Running::ZERO,
            dry: Course::Open,
            wet: Course::Open,
            refusal: Grounds::NONE,
            rejection: None,
            released: None,
            torque: None,
            outside_at_seating: None,
            decision: None,
            facts: SeatingFacts { excess: Fact::NotDeclared, depth: Fact::NotDeclared },
        }
    }

    /// Applies an action. `coldest` is the fixing's place in the group's list of coldest readings.
    pub(crate) fn act(
        &mut self,
        moment: &Moment<'_>,
        coldest: &mut i16,
        at: Instant,
        action: Action,
    ) -> Result<Change, NotApplicable> {
        let before_last = match action {
            Action::TorquedEarly(_) => false,
            Action::Inject(_)
            | Action::CarriedOut
            | Action::Seat
            | Action::Hole(_)
            | Action::Torque(_)
            | Action::Declare(_)
            | Action::Decide(_) => moment.last.is_some_and(|last| at < last.at),
        };
        if before_last || self.latest_action.is_some_and(|latest| at < latest) {
            return Err(NotApplicable::Earlier);
        }
        let change = match action {
            Action::Inject(injection) => self.inject(moment, coldest, at, &injection)?,
            Action::CarriedOut => self.carried_out(at)?,
            Action::Seat => self.seat(moment, at)?,
            Action::Hole(hole) => self.stricter(moment, at, hole)?,
            Action::Torque(torque) => self.torqued(moment, at, torque)?,
            Action::TorquedEarly(torque) => self.torqued_early(moment, at, torque)?,
            Action::Decide(decision) => self.decide(decision)?,
            Action::Declare(declaration) => self.declare(moment, at, declaration)?,
        };
        self.latest_action = Some(at);
        Ok(change)
    }

    fn inject(
        &mut self,
        moment: &Moment<'_>,
        coldest: &mut i16,
        at: Instant,
        injection: &Injection,
    ) -> Result<Change, NotApplicable> {
        match self.phase {
            Phase::Planned | Phase::Refused => {}
            Phase::Working
            | Phase::Overrun
            | Phase::Closing
            | Phase::Curing
            | Phase::Released
            | Phase::Rejected
            | Phase::AcceptedAsIs
            | Phase::Removed => return Err(NotApplicable::Stage),
        }
        if let Some(in_hole) = injection.in_hole {
            if !(0..=IN_HOLE_SECONDS).contains(&at.since(in_hole.at)) {
                return Err(NotApplicable::InHoleTime);
            }
            if in_hole.count < SENSOR_LEAST || in_hole.count > SENSOR_GREATEST {
                return Err(NotApplicable::InHoleRange);
            }
        }
        let frame = moment.frame;
        let in_hole = injection.in_hole.map(|in_hole| in_hole.count.raw());
        let (grounds, reading) = self.start_grounds(moment, at, injection);
        self.cartridge = injection.cartridge.map(|cartridge| cartridge.count);
        let Some(reading) = reading.filter(|_| grounds.is_empty()) else {
            self.phase = Phase::Refused;
            self.refusal = grounds;
            return Ok(Change::StartRefused(grounds));
        };
        self.phase = Phase::Working;
        self.refusal = Grounds::NONE;
        self.hole_work = HoleWork::Injected {
            at,
            cleaned: self.is_clean(moment, at),
            even: is_even(moment, at, reading, injection),
        };
        self.cap = in_hole;
        *coldest = in_hole.map_or(reading, |in_hole| in_hole.min(reading));
        self.hottest = hottest_at_start(frame, reading, injection);
        self.blind = false;
        let rejects = frame.rejects(reading).and(in_hole.map_or(Grounds::NONE, |raw| frame.rejects(raw)));
        if rejects.is_empty() {
            return Ok(Change::Started);
        }
        Ok(self.reject(Mark::new(at, Tally::ZERO, *coldest), Rejection { at, grounds: rejects }))
    }

    /// Every ground against a start (A1).
    pub(crate) fn would_refuse(&self, moment: &Moment<'_>, at: Instant, injection: &Injection) -> Grounds {
        self.start_grounds(moment, at, injection).0
    }

    /// Every ground against a start (A1), and the raw count of the reading it is judged by.
    fn start_grounds(&self, moment: &Moment<'_>, at: Instant, injection: &Injection) -> (Grounds, Option<i16>) {
        let frame = moment.frame;
        let resin = &frame.resin;
        let cartridge = injection.cartridge.is_some_and(|cartridge| {
            cartridge.judged < resin.cartridge_least() || cartridge.judged > resin.cartridge_greatest()
        });
        let mut grounds = Grounds::NONE
            .with_if(injection.past_from.is_some_and(|past| at >= past), Ground::PastDate)
            .with_if(cartridge, Ground::Cartridge)
            .with_if(!resin.holes().allows(self.hole), Ground::HoleExcluded)
            .with_if(
                moment.deed.demands.cleaning() == Needs::Required && !self.is_clean(moment, at),
                Ground::NotCleaned,
            );
        let gap = i64::from(frame.settings.longest_gap().seconds());
        let reading =
            moment.last.filter(|last| moment.latest_accepted && at.since(last.at) <= gap).map(|last| last.raw);
        match reading {
            None => grounds = grounds.with(Ground::NoReading),
            Some(raw) => {
                let unsettled = injection.in_hole.is_none() && !moment.settling.is_settled(raw, &frame.settings);
                let in_hole = injection.in_hole.map_or(raw, |in_hole| in_hole.count.raw());
                let limits = resin.limits();
                grounds = grounds
                    .with_if(unsettled, Ground::ProbeNotSettled)
                    .with_if(frame.low(raw.min(in_hole)) < limits.install_least.fine(), Ground::TooCold)
                    .with_if(frame.high(raw.max(in_hole)) > limits.install_greatest.fine(), Ground::TooWarm);
            }
        }
        let nozzle = moment.deed.demands.nozzle() == Needs::Required && !is_even(moment, at, reading, injection);
        (grounds.with_if(nozzle, Ground::Nozzle), reading)
    }

    fn carried_out(&mut self, at: Instant) -> Result<Change, NotApplicable> {
        match self.phase {
            Phase::Refused => {
                let mark = Mark::new(at, Tally::ZERO, i16::MAX);
                Ok(self.reject(mark, Rejection { at, grounds: self.refusal }))
            }
            Phase::Planned
            | Phase::Working
            | Phase::Overrun
            | Phase::Closing
            | Phase::Curing
            | Phase::Released
            | Phase::Rejected
            | Phase::AcceptedAsIs
            | Phase::Removed => Err(NotApplicable::Stage),
        }
    }

    fn seat(&mut self, moment: &Moment<'_>, at: Instant) -> Result<Change, NotApplicable> {
        match self.phase {
            Phase::Working => {
                self.seated = Some(at);
                if self.window_reaches(moment, at) && moment.unobserved_to(at) {
                    self.blind = true;
                }
                if self.late(moment.frame, at) {
                    let mark = Mark::new(at, Tally::ZERO, moment.coldest);
                    return Ok(self.reject(mark, Rejection::new(at, Ground::SeatedLate)));
                }
                self.phase = Phase::Closing;
                Ok(Change::Seated)
            }
            Phase::Overrun => {
                self.seated = Some(at);
                let since = self.rejection.map_or(at, |rejection| rejection.at);
                let mark = Mark::new(at, Tally::ZERO, moment.coldest);
                Ok(self.reject(mark, Rejection::new(since, Ground::SeatedLate)))
            }
            Phase::Planned
            | Phase::Refused
            | Phase::Closing
            | Phase::Curing
            | Phase::Released
            | Phase::Rejected
            | Phase::AcceptedAsIs
            | Phase::Removed => Err(NotApplicable::Stage),
        }
    }

    fn stricter(&mut self, moment: &Moment<'_>, at: Instant, hole: Hole) -> Result<Change, NotApplicable> {
        match self.phase {
            Phase::Planned | Phase::Refused | Phase::Working | Phase::Closing | Phase::Curing => {}
            Phase::Overrun | Phase::Released | Phase::Rejected | Phase::AcceptedAsIs | Phase::Removed => {
                return Err(NotApplicable::Stage);
            }
        }
        if hole <= self.hole {
            return Err(NotApplicable::NotStricter);
        }
        let started = match self.phase {
            Phase::Working | Phase::Closing | Phase::Curing => true,
            Phase::Planned
            | Phase::Refused
            | Phase::Overrun
            | Phase::Released
            | Phase::Rejected
            | Phase::AcceptedAsIs
            | Phase::Removed => false,
        };
        if started && !moment.frame.resin.holes().allows(hole) {
            return Ok(self.reject(self.mark_at(moment, at), Rejection::new(at, Ground::HoleExcluded)));
        }
        let was_cured = self.is_cured();
        self.hole = hole;
        // a dry hole found wet after its cleaning is cleaned again (H3)
        match self.hole_work {
            HoleWork::Uncleaned | HoleWork::Cleaned { .. } => self.hole_work = HoleWork::Uncleaned,
            HoleWork::Injected { .. } => {}
        }
        // what a wet hole would have come to from the beginning (A4)
        if let (Phase::Curing, Course::Rejected(_, rejection)) = (self.phase, &self.wet) {
            let rejection = *rejection;
            self.phase = Phase::Rejected;
            self.rejection = Some(rejection);
            return Ok(Change::Rejected(rejection));
        }
        Ok(match (was_cured, self.course()) {
            (true, Course::Cured(mark)) => Change::CureMoved(mark.at),
            (true, Course::Open | Course::Rejected(..)) => Change::Withdrawn,
            (false, _) => Change::HoleStricter,
        })
    }

    fn torqued(&mut self, moment: &Moment<'_>, at: Instant, torque: Torque) -> Result<Change, NotApplicable> {
        let cured = match self.phase {
            Phase::Working | Phase::Closing => false,
            Phase::Curing => self.is_cured(),
            Phase::Released => true,
            Phase::Planned
            | Phase::Refused
            | Phase::Overrun
            | Phase::Rejected
            | Phase::AcceptedAsIs
            | Phase::Removed => return Err(NotApplicable::Stage),
        };
        self.torque = Some(torque);
        let mark = self.mark_at(moment, at);
        if !cured {
            return Ok(self.reject(mark, Rejection::new(at, Ground::LoadedEarly)));
        }
        match self.torque_range {
            Some(range) if torque > range.greatest() => {
                return Ok(self.reject(mark, Rejection::new(at, Ground::OverTorque)));
            }
            Some(range) if torque >= range.least() && self.phase != Phase::Released => {
                self.phase = Phase::Released;
                self.released = Some(Released::new(at, torque));
                return Ok(Change::Released);
            }
            Some(_) | None => {}
        }
        self.load_wet(mark);
        Ok(Change::TorqueNoted)
    }

    /// A torque on the cured fixing: should the hole turn out wet, it came before the cure (A4, E1), specified or not.
    fn load_wet(&mut self, mark: Mark) {
        if self.wet.is_open() {
            self.wet = Course::Rejected(mark, Rejection::new(mark.at, Ground::LoadedEarly));
        }
    }

    /// A torque before the cure is reported, dated to when the report was begun: what was accepted since then does not count (R4).
    fn torqued_early(&mut self, moment: &Moment<'_>, at: Instant, torque: Torque) -> Result<Change, NotApplicable> {
        match self.phase {
            Phase::Closing | Phase::Curing => {}
            Phase::Released => return Err(NotApplicable::Cured),
            Phase::Planned
            | Phase::Refused
            | Phase::Working
            | Phase::Overrun
            | Phase::Rejected
            | Phase::AcceptedAsIs
            | Phase::Removed => return Err(NotApplicable::Stage),
        }
        let mark = self.mark_at(moment, at);
        match self.course() {
            Course::Cured(cured) if cured.known() <= at => {
                self.load_wet(mark);
                return Err(NotApplicable::Cured);
            }
            Course::Open | Course::Cured(_) | Course::Rejected(..) => {}
        }
        self.torque = Some(torque);
        Ok(self.reject(mark, Rejection::new(at, Ground::LoadedEarly)))
    }

    fn decide(&mut self, decision: Decision) -> Result<Change, NotApplicable> {
        match (self.phase, decision) {
            (Phase::Overrun | Phase::Rejected, Decision::Accept) => self.phase = Phase::AcceptedAsIs,
            (Phase::Overrun | Phase::Rejected | Phase::AcceptedAsIs, Decision::Remove) => self.phase = Phase::Removed,
            (
                Phase::Planned
                | Phase::Refused
                | Phase::Working
                | Phase::Closing
                | Phase::Curing
                | Phase::Released
                | Phase::AcceptedAsIs
                | Phase::Removed,
                Decision::Accept | Decision::Remove,
            ) => return Err(NotApplicable::Stage),
        }
        self.decision = Some(decision);
        Ok(Change::Decided(decision))
    }

    /// A log that cannot be trusted never yields cured or released (E4).
    pub(crate) fn distrust(&mut self, moment: &Moment<'_>, at: Instant) -> Change {
        match self.phase {
            Phase::Working | Phase::Closing | Phase::Curing | Phase::Released => {
                self.reject(self.mark_at(moment, at), Rejection::new(at, Ground::UntrustedLog))
            }
            Phase::Planned
            | Phase::Refused
            | Phase::Overrun
            | Phase::Rejected
            | Phase::AcceptedAsIs
            | Phase::Removed => Change::Nothing,
        }
    }

    /// The logger was dark for a time nobody knows (E4).
    pub(crate) fn unknown_dark(&mut self, moment: &Moment<'_>, at: Instant) -> Change {
        let mark = self.mark_at(moment, at);
        match self.phase {
            Phase::Working => self.reject(mark, Rejection::new(at, Ground::NotSeated)),
            Phase::Closing | Phase::Curing if moment.frame.resin.limits().longest_hold.is_some() => {
                self.reject_open(mark, Rejection::new(at, Ground::HeldTooLong))
            }
            Phase::Planned
            | Phase::Refused
            | Phase::Overrun
            | Phase::Closing
            | Phase::Curing
            | Phase::Released
            | Phase::Rejected
            | Phase::AcceptedAsIs
            | Phase::Removed => Change::Nothing,
        }
    }

    /// Rejects whatever the courses say; they keep a cure that was reached before.
    pub(super) fn reject(&mut self, mark: Mark, rejection: Rejection) -> Change {
        for course in [&mut self.dry, &mut self.wet] {
            if course.is_open() {
                *course = Course::Rejected(mark, rejection);
            }
        }
        self.phase = Phase::Rejected;
        self.rejection = Some(rejection);
        Change::Rejected(rejection)
    }

    /// Rejects what is still open: a fixing that is cured stays so, unless its hole turns out wet.
    pub(super) fn reject_open(&mut self, mark: Mark, rejection: Rejection) -> Change {
        let open = self.course().is_open();
        if open {
            return self.reject(mark, rejection);
        }
        if self.wet.is_open() {
            self.wet = Course::Rejected(mark, rejection);
        }
        Change::Nothing
    }

    /// Whether its working time runs.
    pub(crate) const fn is_working(&self) -> bool {
        matches!(self.phase, Phase::Working)
    }

    /// Whether its working window is still open to judgement: its working time runs, or the interval of its seating is not closed.
    pub(crate) const fn is_in_window(&self) -> bool {
        matches!(self.phase, Phase::Working | Phase::Closing)
    }

    /// The course under the hole condition in force.
    pub(super) const fn course(&self) -> &Course {
        match self.hole {
            Hole::Dry => &self.dry,
            Hole::Wet | Hole::Flooded => &self.wet,
        }
    }

    pub(super) fn is_cured(&self) -> bool {
        match self.course() {
            Course::Cured(_) => true,
            Course::Open | Course::Rejected(..) => false,
        }
    }

    /// Where the cure stands at an action.
    pub(super) fn mark_at(&self, moment: &Moment<'_>, at: Instant) -> Mark {
        Mark::new(at, self.tally(moment), moment.coldest)
    }

    /// Seconds since seating by class, up to the last accepted reading.
    pub(super) fn tally(&self, moment: &Moment<'_>) -> Tally {
        if self.phase == Phase::Curing { self.tally_of(moment.frame, moment.running) } else { Tally::ZERO }
    }

    /// Seconds since seating by class, under the in-hole reading if there is one (A3).
    pub(super) fn tally_of(&self, frame: &Frame, running: &Running) -> Tally {
        let tally = running.since(&self.mark);
        match self.cap {
            None => tally,
            Some(cap) if frame.too_cold(cap) => tally.all_held(),
            Some(cap) => tally.capped_at_band(frame.band_place(cap)),
        }
    }

    /// The stretch of an interval in which the cure went on, with the standing at its end.
    pub(super) fn stretch(&self, frame: &Frame, running: &Running, interval: &Interval, coldest: i16) -> Stretch {
        let (from, seconds) = interval.since(self.seated.unwrap_or(interval.to));
        let class = interval.class(frame, self.cap);
        Stretch { from, seconds, class, after: self.tally_of(frame, running), coldest }
    }
}
