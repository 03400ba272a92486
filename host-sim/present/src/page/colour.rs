//! Every colour of the page: each text with the ground it stands on, for daylight and for the dark.
//!
//! Why pairs: contrast is a matter of two colours. The style sheet names no colour of its own; it takes roles from here, and
//! a role sets both. So the test of contrast sees all that is used.
//! Source: contrast by WCAG 2.2, definition of *relative luminance* and *contrast ratio*; success criteria 1.4.3 (text, AA:
//! 4.5, AAA: 7 by 1.4.6) and 1.4.11 (borders and the like: 3).
//! No meaning rests on colour alone: every row says its status in words.

/// A colour, red, green and blue from 0 to 255.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Rgb(pub u8, pub u8, pub u8);

/// What a pair is for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Use {
    /// Text on its ground.
    Text,
    /// A border, or the ring around what has the focus.
    Line,
}

/// A colour on its ground.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Pair {
    /// The role it plays in the style sheet.
    pub role: &'static str,
    /// What it is for.
    pub used: Use,
    /// In daylight: what is drawn, and its ground.
    pub day: (Rgb, Rgb),
    /// In the dark.
    pub night: (Rgb, Rgb),
}

const WHITE: Rgb = Rgb(255, 255, 255);
const INK: Rgb = Rgb(16, 20, 24);
const NIGHT: Rgb = Rgb(16, 20, 24);
const PALE: Rgb = Rgb(238, 241, 243);

/// All pairs.
pub const PAIRS: [Pair; 13] = [
    text("paper", (INK, WHITE), (PALE, NIGHT)),
    text("quiet", (Rgb(60, 68, 76), WHITE), (Rgb(190, 198, 206), NIGHT)),
    text("panel", (INK, Rgb(236, 239, 241)), (PALE, Rgb(34, 41, 48))),
    text("notice", (INK, Rgb(255, 226, 120)), (Rgb(28, 20, 0), Rgb(255, 214, 92))),
    text("head-seat-now", (WHITE, Rgb(10, 60, 140)), (Rgb(8, 18, 40), Rgb(140, 190, 255))),
    text("head-torque-now", (WHITE, Rgb(6, 84, 46)), (Rgb(4, 28, 16), Rgb(120, 222, 166))),
    text("head-next", (WHITE, Rgb(62, 66, 74)), (Rgb(16, 20, 24), Rgb(196, 202, 210))),
    text("head-held", (WHITE, Rgb(92, 58, 12)), (Rgb(34, 20, 0), Rgb(240, 190, 120))),
    text("head-do-not-load", (WHITE, Rgb(140, 16, 30)), (Rgb(44, 4, 8), Rgb(255, 160, 160))),
    text("head-quiet", (INK, Rgb(208, 214, 219)), (PALE, Rgb(56, 64, 72))),
    text("alarm", (WHITE, Rgb(140, 16, 30)), (Rgb(44, 4, 8), Rgb(255, 160, 160))),
    line("line", (Rgb(112, 120, 128), WHITE), (Rgb(128, 138, 148), NIGHT)),
    line("focus", (Rgb(10, 60, 140), WHITE), (Rgb(140, 190, 255), NIGHT)),
];

const fn text(role: &'static str, day: (Rgb, Rgb), night: (Rgb, Rgb)) -> Pair {
    Pair { role, used: Use::Text, day, night }
}

const fn line(role: &'static str, day: (Rgb, Rgb), night: (Rgb, Rgb)) -> Pair {
    Pair { role, used: Use::Line, day, night }
}

/// Contrast ratio of two colours, 1 to 21.
pub fn contrast(one: Rgb, other: Rgb) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

fn luminance(Rgb(red, green, blue): Rgb) -> f64 {
    let linear = |channel: u8| {
        let share = f64::from(channel) / 255.0;
        if share <= 0.040_45 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
}

#[cfg(test)]
mod tests {
    use super::{PAIRS, Rgb, Use, contrast};
    use approx::assert_abs_diff_eq;

    #[test]
    fn contrast_is_that_of_the_standard() {
        assert_abs_diff_eq!(contrast(Rgb(0, 0, 0), Rgb(255, 255, 255)), 21.0, epsilon = 1e-9);
        assert_abs_diff_eq!(contrast(Rgb(9, 9, 9), Rgb(9, 9, 9)), 1.0, epsilon = 1e-9);
        // #777777 on white is the well-known near miss of 4.5 (4.48; from memory)
        assert_abs_diff_eq!(contrast(Rgb(0x77, 0x77, 0x77), Rgb(255, 255, 255)), 4.48, epsilon = 0.005);
    }

    #[test]
    fn every_text_can_be_read_in_the_sun_and_every_line_seen() {
        for pair in PAIRS {
            // WCAG 2.2 AA asks 4.5 of text; a phone in the sun gets the 7 of AAA
            let least = match pair.used {
                Use::Text => 7.0,
                Use::Line => 3.0,
            };
            for (what, ground) in [pair.day, pair.night] {
                let found = contrast(what, ground);
                assert!(found >= least, "{}: {found:.2} of {least}", pair.role);
            }
        }
    }
}
