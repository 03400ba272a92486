//! The engineer's decisions: signed ones, and what was entered at a logger.

use crate::words::phrase::phrases;

phrases! {
    /// What is said of a decision.
    DecisionPhrase {
        Signed: "decided by {name}, {document}, signed: {decision}", "entschieden von {name}, {document}, signiert: {decision}", "décidé par {name}, {document}, signé : {decision}";
        Entered: "entered at the logger, no signed decision", "am Logger eingegeben, keine signierte Entscheidung", "saisi à l'enregistreur, pas de décision signée";
        Accept: "accept as it is", "wie ausgeführt annehmen", "accepter en l'état";
        Remove: "remove", "ausbauen", "déposer";
        Proved: "{fixing}: the engineer's decision is proved: {what}", "{fixing}: die Entscheidung des Ingenieurs ist nachgewiesen: {what}", "{fixing} : la décision de l'ingénieur est prouvée : {what}";
        TakenIn: "{file}: taken in; {fixing} (logger {device}): {what}", "{file}: aufgenommen; {fixing} (Logger {device}): {what}", "{file} : versé au registre ; {fixing} (enregistreur {device}) : {what}";
        NoLeave: "A decision makes nothing loadable by itself: the fixing stays rejected; the engineer's document says what may be done with it.",
            "Eine Entscheidung macht für sich nichts belastbar: die Befestigung bleibt gesperrt; was mit ihr geschehen darf, sagt das Dokument des Ingenieurs.",
            "Une décision ne rend rien chargeable à elle seule : le scellement reste rejeté ; le document de l'ingénieur dit ce qui peut en être fait.";
        Held: "{file}: in the register already ({known}); passed over", "{file}: schon im Register ({known}); übergangen", "{file} : déjà au registre ({known}) ; passé";
        SaysOtherwise: "the engineer's signed decision is of another rejection, or decides otherwise", "die signierte Entscheidung des Ingenieurs gilt einer anderen Sperrung oder entscheidet anders", "la décision signée de l'ingénieur porte sur un autre rejet, ou décide autrement";
    }
}
