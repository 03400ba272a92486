//! One time for one event: whatever the clock is set to later, every output dates an instant by the tie in force then.

use holdoff_core::fixing::{Action, Injection};
use holdoff_core::log::{Item, Record};
use holdoff_core::quantity::Torque;
use holdoff_evidence::{Keep, Memory};
use holdoff_firmware::link::Host;
use holdoff_present::memory::list;
use holdoff_present::page::{Board, plain, static_file};
use holdoff_register::{Life, Register};
use holdoff_tests::link_command::{holdoff_link, holdoff_register};
use holdoff_tests::link_device::FakeDevice;
use holdoff_tests::link_line::{path, serve};
use holdoff_tests::log_sample::act;

/// What the log's readings tie the clocks to.
const AHEAD: i64 = 1_000;

/// A logger whose fixing was injected, cured and torqued, and whose clock was put on by hours afterwards.
fn corrected() -> (FakeDevice, [i64; 3]) {
    let mut device = FakeDevice::recorded(32_768, "north 1", 40, 16);
    let injected = device.now;
    act(&mut device.logger, injected, 0, Action::Inject(Injection::default()));
    act(&mut device.logger, injected + 30, 0, Action::Seat);
    device.record(2_000, 16);
    let torqued = device.now;
    act(&mut device.logger, torqued, 0, Action::Torque(Torque::from_hundredths(4_000)));
    device.now += 60;
    let utc = device.now + AHEAD + 20_000;
    device.set_clock(utc, 120).expect("nothing runs");
    (device, [injected, injected + 30, torqued])
}

fn stamp(at: i64) -> String {
    holdoff_files::stamp::format_seconds(at + AHEAD, 3_600)
}

#[test]
fn every_output_dates_an_event_by_the_tie_in_force_then() {
    let (device, times) = corrected();
    let memory = device.memory().to_vec();
    let (socket, site) = (path("one-time"), path("one-time.db"));
    let _served = serve(device, &socket, None);
    let port = format!("unix:{}", socket.display());
    let [injected, seated, torqued] = times.map(stamp);
    // link
    let (exit, out, err) = holdoff_link(&port, &["status", "--json"]);
    assert_eq!(exit, 0, "{err}");
    let json: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(
        (json["fixings"][0]["injected_at"].as_str(), json["fixings"][0]["seated_at"].as_str()),
        (Some(&*injected), Some(&*seated))
    );
    let cured = json["fixings"][0]["cured_at"].as_str().expect("cured").to_owned();
    assert!(cured.ends_with("+01:00") && json["at"].as_str().expect("a time").ends_with("+02:00"), "{json}");
    // the register, straight from the logger, and from the image
    for taken in ["link", "add"] {
        let _ = std::fs::remove_file(&site);
        if taken == "link" {
            let (exit, _, err) = holdoff_register(&site, &["link", &port]);
            assert_eq!(exit, 0, "{err}");
        } else {
            let mut register = Register::open_or_make(&site).expect("a register");
            register.add_image("one.bin", &memory, None, Life::GoesOn, 0).expect("taken in");
        }
        let (_, out, _) = holdoff_register(&site, &["list", "--json"]);
        let json: serde_json::Value = serde_json::from_str(&out).expect("JSON");
        let fixing = &json["fixings"][0];
        let found =
            ["injected_at", "seated_at", "cured_at", "since"].map(|key| fixing[key].as_str().unwrap_or_default());
        assert_eq!(found, [&*injected, &*seated, &*cured, &*torqued], "{taken}");
        // exports
        let folder = path("one-time-tables");
        let (exit, _, err) = holdoff_register(&site, &["export", "--csv", &folder.to_string_lossy()]);
        assert_eq!(exit, 0, "{err}");
        let table = std::fs::read_to_string(folder.join("fixing.csv")).expect("written");
        for time in [&injected, &seated, &cured, &torqued] {
            assert!(table.contains(time.as_str()), "{time}: {table}");
        }
        let _ = std::fs::remove_dir_all(&folder);
        // the foreman's page
        let mut board = Board::new(None);
        Register::open(&site).expect("a register").fill(&mut board).expect("read");
        for page in [plain(&board, None, 0), static_file(&board, 0)] {
            assert!(page.contains(&torqued), "{torqued}: {page}");
        }
    }
    // the listing
    let listing = list(&memory).expect("a log");
    let entries = &listing.sessions[0].entries;
    let actions: Vec<String> = entries
        .iter()
        .filter(|entry| matches!(entry.item, Item::Record(Record::Action { .. })))
        .map(|entry| entry.time())
        .collect();
    assert_eq!(actions, [injected.clone(), seated.clone(), torqued.clone()]);
    let stages: Vec<String> = entries
        .iter()
        .filter(|entry| matches!(entry.item, Item::Record(Record::Stage { .. })))
        .map(|entry| entry.time())
        .collect();
    assert!(stages.contains(&cured) || stages.iter().all(String::is_empty), "{stages:?}");
    // the hand-over record
    let sessions = Memory::of(&memory, None, Keep::Told).expect("a log").sessions;
    let found = times.map(|at| sessions[0].wall.stamp(at).expect("a date"));
    assert_eq!(found, [injected, seated, torqued]);
    let cured_at = sessions[0].fixings[0].status.cured_at.expect("cured").seconds();
    assert_eq!(sessions[0].wall.stamp(cured_at), Some(cured));
    let _ = std::fs::remove_file(&site);
}

#[test]
fn an_instant_before_the_first_tie_has_no_date() {
    let mut device = FakeDevice::blank(32_768);
    device.logger.begin(&holdoff_tests::log_sample::beginning()).expect("blank");
    let first = device.now;
    let reading = holdoff_core::group::Happening::Reading {
        at: holdoff_core::quantity::Instant::from_seconds(first),
        count: holdoff_core::quantity::Count::from_degrees(16),
    };
    let _ = device.logger.happen(reading, &mut |_| {}).expect("room");
    device.record(5, 16);
    let listing = list(device.memory()).expect("a log");
    let readings: Vec<String> = listing.sessions[0]
        .entries
        .iter()
        .filter(|entry| matches!(entry.item, Item::Reading { .. }))
        .map(|entry| entry.time())
        .collect();
    assert_eq!(readings[..2], [format!("{first} s"), stamp(first + 60)]);
    let sessions = Memory::of(device.memory(), None, Keep::Told).expect("a log").sessions;
    assert_eq!([first, first + 60].map(|at| sessions[0].wall.stamp(at)), [None, Some(stamp(first + 60))]);
}

#[test]
fn how_far_the_clock_was_from_the_computers_is_kept_and_told_in_weight() {
    for (apart, words) in [(0, None), (90, None), (600, Some("10 min AHEAD")), (-7_200, Some("BEHIND"))] {
        let (mut device, _) = corrected();
        let here =
            std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).expect("after 1970").as_secs() as i64;
        device.ahead = Some(here + apart - device.now);
        let (socket, site) = (path(&format!("one-time-{apart}")), path(&format!("one-time-{apart}.db")));
        let _served = serve(device, &socket, None);
        let (exit, _, err) = holdoff_register(&site, &["link", &format!("unix:{}", socket.display())]);
        assert_eq!(exit, 0, "{err}");
        let (_, list, _) = holdoff_register(&site, &["list"]);
        let mut board = Board::new(None);
        Register::open(&site).expect("a register").fill(&mut board).expect("read");
        for text in [&list, &plain(&board, None, here), &static_file(&board, here)] {
            assert!(text.contains("read out at "), "{text}");
            assert_eq!(text.contains("THE CLOCK OF LOGGER"), words.is_some(), "{apart}: {text}");
            assert!(words.is_none_or(|words| text.contains(words)), "{apart}: {text}");
        }
        assert_eq!(err.contains("THE CLOCK OF LOGGER"), words.is_some(), "{err}");
        let (_, json, _) = holdoff_register(&site, &["list", "--json"]);
        let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
        let kept = json["fixings"][0]["clock_ahead_s"].as_i64().expect("kept");
        assert!((kept - apart).abs() <= 30, "{kept}");
        let _ = std::fs::remove_file(&site);
    }
}
