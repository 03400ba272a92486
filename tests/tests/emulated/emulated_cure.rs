//! Whole cures on the emulated board: what the device does with temperatures, and what the PC says of them, are one and the
//! same.

use crate::emulated_support::{DEMO_RESIN, kept_rows, minutes, winter};
use holdoff_core::fixing::{Stage, TorqueRange};
use holdoff_core::log::Item;
use holdoff_core::quantity::{Span, Torque};
use holdoff_core::resin::Hole;
use holdoff_disk::Load;
use holdoff_files::resin_file::ResinFile;
use holdoff_files::trace::{Row, Sample};
use holdoff_tests::emulator::{Button, Cure, Held, holdoff, known_seed, write_keys};
use std::path::Path;

fn text(output: &[u8]) -> String {
    String::from_utf8_lossy(output).into_owned()
}

#[test]
fn a_recorded_day_through_the_sensor_gives_the_log_that_replay_makes_of_it_to_the_byte() {
    let resin = ResinFile::load(DEMO_RESIN).unwrap();
    // 2022-01-03 from ten past midnight on, 26 hours
    let rows: Vec<Row> = kept_rows(winter(), "2022-01-03T00:10:00-07:00", "2022-01-04T02:10:00-07:00");
    assert!(rows.len() > 300);
    let at = |time: &str| holdoff_files::stamp::Stamp::parse(time).unwrap().floor_seconds();
    let (inject, seat) = ("2022-01-03T10:15:42-07:00", "2022-01-03T10:22:07-07:00");
    let cure = Cure {
        rows: &rows,
        resin: &resin,
        hole: Hole::Dry,
        settle: Span::from_seconds(180),
        inject: at(inject),
        seat: Some(at(seat)),
        torque: None,
        offset_minutes: -420,
        until: rows.last().unwrap().seconds,
    };
    let directory = tempfile::tempdir().unwrap();
    let place = |name: &str| directory.path().join(name).to_str().unwrap().to_owned();
    let memory = place("memory.bin");
    let mut site = cure.switch_on(Path::new(&memory), known_seed()).unwrap();
    cure.load(&mut site).unwrap();
    assert_eq!(cure.go(&mut site, Path::new(&memory)).unwrap(), []);
    site.machine.cut().unwrap();

    // every row was read in its second, and every action took a reading of its own
    let held = Held::read(Path::new(&memory)).unwrap().unwrap();
    let read: Vec<(i64, i16)> = held
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Reading { at, count } => Some((at.seconds(), count.raw())),
            Item::Refused { .. } | Item::Unusable { .. } | Item::Missing { .. } | Item::Record(_) => None,
        })
        .collect();
    let expected = |second: i64| {
        let row = rows.iter().rev().find(|row| row.seconds <= second).unwrap();
        let Sample::Count(count) = row.reading else { panic!("{row:?}") };
        count.raw() & !0xF
    };
    let mut seconds: Vec<i64> = rows.iter().map(|row| row.seconds).chain([cure.inject, at(seat)]).collect();
    let first = seconds[0];
    seconds.extend((0..).map(|turn| first + turn * 300).take_while(|second| *second <= cure.until));
    seconds.sort_unstable();
    seconds.dedup();
    assert_eq!(read, seconds.iter().map(|second| (*second, expected(*second))).collect::<Vec<_>>());

    // the same from the readings that were taken, by the program
    let (secret, _) = write_keys(directory.path(), known_seed()).unwrap();
    let csv = holdoff(&["read", &memory, "--csv"]).unwrap();
    std::fs::write(place("read.csv"), &csv.stdout).unwrap();
    let again = place("again.bin");
    let trace = place("read.csv");
    let output = holdoff(&[
        "replay",
        &trace,
        "--resin",
        DEMO_RESIN,
        "--hole",
        "dry",
        "--inject",
        inject,
        "--seat",
        seat,
        "--sensor",
        "12bit",
        "--interval",
        "5min",
        "--image",
        &again,
        "--key",
        secret.to_str().unwrap(),
        "--json",
    ])
    .unwrap();
    assert!(output.status.success(), "{}", text(&output.stderr));
    let said: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let status = held.status(0).unwrap();
    assert!(matches!(status.stage, Stage::Cured(_)), "{status:?}");
    assert_eq!(at(said["cured_at"].as_str().unwrap()), status.cured_at.unwrap().seconds());
    assert_eq!(said["counted_s"], status.tally.counted());
    assert_eq!(said["required_s"], status.required);
    let (device, pc) = (std::fs::read(&memory).unwrap(), std::fs::read(&again).unwrap());
    let differ = device.iter().zip(&pc).position(|(device, pc)| device != pc);
    assert_eq!((device.len(), differ), (pc.len(), None));
}

#[test]
fn the_photograph_of_the_release_code_is_proved_and_the_same_run_gives_the_same_memory() {
    let resin = ResinFile::load(DEMO_RESIN).unwrap();
    let rows = minutes("2026-03-02T08:00:00Z", &[(0, 35.0), (60, 36.0), (150, 35.5)]);
    let start = rows[0].seconds;
    let newton_metres = |hundredths| Torque::from_hundredths(hundredths);
    let cure = Cure {
        rows: &rows,
        resin: &resin,
        hole: Hole::Dry,
        settle: Span::from_seconds(180),
        inject: start + 215,
        seat: Some(start + 320),
        torque: Some((newton_metres(2030), TorqueRange::new(newton_metres(1800), newton_metres(2200)).unwrap(), None)),
        offset_minutes: 60,
        until: start + 9000,
    };
    let directory = tempfile::tempdir().unwrap();
    let (_, public) = write_keys(directory.path(), known_seed()).unwrap();
    let mut memories = Vec::new();
    for turn in 0..2 {
        let memory = directory.path().join(format!("{turn}.bin"));
        let mut site = cure.switch_on(&memory, known_seed()).unwrap();
        cure.load(&mut site).unwrap();
        assert_eq!(cure.go(&mut site, &memory).unwrap(), []);
        let held = Held::read(&memory).unwrap().unwrap();
        assert!(matches!(held.status(0).unwrap().stage, Stage::Released(_)), "{:?}", held.status(0));
        if turn == 0 {
            // lights the display, leaves the status page for the one below
            for button in [Button::Right, Button::Right, Button::Down] {
                site.press(button).unwrap();
            }
            let photo = directory.path().join("code.png");
            site.machine.photograph(&photo).unwrap();
            for what in [&photo, &memory] {
                let (what, keys) = (what.to_str().unwrap(), public.to_str().unwrap());
                let output = holdoff(&["prove", what, "--keys", keys, "--json"]).unwrap();
                assert_eq!(output.status.code(), Some(0), "{what}: {}{}", text(&output.stdout), text(&output.stderr));
                let said: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
                let fixing = &said["fixings"][0];
                assert_eq!(fixing["proved"], true);
                let cured = fixing["cured_at"].as_str().unwrap();
                let cured = holdoff_files::stamp::Stamp::parse(cured).unwrap().floor_seconds();
                assert_eq!(Some(cured), held.status(0).unwrap().cured_at.map(|at| at.seconds()));
            }
        }
        site.machine.cut().unwrap();
        memories.push(std::fs::read(&memory).unwrap());
    }
    assert!(memories[0] == memories[1]);
}
