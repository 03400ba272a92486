//! What the register of a site says to a person.

use crate::words::phrase::phrases;

phrases! {
    /// Lines of `holdoff register`.
    RegisterPhrase {
        TakenIn: "{name}: taken in; logger {device}, {fixings} fixings, {changed} of them changed",
            "{name}: aufgenommen; Logger {device}, Befestigungen {fixings}, davon verändert {changed}",
            "{name} : versé au registre ; enregistreur {device}, scellements {fixings}, dont modifiés {changed}";
        NothingNew: "logger {device}: nothing new; its memory is in the register already ({known})", "Logger {device}: nichts Neues; sein Speicher ist schon im Register ({known})", "enregistreur {device} : rien de nouveau ; sa mémoire est déjà au registre ({known})";
        ReleaseOf: "{fixing}: release {verdict}", "{fixing}: Freigabe {verdict}", "{fixing} : bon de mise en charge {verdict}";
        ReleaseOfWhy: "{fixing}: release {verdict}: {why}", "{fixing}: Freigabe {verdict}: {why}", "{fixing} : bon de mise en charge {verdict} : {why}";
        VerdictWhy: "{fixing}: {verdict}: {why}", "{fixing}: {verdict}: {why}", "{fixing} : {verdict} : {why}";
        ProvedOf: "releases proved: {good} of {all}", "Freigaben nachgewiesen: {good} von {all}", "bons de mise en charge prouvés : {good} sur {all}";

        Head: "{group}: as of {as_of} (logger {device}, resin {resin})", "{group}: Stand {as_of} (Logger {device}, Mörtel {resin})", "{group} : état au {as_of} (enregistreur {device}, résine {resin})";
        HeadInvented: "{group}: as of {as_of} (logger {device}, resin {resin}, INVENTED RESIN)", "{group}: Stand {as_of} (Logger {device}, Mörtel {resin}, ERFUNDENER MÖRTEL)", "{group} : état au {as_of} (enregistreur {device}, résine {resin}, RÉSINE INVENTÉE)";
        Look: "{at}  logger {device}: {what}", "{at}  Logger {device}: {what}", "{at}  enregistreur {device} : {what}";
        LookNew: "taken in, fixings changed {changed}, bytes on the line {bytes}", "aufgenommen, Befestigungen verändert {changed}, Byte auf der Leitung {bytes}", "versé au registre, scellements modifiés {changed}, octets sur la ligne {bytes}";
        LookSame: "nothing new", "nichts Neues", "rien de nouveau";
        LookBusy: "another program is writing to the register; taken in with the next look", "ein anderes Programm schreibt ins Register; beim nächsten Blick aufgenommen", "un autre programme écrit au registre ; versé au prochain regard";
        LookAway: "NOT READ: {what}; what the register says of it is as old as the last look that read it", "NICHT GELESEN: {what}; was das Register von ihm sagt, ist so alt wie der letzte Blick, der ihn las", "NON LU : {what} ; ce que le registre en dit date du dernier regard qui l'a lu";
        LookOther: "ANOTHER LOGGER, {found}, IS ON THE CABLE: nothing of it is taken in", "EIN ANDERER LOGGER, {found}, HÄNGT AM KABEL: von ihm wird nichts aufgenommen", "UN AUTRE ENREGISTREUR, {found}, EST AU BOUT DU CÂBLE : rien n'en est versé au registre";
        ReadAs: "read out at {at}; its clock went as the computer's", "ausgelesen am {at}; seine Uhr ging wie die des Rechners", "relevé le {at} ; son horloge allait comme celle de l'ordinateur";
        ReadAhead: "read out at {at}; its clock was {length} ahead of the computer's", "ausgelesen am {at}; seine Uhr ging der des Rechners {length} vor", "relevé le {at} ; son horloge avançait de {length} sur celle de l'ordinateur";
        ReadBehind: "read out at {at}; its clock was {length} behind the computer's", "ausgelesen am {at}; seine Uhr ging der des Rechners {length} nach", "relevé le {at} ; son horloge retardait de {length} sur celle de l'ordinateur";
        ReadUnset: "read out at {at}; its clock was not set", "ausgelesen am {at}; seine Uhr war nicht gestellt", "relevé le {at} ; son horloge n'était pas réglée";
        ClockAhead: "THE CLOCK OF LOGGER {device} IS {length} AHEAD: what it dates came that much earlier", "DIE UHR VON LOGGER {device} GEHT {length} VOR: was er datiert, war um so viel früher", "L'HORLOGE DE L'ENREGISTREUR {device} AVANCE DE {length} : ce qu'il date est arrivé d'autant plus tôt";
        ClockBehind: "THE CLOCK OF LOGGER {device} IS {length} BEHIND: what it dates came that much later", "DIE UHR VON LOGGER {device} GEHT {length} NACH: was er datiert, war um so viel später", "L'HORLOGE DE L'ENREGISTREUR {device} RETARDE DE {length} : ce qu'il date est arrivé d'autant plus tard";
        ClockUnset: "THE CLOCK OF LOGGER {device} IS NOT SET: its times are seconds of its own, and no times of day", "DIE UHR VON LOGGER {device} IST NICHT GESTELLT: seine Zeiten sind eigene Sekunden und keine Uhrzeiten", "L'HORLOGE DE L'ENREGISTREUR {device} N'EST PAS RÉGLÉE : ses temps sont ses propres secondes, pas des heures du jour";
        OfUnknownTime: "of an unknown time", "unbekannter Zeit", "d'un moment inconnu";
        CannotBeTrusted: "CANNOT BE TRUSTED: {why}", "NICHT ZU TRAUEN: {why}", "PAS DIGNE DE CONFIANCE : {why}";
        Release: "release {verdict}", "Freigabe {verdict}", "bon de mise en charge {verdict}";
        ByCodes: "known by their release codes alone; their memories are still to be read out:", "nur durch ihre Freigabecodes bekannt; ihre Speicher sind noch auszulesen:", "connus par leurs seuls codes de bon de mise en charge ; leurs mémoires restent à relever :";
        OfCode: "release of {when}: {verdict} (logger {device})", "Freigabe von {when}: {verdict} (Logger {device})", "bon de mise en charge de {when} : {verdict} (enregistreur {device})";
        OfCodeTorqued: "release of {when}, torqued to {torque}: {verdict} (logger {device})", "Freigabe von {when}, angezogen mit {torque}: {verdict} (Logger {device})", "bon de mise en charge de {when}, serré à {torque} : {verdict} (enregistreur {device})";
        Contradicted: "DO NOT LOAD: CONTRADICTED: {why}", "NICHT BELASTEN: WIDERSPRUCH: {why}", "NE PAS CHARGER : CONTREDIT : {why}";
        Empty: "the register is empty", "das Register ist leer", "le registre est vide";
        TimePassed: "Time has passed since a logger was read out: what it says now counts.", "Seit ein Logger ausgelesen wurde, ist Zeit vergangen: was er jetzt sagt, zählt.", "Du temps a passé depuis la relève d'un enregistreur : ce qu'il dit maintenant compte.";
        Settled: "logger {device}: contradictions settled: {number}; both sides stay in the register", "Logger {device}: Widersprüche geklärt: {number}; beide Seiten bleiben im Register", "enregistreur {device} : contradictions réglées : {number} ; les deux côtés restent au registre";
        Code: "the code", "der Code", "le code";
    }
}
