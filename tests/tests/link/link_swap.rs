//! Two loggers and one cable: whatever is done with the plug, no command mixes them or says what it does not know.

use holdoff::link::{Patience, Port, Talk, Trouble};
use holdoff_link::frame::{Decoder, Frame, MOST_FRAME};
use holdoff_link::message::Greeting;
use holdoff_link::wire::whole;
use holdoff_tests::link_cable::{Cable, Mishap, cable};
use holdoff_tests::link_command::{holdoff_link, holdoff_register};
use holdoff_tests::link_device::FakeDevice;
use holdoff_tests::link_line::path;
use holdoff_tests::random::numbers;
use std::io::Read;
use std::os::unix::net::UnixListener;
use std::path::Path;
use std::sync::atomic::Ordering;
use std::time::Duration;

const FIRST: &str = "73616d706c652d31";
const SECOND: &str = "73616d706c652d32";

fn first() -> FakeDevice {
    FakeDevice::recorded(8_192, "north 1", 60, 16)
}

fn second() -> FakeDevice {
    FakeDevice::another(8_192, 2).with_log("south 9", 300, 21)
}

fn demo(name: &str) -> String {
    format!("{}/../host-sim/demo/{name}", env!("CARGO_MANIFEST_DIR"))
}

/// The commands that are tried.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Command {
    Status,
    Json,
    Clock,
    Set,
    Load,
    Read,
    Register,
}

impl Command {
    const ALL: [Self; 7] = [Self::Status, Self::Json, Self::Clock, Self::Set, Self::Load, Self::Read, Self::Register];

    /// Exit status, standard output, standard error.
    fn run(self, socket: &Path, out: &Path) -> (u8, String, String) {
        let (port, file) = (format!("unix:{}", socket.display()), out.to_string_lossy().into_owned());
        let link = |arguments: &[&str]| holdoff_link(&port, &[&["--patience", "1"][..], arguments].concat());
        match self {
            Self::Status => link(&["status"]),
            Self::Json => link(&["status", "--json"]),
            Self::Clock => link(&["clock"]),
            Self::Set => link(&["clock", "--set", "--offset", "Z"]),
            Self::Load => link(&["load", &demo("quay.toml"), "--batch", "LOT 7"]),
            Self::Read => link(&["read", &file]),
            Self::Register => holdoff_register(out, &["link", &port, "--patience", "1"]),
        }
    }
}

/// Bytes of a greeting and of a whole command.
fn lengths(command: Command, name: &str) -> (u64, u64) {
    let socket = path(&format!("{name}-lengths"));
    let served = cable(first(), second(), &socket, Mishap::None, 0);
    let port = Port { name: format!("unix:{}", socket.display()), baud: 115_200 };
    drop(Talk::begin(&port, Patience::default()).expect("it answers"));
    let greeting = served.passed.load(Ordering::Relaxed);
    let out = path(&format!("{name}-lengths-out"));
    let (exit, _, err) = command.run(&socket, &out);
    assert_eq!(exit, 0, "{command:?}: {err}");
    let _ = std::fs::remove_file(&out);
    (greeting, served.passed.load(Ordering::Relaxed) - greeting)
}

/// One command, one mishap at one moment.
fn one(command: Command, mishap: Mishap, after: u64, name: &str) {
    let (socket, out) = (path(&format!("{name}-socket")), path(&format!("{name}-out")));
    let served = cable(first(), second(), &socket, mishap, after);
    let other = served.with(1, |device| device.memory().to_vec());
    let (exit, text, err) = command.run(&socket, &out);
    let case = format!("{command:?}, {mishap:?} after {after} bytes: {exit}\n{text}\n{err}");
    // nothing of the second logger, and nothing done to it
    assert!(!text.contains(SECOND) && !text.contains("south 9"), "{case}");
    served.with(1, |device| assert!(device.acts == 0 && device.memory() == other, "{case}"));
    let acts = served.with(0, |device| device.acts);
    let happened = served.passed.load(Ordering::Relaxed) > after;
    match (exit, mishap) {
        (0, _) => assert_eq!(acts, u32::from(matches!(command, Command::Set | Command::Load)), "{case}"),
        (3, Mishap::Moved | Mishap::TornAndMoved) => {
            assert!(happened && err.contains(FIRST) && err.contains(SECOND), "{case}");
        }
        (3, Mishap::Cut) => assert!(happened, "{case}"),
        _ => panic!("{case}"),
    }
    if exit == 3 {
        match command {
            Command::Status | Command::Json | Command::Clock => assert!(text.is_empty(), "{case}"),
            Command::Set => {
                let open = err.contains("whether the clock is set is not known");
                assert!(text.is_empty() && (acts == 0 || open), "{case}");
                if open {
                    assert!(err.contains(" clock` at that logger"), "{case}");
                }
            }
            Command::Load => {
                let (open, not) = (err.contains("is not known"), err.contains("nothing of it has taken effect"));
                if not {
                    assert!(!open && acts == 0, "{case}");
                }
                assert!(open || not || acts == 0 || text.contains("loaded from"), "{case}");
                if open || not {
                    assert!(err.contains(" status`"), "{case}");
                }
            }
            Command::Read | Command::Register => {
                assert!(!out.exists() || text.contains("taken in") || text.contains("KiB"), "{case}");
                assert!(err.contains("the same command goes on") || happened, "{case}");
            }
        }
    }
    // the plug where it was: the same command ends as if nothing had happened
    if matches!(command, Command::Read | Command::Register) {
        goes_on(&served, command, &out, name, &case);
    }
    let _ = std::fs::remove_file(&out);
}

fn goes_on(served: &Cable, command: Command, out: &Path, name: &str, case: &str) {
    let memory = served.with(0, |device| device.memory().to_vec());
    let socket = path(&format!("{name}-again"));
    let _again = cable(FakeDevice::of_memory(memory.clone()), second(), &socket, Mishap::None, 0);
    let (exit, text, err) = command.run(&socket, out);
    assert_eq!(exit, 0, "{case}\nand again: {text} {err}");
    if command == Command::Read {
        let read = std::fs::read(out).expect("written");
        let (found, answer) = holdoff_evidence::split(&read);
        assert!(found == memory && answer.is_some(), "{case}");
    }
}

/// Two loggers, the cable moved, torn, cut and shorted at 200 random moments.
#[test]
fn whatever_is_done_to_the_cable_no_command_mixes_two_loggers() {
    const MISHAPS: [Mishap; 5] = [Mishap::Moved, Mishap::TornAndMoved, Mishap::Torn, Mishap::Cut, Mishap::Shorted];
    let threads: Vec<_> = (0..8u64)
        .map(|thread| {
            std::thread::spawn(move || {
                let mut number = numbers(1_000 + thread);
                for round in 0..25 {
                    let command = Command::ALL[number() as usize % Command::ALL.len()];
                    let mishap = MISHAPS[number() as usize % MISHAPS.len()];
                    let name = format!("swap-{thread}-{round}");
                    let (greeting, length) = lengths(command, &name);
                    one(command, mishap, greeting + number() % length.max(1), &name);
                }
            })
        })
        .collect();
    for thread in threads {
        thread.join().expect("no case failed");
    }
}

#[test]
fn a_watch_ends_when_the_plug_is_put_into_another_logger() {
    for (after, mishap) in [(3_000, Mishap::Moved), (4_321, Mishap::TornAndMoved)] {
        for arguments in [&["status", "--watch", "--every", "0", "--json"][..], &["status", "--watch", "--every", "0"]]
        {
            let socket = path(&format!("swap-watch-{after}-{}", arguments.len()));
            let _served = cable(first(), second(), &socket, mishap, after);
            let (exit, out, err) = holdoff_link(&format!("unix:{}", socket.display()), arguments);
            assert_eq!(exit, 3, "{err}");
            assert!(out.contains(FIRST) && !out.contains(SECOND) && !out.contains("south 9"), "{out}");
            assert!(err.contains(&format!("logger {SECOND} answers now; this was begun with logger {FIRST}")), "{err}");
        }
    }
}

#[test]
fn another_key_under_the_same_number_is_another_logger() {
    let mut twin = first();
    twin.seed[0] ^= 1;
    let socket = path("swap-twin");
    let _served = cable(first(), twin, &socket, Mishap::Moved, 3_000);
    let (exit, _, err) = holdoff_link(&format!("unix:{}", socket.display()), &["status", "--watch", "--every", "0"]);
    assert!(exit == 3 && err.contains("another logger answers now under the same number"), "{exit} {err}");
}

#[test]
fn a_load_whose_last_answer_never_comes_is_not_known() {
    // cut behind every byte of the last two hundred: the last message, its answer, and what is looked at then
    let (greeting, length) = lengths(Command::Load, "swap-load");
    let mut told = [0; 3];
    for back in (1..400).step_by(13) {
        let (socket, out) = (path(&format!("swap-load-{back}")), path("swap-load-out"));
        let served = cable(first(), second(), &socket, Mishap::Cut, greeting + length - back.min(length));
        let (exit, text, err) = Command::Load.run(&socket, &out);
        let acts = served.with(0, |device| device.acts);
        if exit == 0 || text.contains("loaded from") {
            assert_eq!(acts, 1, "{err}");
        } else if err.contains("whether the job is loaded is not known") {
            told[acts as usize] += 1;
            assert!(err.contains("status` at that logger before anything is injected"), "{err}");
        } else {
            assert!(err.contains("nothing of it has taken effect") && acts == 0, "{err}");
            told[2] += 1;
        }
    }
    assert!(told[1] > 0 && told[2] > 0, "{told:?}");
}

/// A greeting that was put on the line may have been heard by either logger, whoever answers the next one. Were their numbers the
/// same, the one would take the other's requests for its own talk's.
#[test]
fn no_two_greetings_on_the_line_have_the_same_number() {
    let socket = path("swap-greetings");
    let listener = UnixListener::bind(&socket).expect("a socket");
    let patience = Patience {
        answer: Duration::from_millis(20),
        line: Duration::from_millis(100),
        pause: Duration::from_millis(5),
        ..Patience::default()
    };
    let port = Port { name: format!("unix:{}", socket.display()), baud: 115_200 };
    let talking = std::thread::spawn(move || Talk::begin(&port, patience).err());
    let mut numbers = Vec::new();
    let (mut stream, _) = listener.accept().expect("it calls");
    let mut decoder: Decoder<MOST_FRAME> = Decoder::new();
    let mut bytes = [0; 64];
    // nobody answers, until it gives up
    while let Ok(read @ 1..) = stream.read(&mut bytes) {
        for byte in &bytes[..read] {
            let Some(frame) = decoder.push(*byte).and_then(Frame::of) else { continue };
            let Some(Greeting::Hello { talk, .. }) = whole(frame.message) else { panic!("it asks a stranger") };
            numbers.push(talk);
        }
    }
    assert!(matches!(talking.join().expect("it ends"), Some(Trouble::Silent | Trouble::Line(_))));
    let different: std::collections::BTreeSet<u32> = numbers.iter().copied().collect();
    assert!(numbers.len() >= 3 && different.len() == numbers.len(), "{numbers:?}");
}
