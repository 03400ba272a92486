//! A talk with a logger: one request after another, repeated until it is answered, over any number of breaks.
//!
//! Why a break is no end: a plug that is pulled and put in again must cost nothing. The line is opened again, the logger asked
//! who it is in the same talk, and the same request sent with the number it had; the logger knows it by that and does not act
//! twice. Only when the logger itself has started anew meanwhile, it is greeted anew, and a request that acts is given up:
//! whether it acted must be looked at.
//! Invariants: a talk is with one logger. Who it is, is asked behind every break and every greeting, and another one ends the
//! talk; every request carries the talk's number, which a logger that was not greeted with it refuses, so that a plug that was
//! moved without a break anybody noticed is found out before anything is answered. Every greeting that is put on the line has a
//! number of its own, also where it repeats one that was not answered: so no two loggers ever know the same one.
//! What it does not do: know what other answers mean.

use super::line::{Line, Port};
use super::trouble::{Effect, Trouble};
use holdoff_link::frame::{AROUND, Decoder, Frame, MOST_FRAME, Speaker, seal, send};
use holdoff_link::message::{Answer, Asked, Greeting, Identity, Refusal, Request, Since, Welcome};
use holdoff_link::wire::{whole, write};
use holdoff_link::{LEAST_VERSION, VERSION};
use serde::Serialize;
use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// How long to wait for what.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Patience {
    /// For an answer, before the request is repeated.
    pub answer: Duration,
    /// How often a request is sent before the line counts as broken.
    pub tries: u32,
    /// For a broken line to come back, from the last answer on.
    pub line: Duration,
    /// Between two attempts to open it.
    pub pause: Duration,
}

/// Whether a talk is to end, set by whoever wants it to.
pub type Stop = Arc<AtomicBool>;

impl Default for Patience {
    fn default() -> Self {
        Self {
            answer: Duration::from_secs(2),
            tries: 3,
            line: Duration::from_secs(20),
            pause: Duration::from_millis(100),
        }
    }
}

/// A talk.
pub struct Talk {
    port: Port,
    patience: Patience,
    number: u32,
    sequence: u16,
    line: Option<Box<dyn Line>>,
    /// Whether whoever is at the other end of the line is known to be the talk's logger.
    known: Known,
    /// The talk's logger; `None` until it has said so.
    who: Option<Identity>,
    /// Whether the request at hand has been on the line.
    sent: Sent,
    decoder: Decoder<MOST_FRAME>,
    /// Bytes that came and were not looked at yet.
    waiting: Vec<u8>,
    firmware: Option<([u8; 3], String)>,
    stop: Stop,
    /// Bytes on the line so far, both ways.
    carried: u64,
}

/// Whether whoever is at the other end is known.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Known {
    Yes,
    No,
}

/// Whether whoever is asked knows a talk.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Knows {
    /// It does, and it is the talk's logger.
    Talk,
    /// It was not greeted with its number since it started.
    No,
}

/// Whether something was sent.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Sent {
    Yes,
    No,
}

/// Why one attempt came to nothing.
enum Lost {
    /// The line is broken or silent; it may come back.
    Line(Trouble),
    /// There is no sense in trying again.
    For(Trouble),
}

impl Talk {
    /// Opens the line and greets.
    ///
    /// # Errors
    /// The line cannot be opened at once, nobody answers in time, or in no version that is known here.
    pub fn begin(port: &Port, patience: Patience) -> Result<Self, Trouble> {
        Self::begin_until(port, patience, Stop::default())
    }

    /// The same, until somebody wants it to end.
    ///
    /// # Errors
    /// As [`Self::begin`]; [`Trouble::Stopped`].
    pub fn begin_until(port: &Port, patience: Patience, stop: Stop) -> Result<Self, Trouble> {
        let number = drawn()?;
        let mut talk = Self {
            port: port.clone(),
            patience,
            number,
            sequence: (number >> 16) as u16,
            line: None,
            known: Known::No,
            who: None,
            sent: Sent::No,
            decoder: Decoder::new(),
            waiting: Vec::new(),
            firmware: None,
            stop,
            carried: 0,
        };
        // what is not there at all is said at once
        talk.line = Some(port.open().map_err(Trouble::Line)?);
        talk.keep_on(patience.answer * patience.tries, |talk| talk.greet().map(|_| ()))?;
        Ok(talk)
    }

    /// Bytes on the line so far, both ways.
    pub const fn carried(&self) -> u64 {
        self.carried
    }

    /// Its firmware, and what it runs on.
    pub fn firmware(&self) -> ([u8; 3], &str) {
        self.firmware.as_ref().map_or(([0; 3], ""), |(version, board)| (*version, board))
    }

    /// Who it is, as it said at the beginning; every break since has ended at the same one.
    ///
    /// # Errors
    /// [`Trouble::Unfitting`]: it has not said so, which no talk that was begun is without.
    pub fn identity(&self) -> Result<&Identity, Trouble> {
        self.who.as_ref().ok_or(Trouble::Unfitting)
    }

    /// Asks, and waits for the answer.
    ///
    /// # Errors
    /// Why there is none; [`Trouble::Refused`] when the logger refuses.
    pub fn ask(&mut self, request: &Request) -> Result<Answer, Trouble> {
        let sequence = self.next();
        self.sent = Sent::No;
        let answer = self.keep_on(self.patience.line, |talk| {
            for _ in 0..2 {
                if talk.known == Known::No {
                    match talk.greet()? {
                        Since::Before => {}
                        Since::Now if request.acts() => return Err(Lost::For(Trouble::Restarted)),
                        Since::Now => {}
                    }
                }
                match talk.exchange(VERSION, sequence, &Asked::of(talk.number, request))? {
                    // another one, or it started anew: the greeting tells
                    Answer::Refused(Refusal::OtherTalk) => talk.known = Known::No,
                    answer => return Ok(answer),
                }
            }
            Err(Lost::Line(Trouble::Silent))
        });
        match (answer, Effect::of(request), self.sent) {
            (Ok(Answer::Refused(refusal)), _, _) => Err(Trouble::Refused(refusal)),
            (Ok(answer), _, _) => Ok(answer),
            (Err(trouble), Some(effect), Sent::Yes) => Err(trouble.leaves_open(effect)),
            (Err(trouble), _, _) => Err(trouble),
        }
    }

    /// The same for requests whose only answer is *done*.
    ///
    /// # Errors
    /// As [`Self::ask`].
    pub fn act(&mut self, request: &Request) -> Result<(), Trouble> {
        if self.ask(request)? == Answer::Done { Ok(()) } else { Err(Trouble::Unfitting) }
    }

    /// Tries until it works, the line stays away for too long, or there is no sense in it.
    fn keep_on<T>(&mut self, longest: Duration, attempt: impl Fn(&mut Self) -> Result<T, Lost>) -> Result<T, Trouble> {
        let began = Instant::now();
        loop {
            if self.stop.load(Ordering::Relaxed) {
                return Err(Trouble::Stopped);
            }
            match attempt(self) {
                Ok(done) => return Ok(done),
                Err(Lost::For(trouble)) => return Err(trouble),
                Err(Lost::Line(trouble)) => {
                    (self.line, self.known) = (None, Known::No);
                    if began.elapsed() >= longest {
                        return Err(trouble);
                    }
                    std::thread::sleep(self.patience.pause);
                }
            }
        }
    }

    fn next(&mut self) -> u16 {
        self.sequence = self.sequence.wrapping_add(1);
        self.sequence
    }

    /// Opens the line where it is not open, and asks who it is; greets where nobody is there who knows the talk.
    fn greet(&mut self) -> Result<Since, Lost> {
        if self.line.is_none() {
            self.line = Some(self.port.open().map_err(|error| Lost::Line(Trouble::Line(error)))?);
        }
        self.decoder = Decoder::new();
        self.waiting.clear();
        let sent = self.sent; // of the request that is waiting
        let since = match self.who {
            Some(_) => self.identify(self.number),
            None => Ok(Knows::No),
        };
        let since = match since {
            Ok(Knows::Talk) => Ok(Since::Before),
            Ok(Knows::No) => self.begin_anew().map(|()| Since::Now),
            Err(lost) => Err(lost),
        };
        self.sent = sent;
        match since {
            Ok(_) => self.known = Known::Yes,
            Err(_) => (self.line, self.known) = (None, Known::No),
        }
        since
    }

    /// Greets with a number that nobody knows yet, and asks who it is; the talk has that number from then on.
    fn begin_anew(&mut self) -> Result<(), Lost> {
        let mut silent = Lost::Line(Trouble::Silent);
        for _ in 0..self.patience.tries.max(1) {
            let number = drawn().map_err(Lost::For)?;
            match self.hello(number) {
                Ok(()) => match self.identify(number)? {
                    Knows::Talk => {
                        self.number = number;
                        return Ok(());
                    }
                    // the plug was moved between the greeting and this
                    Knows::No => return Err(Lost::Line(Trouble::Silent)),
                },
                Err(lost @ Lost::Line(Trouble::Silent)) => silent = lost,
                Err(lost) => return Err(lost),
            }
        }
        Err(silent)
    }

    fn hello(&mut self, number: u32) -> Result<(), Lost> {
        let hello = Greeting::Hello { least: LEAST_VERSION, greatest: VERSION, talk: number };
        let sequence = self.next();
        match self.exchange_once(0, sequence, &hello)? {
            Welcome::Hello { least, greatest, talk, since: _, firmware, board } if talk == number => {
                self.firmware = Some((firmware, board.as_str().to_owned()));
                if greatest < LEAST_VERSION || least > VERSION {
                    let firmware = self.firmware.clone();
                    return Err(Lost::For(Trouble::Stranger { versions: (least, greatest), firmware }));
                }
                Ok(())
            }
            Welcome::Hello { .. } => Err(Lost::Line(Trouble::Unfitting)),
            Welcome::Stranger { least, greatest, .. } => {
                Err(Lost::For(Trouble::Stranger { versions: (least, greatest), firmware: None }))
            }
        }
    }

    /// Whether whoever is there knows the talk of this number, and is the talk's logger; the first one becomes it.
    fn identify(&mut self, number: u32) -> Result<Knows, Lost> {
        let sequence = self.next();
        let answer = self.exchange(VERSION, sequence, &Asked::of(number, &Request::Identity))?;
        if answer == Answer::Refused(Refusal::OtherTalk) {
            return Ok(Knows::No);
        }
        let Answer::Identity(found) = answer else { return Err(Lost::For(Trouble::Unfitting)) };
        match &self.who {
            None => self.who = Some(found),
            Some(begun) if (begun.device, begun.key) == (found.device, found.key) => {}
            Some(begun) => {
                let begun = Box::new(begun.clone());
                return Err(Lost::For(Trouble::Other { begun, found: Box::new(found) }));
            }
        }
        Ok(Knows::Talk)
    }

    /// Sends a message and waits for the answer with its number, a few times.
    fn exchange<A>(&mut self, version: u8, sequence: u16, message: &impl Serialize) -> Result<A, Lost>
    where
        A: for<'a> serde::Deserialize<'a>,
    {
        for _ in 1..self.patience.tries {
            match self.exchange_once(version, sequence, message) {
                Err(Lost::Line(Trouble::Silent)) => {}
                ended => return ended,
            }
        }
        self.exchange_once(version, sequence, message)
    }

    /// Sends a message and waits for the answer with its number.
    fn exchange_once<A>(&mut self, version: u8, sequence: u16, message: &impl Serialize) -> Result<A, Lost>
    where
        A: for<'a> serde::Deserialize<'a>,
    {
        let mut bytes = [0; MOST_FRAME];
        let length = bytes.get_mut(3..MOST_FRAME - (AROUND - 3)).and_then(|room| write(message, room));
        let frame = length.and_then(|length| seal(&mut bytes, Speaker::Pc, version, sequence, length));
        let frame = frame.ok_or(Lost::For(Trouble::Unfitting))?;
        let mut coded = Vec::with_capacity(MOST_FRAME + 8);
        send(frame, &mut |piece| coded.extend_from_slice(piece));
        let broken = |error| Lost::Line(Trouble::Line(error));
        let line = self.line.as_mut().ok_or(Lost::Line(Trouble::Silent))?;
        self.sent = Sent::Yes; // a line may carry bytes and then break
        line.write_all(&coded).and_then(|()| line.flush()).map_err(broken)?;
        self.carried += coded.len() as u64;
        self.await_answer(version, sequence)?.ok_or(Lost::Line(Trouble::Silent))
    }

    /// Waits for the answer with this number; `None` when it does not come in time.
    fn await_answer<A>(&mut self, version: u8, sequence: u16) -> Result<Option<A>, Lost>
    where
        A: for<'a> serde::Deserialize<'a>,
    {
        let until = Instant::now() + self.patience.answer;
        loop {
            for (place, byte) in self.waiting.iter().enumerate() {
                let Some(frame) = self.decoder.push(*byte).and_then(Frame::of) else { continue };
                if frame.speaker != Speaker::Logger || frame.sequence != sequence {
                    continue; // an echo, or a late answer to what was answered already
                }
                if frame.version != version {
                    let Some(Welcome::Stranger { least, greatest, .. }) = whole(frame.message) else { continue };
                    return Err(Lost::For(Trouble::Stranger { versions: (least, greatest), firmware: None }));
                }
                let answer = whole(frame.message);
                self.waiting.drain(..=place);
                return answer.map(Some).ok_or(Lost::For(Trouble::Unfitting));
            }
            self.waiting.clear();
            let Some(left) = until.checked_duration_since(Instant::now()).filter(|left| !left.is_zero()) else {
                return Ok(None);
            };
            let broken = |error| Lost::Line(Trouble::Line(error));
            let line = self.line.as_mut().ok_or(Lost::Line(Trouble::Silent))?;
            if self.stop.load(Ordering::Relaxed) {
                return Err(Lost::For(Trouble::Stopped));
            }
            // no longer than a person who wants it to end waits
            line.wait(left.clamp(Duration::from_millis(1), Duration::from_millis(250))).map_err(broken)?;
            let mut bytes = [0; 512];
            match line.read(&mut bytes) {
                Ok(0) => return Err(broken(io::ErrorKind::UnexpectedEof.into())),
                Ok(read) => {
                    self.carried += read as u64;
                    self.waiting.extend_from_slice(bytes.get(..read).unwrap_or_default());
                }
                Err(error) => match error.kind() {
                    io::ErrorKind::TimedOut | io::ErrorKind::WouldBlock | io::ErrorKind::Interrupted => {}
                    _ => return Err(broken(error)),
                },
            }
        }
    }
}

/// A number for a greeting.
fn drawn() -> Result<u32, Trouble> {
    getrandom::u32().map_err(|error| Trouble::Line(io::Error::other(error.to_string())))
}

impl std::fmt::Debug for Talk {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Talk").field("port", &self.port).finish_non_exhaustive()
    }
}
