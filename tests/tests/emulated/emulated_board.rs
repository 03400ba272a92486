//! The emulated board keeps step with its harness.

use holdoff_tests::emulator::{Button, Image, Kind, Machine, Setup, blank_memory};
use std::path::Path;

/// 2026-01-05T06:00:00Z.
const MORNING: i64 = 1_767_592_800;

fn start(memory: &Path) -> Machine {
    blank_memory(memory).unwrap();
    let image = Image::get(Kind::Release).unwrap();
    Machine::start(&Setup { seed: None, ..Setup::plain(image, memory, MORNING, 338) }).unwrap()
}

#[test]
fn the_board_and_its_clock_chip_agree_to_the_second_all_day() {
    let directory = tempfile::tempdir().unwrap();
    let mut machine = start(&directory.path().join("memory.bin"));
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

#[test]
fn the_display_says_what_this_is_and_goes_dark_after_a_minute_without_a_button() {
    let directory = tempfile::tempdir().unwrap();
    let mut machine = start(&directory.path().join("memory.bin"));
    machine.run_to((MORNING + 1) * 1000).unwrap();
    let first = machine.look().unwrap();
    machine.run_to((MORNING + 6) * 1000).unwrap();
    let then = machine.look().unwrap();
    assert!(!first.is_dark() && !then.is_dark() && first != then, "{first:?}{then:?}");
    machine.run_to((MORNING + 70) * 1000).unwrap();
    assert!(machine.look().unwrap().is_dark());
    // the first press only lights it
    machine.press(Button::Select).unwrap();
    assert!(!machine.look().unwrap().is_dark());
}
