//! The emulated board keeps step with its harness.

use holdoff_tests::emulator::{Counting, Image, Kind, Machine, Probe, Setup, blank_memory};

/// 2026-01-05T06:00:00Z.
const MORNING: i64 = 1_767_592_800;

#[test]
fn the_board_and_its_clock_chip_agree_to_the_second_all_day() {
    let directory = tempfile::tempdir().unwrap();
    let memory = directory.path().join("memory.bin");
    blank_memory(&memory).unwrap();
    let mut machine = Machine::start(&Setup {
        image: Image::get(Kind::Release).unwrap(),
        memory: &memory,
        clock: MORNING,
        seed: None,
        probe: Probe::Plugged,
        sixteenths: 338,
        counting: Counting::No,
        paint: None,
        told: None,
    })
    .unwrap();
    for hour in 1..=24 {
        machine.run_to((MORNING + hour * 3600) * 1000).unwrap();
        let words = machine.words().unwrap();
        let read_at = MORNING + i64::from(words.chip_read_ms / 1000);
        // what it read lies in the second that the harness holds it to be, but for what a day adds up to
        let late = (read_at.rem_euclid(86_400) - i64::from(words.chip_seconds)).abs();
        assert!(late == 0 || words.chip_read_ms % 1000 < 50 || words.chip_read_ms % 1000 > 950, "{words:?}");
        assert!(words.uptime_ms % 1000 < 510, "held in the first half of a second: {words:?}");
    }
}
