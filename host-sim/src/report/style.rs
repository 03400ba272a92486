//! The style sheet: what stands in `style.css`, the colours of the foreman's page by day, and the style of the drawings.
//!
//! Why only by day: the record is paper. On paper everything is black on white; what must be seen has a frame.

use crate::page::colour::{PAIRS, Rgb, Use};
use crate::plot::embedded_sheet;
use std::fmt::Write;

const SHEET: &str = include_str!("style.css");

/// The whole style sheet. A text role is a class of its name; a line is `var(--NAME)`.
pub(super) fn sheet() -> String {
    let mut text = String::new();
    for pair in &PAIRS {
        let (ink, ground) = pair.day;
        let _ = match pair.used {
            Use::Text => writeln!(text, ".{}{{color:{};background:{}}}", pair.role, hex(ink), hex(ground)),
            Use::Line => writeln!(text, ":root{{--{}:{}}}", pair.role, hex(ink)),
        };
    }
    text.push_str("@media print {\n");
    for pair in PAIRS.iter().filter(|pair| pair.used == Use::Text) {
        let (ink, paper) = (hex(Rgb(0, 0, 0)), hex(Rgb(255, 255, 255)));
        let _ = writeln!(text, ".{}{{color:{ink};background:{paper}}}", pair.role);
    }
    text.push_str("}\n");
    text.push_str(SHEET);
    text.push_str(&embedded_sheet());
    text
}

fn hex(Rgb(red, green, blue): Rgb) -> String {
    format!("#{red:02x}{green:02x}{blue:02x}")
}

#[cfg(test)]
mod tests {
    use super::{SHEET, sheet};

    #[test]
    fn the_sheet_has_no_colour_but_those_that_are_measured_and_fetches_nothing() {
        for line in SHEET.lines() {
            assert!(!line.contains('#') && !line.contains("rgb") && !line.contains("hsl"), "{line}");
            for property in ["color:", "background:"] {
                let value = line.split_once(property).map(|(_, value)| value.trim_start());
                assert!(value.is_none_or(|value| value.starts_with("inherit")), "{line}");
            }
        }
        assert!(!sheet().contains("url(http") && !sheet().contains("@import"));
    }
}
