//! What was recorded in English, told in another language.
//!
//! What for: a register keeps why a release is not proved, and what is amiss with a log, as a sentence in English: its
//! exports are the same in every language. Whoever looks at the page is told it in the language asked for.
//! How: every such sentence was made from a phrase of [`EvidencePhrase`] or [`StagePhrase`]. The phrase whose English fits
//! it is found again, and its gaps are filled into the phrase of the other language. Of several that fit, the one with
//! the most words of its own is taken. What fits none, such as a name, is told as it is.

use super::phrase::{Phrase, fill};
use super::{EvidencePhrase, Language, ProofPhrase, Speech, StagePhrase};
use crate::stamp::Clock;
use holdoff_core::log::StageWord;

/// How deep sentences stand in each other, at most.
const DEEPEST: u8 = 4;

/// A sentence as it is recorded: in English.
pub fn recorded(phrase: EvidencePhrase, gaps: &[(&str, &str)]) -> String {
    fill(phrase.of(Language::English), gaps)
}

/// What a fixing is called, as it is recorded: its label, or its number (`place` counts from 0) where it has none.
pub fn fixing_name(label: Option<&str>, place: usize) -> String {
    match label.map(str::trim).filter(|label| !label.is_empty()) {
        Some(label) => label.to_owned(),
        None => recorded(EvidencePhrase::FixingNumber, &[("number", &place.saturating_add(1).to_string())]),
    }
}

/// An instant in RFC 3339 with its offset, or seconds of the logger's clock where the wall clock is not known; as it is
/// recorded.
pub fn time_words(clock: Option<Clock>, at: i64) -> String {
    match clock {
        Some(clock) => clock.stamp(at),
        None => recorded(EvidencePhrase::LoggerClock, &[("seconds", &at.to_string())]),
    }
}

impl Speech {
    /// A recorded sentence in the language of this speech.
    pub fn retell(&self, recorded: &str) -> String {
        self.retell_at(recorded, DEEPEST)
    }

    /// That a fixing is not to be loaded, for a reason as it is recorded.
    pub fn do_not_load(&self, recorded: &str) -> String {
        self.fill(ProofPhrase::DoNotLoad, &[("why", &self.retell(recorded))])
    }

    fn retell_at(&self, recorded: &str, depth: u8) -> String {
        if self.language == Language::English || depth == 0 {
            return recorded.to_owned();
        }
        let evidence = EvidencePhrase::ALL.iter().map(|phrase| pair(*phrase, self.language));
        let stages = StagePhrase::ALL.iter().map(|phrase| pair(*phrase, self.language));
        let fitting = evidence.chain(stages).filter_map(|(english, other)| Some((other, fit(english, recorded)?)));
        let best = fitting.max_by_key(|(_, found)| found.own);
        let Some((other, found)) = best else { return recorded.to_owned() };
        let told = |name: &str, value: &str| match name {
            // names, not sentences
            "key" | "label" => value.to_owned(),
            "fixing" => self.called(value),
            _ => self.retell_at(value, depth - 1),
        };
        let told: Vec<(&str, String)> = found.gaps.iter().map(|(name, value)| (*name, told(name, value))).collect();
        let gaps: Vec<(&str, &str)> = told.iter().map(|(name, value)| (*name, value.as_str())).collect();
        fill(other, &gaps)
    }

    /// What a fixing is called: its label, or its number (counted from 0) where it has none.
    pub fn name(&self, label: &str, number: u8) -> String {
        if label == fixing_name(None, usize::from(number)) { self.retell(label) } else { label.to_owned() }
    }

    /// What is called by a name alone, such as a group: told anew only where the tool gave the name, for want of one of
    /// the job's. A job may call a group `held` or `planned`; that is no sentence and stays as it is.
    pub fn called(&self, name: &str) -> String {
        let given = [EvidencePhrase::FixingNumber, EvidencePhrase::Logger, EvidencePhrase::SessionFrom];
        if given.iter().any(|phrase| fit(phrase.of(Language::English), name).is_some()) {
            self.retell(name)
        } else {
            name.to_owned()
        }
    }

    /// A stage as a plain word.
    pub fn stage(&self, stage: StageWord) -> &'static str {
        self.say(match stage {
            StageWord::Planned => StagePhrase::Planned,
            StageWord::Refused => StagePhrase::Refused,
            StageWord::Working => StagePhrase::Working,
            StageWord::Curing => StagePhrase::Curing,
            StageWord::Held => StagePhrase::Held,
            StageWord::Cured => StagePhrase::Cured,
            StageWord::Released => StagePhrase::Released,
            StageWord::Rejected => StagePhrase::Rejected,
            StageWord::AcceptedAsIs => StagePhrase::AcceptedAsIs,
            StageWord::Removed => StagePhrase::Removed,
        })
    }
}

fn pair(phrase: impl Phrase, language: Language) -> (&'static str, &'static str) {
    (phrase.of(Language::English), phrase.of(language))
}

/// What fills the gaps of a phrase so that it says a text.
struct Found<'t> {
    gaps: Vec<(&'static str, &'t str)>,
    /// Bytes of the text that are the phrase's own.
    own: usize,
}

/// How a phrase can say a text. A gap ends where what stands behind it in the phrase begins first; the last gap where the
/// phrase's end begins.
fn fit<'t>(phrase: &'static str, text: &'t str) -> Option<Found<'t>> {
    let mut parts = phrase.split('{');
    let first = parts.next()?;
    let (mut rest, mut own) = (text.strip_prefix(first)?, first.len());
    let mut gaps = Vec::new();
    let mut parts = parts.peekable();
    if parts.peek().is_none() && !rest.is_empty() {
        return None;
    }
    while let Some(part) = parts.next() {
        let (name, behind) = part.split_once('}')?;
        let value = if parts.peek().is_none() {
            let value = rest.strip_suffix(behind)?;
            rest = "";
            value
        } else {
            let (value, after) = rest.split_once(behind)?;
            rest = after;
            value
        };
        if !may_fill(name, value) {
            return None;
        }
        own += behind.len();
        gaps.push((name, value));
    }
    Some(Found { gaps, own })
}

/// Numbers are digits and devices hexadecimal ones, so that a name is not taken for a phrase.
fn may_fill(name: &str, value: &str) -> bool {
    let all = |is: fn(&u8) -> bool| !value.is_empty() && value.bytes().all(|byte| is(&byte));
    match name {
        "number" | "slot" | "page" | "item" => all(u8::is_ascii_digit),
        "seconds" => value.parse::<i64>().is_ok(),
        "device" => all(u8::is_ascii_hexdigit),
        _ => !value.is_empty(),
    }
}

#[cfg(test)]
mod tests {
    use super::{fill, recorded, time_words};
    use crate::stamp::Clock;
    use crate::words::phrase::gaps;
    use crate::words::{EvidencePhrase as P, Language, Speech};

    const GERMAN: Speech = Speech { language: Language::German, ..Speech::PLAIN };

    #[test]
    fn whatever_can_be_recorded_is_told_in_every_language() {
        for phrase in P::ALL {
            for language in Language::ALL {
                let names = gaps(phrase.of(language));
                let filled: Vec<(&str, &str)> = names.iter().map(|name| (*name, "17")).collect();
                let told = Speech { language, ..Speech::PLAIN }.retell(&recorded(*phrase, &filled));
                assert_eq!(told, fill(phrase.of(language), &filled), "{phrase:?} in {language:?}");
            }
        }
    }

    #[test]
    fn a_sentence_in_a_sentence_is_told_too_and_a_name_is_left() {
        let lost = recorded(P::Lost, &[("number", "12")]);
        let why = recorded(P::Untrusted, &[("why", &lost)]);
        assert_eq!(GERMAN.retell(&why), "dem Protokoll ist nicht zu trauen: Seite 12 fehlt oder ist beschädigt");
        assert_eq!(
            GERMAN.retell("it was released, and is rejected since"),
            "war freigegeben und ist seither verworfen"
        );
        for name in ["logger shed", "fixing post", "bollard 3 stud 1", "", "{number}"] {
            assert_eq!(GERMAN.retell(name), name);
        }
        assert_eq!(Speech::PLAIN.retell(&why), why);
    }

    #[test]
    fn a_time_without_a_wall_clock_says_so() {
        assert_eq!(time_words(None, 90), "90 s on the logger's clock");
        let clock = Clock { ahead: 1_641_204_000, offset_seconds: -25_200 };
        assert_eq!(time_words(Some(clock), 0), "2022-01-03T03:00:00-07:00");
    }

    #[test]
    fn a_name_in_a_sentence_is_left_and_what_was_typed_in_is_told() {
        let signed = recorded(P::ProvedBySignature, &[("key", "held"), ("device", "d055bcd3e1bdeaf7")]);
        assert!(
            GERMAN.retell(&signed).starts_with("unterschrieben mit held (Gerät d055"),
            "{}",
            GERMAN.retell(&signed)
        );
        let source = recorded(P::Source, &[("source", &recorded(P::TypedIn, &[])), ("time", "2022-01-03T17:00:00Z")]);
        let gaps = [
            ("fixing", "planned"),
            ("source", &*source),
            ("why", "it was signed with key 17, which is not among the keys given"),
        ];
        assert_eq!(
            GERMAN.retell(&recorded(P::GaveWayTo, &gaps)),
            "die Freigabe von planned aus eingetippt, aufgenommen 2022-01-03T17:00:00Z ist widerlegt: unterschrieben mit dem \
             Schlüssel 17, der nicht unter den gegebenen ist"
        );
        let gaps = [("fixing", "fixing 3"), ("source", "a.bin"), ("why", "it was rejected")];
        assert!(GERMAN.retell(&recorded(P::GaveWayTo, &gaps)).starts_with("die Freigabe von Befestigung 3 aus a.bin"));
    }

    #[test]
    fn of_names_only_those_that_the_tool_gives_are_told() {
        let stages = super::StagePhrase::ALL.iter().map(|phrase| super::Phrase::of(*phrase, Language::English));
        for name in stages.chain(["fixing post", "page 3 is missing or damaged", "bollard 3", ""]) {
            assert_eq!((GERMAN.called(name), GERMAN.name(name, 2)), (name.to_owned(), name.to_owned()));
        }
        assert_eq!(GERMAN.called("logger d055bcd3e1bdeaf7"), "Logger d055bcd3e1bdeaf7");
        assert_eq!(GERMAN.called("session from page 7"), "Sitzung ab Seite 7");
        assert_eq!(
            (GERMAN.called("fixing 3"), GERMAN.name("fixing 3", 2)),
            ("Befestigung 3".into(), "Befestigung 3".into())
        );
        assert_eq!(GERMAN.name("fixing 3", 0), "fixing 3");
    }
}
