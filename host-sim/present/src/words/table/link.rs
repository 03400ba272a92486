//! What `holdoff link` says to a person.

use crate::words::phrase::phrases;

phrases! {
    /// How a logger and its group stand.
    LinkPhrase {
        Head: "logger {device} at {now}", "Logger {device}, {now}", "enregistreur {device}, {now}";
        HeadBattery: "logger {device} at {now}, battery {volts} V", "Logger {device}, {now}, Batterie {volts} V", "enregistreur {device}, {now}, pile {volts} V";
        UnknownTime: "an unknown time", "Zeit unbekannt", "heure inconnue";
        OwnClock: "{seconds} s of the logger's own clock", "{seconds} s der eigenen Uhr des Loggers", "{seconds} s de l'horloge propre de l'enregistreur";
        Untrusted: "ITS LOG CANNOT BE TRUSTED: nothing will be released", "SEINEM PROTOKOLL IST NICHT ZU TRAUEN: nichts wird freigegeben", "SON JOURNAL N'EST PAS DIGNE DE CONFIANCE : rien ne sera bon pour mise en charge";
        ReadingsLost: "READINGS ARE BEING LOST: the memory is full or does not answer", "MESSWERTE GEHEN VERLOREN: der Speicher ist voll oder antwortet nicht", "DES MESURES SE PERDENT : la mémoire est pleine ou ne répond pas";
        ProbeNoAnswer: "the probe does not answer", "der Fühler antwortet nicht", "la sonde ne répond pas";
        ProbeUnusable: "the probe's readings can't be used", "die Messwerte des Fühlers sind unbrauchbar", "les mesures de la sonde sont inutilisables";
        ProbeStuck: "the same value for six hours: is the probe still clipped on?", "sechs Stunden derselbe Wert: ist der Fühler noch angeklemmt?", "la même valeur depuis six heures : la sonde est-elle encore fixée ?";
        ClockNoAnswer: "its clock does not answer", "seine Uhr antwortet nicht", "son horloge ne répond pas";
        ClockNotSet: "its clock was not set: `holdoff link PORT clock --set`", "seine Uhr wurde nicht gestellt: `holdoff link PORT clock --set`", "son horloge n'a pas été réglée : `holdoff link PORT clock --set`";
        ClockFailed: "ITS CLOCK FAILED and was started again without a time of day: `holdoff link PORT clock --set`, once no fixing runs", "SEINE UHR HAT VERSAGT und wurde ohne Uhrzeit neu gestartet: `holdoff link PORT clock --set`, sobald keine Befestigung läuft", "SON HORLOGE A FAILLI et a été relancée sans heure : `holdoff link PORT clock --set`, dès qu'aucun scellement n'est en cours";
        ClockDown: "ITS CLOCK FAILED and does not go: nothing is measured or counted until it is set, `holdoff link PORT clock --set`; if it fails again, the logger needs repair",
            "SEINE UHR HAT VERSAGT und geht nicht: nichts wird gemessen oder gezählt, bis sie gestellt ist, `holdoff link PORT clock --set`; versagt sie wieder, muss der Logger instand gesetzt werden",
            "SON HORLOGE A FAILLI et ne marche pas : rien n'est mesuré ni compté avant qu'elle soit réglée, `holdoff link PORT clock --set` ; si elle faillit encore, l'enregistreur est à réparer";
        Starting: "it is starting: look again in a moment", "er startet: gleich noch einmal nachsehen", "il démarre : regarder à nouveau dans un instant";
        Laxer: "LAXER THAN THE DEFAULT: {which}. Everything here rests on it", "WENIGER STRENG ALS DIE STANDARDEINSTELLUNG: {which}. Alles hier beruht darauf", "MOINS SÉVÈRE QUE LE RÉGLAGE PAR DÉFAUT : {which}. Tout ceci repose là-dessus";
        CountsCannotBe: "WHAT IT COUNTS CANNOT BE: more readings than a logger takes in thirty years", "WAS ER ZÄHLT, KANN NICHT SEIN: mehr Messwerte, als ein Logger in dreißig Jahren aufnimmt", "CE QU'IL COMPTE NE PEUT PAS ÊTRE : plus de mesures qu'un enregistreur n'en prend en trente ans";
        DoubtHead: "DO NOT LOAD: THE LOGGER'S WORD DOES NOT HOLD", "NICHT BELASTEN: DAS WORT DES LOGGERS HÄLT NICHT", "NE PAS CHARGER : LA PAROLE DE L'ENREGISTREUR NE TIENT PAS";
        NoGround: "the logger gives no ground for it", "der Logger nennt keinen Grund dafür", "l'enregistreur n'en donne aucun motif";
        UnknownGround: "the logger gives a ground that this program does not know", "der Logger nennt einen Grund, den dieses Programm nicht kennt", "l'enregistreur donne un motif que ce programme ne connaît pas";
        NotRecorded: "the logger calls it released, and no signed record of that stands in its log", "der Logger nennt sie freigegeben, und in seinem Protokoll steht keine signierte Aufzeichnung davon", "l'enregistreur le dit bon pour mise en charge, et aucun enregistrement signé n'en figure dans son journal";
        NoTime: "the logger does not say since when", "der Logger sagt nicht, seit wann", "l'enregistreur ne dit pas depuis quand";
        Times: "the times that the logger gives cannot follow each other", "die Zeiten, die der Logger nennt, können nicht aufeinander folgen", "les heures que donne l'enregistreur ne peuvent pas se suivre";
        TorqueCannotBe: "the torque that the logger gives does not go with this", "das Drehmoment, das der Logger nennt, passt nicht dazu", "le couple que donne l'enregistreur ne va pas avec cela";
        Numbers: "the logger counts more seconds than any cure has", "der Logger zählt mehr Sekunden, als eine Aushärtung hat", "l'enregistreur compte plus de secondes qu'un durcissement n'en a";
        ReleasedUnsigned: "released, and not signed: this logger has no key", "freigegeben und nicht signiert: dieser Logger hat keinen Schlüssel", "bon pour mise en charge et non signé : cet enregistreur n'a pas de clé";
        NoJob: "no job is loaded", "kein Auftrag geladen", "aucun chantier chargé";
        HeadTooLate: "TOO LATE: DO NOT SEAT", "ZU SPÄT: NICHT SETZEN", "TROP TARD : NE PAS METTRE EN PLACE";
        SayTooLate: "Injected, and the working time ended at {by} without a seating. Do not seat it: take the element out and ask the engineer.",
            "Injiziert, und die Verarbeitungszeit ist ohne Setzen abgelaufen ({by}). Nicht setzen: Element herausnehmen und den Ingenieur fragen.",
            "Injecté, et le temps de manipulation s'est terminé sans mise en place ({by}). Ne pas mettre en place : retirer l'élément et demander à l'ingénieur.";
        Resin: "resin  {resin}, {rule}, a reading every {period}", "Mörtel  {resin}, {rule}, Messabstand {period}", "résine  {resin}, {rule}, intervalle de mesure {period}";
        LastReading: "last accepted reading  {degrees} at {time}", "letzter angenommener Messwert  {degrees}, {time}", "dernière mesure acceptée  {degrees}, {time}";
        NoReading: "no reading was accepted yet", "noch kein Messwert angenommen", "aucune mesure acceptée jusqu'ici";
        Readings: "readings  {accepted} accepted, {refused} refused, {missing} missing, {lost} lost", "Messwerte  {accepted} angenommen, {refused} abgelehnt, {missing} fehlend, {lost} verloren", "mesures  {accepted} acceptées, {refused} refusées, {missing} manquantes, {lost} perdues";

        Logger: "logger", "Logger", "enregistreur";
        Board: "board", "Platine", "carte";
        BoardFirmware: "{board}, firmware {version}", "{board}, Firmware {version}", "{board}, micrologiciel {version}";
        PublicKey: "public key", "Schlüssel", "clé publique";
        Key: "{key} (key {id})", "{key} (Schlüssel {id})", "{key} (clé {id})";
        NoKey: "none: its releases are recorded, and not signed", "keiner: seine Freigaben werden aufgezeichnet und nicht signiert", "aucune : ses bons de mise en charge sont enregistrés et non signés";
        Enrolled: "key {id} of logger {device} added to {file}: the logger has signed with it", "Schlüssel {id} des Loggers {device} in {file} aufgenommen: der Logger hat damit signiert", "clé {id} de l'enregistreur {device} ajoutée à {file} : l'enregistreur a signé avec elle";
        EnrolledBefore: "key {id} of logger {device} stands in {file} already: nothing was changed", "Schlüssel {id} des Loggers {device} steht schon in {file}: nichts wurde geändert", "la clé {id} de l'enregistreur {device} figure déjà dans {file} : rien n'a été modifié";
        Memory: "memory", "Speicher", "mémoire";
        MemoryHolds: "{size} KiB, log version {version}: {state}", "{size} KiB, Protokoll der Version {version}: {state}", "{size} Kio, journal de version {version} : {state}";
        Room: "room", "Platz", "place";
        RoomLeft: "{left} of {pages} pages can still be begun, {reserved} of them kept for what must not be lost", "{left} von {pages} Seiten können noch begonnen werden, {reserved} davon für das, was nicht verloren gehen darf", "{left} pages sur {pages} peuvent encore être entamées, dont {reserved} gardées pour ce qui ne doit pas se perdre";
        ReadOut: "read out", "ausgelesen", "relevé";
        ReadOutPages: "{number} of {pages} closed pages", "{number} von {pages} abgeschlossenen Seiten", "{number} pages closes sur {pages}";
        NothingToRead: "nothing to read", "nichts zu lesen", "rien à relever";
        Blank: "blank: nothing was recorded yet", "leer: noch nichts aufgezeichnet", "vide : rien n'a encore été enregistré";
        LogTrusted: "a log that can be trusted", "ein Protokoll, dem zu trauen ist", "un journal digne de confiance";
        LogUntrusted: "a log that can NOT be trusted: nothing in its session will be released", "ein Protokoll, dem NICHT zu trauen ist: nichts in seiner Sitzung wird freigegeben", "un journal qui n'est PAS digne de confiance : rien dans sa session ne sera bon pour mise en charge";
        LogForeign: "the log of another logger; this one does not touch it", "das Protokoll eines anderen Loggers; dieser rührt es nicht an", "le journal d'un autre enregistreur ; celui-ci n'y touche pas";
        LogStranger: "a log that this firmware does not write; it does not touch it", "ein Protokoll, das diese Firmware nicht schreibt; der Logger rührt es nicht an", "un journal que ce micrologiciel n'écrit pas ; l'enregistreur n'y touche pas";
        NoLog: "something that is no log; the logger does not touch it", "etwas, das kein Protokoll ist; der Logger rührt es nicht an", "quelque chose qui n'est pas un journal ; l'enregistreur n'y touche pas";
        MemoryNoAnswer: "the memory does not answer", "der Speicher antwortet nicht", "la mémoire ne répond pas";

        ClockIs: "{time}, {apart}", "{time}, {apart}", "{time}, {apart}";
        ClockSet: "set: {time}, {apart}", "gestellt: {time}, {apart}", "réglée : {time}, {apart}";
        NotSet: "it was not set: `holdoff link PORT clock --set` does", "sie wurde nicht gestellt: `holdoff link PORT clock --set` stellt sie", "elle n'a pas été réglée : `holdoff link PORT clock --set` le fait";
        AsThisComputer: "as this computer", "wie dieser Rechner", "comme cet ordinateur";
        Behind: "{length} behind this computer", "{length} hinter diesem Rechner", "{length} de retard sur cet ordinateur";
        Ahead: "{length} ahead of this computer", "{length} vor diesem Rechner", "{length} d'avance sur cet ordinateur";

        Loaded: "loaded from {file}: {fixings} fixings, resin {resin}, a reading every {period}", "geladen aus {file}: {fixings} Befestigungen, Mörtel {resin}, Messabstand {period}", "chargé depuis {file} : {fixings} scellements, résine {resin}, intervalle de mesure {period}";
        ReadHolds: "{file}: {size} KiB, {sessions} sessions with {entries} entries", "{file}: {size} KiB, {sessions} Sitzungen mit {entries} Einträgen", "{file} : {size} Kio, {sessions} sessions et {entries} entrées";
        ReadHoldsNone: "{file}: {size} KiB; {why}", "{file}: {size} KiB; {why}", "{file} : {size} Kio ; {why}";
        WentOn: "went on from an earlier reading that had {slots} slots", "fortgesetzt, wo ein früheres Auslesen {slots} Plätze hatte", "repris d'une relève antérieure qui avait {slots} emplacements";
        NothingToMark: "nothing to mark as read out: the only page that was not is still written on", "nichts als ausgelesen zu vermerken: die einzige Seite, die es nicht war, wird noch beschrieben", "rien à marquer comme relevé : la seule page qui ne l'était pas est encore en cours d'écriture";
        Marked: "{number} pages marked as read out; those below page {below} may be overwritten when room is needed, but for the running session's",
            "{number} Seiten als ausgelesen vermerkt; die unter Seite {below} dürfen überschrieben werden, wenn Platz gebraucht wird, außer denen der laufenden Sitzung",
            "{number} pages marquées comme relevées ; celles avant la page {below} peuvent être écrasées si la place manque, sauf celles de la session en cours";
    }
}
