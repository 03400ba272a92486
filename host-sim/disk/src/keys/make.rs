//! Making a pair of key files.

use super::secret;
use holdoff_core::log::DeviceId;
use holdoff_core::seal::SecretKey;
use holdoff_evidence::keys::NamedKey;
use holdoff_files::problem::Problem;
use std::fs::{DirBuilder, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Name of the secret key file in its folder.
pub const SECRET_FILE: &str = "secret.key";
/// Name of the public key file in its folder.
pub const PUBLIC_FILE: &str = "public.key";

/// What was made.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Made {
    /// The secret key file.
    pub secret: PathBuf,
    /// The public key file.
    pub public: PathBuf,
    /// What stands in the public one.
    pub key: NamedKey,
}

/// Makes a key pair from the system's random source and writes both files into a folder, which is made where there is none.
/// The key is named as asked, else after the folder; it counts for the device that is named after it
/// ([`DeviceId::of_key`]).
///
/// # Errors
/// [`Problem`] when a file of that name is there already, which is left as it is, or one can't be written; then none of the
/// two is left behind.
pub fn make(folder: &Path, name: Option<&str>) -> Result<Made, Problem> {
    let mut seed = [0; 32];
    getrandom::fill(&mut seed).map_err(|error| {
        let what = format!("the system gives no random numbers: {error}");
        Problem::unusable(&folder.to_string_lossy(), what, "make the key on another machine")
    })?;
    make_from(folder, name, &seed)
}

/// The same from 32 given bytes.
fn make_from(folder: &Path, name: Option<&str>, seed: &[u8; 32]) -> Result<Made, Problem> {
    let name = match name {
        Some(name) => name.to_owned(),
        None => folder_name(folder),
    };
    if !NamedKey::is_name(&name) {
        return Err(Problem::usage("this is no name for a key", "give 1 to 40 characters, without blanks at the ends"));
    }
    let (secret, public) = (folder.join(SECRET_FILE), folder.join(PUBLIC_FILE));
    let key = SecretKey::from_seed(*seed).map_err(|_| {
        let what = "the system's random numbers are all zeros";
        Problem::unusable(&secret.to_string_lossy(), what, "make the key on another machine")
    })?;
    let device = DeviceId::of_key(&key.public());
    let key = NamedKey { name, device: Some(device), public: key.public(), enrolled: None };
    make_folder(folder).map_err(|error| unusable(folder, &error))?;
    if public.symlink_metadata().is_ok() {
        return Err(unusable(&public, &io::Error::from(io::ErrorKind::AlreadyExists)));
    }
    secret::write_new(&secret, device, seed).map_err(|error| unusable(&secret, &error))?;
    write_public(&public, &key).map_err(|error| {
        let _ = std::fs::remove_file(&secret); // made a moment ago, by us
        unusable(&public, &error)
    })?;
    Ok(Made { secret, public, key })
}

fn write_public(path: &Path, key: &NamedKey) -> io::Result<()> {
    let text = format!(
        "# holdoff public key. Give it to whoever checks releases; several may stand in one file.\n{}",
        key.to_toml()
    );
    let mut file = create_public(path)?;
    let written = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    written.inspect_err(|_| {
        let _ = std::fs::remove_file(path);
    })
}

/// Opens a file that does not exist yet, which everybody may read and only its owner write, whatever is usual here: who can
/// write it decides which releases count.
#[cfg(unix)]
pub(super) fn create_public(path: &Path) -> io::Result<File> {
    use std::os::unix::fs::{OpenOptionsExt, PermissionsExt};
    let file = File::options().write(true).create_new(true).mode(0o644).open(path)?;
    let set = file.set_permissions(std::fs::Permissions::from_mode(0o644));
    set.map(|()| file).inspect_err(|_| {
        let _ = std::fs::remove_file(path);
    })
}

#[cfg(not(unix))]
pub(super) fn create_public(path: &Path) -> io::Result<File> {
    File::options().write(true).create_new(true).open(path)
}

/// Makes the folder where there is none; only the owner gets into a new one.
fn make_folder(folder: &Path) -> io::Result<()> {
    if folder.is_dir() {
        return Ok(());
    }
    let mut builder = DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}

/// The folder's own name as far as it can be a key's.
fn folder_name(folder: &Path) -> String {
    let whole = std::path::absolute(folder).unwrap_or_else(|_| folder.to_path_buf());
    let name = whole.file_name().map(|name| name.to_string_lossy().into_owned());
    name.filter(|name| NamedKey::is_name(name)).unwrap_or_else(|| "logger".to_owned())
}

fn unusable(path: &Path, error: &io::Error) -> Problem {
    let file = path.to_string_lossy();
    if error.kind() == io::ErrorKind::AlreadyExists {
        let what = "it is there already, and keys are never overwritten";
        return Problem::unusable(&file, what, "name another folder, or move the old key away yourself");
    }
    Problem::unusable(&file, format!("it can't be made: {error}"), "name a folder that you may write to")
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{make, make_from};
    use crate::Load;
    use crate::keys::exposed;
    use holdoff_evidence::keys::{Ring, SecretFile, to_hex};
    use std::path::PathBuf;
    use tempfile::TempDir;

    /// Where a key is made, in a folder that is removed with this.
    struct Place {
        _folder: TempDir,
        path: PathBuf,
    }

    fn place(name: &str) -> Place {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join(name);
        Place { _folder: folder, path }
    }

    #[test]
    fn what_was_made_can_be_loaded() {
        let folder = place("loaded");
        let made = make(&folder.path, Some("harbour 7")).expect("made");
        let secret = SecretFile::load(&made.secret).expect("secret");
        assert_eq!((secret.public(), Some(secret.device())), (made.key.public, made.key.device));
        assert_eq!(exposed(&made.secret), None);
        assert_eq!(Ring::load(&folder.path).expect("public").keys(), std::slice::from_ref(&made.key));
        assert_eq!(Ring::load(&made.public).expect("public").keys(), [made.key]);
    }

    #[test]
    fn two_keys_are_never_the_same() {
        let (one, two) = (place("one"), place("two"));
        let keys = [&one, &two].map(|folder| make(&folder.path, None).expect("made").key);
        assert_ne!(keys[0].public, keys[1].public);
        assert_eq!(keys[0].name, "one");
    }

    #[cfg(unix)]
    #[test]
    fn a_secret_key_file_is_its_owners_alone() {
        use std::os::unix::fs::PermissionsExt;
        let folder = place("rights");
        let made = make(&folder.path, None).expect("made");
        let mode = |path: &PathBuf| std::fs::metadata(path).expect("there").permissions().mode() & 0o7777;
        assert_eq!(mode(&made.secret), 0o600);
        assert_eq!(mode(&made.public), 0o644);
        assert_eq!(mode(&folder.path), 0o700);
        let wide = std::fs::Permissions::from_mode(0o644);
        std::fs::set_permissions(&made.secret, wide).expect("set");
        let warning = exposed(&made.secret);
        assert!(warning.is_some_and(|warning| warning.contains("chmod 600")));
    }

    #[test]
    fn keys_are_never_overwritten() {
        let folder = place("never");
        let made = make(&folder.path, None).expect("made");
        let before = [&made.secret, &made.public].map(|path| std::fs::read(path).expect("there"));
        let again = make(&folder.path, None).expect_err("again");
        assert!(again.what().contains("never overwritten"), "{again}");
        std::fs::remove_file(&made.public).expect("removed");
        let again = make(&folder.path, None).expect_err("again");
        assert!(again.what().contains("never overwritten"), "{again}");
        assert!(!made.public.exists());
        assert_eq!(std::fs::read(&made.secret).expect("there"), before[0]);
        std::fs::remove_file(&made.secret).expect("removed");
        std::fs::write(&made.public, &before[1]).expect("written");
        make(&folder.path, None).expect_err("again");
        assert!(!made.secret.exists(), "no secret key without its public one");
    }

    #[test]
    fn what_is_secret_is_in_no_message() {
        let folder = place("secret");
        let seed: [u8; 32] = std::array::from_fn(|place| 0x51 ^ place as u8);
        let made = make_from(&folder.path, None, &seed).expect("made");
        let hex = to_hex(&seed);
        let text = std::fs::read_to_string(&made.secret).expect("there");
        assert!(text.contains(&hex));
        let secret = SecretFile::load(&made.secret).expect("secret");
        let mut said = vec![format!("{made:?} {secret:?}"), made.key.to_toml()];
        // every way to spoil the file by one character or one line less
        for (place, _) in text.char_indices() {
            let spoilt = format!("{}{}", &text[..place], &text[place + 1..]);
            std::fs::write(&made.secret, spoilt).expect("written");
            match SecretFile::load(&made.secret) {
                Ok(secret) => said.push(format!("{secret:?}")),
                Err(problem) => said.push(format!("{problem} {problem:?}")),
            }
            match Ring::load(&made.secret) {
                Ok(ring) => said.push(format!("{ring:?}")),
                Err(problem) => said.push(format!("{problem} {problem:?}")),
            }
        }
        for said in said {
            let shown = hex
                .as_bytes()
                .windows(16)
                .any(|part| said.as_bytes().windows(16).any(|window| window.eq_ignore_ascii_case(part)));
            assert!(!shown, "{said}");
        }
    }
}
