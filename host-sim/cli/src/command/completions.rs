//! `holdoff completions SHELL`: what lets a shell complete commands and options.

use super::Streams;
use clap_complete::{Shell, generate};
use holdoff_files::problem::Exit;

/// `holdoff completions`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The shell
    #[arg(value_enum, value_name = "SHELL")]
    shell: Shell,
}

/// Runs the command; `program` is the whole command line.
pub fn run(arguments: &Arguments, mut program: clap::Command, streams: &mut Streams) -> Exit {
    let mut script = Vec::new();
    generate(arguments.shell, &mut program, "holdoff", &mut script);
    streams.print(&String::from_utf8_lossy(&script))
}
