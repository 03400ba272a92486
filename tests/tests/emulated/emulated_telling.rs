//! The image that tells what it does (feature `defmt`) tells the story of a cure, in order.

use crate::emulated_support::life::Life;
use crate::emulated_support::{DEMO_RESIN, minutes};
use holdoff_core::fixing::{Stage, TorqueRange};
use holdoff_core::quantity::{Span, Torque};
use holdoff_core::resin::Hole;
use holdoff_disk::Load;
use holdoff_files::resin_file::ResinFile;
use holdoff_tests::emulator::{Cure, Felt, Held, Image, Kind, Machine, Setup, Site, blank_memory, known_seed, told};

#[test]
fn the_lines_of_the_telling_image_are_the_story_of_the_cure_in_order_and_have_no_key_in_them() {
    let resin = ResinFile::load(DEMO_RESIN).unwrap();
    // too warm for any reading to be believed for a minute, before the injection
    let mut rows = minutes("2026-03-02T08:00:00Z", &[(0, 35.0), (60, 36.0), (150, 35.5)]);
    rows[2].reading = holdoff_files::trace::Sample::OutOfRange;
    let start = rows[0].seconds;
    let range = TorqueRange::new(Torque::from_hundredths(1800), Torque::from_hundredths(2200)).unwrap();
    let torque = Torque::from_hundredths(2000);
    let cure = Cure {
        rows: &rows,
        resin: &resin,
        hole: Hole::Dry,
        settle: Span::from_seconds(180),
        inject: start,
        seat: None,
        torque: Some((torque, range, None)),
        offset_minutes: 60,
        until: start,
    };
    let life = Life { inject: start + 425, seat: start + 490, torque: (torque, range), until: start + 9000 };
    let directory = tempfile::tempdir().unwrap();
    let (memory, file) = (directory.path().join("memory.bin"), directory.path().join("told"));
    blank_memory(&memory).unwrap();
    let image = Image::get(Kind::Telling).unwrap();
    let felt: Vec<Felt> = rows.iter().map(Felt::of).collect();
    let setup = Setup { told: Some(&file), ..Setup::plain(image, &memory, start - 6, felt[0].sixteenths) };
    let machine = Machine::start(&setup).unwrap();
    let mut site = Site::new(machine, felt);
    cure.load(&mut site).unwrap();
    life.go_on(&mut site, &memory).unwrap();
    site.machine.cut().unwrap();
    let status = Held::read(&memory).unwrap().unwrap().status(0).unwrap();
    assert!(matches!(status.stage, Stage::Released(_)), "{status:?}");

    let lines = told(image, &file).unwrap();
    let cured = format!("stage: fixing 1 cured at {}", status.cured_at.unwrap().seconds());
    let story = [
        "start: holdoff 0.1.0 on emulated, reset by power on",
        "link: connected",
        "link: loading a job",
        "reading 8960/256 C accepted",
        "job loaded: 1 fixings",
        "link: over",
        "no reading: out of range",
        "fault: probe-wrong",
        "reading 8960/256 C accepted",
        "fault over: probe-wrong",
        "stage: fixing 1 working",
        "action: inject, fixing 1: recorded",
        "stage: fixing 1 curing",
        "action: seat, fixing 1: recorded",
        &cured,
        "stage: fixing 1 released",
        "action: torque, fixing 1: recorded",
        "release of fixing 1 signed and recorded",
    ];
    let mut left = lines.iter();
    for part in story {
        assert!(left.any(|line| line.text == part), "\"{part}\" is missing, or not in its place: {lines:#?}");
    }
    let stages: Vec<&str> = lines.iter().map(|line| &*line.text).filter(|text| text.starts_with("stage:")).collect();
    assert_eq!(stages.len(), 4, "{stages:?}");
    let readings = lines.iter().filter(|line| line.text.starts_with("reading") && line.text.ends_with("accepted"));
    let held = Held::read(&memory).unwrap().unwrap();
    assert_eq!(readings.count() as u64, held.replay.group().unwrap().readings().accepted);
    let times: Vec<f64> = lines.iter().map(|line| line.at.parse().unwrap()).collect();
    assert!(times.is_sorted(), "{times:?}");
    // neither as bytes nor as text
    let (bytes, seed) = (std::fs::read(&file).unwrap(), known_seed());
    assert!(seed.windows(4).all(|part| !bytes.windows(4).any(|window| window == part)));
    let text = lines.iter().map(|line| line.text.to_lowercase()).collect::<String>();
    assert!(!text.contains(&holdoff_evidence::keys::to_hex(&seed)[..8]));
}
