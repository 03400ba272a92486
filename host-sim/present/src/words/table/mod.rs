//! Every phrase that a person reads about a fixing, in every language: one table a subject.
//!
//! The German and French phrases want a native speaker of the trade before they are used on site.

mod account;
mod decision;
mod deed;
mod depth;
mod job;
mod link;
mod log;
mod page;
mod plan;
mod plot;
mod probe;
mod proof;
mod register;
mod report;
mod resin;
mod status;
mod trace;

pub use account::AccountPhrase;
pub use decision::DecisionPhrase;
pub use deed::DeedPhrase;
pub use depth::DepthPhrase;
pub use job::{JobPhrase, TakeOffPhrase};
pub use link::LinkPhrase;
pub use log::{EvidencePhrase, ListingPhrase, StagePhrase};
pub use page::PagePhrase;
pub use plan::PlanPhrase;
pub use plot::PlotPhrase;
pub use probe::ProbePhrase;
pub use proof::ProofPhrase;
pub use register::RegisterPhrase;
pub use report::ReportPhrase;
pub use resin::ResinPhrase;
pub use status::StatusPhrase;
pub use trace::TracePhrase;

use super::Language;

/// Lists tables: what holds of every phrase is looked at through [`every`].
macro_rules! tables {
    ($($table:ident),* $(,)?) => {
        /// Every phrase there is: its table and name, and what it says in the languages of [`Language::ALL`].
        pub fn every() -> Vec<(String, [&'static str; Language::ALL.len()])> {
            let mut all = Vec::new();
            $(all.extend($table::ALL.iter().map(|phrase| {
                (format!("{}::{phrase:?}", stringify!($table)), Language::ALL.map(|language| phrase.of(language)))
            }));)*
            all
        }
    };
}

tables!(
    AccountPhrase,
    DecisionPhrase,
    DeedPhrase,
    DepthPhrase,
    EvidencePhrase,
    JobPhrase,
    LinkPhrase,
    ListingPhrase,
    PagePhrase,
    PlanPhrase,
    PlotPhrase,
    ProbePhrase,
    ProofPhrase,
    RegisterPhrase,
    ReportPhrase,
    ResinPhrase,
    StagePhrase,
    StatusPhrase,
    TakeOffPhrase,
    TracePhrase,
);

#[cfg(test)]
mod tests {
    use super::every;
    use crate::words::phrase::gaps;
    use crate::words::{Language, Speech};

    #[test]
    fn every_phrase_says_something_in_every_language_and_keeps_its_gaps() {
        for (name, said) in every() {
            for text in said {
                assert!(!text.trim().is_empty() && text.trim() == text, "{name}: {text:?}");
                assert_eq!(gaps(text), gaps(said[0]), "{name}: {text:?}");
                assert_eq!(text.matches('{').count(), text.matches('}').count(), "{name}: {text:?}");
            }
        }
    }

    #[test]
    fn no_sentence_is_left_in_english() {
        // a word alone may be the same in two languages, a sentence is not
        for (name, [english, german, french]) in every() {
            let own =
                english.split(|sign: char| !sign.is_alphabetic() && sign != '{').filter(|word| !word.starts_with('{'));
            if own.filter(|word| word.len() > 2).count() > 1 {
                assert!(german != english && french != english, "{name}: {english:?}");
            }
        }
    }

    #[test]
    fn the_cautions_are_whole_in_every_language() {
        // maker's instructions, approval, specification, local codes; no licence; overhead, sustained tension, certified,
        // inspection; eyes, hands, dust
        let parts = [
            "printed instructions,approval,specification,local codes,not a licence to load,Overhead,sustained-tension,\
             certified installers,continuous inspection,eyes,hands,dust",
            "gedruckte Anleitung,Zulassung,Vorgaben des Ingenieurs,örtliche Vorschriften,keine Erlaubnis zu belasten,Überkopf,\
             ständiger Zuglast,zertifizierte Monteure,ständiger Überwachung,Augen,Hände,Staub",
            "notice imprimée,agrément,spécification,règles locales,pas une autorisation de charger,plafond,traction permanente,\
             poseurs certifiés,contrôle continu,yeux,mains,poussière",
        ];
        for (language, parts) in Language::ALL.into_iter().zip(parts) {
            let speech = Speech { language, ..Speech::PLAIN };
            for part in parts.split(',') {
                assert!(speech.caution().contains(part.trim()), "{part} in {language:?}");
            }
        }
        for (language, parts) in Language::ALL.into_iter().zip([
            ["DEMO RESIN", "invented", "Never use", "on site"],
            ["DEMO-MÖRTEL", "erfunden", "Nie", "Baustelle"],
            ["RÉSINE DE DÉMONSTRATION", "inventé", "Ne jamais", "chantier"],
        ]) {
            let speech = Speech { language, ..Speech::PLAIN };
            assert!(parts.iter().all(|part| speech.demo_caution().contains(part)), "{language:?}");
        }
    }
}
