#![allow(clippy::unwrap_used, clippy::panic, reason = "a test that cannot go on should stop there")]

use super::{Findings, Job, JobFile};
use crate::problem::Problem;
use crate::resin_file::ResinFile;
use crate::toml_file::Severity;
use holdoff_core::resin::Hole;

mod random;
mod refused;

const DEMO: &str = include_str!("../../../demo/quay-job.toml");
const RESIN: &str = include_str!("../../../demo/harbour-slow.toml");

fn demo_resin(name: &str) -> Result<ResinFile, Problem> {
    ResinFile::parse(name, RESIN)
}

fn good(text: &str) -> JobFile {
    match JobFile::examine("j.toml", text, demo_resin) {
        Ok(job) => job,
        Err(findings) => panic!("{}", findings.into_problem()),
    }
}

fn findings(text: &str) -> Findings {
    match JobFile::examine("j.toml", text, demo_resin) {
        Ok(job) => job.findings().clone(),
        Err(findings) => findings,
    }
}

/// The texts of what was found, errors or warnings, with their line.
fn said(text: &str, severity: Severity) -> Vec<String> {
    let findings = findings(text);
    let one = |finding: &crate::toml_file::Finding| {
        format!("{}: {} / {}", findings.place(finding.span.start).0, finding.what, finding.remedy)
    };
    findings.iter().filter(|finding| finding.severity == severity).map(one).collect()
}

/// The demo with the first text replaced, which must be there.
fn with(from: &str, to: &str) -> String {
    assert!(DEMO.contains(from), "{from}");
    DEMO.replacen(from, to, 1)
}

#[test]
fn the_demo_job_is_read_whole_and_nothing_looks_odd() {
    let file = good(DEMO);
    assert_eq!(said(DEMO, Severity::Warning), Vec::<String>::new());
    let job = file.job();
    assert_eq!((job.groups.len(), job.number(), job.offset_seconds, file.source()), (4, 58, -7 * 3600, DEMO));
    assert_eq!(file.resin().name(), "Harbour slow");
    let bollard = &job.groups[0];
    assert_eq!(bollard.element.to_string(), "threaded stud M16");
    assert_eq!(bollard.fixings[3].name, "bollard 3 stud 4");
    let range = bollard.spec().torque.unwrap();
    assert_eq!((range.least().hundredths(), range.greatest().hundredths()), (3_800, 4_200));
    assert_eq!(job.groups[3].spec().torque, None);
    assert_eq!(job.groups[3].spec().hole, Hole::Wet);
}

#[test]
fn the_example_of_the_docs_can_be_used_as_it_stands() {
    let docs = include_str!("../../../../docs/job-file.md");
    let example = docs
        .lines()
        .skip_while(|line| !line.starts_with("    name = "))
        .take_while(|line| !line.starts_with("Required"));
    let example: String = example.map(|line| format!("{}\n", line.trim_start())).collect();
    assert_eq!(said(&example, Severity::Warning), Vec::<String>::new());
    assert_eq!(good(&example).job().groups[0].fixings.len(), 4);
    // every key is described
    let printed = good(DEMO).job().to_toml();
    let keys = printed.lines().filter_map(|line| line.split_once(" = ")).map(|(key, _)| key);
    keys.for_each(|key| assert!(docs.contains(&format!("{key} = ")), "{key}"));
}

#[test]
fn a_group_is_split_into_its_loggers_in_order() {
    let file = good(DEMO);
    let job = file.job();
    let loggers: Vec<(String, usize, &str)> = job
        .logger_groups()
        .map(|logger| (logger.name(), logger.fixings().len(), logger.fixings()[0].name.as_str()))
        .collect();
    assert_eq!(
        loggers,
        [
            ("bollard 3".to_owned(), 4, "bollard 3 stud 1"),
            ("ladder 2".to_owned(), 12, "L2-1"),
            ("pipe hangers / 1".to_owned(), 8, "PH-1"),
            ("pipe hangers / 2".to_owned(), 8, "PH-9"),
            ("pipe hangers / 3".to_owned(), 8, "PH-17"),
            ("capping beam bars / 1".to_owned(), 9, "CB-1"),
            ("capping beam bars / 2".to_owned(), 9, "CB-10"),
        ]
    );
    let first = job.logger_group("bollard 3").unwrap();
    let (batch, past_from) = first.batch_record().unwrap();
    // 2022-06-30 is good through that day at -07:00: past from 2022-07-01T07:00:00Z (CPython datetime: 1656658800)
    assert_eq!((batch.text(), past_from), (Some("HS-2107-04"), 1_656_658_800));
    let (label, spec) = first.declared().next().unwrap();
    assert_eq!((label.text(), spec), (Some("bollard 3 stud 1"), job.groups[0].spec()));
    assert_eq!(first.fixings()[0].label().text(), "bollard 3 stud 1");
    assert_eq!(first.plan().fixings.len(), 4);
}

#[test]
fn what_is_printed_reads_back_as_the_same_job() {
    let job = good(DEMO).job().clone();
    assert_eq!(good(&job.to_toml()).job(), &job);
    let without: Job = good(&with("[settings]                       # each may be left out\nuncertainty_c = 1.0\nlongest_gap = \"5min\"\nclock_ppm = 100\nsettle = \"3min\"\nperiod = \"1min\"                  # between readings of a logger\n", "")).job().clone();
    assert_eq!(without, job, "the demo writes the defaults");
}
