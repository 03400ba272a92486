//! Results of proof tests: a small TOML file that a person writes from the sheets of whoever tested.
//!
//! What for: the hand-over record. The form stands in `docs/report.md`. It is read with the same suspicion as a job file: every
//! number exactly as written, every unknown key refused, all that is wrong reported at once with line and column.
//! Terms: a *test* is one loading of one fixing; how many are asked for stands in the job file (`job::sampling`).
//! What it does not do: know the fixing, its cure, or what was asked for; [`judge`] holds a test against them.

mod judge;

pub use judge::{Asked, Judged, NotCounted, Tally, is_early, judge};

use crate::decimal::Decimal;
use crate::job::sampling::Force;
use crate::problem::{Problem, shown};
use crate::stamp::Stamp;
use crate::toml_file::{Findings, Need, Table, document};
use crate::words::words;
use holdoff_core::quantity::Span;
use std::collections::HashSet;
use std::ops::Range;

/// Largest file read, in bytes.
pub const MOST_BYTES: u64 = 16 * 1024 * 1024;
/// Greatest displacement, micrometres: 10 m, as lengths of a job.
const MOST_MICROMETRES: u32 = 10_000_000;

/// One test as the file says it.
#[derive(Clone, Debug)]
pub struct ProofTest {
    /// Name of the fixing.
    pub fixing: String,
    /// When it was loaded.
    pub at: Stamp,
    /// The greatest load that it was given.
    pub load: Force,
    /// How long the load was held, where the file says.
    pub hold: Option<Span>,
    /// Displacement under the load in micrometres, where the file says.
    pub displacement: Option<u32>,
    /// What whoever tested says.
    pub verdict: Verdict,
    /// Who tested.
    pub tester: String,
    /// What else is to be said.
    pub note: Option<String>,
    /// Where the file names the fixing.
    place: Range<usize>,
}

words! {
    /// What whoever tested says of a test.
    Verdict {
        /// It held.
        Passed = "passed",
        /// It did not.
        Failed = "failed",
    }
}

/// A file of tests that can be used.
#[derive(Clone, Debug)]
pub struct ProofTests {
    /// In the order of the file.
    pub tests: Vec<ProofTest>,
    findings: Findings,
}

impl ProofTests {
    /// Reads the text of a file that messages call `file`.
    ///
    /// # Errors
    /// All that is wrong with it in one [`Problem`].
    pub fn parse(file: &str, text: &str) -> Result<Self, Problem> {
        let mut findings = Findings::new(file, text);
        let tests = tests(text, &mut findings);
        let findings = findings.sorted();
        match tests {
            Some(tests) if !findings.any_error() => Ok(Self { tests, findings }),
            Some(_) | None => Err(findings.into_problem()),
        }
    }

    /// Refuses tests of fixings that are not known.
    ///
    /// # Errors
    /// All of them in one [`Problem`], each with its place.
    pub fn only(&self, known: impl Fn(&str) -> bool) -> Result<(), Problem> {
        let mut findings = self.findings.clone();
        for test in self.tests.iter().filter(|test| !known(&test.fixing)) {
            let what = format!("there is no fixing named {}", shown(test.fixing.as_bytes()));
            findings.error(test.place.clone(), what, "write the name as the job file and the logger have it");
        }
        if findings.any_error() { Err(findings.into_problem()) } else { Ok(()) }
    }
}

fn tests(text: &str, findings: &mut Findings) -> Option<Vec<ProofTest>> {
    let document = document(text, findings)?;
    let root = Table::new(document.get_ref(), 0..0, "the file", example);
    root.only(&["test"], findings);
    let tables = root.tables("test", "[[test]]", Need::Required, findings);
    let tests: Vec<ProofTest> = tables.iter().filter_map(|table| test(table, findings)).collect();
    let mut seen = HashSet::new();
    for test in &tests {
        if !seen.insert((test.fixing.as_str(), test.at.floor_seconds(), test.at.nanos())) {
            let what = format!("fixing {} was tested at this time already", shown(test.fixing.as_bytes()));
            findings.error(test.place.clone(), what, "remove one of the two, or correct its time");
        }
    }
    Some(tests)
}

fn test(table: &Table<'_, '_>, findings: &mut Findings) -> Option<ProofTest> {
    table.only(&["fixing", "at", "load_kn", "hold", "displacement_mm", "verdict", "tester", "note"], findings);
    let fixing = table.plain_text("fixing", Need::Required, findings);
    let at = table.stamp("at", Need::Required, findings);
    let load = force(table, "give the greatest load in kN", findings);
    let hold = table.duration("hold", Need::Optional, findings);
    let micrometres = |mm: &Decimal| mm.exactly(1000).filter(|micrometres| *micrometres <= MOST_MICROMETRES);
    let wrong = ("is not 0 to 10000 mm in steps of 0.001 mm", "give the displacement in mm");
    let displacement = table.number_as("displacement_mm", Need::Optional, micrometres, wrong, findings);
    let verdict = table.word("verdict", Need::Required, Verdict::WORDS, findings);
    let tester = table.plain_text("tester", Need::Required, findings);
    let note = table.plain_text("note", Need::Optional, findings);
    let fixing = fixing?;
    Some(ProofTest {
        place: fixing.span,
        fixing: fixing.value,
        at: at?,
        load: load?,
        hold: hold.map(|hold| hold.value),
        displacement: displacement.map(|found| found.value),
        verdict: verdict?.value,
        tester: tester?.value,
        note: note.map(|note| note.value),
    })
}

/// A load in kN, always required.
pub(crate) fn force(table: &Table<'_, '_>, remedy: &str, findings: &mut Findings) -> Option<Force> {
    let newtons = |kilonewtons: &Decimal| kilonewtons.exactly(1000).and_then(Force::from_newtons);
    let wrong = ("is not 0.001 to 10000 kN in steps of 0.001 kN", remedy);
    table.number_as("load_kn", Need::Required, newtons, wrong, findings).map(|found| found.value)
}

/// How the value of a key is written.
fn example(key: &str) -> String {
    let value = match key {
        "fixing" => "\"L2-3\"",
        "at" => "2022-01-06T10:30:00-07:00",
        "load_kn" => "9.0",
        "hold" => "\"3min\"",
        "displacement_mm" => "0.12",
        "verdict" => "\"passed\"",
        "tester" => "\"who tested\"",
        _ => "\"text\"",
    };
    format!("{key} = {value}")
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{ProofTests, Verdict};

    const GOOD: &str = "[[test]]\nfixing = \"L2-3\"\nat = 2022-01-06T10:30:00-07:00\nload_kn = 9.0\nhold = \"3min\"\n\
                        displacement_mm = 0\nverdict = \"passed\"\ntester = \"B. Invented\"\n";

    #[test]
    fn a_test_is_read_as_it_is_written() {
        let read = ProofTests::parse("tests.toml", GOOD).unwrap();
        assert_eq!(read.tests.len(), 1);
        let test = read.tests.first().unwrap();
        assert_eq!((test.load.newtons(), test.displacement, test.verdict), (9000, Some(0), Verdict::Passed));
        assert_eq!((test.at.offset_seconds(), test.hold.map(|hold| hold.seconds())), (-25_200, Some(180)));
        assert!(read.only(|name| name == "L2-3").is_ok());
        assert!(read.only(|_| false).unwrap_err().to_string().starts_with("tests.toml:2:10"));
    }

    #[test]
    fn a_wrong_file_is_refused_with_every_place() {
        let cases = [
            (String::new(), "test is missing"),
            ("test = 1\n".to_owned(), "1:8"),
            (GOOD.replace("hold", "held"), "5:1: unknown key"),
            (GOOD.replace("9.0", "0.0001"), "4:11: load_kn 0.0001"),
            (GOOD.replace("= 0\n", "= -1\n"), "6:19: displacement_mm -1"),
            (GOOD.replace("-07:00", ""), "3:6"),
            (GOOD.replace("\"passed\"", "\"fine\""), "7:11: verdict is \"fine\""),
            (GOOD.replace("tester = \"B. Invented\"\n", ""), "tester is missing"),
            (GOOD.repeat(2), "10:10: fixing \"L2-3\" was tested at this time already"),
        ];
        for (text, words) in cases {
            let problem = ProofTests::parse("t.toml", &text).unwrap_err().to_string();
            assert!(problem.contains(words), "{words}: {problem}");
        }
    }
}
