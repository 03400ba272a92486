//! `holdoff man --out DIR`: a manual page for each command.
//!
//! Why written and not printed: there are two dozen, and `man` finds them by their names in a folder `man1`.

use super::examples;
use super::examples::{Example, of};
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};
use holdoff_disk::{Kind, Outputs};
use holdoff_files::problem::{Exit, Problem};
use holdoff_present::words::CAUTION;
use std::path::PathBuf;

/// `holdoff man`.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The folder for the pages; made where there is none. Only manual pages are replaced
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
}

/// Runs the command, or says why it can't be done; `program` is the whole command line.
pub fn run(arguments: &Arguments, program: clap::Command) -> Result<Exit, Problem> {
    let name = arguments.out.to_string_lossy();
    let mut program = program.disable_help_subcommand(true);
    program.build();
    let mut pages = Vec::new();
    let failed = |error: std::io::Error| Problem::unusable(&name, error.to_string(), "report this as a fault");
    add(&program, &mut Vec::new(), &mut pages).map_err(failed)?;
    let files: Vec<(String, Kind)> = pages.iter().map(|(file, _)| (file.clone(), Kind::Manual)).collect();
    let files = Outputs::beside::<PathBuf>([]).take_in(&arguments.out, &files)?;
    files.iter().zip(&pages).try_for_each(|(file, (_, page))| file.write(page))?;
    Ok(Exit::Ran)
}

/// Adds the page of a command and those of the commands in it.
fn add(command: &clap::Command, path: &mut Vec<String>, pages: &mut Vec<(String, Vec<u8>)>) -> std::io::Result<()> {
    let man = Man::new(command.clone()).source(concat!("holdoff ", env!("CARGO_PKG_VERSION")));
    let mut page = Vec::new();
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    man.render_options_section(&mut page)?;
    if command.has_subcommands() {
        man.render_subcommands_section(&mut page)?;
    }
    let path_now: Vec<&str> = path.iter().map(String::as_str).collect();
    ending(&path_now).to_writer(&mut page)?;
    pages.push((man.get_filename(), page));
    for within in command.get_subcommands().filter(|one| !one.is_hide_set()) {
        path.push(within.get_name().to_owned());
        add(within, path, pages)?;
        path.pop();
    }
    Ok(())
}

/// The examples, one a paragraph, and the caution.
fn ending(path: &[&str]) -> Roff {
    let mut page = Roff::default();
    page.control("SH", ["EXAMPLES"]).text([roman(examples::FILES)]);
    for Example { what, line, .. } in of(path) {
        page.control("TP", []).text([roman(format!("{what}:"))]).text([bold(*line)]);
    }
    page.control("SH", ["CAUTION"]).text([roman(CAUTION)]);
    page
}
