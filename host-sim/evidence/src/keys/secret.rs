//! A secret key file.

use super::reader::Source;
use holdoff_core::log::DeviceId;
use holdoff_core::seal::{PublicKey, SecretKey};
use holdoff_files::problem::Problem;
use toml::de::DeValue;

/// What a secret key file says: the key, and the device that it signs for.
#[derive(Debug)]
pub struct SecretFile {
    device: DeviceId,
    key: SecretKey,
}

impl SecretFile {
    /// Reads the text of a secret key file.
    ///
    /// # Errors
    /// [`Problem`] when it is no secret key file. The message never says what stands in it.
    pub fn parse(name: &str, text: &str) -> Result<Self, Problem> {
        let source = Source { file: name, text };
        let table = source.table()?;
        source.only(&table, &["secret"])?;
        let none = || {
            let remedy = "name the secret.key that `holdoff keys new` made";
            Problem::unusable(name, "this is no secret key file", remedy)
        };
        let secret = table.get("secret").ok_or_else(none)?;
        let DeValue::Table(entries) = secret.get_ref() else { return Err(none()) };
        source.only(entries, &["device", "seed"])?;
        let (device, seed) = (source.bytes(entries, "device")?, source.bytes(entries, "seed")?);
        let (Some(device), Some(seed)) = (device, seed) else { return Err(none()) };
        let key = SecretKey::from_seed(seed).map_err(|_| {
            source.problem(secret.span(), "the seed is all zeros, so no key", "make another with `holdoff keys new`")
        })?;
        Ok(Self { device: DeviceId(device), key })
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
}
