//! What `holdoff prove`, a register, the page and the hand-over record say of a proof.

use crate::words::phrase::phrases;

phrases! {
    /// Lines of a proof, and what is said of a fixing that its record does not hold up.
    ProofPhrase {
        VoidHead: "DO NOT LOAD: RELEASE NOT PROVED", "NICHT BELASTEN: FREIGABE NICHT NACHGEWIESEN", "NE PAS CHARGER : BON DE MISE EN CHARGE NON PROUVÉ";
        UntrustedHead: "DO NOT LOAD: LOG NOT TRUSTED", "NICHT BELASTEN: PROTOKOLL NICHT ZU TRAUEN", "NE PAS CHARGER : JOURNAL PAS DIGNE DE CONFIANCE";
        ContradictedHead: "DO NOT LOAD: CONTRADICTED", "NICHT BELASTEN: WIDERSPRUCH", "NE PAS CHARGER : CONTREDIT";
        LogVoidHead: "DO NOT LOAD: A SIGNATURE IN ITS LOG DOES NOT HOLD", "NICHT BELASTEN: EINE SIGNATUR IN IHREM PROTOKOLL HÄLT NICHT", "NE PAS CHARGER : UNE SIGNATURE DE SON JOURNAL NE TIENT PAS";
        LogVoid: "Do not load it: a release in its log is not proved, so nothing in that log is believed: {why}.",
            "Nicht belasten: eine Freigabe in ihrem Protokoll ist nicht nachgewiesen, darum gilt nichts darin: {why}.",
            "Ne pas charger : un bon de mise en charge de son journal n'est pas prouvé, rien dans ce journal n'est donc cru : {why}.";
        Conflict: "{what} ({held} against {came})", "{what} ({held} gegen {came})", "{what} ({held} contre {came})";
        CuredUncoveredHead: "CURED BY ITS READINGS, NOT SIGNED", "LAUT MESSWERTEN AUSGEHÄRTET, NICHT SIGNIERT", "DURCI SELON SES MESURES, NON SIGNÉ";
        CuredUncovered: "By its readings cured since {since}. That is no leave to torque or load it: look at the logger.",
            "Laut ihren Messwerten ausgehärtet seit {since}. Das ist keine Erlaubnis, anzuziehen oder zu belasten: auf den Logger schauen.",
            "Durci selon ses mesures depuis {since}. Cela n'autorise ni à serrer ni à charger : regarder l'enregistreur.";
        TorquedUncoveredHead: "TORQUED BY ITS MEMORY, NOT SIGNED", "LAUT SPEICHER ANGEZOGEN, NICHT SIGNIERT", "SERRÉ SELON SA MÉMOIRE, NON SIGNÉ";
        TorquedUncovered: "By its memory torqued to {torque} at {since}. That is no leave to load it: look at the logger.",
            "Laut ihrem Speicher mit {torque} angezogen ({since}). Das ist keine Erlaubnis zu belasten: auf den Logger schauen.",
            "Serré à {torque} selon sa mémoire ({since}). Cela n'autorise pas à charger : regarder l'enregistreur.";
        DecidedUncoveredHead: "DO NOT LOAD: DECISION NOT SIGNED", "NICHT BELASTEN: ENTSCHEIDUNG NICHT SIGNIERT", "NE PAS CHARGER : DÉCISION NON SIGNÉE";
        DecidedUncovered: "Rejected. By its memory the engineer accepted it as it is. Do not load it before the engineer has said so.",
            "Gesperrt. Laut ihrem Speicher hat der Ingenieur sie wie ausgeführt angenommen. Nicht belasten, bevor der Ingenieur es selbst gesagt hat.",
            "Rejeté. Selon sa mémoire, l'ingénieur l'a accepté en l'état. Ne pas charger avant que l'ingénieur l'ait dit lui-même.";
        NotCovered: "NOT COVERED BY A SIGNATURE: it rests on what its memory says, and no known key signed any of that",
            "VON KEINER SIGNATUR GEDECKT: es beruht auf dem, was ihr Speicher sagt, und kein bekannter Schlüssel hat davon etwas signiert",
            "COUVERT PAR AUCUNE SIGNATURE : cela repose sur ce que dit sa mémoire, et aucune clé connue n'en a rien signé";
        NotCoveredSince: "NOT COVERED BY A SIGNATURE: known keys signed its log up to page {page}, item {item}; this rests on what its memory says after that",
            "VON KEINER SIGNATUR GEDECKT: bekannte Schlüssel haben ihr Protokoll bis Seite {page}, Eintrag {item} signiert; dies beruht auf dem, was ihr Speicher danach sagt",
            "COUVERT PAR AUCUNE SIGNATURE : des clés connues ont signé son journal jusqu'à la page {page}, entrée {item} ; ceci repose sur ce que sa mémoire dit ensuite";
        HeldAgainstNone: "HELD AGAINST NO KEY: it rests on what its memory says", "MIT KEINEM SCHLÜSSEL GEPRÜFT: es beruht auf dem, was ihr Speicher sagt", "VÉRIFIÉ AVEC AUCUNE CLÉ : cela repose sur ce que dit sa mémoire";
        DoNotLoad: "Do not load it: {why}.", "Nicht belasten: {why}.", "Ne pas charger : {why}.";
        LaxerThan: "LAXER THAN THE DEFAULT: {which}", "WENIGER STRENG ALS DIE STANDARDEINSTELLUNG: {which}", "MOINS SÉVÈRE QUE LE RÉGLAGE PAR DÉFAUT : {which}";
        Proved: "PROVED", "NACHGEWIESEN", "PROUVÉ";
        NotProved: "NOT PROVED", "NICHT NACHGEWIESEN", "NON PROUVÉ";
        NoReleaseYet: "NO RELEASE YET", "NOCH KEINE FREIGABE", "PAS ENCORE DE BON DE MISE EN CHARGE";
        NoRelease: "NO RELEASE", "KEINE FREIGABE", "PAS DE BON DE MISE EN CHARGE";
        NotChecked: "not held against keys yet", "noch mit keinem Schlüssel geprüft", "pas encore vérifié avec des clés";
        Cured: "cured", "ausgehärtet", "durci";
        Torqued: "torqued", "angezogen", "serré";
        Resin: "resin", "Mörtel", "résine";
        ResinIs: "{name}, SHA-256 {hash}", "{name}, SHA-256 {hash}", "{name}, SHA-256 {hash}";
        FileIs: "SHA-256 {hash}", "SHA-256 {hash}", "SHA-256 {hash}";
        Required: "required", "erforderlich", "requis";
        RequiredIs: "{seconds} s, {rule}", "{seconds} s, {rule}", "{seconds} s, {rule}";
        Job: "job", "Auftrag", "chantier";
        Source: "readings of", "Messwerte von", "mesures";
        Clock: "clock", "Uhr", "horloge";
        ClockSet: "set, local time UTC{offset}", "gestellt, Ortszeit UTC{offset}", "réglée, heure locale UTC{offset}";
        ClockUnset: "NOT SET: times are seconds of the logger", "NICHT GESTELLT: Zeiten sind Sekunden des Loggers", "PAS RÉGLÉE : les temps sont des secondes de l'enregistreur";
        Device: "device", "Gerät", "appareil";
        Key: "key", "Schlüssel", "clé";
        NoKey: "none: it has no signed release", "keiner: es gibt keine signierte Freigabe", "aucune : il n'a pas de bon de mise en charge signé";
        Signed: "signed", "signiert", "signé";
        SignedTo: "the log up to page {page}, item {item}, by known keys", "das Protokoll bis Seite {page}, Eintrag {item}, mit bekannten Schlüsseln", "le journal jusqu'à la page {page}, entrée {item}, par des clés connues";
        SignedNothing: "nothing of the log, by known keys", "nichts vom Protokoll, mit bekannten Schlüsseln", "rien du journal, par des clés connues";
        End: "end of the log", "Ende des Protokolls", "fin du journal";
        EndIs: "page {page}, {items} items, {at}; nothing signed says that it ended there", "Seite {page}, Einträge {items}, {at}; nichts Signiertes sagt, dass es dort endete", "page {page}, entrées {items}, {at} ; rien de signé ne dit qu'il s'est arrêté là";
        EndSigned: "page {page}, {items} items, {at}; the logger itself signed at {signed} that nothing followed", "Seite {page}, Einträge {items}, {at}; der Logger selbst hat signiert, dass nichts folgte ({signed})", "page {page}, entrées {items}, {at} ; l'enregistreur lui-même a signé que rien ne suivait ({signed})";
        EndNotInCode: "not in the code; what came after it is in the device's memory", "nicht im Code; was danach kam, steht im Speicher des Geräts", "pas dans le code ; ce qui est venu après est dans la mémoire de l'appareil";
        NoTime: "of no known time", "ohne bekannte Zeit", "sans heure connue";
        NoFixing: "NOT PROVED: there is no fixing in it", "NICHT NACHGEWIESEN: es ist keine Befestigung darin", "NON PROUVÉ : il n'y a aucun scellement dedans";
        Worth: "A proof says that a known key signed what the log gives up to the end that is named; not what came after that end, and not that the probe was where it should be.",
            "Ein Nachweis sagt, dass ein bekannter Schlüssel signiert hat, was das Protokoll bis zum genannten Ende ergibt; nicht, was nach diesem Ende kam, und nicht, dass der Fühler war, wo er sein sollte.",
            "Une preuve dit qu'une clé connue a signé ce que le journal donne jusqu'à la fin indiquée ; pas ce qui est venu après cette fin, ni que la sonde était là où elle devait être.";
    }
}
