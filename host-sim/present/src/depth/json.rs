//! The JSON object of a depth check (`docs/interfaces.md`, Depth check).

use crate::replay::celsius;
use crate::seen::SeenObject;
use crate::words::Speech;
use holdoff_core::fixing::{Grounds, Status};
use holdoff_core::quantity::{Fine, Instant};
use holdoff_files::stamp::format_seconds;
use holdoff_site::depth::{OfFixing, Report};
use serde::Serialize;

/// A depth check.
#[derive(Debug, Serialize)]
pub struct Object {
    depth_mm: f64,
    diffusivity_mm2_s: [f64; 2],
    before_c: f64,
    before: &'static str,
    unknown_share: f64,
    gaps: u64,
    readings: usize,
    coldest_face_c: f64,
    coldest_bottom_c: f64,
    bottom_colder_by_c: f64,
    bottom_colder_at: String,
    bottom_colder_mean_c: f64,
    #[serde(flatten)]
    fixing: Option<FixingObject>,
    #[serde(flatten)]
    seen: SeenObject,
    demo: bool,
    caution: String,
}

#[derive(Debug, Serialize)]
struct FixingObject {
    face: StatusObject,
    bottom: StatusObject,
    along: StatusObject,
    stated: StatusObject,
    later_s: Option<i64>,
    rule: &'static str,
    hole: &'static str,
    laxer: Vec<&'static str>,
    resin: String,
}

#[derive(Debug, Serialize)]
struct StatusObject {
    stage: &'static str,
    cured_at: Option<String>,
    coldest_c: Option<f64>,
    reasons: Vec<&'static str>,
}

/// The object of a report.
pub fn object(report: &Report<'_>) -> Object {
    let demo = report.fixing.as_ref().is_some_and(|fixing| fixing.demo);
    let (least, greatest) = report.question.diffusivity;
    let contrast = &report.contrast;
    Object {
        depth_mm: report.question.depth_mm,
        diffusivity_mm2_s: [least, greatest],
        before_c: report.below.before,
        before: if report.question.before.is_some() { "given" } else { "coldest-reading" },
        unknown_share: report.unknown_share(),
        gaps: report.below.gaps,
        readings: report.readings.len(),
        coldest_face_c: celsius(contrast.coldest_face),
        coldest_bottom_c: celsius(contrast.coldest_bottom),
        bottom_colder_by_c: f64::from(contrast.most_counts) / 256.0,
        bottom_colder_at: format_seconds(contrast.most_at.seconds(), report.offset_seconds),
        bottom_colder_mean_c: contrast.mean,
        fixing: report.fixing.as_ref().map(|fixing| of_fixing(fixing, report.offset_seconds)),
        seen: SeenObject::of(report.seen),
        demo,
        caution: Speech::PLAIN.cautions(demo),
    }
}

fn of_fixing(fixing: &OfFixing<'_>, offset_seconds: i32) -> FixingObject {
    let statuses = &fixing.statuses;
    let stated = statuses.stated();
    let time = |at: Option<Instant>| at.map(|at| format_seconds(at.seconds(), offset_seconds));
    let reasons = |grounds: Grounds| grounds.iter().map(|ground| ground.word()).collect();
    let coldest = |coldest: Option<Fine>| coldest.map(|coldest| f64::from(coldest.raw()) / 256.0);
    let one = |status: &Status| StatusObject {
        stage: status.stage.word(),
        cured_at: time(status.cured_at),
        coldest_c: coldest(status.coldest),
        reasons: reasons(status.grounds),
    };
    FixingObject {
        face: one(&statuses.face),
        bottom: one(&statuses.bottom),
        along: one(&statuses.along),
        stated: StatusObject {
            stage: stated.stage.word(),
            cured_at: time(stated.cured_at),
            coldest_c: coldest(statuses.all().into_iter().filter_map(|status| status.coldest).min()),
            reasons: reasons(stated.grounds),
        },
        later_s: stated.cured_at.zip(statuses.face.cured_at).map(|(stated, face)| stated.since(face)),
        rule: fixing.group.rule().word(),
        hole: statuses.face.hole.word(),
        laxer: fixing.group.settings().laxer().words().collect::<Vec<_>>(),
        resin: fixing.resin.to_owned(),
    }
}
