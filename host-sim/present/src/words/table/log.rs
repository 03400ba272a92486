//! The log of a logger's memory: its entries as `holdoff read` lists them, and what can be amiss with it.

use crate::words::phrase::phrases;

phrases! {
    /// Lines of a listing.
    ListingPhrase {
        Summary: "{readings} readings in {bytes} bytes, headers of their pages included; the memory has {capacity}",
            "{readings} Messwerte in {bytes} Byte, die Köpfe ihrer Seiten mitgezählt; der Speicher hat {capacity}",
            "{readings} mesures en {bytes} octets, en-têtes de leurs pages compris ; la mémoire en a {capacity}";
        Finding: "finding: {what}", "Befund: {what}", "constat : {what}";
        SessionHolds: "session from page {page}: its chain holds", "Sitzung ab Seite {page}: ihre Kette hält", "session dès la page {page} : sa chaîne tient";
        SessionBroken: "session from page {page}: CANNOT BE TRUSTED: {why}", "Sitzung ab Seite {page}: NICHT ZU TRAUEN: {why}", "session dès la page {page} : PAS DIGNE DE CONFIANCE : {why}";
        Run: "{number} readings to {to}, {first} to {last}", "{number} Messwerte bis {to}, {first} bis {last}", "{number} mesures jusqu'à {to}, de {first} à {last}";

        KindReading: "reading", "Messwert", "mesure";
        KindUnusable: "unusable", "unbrauchbar", "inutilisable";
        KindMissing: "missing", "fehlend", "manquante";
        KindRefused: "refused", "abgelehnt", "refusée";
        KindIdentity: "identity", "Kennung", "identité";
        KindResin: "resin", "Mörtel", "résine";
        KindJob: "job", "Auftrag", "chantier";
        KindFixing: "fixing", "Befestigung", "scellement";
        KindBatch: "batch", "Charge", "lot";
        KindAction: "action", "Handlung", "action";
        KindPowerUp: "power-up", "Neustart", "redémarrage";
        KindClockTie: "clock-tie", "Uhrzeit", "heure";
        KindLoss: "loss", "Verlust", "perte";
        KindUntrusted: "untrusted", "Misstrauen", "méfiance";
        KindReadOut: "read-out", "ausgelesen", "relevé";
        KindFreed: "freed", "freigeräumt", "abandonné";
        KindRelease: "release", "Freigabe", "bon";
        KindStage: "stage", "Stand", "stade";
        KindCandidate: "candidate-accepted", "nachträglich", "après coup";
        KindHead: "signed head", "signierter Stand", "état signé";
        KindDemands: "demands", "Anforderungen", "exigences";
        KindPerson: "person", "Person", "personne";
        KindHands: "hands", "Hände", "mains";
        KindPassedOver: "passed over", "übergangen", "ignoré";
        KindSupply: "supply", "Versorgung", "alimentation";

        NoReading: "no reading", "kein Messwert", "pas de mesure";
        BeforeRefused: "the reading before is refused: {cause}", "der Messwert davor ist abgelehnt: {cause}", "la mesure précédente est refusée : {cause}";
        Identity: "device {device}, memory of {bytes} bytes, readings of {source}", "Gerät {device}, Speicher von {bytes} Byte, Messwerte von {source}", "appareil {device}, mémoire de {bytes} octets, mesures {source}";
        TwelveBit: "a 12-bit sensor", "einem 12-Bit-Fühler", "d'un capteur à 12 bits";
        ThirteenBit: "a 13-bit sensor", "einem 13-Bit-Fühler", "d'un capteur à 13 bits";
        SixteenBit: "a 16-bit sensor", "einem 16-Bit-Fühler", "d'un capteur à 16 bits";
        OneWire: "a 1-wire sensor", "einem 1-Draht-Fühler", "d'un capteur à 1 fil";
        NotInCode: "not in the code: it stands in the device's memory", "nicht im Code: steht im Speicher des Geräts", "pas dans le code : c'est dans la mémoire de l'appareil";
        RecordedTrace: "a recorded trace", "einer aufgezeichneten Messreihe", "d'une série enregistrée";
        Invented: "{name} (INVENTED, never use on site)", "{name} (ERFUNDEN, nie auf der Baustelle verwenden)", "{name} (INVENTÉE, ne jamais utiliser sur chantier)";
        Settings: "uncertainty {uncertainty}, longest gap {gap} s, clock allowance {ppm} ppm, settle {settle} s, a reading every {period} s",
            "Unsicherheit {uncertainty}, längste Lücke {gap} s, Abzug für Uhrabweichung {ppm} ppm, Einlaufzeit des Fühlers {settle} s, Messabstand {period} s",
            "incertitude {uncertainty}, plus longue lacune {gap} s, marge pour l'horloge {ppm} ppm, temps de stabilisation de la sonde {settle} s, intervalle de mesure {period} s";
        Fixing: "{label}, hole {hole}", "{label}, Bohrloch {hole}", "{label}, trou {hole}";
        FixingTorqued: "{label}, hole {hole}, {least} to {greatest}", "{label}, Bohrloch {hole}, {least} bis {greatest}", "{label}, trou {hole}, {least} à {greatest}";
        Of: "fixing {number}: {what}", "Befestigung {number}: {what}", "scellement {number} : {what}";
        Batch: "batch {text}", "Charge {text}", "lot {text}";
        Inject: "inject, cartridge declared {degrees}", "injiziert, Kartusche angegeben mit {degrees}", "injection, cartouche déclarée à {degrees}";
        InjectUndeclared: "inject, cartridge undeclared", "injiziert, Kartusche nicht angegeben", "injection, cartouche non déclarée";
        InHole: "{what}, in the hole {degrees}", "{what}, im Bohrloch {degrees}", "{what}, dans le trou {degrees}";
        CarriedOut: "carried-out", "injiziert, obwohl nicht zugelassen", "injecté malgré le refus";
        Seat: "seat", "gesetzt", "mise en place";
        Hole: "hole {hole}", "Bohrloch {hole}", "trou {hole}";
        Torque: "torque {torque}", "angezogen mit {torque}", "serrage à {torque}";
        TorquedEarly: "reported as torqued early, to {torque}", "als zu früh angezogen gemeldet, mit {torque}", "signalé comme serré trop tôt, à {torque}";
        Accept: "decide accept as it is", "Entscheidung: wie ausgeführt annehmen", "décision : accepter en l'état";
        Remove: "decide remove", "Entscheidung: ausbauen", "décision : déposer";
        PowerUpKnown: "the logger came up again ({cause}); length of the dark time known", "der Logger startete neu ({cause}); Dauer der Unterbrechung bekannt", "l'enregistreur a redémarré ({cause}) ; durée de l'arrêt connue";
        PowerUpUnknown: "the logger came up again ({cause}); length of the dark time unknown", "der Logger startete neu ({cause}); Dauer der Unterbrechung unbekannt", "l'enregistreur a redémarré ({cause}) ; durée de l'arrêt inconnue";
        CauseUnknown: "cause unknown", "Ursache unbekannt", "cause inconnue";
        PowerOn: "power on", "eingeschaltet", "mise sous tension";
        BrownOut: "supply too low", "Versorgung zu schwach", "alimentation trop faible";
        Watchdog: "watchdog", "Überwachung griff ein", "chien de garde";
        Software: "restarted itself", "startete sich selbst neu", "s'est relancé";
        ResetButton: "reset button", "Rücksetztaste", "bouton de remise à zéro";
        ClockSays: "the wall clock says {time}", "die Uhr zeigt {time}", "l'horloge indique {time}";
        Lost: "{number} readings could not be recorded", "{number} Messwerte konnten nicht aufgezeichnet werden", "{number} mesures n'ont pas pu être enregistrées";
        CannotBeTrusted: "the log cannot be trusted", "dem Protokoll ist nicht zu trauen", "le journal n'est pas digne de confiance";
        WereReadOut: "pages below {page} were read out", "Seiten unter {page} wurden ausgelesen", "les pages avant {page} ont été relevées";
        WereGivenUp: "pages below {page} were given up by the owner", "Seiten unter {page} gab der Besitzer auf", "les pages avant {page} ont été abandonnées par le propriétaire";
        Signed: "signed release, short form {short}", "signierte Freigabe, Kurzform {short}", "bon de mise en charge signé, forme courte {short}";
        SignedReplaced: "signed release, short form {short}: REPLACED by a later one", "signierte Freigabe, Kurzform {short}: ERSETZT durch eine spätere", "bon de mise en charge signé, forme courte {short} : REMPLACÉ par un plus récent";
        Unreadable: "unreadable", "nicht lesbar", "illisible";
        StageWhy: "{stage}: {why}", "{stage}: {why}", "{stage} : {why}";
        SupplyIs: "supply of the probe {millivolts} mV", "Versorgung des Fühlers {millivolts} mV", "alimentation de la sonde {millivolts} mV";
        HeadSigned: "the log up to page {page}, item {items}, signed", "das Protokoll bis Seite {page}, Eintrag {items}, signiert", "le journal signé jusqu'à la page {page}, entrée {items}";
        SupplyUnknown: "the supply of the probe could not be measured", "die Versorgung des Fühlers ließ sich nicht messen", "l'alimentation de la sonde n'a pas pu être mesurée";
        PersonIs: "person {number}: {name}", "Person {number}: {name}", "personne {number} : {name}";
        HandsOf: "from here on person {number} acts", "ab hier handelt Person {number}", "à partir d'ici agit la personne {number}";
        HandsOfNobody: "from here on nobody is named who acts", "ab hier ist niemand genannt, der handelt", "à partir d'ici personne n'est nommé comme agissant";
        UnknownRecord: "a record of kind {tag}, which this program does not know and may pass over", "ein Eintrag der Art {tag}, den dieses Programm nicht kennt und übergehen darf", "une entrée de type {tag}, que ce programme ne connaît pas et peut ignorer";
        AfterAll: "the refused reading {degrees} is accepted after all", "der abgelehnte Messwert {degrees} wird doch angenommen", "la mesure refusée {degrees} est finalement acceptée";
    }
}

phrases! {
    /// A stage as a plain word, in the midst of a sentence. In English the short fixed word.
    StagePhrase {
        Planned: "planned", "nicht injiziert", "non injecté";
        Refused: "refused", "nicht zugelassen", "refusé";
        Working: "working", "in der Verarbeitungszeit", "dans le temps de manipulation";
        Curing: "curing", "in der Aushärtung", "en durcissement";
        Held: "held", "angehalten", "suspendu";
        Cured: "cured", "ausgehärtet", "durci";
        Released: "released", "freigegeben", "bon pour mise en charge";
        Rejected: "rejected", "gesperrt", "rejeté";
        AcceptedAsIs: "accepted-as-is", "wie ausgeführt angenommen", "accepté en l'état";
        Removed: "removed", "zum Ausbau bestimmt", "à déposer";
    }
}

phrases! {
    /// What can be amiss with a log, a release or its proof. A register keeps codes with their fields, and this is said of them.
    EvidencePhrase {
        SlotBlank: "slot {slot} is blank", "Platz {slot} ist leer", "l'emplacement {slot} est vide";
        SlotDamaged: "slot {slot} holds a damaged or half-written page", "Platz {slot} enthält eine beschädigte oder halb geschriebene Seite", "l'emplacement {slot} contient une page abîmée ou écrite à moitié";
        SlotVersion: "slot {slot} holds a page of version {found}", "Platz {slot} enthält eine Seite der Version {found}", "l'emplacement {slot} contient une page de version {found}";
        SlotHeader: "slot {slot} holds a page with an impossible header", "Platz {slot} enthält eine Seite mit einem unmöglichen Kopf", "l'emplacement {slot} contient une page à l'en-tête impossible";
        SlotMisplaced: "slot {slot} holds page {number}, which does not belong there", "Platz {slot} enthält Seite {number}, die nicht dorthin gehört", "l'emplacement {slot} contient la page {number}, qui n'y a pas sa place";
        LostAt: "page {number} is missing or damaged (slot {slot})", "Seite {number} fehlt oder ist beschädigt (Platz {slot})", "la page {number} manque ou est abîmée (emplacement {slot})";
        ForeignAt: "page {number} was not written by the logger (slot {slot})", "Seite {number} hat nicht der Logger geschrieben (Platz {slot})", "la page {number} n'a pas été écrite par l'enregistreur (emplacement {slot})";
        UnlinkedAt: "page {number} does not follow from the page before it (slot {slot})", "Seite {number} folgt nicht aus der Seite davor (Platz {slot})", "la page {number} ne découle pas de la page précédente (emplacement {slot})";
        ItemsAt: "the items of page {number} cannot all be read (slot {slot})", "die Einträge von Seite {number} sind nicht alle lesbar (Platz {slot})", "les entrées de la page {number} ne sont pas toutes lisibles (emplacement {slot})";
        EvidenceAt: "the engine makes something else of page {number}, item {item}, than is recorded (slot {slot})", "die Berechnung kommt bei Seite {number}, Eintrag {item} auf anderes, als aufgezeichnet ist (Platz {slot})", "le calcul donne, page {number}, entrée {item}, autre chose que ce qui est enregistré (emplacement {slot})";

        Lost: "page {number} is missing or damaged", "Seite {number} fehlt oder ist beschädigt", "la page {number} manque ou est abîmée";
        AnswerFails: "what stands behind the memory is not the logger's word for its end, or of a key that was not given", "was hinter dem Speicher steht, ist nicht das Wort des Loggers für dessen Ende, oder von einem nicht genannten Schlüssel", "ce qui suit la mémoire n'est pas la parole de l'enregistreur pour sa fin, ou d'une clé non donnée";
        HeadUnreadable: "a signed head of its log cannot be read", "ein signierter Stand ihres Protokolls ist unlesbar", "un état signé de son journal est illisible";
        Foreign: "page {number} was not written by the logger", "Seite {number} hat nicht der Logger geschrieben", "la page {number} n'a pas été écrite par l'enregistreur";
        Unlinked: "page {number} does not follow from the page before it", "Seite {number} folgt nicht aus der Seite davor", "la page {number} ne découle pas de la page précédente";
        Items: "the items of page {number} cannot all be read", "die Einträge von Seite {number} sind nicht alle lesbar", "les entrées de la page {number} ne sont pas toutes lisibles";
        Evidence: "the engine makes something else of page {number}, item {item}, than is recorded", "die Berechnung kommt bei Seite {number}, Eintrag {item} auf anderes, als aufgezeichnet ist", "le calcul donne, page {number}, entrée {item}, autre chose que ce qui est enregistré";
        Tail: "pages are missing behind the newest one", "hinter der neuesten Seite fehlen Seiten", "des pages manquent après la plus récente";
        Recorded: "the log itself records that it cannot be trusted", "das Protokoll sagt selbst, dass ihm nicht zu trauen ist", "le journal dit lui-même qu'il n'est pas digne de confiance";
        PartOverwritten: "the session from page {page} has been overwritten in part", "die Sitzung ab Seite {page} ist zum Teil überschrieben", "la session dès la page {page} a été en partie écrasée";
        LaterView: "of the session from page {page} a later view is held already", "von der Sitzung ab Seite {page} liegt schon ein späterer Stand vor", "un état plus récent de la session dès la page {page} est déjà là";
        GaveWay: "the release from {source} is contradicted by this one", "die Freigabe aus {source} wird von dieser widerlegt", "le bon de mise en charge de {source} est contredit par celui-ci";
        ReplacedByThis: "the release from {source} is replaced by this one", "die Freigabe aus {source} wird von dieser ersetzt", "le bon de mise en charge de {source} est remplacé par celui-ci";
        GaveWayTo: "the release of {fixing} from {source} is contradicted: {why}", "die Freigabe von {fixing} aus {source} ist widerlegt: {why}", "le bon de mise en charge de {fixing}, de {source}, est contredit : {why}";

        Proved: "the chain holds, the signature holds, and the engine makes the same of the raw readings", "die Kette hält, die Signatur hält, und die Berechnung kommt aus den rohen Messwerten auf dasselbe", "la chaîne tient, la signature tient, et le calcul donne la même chose à partir des mesures brutes";
        ProvedBySignature: "signed by {key} (device {device}); the raw readings behind it, and whether it still stands, are in that device's memory", "signiert mit {key} (Gerät {device}); die rohen Messwerte dahinter, und ob sie noch gilt, stehen im Speicher dieses Geräts", "signé par {key} (appareil {device}) ; les mesures brutes derrière, et si cela vaut encore, se trouvent dans la mémoire de cet appareil";
        Untrusted: "the log cannot be trusted: {why}", "dem Protokoll ist nicht zu trauen: {why}", "le journal n'est pas digne de confiance : {why}";
        NoBeginning: "the session's beginning is missing", "der Anfang der Sitzung fehlt", "le début de la session manque";
        SessionFrom: "session from page {page}", "Sitzung ab Seite {page}", "session dès la page {page}";
        UnreadableRecord: "its release record cannot be read: {error}", "ihr Freigabevermerk ist nicht lesbar: {error}", "son bon de mise en charge n'est pas lisible : {error}";
        OtherFixing: "its release record is that of another fixing", "ihr Freigabevermerk ist der einer anderen Befestigung", "son bon de mise en charge est celui d'un autre scellement";
        OtherDevice: "its release record is that of another device", "ihr Freigabevermerk ist der eines anderen Geräts", "son bon de mise en charge est celui d'un autre appareil";
        OtherLog: "its release record was not signed over this log", "ihr Freigabevermerk wurde nicht über dieses Protokoll signiert", "son bon de mise en charge n'a pas été signé sur ce journal";
        Departs: "the engine makes something else of the readings than was signed: {departure}", "die Berechnung kommt aus den Messwerten auf anderes, als signiert wurde: {departure}", "le calcul donne, à partir des mesures, autre chose que ce qui a été signé : {departure}";
        ReleasedAndSince: "it was released, and is {stage} since", "war freigegeben und ist seither {stage}", "était bon pour mise en charge et est depuis {stage}";
        Replaced: "it was replaced by a later release of the same fixing", "sie wurde durch eine spätere Freigabe derselben Befestigung ersetzt", "il a été remplacé par un bon de mise en charge plus récent du même scellement";
        CureMovedSince: "the hole was made stricter since it was signed, and the cure in force is not signed yet", "seit der Signatur wurde das Bohrloch verschärft, und die geltende Aushärtung ist noch nicht signiert", "depuis la signature le trou a été rendu plus sévère, et le durcissement en vigueur n'est pas encore signé";
        NoRelease: "there is no release: the fixing is {stage}", "es gibt keine Freigabe: die Befestigung ist {stage}", "il n'y a pas de bon de mise en charge : le scellement est {stage}";
        UnknownFixing: "the engine knows no such fixing", "die Berechnung kennt keine solche Befestigung", "le calcul ne connaît pas de tel scellement";
        NoSuchKey: "it was signed with key {named}, which is not among the keys given", "signiert mit dem Schlüssel {named}, der nicht unter den gegebenen ist", "signé avec la clé {named}, qui n'est pas parmi les clés données";
        KeyOfOther: "it names device {found}, but its key ({key}) is that of device {expected}", "nennt Gerät {found}, aber sein Schlüssel ({key}) ist der von Gerät {expected}", "nomme l'appareil {found}, mais sa clé ({key}) est celle de l'appareil {expected}";
        JobFileDiffers: "the logger was loaded with another job file: SHA-256 {loaded}, and the one given has {given}", "der Logger wurde mit einer anderen Auftragsdatei geladen: SHA-256 {loaded}, die angegebene hat {given}", "l'enregistreur a été chargé avec un autre fichier de chantier : SHA-256 {loaded}, celui donné a {given}";
        ResinFileDiffers: "the logger was loaded with another resin file: SHA-256 {loaded}, and the one given has {given}", "der Logger wurde mit einer anderen Mörteldatei geladen: SHA-256 {loaded}, die angegebene hat {given}", "l'enregistreur a été chargé avec un autre fichier de résine : SHA-256 {loaded}, celui donné a {given}";
        BadSignature: "the signature is not that of its key ({key}): record or signature was changed", "die Signatur ist nicht die seines Schlüssels ({key}): Vermerk oder Signatur wurde verändert", "la signature n'est pas celle de sa clé ({key}) : l'écrit ou la signature a été modifié";

        ReadOutDamaged: "its logger was read out later, and the memory is damaged: no log can be read in it", "ihr Logger wurde später ausgelesen, und der Speicher ist beschädigt: kein Protokoll ist darin lesbar", "son enregistreur a été relevé plus tard, et sa mémoire est abîmée : aucun journal n'y est lisible";
        OtherHistory: "two memories of logger {device} differ from page {page}, item {item} on", "zwei Speicher von Logger {device} unterscheiden sich ab Seite {page}, Eintrag {item}", "deux mémoires de l'enregistreur {device} diffèrent à partir de la page {page}, entrée {item}";
        OtherRelease: "another release of the same fixing and time says otherwise", "eine andere Freigabe derselben Befestigung und Zeit sagt anderes", "un autre bon de mise en charge du même scellement et du même moment dit autre chose";
        NoSuchSeating: "the memory of its logger covers {time}, when the code says it was seated, and knows no such seating", "der Speicher ihres Loggers reicht über {time}, wo laut Code gesetzt wurde, und kennt kein solches Setzen", "la mémoire de son enregistreur couvre {time}, moment de la mise en place selon le code, et ne connaît pas une telle mise en place";
        OtherInjection: "the memory of its logger has another time of injection", "der Speicher ihres Loggers hat eine andere Zeit der Injektion", "la mémoire de son enregistreur a une autre heure d'injection";
        OtherLabel: "the memory of its logger calls this fixing {label}", "der Speicher ihres Loggers nennt diese Befestigung {label}", "la mémoire de son enregistreur appelle ce scellement {label}";
        RejectedBefore: "the memory of its logger has it rejected at {time}", "im Speicher ihres Loggers ist sie gesperrt ({time})", "dans la mémoire de son enregistreur il est rejeté ({time})";
        ReachesBeyond: "the memory of its logger reaches to {as_of}, beyond the release at {time}, and holds no such release", "der Speicher ihres Loggers reicht bis {as_of}, über die Freigabe ({time}) hinaus, und enthält keine solche", "la mémoire de son enregistreur va jusqu'à {as_of}, au-delà du bon de mise en charge ({time}), et n'en contient pas de tel";

        RecordShort: "it ends too early", "er endet zu früh", "il s'arrête trop tôt";
        RecordLong: "it is longer than a record may be", "er ist länger, als ein Vermerk sein darf", "il est plus long que permis";
        RecordVersion: "it is of version {found}, which this program does not read", "er ist von Version {found}, die dieses Programm nicht liest", "il est de version {found}, que ce programme ne lit pas";
        RecordForm: "it is not written as a record is", "er ist nicht geschrieben, wie ein Vermerk es ist", "il n'est pas écrit comme il se doit";
        RecordBounds: "out of bounds in it: {field}", "außerhalb der Grenzen darin: {field}", "hors limites : {field}";
        RecordShortfall: "less cure was served than was required", "es wurde weniger Aushärtung angerechnet als erforderlich", "moins de durcissement a été acquis que requis";
        MakesNone: "it makes no release of them", "sie ergeben keine Freigabe", "elles ne donnent pas de bon de mise en charge";
        Differs: "another value here: {field}", "ein anderer Wert hier: {field}", "une autre valeur ici : {field}";
        FieldDevice: "number of the device", "Nummer des Geräts", "numéro de l'appareil";
        FieldKey: "number of the key", "Nummer des Schlüssels", "numéro de la clé";
        FieldJob: "job file", "Auftragsdatei", "fichier de chantier";
        FieldResin: "resin file", "Mörteldatei", "fichier de résine";
        FieldBatch: "batch of the resin", "Charge des Mörtels", "lot de la résine";
        FieldChain: "chain of the log", "Kette des Protokolls", "chaîne du journal";
        FieldFixing: "number of the fixing", "Nummer der Befestigung", "numéro du scellement";
        FieldLabel: "label of the fixing", "Bezeichnung der Befestigung", "nom du scellement";
        FieldUse: "whether the resin is an invented one", "ob der Mörtel ein erfundener ist", "si la résine est inventée";
        FieldRule: "rule of the cure", "Regel der Aushärtung", "règle du durcissement";
        FieldHole: "condition of the hole", "Zustand des Bohrlochs", "état du trou";
        FieldSeated: "time of the seating", "Zeit des Setzens", "heure de la mise en place";
        FieldWorking: "time from the injection to the seating", "Zeit von der Injektion bis zum Setzen", "temps de l'injection à la mise en place";
        FieldSince: "time since the cure", "Zeit seit der Aushärtung", "temps depuis le durcissement";
        FieldAhead: "wall clock", "Wanduhr", "heure légale";
        FieldOffset: "offset of local time", "Abstand der Ortszeit", "décalage de l'heure locale";
        FieldRequired: "required seconds", "erforderliche Sekunden", "secondes requises";
        FieldCounted: "counted seconds", "gezählte Sekunden", "secondes comptées";
        FieldHeld: "held seconds", "angehaltene Sekunden", "secondes suspendues";
        FieldUnobserved: "unobserved seconds", "Sekunden ohne Messwerte", "secondes sans mesure";
        FieldColdest: "coldest temperature", "tiefste Temperatur", "température la plus basse";
        FieldUncertainty: "uncertainty", "Unsicherheit", "incertitude";
        FieldLongestGap: "longest gap", "längste Lücke", "plus longue lacune";
        FieldClockPpm: "clock allowance", "Abzug für Uhrabweichung", "marge pour l'horloge";
        FieldSettle: "time for the probe to settle", "Einlaufzeit des Fühlers", "temps de stabilisation de la sonde";
        FieldOutsideAtSeating: "reading outside the installation limits at the seating", "Messwert außerhalb der Einbaugrenzen beim Setzen", "mesure hors des limites de mise en œuvre lors de la mise en place";
        FieldEnd: "whether it was torqued", "ob angezogen wurde", "s'il a été serré";
        FieldTorqueLeast: "least torque", "kleinstes Drehmoment", "couple minimal";
        FieldTorqueOver: "applied torque", "aufgebrachtes Drehmoment", "couple appliqué";
        FieldTorqueSpare: "greatest torque", "größtes Drehmoment", "couple maximal";

        FixingNumber: "fixing {number}", "Befestigung {number}", "scellement {number}";
        Logger: "logger {device}", "Logger {device}", "enregistreur {device}";
        Source: "{source}, taken in {time}", "{source}, aufgenommen {time}", "{source}, versé au registre {time}";
        TypedIn: "typed in", "eingetippt", "saisi";
        LoggerClock: "{seconds} s on the logger's clock", "{seconds} s der Uhr des Loggers", "{seconds} s à l'horloge de l'enregistreur";
    }
}
