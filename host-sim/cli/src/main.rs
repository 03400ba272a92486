//! The `holdoff` program: arguments only.

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};
use holdoff::command::{self, Streams};
use std::process::ExitCode;

/// The cure timer for bonded fixings: replays recorded temperatures through the engine of the logger.
#[derive(Debug, Parser)]
#[command(name = "holdoff", version = env!("HOLDOFF_VERSION"), about)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Replay a recorded temperature trace: when could the fixing be torqued, and why?
    Replay(Box<command::replay::Arguments>),
    /// How cold is it at the bottom of the hole, and what does that do to the release?
    Depth(Box<command::depth::Arguments>),
    /// From a forecast: when may be injected, until when to seat, when what may be torqued
    Plan(Box<command::plan::Arguments>),
    /// Resin files.
    Resin {
        #[command(subcommand)]
        command: ResinCommand,
    },
    /// Job files: the specification of a site.
    Job {
        #[command(subcommand)]
        command: JobCommand,
    },
    /// Probes: what a calibration is worth.
    Probe {
        #[command(subcommand)]
        command: ProbeCommand,
    },
    /// List all that a logger's memory holds
    Read(command::read::Arguments),
    /// Check releases: the chain, the signature, and the engine run again over the raw readings
    Prove(command::prove::Arguments),
    /// The register of a site: every memory read out and every release code in one file
    #[cfg(feature = "register")]
    Register(command::register::Arguments),
    /// The foreman's page: what may be torqued now, what is next, what must not be loaded
    #[cfg(feature = "register")]
    Board(command::board::Arguments),
    /// The hand-over record of a fixing or a job: one HTML file that prints to A4
    Report(Box<command::report::Arguments>),
    /// The engineer's decisions on rejected fixings: sign one, prove one
    #[command(subcommand)]
    Decide(command::decide::Arguments),
    /// Keys that sign and check releases
    #[command(subcommand)]
    Keys(command::keys::Arguments),
    /// Talk to a logger: who it is, its clock, load a job, watch its group, read it out
    #[cfg(feature = "link")]
    Link(Box<command::link::Arguments>),
    /// The main job in one command: an invented resin on a recorded winter day, with a plot.
    Demo(command::demo::Arguments),
    /// Print what lets a shell complete commands and options
    #[cfg(feature = "terminal")]
    Completions(command::completions::Arguments),
    /// Write a manual page for each command
    #[cfg(feature = "terminal")]
    Man(command::man::Arguments),
}

#[derive(Debug, Subcommand)]
enum ResinCommand {
    /// Look for copying mistakes in a resin file.
    Check(command::resin_check::Arguments),
}

#[derive(Debug, Subcommand)]
enum ProbeCommand {
    /// Correction and uncertainty of a calibrated probe where a resin decides, and whether a job covers them.
    Check(command::probe_check::Arguments),
}

#[derive(Debug, Subcommand)]
enum JobCommand {
    /// Look for contradictions, omissions and copying mistakes in a job file.
    Check(command::job_check::Arguments),
    /// What the job needs brought to the site: resin, cartridges, nozzles, brushes and the rest.
    TakeOff(command::job_take_off::Arguments),
}

/// The whole command line, with its examples.
fn program() -> clap::Command {
    command::examples::in_help(Arguments::command())
}

fn main() -> ExitCode {
    let arguments = Arguments::from_arg_matches(&program().get_matches()).unwrap_or_else(|error| error.exit());
    let mut streams = Streams::standard();
    let result = match &arguments.command {
        Command::Replay(arguments) => command::replay::run(arguments, &mut streams),
        Command::Depth(arguments) => command::depth::run(arguments, &mut streams),
        Command::Plan(arguments) => command::plan::run(arguments, &mut streams),
        Command::Resin { command: ResinCommand::Check(arguments) } => {
            command::resin_check::run(arguments, &mut streams)
        }
        Command::Job { command: JobCommand::Check(arguments) } => command::job_check::run(arguments, &mut streams),
        Command::Job { command: JobCommand::TakeOff(arguments) } => command::job_take_off::run(arguments, &mut streams),
        Command::Probe { command: ProbeCommand::Check(arguments) } => {
            command::probe_check::run(arguments, &mut streams)
        }
        Command::Read(arguments) => command::read::run(arguments, &mut streams),
        Command::Prove(arguments) => command::prove::run(arguments, &mut streams),
        #[cfg(feature = "register")]
        Command::Register(arguments) => command::register::run(arguments, &mut streams),
        #[cfg(feature = "register")]
        Command::Board(arguments) => command::board::run(arguments, &mut streams),
        Command::Report(arguments) => command::report::run(arguments, &mut streams),
        Command::Decide(arguments) => command::decide::run(arguments, &mut streams),
        Command::Keys(arguments) => command::keys::run(arguments, &mut streams),
        #[cfg(feature = "link")]
        Command::Link(arguments) => command::link::run(arguments, &mut streams),
        Command::Demo(arguments) => command::demo::run(arguments, &mut streams),
        #[cfg(feature = "terminal")]
        Command::Completions(arguments) => Ok(command::completions::run(arguments, program(), &mut streams)),
        #[cfg(feature = "terminal")]
        Command::Man(arguments) => command::man::run(arguments, program()),
    };
    ExitCode::from(streams.end(result).status())
}
