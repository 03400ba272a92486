//! The unit that a column's name says.
//!
//! What for: a column of °F taken for °C makes frost a warm day, so a name that says its unit is believed over the default,
//! and what contradicts it is refused. A name counts as naming a unit only in the forms listed here
//! (`docs/interfaces.md`, Trace); one that may be meant so is refused until somebody says which.
//! Terms: a *letter* is C, F or K, in capitals or not; a *word* is a run of letters, and begins anew where a capital follows a
//! small letter (`airTempF` is three).
//! What it does not do: guess from the numbers.

use super::Unit;

/// What a name says.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Named {
    /// No unit.
    Nothing,
    /// °C or °F.
    Unit(Unit),
    /// Kelvin.
    Kelvin,
    /// More than one unit.
    Several,
    /// It ends with a letter F or K that may be a unit or not.
    Doubtful(char),
}

/// A scale that a letter stands for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Scale {
    Celsius,
    Fahrenheit,
    Kelvin,
}

impl Scale {
    const ALL: [Self; 3] = [Self::Celsius, Self::Fahrenheit, Self::Kelvin];

    const fn letter(self) -> char {
        match self {
            Self::Celsius => 'c',
            Self::Fahrenheit => 'f',
            Self::Kelvin => 'k',
        }
    }

    const fn names(self) -> &'static [&'static str] {
        match self {
            Self::Celsius => &["celsius", "centigrade"],
            Self::Fahrenheit => &["fahrenheit"],
            Self::Kelvin => &["kelvin", "kelvins"],
        }
    }
}

/// What may stand right before a letter, as a word of its own or joined to it.
const BEFORE: [&str; 6] = ["deg", "degree", "degrees", "temp", "temperature", "temperatur"];

/// What a column's name says about the unit.
pub(super) fn named(name: &str) -> Named {
    // one character for each form of the same sign
    let name: String = name
        .chars()
        .flat_map(|sign| match sign {
            '\u{2103}' => ['°', 'C'],
            '\u{2109}' => ['°', 'F'],
            '\u{212A}' => ['K', ' '],
            'º' | '˚' => ['°', ' '],
            '[' | '{' => ['(', ' '],
            ']' | '}' => [' ', ')'],
            other => [other, '\0'],
        })
        .filter(|sign| *sign != '\0')
        .collect();
    let words = words(&name);
    let found: Vec<Scale> = Scale::ALL.into_iter().filter(|scale| says(&name, &words, *scale)).collect();
    match found.as_slice() {
        [] => doubtful(&name, &words),
        [Scale::Celsius] => Named::Unit(Unit::Celsius),
        [Scale::Fahrenheit] => Named::Unit(Unit::Fahrenheit),
        [Scale::Kelvin] => Named::Kelvin,
        _ => Named::Several,
    }
}

fn says(name: &str, words: &[String], scale: Scale) -> bool {
    let letter = scale.letter();
    let is = |word: &str| word.chars().eq([letter]);
    let spelt = words.iter().any(|word| scale.names().contains(&word.as_str()));
    let joined = words.iter().any(|word| word.strip_suffix(letter).is_some_and(|before| BEFORE.contains(&before)));
    let apart = words.windows(2).any(|pair| BEFORE.contains(&pair[0].as_str()) && is(&pair[1]));
    spelt
        || joined
        || apart
        || behind_degree(name, letter)
        || in_brackets(name, letter)
        || behind_underscore(name, letter)
}

/// `°F`, `° F`; not `°Front`.
fn behind_degree(name: &str, letter: char) -> bool {
    name.split('°').skip(1).any(|rest| {
        let mut rest = rest.trim_start().chars();
        let found = rest.next().is_some_and(|sign| sign.eq_ignore_ascii_case(&letter));
        found && !rest.next().is_some_and(char::is_alphabetic)
    })
}

/// `(F)`, `[F]`, with nothing else but spaces in it.
fn in_brackets(name: &str, letter: char) -> bool {
    name.split('(').skip(1).filter_map(|rest| Some(rest.split_once(')')?.0)).any(|inside| {
        let mut inside = inside.trim().chars();
        inside.next().is_some_and(|sign| sign.eq_ignore_ascii_case(&letter)) && inside.next().is_none()
    })
}

/// `water_f` at the end.
fn behind_underscore(name: &str, letter: char) -> bool {
    name.trim_end()
        .rsplit_once('_')
        .is_some_and(|(_, last)| last.chars().map(|sign| sign.to_ascii_lowercase()).eq([letter]))
}

/// A name that ends with a word of the letter F or K alone.
fn doubtful(name: &str, words: &[String]) -> Named {
    let alone = words.last().filter(|_| name.trim_end().ends_with(char::is_alphabetic)).map(String::as_str);
    match alone {
        Some("f") => Named::Doubtful('F'),
        Some("k") => Named::Doubtful('K'),
        Some(_) | None => Named::Nothing,
    }
}

/// The words of a name in small letters.
fn words(name: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut before = ' ';
    for sign in name.chars() {
        if sign.is_alphabetic() {
            let begins = !before.is_alphabetic() || before.is_lowercase() && sign.is_uppercase();
            match words.last_mut() {
                Some(word) if !begins => word.extend(sign.to_lowercase()),
                Some(_) | None => words.push(sign.to_lowercase().collect()),
            }
        }
        before = sign;
    }
    words
}
