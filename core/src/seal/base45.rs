//! Base45 (RFC 9285), from slice to slice.
//!
//! Two bytes, as one number with the first byte high, become three characters, the low digit first; a last single byte
//! becomes two. Base45 is made for the alphanumeric mode of QR codes: 45 characters at 5.5 bits, so 16 bits take 16.5.
//!
//! What it does not do: skip blanks. The blank is one of the 45 characters.

/// The 45 characters by value (RFC 9285, table 1), which are those of the alphanumeric mode of QR codes.
pub(super) const ALPHABET: [u8; 45] = *b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

/// Why a text cannot be encoded or decoded.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Base45Error {
    /// A character that is none of the 45.
    Character {
        /// Where.
        offset: usize,
        /// The byte found.
        found: u8,
    },
    /// A number of characters that no bytes are encoded as: one more than a multiple of three.
    Length {
        /// Characters found.
        found: usize,
    },
    /// Three characters that stand for more than two bytes can hold, or two for more than one can.
    Value {
        /// Where they begin.
        offset: usize,
        /// What they stand for.
        found: u32,
    },
    /// The result does not fit into the buffer.
    Room {
        /// Bytes needed.
        needed: usize,
        /// Bytes there are.
        found: usize,
    },
}

/// Characters that `bytes` bytes take: three for two, two for a last single one (RFC 9285, section 3).
pub const fn encoded_length(bytes: usize) -> usize {
    (bytes / 2).saturating_mul(3).saturating_add(bytes % 2 * 2)
}

/// Bytes that `characters` characters stand for; for one that is one more than a multiple of three, without that one.
const fn decoded_length(characters: usize) -> usize {
    (characters / 3).saturating_mul(2).saturating_add(characters % 3 / 2)
}

/// Encodes bytes; gives the part of the buffer that was filled.
///
/// # Errors
/// [`Base45Error::Room`] when the buffer is too short.
pub fn encode<'b>(bytes: &[u8], text: &'b mut [u8]) -> Result<&'b str, Base45Error> {
    let (needed, found) = (encoded_length(bytes.len()), text.len());
    let text = text.get_mut(..needed).ok_or(Base45Error::Room { needed, found })?;
    let mut characters = text.iter_mut();
    for pair in bytes.chunks(2) {
        let mut rest = pair.iter().fold(0usize, |number, &byte| number << 8 | usize::from(byte));
        for character in characters.by_ref().take(pair.len().saturating_add(1)) {
            *character = ALPHABET.get(rest % 45).copied().unwrap_or_default(); // a remainder of 45 is below 45
            rest /= 45;
        }
    }
    Ok(core::str::from_utf8(text).unwrap_or_default()) // all of it is ASCII
}

/// Decodes a text; gives the part of the buffer that was filled.
///
/// # Errors
/// [`Base45Error`] for what RFC 9285 has decoders refuse (section 6: characters, lengths and values that no encoder
/// writes), and for a buffer that is too short.
pub fn decode<'b>(text: &[u8], bytes: &'b mut [u8]) -> Result<&'b [u8], Base45Error> {
    if text.len() % 3 == 1 {
        return Err(Base45Error::Length { found: text.len() });
    }
    let (needed, found) = (decoded_length(text.len()), bytes.len());
    let bytes = bytes.get_mut(..needed).ok_or(Base45Error::Room { needed, found })?;
    for (number, (triple, pair)) in text.chunks(3).zip(bytes.chunks_mut(2)).enumerate() {
        let offset = number.saturating_mul(3);
        let mut value = 0u32;
        for ((place, &character), weight) in triple.iter().enumerate().zip([1, 45, 45 * 45]) {
            let wrong = Base45Error::Character { offset: offset.saturating_add(place), found: character };
            value += digit(character).ok_or(wrong)? * weight; // below 45^3
        }
        if value >> (8 * pair.len()) != 0 {
            return Err(Base45Error::Value { offset, found: value });
        }
        for byte in pair.iter_mut().rev() {
            *byte = value as u8;
            value >>= 8;
        }
    }
    Ok(bytes)
}

/// The value of a character.
fn digit(character: u8) -> Option<u32> {
    ALPHABET.iter().zip(0u32..).find(|(found, _)| **found == character).map(|(_, value)| value)
}

#[cfg(test)]
mod tests {
    use super::{Base45Error, decode, encode, encoded_length};

    #[test]
    fn the_published_examples_come_out_both_ways() {
        // RFC 9285, sections 4.3 and 4.4
        let published: [(&[u8], &str); 4] =
            [(b"AB", "BB8"), (b"Hello!!", "%69 VD92EX0"), (b"base-45", "UJCLQE7W581"), (b"ietf!", "QED8WEX0")];
        // computed with the crate base45 of PyPI, 0.4.4
        let computed: [(&[u8], &str); 6] = [
            (&[], ""),
            (&[0], "00"),
            (&[0, 0], "000"),
            (&[0xFF], "U5"),
            (&[0xFF, 0xFF], "FGW"),
            (&[0, 1, 2, 3], "100KB0"),
        ];
        for (bytes, text) in published.into_iter().chain(computed) {
            let (mut characters, mut back) = ([0; 16], [0; 16]);
            assert_eq!(encode(bytes, &mut characters), Ok(text));
            assert_eq!(decode(text.as_bytes(), &mut back), Ok(bytes));
            assert_eq!(encoded_length(bytes.len()), text.len());
        }
    }

    #[test]
    fn what_no_encoder_writes_is_refused() {
        // RFC 9285, section 6, and the values just above the greatest
        let refused = [
            ("GGW", Base45Error::Value { offset: 0, found: 65_536 }),
            (":::", Base45Error::Value { offset: 0, found: 91_124 }),
            ("V5", Base45Error::Value { offset: 0, found: 256 }),
            ("Z9", Base45Error::Value { offset: 0, found: 440 }),
            ("000GGW", Base45Error::Value { offset: 3, found: 65_536 }),
            ("A", Base45Error::Length { found: 1 }),
            ("ABCD", Base45Error::Length { found: 4 }),
            ("bb8", Base45Error::Character { offset: 0, found: b'b' }),
            ("BB8Bb8", Base45Error::Character { offset: 4, found: b'b' }),
            ("0,", Base45Error::Character { offset: 1, found: b',' }),
        ];
        for (text, error) in refused {
            assert_eq!(decode(text.as_bytes(), &mut [0; 16]), Err(error), "{text}");
        }
    }

    #[test]
    fn a_short_buffer_is_refused() {
        assert_eq!(encode(&[1, 2, 3], &mut [0; 4]), Err(Base45Error::Room { needed: 5, found: 4 }));
        assert_eq!(decode(b"00000", &mut [0; 2]), Err(Base45Error::Room { needed: 3, found: 2 }));
    }
}
