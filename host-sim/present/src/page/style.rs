//! The style sheet: what stands in `style.css`, with the colours of [`super::colour`].

use super::colour::{PAIRS, Pair, Rgb, Use};
use std::fmt::Write;

/// The page's script.
pub(super) const SCRIPT: &str = include_str!("page.js");

const SHEET: &str = include_str!("style.css");

/// The whole style sheet. A text role is a class of its name; a line is `var(--NAME)`.
pub(super) fn sheet() -> String {
    let mut text = String::from(":root{color-scheme:light dark}\n");
    roles(&mut text, |pair| pair.day);
    text.push_str("@media (prefers-color-scheme: dark) {\n");
    roles(&mut text, |pair| pair.night);
    text.push_str("}\n");
    paper(&mut text);
    text.push_str(SHEET);
    text
}

/// Every pair of colours as it is used, of the day or of the night.
pub(crate) fn roles(text: &mut String, of: fn(&Pair) -> (Rgb, Rgb)) {
    for pair in &PAIRS {
        let (ink, ground) = of(pair);
        let _ = match pair.used {
            Use::Text => writeln!(text, ".{}{{color:{};background:{}}}", pair.role, hex(ink), hex(ground)),
            Use::Line => writeln!(text, ":root{{--{}:{}}}", pair.role, hex(ink)),
        };
    }
}

/// On paper everything is black on white; what must be seen keeps a frame.
pub(crate) fn paper(text: &mut String) {
    text.push_str("@media print {\n");
    for pair in PAIRS.iter().filter(|pair| pair.used == Use::Text) {
        let (ink, paper) = (hex(Rgb(0, 0, 0)), hex(Rgb(255, 255, 255)));
        let _ = writeln!(text, ".{}{{color:{ink};background:{paper}}}", pair.role);
    }
    text.push_str("}\n");
}

fn hex(Rgb(red, green, blue): Rgb) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

#[cfg(test)]
mod tests {
    use super::{PAIRS, SHEET, sheet};

    #[test]
    fn the_sheet_has_no_colour_but_those_that_are_measured() {
        for line in SHEET.lines() {
            assert!(!line.contains('#') && !line.contains("rgb") && !line.contains("hsl"), "{line}");
            for property in ["color:", "background:", "background-color:"] {
                if let Some((_, value)) = line.split_once(property) {
                    let value = value.trim_start();
                    assert!(value.starts_with("inherit") || value.starts_with("transparent"), "{line}");
                }
            }
        }
        for pair in PAIRS {
            assert!(sheet().contains(pair.role));
        }
    }

    #[test]
    fn nothing_is_fetched_from_anywhere() {
        let sheet = sheet();
        assert!(!sheet.contains("url(") && !sheet.contains("@import"));
        assert!(!super::SCRIPT.contains("http"));
    }
}
