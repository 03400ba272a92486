//! Troubles and refusals, in words.

use super::trouble::{Effect, Trouble};
use holdoff_core::seal::PublicKey;
use holdoff_evidence::keys::to_hex;
use holdoff_files::problem::Problem;
use holdoff_link::message::{Identity, LogState, Refusal};
use holdoff_link::{LEAST_VERSION, VERSION};
use holdoff_present::words::LinkPhrase;

/// A trouble with the logger at a port.
pub fn problem(port: &str, trouble: &Trouble) -> Problem {
    let (what, remedy): (String, String) = match trouble {
        Trouble::Line(error) => (
            format!("the line to the logger can't be used: {error}"),
            "check the name of the port, the cable, and that no other program has it open".into(),
        ),
        Trouble::Silent => (
            "no logger answers".into(),
            "press a button on the logger, check cable and --baud, and that this is its port".into(),
        ),
        Trouble::Stranger { versions: (least, greatest), firmware } => {
            let whose = firmware.as_ref().map_or(String::new(), |([major, minor, patch], board)| {
                format!(" (firmware {major}.{minor}.{patch} on {})", holdoff_files::problem::shown(board.as_bytes()))
            });
            let (theirs, ours) = (range(*least, *greatest), range(LEAST_VERSION, VERSION));
            (
                format!("the logger{whose} speaks version {theirs} of the link, this program version {ours}"),
                "use the program that belongs to the logger's firmware".into(),
            )
        }
        Trouble::Unfitting => (
            "what answers is no logger of this program, or the logger erred".into(),
            "check the port; if it is the logger's, report this as a fault".into(),
        ),
        Trouble::Restarted => (
            "the logger started anew while it was being told something".into(),
            "look at its display, and do it again".into(),
        ),
        Trouble::Stopped => (
            "it was ended before the logger had answered".into(),
            "give the same command again: it goes on where it was".into(),
        ),
        Trouble::Beyond(beyond) => (
            format!("the logger says what cannot be: {beyond}"),
            "believe nothing that it says; look at its display, and report this as a fault".into(),
        ),
        Trouble::Other { begun, found } => {
            (other(begun, found), "put the plug back into the first one, or give the command again for this one".into())
        }
        Trouble::Unloaded(why) => (
            format!("{}; the job was not all there, and nothing of it has taken effect", problem(port, why).what()),
            format!("look with `holdoff link {port} status`, and load it again"),
        ),
        Trouble::Unknown { what, why } => {
            let (open, remedy) = match what {
                Effect::Load => (
                    "whether the job is loaded is not known",
                    format!("look with `holdoff link {port} status` at that logger before anything is injected"),
                ),
                Effect::Clock => (
                    "whether the clock is set is not known",
                    format!("look with `holdoff link {port} clock` at that logger, and set it again"),
                ),
                Effect::SignOut => (
                    "whether what was read is marked as read out is not known",
                    "give the same command again: it goes on where it was".to_owned(),
                ),
            };
            (format!("{}; {open}", problem(port, why).what()), remedy)
        }
        Trouble::Refused(refusal) => {
            let (what, remedy) = refusal_words(*refusal);
            return Problem::refused(port, format!("the logger refuses: {what}"), remedy);
        }
    };
    Problem::unusable(port, what, remedy)
}

/// The same of a command that reads a memory out: what was read is kept, and the same command goes on from there.
pub fn problem_that_goes_on(port: &str, trouble: &Trouble) -> Problem {
    let problem = problem(port, trouble);
    if !matches!(trouble, Trouble::Line(_) | Trouble::Silent | Trouble::Restarted | Trouble::Other { .. }) {
        return problem;
    }
    let remedy = format!("{}; what was read is kept, and the same command goes on from there", problem.remedy());
    Problem::unusable(port, problem.what(), remedy)
}

/// That another logger answers.
fn other(begun: &Identity, found: &Identity) -> String {
    let [first, second] = [begun, found].map(|who| to_hex(&who.device));
    if first != second {
        return format!(
            "logger {second} answers now; this was begun with logger {first}, and nothing of the two is mixed"
        );
    }
    let [one, other] = [begun, found]
        .map(|who| who.key.map_or_else(|| "none".to_owned(), |key| to_hex(&PublicKey::from_bytes(key).id().0)));
    format!(
        "another logger answers now under the same number {first}: its key is {other}, that of the first one was {one}"
    )
}

fn range(least: u8, greatest: u8) -> String {
    if least == greatest { greatest.to_string() } else { format!("{least} to {greatest}") }
}

/// Why the logger refuses, and what to do.
pub fn refusal_words(refusal: Refusal) -> (String, &'static str) {
    let again = "do it again; if it stays so, report this as a fault";
    match refusal {
        Refusal::Unknown => {
            ("it does not understand the request".into(), "use the program that belongs to its firmware")
        }
        Refusal::Running { fixing } => (
            format!(
                "fixing {} is running, and nothing may be set between an injection and its end",
                u16::from(fixing) + 1
            ),
            "wait until it is released, or until the engineer has decided",
        ),
        Refusal::NoJob => ("no job is loaded".into(), "load one with `holdoff link PORT load`"),
        Refusal::NoLog => (
            "its memory holds no log of its own that it can write on".into(),
            "read the memory out, keep the file, and put a blank memory in: nothing blanks one over the line",
        ),
        Refusal::Memory => ("its memory does not answer".into(), "do it again; if it stays so, the logger is broken"),
        Refusal::Clock => ("its clock does not answer".into(), "do it again; if it stays so, the logger is broken"),
        Refusal::Time => (
            "that time or offset cannot be: a logger counts from 2020 to 2099, at most 18 h from UTC".into(),
            "check the clock of this computer",
        ),
        Refusal::Full { left } => (
            format!("its memory is full of records that nobody has read out ({left} pages left)"),
            "read it out with `holdoff link PORT read OUT.bin --read-out`, then load again",
        ),
        Refusal::OutOfRange { size } => (format!("its memory has {size} bytes, and more was asked for"), again),
        Refusal::NotLoading => ("nothing is being loaded".into(), again),
        Refusal::Number => ("a fixing or a batch that the job does not have".into(), again),
        Refusal::Incomplete => ("the job did not arrive completely".into(), again),
        Refusal::NoKey => (
            "it has no key to sign with".into(),
            "what is read out of it is covered by no signature; a key belongs into it before it is used (docs/hardware.md)",
        ),
        Refusal::Resin => {
            ("the schedule fails a check of the resin file".into(), "look at it with `holdoff resin check`")
        }
        Refusal::Settings => (
            "a setting is out of its bounds, or does not go with the time between readings".into(),
            "check uncertainty, longest gap, clock allowance, settle and --interval",
        ),
        Refusal::Accrual => (
            "the resin does not permit the accrual rule".into(),
            "leave the rule out, or give a resin whose maker permits it",
        ),
        Refusal::Torque => (
            "a torque's least lies above its greatest, or both are zero".into(),
            "give the specified torque with its tolerance",
        ),
        Refusal::Text => ("a name is empty or holds control characters".into(), "give it a plain name"),
        Refusal::Untrusted => (
            "the log of its session cannot be trusted, so nothing more may be begun in it".into(),
            "read it out and show it to the engineer",
        ),
        Refusal::Order { due } => (format!("page {due} is to be confirmed first"), again),
        Refusal::Differs { page } => {
            (format!("page {page} in its memory is not what was read; nothing is signed out"), "read the memory again")
        }
        Refusal::Unconfirmed { page } => (format!("page {page} was not confirmed; nothing is signed out"), again),
        Refusal::Undecided { fixings } => {
            let numbers: Vec<String> =
                (0..16).filter(|bit| fixings >> bit & 1 == 1).map(|bit| (bit + 1).to_string()).collect();
            (
                format!(
                    "of the job that is loaded, these fixings are rejected and the engineer has not decided: {}",
                    numbers.join(", ")
                ),
                "let the engineer decide at the logger, or load again with --leave-undecided and the name of each",
            )
        }
        Refusal::ClockFailed => (
            "its clock failed and does not go, so nothing is measured, counted or recorded".into(),
            "set it with `holdoff link PORT clock --set`, whatever runs; if it fails again, the logger needs repair",
        ),
        Refusal::OtherTalk => ("it was not greeted in this talk".into(), again),
        Refusal::NotNow => (
            "it cannot do that now: it is starting, or its battery is very low".into(),
            "look at its display; change the battery where it says so",
        ),
    }
}

/// What a memory holds.
pub const fn log_state(state: LogState) -> LinkPhrase {
    match state {
        LogState::Blank => LinkPhrase::Blank,
        LogState::Trusted => LinkPhrase::LogTrusted,
        LogState::Untrusted => LinkPhrase::LogUntrusted,
        LogState::Foreign => LinkPhrase::LogForeign,
        LogState::Stranger => LinkPhrase::LogStranger,
        LogState::NoLog => LinkPhrase::NoLog,
        LogState::NoAnswer => LinkPhrase::MemoryNoAnswer,
    }
}
