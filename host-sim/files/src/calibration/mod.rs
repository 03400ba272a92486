//! The calibration record of a probe: a small TOML file that a person writes from the sheet of whoever calibrated it.
//!
//! What for: `holdoff probe check` and the hand-over record. The form stands in `docs/probe.md`. It is read with the same
//! suspicion as a job file: every number exactly as written, every unknown key refused, all that is wrong reported at once with
//! line and column.
//! Terms: a *part* is 10^-8 °C, so that 1/256 °C (390 625 parts) and any decimal of eight places are whole; the *reading* is what
//! the probe says, the *reference value* what the reference says at the same time; an uncertainty is *expanded* with k = 2.
//! Invariants of a [`Calibration`]: two points at least; readings and reference values rise; every uncertainty is above zero;
//! the date does not lie in the future, the due date lies behind the date; of two points alone the deviation between them is given.
//! What it does not do: reckon (`holdoff_site::calibration` does), read a clock: today is an argument.

use crate::decimal::Decimal;
use crate::problem::{Problem, shown};
use crate::toml_file::{At, Findings, Need, Table, document};
use chrono::{DateTime, NaiveDate};
use std::ops::Range;

#[cfg(test)]
mod tests;

/// Largest file read, in bytes.
pub const MOST_BYTES: u64 = 64 * 1024;
/// Parts in 1 °C.
pub const PARTS: i64 = 100_000_000;
/// Parts in a count of 1/256 °C.
pub const PARTS_PER_COUNT: i64 = PARTS / 256;
/// Places of a decimal that parts hold.
const PLACES: u8 = 8;
/// Greatest uncertainty of a file, in parts: 10 °C, as in a job.
const MOST_UNCERTAINTY: i64 = 10 * PARTS;
/// Most points of a file.
const MOST_POINTS: usize = 100;
/// Seconds that the clock furthest ahead is ahead of UTC: 14 h.
const FURTHEST_AHEAD: i64 = 14 * 3600;

/// A calibration as its file says it.
#[derive(Clone, Debug)]
pub struct Calibration {
    /// Number of the probe.
    pub probe: String,
    /// Who calibrated.
    pub by: String,
    /// The day it was done.
    pub date: NaiveDate,
    /// The last day it holds.
    pub due: NaiveDate,
    /// Number of the reference.
    pub reference: String,
    /// Expanded uncertainty of the reference, parts.
    pub reference_uncertainty: i64,
    /// Step between two readings of the probe, parts.
    pub resolution: i64,
    /// Standard deviation of a single reading, parts, where the file says.
    pub repeatability: Option<i64>,
    /// The most that the correction can lie off the straight line between two points, parts, where the file says.
    pub between: Option<i64>,
    /// At least two, in rising order.
    pub points: Vec<Point>,
    findings: Findings,
    probe_at: Range<usize>,
}

/// A point of a calibration.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Point {
    /// What the probe said, parts.
    pub reading: i64,
    /// What the reference said, parts.
    pub reference: i64,
    /// Expanded uncertainty of the comparison, apart from that of the reference, parts.
    pub uncertainty: i64,
}

impl Point {
    /// What is to be added to the reading to make it the reference value, parts.
    pub const fn correction(&self) -> i64 {
        self.reference - self.reading
    }
}

/// How a day lies to a calibration.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum OnDay {
    /// From its date to its due date.
    Good,
    /// Behind its due date.
    PastDue,
    /// Before its date: at that time this calibration was not there.
    NotYet,
}

/// The day that it is where the clock is furthest ahead, 14 h before UTC: a day is past nowhere before it is past there.
/// `now` in seconds since 1970-01-01T00:00:00Z.
pub fn latest_day(now: i64) -> NaiveDate {
    DateTime::from_timestamp(now.saturating_add(FURTHEST_AHEAD), 0).map_or(NaiveDate::MAX, |at| at.date_naive())
}

impl Calibration {
    /// Reads the text of a file that messages call `file`; `today` as [`latest_day`] has it.
    ///
    /// # Errors
    /// All that is wrong with it in one [`Problem`].
    pub fn parse(file: &str, text: &str, today: NaiveDate) -> Result<Self, Problem> {
        let mut findings = Findings::new(file, text);
        let read = read(text, today, &mut findings);
        let findings = findings.sorted();
        match read {
            Some(read) if !findings.any_error() => Ok(Self { findings, ..read }),
            Some(_) | None => Err(findings.into_problem()),
        }
    }

    /// Refuses the calibration of another probe.
    ///
    /// # Errors
    /// A [`Problem`] at the place of its number.
    pub fn only(&self, probe: &str) -> Result<(), Problem> {
        if self.probe == probe {
            return Ok(());
        }
        let mut findings = self.findings.clone();
        let [found, asked] = [&self.probe, probe].map(|number| shown(number.as_bytes()));
        let what = format!("this is the calibration of probe {found}, and that of {asked} is needed");
        findings.error(self.probe_at.clone(), what, "give the calibration of that probe, or correct the number");
        Err(findings.into_problem())
    }

    /// How a day lies to it; its due date is the last one that is good.
    pub fn on(&self, day: NaiveDate) -> OnDay {
        if day > self.due {
            OnDay::PastDue
        } else if day < self.date {
            OnDay::NotYet
        } else {
            OnDay::Good
        }
    }
}

fn read(text: &str, today: NaiveDate, findings: &mut Findings) -> Option<Calibration> {
    let document = document(text, findings)?;
    let root = Table::new(document.get_ref(), 0..0, "the file", example);
    let known = ["probe", "by", "date", "due", "resolution_c", "repeatability_c", "between_c", "reference", "point"];
    root.only(&known, findings);
    let probe = root.plain_text("probe", Need::Required, findings);
    let by = root.plain_text("by", Need::Required, findings);
    let date = root.date("date", Need::Required, findings);
    let due = root.date("due", Need::Required, findings);
    let resolution = uncertainty(&root, "resolution_c", Need::Required, findings);
    let repeatability = uncertainty(&root, "repeatability_c", Need::Optional, findings);
    let between = uncertainty(&root, "between_c", Need::Optional, findings);
    let reference = root.table("reference", "[reference]", findings).map(|table| {
        table.only(&["number", "uncertainty_c"], findings);
        let number = table.plain_text("number", Need::Required, findings);
        (number, uncertainty(&table, "uncertainty_c", Need::Required, findings))
    });
    let tables = root.tables("point", "[[point]]", Need::Required, findings);
    let points: Option<Vec<Point>> = points(&tables, findings);
    if let Some(date) = date.as_ref().filter(|date| date.value > today) {
        let what = format!("date {} lies in the future: it is {today} at the latest", date.value);
        findings.error(date.span.clone(), what, "correct the date, or this computer's clock");
    }
    if let (Some(date), Some(due)) = (&date, &due)
        && due.value <= date.value
    {
        let what = format!("due {} does not lie behind date {}", due.value, date.value);
        findings.error(due.span.clone(), what, "give the last day that the calibration holds");
    }
    if let (Some([_, _]), false) = (points.as_deref(), root.has("between_c")) {
        let what = "between_c is missing: two points can't show a curve between them";
        let span = tables.last().map_or(0..0, |table| table.span.clone());
        let remedy = "add a point, or above [reference] the most that the probe can lie off the straight line, such as \
                      between_c = 0.1, from its data sheet";
        findings.error(span, what, remedy);
    }
    let (probe, (number, reference_uncertainty)) = (probe?, reference?);
    Some(Calibration {
        probe_at: probe.span,
        probe: probe.value,
        by: by?.value,
        date: date?.value,
        due: due?.value,
        reference: number?.value,
        reference_uncertainty: reference_uncertainty?,
        resolution: resolution?,
        repeatability,
        between,
        points: points?,
        findings: Findings::new("", ""),
    })
}

/// All points; `None` where one can't be used. What is out of order has its finding.
fn points(tables: &[Table<'_, '_>], findings: &mut Findings) -> Option<Vec<Point>> {
    let points: Option<Vec<_>> =
        tables.iter().map(|table| point(table, findings)).collect::<Vec<_>>().into_iter().collect();
    let span = || tables.first().map_or(0..0, |table| table.span.clone());
    if tables.len() == 1 {
        findings.error(span(), "there is only one point", "give two at least: a correction holds between points alone");
    }
    if tables.len() > MOST_POINTS {
        let what = format!("there are {} points, and {MOST_POINTS} at most can be used", tables.len());
        findings.error(span(), what, "leave out points that lie close together");
    }
    let points = points?;
    for (before, after) in points.iter().zip(points.iter().skip(1)) {
        let pairs = [("reading_c", &before.0, &after.0), ("reference_c", &before.1, &after.1)];
        for (key, before, after) in pairs.into_iter().filter(|(_, before, after)| after.value.1 <= before.value.1) {
            let (now, last) = (&after.value.0, &before.value.0);
            let (what, remedy) = if after.value.1 == before.value.1 {
                (
                    format!("{key} {now} is that of the point before"),
                    "give one point at a temperature: the mean of both",
                )
            } else {
                (
                    format!("{key} {now} lies below {last}, that of the point before"),
                    "give the points from cold to warm, or correct the number",
                )
            };
            findings.error(after.span.clone(), what, remedy);
        }
    }
    let point = |(reading, reference, uncertainty): (At<Exact>, At<Exact>, i64)| Point {
        reading: reading.value.1,
        reference: reference.value.1,
        uncertainty,
    };
    Some(points.into_iter().map(point).collect())
}

/// A number as it is written, and in parts.
type Exact = (Decimal, i64);

fn point(table: &Table<'_, '_>, findings: &mut Findings) -> Option<(At<Exact>, At<Exact>, i64)> {
    table.only(&["reading_c", "reference_c", "uncertainty_c"], findings);
    let mut degrees = |key: &str| {
        let number = table.degrees(key, Need::Required, findings)?;
        let parts = parts(key, &number, findings)?;
        Some(At { value: (number.value, parts), span: number.span })
    };
    let (reading, reference) = (degrees("reading_c"), degrees("reference_c"));
    let uncertainty = uncertainty(table, "uncertainty_c", Need::Required, findings);
    Some((reading?, reference?, uncertainty?))
}

/// An uncertainty above zero, in parts; `None`, with a finding where it is there and can't be used.
fn uncertainty(table: &Table<'_, '_>, key: &str, need: Need, findings: &mut Findings) -> Option<i64> {
    let number = table.number(key, need, findings)?;
    let inside = !number.value.is_negative() && !number.value.is_zero() && number.value.cmp_whole(10).is_le();
    if !inside {
        let what = format!("{key} {} is not above 0 and up to {} °C", number.value, MOST_UNCERTAINTY / PARTS);
        findings.error(number.span, what, "give it in °C: nothing is measured without one");
        return None;
    }
    parts(key, &number, findings)
}

fn parts(key: &str, number: &At<Decimal>, findings: &mut Findings) -> Option<i64> {
    let found = number.value.whole_shifted(PLACES);
    if found.is_none() {
        let what = format!("{key} {} has more than {PLACES} decimals", number.value);
        findings.error(number.span.clone(), what, "write it with eight decimals at most; round an uncertainty up");
    }
    found
}

/// How the value of a key is written.
fn example(key: &str) -> String {
    let value = match key {
        "probe" | "number" => "\"its number\"",
        "by" => "\"who calibrated\"",
        "date" => "2021-11-15",
        "due" => "2022-11-15",
        "resolution_c" => "0.0625",
        "reference" => return "[reference] with number and uncertainty_c below it".to_owned(),
        "point" => return "[[point]] with its keys below it, once for each".to_owned(),
        "reading_c" => "20.1",
        "reference_c" => "20.0",
        _ => "0.05",
    };
    format!("{key} = {value}")
}
