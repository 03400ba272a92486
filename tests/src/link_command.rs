//! Commands of `holdoff` as their users type them, with what they print kept.

use clap::Parser;
use holdoff::command::{self, Streams};
use holdoff::link::Patience;
use holdoff_files::problem::{Exit, Problem};
use std::cell::RefCell;
use std::io::Write;
use std::path::Path;
use std::rc::Rc;
use std::time::Duration;

/// What a command prints, kept.
#[derive(Clone, Default)]
struct Kept(Rc<RefCell<Vec<u8>>>);

impl Write for Kept {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.borrow_mut().write(bytes)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[derive(Parser)]
struct Line {
    #[command(flatten)]
    arguments: command::link::Arguments,
}

#[derive(Parser)]
struct RegisterLine {
    #[command(flatten)]
    arguments: command::register::Arguments,
}

#[derive(Parser)]
enum Command {
    Board(command::board::Arguments),
    Prove(command::prove::Arguments),
    Read(command::read::Arguments),
    Replay(Box<command::replay::Arguments>),
    Report(Box<command::report::Arguments>),
}

/// Exit status, standard output, standard error of `holdoff board`, `prove`, `read`, `replay` or `report` with these arguments.
pub fn holdoff(arguments: &[&str]) -> (u8, String, String) {
    let command = Command::parse_from([&["holdoff"][..], arguments].concat());
    kept(|streams| match &command {
        Command::Board(arguments) => command::board::run(arguments, streams),
        Command::Prove(arguments) => command::prove::run(arguments, streams),
        Command::Read(arguments) => command::read::run(arguments, streams),
        Command::Replay(arguments) => command::replay::run(arguments, streams),
        Command::Report(arguments) => command::report::run(arguments, streams),
    })
}

/// Exit status, standard output, standard error of `holdoff link PORT` with these arguments.
pub fn holdoff_link(port: &str, arguments: &[&str]) -> (u8, String, String) {
    holdoff_link_awaiting(port, arguments, Patience::default().answer)
}

/// The same, with another time to wait for an answer.
pub fn holdoff_link_awaiting(port: &str, arguments: &[&str], answer: Duration) -> (u8, String, String) {
    let line = Line::parse_from([&["link", port][..], arguments].concat());
    kept(|streams| command::link::run(&line.arguments.awaiting(answer), streams))
}

/// The same of `holdoff register --file FILE`.
pub fn holdoff_register(file: &Path, arguments: &[&str]) -> (u8, String, String) {
    holdoff_register_awaiting(file, arguments, Patience::default().answer)
}

/// The same, with another time to wait for a logger's answer.
pub fn holdoff_register_awaiting(file: &Path, arguments: &[&str], answer: Duration) -> (u8, String, String) {
    let file = file.to_string_lossy();
    let line = RegisterLine::parse_from([&["register", "--file", &*file][..], arguments].concat());
    kept(|streams| command::register::run(&line.arguments.awaiting(answer), streams))
}

fn kept(command: impl FnOnce(&mut Streams) -> Result<Exit, Problem>) -> (u8, String, String) {
    let (out, err) = (Kept::default(), Kept::default());
    let mut streams = Streams { out: Box::new(out.clone()), err: Box::new(err.clone()), watched: false };
    let result = command(&mut streams);
    let exit = streams.end(result);
    let text = |kept: Kept| String::from_utf8(kept.0.borrow().clone()).expect("text");
    (exit.status(), text(out), text(err))
}
