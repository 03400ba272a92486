//! A short line of text, built without the formatting machinery.
//!
//! Why own: a logger's screen needs whole numbers, a decimal point and words; the general machinery would take more flash
//! than all the screens together. Characters are Latin-1, one byte each, which is what the fonts hold.

/// Most characters of a line; more are left off. The tests see to it that no screen comes near.
const MOST: usize = 40;

/// A line of Latin-1 characters.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Line {
    characters: [u8; MOST],
    used: u8,
}

impl Line {
    /// Nothing.
    pub(super) const EMPTY: Self = Self { characters: [0; MOST], used: 0 };

    /// These words.
    pub(super) fn of(text: &str) -> Self {
        Self::EMPTY.and(text)
    }

    /// Text behind it; a character that Latin-1 does not have becomes a question mark.
    #[must_use]
    pub(super) fn and(mut self, text: &str) -> Self {
        for character in text.chars() {
            self.push(u8::try_from(u32::from(character)).unwrap_or(b'?'));
        }
        self
    }

    /// Another line behind it.
    #[must_use]
    pub(super) fn and_line(mut self, other: &Self) -> Self {
        for &character in other.bytes() {
            self.push(character);
        }
        self
    }

    /// One character behind it.
    #[must_use]
    pub(super) fn byte(mut self, character: u8) -> Self {
        self.push(character);
        self
    }

    /// A whole number behind it.
    #[must_use]
    pub(super) fn number(self, number: u64) -> Self {
        self.padded(number, 1)
    }

    /// A whole number with at least so many digits behind it.
    #[must_use]
    pub(super) fn padded(mut self, number: u64, least: u8) -> Self {
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
            self.push(digit);
        }
        self
    }

    /// The characters.
    pub(super) fn bytes(&self) -> &[u8] {
        self.characters.get(..usize::from(self.used)).unwrap_or_default()
    }

    /// Whether there is nothing in it.
    pub(super) const fn is_empty(&self) -> bool {
        self.used == 0
    }

    fn push(&mut self, character: u8) {
        if let Some(place) = self.characters.get_mut(usize::from(self.used)) {
            *place = character;
            self.used = self.used.saturating_add(1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Line;

    #[test]
    fn numbers_are_written_as_they_are() {
        let text = |line: Line| String::from_utf8_lossy(line.bytes()).into_owned();
        assert_eq!(text(Line::EMPTY.number(0)), "0");
        assert_eq!(text(Line::EMPTY.number(u64::MAX)), u64::MAX.to_string());
        assert_eq!(text(Line::EMPTY.padded(7, 2).byte(b':').padded(123, 2)), "07:123");
    }

    #[test]
    fn what_latin_1_does_not_have_is_a_question_mark() {
        assert_eq!(Line::of("Süd\u{2116}3").bytes(), b"S\xfcd?3");
        assert_eq!(Line::of(&"x".repeat(100)).bytes().len(), 40);
    }
}
