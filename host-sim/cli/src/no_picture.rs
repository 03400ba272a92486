//! What stands for [`crate::picture`] in a program that is built without the feature `pictures`: every picture is refused.

const WITHOUT: &str = "this program was built without pictures; build it with the feature `pictures`";

/// Whether this is the beginning of a PNG or JPEG picture: it is refused later, by what it is.
pub fn is_picture(_bytes: &[u8]) -> bool {
    false
}

/// The codes in a picture.
///
/// # Errors
/// Always.
pub fn codes(_bytes: &[u8]) -> Result<Vec<Vec<u8>>, &'static str> {
    Err(WITHOUT)
}

/// A code as a picture.
///
/// # Errors
/// Always.
pub fn png(_code: &holdoff_core::seal::ReleaseCode) -> Result<Vec<u8>, String> {
    Err(WITHOUT.to_owned())
}
