//! How one speaks to a person: language and units, handed to whatever makes words.
//!
//! Invariants: JSON keys, the fixed short words of `docs/interfaces.md`, names and file formats are the same in every
//! language. Dates are written year first in every language, so that a mixed crew cannot misread one.

use super::phrase::{Phrase, fill};
use super::units::{
    Rounding, celsius_hundredths, fahrenheit, fahrenheit_apart_hundredths, fahrenheit_hundredths,
    foot_pound_hundredths, rounded,
};
use holdoff_core::fixing::TorqueRange;
use holdoff_core::quantity::{Fine, Instant, Torque};
use holdoff_files::stamp::format_seconds;

/// A language.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub enum Language {
    /// English.
    #[default]
    English,
    /// German.
    German,
    /// French.
    French,
}

impl Language {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::English, Self::German, Self::French];

    /// Its code by BCP 47.
    pub const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
            Self::French => "fr",
        }
    }

    /// The language of a code.
    pub fn of_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|language| language.code() == code)
    }

    /// The sign of a day in a length of time.
    pub const fn day(self) -> &'static str {
        match self {
            Self::English => "d",
            Self::German => "T",
            Self::French => "j",
        }
    }

    /// What stands between whole and tenths.
    const fn decimal_sign(self) -> char {
        match self {
            Self::English => '.',
            Self::German | Self::French => ',',
        }
    }
}

/// Unit of temperatures that a person reads.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub enum TemperatureUnit {
    /// °C.
    #[default]
    Celsius,
    /// °F.
    Fahrenheit,
}

impl TemperatureUnit {
    /// Its sign.
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
        }
    }

    /// °C in this unit, in floating point; nothing is decided by it.
    pub fn shown(self, celsius: f64) -> f64 {
        match self {
            Self::Celsius => celsius,
            Self::Fahrenheit => fahrenheit(celsius),
        }
    }
}

/// Unit of torques that a person reads.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub enum TorqueUnit {
    /// N·m.
    #[default]
    NewtonMetre,
    /// Foot pound-force.
    FootPound,
}

/// How to speak.
#[derive(Clone, Copy, PartialEq, Eq, Default, Debug)]
pub struct Speech {
    /// The language.
    pub language: Language,
    /// Unit of temperatures.
    pub temperature: TemperatureUnit,
    /// Unit of torques.
    pub torque: TorqueUnit,
}

impl Speech {
    /// English, °C, N·m: what files and scripts are given.
    pub const PLAIN: Self =
        Self { language: Language::English, temperature: TemperatureUnit::Celsius, torque: TorqueUnit::NewtonMetre };

    /// A phrase without gaps.
    pub fn say(&self, phrase: impl Phrase) -> &'static str {
        phrase.of(self.language)
    }

    /// A phrase with its gaps filled.
    pub fn fill(&self, phrase: impl Phrase, gaps: &[(&str, &str)]) -> String {
        fill(phrase.of(self.language), gaps)
    }

    /// Several things one after another, with semicolons as the language writes them.
    pub fn listed<T: AsRef<str>>(&self, things: &[T]) -> String {
        let between = match self.language {
            Language::English | Language::German => "; ",
            Language::French => " ; ",
        };
        things.iter().map(AsRef::as_ref).collect::<Vec<&str>>().join(between)
    }

    /// The colon between a head and what follows it, as the language writes it.
    pub const fn colon(&self) -> &'static str {
        match self.language {
            Language::English | Language::German => ": ",
            Language::French => " : ",
        }
    }

    /// A temperature with two decimals, rounded half away from zero for reading only.
    pub fn degrees(&self, temperature: Fine) -> String {
        let hundredths = match self.temperature {
            TemperatureUnit::Celsius => celsius_hundredths(temperature),
            TemperatureUnit::Fahrenheit => fahrenheit_hundredths(temperature),
        };
        format!("{} {}", self.hundredths(hundredths), self.temperature.sign())
    }

    /// A difference of temperatures with two decimals, rounded half away from zero for reading only.
    pub fn degrees_apart(&self, difference: Fine) -> String {
        let hundredths = match self.temperature {
            TemperatureUnit::Celsius => celsius_hundredths(difference),
            TemperatureUnit::Fahrenheit => fahrenheit_apart_hundredths(difference),
        };
        format!("{} {}", self.hundredths(hundredths), self.temperature.sign())
    }

    /// A temperature that is calculated, in °C, to some decimals, for reading only.
    pub fn calculated(&self, celsius: f64, decimals: usize) -> String {
        let text = rounded(self.temperature.shown(celsius), decimals);
        format!("{} {}", self.decimal(text), self.temperature.sign())
    }

    /// A torque without needless zeros; in ft·lb to the nearest hundredth.
    pub fn torque(&self, torque: Torque) -> String {
        self.torque_rounded(torque, Rounding::Nearest)
    }

    /// A specified range, as `38 N·m` and `42 N·m`. In ft·lb the least is rounded up and the greatest down, so that the range
    /// shown lies within the one specified; where nothing would be left, both are rounded to the nearest.
    pub fn torque_range(&self, range: TorqueRange) -> (String, String) {
        let up = foot_pound_hundredths(range.least(), Rounding::Up);
        let down = foot_pound_hundredths(range.greatest(), Rounding::Down);
        let (least, greatest) =
            if up > down { (Rounding::Nearest, Rounding::Nearest) } else { (Rounding::Up, Rounding::Down) };
        (self.torque_rounded(range.least(), least), self.torque_rounded(range.greatest(), greatest))
    }

    fn torque_rounded(&self, torque: Torque, rounding: Rounding) -> String {
        let (hundredths, unit) = match self.torque {
            TorqueUnit::NewtonMetre => (u64::from(torque.hundredths()), "N·m"),
            TorqueUnit::FootPound => (foot_pound_hundredths(torque, rounding), "ft·lb"),
        };
        let (whole, rest) = (hundredths / 100, hundredths % 100);
        let sign = self.language.decimal_sign();
        match rest {
            0 => format!("{whole} {unit}"),
            rest if rest % 10 == 0 => format!("{whole}{sign}{} {unit}", rest / 10),
            rest => format!("{whole}{sign}{rest:02} {unit}"),
        }
    }

    /// Seconds as days, hours, minutes and seconds, the largest first: `1 d 2 h 5 s`, in German `1 T 2 h 5 s`, in French
    /// `1 j 2 h 5 s`.
    pub fn length(&self, seconds: u64) -> String {
        let parts = [
            (seconds / 86_400, self.language.day()),
            (seconds / 3600 % 24, "h"),
            (seconds / 60 % 60, "min"),
            (seconds % 60, "s"),
        ];
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

    /// An instant as the clock on the wall shows it, with its offset: `2022-01-03 10:22:00 (UTC-07:00)`.
    pub fn when(&self, at: Instant, offset_seconds: i32) -> String {
        Self::local(&format_seconds(at.seconds(), offset_seconds))
    }

    /// A time of RFC 3339 for a person; what is none stays as it is.
    pub fn local(stamp: &str) -> String {
        let parts = stamp.split_once('T').and_then(|(date, time)| Some((date, time.get(..8)?, time.get(8..)?)));
        match parts {
            Some((date, time, "Z")) => format!("{date} {time} (UTC)"),
            Some((date, time, offset)) => format!("{date} {time} (UTC{offset})"),
            None => stamp.to_owned(),
        }
    }

    /// A decimal number of a file, with the language's own sign.
    pub fn decimal(&self, number: impl std::fmt::Display) -> String {
        number.to_string().replace('.', &self.language.decimal_sign().to_string())
    }

    fn hundredths(&self, hundredths: i64) -> String {
        let (sign, value) = (if hundredths < 0 { "-" } else { "" }, hundredths.unsigned_abs());
        format!("{sign}{}{}{:02}", value / 100, self.language.decimal_sign(), value % 100)
    }
}

#[cfg(test)]
mod tests {
    use super::{Language, Speech, TemperatureUnit, TorqueUnit};
    use holdoff_core::fixing::TorqueRange;
    use holdoff_core::quantity::{Fine, Instant, Torque};

    const GERMAN: Speech =
        Speech { language: Language::German, temperature: TemperatureUnit::Celsius, torque: TorqueUnit::NewtonMetre };
    const IMPERIAL: Speech =
        Speech { language: Language::English, temperature: TemperatureUnit::Fahrenheit, torque: TorqueUnit::FootPound };

    #[test]
    fn numbers_take_the_sign_and_the_unit_asked_for() {
        let cold = Fine::new(-256 * 5 - 64);
        assert_eq!(Speech::PLAIN.degrees(cold), "-5.25 °C");
        let rounded = [0, 256, -1, 2, -2].map(|raw| Speech::PLAIN.degrees(Fine::new(raw)));
        assert_eq!(rounded, ["0.00 °C", "1.00 °C", "0.00 °C", "0.01 °C", "-0.01 °C"]);
        assert_eq!(GERMAN.degrees(cold), "-5,25 °C");
        assert_eq!(IMPERIAL.degrees(cold), "22.55 °F");
        assert_eq!(IMPERIAL.degrees_apart(Fine::new(256)), "1.80 °F");
        assert_eq!(GERMAN.torque(Torque::from_hundredths(2050)), "20,5 N·m");
        assert_eq!([2000, 2005].map(|raw| Speech::PLAIN.torque(Torque::from_hundredths(raw))), ["20 N·m", "20.05 N·m"]);
        assert_eq!(GERMAN.length(86_400 + 7205), "1 T 2 h 5 s");
        let lengths = [0, 43_205, 86_400 + 60].map(|seconds| Speech::PLAIN.length(seconds));
        assert_eq!(lengths, ["0 s", "12 h 5 s", "1 d 1 min"]);
        assert_eq!(GERMAN.decimal("-5.0"), "-5,0");
    }

    #[test]
    fn a_range_in_foot_pounds_lies_within_the_one_specified() {
        let range = |least, greatest| {
            TorqueRange::new(Torque::from_hundredths(least), Torque::from_hundredths(greatest))
                .map(|range| IMPERIAL.torque_range(range))
        };
        // 38 N·m = 28.027..., 42 N·m = 30.977... ft·lbf
        assert_eq!(range(3800, 4200), Some(("28.03 ft·lb".to_owned(), "30.97 ft·lb".to_owned())));
        assert_eq!(range(4000, 4000), Some(("29.5 ft·lb".to_owned(), "29.5 ft·lb".to_owned())));
    }

    #[test]
    fn a_time_for_a_person_keeps_its_offset() {
        let at = Instant::from_seconds(1_641_229_200);
        assert_eq!(Speech::PLAIN.when(at, -25_200), "2022-01-03 10:00:00 (UTC-07:00)");
        assert_eq!(Speech::local("2022-01-03T17:00:00Z"), "2022-01-03 17:00:00 (UTC)");
        assert_eq!(Speech::local("90 s on the logger's clock"), "90 s on the logger's clock");
    }
}
