//! The examples of every help text and manual page.
//!
//! What for: a user copies a line that works. The tests run each of these lines, in their order and in one folder, so that none
//! can be wrong: those that need a logger over a line with one, the others as a shell has them.
//! Terms: a *path* is the words of a command behind `holdoff`, such as `job check`.
//! Invariants: every command that does something has an example; the files named are those of `holdoff demo --files .`, or
//! come of an earlier example; each help text ends with the caution.
//! What it does not do: run anything.

use holdoff_present::words::CAUTION;
use std::fmt::Write;

/// One line that a user can copy.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Example {
    /// The command that it is an example of; empty for the program itself.
    pub path: &'static [&'static str],
    /// What it does.
    pub what: &'static str,
    /// The line.
    pub line: &'static str,
    /// The exit status that it ends with.
    pub exit: i32,
}

const fn example(path: &'static [&'static str], what: &'static str, line: &'static str) -> Example {
    Example { path, what, line, exit: 0 }
}

/// All of them, so that each finds what it needs.
pub const EXAMPLES: [Example; 41] = [
    example(
        &[],
        "The main job on invented data, with a plot and the files that the other examples use",
        "holdoff demo --plot demo.svg --files .",
    ),
    example(&[], "What one command does, with examples", "holdoff help replay"),
    example(
        &["demo"],
        "The account, a plot, and the demo's files in this folder",
        "holdoff demo --plot demo.svg --files .",
    ),
    example(&["keys", "new"], "A key pair for a logger, in a folder of its own", "holdoff keys new logger-1"),
    example(&["keys", "new"], "One for the engineer, who signs decisions with it", "holdoff keys new engineer"),
    example(&["keys", "list"], "The public key that was made", "holdoff keys list logger-1"),
    example(
        &["decide", "sign"],
        "The engineer has a rejected fixing removed",
        "holdoff decide sign --fixing \"B3-2\" --device 0123456789abcdef --ground seated-late --decision remove --because \"seated after its working time\" --document \"letter 17, 2026-12-01\" --by \"E. Invented\" --key engineer/secret.key --out decision.toml",
    ),
    Example {
        exit: 1,
        ..example(
            &["decide", "check"],
            "Whether an engineer of the job signed it; exit status 1, since the invented job names none",
            "holdoff decide check decision.toml --job quay-job.toml",
        )
    },
    example(
        &["replay"],
        "When could this fixing have been torqued?",
        "holdoff replay winter-day.csv --resin harbour-slow.toml --hole dry --inject 2022-01-03T10:15:00-07:00 --seat 2022-01-03T10:22:00-07:00",
    ),
    example(
        &["replay"],
        "A whole group, for a script: one JSON object a fixing",
        "holdoff replay --scenario quay.toml --json",
    ),
    example(
        &["replay"],
        "The memory that a logger would hold after the same",
        "holdoff replay --scenario quay.toml --job quay-job.toml --image bollard-3.bin --key logger-1/secret.key",
    ),
    example(
        &["depth"],
        "The same fixing, as cold as it may have been at the bottom of its hole",
        "holdoff depth winter-day.csv --depth 125 --before -2 --resin harbour-slow.toml --hole dry --inject 2022-01-03T10:15:00-07:00 --seat 2022-01-03T10:22:00-07:00",
    ),
    example(
        &["plan"],
        "What may be torqued at seven, as forecast and 2 and 5 °C colder",
        "holdoff plan quay-job.toml --forecast winter-day.csv --colder 2,5 --torque-by 07:00 --shift 07:00-17:00",
    ),
    example(
        &["resin", "check"],
        "The schedule as it was understood, to be held beside the printed one",
        "holdoff resin check harbour-slow.toml",
    ),
    example(
        &["job", "check"],
        "The specification as it was understood, to be held beside the engineer's",
        "holdoff job check quay-job.toml",
    ),
    example(
        &["job", "take-off"],
        "What must be brought, with a tenth more holes",
        "holdoff job take-off quay-job.toml --spare 10",
    ),
    example(
        &["probe", "check"],
        "What a calibrated probe is worth where the job's resin decides, on the day of the work",
        "holdoff probe check probe-7.toml --job quay-job.toml --probe 7 --on 2022-01-03",
    ),
    example(&["read"], "All records of a memory", "holdoff read bollard-3.bin"),
    example(
        &["read"],
        "The same with a picture of each release code in the folder codes",
        "holdoff read bollard-3.bin --codes codes",
    ),
    Example {
        exit: 4,
        ..example(
            &["prove"],
            "Every release against the logger's key; exit status 4, since two fixings have none",
            "holdoff prove bollard-3.bin --keys logger-1/public.key",
        )
    },
    Example {
        exit: 4,
        ..example(
            &["prove"],
            "The same, and that the logger was loaded with these very files",
            "holdoff prove bollard-3.bin --keys logger-1/public.key --job quay-job.toml --resin harbour-slow.toml",
        )
    },
    example(
        &["register", "add"],
        "What a memory says, into the register of the site",
        "holdoff register --file quay.db add bollard-3.bin --keys logger-1/public.key",
    ),
    example(&["register", "list"], "Every fixing of the site", "holdoff register --file quay.db list"),
    example(
        &["register", "prove"],
        "Every release of the site against keys",
        "holdoff register --file quay.db prove --keys logger-1/public.key",
    ),
    example(
        &["register", "settle"],
        "Two read-outs of a logger contradict each other, and the owner knows which one is true",
        "holdoff register --file quay.db settle 0123456789abcdef --by \"E. Invented\" --because \"a test memory was added\" --keep bollard-3.bin",
    ),
    example(
        &["register", "export"],
        "Tables for other programs, in the folder tables",
        "holdoff register --file quay.db export --csv tables",
    ),
    example(
        &["board"],
        "What may be torqued now, on the terminal",
        "holdoff board --register quay.db --job quay-job.toml",
    ),
    example(
        &["board"],
        "The same as one file for a phone",
        "holdoff board --register quay.db --job quay-job.toml --out board.html",
    ),
    example(
        &["board"],
        "The same, served to the browser of this computer until Ctrl-C",
        "holdoff board --register quay.db --job quay-job.toml --listen 127.0.0.1:8080",
    ),
    example(
        &["report"],
        "The hand-over record of one memory",
        "holdoff report bollard-3.bin --keys logger-1/public.key --job quay-job.toml --out bollard-3.html",
    ),
    example(
        &["report"],
        "The same with the calibration of its probe",
        "holdoff report bollard-3.bin --keys logger-1/public.key --job quay-job.toml --calibration probe-7.toml --out bollard-3.html",
    ),
    example(&["link", "identity"], "Who the logger is", "holdoff link /dev/ttyACM0 identity"),
    example(&["link", "clock"], "Its clock set by this computer's", "holdoff link /dev/ttyACM0 clock --set"),
    example(
        &["link", "enrol"],
        "Its public key into a file",
        "holdoff link /dev/ttyACM0 enrol keys.toml --name \"logger 1\" --by \"A. Invented\"",
    ),
    example(
        &["link", "load"],
        "One group of a job",
        "holdoff link /dev/ttyACM0 load quay-job.toml --group \"bollard 3\"",
    ),
    example(&["link", "status"], "How its group stands", "holdoff link /dev/ttyACM0 status"),
    example(&["link", "read"], "Its memory into a file", "holdoff link /dev/ttyACM0 read logger-1.bin"),
    example(
        &["register", "link"],
        "A logger's memory into the register, over its line, and marked on the logger as read out",
        "holdoff register --file quay.db link /dev/ttyACM0 --keys keys.toml --read-out",
    ),
    example(
        &["completions"],
        "For bash, in this terminal; for good, write the same line into ~/.bashrc",
        "eval \"$(holdoff completions bash)\"",
    ),
    example(&["man"], "A manual page for each command, in the folder man1", "holdoff man --out man/man1"),
    example(&["man"], "To read one", "man -M man holdoff-replay"),
];

/// Which files they name.
pub(super) const FILES: &str = "Examples, with the files that `holdoff demo --files .` writes:";

/// Those that the help of a command shows: its own; of a command that has commands, theirs.
pub fn of(path: &[&str]) -> impl Iterator<Item = &'static Example> {
    EXAMPLES
        .iter()
        .filter(move |example| if path.is_empty() { example.path.is_empty() } else { example.path.starts_with(path) })
}

/// A command whose help texts, and those of the commands in it, end with examples and the caution.
#[must_use]
pub fn in_help(command: clap::Command) -> clap::Command {
    with(command, &mut Vec::new())
}

fn with(mut command: clap::Command, path: &mut Vec<String>) -> clap::Command {
    let within: Vec<String> = command.get_subcommands().map(|one| one.get_name().to_owned()).collect();
    for name in within {
        path.push(name.clone());
        command = command.mut_subcommand(name, |one| with(one, path));
        path.pop();
    }
    let path: Vec<&str> = path.iter().map(String::as_str).collect();
    let mut text = format!("{FILES}\n");
    for Example { what, line, .. } in of(&path) {
        let _ = writeln!(text, "  {what}:\n      {line}");
    }
    command.after_help(format!("{text}\n{CAUTION}"))
}
