//! Secret key files on the disk: only their owner may read them.

use holdoff_core::log::DeviceId;
use holdoff_evidence::keys::to_hex;
use std::fs::File;
use std::io::Write;
use std::path::Path;

/// A warning for the user where others than the owner may read the file.
pub fn exposed(path: &Path) -> Option<&'static str> {
    is_exposed(path).then_some("others than you may read the secret key file; take their rights away (chmod 600)")
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
