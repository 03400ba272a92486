//! The `holdoff` program, as its users call it, and key files for it.

use super::EmulatorError;
use holdoff_core::log::DeviceId;
use holdoff_core::seal::SecretKey;
use holdoff_evidence::keys::to_hex;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

/// Runs the program, built if need be.
///
/// # Errors
/// It cannot be built or started.
pub fn holdoff(arguments: &[&str]) -> Result<Output, EmulatorError> {
    static BUILT: OnceLock<Result<PathBuf, EmulatorError>> = OnceLock::new();
    let path = BUILT.get_or_init(build).as_ref().map_err(Clone::clone)?;
    Ok(Command::new(path).args(arguments).output()?)
}

fn build() -> Result<PathBuf, EmulatorError> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let root = super::root();
    let status = Command::new(cargo)
        .args(["build", "--quiet", "--workspace", "--bin", "holdoff", "--manifest-path"])
        .arg(root.join("Cargo.toml"))
        .status()?;
    if !status.success() {
        return Err(EmulatorError::File("the holdoff program cannot be built".to_owned()));
    }
    Ok(super::image::target().join("debug/holdoff"))
}

/// Writes the key files of a device with this seed: `secret.key` and `public.key` in the directory.
///
/// # Errors
/// They cannot be written, or the seed is all zeros.
pub fn write_keys(directory: &Path, seed: [u8; 32]) -> Result<(PathBuf, PathBuf), EmulatorError> {
    let key = SecretKey::from_seed(seed).map_err(|error| EmulatorError::File(format!("{error:?}")))?;
    let device = to_hex(&DeviceId::of_key(&key.public()).0);
    let (secret, public) = (directory.join("secret.key"), directory.join("public.key"));
    std::fs::write(&secret, format!("[secret]\ndevice = \"{device}\"\nseed = \"{}\"\n", to_hex(&seed)))?;
    let hex = to_hex(key.public().bytes());
    std::fs::write(&public, format!("[[key]]\nname = \"emulated\"\ndevice = \"{device}\"\npublic = \"{hex}\"\n"))?;
    Ok((secret, public))
}
