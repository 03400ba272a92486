//! A secret key file.

use super::reader::{Source, text_of};
use super::to_hex;
use crate::files::Given;
use crate::problem::Problem;
use holdoff_core::seal::{DeviceId, PublicKey, SecretKey};
use std::fs::File;
use std::io::Write;
use std::path::Path;
use toml::de::DeValue;

/// What a secret key file says: the key, and the device that it signs for.
#[derive(Debug)]
pub struct SecretFile {
    device: DeviceId,
    key: SecretKey,
    exposed: bool,
}

impl SecretFile {
    /// Reads a secret key file.
    ///
    /// # Errors
    /// [`Problem`] when it can't be read or is no secret key file. The message never says what stands in it.
    pub fn load(path: &Path) -> Result<Self, Problem> {
        let name = path.to_string_lossy();
        let text = text_of(path, &[Given::SecretKey])?;
        let source = Source { file: &name, text: &text };
        let table = source.table()?;
        source.only(&table, &["secret"])?;
        let none = || {
            let remedy = "name the secret.key that `holdoff keys new` made";
            Problem::unusable(&name, "this is no secret key file", remedy)
        };
        let secret = table.get("secret").ok_or_else(none)?;
        let DeValue::Table(entries) = secret.get_ref() else { return Err(none()) };
        source.only(entries, &["device", "seed"])?;
        let (device, seed) = (source.bytes(entries, "device")?, source.bytes(entries, "seed")?);
        let (Some(device), Some(seed)) = (device, seed) else { return Err(none()) };
        let key = SecretKey::from_seed(seed).map_err(|_| {
            source.problem(secret.span(), "the seed is all zeros, so no key", "make another with `holdoff keys new`")
        })?;
        Ok(Self { device: DeviceId(device), key, exposed: is_exposed(path) })
    }

    /// The key.
    pub fn key(&self) -> &SecretKey {
        &self.key
    }

    /// The public key that belongs to it.
    pub fn public(&self) -> PublicKey {
        self.key.public()
    }

    /// The device that it signs for.
    pub fn device(&self) -> DeviceId {
        self.device
    }

    /// A warning for the user: others than the owner may read the file.
    pub fn warning(&self) -> Option<&'static str> {
        self.exposed.then_some("others than you may read the secret key file; take their rights away (chmod 600)")
    }
}

/// Whether others than the owner may read the file.
#[cfg(unix)]
fn is_exposed(path: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt;
    std::fs::metadata(path).is_ok_and(|metadata| metadata.permissions().mode() & 0o077 != 0)
}

#[cfg(not(unix))]
fn is_exposed(_path: &Path) -> bool {
    false
}

/// Opens a file that does not exist yet; only its owner may read or write it from its first moment on.
#[cfg(unix)]
fn create(path: &Path) -> std::io::Result<File> {
    use std::os::unix::fs::OpenOptionsExt;
    File::options().write(true).create_new(true).mode(0o600).open(path)
}

/// Elsewhere owner-only rights can't be given when a file comes into being, so none is made.
#[cfg(not(unix))]
fn create(_path: &Path) -> std::io::Result<File> {
    Err(std::io::Error::other("owner-only files can be made on Unix systems only"))
}

/// Writes a new secret key file; one that is there already is left as it is.
pub(super) fn write_new(path: &Path, device: DeviceId, seed: &[u8; 32]) -> std::io::Result<()> {
    let text = format!(
        "# holdoff secret key. Whoever has this file can sign releases in the name of its logger.\n\
         # Keep it where only that logger gets it from; never send it, never commit it.\n\
         [secret]\ndevice = \"{}\"\nseed = \"{}\"\n",
        to_hex(&device.0),
        to_hex(seed)
    );
    let mut file = create(path)?;
    let written = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    written.inspect_err(|_| {
        // ours and incomplete
        let _ = std::fs::remove_file(path);
    })
}
