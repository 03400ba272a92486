//! A key that was taken from its logger, into a key file.

use super::make::create_public;
use crate::load::RING;
use crate::open;
use crate::place::Place;
use holdoff_evidence::keys::{NamedKey, Ring, text_from, to_hex};
use holdoff_files::problem::Problem;
use std::fs;
use std::io::Write;
use std::path::Path;

/// What came of it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Entry {
    /// It was added.
    Added,
    /// The key stands there already, for this device.
    There,
}

/// Adds a key to a key file, which is made where there is none and written whole or not at all. What stands in it stays, comments
/// and all.
///
/// # Errors
/// [`Problem`] when the file is none of public keys, holds another key of the same device or the key for another one, or can't be
/// written; it is as it was.
pub fn enrol(path: &Path, key: &NamedKey) -> Result<Entry, Problem> {
    let name = path.to_string_lossy();
    let before = if path.exists() { text_from(&name, RING, open(path))? } else { String::new() };
    if !before.is_empty() {
        let ring = Ring::parse(&name, &before)?;
        for other in ring.keys() {
            match (other.public == key.public, other.device == key.device) {
                (true, true) => return Ok(Entry::There),
                (false, true) => {
                    let device = key.device.map_or_else(String::new, |device| to_hex(&device.0));
                    let what = format!("it holds another key of logger {device}, called {}", other.name);
                    let remedy =
                        "a logger has one key for its life: ask who put the other one there before you take it out";
                    return Err(Problem::unusable(&name, what, remedy));
                }
                (true, false) => {
                    let what = format!("it holds this key for another device, called {}", other.name);
                    return Err(Problem::unusable(&name, what, "take the wrong entry out"));
                }
                (false, false) => {}
            }
        }
    }
    let gap = if before.is_empty() { "" } else { "\n" };
    let text = format!("{before}{gap}{}", key.to_toml());
    Ring::parse(&name, &text)?; // what is written can be read
    replace(path, text.as_bytes()).map_err(|error| {
        Problem::unusable(&name, format!("it can't be written: {error}"), "name a file that you may write")
    })?;
    Ok(Entry::Added)
}

/// Puts a text in the place of a file, whole or not at all, for everybody to read and its owner to write. What a link leads to
/// is written, and the link stays.
fn replace(path: &Path, text: &[u8]) -> std::io::Result<()> {
    let place = Place::of_path(path);
    let path = place.path();
    let mut part = path.as_os_str().to_owned();
    part.push(format!(".{}.part", std::process::id()));
    let part = Path::new(&part);
    let written = create_public(part).and_then(|mut file| {
        file.write_all(text)?;
        file.sync_all()?;
        fs::rename(part, path)
    });
    written.inspect_err(|_| {
        let _ = fs::remove_file(part);
    })
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a broken expectation must stop the test")]
mod tests {
    use super::{Entry, NamedKey, Ring, enrol};
    use crate::Load;
    use holdoff_core::log::DeviceId;
    use holdoff_core::seal::PublicKey;
    use holdoff_evidence::keys::{Enrolled, from_hex};

    /// RFC 8032, section 7.1, TEST 1 and TEST 2.
    const ONE: &str = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a";
    const TWO: &str = "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c";

    fn key(device: u8, public: &str) -> NamedKey {
        let enrolled = Enrolled { by: "the foreman".into(), at: "2026-12-01T10:00:00+01:00".into() };
        let public = PublicKey::from_bytes(from_hex(public).expect("hex"));
        let name = format!("harbour {device}");
        NamedKey { name, device: Some(DeviceId([device; 8])), public, enrolled: Some(enrolled) }
    }

    #[test]
    fn a_key_is_added_once_and_no_other_takes_its_place() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("site.keys");
        assert_eq!(enrol(&file, &key(1, ONE)), Ok(Entry::Added));
        std::fs::write(&file, format!("# site\n{}", std::fs::read_to_string(&file).expect("there"))).expect("written");
        assert_eq!(enrol(&file, &key(1, ONE)), Ok(Entry::There));
        assert_eq!(enrol(&file, &key(2, TWO)), Ok(Entry::Added));
        let text = std::fs::read_to_string(&file).expect("there");
        assert!(text.starts_with("# site\n"), "{text}");
        assert_eq!(Ring::load(&file).expect("keys").keys(), [key(1, ONE), key(2, TWO)]);
        let refused = [enrol(&file, &key(1, TWO)), enrol(&file, &key(3, ONE))];
        for refused in refused {
            assert!(refused.is_err_and(|problem| problem.what().contains("it holds")));
        }
        assert_eq!(std::fs::read_to_string(&file).expect("there"), text);
    }

    #[cfg(unix)]
    #[test]
    fn what_a_link_leads_to_gets_the_key_and_the_link_stays() {
        let folder = tempfile::tempdir().expect("a folder");
        let (file, link) = (folder.path().join("site.keys"), folder.path().join("link.keys"));
        assert_eq!(enrol(&file, &key(1, ONE)), Ok(Entry::Added));
        std::os::unix::fs::symlink(&file, &link).expect("linked");
        assert_eq!(enrol(&link, &key(2, TWO)), Ok(Entry::Added));
        assert!(link.symlink_metadata().expect("there").file_type().is_symlink());
        assert_eq!(Ring::load(&file).expect("keys").keys(), [key(1, ONE), key(2, TWO)]);
    }

    #[test]
    fn a_file_of_another_kind_is_left_alone() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("secret.toml");
        std::fs::write(&file, "[secret]\nseed = \"5eed\"\n").expect("written");
        assert!(enrol(&file, &key(1, ONE)).is_err());
        assert_eq!(std::fs::read_to_string(&file).expect("there"), "[secret]\nseed = \"5eed\"\n");
    }
}
