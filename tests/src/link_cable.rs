//! Two loggers and one cable: after so many bytes on the line the plug is moved, torn out, or shorted.

use crate::link_device::FakeDevice;
use crate::random::numbers;
use holdoff_firmware::link::Session;
use std::io::{Read, Write};
use std::os::unix::net::{UnixListener, UnixStream};
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::Duration;

/// What happens to the cable, once.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Mishap {
    /// Nothing.
    None,
    /// The plug is in the second logger from now on, and the PC's end notices nothing.
    Moved,
    /// The line breaks, and the plug is in the second logger when it comes back.
    TornAndMoved,
    /// The line breaks, and comes back.
    Torn,
    /// The line breaks for good.
    Cut,
    /// For some bytes both wires touch: what passes is garbled, both ways.
    Shorted,
}

/// How many bytes pass while the wires touch: fewer than the shortest request has, so that at most two tries of three are lost.
pub const SHORT: u64 = 12;

/// The loggers and the cable, served until this is dropped.
pub struct Cable {
    /// The loggers, each with its session; the plug begins in the first.
    pub loggers: Arc<Mutex<[(Session, FakeDevice); 2]>>,
    /// Bytes that have passed.
    pub passed: Arc<AtomicU64>,
    stop: Arc<AtomicBool>,
    thread: Option<JoinHandle<()>>,
}

impl Cable {
    /// Looks at a logger, or does something to it.
    pub fn with<T>(&self, which: usize, look: impl FnOnce(&mut FakeDevice) -> T) -> T {
        look(&mut self.loggers.lock().expect("the server did not fail")[which].1)
    }
}

impl Drop for Cable {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

struct Wire {
    loggers: Arc<Mutex<[(Session, FakeDevice); 2]>>,
    passed: Arc<AtomicU64>,
    stop: Arc<AtomicBool>,
    mishap: Mishap,
    after: u64,
    plug: usize,
    happened: bool,
}

/// Whether the line still holds.
#[derive(PartialEq, Eq)]
enum Line {
    Holds,
    Broken,
}

/// Serves two loggers at a UNIX socket; `mishap` happens when `after` bytes have passed, counted in both directions.
pub fn cable(first: FakeDevice, second: FakeDevice, socket: &Path, mishap: Mishap, after: u64) -> Cable {
    let _ = std::fs::remove_file(socket);
    let listener = UnixListener::bind(socket).expect("a socket");
    listener.set_nonblocking(true).expect("a socket");
    let loggers = Arc::new(Mutex::new([(Session::new(), first), (Session::new(), second)]));
    let (passed, stop) = (Arc::new(AtomicU64::new(0)), Arc::new(AtomicBool::new(false)));
    let mut wire = Wire {
        loggers: Arc::clone(&loggers),
        passed: Arc::clone(&passed),
        stop: Arc::clone(&stop),
        mishap,
        after,
        plug: 0,
        happened: false,
    };
    let thread = std::thread::spawn(move || {
        while !wire.stop.load(Ordering::Relaxed) {
            if wire.happened && wire.mishap == Mishap::Cut {
                return; // the socket goes with the listener
            }
            let Ok((stream, _)) = listener.accept() else {
                std::thread::sleep(Duration::from_millis(1));
                continue;
            };
            wire.carry(stream);
        }
    });
    Cable { loggers, passed, stop, thread: Some(thread) }
}

impl Wire {
    fn carry(&mut self, mut stream: UnixStream) {
        stream.set_nonblocking(false).expect("a socket");
        stream.set_read_timeout(Some(Duration::from_millis(5))).expect("a socket");
        let mut number = numbers(self.after);
        let mut bytes = [0; 64];
        while !self.stop.load(Ordering::Relaxed) {
            let read = match stream.read(&mut bytes) {
                Ok(0) => return,
                Ok(read) => read,
                Err(error) if matches!(error.kind(), std::io::ErrorKind::WouldBlock | std::io::ErrorKind::TimedOut) => {
                    continue;
                }
                Err(_) => return,
            };
            for byte in &bytes[..read] {
                let (byte, line) = self.pass(*byte, &mut number);
                let mut answer = Vec::new();
                {
                    let loggers = &mut *self.loggers.lock().expect("the test did not fail");
                    let (session, device) = &mut loggers[self.plug];
                    session.take(&[byte], device, &mut |piece| answer.extend_from_slice(piece));
                }
                if line == Line::Broken {
                    return;
                }
                for byte in answer {
                    let from = self.plug;
                    let (byte, line) = self.pass(byte, &mut number);
                    if line == Line::Broken {
                        return;
                    }
                    // what a logger says with the plug out goes nowhere
                    if from == self.plug && stream.write_all(&[byte]).is_err() {
                        return;
                    }
                    if from != self.plug {
                        break;
                    }
                }
            }
        }
    }

    /// A byte on the line: what arrives of it.
    fn pass(&mut self, byte: u8, number: &mut impl FnMut() -> u64) -> (u8, Line) {
        let passed = self.passed.fetch_add(1, Ordering::Relaxed);
        if passed >= self.after && passed < self.after + SHORT && self.mishap == Mishap::Shorted {
            return (number() as u8, Line::Holds);
        }
        if passed < self.after || self.happened {
            return (byte, Line::Holds);
        }
        self.happened = true;
        match self.mishap {
            Mishap::None | Mishap::Shorted => (byte, Line::Holds),
            Mishap::Moved => {
                self.plug = 1;
                (byte, Line::Holds)
            }
            Mishap::TornAndMoved => {
                self.plug = 1;
                (byte, Line::Broken)
            }
            Mishap::Torn | Mishap::Cut => (byte, Line::Broken),
        }
    }
}
