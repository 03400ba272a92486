//! What is told of a fixing, a session and a read-out as they are kept.

use super::{ClaimWords, PagePhrase, RegisterPhrase, Speech};
use holdoff_core::quantity::Instant;
use holdoff_evidence::Passed;
use holdoff_evidence::row::{KeptFixing, KeptSession, ReadOut};
use holdoff_files::stamp::format_seconds;

impl Speech {
    /// What a session's group is called.
    pub fn group_name(self, session: &KeptSession) -> String {
        if session.group.is_empty() { self.logger(&session.device) } else { session.group.clone() }
    }

    /// What a fixing is called; one without a label by its number.
    pub fn fixing_name(self, fixing: &KeptFixing) -> String {
        self.name(&fixing.label, fixing.number)
    }

    /// What may be said of a fixing.
    pub fn standing_of(self, fixing: &KeptFixing, session: &KeptSession) -> ClaimWords {
        let time = |at: Instant| self.dated(session.wall.clock(at.seconds()), at.seconds());
        self.standing(&fixing.claim(session), &fixing.stage_facts(), &time)
    }

    /// What is said of a time that has passed.
    pub fn passed(self, passed: Passed) -> &'static str {
        self.say(match passed {
            Passed::Seating => PagePhrase::SeatPassed,
            Passed::Forecast => PagePhrase::ForecastPassed,
        })
    }

    /// When a logger was read out over its line, and how its clock went then.
    pub fn read_words(self, read: &ReadOut, offset_seconds: i32) -> String {
        let at = format_seconds(read.at, offset_seconds);
        let length = self.length(read.ahead.map_or(0, i64::unsigned_abs));
        let phrase = match read.ahead {
            None => RegisterPhrase::ReadUnset,
            Some(0) => RegisterPhrase::ReadAs,
            Some(..0) => RegisterPhrase::ReadBehind,
            Some(1..) => RegisterPhrase::ReadAhead,
        };
        self.fill(phrase, &[("at", &at), ("length", &length)])
    }

    /// What is said in weight where a logger's clock misleads; `None` where it does not.
    pub fn clock_warning(self, device: &str, read: &ReadOut) -> Option<String> {
        if !read.misleads() {
            return None;
        }
        let length = self.length(read.ahead.map_or(0, i64::unsigned_abs));
        let phrase = match read.ahead {
            None => RegisterPhrase::ClockUnset,
            Some(..0) => RegisterPhrase::ClockBehind,
            Some(0..) => RegisterPhrase::ClockAhead,
        };
        Some(self.fill(phrase, &[("device", device), ("length", &length)]))
    }
}
