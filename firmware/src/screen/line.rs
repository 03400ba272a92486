//! A short line of text, built without the formatting machinery.
//!
//! Why own: a logger's screen needs whole numbers, a decimal point and words; the general machinery would take more flash
//! than all the screens together. Characters are Latin-1, one byte each, which is what the fonts hold. A line is written in
//! place, and what writes it is not inlined: that keeps 3 KB of flash free.

/// Most characters of a line; more are left off. The longest one is a resin's name behind its heading, 38.
const MOST: usize = 40;

/// A line of Latin-1 characters.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Line {
    characters: [u8; MOST],
    used: u8,
}

impl Line {
    /// Nothing.
    pub(super) const EMPTY: Self = Self { characters: [0; MOST], used: 0 };

    /// These words.
    #[inline(never)]
    pub(super) fn of(text: &str) -> Self {
        let mut line = Self::EMPTY;
        line.and(text);
        line
    }

    /// Text behind it; a character that Latin-1 does not have becomes a question mark.
    #[inline(never)]
    pub(super) fn and(&mut self, text: &str) -> &mut Self {
        for character in text.chars() {
            self.byte(u8::try_from(u32::from(character)).unwrap_or(b'?'));
        }
        self
    }

    /// Characters of another line behind it.
    #[inline(never)]
    pub(super) fn bytes_of(&mut self, characters: &[u8]) -> &mut Self {
        for &character in characters {
            self.byte(character);
        }
        self
    }

    /// One character behind it.
    #[inline(never)]
    pub(super) fn byte(&mut self, character: u8) -> &mut Self {
        if let Some(place) = self.characters.get_mut(usize::from(self.used)) {
            *place = character;
            self.used = self.used.saturating_add(1);
        }
        self
    }

    /// A whole number behind it.
    pub(super) fn number(&mut self, number: u64) -> &mut Self {
        self.padded(number, 1)
    }

    /// A whole number with at least so many digits behind it.
    #[inline(never)]
    pub(super) fn padded(&mut self, number: u64, least: u8) -> &mut Self {
        let mut digits = [0u8; 20];
        let mut rest = number;
        let mut used = 0u8;
        for digit in &mut digits {
            if rest == 0 && used >= least {
                break;
            }
            *digit = b'0'.wrapping_add((rest % 10) as u8); // under 10
            rest /= 10;
            used = used.saturating_add(1);
        }
        for &digit in digits.iter().take(usize::from(used)).rev() {
            self.byte(digit);
        }
        self
    }

    /// The characters.
    pub(super) fn bytes(&self) -> &[u8] {
        self.characters.get(..usize::from(self.used)).unwrap_or_default()
    }

    /// Its first characters, and the rest.
    pub(super) fn split(&self, first: usize) -> (&[u8], &[u8]) {
        let all = self.bytes();
        all.split_at_checked(first).unwrap_or((all, &[]))
    }

    /// Whether there is nothing in it.
    pub(super) const fn is_empty(&self) -> bool {
        self.used == 0
    }
}

#[cfg(test)]
mod tests {
    use super::Line;

    #[test]
    fn numbers_are_written_as_they_are() {
        let text = |line: &mut Line| String::from_utf8_lossy(line.bytes()).into_owned();
        assert_eq!(text(Line::EMPTY.clone().number(0)), "0");
        assert_eq!(text(Line::EMPTY.clone().number(u64::MAX)), u64::MAX.to_string());
        assert_eq!(text(Line::EMPTY.clone().padded(7, 2).byte(b':').padded(123, 2)), "07:123");
    }

    #[test]
    fn what_latin_1_does_not_have_is_a_question_mark() {
        assert_eq!(Line::of("Süd\u{2116}3").bytes(), b"S\xfcd?3");
        assert_eq!(Line::of(&"x".repeat(100)).bytes().len(), 40);
    }
}
