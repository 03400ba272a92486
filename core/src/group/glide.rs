//! The short path of a reading that changes nothing but seconds.

use super::{DISTANT_PAST, Event, Group, STUCK_SECONDS, Seconds};
use crate::cure::Class;
use crate::fixing::{Accepted, Asked};
use crate::probe::within_step_soon;
use crate::quantity::{Count, Instant};

impl<const N: usize> Group<N> {
    /// Takes the reading on the short path if nothing about it needs the long one; `false` leaves everything as it was.
    ///
    /// The long path is needed when the reading could be refused, closes an interval that is not observed, rejects by
    /// itself, or comes at or after the first instant at which a cure, a hold or a stuck count can be complete. That
    /// instant is the distant past until a first reading has been accepted.
    // it stands in the caller's loop, or each reading pays for a call; a board has few readings and little room
    #[cfg_attr(not(target_os = "none"), inline(always))]
    #[cfg_attr(target_os = "none", inline(never))]
    pub(super) fn glide(&mut self, at: Instant, count: Count, tell: &mut (impl FnMut(Event) + ?Sized)) -> bool {
        let raw = count.raw();
        let last = self.watch.last;
        let dt = at.since(last.at);
        let in_time = (dt > 0) & (dt <= self.longest_gap) & (at < self.attention_at);
        if !(in_time & self.calm.has(raw) & within_step_soon(last.raw, raw, dt)) {
            return false;
        }
        let (coldest, warmest) = (raw.min(last.raw), raw.max(last.raw));
        // The interval is outside when its colder end is below every edge or its warmer one too warm. At most an hour
        // long it fits 16 bits, and so does the sum: the long path is taken after six hours at the latest.
        let seconds = self.watch.frame.unless_too_warm(warmest, dt as u16);
        self.recent.add(self.watch.frame.edges(), coldest, seconds);
        self.coldest_since = self.coldest_since.min(i32::from(raw));
        self.same_since = if raw == last.raw { self.same_since } else { at };
        self.watch.settling.follow(last.raw, dt);
        self.watch.last = Accepted { at, raw };
        self.readings.accepted = self.readings.accepted.wrapping_add(1);
        tell(Event::Interval { from: last.at, to: at, seconds: self.seconds_of(coldest, warmest) });
        true
    }

    /// What the seconds of an observed interval between these raw counts are called.
    #[inline]
    pub(super) fn seconds_of(&self, coldest: i16, warmest: i16) -> Seconds {
        match self.watch.frame.class(coldest, warmest) {
            Class::Counted(place) => Seconds::Counted { band: place as u8 },
            Class::Held | Class::Unobserved if self.watch.frame.too_warm(warmest) => Seconds::TooWarm,
            Class::Held | Class::Unobserved => Seconds::TooCold,
        }
    }

    /// Works out anew from when on readings need the long path.
    pub(super) fn pay_attention(&mut self) {
        let last = self.watch.last;
        let latest_accepted = self.watch.latest.is_some_and(|latest| latest.accepted);
        if self.watch.broken || self.candidate.is_some() || !latest_accepted {
            self.attention_at = DISTANT_PAST;
            return;
        }
        // What was found for an earlier reading still holds: seconds that have not counted since only put it off.
        if self.quiet_until <= last.at {
            let mut until = Instant::from_seconds(i64::MAX);
            let mut asked = Asked::NOTHING;
            for (fixing, coldest) in self.fixings.iter().zip(self.coldest.iter()) {
                let (frame, running) = (&self.watch.frame, &self.watch.running);
                let Some(quiet) = fixing.quiet_for(frame, running, *coldest, &mut asked) else { continue };
                until = until.min(last.at.after(i64::try_from(quiet).unwrap_or(i64::MAX)));
            }
            self.quiet_until = until;
        }
        self.attention_at = self.quiet_until.min(self.stuck_from());
    }

    /// Before something other than a reading: takes in what the short path has left, and forgets until when the fixings
    /// are quiet, which actions change.
    pub(super) fn look_anew(&mut self) {
        self.settle();
        self.quiet_until = DISTANT_PAST;
    }

    /// Attention may be due only because six hours have gone by, without the count standing still for so long. Then this
    /// moves it on and takes in the recent seconds, which could not be kept for longer. `false`: the reading needs the long
    /// path, for itself or for a fixing.
    #[inline(never)]
    pub(super) fn renew_attention(&mut self, at: Instant) -> bool {
        let due = at >= self.attention_at && self.attention_at != DISTANT_PAST;
        if !due || at >= self.quiet_until {
            return false;
        }
        let stuck_from = self.stuck_from();
        if at >= stuck_from {
            return false;
        }
        self.settle();
        self.attention_at = self.quiet_until.min(stuck_from);
        true
    }

    /// From when on a reading can complete six hours of the same count. A run that was warned of is over for this; a
    /// new one cannot begin before the last reading.
    fn stuck_from(&self) -> Instant {
        let since = if self.stuck_told == Some(self.same_since) { self.watch.last.at } else { self.same_since };
        since.after(STUCK_SECONDS)
    }
}
