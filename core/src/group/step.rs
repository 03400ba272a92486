//! The one public step, and its long path.

use super::{Darkness, Event, FixingNumber, Group, Happening, NOT_YET, STUCK_SECONDS, Seconds, Verdict};
use crate::cure::{Recent, Running};
use crate::fixing::{Accepted, Action, Asked, Change, Declaration, Fixing, Interval, Moment, NotApplicable};
use crate::probe::{Refusal, SENSOR_GREATEST, SENSOR_LEAST, within_step};
use crate::quantity::{Count, Instant};

/// A refused reading that the very next one may confirm (rule R2c).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Candidate {
    at: Instant,
    raw: i16,
    /// Whether the logger restarted since it came.
    restarted: bool,
}

/// The latest reading of any kind, in the order of arrival.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Latest {
    pub(super) at: Instant,
    pub(super) accepted: bool,
}

impl<const N: usize> Group<N> {
    /// What happened goes in; it returns the verdict and calls `tell` with every resulting event, in order. Afterwards
    /// [`Group::status`] says where each fixing stands.
    #[inline]
    pub fn step(&mut self, what: Happening, tell: &mut (impl FnMut(Event) + ?Sized)) -> Verdict {
        match what {
            Happening::Reading { at, count } => {
                if self.glide(at, count, tell) {
                    return Verdict::Accepted;
                }
                self.reading_long(at, count, &mut |event| tell(event))
            }
            Happening::Unusable { .. }
            | Happening::Missing { .. }
            | Happening::Lost { .. }
            | Happening::Action { .. }
            | Happening::PowerUp { .. }
            | Happening::Untrusted => self.step_long(what, &mut |event| tell(event)),
        }
    }

    /// The long path of a reading; apart, so that the short one hands it over in registers.
    #[inline(never)]
    fn reading_long(&mut self, at: Instant, count: Count, tell: &mut dyn FnMut(Event)) -> Verdict {
        if self.renew_attention(at) && self.glide(at, count, tell) {
            return Verdict::Accepted;
        }
        self.step_long(Happening::Reading { at, count }, tell)
    }

    /// The long path: the rules as they are written.
    #[inline(never)]
    fn step_long(&mut self, what: Happening, tell: &mut dyn FnMut(Event)) -> Verdict {
        let verdict = match what {
            Happening::Reading { at, count } => self.reading(at, count, tell),
            Happening::Unusable { at, cause } => self.unusable(at, cause, tell),
            Happening::Missing { at } => {
                self.readings.missing = self.readings.missing.wrapping_add(1);
                self.watch.latest = Some(Latest { at, accepted: false });
                self.time_passes(at, tell);
                Verdict::Missing
            }
            Happening::Lost { at } => {
                self.readings.missing = self.readings.missing.wrapping_add(1);
                self.watch.latest = Some(Latest { at, accepted: false });
                // what was lost may have been refused, and would have come between a candidate and the next reading
                self.watch.broken = true;
                self.candidate = None;
                self.time_passes(at, tell);
                Verdict::Missing
            }
            Happening::Action { at, fixing, action } => {
                self.look_anew();
                self.act(at, fixing, action, tell)
            }
            Happening::PowerUp { dark } => {
                self.look_anew();
                self.power_up(dark, tell)
            }
            Happening::Untrusted => {
                self.look_anew();
                let at = self.now();
                self.each(at, tell, &mut |fixing, moment| fixing.distrust(moment, at));
                Verdict::Done
            }
        };
        self.pay_attention();
        verdict
    }

    fn reading(&mut self, at: Instant, count: Count, tell: &mut dyn FnMut(Event)) -> Verdict {
        let raw = count.raw();
        if let Some(last) = self.watch.last()
            && at <= last.at
        {
            return self.refuse(at, Refusal::NotLater, None, tell);
        }
        if count < SENSOR_LEAST || count > SENSOR_GREATEST {
            return self.refuse(at, Refusal::OutOfRange, None, tell);
        }
        let reading = Accepted { at, raw };
        let confirmed = self
            .candidate
            .filter(|candidate| at > candidate.at && within_step(candidate.raw, raw, at.since(candidate.at)));
        if let Some(candidate) = confirmed {
            self.readings.refused = self.readings.refused.wrapping_sub(1);
            tell(Event::CandidateAccepted { at: candidate.at, count: Count::new(candidate.raw) });
            self.accept(Accepted { at: candidate.at, raw: candidate.raw }, tell);
            self.watch.broken = candidate.restarted;
            self.accept(reading, tell);
            return Verdict::AcceptedWithCandidate;
        }
        match self.watch.last() {
            Some(last) if !within_step(last.raw, raw, at.since(last.at)) => {
                self.refuse(at, Refusal::Step, Some(Candidate { at, raw, restarted: false }), tell)
            }
            Some(_) | None => {
                self.accept(reading, tell);
                Verdict::Accepted
            }
        }
    }

    fn unusable(&mut self, at: Instant, cause: Refusal, tell: &mut dyn FnMut(Event)) -> Verdict {
        let late = self.watch.last().is_some_and(|last| at <= last.at);
        self.refuse(at, if late { Refusal::NotLater } else { cause }, None, tell)
    }

    /// Refuses a reading; `candidate` is the reading itself where the next one may confirm it.
    fn refuse(
        &mut self,
        at: Instant,
        cause: Refusal,
        candidate: Option<Candidate>,
        tell: &mut dyn FnMut(Event),
    ) -> Verdict {
        self.readings.refused = self.readings.refused.wrapping_add(1);
        self.candidate = candidate;
        self.watch.broken = true;
        self.watch.latest = Some(Latest { at, accepted: false });
        if cause != Refusal::NotLater {
            self.time_passes(at, tell);
        }
        Verdict::Refused(cause)
    }

    fn accept(&mut self, reading: Accepted, tell: &mut dyn FnMut(Event)) {
        if self.watch.broken {
            self.watch.settling.break_off();
        } else if let Some(last) = self.watch.last() {
            self.watch.settling.follow(last.raw, reading.at.since(last.at));
        }
        let interval = self.watch.last().map(|last| Interval {
            from: last.at,
            to: reading.at,
            coldest: last.raw.min(reading.raw),
            warmest: last.raw.max(reading.raw),
            observed: !self.watch.broken && reading.at.since(last.at) <= self.longest_gap,
        });
        self.settle();
        self.coldest_since = i32::from(reading.raw);
        self.remember_coldest();
        // a reading that no fixing can feel: neither does it reject by itself nor can anything be complete by now
        let quiet = reading.at < self.quiet_until && self.calm.has(reading.raw);
        // by itself it neither rejects nor bears on a working time that is still open
        let idle = self.calm.has(reading.raw) && !self.fixings.iter().any(Fixing::is_in_window);
        if !quiet && !idle {
            self.each(reading.at, tell, &mut |fixing, moment| fixing.judge(moment, reading, interval.as_ref()));
        }
        if let Some(interval) = &interval {
            let before = (!quiet).then_some(self.watch.running);
            self.count(interval, tell);
            if let Some(before) = &before {
                self.let_fixings_count(before, interval, tell);
            }
        }
        if self.watch.last().is_none_or(|last| last.raw != reading.raw) {
            self.same_since = reading.at;
        }
        if reading.at.since(self.same_since) >= STUCK_SECONDS && self.stuck_told != Some(self.same_since) {
            self.stuck_told = Some(self.same_since);
            tell(Event::Stuck { since: self.same_since, at: reading.at });
        }
        self.watch.last = reading;
        self.recent_from = reading.at;
        self.watch.any = true;
        self.watch.latest = Some(Latest { at: reading.at, accepted: true });
        self.watch.broken = false;
        self.candidate = None;
        self.readings.accepted = self.readings.accepted.wrapping_add(1);
    }

    /// Adds an interval to the running seconds.
    fn count(&mut self, interval: &Interval, tell: &mut dyn FnMut(Event)) {
        let class = interval.class(&self.watch.frame, None);
        let (_, seconds) = interval.since(interval.from);
        self.watch.running.add(class, seconds);
        let what = if interval.observed {
            self.seconds_of(interval.coldest, interval.warmest)
        } else if self.watch.broken {
            Seconds::Interrupted
        } else {
            Seconds::LongGap
        };
        tell(Event::Interval { from: interval.from, to: interval.to, seconds: what });
    }

    /// Every fixing counts the interval; `before` are the running seconds without it.
    fn let_fixings_count(&mut self, before: &Running, interval: &Interval, tell: &mut dyn FnMut(Event)) {
        let lanes = self.coldest.iter().copied();
        let mut asked = Asked::NOTHING;
        for ((fixing, coldest), place) in self.fixings.iter_mut().zip(lanes).zip(0u8..) {
            let change = fixing.count(&self.watch.frame, before, &self.watch.running, interval, coldest, &mut asked);
            announce(FixingNumber(place), interval.to, change, None, tell);
        }
    }

    fn act(&mut self, at: Instant, number: FixingNumber, action: Action, tell: &mut dyn FnMut(Event)) -> Verdict {
        let place = number.place();
        let moment = self.watch.moment(self.coldest.get(place).copied().unwrap_or(i16::MAX));
        let found = self.fixings.get_mut(place).zip(self.coldest.get_mut(place));
        let Some((fixing, coldest)) = found else {
            return Verdict::NotApplicable(NotApplicable::NoSuchFixing);
        };
        match fixing.act(&moment, coldest, at, action) {
            Ok(change) => {
                self.unseated |= fixing.is_working();
                let deed = &mut self.watch.deed;
                match action {
                    Action::Inject(_) => {
                        if let Some((begun, even)) = fixing.began() {
                            deed.injected(number, begun, even);
                        }
                    }
                    Action::Seat => deed.seated(number, at),
                    // what went through the nozzle then is not known
                    Action::CarriedOut => deed.new_nozzle(),
                    Action::Hole(_) => deed.hole_is_another(number),
                    Action::Declare(Declaration::Cleaned(step)) => {
                        if deed.clean(number, step) {
                            fixing.cleaned(at);
                        }
                    }
                    Action::Declare(Declaration::NewNozzle) => deed.new_nozzle(),
                    Action::Declare(Declaration::Discarded) => deed.discarded(),
                    Action::Declare(Declaration::Seating(_))
                    | Action::Torque(_)
                    | Action::TorquedEarly(_)
                    | Action::Decide(_) => {}
                }
                announce(number, at, change, Some(action), tell);
                Verdict::Done
            }
            Err(why) => Verdict::NotApplicable(why),
        }
    }

    fn power_up(&mut self, dark: Darkness, tell: &mut dyn FnMut(Event)) -> Verdict {
        self.watch.broken = true;
        if let Some(candidate) = &mut self.candidate {
            candidate.restarted = true;
        }
        match dark {
            Darkness::Known => {}
            Darkness::Unknown => {
                let at = self.now();
                self.each(at, tell, &mut |fixing, moment| fixing.unknown_dark(moment, at));
            }
        }
        Verdict::Done
    }

    fn time_passes(&mut self, at: Instant, tell: &mut dyn FnMut(Event)) {
        if self.unseated && self.watch.last().is_none_or(|last| at > last.at) {
            let mut unseated = false;
            self.each(at, tell, &mut |fixing, moment| {
                let change = fixing.time_passes(moment, at);
                unseated |= fixing.is_working();
                change
            });
            self.unseated = unseated;
        }
    }

    /// Does something to every fixing and tells what came of it.
    fn each(
        &mut self,
        at: Instant,
        tell: &mut dyn FnMut(Event),
        change: &mut dyn FnMut(&mut Fixing, &Moment<'_>) -> Change,
    ) {
        let lanes = self.coldest.iter().copied();
        for ((fixing, coldest), place) in self.fixings.iter_mut().zip(lanes).zip(0u8..) {
            let moment = self.watch.moment(coldest);
            announce(FixingNumber(place), at, change(fixing, &moment), None, tell);
        }
    }

    /// Takes in what the short path has left.
    pub(super) fn settle(&mut self) {
        let elapsed = self.recent_elapsed();
        self.watch.running.take_in(&self.recent, elapsed);
        self.recent = Recent::NONE;
        self.recent_from = self.watch.last.at;
        self.remember_coldest();
    }

    /// Hands the coldest reading of the short path on to every fixing.
    fn remember_coldest(&mut self) {
        if let Ok(since) = i16::try_from(self.coldest_since) {
            for lane in &mut self.coldest {
                *lane = since.min(*lane);
            }
        }
        self.coldest_since = NOT_YET;
    }

    /// The latest instant that is known.
    fn now(&self) -> Instant {
        let latest = self.watch.latest.map(|latest| latest.at);
        let last = self.watch.last().map(|last| last.at);
        latest.max(last).unwrap_or(Instant::from_seconds(0))
    }
}

/// Tells what became of a fixing.
fn announce(fixing: FixingNumber, at: Instant, change: Change, action: Option<Action>, tell: &mut dyn FnMut(Event)) {
    let event = match change {
        Change::Nothing => return,
        Change::StartRefused(grounds) => Event::StartRefused { fixing, at, grounds },
        Change::Started => Event::Started { fixing, at },
        Change::Seated => Event::Seated { fixing, at },
        Change::HoleStricter => Event::HoleStricter { fixing, at },
        Change::Cured(cured) => Event::Cured { fixing, at: cured, announced: at },
        Change::Withdrawn => Event::Withdrawn { fixing, at },
        Change::CureMoved(cured) => Event::CureMoved { fixing, at, cured },
        Change::TorqueNoted => match action {
            Some(Action::Torque(torque)) => Event::TorqueNoted { fixing, at, torque },
            Some(
                Action::Inject(_)
                | Action::CarriedOut
                | Action::Seat
                | Action::Hole(_)
                | Action::TorquedEarly(_)
                | Action::Declare(_)
                | Action::Decide(_),
            )
            | None => return,
        },
        Change::Released => Event::Released { fixing, at },
        Change::Rejected(rejection) => Event::Rejected { fixing, rejection, announced: at },
        Change::Decided(decision) => Event::Decided { fixing, at, decision },
    };
    tell(event);
}
