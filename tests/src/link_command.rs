//! `holdoff link` as its users type it, with what it prints kept.

use clap::Parser;
use holdoff::command::{self, Streams};
use std::cell::RefCell;
use std::io::Write;
use std::rc::Rc;

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

/// Exit status, standard output, standard error of `holdoff link PORT` with these arguments.
pub fn holdoff_link(port: &str, arguments: &[&str]) -> (u8, String, String) {
    let line = Line::parse_from([&["link", port][..], arguments].concat());
    let (out, err) = (Kept::default(), Kept::default());
    let mut streams = Streams { out: Box::new(out.clone()), err: Box::new(err.clone()), watched: false };
    let exit = command::link::run(&line.arguments, &mut streams);
    let text = |kept: Kept| String::from_utf8(kept.0.borrow().clone()).expect("text");
    (exit.status(), text(out), text(err))
}
