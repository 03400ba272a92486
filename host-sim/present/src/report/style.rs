//! The style sheet: what stands in `style.css`, the colours of the foreman's page by day, and the style of the drawings.
//!
//! Why only by day: the record is paper. On paper everything is black on white; what must be seen has a frame.

use crate::page::style::{paper, roles};
use crate::plot::embedded_sheet;

const SHEET: &str = include_str!("style.css");

/// The whole style sheet. A text role is a class of its name; a line is `var(--NAME)`.
pub(super) fn sheet() -> String {
    let mut text = String::new();
    roles(&mut text, |pair| pair.day);
    paper(&mut text);
    text.push_str(SHEET);
    text.push_str(&embedded_sheet());
    text
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
