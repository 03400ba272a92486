//! Whether a text in another language still has English in it.

use std::collections::BTreeSet;

/// The words of a text, in small letters.
fn words(text: &str) -> BTreeSet<String> {
    // letters among digits are numbers of devices, keys and files
    let words = text.split(|sign: char| !sign.is_alphanumeric());
    let words = words.filter(|word| word.chars().count() > 1 && word.chars().all(char::is_alphabetic));
    words.map(str::to_lowercase).collect()
}

/// A phrase without its gaps and without commands, which are typed as they are.
fn own(phrase: &str) -> String {
    let no_command: String = phrase.split('`').step_by(2).collect::<Vec<_>>().join(" ");
    no_command.split('{').map(|part| part.split_once('}').map_or(part, |(_, own)| own)).collect::<Vec<_>>().join(" ")
}

/// Words that are said in English and not in the other language, which has this place among the languages.
pub(crate) fn only(place: usize) -> BTreeSet<String> {
    let all = holdoff_present::words::every();
    let of = |place: usize| -> BTreeSet<String> { all.iter().flat_map(|(_, said)| words(&own(said[place]))).collect() };
    &of(0) - &of(place)
}

/// Those of them that a text has.
pub(crate) fn left(text: &str, english: &BTreeSet<String>) -> Vec<String> {
    words(&own(text)).intersection(english).cloned().collect()
}
