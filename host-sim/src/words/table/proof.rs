//! What `holdoff prove`, a register, the page and the hand-over record say of a proof.

use crate::words::phrase::phrases;

phrases! {
    /// Lines of a proof, and what is said of a fixing that its record does not hold up.
    ProofPhrase {
        VoidHead: "DO NOT LOAD: RELEASE NOT PROVED", "NICHT BELASTEN: FREIGABE NICHT BEWIESEN", "NE PAS CHARGER : LIBÉRATION NON PROUVÉE";
        UntrustedHead: "DO NOT LOAD: LOG NOT TRUSTED", "NICHT BELASTEN: PROTOKOLL NICHT ZU TRAUEN", "NE PAS CHARGER : JOURNAL PAS DIGNE DE CONFIANCE";
        DoNotLoad: "Do not load it: {why}.", "Nicht belasten: {why}.", "Ne pas charger : {why}.";
        LaxerThan: "LAXER THAN THE DEFAULT: {which}", "MILDER ALS VORGESEHEN: {which}", "MOINS SÉVÈRE QUE PRÉVU : {which}";
        Proved: "PROVED", "BEWIESEN", "PROUVÉ";
        NotProved: "NOT PROVED", "NICHT BEWIESEN", "NON PROUVÉ";
        NoReleaseYet: "NO RELEASE YET", "NOCH KEINE FREIGABE", "PAS ENCORE DE LIBÉRATION";
        NoRelease: "NO RELEASE", "KEINE FREIGABE", "PAS DE LIBÉRATION";
        NotChecked: "not held against keys yet", "noch gegen keine Schlüssel geprüft", "pas encore vérifié avec des clés";
        Cured: "cured", "ausgehärtet", "durci";
        Torqued: "torqued", "angezogen", "serré";
        NoFixing: "NOT PROVED: there is no fixing in it", "NICHT BEWIESEN: es ist keine Befestigung darin", "NON PROUVÉ : il n'y a aucun scellement dedans";
        Worth: "A proof says that this log is whole and that its device made it; not that the probe was where it should be.",
            "Ein Beweis sagt, dass dieses Protokoll ganz ist und dass sein Gerät es gemacht hat; nicht, dass der Fühler war, wo er sein sollte.",
            "Une preuve dit que ce journal est entier et que son appareil l'a fait ; pas que la sonde était là où elle devait être.";
    }
}
