//! `holdoff keys`: make and list keys.

use super::Streams;
use holdoff_disk::Load;
use holdoff_disk::keys::{Made, make};
use holdoff_evidence::keys::{NamedKey, Ring, to_hex};
use holdoff_files::problem::{Exit, Problem, shown_file};
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

/// Runs the command; or says why it can't be done.
pub fn run(arguments: &Arguments, streams: &mut Streams) -> Result<Exit, Problem> {
    let text = match arguments {
        Arguments::New(new) => made_text(&make(&new.folder, new.name.as_deref())?),
        Arguments::List(list) => list_text(Ring::load(&list.file)?.keys()),
    };
    Ok(streams.print(&text))
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

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{Arguments, ListArguments, NewArguments, run};
    use crate::command::Streams;
    use holdoff_files::problem::Exit;
    use std::cell::RefCell;
    use std::io::Write;
    use std::path::{Path, PathBuf};
    use std::rc::Rc;

    /// What a command prints, kept.
    #[derive(Clone, Default)]
    struct Kept(Rc<RefCell<Vec<u8>>>);

    impl Write for Kept {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            self.0.borrow_mut().write(bytes)
        }

        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    /// Exit, standard output, standard error.
    fn said(arguments: &Arguments) -> (Exit, String, String) {
        let (out, err) = (Kept::default(), Kept::default());
        let mut streams = Streams { out: Box::new(out.clone()), err: Box::new(err.clone()), watched: false };
        let result = run(arguments, &mut streams);
        let exit = streams.end(result);
        let text = |kept: Kept| String::from_utf8(kept.0.borrow().clone()).expect("text");
        (exit, text(out), text(err))
    }

    fn new(folder: &Path) -> Arguments {
        Arguments::New(NewArguments { folder: folder.to_path_buf(), name: Some("harbour 7".to_owned()) })
    }

    fn list(file: PathBuf) -> Arguments {
        Arguments::List(ListArguments { file })
    }

    #[test]
    fn keys_are_made_and_listed_and_the_secret_one_is_never_said() {
        let outer = tempfile::tempdir().expect("a folder");
        let folder = outer.path().join("logger");
        let made = said(&new(&folder));
        let listed = [said(&list(folder.clone())), said(&list(folder.join("public.key")))];
        let again = said(&new(&folder));
        let secret_listed = said(&list(folder.join("secret.key")));
        let missing = said(&list(folder.join("none.key")));
        let seed = std::fs::read_to_string(folder.join("secret.key")).expect("there");

        assert_eq!((made.0, made.2.as_str()), (Exit::Ran, ""));
        assert!(made.1.contains("secret.key") && made.1.contains("public.key"), "{}", made.1);
        for listed in listed {
            assert_eq!((listed.0, listed.2.as_str()), (Exit::Ran, ""));
            assert!(listed.1.ends_with("harbour 7\n") && made.1.ends_with(&listed.1), "{}", listed.1);
        }
        for refused in [&again, &secret_listed, &missing] {
            assert_eq!((refused.0, refused.1.as_str()), (Exit::Unusable, ""));
            assert!(refused.2.starts_with("error: "), "{}", refused.2);
        }
        let seed = seed.split('"').nth(3).expect("a seed");
        assert_eq!(seed.len(), 64);
        for text in [made.1, again.2, secret_listed.2, missing.2] {
            assert!(!text.contains(seed), "{text}");
        }
    }
}
