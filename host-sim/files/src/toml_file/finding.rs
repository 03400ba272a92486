//! What there is to say about places in a file, and how it is shown.
//!
//! People edit these files, so a finding is shown in the line it stands in, with a mark below; scripts and `replay` get
//! the same as plain lines. Columns count characters.

use crate::problem::{Colour, Problem, shown_file};
use codespan_reporting::diagnostic::{Diagnostic, Label};
use codespan_reporting::files::SimpleFile;
use codespan_reporting::term::termcolor::{Ansi, NoColor, WriteColor};
use codespan_reporting::term::{Chars, Config, Styles, StylesWriter, emit_to_write_style};
use std::io::{Error, Result, Write};
use std::ops::Range;

/// Whether a finding makes the file unusable.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Severity {
    /// It does.
    Error,
    /// It merely looks odd.
    Warning,
}

/// Something about a place in the file.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Finding {
    /// Whether it makes the file unusable.
    pub severity: Severity,
    /// Bytes of the file it is about.
    pub span: Range<usize>,
    /// What is wrong, or odd.
    pub what: String,
    /// What to do about it.
    pub remedy: String,
}

/// The findings of one file, and its text.
#[derive(Clone, Debug)]
pub struct Findings {
    file: String,
    source: String,
    /// Where each line but the first begins.
    lines: Vec<usize>,
    list: Vec<Finding>,
}

impl Findings {
    /// None yet, about a file of this name and text.
    pub fn new(file: &str, source: &str) -> Self {
        let lines = memchr::memchr_iter(b'\n', source.as_bytes()).map(|at| at + 1).collect();
        Self { file: file.to_owned(), source: source.to_owned(), lines, list: Vec::new() }
    }

    /// Adds what makes the file unusable.
    pub fn error(&mut self, span: Range<usize>, what: impl Into<String>, remedy: impl Into<String>) {
        self.list.push(Finding { severity: Severity::Error, span, what: what.into(), remedy: remedy.into() });
    }

    /// Adds what looks odd.
    pub fn warn(&mut self, span: Range<usize>, what: impl Into<String>, remedy: impl Into<String>) {
        self.list.push(Finding { severity: Severity::Warning, span, what: what.into(), remedy: remedy.into() });
    }

    /// Whether any of them makes the file unusable.
    pub fn any_error(&self) -> bool {
        self.list.iter().any(|finding| finding.severity == Severity::Error)
    }

    /// Errors first, then warnings; each in the order of the file.
    #[must_use]
    pub(crate) fn sorted(mut self) -> Self {
        self.list.sort_by_key(|finding| (finding.severity, finding.span.start));
        self
    }

    /// The findings.
    pub fn iter(&self) -> impl Iterator<Item = &Finding> {
        self.list.iter()
    }

    /// The text of the file.
    pub fn source(&self) -> &str {
        &self.source
    }

    /// Line and column (both from 1, the column in characters) of a byte.
    pub fn place(&self, at: usize) -> (u64, u64) {
        let at = if self.source.is_char_boundary(at) { at } else { self.source.len() };
        let line = self.lines.partition_point(|start| *start <= at);
        let start = line.checked_sub(1).and_then(|last| self.lines.get(last)).copied().unwrap_or(0);
        let before = self.source.get(start..at).unwrap_or_default();
        let column = before.trim_start_matches('\u{FEFF}').chars().count() as u64 + 1;
        (line as u64 + 1, column)
    }

    /// The findings as plain lines with their place.
    pub fn problems(&self) -> impl Iterator<Item = Problem> {
        self.list.iter().map(|finding| self.problem(finding))
    }

    fn problem(&self, finding: &Finding) -> Problem {
        let (line, column) = self.place(finding.span.start);
        Problem::unusable(&self.file, finding.what.as_str(), finding.remedy.as_str()).at(line, column)
    }

    /// All errors as one problem: the first, the others below it.
    pub fn into_problem(self) -> Problem {
        let mut errors = self.list.iter().filter(|finding| finding.severity == Severity::Error);
        match errors.next() {
            Some(first) => self.problem(first).with_more(errors.map(|finding| self.problem(finding)).collect()),
            None => Problem::unusable(&self.file, "the file can't be used", "compare it with docs/interfaces.md"),
        }
    }

    /// Writes every finding with the line it stands in.
    ///
    /// # Errors
    /// What the writer gives.
    pub fn render(&self, out: &mut dyn Write, colour: Colour) -> Result<()> {
        let file = SimpleFile::new(shown_file(&self.file), harmless(&self.source));
        // plain output ends up in files and mails, where lines drawn with other characters may not survive
        let chars = match colour {
            Colour::Ansi => Chars::box_drawing(),
            Colour::Plain => Chars::ascii(),
        };
        let (config, styles) = (Config { chars, ..Config::default() }, Styles::default());
        let writer: Box<dyn WriteColor + '_> = match colour {
            Colour::Ansi => Box::new(Ansi::new(out)),
            Colour::Plain => Box::new(NoColor::new(out)),
        };
        let mut writer = StylesWriter::new(writer, &styles);
        for finding in &self.list {
            let diagnostic = match finding.severity {
                Severity::Error => Diagnostic::error(),
                Severity::Warning => Diagnostic::warning(),
            };
            let diagnostic = diagnostic
                .with_message(&finding.what)
                .with_label(Label::primary((), finding.span.clone()))
                .with_note(&finding.remedy);
            emit_to_write_style(&mut writer, &config, &file, &diagnostic).map_err(Error::other)?;
        }
        Ok(())
    }
}

/// The text with every character that could steer a terminal or hide replaced by as many question marks as it has
/// bytes, so that places stay the same.
fn harmless(source: &str) -> String {
    let steers = |character| !matches!(character, '\n' | '\t' | '\r') && crate::problem::is_invisible(character);
    crate::problem::replaced(source, steers, |character, made| {
        made.extend(std::iter::repeat_n('?', character.len_utf8()));
    })
}
