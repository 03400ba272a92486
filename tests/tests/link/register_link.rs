//! A logger's memory taken into a register over its line: the line breaks, the program is killed, the register refuses.

use holdoff_core::fixing::{Action, Injection};
use holdoff_core::quantity::Torque;
use holdoff_firmware::link::Host;
use holdoff_register::{Life, Refusal, Register};
use holdoff_tests::link_command::holdoff_register;
use holdoff_tests::link_device::FakeDevice;
use holdoff_tests::link_line::{Served, path, serve, serve_pty};
use holdoff_tests::log_sample::act;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// The device of all these tests, as its number begins a file's name.
const DEVICE: &str = "73616d706c652d31";

/// A logger whose clock goes as this computer's.
fn recorded(size: usize, label: &str, readings: u32, degrees: i16) -> FakeDevice {
    FakeDevice::recorded(size, label, readings, degrees).set_right()
}

fn beside(site: &Path, ending: &str) -> PathBuf {
    PathBuf::from(format!("{}.{DEVICE}{ending}", site.display()))
}

fn unread_from(served: &Served) -> u32 {
    served.with(|device| device.log().unread_from)
}

/// Whether the register holds the very bytes of the memory.
fn holds(site: &Path, served: &Served) -> bool {
    let memory = served.with(|device| device.memory().to_vec());
    let mut register = Register::open_or_make(site).expect("a register");
    matches!(register.add_image("again", &memory, None, Life::GoesOn, 0), Err(Refusal::Duplicate(_)))
}

#[test]
fn a_memory_is_taken_in_over_a_serial_line_that_garbles_and_marked_only_then() {
    let (served, port) = serve_pty(recorded(8_192, "north 1", 1_500, 16), Some(6_000));
    let site = path("register-pty.db");
    let (exit, out, err) = holdoff_register(&site, &["link", &port]);
    assert_eq!((exit, err.as_str()), (0, ""));
    assert!(out.contains("taken in; logger 73616d706c652d31, 1 fixings"), "{out}");
    assert!(holds(&site, &served) && unread_from(&served) == 0);
    assert!(!beside(&site, ".part").exists());
    // nothing happened since: there is nothing to take in, and what is there may be marked
    let (exit, out, err) = holdoff_register(&site, &["link", &port, "--read-out", "--language", "de"]);
    assert_eq!((exit, err.as_str()), (0, ""));
    assert!(out.contains("nichts Neues") && out.contains("als ausgelesen vermerkt"), "{out}");
    let newest = served.with(|device| device.log().head.expect("a log").page);
    assert!(newest > 0 && unread_from(&served) == newest);
    let _ = std::fs::remove_file(&site);
}

#[test]
fn a_reading_that_breaks_off_again_and_again_ends_in_the_register_as_the_memory_stands() {
    let (socket, site) = (path("register-breaks"), path("register-breaks.db"));
    let served = serve(recorded(32_768, "north 1", 9_000, 16), &socket, Some(9_000));
    let port = format!("unix:{}", socket.display());
    let mut ended = 0;
    let out = loop {
        // every break ends the program, and the logger goes on meanwhile
        match holdoff_register(&site, &["link", &port, "--patience", "0", "--read-out"]) {
            (0, out, _) => break out,
            (3, out, err) => assert!(out.is_empty() || out.contains("taken in"), "{out} {err}"),
            other => panic!("{other:?}"),
        }
        ended += 1;
        assert!(ended < 300, "no end to it");
        if unread_from(&served) == 0 {
            served.with(|device| device.record(2, 15));
        }
    };
    assert!(ended > 2, "{ended} breaks");
    assert!(out.contains("marked as read out"), "{out}");
    assert!(unread_from(&served) > 0 && !beside(&site, ".part").exists());
    let (exit, listed, _) = holdoff_register(&site, &["list"]);
    assert!(exit == 0 && listed.contains("north 1"), "{listed}");
    let _ = std::fs::remove_file(&site);
}

/// A test of this file, as its program calls it.
fn this(name: &str) -> String {
    format!("register_link::{name}")
}

/// What is set where this test is the program that is to be killed: register and port.
const AS_PROGRAM: &str = "HOLDOFF_TEST_REGISTER_LINK";

#[test]
fn a_program_that_is_killed_while_it_reads_is_gone_on_from_and_marks_nothing() {
    if let Ok(told) = std::env::var(AS_PROGRAM) {
        let (site, port) = told.split_once('|').expect("both");
        holdoff_register(Path::new(site), &["link", port, "--read-out"]);
        return;
    }
    let (socket, site) = (path("register-killed"), path("register-killed.db"));
    let served = serve(recorded(262_144, "north 1", 9_000, 16), &socket, None);
    let port = format!("unix:{}", socket.display());
    let name = "a_program_that_is_killed_while_it_reads_is_gone_on_from_and_marks_nothing";
    let mut program = std::process::Command::new(std::env::current_exe().expect("this test"))
        .args([&this(name), "--exact"])
        .env(AS_PROGRAM, format!("{}|{port}", site.display()))
        .stdout(std::process::Stdio::null())
        .spawn()
        .expect("it starts");
    let part = beside(&site, ".part");
    let begun = Instant::now();
    while std::fs::metadata(&part).map_or(0, |found| found.len()) < 20_000 {
        assert!(begun.elapsed() < Duration::from_secs(60), "it reads");
        std::thread::sleep(Duration::from_millis(1));
    }
    // the line stands still while it is killed
    let still = served.device.lock().expect("the server did not fail");
    program.kill().expect("it ran");
    program.wait().expect("it ended");
    drop(still);
    assert!(!site.exists() && unread_from(&served) == 0, "it was killed before it had everything");
    served.with(|device| device.record(5, 15));
    let (exit, out, err) = holdoff_register(&site, &["link", &port]);
    assert_eq!((exit, err.as_str()), (0, ""));
    assert!(out.contains("went on from an earlier reading"), "{out}");
    assert!(holds(&site, &served) && !part.exists());
    let _ = std::fs::remove_file(&site);
}

#[test]
fn what_contradicts_the_register_or_is_refused_is_kept_and_not_marked_and_a_running_fixing_keeps_its_pages() {
    let (socket, site) = (path("register-refused"), path("register-refused.db"));
    // an earlier image of the same logger tells another history
    let other = recorded(32_768, "north 1", 4_000, 16);
    let earlier = recorded(32_768, "south 9", 900, 17);
    let mut register = Register::open_or_make(&site).expect("a register");
    register.add_image("earlier.bin", earlier.memory(), None, Life::GoesOn, 0).expect("taken in");
    drop(register);
    let served = serve(other, &socket, None);
    let port = format!("unix:{}", socket.display());
    let (exit, out, err) = holdoff_register(&site, &["link", &port, "--read-out"]);
    assert_eq!(exit, 4, "{out}{err}");
    assert!(out.contains("DO NOT LOAD: CONTRADICTED") && out.contains("earlier.bin"), "{out}");
    assert!(err.contains("nothing was marked"), "{err}");
    assert!(holds(&site, &served) && unread_from(&served) == 0);
    // a memory that goes on was not made blank
    let goes_on = path("register-goes-on.db");
    let mut register = Register::open_or_make(&goes_on).expect("a register");
    let memory = served.with(|device| device.memory().to_vec());
    register.add_image("same.bin", &memory, None, Life::GoesOn, 0).expect("taken in");
    drop(register);
    served.with(|device| device.record(60, 16));
    let (exit, out, err) = holdoff_register(&goes_on, &["link", &port, "--blanked", "--read-out"]);
    assert_eq!((exit, out.as_str()), (3, ""));
    assert!(err.contains("was not made blank") && err.contains("is kept in"), "{err}");
    assert_eq!(unread_from(&served), 0);
    let kept = beside(&goes_on, ".bin");
    let read = std::fs::read(&kept).expect("kept");
    assert!(holdoff_evidence::split(&read).0 == served.with(|device| device.memory().to_vec()));
    // its owner made the memory blank in between
    served.with(|device| {
        let at = device.now;
        act(&mut device.logger, at, 0, Action::Inject(Injection::default()));
        act(&mut device.logger, at + 1, 0, Action::Seat);
    });
    let (exit, out, err) = holdoff_register(&site, &["link", &port, "--blanked", "--read-out"]);
    assert_eq!(exit, 1, "{err}");
    assert!(out.contains("taken in") && err.contains("fixing 1 is running"), "{out} {err}");
    assert!(holds(&site, &served) && unread_from(&served) == 0);
    served.with(|device| {
        device.record(3_000, 17);
        let at = device.now;
        act(&mut device.logger, at, 0, Action::Torque(Torque::from_hundredths(4000)));
    });
    let (exit, out, err) = holdoff_register(&site, &["link", &port, "--read-out", "--json"]);
    assert_eq!((exit, err.as_str()), (0, ""));
    assert!(out.starts_with("{\"added\":"), "{out}");
    assert!(unread_from(&served) > 0);
    let _ = (std::fs::remove_file(&site), std::fs::remove_file(&goes_on), std::fs::remove_file(&kept));
}

#[test]
fn a_register_that_is_being_written_to_gets_it_the_next_time_and_nothing_is_marked_before() {
    let (served, port) = serve_pty(recorded(8_192, "north 1", 900, 16), None);
    let site = path("register-busy.db");
    drop(Register::open_or_make(&site).expect("a register"));
    let other = rusqlite::Connection::open(&site).expect("a database");
    other.execute_batch("BEGIN IMMEDIATE").expect("nobody else writes");
    let (exit, out, err) = holdoff_register(&site, &["link", &port, "--read-out"]);
    assert_eq!((exit, out.as_str()), (3, ""));
    assert!(err.contains("another program is writing to the register"), "{err}");
    assert!(beside(&site, ".part").exists() && unread_from(&served) == 0);
    other.execute_batch("ROLLBACK").expect("it had begun");
    let (exit, out, err) = holdoff_register(&site, &["link", &port, "--read-out"]);
    assert_eq!((exit, err.as_str()), (0, ""));
    assert!(out.contains("taken in") && out.contains("went on from an earlier reading"), "{out}");
    assert!(unread_from(&served) > 0 && !beside(&site, ".part").exists());
    let _ = std::fs::remove_file(&site);
}

#[test]
fn what_is_no_register_and_who_is_no_logger_are_said_before_anything_is_read() {
    let site = path("register-none.db");
    std::fs::write(&site, "a letter").expect("written");
    let (served, port) = serve_pty(recorded(8_192, "north 1", 100, 16), None);
    let (exit, _, err) = holdoff_register(&site, &["link", &port]);
    assert!(exit == 3 && err.contains("no register"), "{err}");
    assert_eq!(std::fs::read(&site).expect("left alone"), b"a letter");
    assert!(!beside(&site, ".part").exists());
    drop(served);
    let missing = path("register-missing.db");
    let (exit, _, err) = holdoff_register(&missing, &["link", "unix:/no/such/socket", "--patience", "0"]);
    assert!(exit == 3 && err.contains("can't be used") && !missing.exists(), "{err}");
    let _ = std::fs::remove_file(&site);
}

#[test]
fn a_follower_leaves_alone_what_stands_where_its_part_would() {
    let (socket, site) = (path("register-letter"), path("register-letter.db"));
    let _served = serve(recorded(8_192, "north 1", 30, 16), &socket, None);
    std::fs::write(beside(&site, ".part"), b"a letter").expect("written");
    let (exit, out, err) = holdoff_register(&site, &["link", &format!("unix:{}", socket.display()), "--follow"]);
    assert!(exit == 3 && err.contains("can't be kept") && err.contains("is there already"), "{exit} {out} {err}");
    assert_eq!(std::fs::read(beside(&site, ".part")).expect("left alone"), b"a letter");
    let _ = std::fs::remove_file(beside(&site, ".part"));
}

/// What is set where this test is the program that follows: register, port, `--json` or nothing.
const AS_FOLLOWER: &str = "HOLDOFF_TEST_REGISTER_FOLLOW";

/// The program that follows, until it is interrupted.
fn follower(name: &str, site: &Path, port: &str, json: &str) -> std::process::Child {
    std::process::Command::new(std::env::current_exe().expect("this test"))
        .args([&this(name), "--exact", "--nocapture"])
        .env(AS_FOLLOWER, format!("{}|{port}|{json}", site.display()))
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::null())
        .spawn()
        .expect("it starts")
}

/// The same from inside that program: what it printed goes on between two marks.
fn follow(told: &str) {
    let parts: Vec<&str> = told.split('|').collect();
    let [site, port, json] = parts[..] else { panic!("{told}") };
    let mut arguments = vec!["link", port, "--follow", "--every", "1s", "--patience", "0"];
    if !json.is_empty() {
        arguments.push(json);
    }
    let (exit, out, err) = holdoff_register(Path::new(site), &arguments);
    println!("\nBEGIN\n{exit}\n{err}\nOUT\n{out}\nEND");
}

/// Interrupts it as Ctrl-C does; exit status and what it printed.
fn interrupted(program: std::process::Child) -> (u8, String) {
    let pid = program.id().to_string();
    assert!(std::process::Command::new("kill").args(["-INT", &pid]).status().expect("there is one").success());
    let output = program.wait_with_output().expect("it ended");
    let text = String::from_utf8(output.stdout).expect("text");
    let told = text.split("\nBEGIN\n").nth(1).and_then(|rest| rest.split("\nEND").next()).expect("marks");
    let (head, out) = told.split_once("\nOUT\n").expect("a mark");
    (head.lines().next().and_then(|exit| exit.parse().ok()).expect("a number"), out.to_owned())
}

fn until(what: &str, mut is: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !is() {
        assert!(begun.elapsed() < Duration::from_secs(60), "waited for: {what}");
        std::thread::sleep(Duration::from_millis(20));
    }
}

fn revision(site: &Path) -> i64 {
    Register::open(site).and_then(|register| register.revision()).unwrap_or(0)
}

#[test]
fn a_logger_that_is_followed_is_read_only_where_it_is_new_over_a_cable_that_goes_and_comes() {
    let name = "a_logger_that_is_followed_is_read_only_where_it_is_new_over_a_cable_that_goes_and_comes";
    if let Ok(told) = std::env::var(AS_FOLLOWER) {
        return follow(&told);
    }
    let (socket, site) = (path("register-follow"), path("register-follow.db"));
    let served = serve(recorded(65_536, "north 1", 9_000, 16), &socket, None);
    let port = format!("unix:{}", socket.display());
    let program = follower(name, &site, &port, "--json");
    let more = |served: &Served| {
        let before = revision(&site);
        served.with(|device| device.record(3, 15));
        until("it is taken in", || revision(&site) >= before + 4);
    };
    until("the first look", || revision(&site) >= 2);
    more(&served);
    more(&served);
    // the line is free: every look has opened and closed it
    until("it lets go of the line", || served.breaks.load(std::sync::atomic::Ordering::Relaxed) >= 3);
    // the cable is away for some looks, and comes back
    let device = served.with(|device| std::mem::replace(device, FakeDevice::blank(8_192)));
    drop(served);
    let _ = std::fs::remove_file(&socket);
    std::thread::sleep(Duration::from_millis(2_500));
    let served = serve(device, &socket, None);
    more(&served);
    // another logger is put on the cable for some looks
    let other = FakeDevice::another(65_536, 2).with_log("south 9", 300, 21);
    let change = |to: FakeDevice| {
        let mut at = served.device.lock().expect("the server did not fail");
        std::mem::replace(&mut *at, (holdoff_firmware::link::Session::new(), to)).1
    };
    let mine = change(other);
    std::thread::sleep(Duration::from_millis(2_500));
    let other = change(mine);
    assert_eq!(other.acts, 0);
    more(&served);
    let (exit, out) = interrupted(program);
    assert_eq!(exit, 0, "{out}");
    let looks: Vec<serde_json::Value> = out.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
    let of = |kind: &str| looks.iter().filter(|look| look["look"] == kind).collect::<Vec<_>>();
    let (new, other, away) = (of("new"), of("other"), of("away"));
    assert!(new.len() >= 5 && !other.is_empty() && !away.is_empty(), "{out}");
    assert!(new[0]["bytes"].as_u64().expect("counted") > 65_536, "{out}");
    // a page or two of 512 bytes, each asked for in two halves, and what is asked around them
    assert!(new[1..].iter().all(|look| look["bytes"].as_u64().expect("counted") < 6_000), "{out}");
    assert!(other.iter().all(|look| look["other"] == "73616d706c652d32" && look["device"] == DEVICE), "{out}");
    assert!(holds(&site, &served), "{out}");
    let (_, listed, _) = holdoff_register(&site, &["list"]);
    assert!(listed.contains("north 1") && !listed.contains("south 9") && !listed.contains("652d32"), "{listed}");
    assert_eq!(unread_from(&served), 0);
    assert!(!beside(&site, ".part").exists());
    let _ = std::fs::remove_file(&site);
}

#[test]
fn a_person_reads_one_line_a_look() {
    let name = "a_person_reads_one_line_a_look";
    if let Ok(told) = std::env::var(AS_FOLLOWER) {
        return follow(&told);
    }
    let (socket, site) = (path("register-lines"), path("register-lines.db"));
    let _served = serve(recorded(8_192, "north 1", 300, 16), &socket, None);
    let program = follower(name, &site, &format!("unix:{}", socket.display()), "");
    until("three looks", || revision(&site) >= 4);
    let (exit, out) = interrupted(program);
    assert_eq!(exit, 0, "{out}");
    let lines: Vec<&str> = out.lines().collect();
    assert!(lines.len() >= 2 && lines.iter().all(|line| line.contains(&format!("logger {DEVICE}: "))), "{out}");
    assert!(lines[0].contains("taken in") && lines[1].contains("nothing new"), "{out}");
    let _ = std::fs::remove_file(&site);
}

#[test]
fn a_read_out_that_is_damaged_stands_on_every_row_of_its_logger() {
    let device = recorded(8_192, "north 1", 900, 16);
    let site = path("register-damaged.db");
    let mut register = Register::open_or_make(&site).expect("a register");
    register.add_image("good.bin", device.memory(), None, Life::GoesOn, 0).expect("taken in");
    drop(register);
    let socket = path("register-damaged");
    let served = serve(device, &socket, None);
    // every page of it is spoilt under the logger's hands
    use holdoff_core::log::Memory as _;
    served.with(|device| {
        for slot in 0..16 {
            device.logger.memory_mut().write(slot * 512 + 30, &[0x55; 8]).expect("a memory");
        }
    });
    let (exit, _, err) = holdoff_register(&site, &["link", &format!("unix:{}", socket.display())]);
    assert!(exit == 3 && err.contains("is kept in"), "{exit} {err}");
    let (_, list, _) = holdoff_register(&site, &["list"]);
    assert!(list.contains("DO NOT LOAD: CONTRADICTED") && list.contains("the memory is damaged"), "{list}");
    assert!(list.contains("good.bin") && !list.contains("NOT INJECTED"), "{list}");
    let _ = (std::fs::remove_file(&site), std::fs::remove_file(beside(&site, ".bin")));
}
