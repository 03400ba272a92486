//! What the register of a site says to a person.

use crate::words::phrase::phrases;

phrases! {
    /// Lines of `holdoff register`.
    RegisterPhrase {
        TakenIn: "{name}: taken in; logger {device}, {fixings} fixings, {changed} of them changed",
            "{name}: aufgenommen; Logger {device}, Befestigungen {fixings}, davon verändert {changed}",
            "{name} : enregistré ; enregistreur {device}, scellements {fixings}, dont modifiés {changed}";
        NothingNew: "logger {device}: nothing new; its memory is in the register already ({known})", "Logger {device}: nichts Neues; sein Speicher ist schon im Register ({known})", "enregistreur {device} : rien de nouveau ; sa mémoire est déjà au registre ({known})";
        ReleaseOf: "{fixing}: release {verdict}", "{fixing}: Freigabe {verdict}", "{fixing} : libération {verdict}";
        ReleaseOfWhy: "{fixing}: release {verdict}: {why}", "{fixing}: Freigabe {verdict}: {why}", "{fixing} : libération {verdict} : {why}";
        VerdictWhy: "{fixing}: {verdict}: {why}", "{fixing}: {verdict}: {why}", "{fixing} : {verdict} : {why}";
        ProvedOf: "{good} of {all} releases are proved", "{good} von {all} Freigaben sind bewiesen", "libérations prouvées : {good} sur {all}";

        Head: "{group}: as of {as_of} (logger {device}, resin {resin})", "{group}: Stand {as_of} (Logger {device}, Mörtel {resin})", "{group} : état au {as_of} (enregistreur {device}, résine {resin})";
        HeadInvented: "{group}: as of {as_of} (logger {device}, resin {resin}, INVENTED RESIN)", "{group}: Stand {as_of} (Logger {device}, Mörtel {resin}, ERFUNDENER MÖRTEL)", "{group} : état au {as_of} (enregistreur {device}, résine {resin}, RÉSINE INVENTÉE)";
        OfUnknownTime: "of an unknown time", "unbekannter Zeit", "d'un moment inconnu";
        CannotBeTrusted: "CANNOT BE TRUSTED: {why}", "NICHT ZU TRAUEN: {why}", "PAS DIGNE DE CONFIANCE : {why}";
        Release: "release {verdict}", "Freigabe {verdict}", "libération {verdict}";
        ByCodes: "known by their release codes alone; their memories are still to be read out:", "nur durch ihre Freigabecodes bekannt; ihre Speicher sind noch auszulesen:", "connus par leurs seuls codes de libération ; leurs mémoires restent à relever :";
        OfCode: "release of {when}: {verdict} (logger {device})", "Freigabe von {when}: {verdict} (Logger {device})", "libération de {when} : {verdict} (enregistreur {device})";
        OfCodeTorqued: "release of {when}, torqued to {torque}: {verdict} (logger {device})", "Freigabe von {when}, angezogen mit {torque}: {verdict} (Logger {device})", "libération de {when}, serré à {torque} : {verdict} (enregistreur {device})";
        Contradicted: "DO NOT LOAD: CONTRADICTED: {why}", "NICHT BELASTEN: WIDERLEGT: {why}", "NE PAS CHARGER : CONTREDIT : {why}";
        Empty: "the register is empty", "das Register ist leer", "le registre est vide";
        TimePassed: "Time has passed since a logger was read out: what it says now counts.", "Seit ein Logger ausgelesen wurde, ist Zeit vergangen: was er jetzt sagt, zählt.", "Du temps a passé depuis la relève d'un enregistreur : ce qu'il dit maintenant compte.";
        Code: "the code", "der Code", "le code";
    }
}
