//! What is said of a fixing at the end of the rows.

use super::grounds::Reason;
use super::life::{Life, Stage};
use super::model::{Report, RowKind};
use super::readings::News;

use num::{BigRational, Zero};

/// The report on a life that has taken all its steps.
pub(super) fn report(life: &Life, news: &[News]) -> Report {
    let tally = Tally::of(life, news);
    let mut report = Report {
        stage: stage(life).to_owned(),
        cured_at: life.cured_at,
        announced_at: announced_at(life),
        required: 0,
        served: 0,
        elapsed: 0,
        counted: 0,
        held: 0,
        unobserved: 0,
        bands: vec![0; life.history.resin.bands.len()],
        coldest: None,
        accrued: BigRational::zero(),
        accepted: tally.accepted,
        refused: tally.refused,
        missing: tally.missing,
        outside_at_seating: life.outside_at_seating.map(|(_, count)| count),
        cleaned: life.at_start.is_some_and(|start| start.cleaned),
        even: life.at_start.is_some_and(|start| start.even),
        facts: life.facts,
        reasons: life.reasons.iter().map(|reason| word(*reason).to_owned()).collect(),
    };
    if let (Some(seated_at), Some(coldest)) = (life.seated_at, life.coldest) {
        let count = &life.count;
        report.required = count.required(coldest);
        report.served = count.served();
        report.elapsed = count.elapsed();
        report.counted = count.counted();
        report.held = count.held();
        report.unobserved = count.unobserved();
        report.bands = count.bands().to_vec();
        report.coldest = Some(coldest);
        report.accrued = count.accrued();
        assert_eq!(report.counted + report.held + report.unobserved, report.elapsed, "C1");
        if let (Stage::Curing, Some(last)) = (life.stage, life.readings.last()) {
            let since_seating = u64::try_from((last.at - seated_at).max(0));
            assert_eq!(Ok(report.elapsed), since_seating, "time since seating");
        }
        if let Some(cured_at) = life.cured_at {
            assert_eq!(Ok(report.elapsed), u64::try_from(cured_at - seated_at), "time to the cure");
        }
    }
    report
}

/// Readings of the whole trace. Each row that is no restart is one of them.
struct Tally {
    accepted: u64,
    refused: u64,
    missing: u64,
}

impl Tally {
    fn of(life: &Life, news: &[News]) -> Self {
        let mut tally = Self { accepted: 0, refused: 0, missing: 0 };
        for one in news {
            match one {
                News::Accepted(readings) => {
                    tally.accepted += 1;
                    // A candidate moves from the refused to the accepted ones.
                    for _ in readings.iter().skip(1) {
                        tally.accepted += 1;
                        tally.refused -= 1;
                    }
                }
                News::Missing { .. } | News::Lost { .. } => tally.missing += 1,
                News::NotLater | News::Unusable { .. } => tally.refused += 1,
                News::Restart { .. } => {}
            }
        }
        let rows: u64 = life
            .history
            .rows
            .iter()
            .map(|row| match row {
                RowKind::Reading(_) | RowKind::Lost { .. } => 1,
                RowKind::Restart { .. } => 0,
            })
            .sum();
        assert_eq!(tally.accepted + tally.refused + tally.missing, rows, "every row is of one kind");
        tally
    }
}

/// Whether the last accepted reading is outside.
fn is_held(life: &Life) -> bool {
    life.readings.last().is_some_and(|last| life.limits.is_outside(life.capped(last.low), last.high))
}

fn stage(life: &Life) -> &'static str {
    match life.stage {
        Stage::Planned => "planned",
        Stage::Refused => "refused",
        Stage::Working => "working",
        Stage::Curing if is_held(life) => "held",
        Stage::Curing => "curing",
        Stage::Cured => "cured",
        Stage::Released => "released",
        Stage::Rejected => "rejected",
        Stage::Accepted => "accepted",
        Stage::Removed => "removed",
    }
}

/// The cure once it is known; while curing the forecast, if the last accepted reading supports one.
fn announced_at(life: &Life) -> Option<i64> {
    match life.stage {
        Stage::Cured | Stage::Released => life.cured_at,
        Stage::Curing => forecast(life),
        Stage::Planned | Stage::Refused | Stage::Working | Stage::Rejected | Stage::Accepted | Stage::Removed => None,
    }
}

fn forecast(life: &Life) -> Option<i64> {
    let last = life.readings.last()?;
    let readings = life.history.rows.iter().filter(|row| match row {
        RowKind::Reading(_) | RowKind::Lost { .. } => true,
        RowKind::Restart { .. } => false,
    });
    let end = readings.map(RowKind::at).next_back()?;
    let too_old = i128::from(end) - i128::from(last.at) > i128::from(life.history.settings.longest_gap);
    if too_old || is_held(life) {
        return None;
    }
    let band = life.limits.band(life.capped(last.low))?;
    let further = life.count.further(band, life.coldest?);
    let from = last.at.max(life.seated_at?);
    Some(from + i64::try_from(further).expect("a forecast fits 63 bits"))
}

fn word(reason: Reason) -> &'static str {
    match reason {
        Reason::PastDate => "past-date",
        Reason::NoReading => "no-reading",
        Reason::TooCold => "too-cold",
        Reason::TooWarm => "too-warm",
        Reason::Cartridge => "cartridge",
        Reason::HoleExcluded => "hole-excluded",
        Reason::SeatedLate => "seated-late",
        Reason::NotSeated => "not-seated",
        Reason::BelowReject => "below-reject",
        Reason::HeldTooLong => "held-too-long",
        Reason::LoadedEarly => "loaded-early",
        Reason::AboveReject => "above-reject",
        Reason::OverTorque => "over-torque",
        Reason::ProbeNotSettled => "probe-not-settled",
        Reason::NotCleaned => "not-cleaned",
        Reason::Nozzle => "nozzle",
        Reason::Underfilled => "underfilled",
        Reason::NotToDepth => "not-to-depth",
    }
}
