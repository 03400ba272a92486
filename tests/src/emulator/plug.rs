//! A program on the PC, two held boards, and one cable with mishaps.
//!
//! Why: the fake loggers of `link_cable` are the session alone; here whatever is done to the cable meets the whole image, with its
//! serial port and its memory. As in `talk`, a board's time runs only while it takes what it was sent.
//! Terms: a *moment* is a place in the run of bytes on the cable, counted both ways, at which a mishap happens.
//! What it does not do: let time pass while nobody says anything.

use super::talk::{accept_now, grief, hand};
use super::{EmulatorError, Machine};
use crate::link_cable::{Mishap, SHORT};
use std::io::{ErrorKind, Read, Write};
use std::os::unix::net::{UnixListener, UnixStream};
use std::path::Path;
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

/// How long is waited for the program's next bytes before it is looked whether it has ended.
const LOOK: Duration = Duration::from_millis(2);

/// The cable: which board its plug is in, and what happens to it next.
#[derive(Debug)]
pub struct Plug {
    /// Which board it is in.
    pub at: usize,
    /// Mishaps still to come: bytes from the one before, and what happens.
    pub moments: Vec<(u64, Mishap)>,
    /// How many have happened.
    pub happened: usize,
    /// Bytes since the last moment.
    bytes: u64,
    /// Bytes that are still garbled.
    garbled: u64,
    cut: bool,
    noise: u64,
}

/// Whether the line holds.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Line {
    Holds,
    Broken,
}

impl Plug {
    /// A plug in a board, with nothing to come.
    #[must_use]
    pub const fn into(at: usize) -> Self {
        Self { at, moments: Vec::new(), happened: 0, bytes: 0, garbled: 0, cut: false, noise: 0x9E37_79B9 }
    }

    /// What is to happen to it from now on, the first first.
    pub fn expect(&mut self, moments: Vec<(u64, Mishap)>) {
        (self.moments, self.happened, self.bytes, self.garbled, self.cut) = (moments, 0, 0, 0, false);
        self.moments.reverse();
    }

    /// A byte on the cable: what arrives of it, and whether the line holds.
    fn pass(&mut self, byte: u8) -> (u8, Line) {
        self.bytes += 1;
        if self.garbled > 0 {
            self.garbled -= 1;
            self.noise = self.noise.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            return ((self.noise >> 56) as u8, Line::Holds);
        }
        let Some((after, mishap)) = self.moments.last().copied() else { return (byte, Line::Holds) };
        if self.bytes < after {
            return (byte, Line::Holds);
        }
        self.moments.pop();
        (self.happened, self.bytes) = (self.happened + 1, 0);
        match mishap {
            Mishap::None => (byte, Line::Holds),
            Mishap::Shorted => {
                self.garbled = SHORT - 1;
                (!byte, Line::Holds)
            }
            Mishap::Moved => {
                self.at = 1 - self.at;
                (byte, Line::Holds)
            }
            Mishap::TornAndMoved => {
                self.at = 1 - self.at;
                (byte, Line::Broken)
            }
            Mishap::Torn => (byte, Line::Broken),
            Mishap::Cut => {
                self.cut = true;
                (byte, Line::Broken)
            }
        }
    }
}

/// The boards, and the lines from the plug to each of their ports.
#[derive(Debug)]
pub struct Boards {
    /// The boards.
    pub machines: [Machine; 2],
    lines: [UnixStream; 2],
    /// What each says. It is taken off its line at once, by a thread of its own: a board whose line is full stands still.
    said: [Receiver<Vec<u8>>; 2],
}

impl Boards {
    /// Two boards whose ports nobody holds.
    ///
    /// # Errors
    /// A port cannot be opened.
    pub fn new(machines: [Machine; 2]) -> Result<Self, EmulatorError> {
        let line = |machine: &Machine| -> Result<_, EmulatorError> {
            let line = UnixStream::connect(machine.link())?;
            let (mut from, (give, said)) = (line.try_clone()?, channel());
            // ends with its board
            std::thread::spawn(move || {
                let mut bytes = [0; 512];
                while let Ok(read @ 1..) = from.read(&mut bytes) {
                    if give.send(bytes[..read].to_vec()).is_err() {
                        break;
                    }
                }
            });
            Ok((line, said))
        };
        let ((first, of_first), (second, of_second)) = (line(&machines[0])?, line(&machines[1])?);
        Ok(Self { machines, lines: [first, second], said: [of_first, of_second] })
    }

    /// What a board has said and nobody has heard yet.
    fn said(&self, which: usize) -> Vec<u8> {
        self.said[which].try_iter().flatten().collect()
    }

    /// Lets a program talk over the cable, in a thread of its own; it is given the path of the PC's port. Returns what it returns.
    ///
    /// # Errors
    /// A board is gone or hangs, or the program came to grief.
    pub fn talk<T: Send>(
        &mut self,
        plug: &mut Plug,
        program: impl FnOnce(&Path) -> T + Send,
    ) -> Result<T, EmulatorError> {
        let path = self.machines[0].place("cable");
        let _ = std::fs::remove_file(&path);
        let mut listener = Some(UnixListener::bind(&path)?);
        std::thread::scope(|scope| {
            let talking = scope.spawn(|| program(&path));
            let mut pc = None;
            let served = loop {
                if talking.is_finished() {
                    break Ok(());
                }
                if plug.cut {
                    // nothing stands at the port any more
                    (pc, listener) = (None, None);
                    let _ = std::fs::remove_file(&path);
                    std::thread::sleep(LOOK);
                    continue;
                }
                let step = match (&mut pc, &listener) {
                    (None, Some(listener)) => accept_now(listener).map(|came| pc = came),
                    (None, None) => Ok(()),
                    (Some(stream), _) => self.carry(plug, stream).map(|line| {
                        if line == Line::Broken {
                            pc = None;
                        }
                    }),
                };
                if let Err(error) = step {
                    break Err(error);
                }
            };
            // a program that would wait for ever ends with its line
            drop((pc, listener));
            let _ = std::fs::remove_file(&path);
            served.and(talking.join().map_err(|_| grief()))
        })
    }

    /// Carries what the program says next to the board that the plug is in, and its answer back.
    fn carry(&mut self, plug: &mut Plug, pc: &mut UnixStream) -> Result<Line, EmulatorError> {
        pc.set_read_timeout(Some(LOOK))?;
        let mut bytes = [0; 512];
        let asked = match pc.read(&mut bytes) {
            Ok(0) => return Ok(Line::Broken),
            Ok(read) => &bytes[..read],
            Err(error) if matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => &[],
            Err(_) => return Ok(Line::Broken),
        };
        // a byte arrives where the plug is when it is sent
        let (mut runs, mut broken): (Vec<(usize, Vec<u8>)>, _) = (Vec::new(), Line::Holds);
        for byte in asked {
            let (byte, line) = plug.pass(*byte);
            match runs.last_mut() {
                Some((to, run)) if *to == plug.at => run.push(byte),
                Some(_) | None => runs.push((plug.at, vec![byte])),
            }
            if line == Line::Broken {
                broken = line;
                break;
            }
        }
        for (to, run) in runs {
            hand(&mut self.machines[to], &mut self.lines[to], &run)?;
        }
        // what the other one says goes nowhere
        let (from, said) = (plug.at, [self.said(0), self.said(1)]);
        for byte in &said[from] {
            if broken == Line::Broken {
                return Ok(broken);
            }
            let (byte, line) = plug.pass(*byte);
            broken = line;
            if plug.at != from {
                break;
            }
            if pc.write_all(&[byte]).is_err() {
                return Ok(Line::Broken);
            }
        }
        Ok(broken)
    }
}
