//! Every phrase that a person reads about a fixing, in every language: one table a subject.
//!
//! The German and French phrases want a native speaker of the trade before they are used on site.

mod account;
mod report;
mod status;

pub use account::AccountPhrase;
pub use report::ReportPhrase;
pub use status::StatusPhrase;

#[cfg(test)]
mod tests {
    use super::{AccountPhrase, ReportPhrase, StatusPhrase};
    use crate::words::phrase::{Phrase, gaps};
    use crate::words::{Language, Speech};

    fn whole<P: Phrase>(phrases: &[P]) {
        for phrase in phrases {
            let english = gaps(phrase.of(Language::English));
            for language in Language::ALL {
                let said = phrase.of(language);
                assert!(!said.trim().is_empty() && said.trim() == said, "{phrase:?} in {language:?}");
                assert_eq!(gaps(said), english, "{phrase:?} in {language:?}");
                assert_eq!(said.matches('{').count(), said.matches('}').count(), "{phrase:?} in {language:?}");
            }
        }
    }

    #[test]
    fn every_phrase_says_something_in_every_language_and_keeps_its_gaps() {
        whole(StatusPhrase::ALL);
        whole(AccountPhrase::ALL);
        whole(ReportPhrase::ALL);
    }

    #[test]
    fn no_sentence_of_a_status_is_left_in_english() {
        for phrase in StatusPhrase::ALL {
            for language in [Language::German, Language::French] {
                assert_ne!(phrase.of(language), phrase.of(Language::English), "{phrase:?} in {language:?}");
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
             Dauerzug,zertifizierte Monteure,ständiger Überwachung,Augen,Hände,Staub",
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
