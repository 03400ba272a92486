//! The take-off as an object for scripts.

use crate::words::Speech;
use holdoff_files::job::{BlowWith, Length};
use holdoff_site::take_off::{GroupNeeds, Note, TakeOff};
use serde::Serialize;
use std::collections::BTreeMap;

/// The object of `docs/interfaces.md`.
#[derive(Debug, Serialize)]
pub struct Object<'a> {
    job: &'a str,
    site: &'a str,
    resin: &'a str,
    demo: bool,
    spare_percent: f64,
    groups: Vec<OfGroup<'a>>,
    total: OfAll<'a>,
    short_batches: Vec<ShortBatch<'a>>,
    caution: String,
}

#[derive(Debug, Serialize)]
struct OfGroup<'a> {
    group: &'a str,
    element: String,
    fixings: u32,
    holes: u64,
    hole_diameter_mm: f64,
    hole_depth_mm: f64,
    embedment_mm: f64,
    annulus_ul: u64,
    below_ul: u64,
    bore_ul: u64,
    fill_ul: u64,
    fill_covers: bool,
    inject_ul: u64,
    resin_ul: u64,
    cartridges: Option<u64>,
    nozzles: Option<u64>,
    cartridges_a_hole: Option<u64>,
    brushes: u64,
    brush_mm: Option<f64>,
    extension_tubes: u64,
    extension_tube_least_mm: Option<f64>,
    blow_with: Option<&'static str>,
    centring_pieces: u64,
    fill_s: Option<u64>,
    working_s: Option<u32>,
    notes: Vec<&'static str>,
}

#[derive(Debug, Serialize)]
struct OfAll<'a> {
    holes: u64,
    elements: BTreeMap<&'a str, u64>,
    resin_ul: u64,
    cartridges: Option<u64>,
    nozzles: Option<u64>,
    brushes: Vec<OfSize>,
    extension_tubes: Vec<OfSize>,
    hand_pump: bool,
    compressed_air: bool,
    centring_pieces: u64,
}

#[derive(Debug, Serialize)]
struct OfSize {
    mm: f64,
    number: u64,
}

#[derive(Debug, Serialize)]
struct ShortBatch<'a> {
    batch: &'a str,
    cartridges: u64,
    needed: u64,
}

/// Millimetres; the nearest number to the exact one.
fn mm(length: Length) -> f64 {
    f64::from(length.micrometres()) / 1000.0
}

fn sized(map: &BTreeMap<Length, u64>) -> Vec<OfSize> {
    map.iter().map(|(length, number)| OfSize { mm: mm(*length), number: *number }).collect()
}

/// The take-off for a script.
pub fn object<'a>(take_off: &'a TakeOff<'_>) -> Object<'a> {
    let (file, total) = (take_off.file, &take_off.total);
    let demo = file.resin().demo();
    Object {
        job: &file.job().name,
        site: &file.job().site,
        resin: file.resin().name(),
        demo,
        spare_percent: f64::from(take_off.spare.hundredths()) / 100.0,
        groups: take_off.groups.iter().map(of_group).collect(),
        total: OfAll {
            holes: total.holes,
            elements: total.elements.iter().map(|(name, (_, number))| (name.as_str(), *number)).collect(),
            resin_ul: total.resin.microlitres(),
            cartridges: total.cartridges,
            nozzles: total.nozzles,
            brushes: sized(&total.brushes),
            extension_tubes: sized(&total.tubes),
            hand_pump: total.hand_pump,
            compressed_air: total.compressed_air,
            centring_pieces: total.centring_pieces,
        },
        short_batches: take_off
            .short
            .iter()
            .map(|(batch, cartridges, needed)| ShortBatch { batch, cartridges: *cartridges, needed: *needed })
            .collect(),
        caution: Speech::PLAIN.cautions(demo),
    }
}

fn of_group<'a>(needs: &GroupNeeds<'a>) -> OfGroup<'a> {
    let (group, volumes) = (needs.group, &needs.volumes);
    OfGroup {
        group: &group.name,
        element: group.element.to_string(),
        fixings: group.number(),
        holes: needs.holes,
        hole_diameter_mm: mm(group.drilled.diameter),
        hole_depth_mm: mm(group.drilled.depth),
        embedment_mm: mm(group.embedment),
        annulus_ul: volumes.annulus.microlitres(),
        below_ul: volumes.below.microlitres(),
        bore_ul: volumes.bore.microlitres(),
        fill_ul: volumes.fill.microlitres(),
        fill_covers: volumes.fill_covers(),
        inject_ul: volumes.inject().microlitres(),
        resin_ul: needs.resin.microlitres(),
        cartridges: needs.cartridges.map(|found| found.cartridges),
        nozzles: needs.cartridges.map(|found| found.nozzles),
        cartridges_a_hole: needs.cartridges.map(|found| found.a_hole),
        brushes: needs.brushes.map_or(0, |(_, number)| number),
        brush_mm: needs.brushes.map(|(diameter, _)| mm(diameter)),
        extension_tubes: needs.tubes.map_or(0, |(_, number)| number),
        extension_tube_least_mm: needs.tubes.map(|(length, _)| mm(length)),
        blow_with: needs.blow_with.map(BlowWith::word),
        centring_pieces: needs.centring_pieces,
        fill_s: needs.filling.seconds,
        working_s: needs.filling.working.map(|working| working.seconds()),
        notes: needs.notes.iter().map(Note::word).collect(),
    }
}
