//! `holdoff link` against the firmware's own image on the emulated board.

use holdoff_core::seal::HeadView;
use holdoff_files::stamp::Stamp;
use holdoff_tests::emulator::{Button, Deed, Image, Kind, Machine, Setup, blank_memory, talk};
use holdoff_tests::link_command::holdoff_link;
use std::path::Path;

/// 2026-01-05T06:00:00Z.
const MORNING: i64 = 1_767_592_800;
/// What must never be on the line.
const SEED: [u8; 32] = *b"\xA7seed-of-the-board-of-one-test\xF3\x1C";

/// Exit status, standard output, standard error of `holdoff link`.
fn link(machine: &mut Machine, arguments: &[&str]) -> (u8, String, String) {
    let run = |port: &Path| holdoff_link(&format!("unix:{}", port.display()), arguments);
    talk(machine, run).unwrap()
}

#[test]
fn a_job_is_loaded_watched_and_read_out_of_the_emulated_board_and_nothing_is_set_while_it_runs() {
    let directory = tempfile::tempdir().unwrap();
    let memory = directory.path().join("memory.bin");
    blank_memory(&memory).unwrap();
    let image = Image::get(Kind::Release).unwrap();
    let setup = Setup { seed: Some(SEED), ..Setup::plain(image, &memory, MORNING, 14 * 16) };
    let mut machine = Machine::start(&setup).unwrap();
    let (exit, out, err) = link(&mut machine, &["identity", "--json"]);
    assert_eq!((exit, err.as_str()), (0, ""));
    let identity: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!((&identity["board"], &identity["memory_bytes"]), (&"emulated".into(), &65_536.into()));
    let key = holdoff_core::seal::SecretKey::from_seed(SEED).unwrap().public();
    assert_eq!(identity["public_key"], holdoff_evidence::keys::to_hex(key.bytes()));

    // the probe has no reading to give right after the start
    machine.run_to((MORNING + 5) * 1000).unwrap();
    let job = concat!(env!("CARGO_MANIFEST_DIR"), "/../host-sim/demo/quay.toml");
    let (exit, out, err) = link(&mut machine, &["load", job, "--offset", "+01:00"]);
    assert_eq!(exit, 0, "{err}");
    assert!(out.contains("4 fixings") && err.contains("this computer; set it before"), "{out}{err}");
    machine.run_to((MORNING + 3600) * 1000).unwrap();
    let (exit, out, _) = link(&mut machine, &["status"]);
    assert!(exit == 0 && out.contains("14.00 °C") && out.contains("bollard 3 stud 4  NOT INJECTED"), "{out}");

    // by the buttons alone, the first of which only lights the display
    machine.press(Button::Select).unwrap();
    machine.run_to((MORNING + 3605) * 1000).unwrap();
    for button in Deed::Inject.presses() {
        machine.press(button).unwrap();
    }
    let (_, out, _) = link(&mut machine, &["status", "--json"]);
    let status: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(status["fixings"][0]["stage"], "working", "{out}");
    let at = MORNING + 3600;
    assert!(status["at"].as_str().unwrap().starts_with("2026-01-05T08:0"), "{out}");
    for refused in [&["load", job][..], &["clock", "--set"]] {
        let (exit, out, err) = link(&mut machine, refused);
        assert_eq!((exit, out.as_str()), (1, ""), "{err}");
        assert!(err.contains("refuses: fixing 1 is running"), "{err}");
    }

    machine.run_to((at + 3600) * 1000).unwrap();
    let read = directory.path().join("read.bin").to_string_lossy().into_owned();
    let (exit, out, err) = link(&mut machine, &["read", &read]);
    assert_eq!((exit, err.as_str()), (0, ""), "{out}");
    let bytes = std::fs::read(&read).unwrap();
    let (read, answer) = holdoff_evidence::split(&bytes);
    assert!(read == std::fs::read(&memory).unwrap(), "what was read is not what the memory holds");
    // the logger's own word for its end stands behind it
    let head = HeadView::parse(answer.unwrap()).unwrap().verify(&key).unwrap();
    assert!(
        head.challenge.is_some() && holdoff_evidence::keys::to_hex(&head.device.0) == identity["device"],
        "{head:?}"
    );
    let listing = holdoff_present::memory::list(&bytes).unwrap();
    assert!(listing.sessions[0].entries.len() > 120);
    assert!(!bytes.windows(8).any(|window| SEED.windows(8).any(|part| part == window)));
}

/// Milliseconds since the board started.
fn up(machine: &mut Machine) -> i64 {
    machine.words().unwrap().uptime_ms.into()
}

#[test]
fn the_clock_is_set_over_the_line_and_goes_on_from_there() {
    let directory = tempfile::tempdir().unwrap();
    let memory = directory.path().join("memory.bin");
    blank_memory(&memory).unwrap();
    let image = Image::get(Kind::Release).unwrap();
    let mut machine = Machine::start(&Setup::plain(image, &memory, MORNING, 14 * 16)).unwrap();
    machine.run_to((MORNING + 60) * 1000).unwrap();
    let (_, out, _) = link(&mut machine, &["clock", "--json"]);
    assert!(out.contains("\"clock\":\"2026-01-05T06:0"), "{out}");
    let (exit, out, err) = link(&mut machine, &["clock", "--set", "--offset", "+01:00", "--json"]);
    assert_eq!(exit, 0, "{err}");
    let said: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert!(said["ahead_of_this_computer_s"].as_i64().unwrap().abs() <= 1, "{out}");
    let (set_at, clock) = (up(&mut machine), said["clock"].as_str().unwrap().to_owned());
    assert!(clock.ends_with("+01:00"), "{clock}");
    // it goes on from there with the board's own time
    let seconds = |stamp: &str| Stamp::parse(stamp).unwrap().floor_seconds();
    let to = machine.now_ms().unwrap() + 100_000;
    machine.run_to(to).unwrap();
    let (exit, out, err) = link(&mut machine, &["clock", "--json"]);
    assert_eq!(exit, 0, "{err}");
    let later: serde_json::Value = serde_json::from_str(&out).unwrap();
    let gone = seconds(later["clock"].as_str().unwrap()) - seconds(&clock);
    let expected = (up(&mut machine) - set_at) / 1000;
    assert!((gone - expected).abs() <= 2, "{gone} s of the clock in {expected} s");
    assert_eq!((&later["failed"], &later["set"]), (&false.into(), &false.into()));
}
