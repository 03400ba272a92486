//! Phrases: each said in every language, in one place, with its gaps named.
//!
//! Why a table of the program's own: a phrase that lacks a language does not compile, and no phrase is looked up by a name
//! that might not be there; a file of translations read at run time could leave a sentence about a load unsaid. The
//! sentences are built without plurals or cases, so that filling gaps is all the grammar there is.
//! Terms: a *gap* is `{name}` in a phrase; what fills it is not looked through for gaps again.
//! Invariants, held by a test: a phrase has the same gaps in every language, and says something in each.

use super::speech::Language;

/// A phrase of one of the tables.
pub trait Phrase: Copy + std::fmt::Debug {
    /// The phrase in a language, with its gaps.
    fn of(self, language: Language) -> &'static str;
}

/// A table: phrases of one subject, each in English, German and French.
macro_rules! phrases {
    ($(#[$meta:meta])* $name:ident { $($entry:ident: $en:literal, $de:literal, $fr:literal;)* }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, PartialEq, Eq, Debug)]
        pub enum $name {
            $(#[doc = $en] $entry,)*
        }

        impl $name {
            /// Every phrase of the table.
            pub const ALL: &[Self] = &[$(Self::$entry,)*];

            /// The phrase in a language, with its gaps.
            pub const fn of(self, language: $crate::words::Language) -> &'static str {
                use $crate::words::Language;
                match self {
                    $(Self::$entry => match language {
                        Language::English => $en,
                        Language::German => $de,
                        Language::French => $fr,
                    },)*
                }
            }
        }

        impl $crate::words::phrase::Phrase for $name {
            fn of(self, language: $crate::words::Language) -> &'static str {
                Self::of(self, language)
            }
        }
    };
}
pub(super) use phrases;

/// Fills the gaps of a phrase. A gap that nothing is given for stays as it is, for all to see.
pub(super) fn fill(phrase: &str, gaps: &[(&str, &str)]) -> String {
    let mut text = String::with_capacity(phrase.len() + 32);
    let mut rest = phrase;
    while let Some((before, after)) = rest.split_once('{') {
        text.push_str(before);
        let Some((name, behind)) = after.split_once('}') else {
            text.push('{');
            rest = after;
            continue;
        };
        match gaps.iter().find(|(gap, _)| *gap == name) {
            Some((_, value)) => text.push_str(value),
            None => {
                text.push('{');
                text.push_str(name);
                text.push('}');
            }
        }
        rest = behind;
    }
    text.push_str(rest);
    text
}

/// The gaps of a phrase, sorted; one that stands there twice is told twice.
#[cfg(test)]
pub(super) fn gaps(phrase: &str) -> Vec<&str> {
    let mut gaps: Vec<&str> = phrase.split('{').skip(1).filter_map(|part| Some(part.split_once('}')?.0)).collect();
    gaps.sort_unstable();
    gaps
}

#[cfg(test)]
mod tests {
    use super::{fill, gaps};

    #[test]
    fn gaps_are_filled_once_and_by_name() {
        assert_eq!(fill("{b} before {a}", &[("a", "one"), ("b", "two")]), "two before one");
        assert_eq!(fill("a name: {name}.", &[("name", "{other} {"), ("other", "no")]), "a name: {other} {.");
        assert_eq!(fill("{unknown} {", &[]), "{unknown} {");
    }

    #[test]
    fn gaps_are_found() {
        assert_eq!(gaps("{b} and {a}, {b}"), ["a", "b", "b"]);
        assert!(gaps("none").is_empty());
    }
}
