//! The JSON object of a check (`docs/interfaces.md`, Calibration of a probe).

use super::{Check, Report};
use crate::words::Speech;
use holdoff_files::calibration::{OnDay, PARTS, PARTS_PER_COUNT};
use holdoff_site::calibration::{Cover, Place, Row, cover};
use serde::Serialize;

/// A calibration and what it was held against.
#[derive(Debug, Serialize)]
pub struct Object {
    probe: String,
    reference: String,
    by: String,
    date: String,
    due: String,
    on: String,
    standing: &'static str,
    checks: Vec<CheckObject>,
    demo: bool,
    caution: String,
}

#[derive(Debug, Serialize)]
struct CheckObject {
    resin: Option<String>,
    job: Option<String>,
    uncertainty_c: Option<f64>,
    cover: Option<&'static str>,
    needed_c: Option<f64>,
    outside_c: Vec<f64>,
    rows: Vec<RowObject>,
}

#[derive(Debug, Serialize)]
struct RowObject {
    reading_c: f64,
    decides: Vec<&'static str>,
    correction_c: Option<f64>,
    expanded_c: Option<f64>,
    needed_c: Option<f64>,
    terms: Option<TermsObject>,
}

#[derive(Debug, Serialize)]
struct TermsObject {
    reference_c: f64,
    point_c: f64,
    resolution_c: f64,
    repeatability_c: f64,
    between_c: f64,
}

/// The object of a check.
pub fn object(report: &Report<'_>) -> Object {
    let calibration = report.calibration;
    let demo = report.checks.iter().any(|check| check.demo);
    Object {
        probe: calibration.probe.clone(),
        reference: calibration.reference.clone(),
        by: calibration.by.clone(),
        date: calibration.date.to_string(),
        due: calibration.due.to_string(),
        on: report.on.to_string(),
        standing: match calibration.on(report.on) {
            OnDay::Good => "good",
            OnDay::PastDue => "past-due",
            OnDay::NotYet => "not-yet",
        },
        checks: report.checks.iter().map(check).collect(),
        demo,
        caution: Speech::PLAIN.cautions(demo),
    }
}

/// °C of parts: the nearest `f64`.
fn celsius(parts: i64) -> f64 {
    parts as f64 / PARTS as f64
}

fn check(check: &Check<'_>) -> CheckObject {
    let rows = check.rows.iter();
    let needed = rows.clone().filter_map(|row| row.reckoned).map(|found| found.needed()).max();
    CheckObject {
        resin: check.resin.map(str::to_owned),
        job: check.job.map(|(name, _)| name.to_owned()),
        uncertainty_c: check.job.map(|(_, given)| celsius(i64::from(given.counts()) * PARTS_PER_COUNT)),
        cover: check.job.map(|(_, given)| match cover(&check.rows, given) {
            Cover::Covered { .. } => "covered",
            Cover::TooSmall { .. } => "too-small",
            Cover::Unknown => "not-known",
        }),
        needed_c: needed.map(celsius),
        outside_c: rows.clone().filter(|row| row.reckoned.is_none()).map(|row| celsius(row.at)).collect(),
        rows: rows.map(row).collect(),
    }
}

fn row(row: &Row) -> RowObject {
    let word = |place: &Place| match place {
        Place::InstallLeast => "install-least",
        Place::InstallGreatest => "install-greatest",
        Place::CureLeast => "cure-least",
        Place::CureGreatest => "cure-greatest",
        Place::RejectBelow => "reject-below",
        Place::RejectAbove => "reject-above",
        Place::BandEdge => "band",
        Place::Point => "point",
    };
    RowObject {
        reading_c: celsius(row.at),
        decides: row.places.iter().map(word).collect(),
        correction_c: row.reckoned.map(|found| celsius(found.correction)),
        expanded_c: row.reckoned.map(|found| celsius(found.expanded)),
        needed_c: row.reckoned.map(|found| celsius(found.needed())),
        terms: row.reckoned.map(|found| TermsObject {
            reference_c: celsius(found.terms.reference),
            point_c: celsius(found.terms.point),
            resolution_c: celsius(found.terms.resolution),
            repeatability_c: celsius(found.terms.repeatability),
            between_c: celsius(found.terms.between),
        }),
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::object;
    use crate::probe::{Check, Report};
    use crate::words::{CAUTION, DEMO_CAUTION};
    use chrono::NaiveDate;
    use holdoff_files::calibration::Calibration;
    use holdoff_site::calibration::{Asked, rows};

    #[test]
    fn an_invented_resin_has_its_caution_in_the_object_too() {
        let text = include_str!("../../../demo/probe-7.toml");
        let calibration = Calibration::parse("probe-7.toml", text, NaiveDate::MAX).expect("the demo's calibration");
        for demo in [false, true] {
            let check = Check { resin: Some("slow"), demo, job: None, rows: rows(&calibration, Asked::Points) };
            let report = Report { calibration: &calibration, on: calibration.date, checks: vec![check] };
            let told = serde_json::to_value(object(&report)).expect("JSON");
            let caution = if demo { format!("{DEMO_CAUTION} {CAUTION}") } else { CAUTION.to_owned() };
            assert_eq!(told["caution"], caution, "{told}");
        }
    }
}
