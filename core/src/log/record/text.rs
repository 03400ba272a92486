//! Short texts and byte strings of bounded length, kept in place.

/// Up to `N` bytes (at most 255); texts are meant to be UTF-8, which is not checked here.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Bytes<const N: usize> {
    bytes: [u8; N],
    used: u8,
}

impl<const N: usize> Bytes<N> {
    /// No bytes.
    pub const EMPTY: Self = Self { bytes: [0; N], used: 0 };

    /// These bytes; `None` when there are more than `N` or more than 255.
    pub fn new(bytes: &[u8]) -> Option<Self> {
        let mut made = Self::EMPTY;
        made.used = fill(&mut made.bytes, bytes)?;
        Some(made)
    }

    /// As many of the characters as fit; for labels that may be cut short.
    pub fn cut(text: &str) -> Self {
        let mut end = text.len().min(N).min(255);
        while !text.is_char_boundary(end) {
            end = end.saturating_sub(1);
        }
        text.as_bytes().get(..end).and_then(Self::new).unwrap_or(Self::EMPTY)
    }

    /// The bytes.
    pub fn bytes(&self) -> &[u8] {
        self.bytes.get(..usize::from(self.used)).unwrap_or(&[])
    }

    /// The bytes as text; `None` when they are not UTF-8.
    pub fn text(&self) -> Option<&str> {
        core::str::from_utf8(self.bytes()).ok()
    }
}

/// Puts the bytes into their places, and says how many they are; `None` when they don't fit. Apart, for all lengths at once.
fn fill(places: &mut [u8], bytes: &[u8]) -> Option<u8> {
    let used = u8::try_from(bytes.len()).ok()?;
    if bytes.len() > places.len() {
        return None;
    }
    for (place, byte) in places.iter_mut().zip(bytes) {
        *place = *byte;
    }
    Some(used)
}

impl<const N: usize> core::fmt::Debug for Bytes<N> {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self.text() {
            Some(text) => write!(f, "{text:?}"),
            None => write!(f, "{:02x?}", self.bytes()),
        }
    }
}
