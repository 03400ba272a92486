//! The words of the trade, in one place: stages, grounds, cautions, numbers with their units.
//!
//! What for: a foreman reads these sentences and acts on them. Each stage has one sentence that says what may be done,
//! and every text that could lead someone to load a fixing carries the cautions.
//! What it does not do: decide anything; every sentence is read off a status.

mod account;
mod sentence;

pub use account::{Account, account, laxer_words};
pub use sentence::{Told, ground, grounds, headline, hole, stage, status_sentence, told_sentence};

use crate::stamp::format_seconds;
use holdoff_core::quantity::{Fine, Instant, Torque};

/// What the tool's word is worth.
pub const CAUTION: &str = "The resin maker's printed instructions, the product's approval, the engineer's specification \
and local codes come first. This status is a record and an aid, not a licence to load. Overhead or sustained-tension \
anchors are work for certified installers under continuous inspection. Protect eyes and hands, keep dust down.";

/// What is said wherever a demo resin is used.
pub const DEMO_CAUTION: &str =
    "DEMO RESIN: this schedule is invented. Never use it, or anything worked out with it, on site.";

/// A temperature in °C with two decimals, rounded half away from zero for reading only.
pub fn degrees(temperature: Fine) -> String {
    let hundredths = (i64::from(temperature.raw()) * 100 * 2 + 256 * i64::from(temperature.raw().signum())) / (2 * 256);
    let sign = if hundredths < 0 { "-" } else { "" };
    let hundredths = hundredths.abs();
    format!("{sign}{}.{:02} °C", hundredths / 100, hundredths % 100)
}

/// Seconds as days, hours, minutes and seconds, the largest first: `1 d 2 h 0 min 5 s`.
pub fn length(seconds: u64) -> String {
    let parts = [(seconds / 86_400, "d"), (seconds / 3600 % 24, "h"), (seconds / 60 % 60, "min"), (seconds % 60, "s")];
    let mut text = String::new();
    for (value, unit) in parts {
        let last_and_nothing_yet = unit == "s" && text.is_empty();
        if value > 0 || last_and_nothing_yet {
            if !text.is_empty() {
                text.push(' ');
            }
            text.push_str(&format!("{value} {unit}"));
        }
    }
    text
}

/// An instant as the clock on the wall shows it, with its offset.
pub fn when(at: Instant, offset_seconds: i32) -> String {
    format_seconds(at.seconds(), offset_seconds)
}

/// A torque in N·m, without needless zeros.
pub fn torque(torque: Torque) -> String {
    let (whole, rest) = (torque.hundredths() / 100, torque.hundredths() % 100);
    match rest {
        0 => format!("{whole} N·m"),
        rest if rest % 10 == 0 => format!("{whole}.{} N·m", rest / 10),
        rest => format!("{whole}.{rest:02} N·m"),
    }
}

#[cfg(test)]
mod tests {
    use super::{degrees, length, torque};
    use holdoff_core::quantity::{Fine, Torque};

    #[test]
    fn temperatures_are_rounded_half_away_from_zero() {
        let text = |raw| degrees(Fine::new(raw));
        assert_eq!(
            (text(0), text(256), text(-1), text(-256 * 5 - 64)),
            ("0.00 °C".to_owned(), "1.00 °C".to_owned(), "0.00 °C".to_owned(), "-5.25 °C".to_owned())
        );
        assert_eq!((text(2), text(-2)), ("0.01 °C".to_owned(), "-0.01 °C".to_owned()));
    }

    #[test]
    fn lengths_name_only_the_units_they_have() {
        assert_eq!(length(0), "0 s");
        assert_eq!(length(43_205), "12 h 5 s");
        assert_eq!(length(86_400 + 60), "1 d 1 min");
    }

    #[test]
    fn torques_drop_needless_zeros() {
        let text = |hundredths| torque(Torque::from_hundredths(hundredths));
        assert_eq!((text(2000), text(2050), text(2005)), ("20 N·m".into(), "20.5 N·m".into(), "20.05 N·m".into()));
    }
}
