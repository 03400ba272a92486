//! `holdoff keys`: make and list keys.

use super::Streams;
use crate::keys::{Made, NamedKey, Ring, make, to_hex};
use crate::problem::{Exit, shown_file};
use std::fmt::Write;
use std::path::PathBuf;

/// `holdoff keys`.
#[derive(Debug, clap::Subcommand)]
pub enum Arguments {
    /// Make a key pair: DIR/secret.key (yours alone) and DIR/public.key
    New(NewArguments),
    /// List the public keys of a file, or of a folder made by `keys new`
    List(ListArguments),
}

/// `holdoff keys new`.
#[derive(Debug, clap::Args)]
pub struct NewArguments {
    /// The folder for the two files; made where there is none
    #[arg(value_name = "DIR")]
    folder: PathBuf,
    /// What proofs call the key [default: the folder's name]
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
}

/// `holdoff keys list`.
#[derive(Debug, clap::Args)]
pub struct ListArguments {
    /// A public key file, or a folder with a public.key
    #[arg(value_name = "FILE|DIR")]
    file: PathBuf,
}

/// Runs the command.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Exit {
    let said = match arguments {
        Arguments::New(new) => make(&new.folder, new.name.as_deref()).map(|made| made_text(&made)),
        Arguments::List(list) => Ring::load(&list.file).map(|ring| list_text(ring.keys())),
    };
    match said {
        Ok(text) => streams.print(&text),
        Err(problem) => streams.refuse(&problem),
    }
}

fn made_text(made: &Made) -> String {
    format!(
        "secret key: {} (readable by you alone; put it into the logger, never send it)\n\
         public key: {} (give it to whoever checks releases)\n{}",
        shown_file(&made.secret.to_string_lossy()),
        shown_file(&made.public.to_string_lossy()),
        list_text(std::slice::from_ref(&made.key))
    )
}

fn list_text(keys: &[NamedKey]) -> String {
    let mut text = String::new();
    for key in keys {
        let device =
            key.device.map_or_else(|| "any device".to_owned(), |device| format!("device {}", to_hex(&device.0)));
        let (id, public) = (to_hex(&key.public.id().0), to_hex(key.public.bytes()));
        let _ = writeln!(text, "key {id}  {device}  public {public}  {}", key.name);
    }
    text
}
