//! A program on the PC talks to the held board.
//!
//! Why not straight over the board's socket: while a program thinks, the board's time would run on, by hours. So what the
//! program sends is handed over in pieces that the board's serial port holds, and the board runs just far enough to take
//! each; while the program is silent, the board's time stands still.

use super::{EmulatorError, Machine};
use holdoff::link::{BatchText, Patience, Port, Shipment, Talk, load};
use holdoff_core::cure::{Rule, Settings};
use holdoff_core::fixing::FixingSpec;
use holdoff_core::quantity::Span;
use holdoff_files::resin_file::ResinFile;
use std::io::{ErrorKind, Read, Write};
use std::os::unix::net::{UnixListener, UnixStream};
use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// Bytes that the board's serial port holds.
const PIECE: usize = 16;
/// How long a program may be silent until the board's time goes on by a hop: it may be waiting for something to come. On a
/// busy PC it may only have been slow, and a job is loaded in its second.
const SILENCE: Duration = Duration::from_secs(5);
/// How often is looked whether the program has ended.
const LOOK: Duration = Duration::from_millis(10);
/// How long a byte may take from our socket to the board's port, on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// Lets a program talk: it is given the path of the socket that stands for the board's port, and runs in a thread of its own;
/// returns what it returns.
///
/// # Errors
/// The board is gone or hangs, or the program came to grief.
pub fn talk<T: Send>(machine: &mut Machine, program: impl FnOnce(&Path) -> T + Send) -> Result<T, EmulatorError> {
    let path = machine.place("pc");
    let _ = std::fs::remove_file(&path);
    let listener = UnixListener::bind(&path)?;
    let mut board = UnixStream::connect(machine.link())?;
    std::thread::scope(|scope| {
        let talking = scope.spawn(|| program(&path));
        let Some(mut pc) = accept(&listener, &|| talking.is_finished())? else {
            return talking.join().map_err(|_| grief());
        };
        let (mut from_board, mut to_pc) = (board.try_clone()?, pc.try_clone()?);
        scope.spawn(move || std::io::copy(&mut from_board, &mut to_pc));
        let (give, asked) = channel();
        let ending = pc.try_clone()?;
        scope.spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count @ 1..) = pc.read(&mut bytes) {
                if give.send(bytes[..count].to_vec()).is_err() {
                    break;
                }
            }
        });
        let handed = hand_over(machine, &mut board, &|| talking.is_finished(), &asked);
        // both threads end with their sockets, and so does a program that would wait for ever
        let _ = (board.shutdown(std::net::Shutdown::Both), ending.shutdown(std::net::Shutdown::Both));
        handed.and(talking.join().map_err(|_| grief()))
    })
}

/// The port that a socket stands for.
#[must_use]
pub fn port(socket: &Path) -> Port {
    Port { name: format!("unix:{}", socket.display()), baud: 115_200 }
}

/// A job with the default settings under the coldest-band rule.
#[must_use]
pub fn shipment<'a>(
    resin: &'a ResinFile,
    period: Span,
    offset_minutes: i16,
    fixings: Vec<(String, FixingSpec, Option<BatchText>)>,
) -> Shipment<'a> {
    Shipment { resin, settings: Settings::DEFAULT, rule: Rule::Coldest, period, offset_minutes, file: "", fixings }
}

/// Loads a job as a PC with so much patience does.
///
/// # Errors
/// It is none, or the device refuses it; or the board is gone or hangs.
pub fn load_job(machine: &mut Machine, shipment: &Shipment<'_>, patience: Patience) -> Result<(), EmulatorError> {
    let messages = shipment.messages().map_err(EmulatorError::Device)?;
    talk(machine, |socket| load(&mut Talk::begin(&port(socket), patience)?, &messages))?
        .map_err(|trouble| EmulatorError::Device(format!("the job was not loaded: {trouble:?}")))?;
    Ok(())
}

pub(super) fn grief() -> EmulatorError {
    EmulatorError::Control("the program at the other end of the link came to grief".to_owned())
}

fn hand_over(
    machine: &mut Machine,
    board: &mut UnixStream,
    ended: &impl Fn() -> bool,
    asked: &Receiver<Vec<u8>>,
) -> Result<(), EmulatorError> {
    let mut silent_since = Instant::now();
    loop {
        match asked.recv_timeout(LOOK) {
            Ok(bytes) => {
                hand(machine, board, &bytes)?;
                silent_since = Instant::now();
            }
            Err(RecvTimeoutError::Disconnected) => return Ok(()),
            Err(RecvTimeoutError::Timeout) if ended() => return Ok(()),
            Err(RecvTimeoutError::Timeout) if silent_since.elapsed() > SILENCE => {
                machine.pass(1)?;
                silent_since = Instant::now();
            }
            Err(RecvTimeoutError::Timeout) => {}
        }
    }
}

/// Hands bytes over in pieces, and lets the board take all of them.
pub(super) fn hand(machine: &mut Machine, board: &mut UnixStream, bytes: &[u8]) -> Result<(), EmulatorError> {
    for piece in bytes.chunks(PIECE) {
        let before = machine.words()?.received;
        board.write_all(piece)?;
        let began = Instant::now();
        while (machine.words()?.received.wrapping_sub(before) as usize) < piece.len() {
            if machine.byte_waits()? {
                machine.pass(1)?;
            } else if began.elapsed() > PATIENCE {
                return Err(EmulatorError::Hangs("its serial port takes nothing".to_owned()));
            }
        }
    }
    Ok(())
}

/// The program's connection, where it has opened one by now; waits a moment where it has not.
pub(super) fn accept_now(listener: &UnixListener) -> Result<Option<UnixStream>, EmulatorError> {
    listener.set_nonblocking(true)?;
    match listener.accept() {
        Ok((stream, _)) => {
            stream.set_nonblocking(false)?;
            Ok(Some(stream))
        }
        Err(error) if error.kind() == ErrorKind::WouldBlock => {
            std::thread::sleep(Duration::from_millis(2));
            Ok(None)
        }
        Err(error) => Err(error.into()),
    }
}

fn accept(listener: &UnixListener, ended: &impl Fn() -> bool) -> Result<Option<UnixStream>, EmulatorError> {
    loop {
        let came = accept_now(listener)?;
        if came.is_some() || ended() {
            return Ok(came);
        }
    }
}
