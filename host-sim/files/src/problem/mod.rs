//! Why a file can't be used or a command line is wrong, in words a person on site can act on.
//!
//! What for: every refusal that reaches a user says three things: what is wrong, where (file, line, column), and what
//! to do about it. A [`Problem`] can't be made without the first and the last.
//!
//! Terms: an *unusable* file ends the program with status 3, *wrong usage* with status 2 (`docs/interfaces.md`).
//! Lines and columns count from 1. In a trace the column is that of the field's first byte; in a resin file, which
//! people edit, it is that of the character.
//!
//! Text from a file is never printed as it is: [`shown`] shortens it and writes control characters visibly, so no file
//! can move the cursor of the terminal it is shown on.
//!
//! What it does not do: print, choose a language, or end the program.

mod shown;

pub(crate) use shown::replaced;
pub use shown::{is_invisible, json_without_format, shown, shown_file, visible, without_format};

use std::fmt;

/// How the program ends.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Exit {
    /// It ran, whatever came out: 0.
    Ran,
    /// It ran, and not everything is proved: 1 (`prove` only).
    NotProved,
    /// It ran, nothing failed, and a fixing has no release: 4 (`prove` only).
    NoRelease,
    /// A logger refuses: 1 (`link` only).
    Refused,
    /// Wrong usage: 2.
    Usage,
    /// A file that can't be used: 3.
    Unusable,
    /// It was taken in, and contradicts what a register held: 4 (`register` only).
    Contradicted,
}

impl Exit {
    /// The exit status.
    pub const fn status(self) -> u8 {
        match self {
            Self::Ran => 0,
            Self::NotProved | Self::Refused => 1,
            Self::Usage => 2,
            Self::Unusable => 3,
            Self::NoRelease | Self::Contradicted => 4,
        }
    }
}

/// Whether output may carry colour.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Colour {
    /// No escape sequences: a file, a pipe, or the user's wish.
    Plain,
    /// ANSI escape sequences.
    Ansi,
}

/// What kind of refusal.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Kind {
    /// A file that can't be used.
    Unusable,
    /// A wrong command line.
    Usage,
    /// A logger refuses.
    Refused,
}

/// One refusal. Small to hand around: its parts are on the heap.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Problem(Box<Parts>);

#[derive(Clone, PartialEq, Eq, Debug)]
struct Parts {
    kind: Kind,
    file: Option<String>,
    line: Option<u64>,
    column: Option<u64>,
    what: String,
    remedy: String,
    /// Others found in the same go.
    more: Vec<Problem>,
}

impl Problem {
    /// A file that can't be used: its name as given by the user, what is wrong, what to do.
    pub fn unusable(file: &str, what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::new(Kind::Unusable, Some(file.to_owned()), what.into(), remedy.into())
    }

    /// A logger refuses: where it is, what it says, what to do.
    pub fn refused(port: &str, what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::new(Kind::Refused, Some(port.to_owned()), what.into(), remedy.into())
    }

    /// A wrong command line: what is wrong, what to do.
    pub fn usage(what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::new(Kind::Usage, None, what.into(), remedy.into())
    }

    fn new(kind: Kind, file: Option<String>, what: String, remedy: String) -> Self {
        Self(Box::new(Parts { kind, file, line: None, column: None, what, remedy, more: Vec::new() }))
    }

    /// The same, at a line (from 1).
    #[must_use]
    pub fn at_line(mut self, line: u64) -> Self {
        self.0.line = Some(line);
        self
    }

    /// The same, at a line and a column (both from 1).
    #[must_use]
    pub fn at(mut self, line: u64, column: u64) -> Self {
        self.0.line = Some(line);
        self.0.column = Some(column);
        self
    }

    /// The same, with others that were found in the same go and are shown below it.
    #[must_use]
    pub fn with_more(mut self, more: Vec<Self>) -> Self {
        self.0.more = more;
        self
    }

    /// The others found in the same go.
    pub fn more(&self) -> &[Self] {
        &self.0.more
    }

    /// What kind of refusal.
    pub fn kind(&self) -> Kind {
        self.0.kind
    }

    /// How the program ends because of it.
    pub fn exit(&self) -> Exit {
        match self.0.kind {
            Kind::Unusable => Exit::Unusable,
            Kind::Usage => Exit::Usage,
            Kind::Refused => Exit::Refused,
        }
    }

    /// Name of the file, as given by the user.
    pub fn file(&self) -> Option<&str> {
        self.0.file.as_deref()
    }

    /// Line, from 1, where there is one.
    pub fn line(&self) -> Option<u64> {
        self.0.line
    }

    /// Column, from 1, where there is one.
    pub fn column(&self) -> Option<u64> {
        self.0.column
    }

    /// What is wrong.
    pub fn what(&self) -> &str {
        &self.0.what
    }

    /// What to do about it.
    pub fn remedy(&self) -> &str {
        &self.0.remedy
    }
}

impl fmt::Display for Problem {
    /// `FILE:LINE:COLUMN: what`, and on a second line, indented, what to do; others found in the same go below it in
    /// the same form. No line feed at the end.
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(file) = self.file() {
            write!(formatter, "{}:", shown_file(file))?;
            if let Some(line) = self.line() {
                write!(formatter, "{line}:")?;
                if let Some(column) = self.column() {
                    write!(formatter, "{column}:")?;
                }
            }
            formatter.write_str(" ")?;
        }
        write!(formatter, "{}\n  {}", self.what(), self.remedy())?;
        self.more().iter().try_for_each(|other| write!(formatter, "\n{other}"))
    }
}

impl std::error::Error for Problem {}

#[cfg(test)]
mod tests {
    use super::{Exit, Kind, Problem};

    #[test]
    fn a_problem_says_where_what_and_what_to_do() {
        let problem = Problem::unusable("a.csv", "temperature \"x\" is no number", "write digits").at(7, 22);
        assert_eq!(problem.to_string(), "a.csv:7:22: temperature \"x\" is no number\n  write digits");
        assert_eq!((problem.kind(), problem.exit().status()), (Kind::Unusable, 3));
        let other = Problem::unusable("a.csv", "the file is empty", "give another").at_line(1);
        assert_eq!(other.to_string(), "a.csv:1: the file is empty\n  give another");
        let both = problem.with_more(vec![other]);
        assert!(both.to_string().ends_with("write digits\na.csv:1: the file is empty\n  give another"));
    }

    #[test]
    fn wrong_usage_has_no_place_and_ends_with_two() {
        let problem = Problem::usage("--seat lies before --inject", "swap them");
        assert_eq!(problem.to_string(), "--seat lies before --inject\n  swap them");
        assert_eq!(problem.exit(), Exit::Usage);
        assert_eq!(Exit::Usage.status(), 2);
    }
}
