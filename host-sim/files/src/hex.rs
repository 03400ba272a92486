//! Bytes as hexadecimal digits.

use std::fmt::Write;

/// Bytes as lower-case hexadecimal digits.
pub fn to_hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::with_capacity(bytes.len() * 2), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Exactly `N` bytes from hexadecimal digits of either case; `None` for anything else.
pub fn from_hex<const N: usize>(text: &str) -> Option<[u8; N]> {
    if text.len() != 2 * N || !text.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        return None;
    }
    let mut bytes = [0; N];
    for (byte, digits) in bytes.iter_mut().zip(text.as_bytes().chunks(2)) {
        *byte = u8::from_str_radix(std::str::from_utf8(digits).ok()?, 16).ok()?;
    }
    Some(bytes)
}

#[cfg(test)]
mod tests {
    use super::{from_hex, to_hex};

    #[test]
    fn digits_come_back_and_nothing_else_is_taken() {
        assert_eq!(to_hex(&[0, 0xA5, 0xFF]), "00a5ff");
        assert_eq!(from_hex("00a5FF"), Some([0, 0xA5, 0xFF]));
        for wrong in ["00a5f", "00a5ff0", "00a5fg", "+0a5ff", " 0a5ff", "00a5f\u{e9}"] {
            assert_eq!(from_hex::<3>(wrong), None, "{wrong}");
        }
    }
}
