//! What ends the fixing's life as planned: the grounds of refusal and rejection, and how they are found.
//!
//! Several grounds may be found with one reading, each of an instant of its own: the end of the working time, the
//! seating, the reading. The earliest instant is the one that rejects; grounds of that same instant are all named.

use super::life::{Life, Overrun, Stage};
use super::readings::{Accepted, Since};
use super::window::{Stretch, working_time};

/// A ground of refusal or rejection, in the order of the list of reasons.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Reason {
    PastDate,
    NoReading,
    TooCold,
    TooWarm,
    Cartridge,
    HoleExcluded,
    SeatedLate,
    NotSeated,
    BelowReject,
    HeldTooLong,
    LoadedEarly,
    AboveReject,
    OverTorque,
    ProbeNotSettled,
    NotCleaned,
    Nozzle,
    Underfilled,
    NotToDepth,
}

impl Life<'_> {
    /// Whether the time from the start of injection to `at` is longer than the working time.
    pub(super) fn is_overrun(&self, at: i64, stretch: Option<Stretch>) -> bool {
        self.overrun_end(at, stretch).is_some()
    }

    /// The end of the working time, s, if `at` is past it.
    pub(super) fn overrun_end(&self, at: i64, stretch: Option<Stretch>) -> Option<i64> {
        let injection = self.injection.as_ref().expect("a working window has a start");
        let bands = &self.history.resin.bands;
        let working = working_time(self.limits, bands, injection, &self.readings, self.seated_at, stretch);
        let end = injection.at + i64::try_from(working).expect("a working time fits 63 bits");
        (at > end).then_some(end)
    }

    /// The time from the last accepted reading to `to`, as if it ended there.
    pub(super) fn stretch(&self, to: i64) -> Stretch {
        let last = self.readings.last().expect("an injection has a latest reading");
        let longest_gap = self.history.settings.longest_gap;
        Stretch { to, since: Since::judged(self.broken, to - last.at, longest_gap) }
    }

    /// E4: nobody knows how long it was dark.
    pub(super) fn restart_of_unknown_length(&mut self) {
        match self.stage {
            Stage::Working => self.reject(self.now(), vec![Reason::NotSeated]),
            Stage::Curing => {
                if self.history.resin.longest_hold.is_some() {
                    self.reject(self.now(), vec![Reason::HeldTooLong]);
                }
            }
            Stage::Planned
            | Stage::Refused
            | Stage::Cured
            | Stage::Released
            | Stage::Rejected
            | Stage::Accepted
            | Stage::Removed => {}
        }
    }

    /// Not seated by now, at a row that is no accepted reading.
    pub(super) fn judge_unseated(&mut self, at: i64) {
        if self.stage != Stage::Working {
            return;
        }
        if let Some(end) = self.overrun_end(at, Some(self.stretch(at))) {
            self.overrun = Overrun::Unseated;
            self.reject(end, vec![Reason::NotSeated]);
        }
    }

    /// C5: held and unobserved seconds together.
    pub(super) fn judge_hold(&mut self, at: i64) {
        let idle = self.count.held() + self.count.unobserved();
        if self.history.resin.longest_hold.is_some_and(|longest| idle > longest) {
            self.reject(at, vec![Reason::HeldTooLong]);
        }
    }

    /// C5: the resin's reject temperatures.
    pub(super) fn beyond_reject_limits(&self, low: i64, high: i64) -> Vec<Reason> {
        let mut grounds = Vec::new();
        if self.limits.reject_below.is_some_and(|limit| low < limit) {
            grounds.push(Reason::BelowReject);
        }
        if self.limits.reject_above.is_some_and(|limit| high > limit) {
            grounds.push(Reason::AboveReject);
        }
        grounds
    }

    /// The same for one reading, each ground with its instant, s.
    pub(super) fn dated_reject_limits(&self, reading: Accepted) -> Vec<(i64, Reason)> {
        self.beyond_reject_limits(reading.low, reading.high).into_iter().map(|reason| (reading.at, reason)).collect()
    }

    /// E3: the first ground, or the grounds of the same instant.
    pub(super) fn reject_by_earliest(&mut self, grounds: Vec<(i64, Reason)>) {
        if let Some(first) = grounds.iter().map(|(at, _)| *at).min() {
            let same = grounds.into_iter().filter(|(at, _)| *at == first);
            self.reject(first, same.map(|(_, reason)| reason).collect());
        }
    }

    /// Final, but for the engineer's decision.
    pub(super) fn reject(&mut self, at: i64, mut grounds: Vec<Reason>) {
        grounds.sort();
        self.stage = Stage::Rejected;
        self.rejected_at = Some(at);
        self.reasons = grounds;
    }
}
