//! The device's side of the talk: bytes come in, requests are answered.
//!
//! Why one buffer: a request is read out of it before its answer is written into it, for the PC asks one thing at a time.
//! Repeats: a request with the number and the check of the last one that acted is that request again; its answer was lost.
//! It gets the same answer, and the logger does nothing again. A greeting with another talk's number begins anew: what was
//! being loaded is dropped, and so is the memory of the last request, since another talk's numbers mean nothing. After a
//! break the PC greets with the number it had, and goes on where it was.
//! Invariants: whatever bytes come, the logger sends only answers to whole requests; it refuses a request of a talk that
//! was not begun here; while a fixing runs no request acts, except setting a clock that failed; pages are signed out only
//! when the PC has shown, page by page, that it has them.
//! What it does not do: wait, or drive the line.

use super::host::Host;
use super::load::{FARTHEST_OFFSET, Stage};
use heapless::Vec;
use holdoff_core::log::PAGE;
use holdoff_link::frame::{AROUND, Decoder, Frame, MOST_FRAME, Speaker, seal, send};
use holdoff_link::message::{Answer, Asked, Greeting, PIECE, Refusal, Request, Since, Welcome};
use holdoff_link::wire::{whole, write};
use holdoff_link::{LEAST_VERSION, VERSION};
use serde::Serialize;
use sha2::{Digest, Sha256};

/// Least time that the clock can be set to: 2020-01-01T00:00:00Z. Before it, the PC's own clock is wrong.
pub const LEAST_TIME: i64 = 1_577_836_800;
/// Greatest time that the clock can be set to: 2100-01-01T00:00:00Z, beyond which clock chips do not count.
pub const GREATEST_TIME: i64 = 4_102_444_800;
/// Bytes that are hashed at a time.
const STEP: usize = 64;

/// A talk with a PC.
#[derive(Debug)]
pub struct Session {
    decoder: Decoder<MOST_FRAME>,
    /// The talk's number; `None` before the first greeting.
    talk: Option<u32>,
    stage: Stage,
    last: Option<Acted>,
    /// The first page that was not confirmed; `None` before the first.
    unconfirmed: Option<u32>,
}

/// The last request that acted.
#[derive(Clone, Copy, Debug)]
struct Acted {
    sequence: u16,
    check: u32,
    result: Result<(), Refusal>,
}

/// What came in.
#[allow(clippy::large_enum_variant, reason = "there is no heap; requests are heard one at a time")]
enum Heard {
    Greeting { sequence: u16, greeting: Option<Greeting> },
    Stranger { sequence: u16, version: u8 },
    Request { sequence: u16, check: u32, asked: Option<Asked> },
}

impl Default for Session {
    fn default() -> Self {
        Self::new()
    }
}

impl Session {
    /// Nobody has said anything.
    pub const fn new() -> Self {
        Self { decoder: Decoder::new(), talk: None, stage: Stage::nothing(), last: None, unconfirmed: None }
    }

    /// The number of the talk; `None` before the first greeting.
    pub const fn talk(&self) -> Option<u32> {
        self.talk
    }

    /// Whether a job is being loaded.
    pub const fn is_loading(&self) -> bool {
        self.stage.is_begun()
    }

    /// Takes bytes as they came, and answers every request that is whole.
    pub fn take(&mut self, bytes: &[u8], host: &mut impl Host, out: &mut impl FnMut(&[u8])) {
        for byte in bytes {
            let heard = self.decoder.push(*byte).and_then(Frame::of).and_then(|frame| hear(&frame));
            if let Some(heard) = heard {
                self.answer(heard, host, out);
            }
        }
    }

    fn answer(&mut self, heard: Heard, host: &mut impl Host, out: &mut impl FnMut(&[u8])) {
        match heard {
            Heard::Greeting { sequence, greeting: Some(Greeting::Hello { talk, .. }) } => {
                let since = if self.talk == Some(talk) { Since::Before } else { Since::Now };
                if since == Since::Now {
                    self.stage.drop_all();
                    (self.talk, self.last, self.unconfirmed) = (Some(talk), None, None);
                }
                let (firmware, board) = host.runs();
                let welcome = Welcome::Hello { least: LEAST_VERSION, greatest: VERSION, talk, since, firmware, board };
                self.say(0, sequence, &welcome, out);
            }
            Heard::Greeting { sequence, greeting: None } => self.stranger(sequence, 0, out),
            Heard::Stranger { sequence, version } => self.stranger(sequence, version, out),
            Heard::Request { sequence, check, asked } => {
                let answer = match asked {
                    None => Err(Refusal::Unknown),
                    Some(Asked { talk, .. }) if self.talk != Some(u32::from_le_bytes(talk)) => Err(Refusal::OtherTalk),
                    Some(Asked { request, .. }) if request.acts() => {
                        let again = self.last.filter(|last| (last.sequence, last.check) == (sequence, check));
                        let result = again.map_or_else(|| self.act(&request, host), |last| last.result);
                        self.last = Some(Acted { sequence, check, result });
                        result.map(|()| Answer::Done)
                    }
                    Some(Asked { request, .. }) => self.tell(&request, host),
                };
                self.say(VERSION, sequence, &answer.unwrap_or_else(Answer::Refused), out);
            }
        }
    }

    fn stranger(&mut self, sequence: u16, found: u8, out: &mut impl FnMut(&[u8])) {
        self.say(0, sequence, &Welcome::Stranger { found, least: LEAST_VERSION, greatest: VERSION }, out);
    }

    /// Loads what was said, as a whole.
    #[inline(never)] // the whole job is on its stack
    fn commit(&mut self, host: &mut impl Host) -> Result<(), Refusal> {
        host.load(&self.stage.complete()?)?;
        self.stage.drop_all();
        Ok(())
    }

    /// Does what changes something.
    #[inline(never)] // beside it stands no answer on the stack
    fn act(&mut self, request: &Request, host: &mut impl Host) -> Result<(), Refusal> {
        match (request, host.is_clock_failed(), host.running()) {
            // what runs was interrupted, and its count goes on only with a time
            (Request::SetClock { .. }, true, _) | (_, _, None) => {}
            (_, true, Some(_)) => {
                self.stage.drop_all();
                return Err(Refusal::ClockFailed);
            }
            (_, false, Some(fixing)) => {
                self.stage.drop_all();
                return Err(Refusal::Running { fixing });
            }
        }
        match request {
            Request::SetClock { utc, offset_minutes } => {
                let offset_fits = offset_minutes.unsigned_abs() <= FARTHEST_OFFSET.unsigned_abs();
                if !(LEAST_TIME..GREATEST_TIME).contains(utc) || !offset_fits {
                    return Err(Refusal::Time);
                }
                host.set_clock(*utc, *offset_minutes)
            }
            Request::Begin(job) => self.stage.begin(job),
            Request::Resin(resin) => self.stage.resin(resin),
            Request::Batch(batch) => self.stage.batch(batch),
            Request::Fix(planned) => self.stage.fixing(planned),
            Request::Commit => self.commit(host),
            Request::SignOut { below } => self.sign_out(*below, host),
            Request::Identity
            | Request::Clock
            | Request::Log
            | Request::Group
            | Request::Fixing { .. }
            | Request::Read { .. }
            | Request::Ties
            | Request::Head { .. }
            | Request::Confirm { .. } => Err(Refusal::Unknown), // they do not act
        }
    }

    /// Tells what is asked.
    #[inline(never)] // an answer can be large
    fn tell(&mut self, request: &Request, host: &mut impl Host) -> Result<Answer, Refusal> {
        Ok(match request {
            Request::Identity => Answer::Identity(host.identity()),
            Request::Clock => Answer::Clock(host.clock()?),
            Request::Log => Answer::Log(host.log()),
            Request::Group => Answer::Group(host.group()),
            Request::Fixing { number } => Answer::Fixing(host.fixing(*number)?),
            Request::Ties => Answer::Ties(host.ties()),
            Request::Head { challenge } => Answer::Head(host.head(*challenge)?),
            Request::Read { offset, length } => {
                let size = host.memory_size();
                let end = offset.checked_add(u32::from(*length));
                let mut bytes = Vec::<u8, PIECE>::new();
                let fits = end.is_some_and(|end| end <= size) && bytes.resize(usize::from(*length), 0).is_ok();
                if !fits {
                    return Err(Refusal::OutOfRange { size });
                }
                host.read(*offset, &mut bytes)?;
                Answer::Piece { offset: *offset, bytes }
            }
            Request::Confirm { page, digest } => {
                self.confirm(*page, digest, host)?;
                Answer::Done
            }
            Request::SetClock { .. }
            | Request::Begin(_)
            | Request::Resin(_)
            | Request::Batch(_)
            | Request::Fix(_)
            | Request::Commit
            | Request::SignOut { .. } => return Err(Refusal::Unknown), // they act
        })
    }

    /// Compares what the PC has of a page with what stands in its home slot.
    fn confirm(&mut self, page: u32, digest: &[u8; 32], host: &mut impl Host) -> Result<(), Refusal> {
        let log = host.log();
        let newest = log.head.ok_or(Refusal::NoLog)?.page;
        let due = self.unconfirmed.unwrap_or(log.unread_from);
        if page > due || page >= newest || log.slots == 0 {
            return Err(Refusal::Order { due: due.min(newest) });
        }
        let start = (page % log.slots).saturating_mul(PAGE as u32);
        let mut hash = Sha256::new();
        let mut bytes = [0; STEP];
        for step in 0..(PAGE / STEP) as u32 {
            host.read(start.saturating_add(step * STEP as u32), &mut bytes)?;
            hash.update(bytes);
        }
        let found: [u8; 32] = hash.finalize().into();
        if found != *digest {
            return Err(Refusal::Differs { page });
        }
        self.unconfirmed = Some(due.max(page.saturating_add(1)));
        Ok(())
    }

    fn sign_out(&mut self, below: u32, host: &mut impl Host) -> Result<(), Refusal> {
        let unconfirmed = self.unconfirmed.unwrap_or(host.log().unread_from);
        if below > unconfirmed {
            return Err(Refusal::Unconfirmed { page: unconfirmed });
        }
        host.read_out(below)
    }

    /// Writes a message into the buffer and sends it.
    fn say(&mut self, version: u8, sequence: u16, message: &impl Serialize, out: &mut impl FnMut(&[u8])) {
        let buffer = self.decoder.buffer();
        let room = buffer.get_mut(3..MOST_FRAME - (AROUND - 3)).unwrap_or_default();
        // every answer fits; the tests try the longest of each
        let Some(length) = write(message, room) else { return };
        if let Some(frame) = seal(buffer, Speaker::Logger, version, sequence, length) {
            send(frame, out);
        }
    }
}

/// What a frame says; `None` when it is not for a logger.
#[inline(never)] // what it takes of the stack is given back before the answer
fn hear(frame: &Frame<'_>) -> Option<Heard> {
    match frame.speaker {
        Speaker::Logger => return None,
        Speaker::Pc => {}
    }
    let sequence = frame.sequence;
    Some(match frame.version {
        0 => Heard::Greeting { sequence, greeting: whole(frame.message) },
        LEAST_VERSION..=VERSION => Heard::Request { sequence, check: frame.check, asked: whole(frame.message) },
        version => Heard::Stranger { sequence, version },
    })
}

#[cfg(test)]
mod tests {
    use super::Session;

    #[test]
    fn the_link_takes_no_more_memory_than_it_may() {
        let bytes = size_of::<Session>();
        assert!(bytes <= 1331, "{bytes} bytes, of 1.3 KiB");
    }
}
