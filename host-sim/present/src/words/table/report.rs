//! The hand-over record: what stands on the page of one fixing or of a job.

use crate::words::phrase::phrases;

phrases! {
    /// Headings, labels and sentences of the hand-over record.
    ReportPhrase {
        Title: "Hand-over record", "Übergabeprotokoll", "Procès-verbal de remise";
        TitleOf: "Hand-over record: {of}", "Übergabeprotokoll: {of}", "Procès-verbal de remise : {of}";
        Made: "Made", "Erstellt", "Établi";
        AsOf: "The log tells what was recorded up to {at}. What happened after that is not in it.",
            "Das Protokoll sagt, was bis {at} aufgezeichnet wurde. Was danach geschah, steht nicht darin.",
            "Le journal dit ce qui a été enregistré jusqu'à {at}. Ce qui s'est passé ensuite n'y figure pas.";
        Fixing: "Fixing", "Befestigung", "Scellement";
        Group: "Group", "Gruppe", "Groupe";
        Status: "Status", "Stand", "État";
        Overview: "Overview", "Übersicht", "Vue d'ensemble";
        DoNotLoad: "Do not load these", "Diese nicht belasten", "Ne pas charger ceux-ci";
        DoNotLoadNote: "The next trade loads none of these, whatever stands further down. The engineer decides what becomes of them.",
            "Diese belastet kein nächstes Gewerk, was auch weiter unten steht. Was daraus wird, entscheidet der Ingenieur.",
            "Aucun corps d'état ne les charge, quoi qu'il soit écrit plus bas. L'ingénieur décide de la suite.";
        HeadTestFailed: "DO NOT LOAD: PROOF TEST FAILED", "NICHT BELASTEN: PROBEBELASTUNG NICHT BESTANDEN", "NE PAS CHARGER : ESSAI ÉCHOUÉ";
        HeadLoadedEarly: "DO NOT LOAD: LOADED BEFORE IT WAS CURED", "NICHT BELASTEN: VOR DER AUSHÄRTUNG BELASTET", "NE PAS CHARGER : CHARGÉ AVANT D'ÊTRE DURCI";
        HeadAgainstJob: "DO NOT LOAD: LOG AND JOB FILE CONTRADICT EACH OTHER", "NICHT BELASTEN: PROTOKOLL UND AUFTRAGSDATEI WIDERSPRECHEN SICH", "NE PAS CHARGER : JOURNAL ET FICHIER DE CHANTIER SE CONTREDISENT";
        WhyTestFailed: "a proof test of it failed ({at}, {tester})", "eine Probebelastung hat sie nicht bestanden ({at}, {tester})", "un essai de traction de contrôle a échoué ({at}, {tester})";
        WhyLoadedEarly: "it was loaded at {at}, before it was cured", "sie wurde belastet, bevor sie ausgehärtet war ({at})", "il a été chargé avant d'être durci ({at})";
        WhyOtherResin: "its logger was loaded with another resin than the one that the job file names", "ihr Logger wurde mit einem anderen Mörtel geladen als dem, den die Auftragsdatei nennt", "son enregistreur a été chargé avec une autre résine que celle que nomme le fichier de chantier";
        WhyOtherJobFile: "its logger was loaded from another job file or version of it, {hash}", "ihr Logger wurde mit einer anderen Auftragsdatei oder Fassung davon geladen, {hash}", "son enregistreur a été chargé d'un autre fichier de chantier ou d'une autre version, {hash}";
        WhyLoadedOtherwise: "its logger was loaded otherwise than the job file says ({what})", "ihr Logger wurde anders geladen, als die Auftragsdatei sagt ({what})", "son enregistreur a été chargé autrement que ne le dit le fichier de chantier ({what})";
        WhyNotInJob: "the job file knows no fixing of this name", "die Auftragsdatei kennt keine Befestigung dieses Namens", "le fichier de chantier ne connaît aucun scellement de ce nom";
        NoFixing: "There is no fixing in it.", "Es ist keine Befestigung darin.", "Il n'y a aucun scellement dedans.";
        Findings: "What is amiss with the log", "Was am Protokoll nicht stimmt", "Ce qui ne va pas dans le journal";
        NotSaid: "not said", "nicht angegeben", "non indiqué";
        NoneRecorded: "none recorded", "keine aufgezeichnet", "aucun enregistré";

        Proof: "Proof of the release", "Nachweis der Freigabe", "Preuve du bon de mise en charge";
        Proved: "proved: {why}", "nachgewiesen: {why}", "prouvé : {why}";
        NotProved: "NOT PROVED: {why}", "NICHT NACHGEWIESEN: {why}", "NON PROUVÉ : {why}";
        NoRelease: "the log holds no signed release of it", "das Protokoll enthält keine signierte Freigabe von ihr", "le journal n'en contient aucun bon de mise en charge signé";
        NoKeys: "no keys were given: the release was not held against any", "es wurden keine Schlüssel angegeben: die Freigabe wurde mit keinem geprüft", "aucune clé n'a été donnée : le bon de mise en charge n'a été vérifié avec aucune";
        ShortProved: "proved", "nachgewiesen", "prouvé";
        ShortNotProved: "NOT PROVED", "NICHT NACHGEWIESEN", "NON PROUVÉ";
        ShortNoKeys: "not held against keys", "mit keinem Schlüssel geprüft", "non vérifié, aucune clé fournie";
        Untrusted: "The log cannot be trusted: {why}.", "Dem Protokoll ist nicht zu trauen: {why}.", "Le journal n'est pas digne de confiance : {why}.";

        Specification: "Specification: {group}", "Vorgaben: {group}", "Spécification : {group}";
        SpecificationNote: "From the job file, as the engineer's specification was copied into it. It designs nothing.",
            "Aus der Auftragsdatei, wie die Vorgaben des Ingenieurs hineinkopiert wurden. Sie bemisst nichts.",
            "Du fichier de chantier, où la spécification de l'ingénieur a été recopiée. Il ne dimensionne rien.";
        NoJobFile: "No job file was given: what was specified beyond hole condition, torque and rule is not on this page.",
            "Es wurde keine Auftragsdatei angegeben: Was über Bohrlochzustand, Drehmoment und Regel hinaus vorgegeben war, steht nicht auf dieser Seite.",
            "Aucun fichier de chantier n'a été donné : ce qui était spécifié au-delà de l'état du trou, du couple et de la règle n'est pas sur cette page.";
        OtherJobFile: "The logger was not loaded with this job file, by its hash. The specification is put beside the fixing by name only.",
            "Der Logger wurde nach der Prüfsumme nicht mit dieser Auftragsdatei geladen. Die Vorgaben sind der Befestigung nur nach dem Namen zugeordnet.",
            "D'après son empreinte, l'enregistreur n'a pas été chargé avec ce fichier de chantier. La spécification n'est rapprochée du scellement que par le nom.";
        Element: "Element", "Element", "Élément";
        Drilled: "Hole", "Bohrloch", "Trou";
        DrilledAs: "{diameter} mm wide, {depth} mm deep, drilled {direction}, {condition}", "Ø {diameter} mm, {depth} mm tief, {direction} gebohrt, {condition}", "Ø {diameter} mm, profondeur {depth} mm, percé {direction}, {condition}";
        Embedment: "Embedment", "Verankerungstiefe", "Profondeur d'ancrage";
        Edge: "Edge distance", "Randabstand", "Distance au bord";
        Spacing: "Spacing", "Achsabstand", "Entraxe";
        Substrate: "Substrate", "Verankerungsgrund", "Support";
        CastBy: "cast by {day}", "betoniert spätestens am {day}", "coulé au plus tard le {day}";
        LeastAge: "at least {days} days old when set", "mindestens {days} Tage alt beim Setzen", "âgé d'au moins {days} jours à la mise en place";
        LoadOf: "Load", "Belastung", "Charge";
        Sustained: "SUSTAINED TENSION", "STÄNDIGE ZUGLAST", "TRACTION PERMANENTE";
        OtherLoad: "no sustained tension stated", "keine ständige Zuglast angegeben", "pas de traction permanente indiquée";
        Torque: "Installation torque", "Montagedrehmoment", "Couple de serrage";
        TorqueFromTo: "{least} to {greatest}", "{least} bis {greatest}", "{least} à {greatest}";
        NotTorqued: "not torqued", "wird nicht angezogen", "pas de serrage";
        Cleaning: "Cleaning", "Reinigung", "Nettoyage";
        HandPump: "blown out with a hand pump", "ausgeblasen mit Handpumpe", "soufflé à la pompe manuelle";
        CompressedAir: "blown out with compressed air", "ausgeblasen mit Druckluft", "soufflé à l'air comprimé";
        CleaningNote: "prescribed; the log does not know whether it was done", "vorgeschrieben; ob es gemacht wurde, weiß das Protokoll nicht", "prescrit ; le journal ignore si cela a été fait";
        Rule: "Rule of the cure", "Regel der Aushärtung", "Règle du durcissement";
        People: "Certified installer; inspector", "Zertifizierter Monteur; Prüfer", "Poseur certifié ; contrôleur";
        Planned: "Planned", "Geplant", "Prévu";
        BatchAsked: "Batch named", "Genannte Charge", "Lot nommé";
        BatchGood: "{batch}, good through {day}", "{batch}, verwendbar bis einschließlich {day}", "{batch}, utilisable jusqu'au {day} inclus";

        Resin: "Resin: {name}", "Mörtel: {name}", "Résine : {name}";
        Schedule: "Schedule", "Zeiten", "Barème";
        BandFrom: "Band from", "Bereich ab", "Tranche dès";
        Counts: "1/256 °C", "1/256 °C", "1/256 °C";
        Working: "Working time", "Verarbeitungszeit", "Temps de manipulation";
        CureDry: "Cure time, dry hole", "Aushärtezeit, trockenes Bohrloch", "Temps de durcissement, trou sec";
        InSeconds: "in seconds", "in Sekunden", "en secondes";
        Limits: "Limits", "Grenzen", "Limites";
        InstallLimits: "Substrate, to inject", "Verankerungsgrund, zum Injizieren", "Support, pour injecter";
        CureLimits: "Substrate, to cure: held outside", "Verankerungsgrund, zum Aushärten: außerhalb angehalten", "Support, pour durcir : suspendu au-dehors";
        UsableEdge: "Coldest usable edge: held below", "Kälteste nutzbare Grenze: darunter angehalten", "Limite utile la plus froide : suspendu au-dessous";
        RejectBelow: "Rejected below", "Gesperrt unter", "Rejeté au-dessous de";
        RejectAbove: "Rejected above", "Gesperrt über", "Rejeté au-dessus de";
        LongestHold: "Longest hold (held and unobserved)", "Längstes Anhalten (angehalten und ohne Messwerte)", "Suspension la plus longue (suspendu et sans mesure)";
        CartridgeLimits: "Cartridge", "Kartusche", "Cartouche";
        HolesAllowed: "Holes allowed", "Erlaubte Bohrlöcher", "Trous permis";
        WetFactor: "Wet factor (wet and flooded holes)", "Nassfaktor (nasse und wassergefüllte Bohrlöcher)", "Facteur humide (trous humides et inondés)";
        AccrualAllowed: "Accrual rule permitted", "Summenregel erlaubt", "Règle du cumul permise";
        Yes: "yes", "ja", "oui";
        No: "no", "nein", "non";
        FromTo: "{from} to {to}", "{from} bis {to}", "{from} à {to}";
        FileHash: "SHA-256 of the file", "SHA-256 der Datei", "SHA-256 du fichier";

        Start: "Checks at the start", "Prüfungen beim Beginn", "Contrôles au début";
        Attempt: "Injection at {at}: {outcome}", "Injektion, {at}: {outcome}", "Injection, {at} : {outcome}";
        Begun: "begun", "begonnen", "commencée";
        RefusedStart: "REFUSED", "NICHT ZUGELASSEN", "REFUSÉE";
        NothingInjected: "No injection is recorded.", "Es ist keine Injektion aufgezeichnet.", "Aucune injection n'est enregistrée.";
        Check: "Check", "Prüfung", "Contrôle";
        Found: "Found", "Gefunden", "Constaté";
        Asked: "Asked for", "Verlangt", "Exigé";
        Result: "Result", "Ergebnis", "Résultat";
        Within: "within", "eingehalten", "respecté";
        Outside: "NOT MET", "NICHT EINGEHALTEN", "NON RESPECTÉ";
        NotJudged: "not judged", "nicht beurteilt", "non jugé";
        ResinDate: "Resin in date", "Mörtel im Datum", "Date de la résine";
        GoodUntil: "before {at}", "vor {at}", "avant {at}";
        FreshReading: "A reading that is recent enough", "Ein Messwert, der neu genug ist", "Une mesure assez récente";
        ReadingAt: "{degrees} at {at}", "{degrees}, {at}", "{degrees}, {at}";
        NotOlder: "accepted, not older than {gap}", "angenommen, nicht älter als {gap}", "acceptée, pas plus ancienne que {gap}";
        SettledProbe: "The probe has settled", "Der Fühler hat sich angeglichen", "La sonde est stabilisée";
        ReadingBefore: "{now}; before that {before}", "{now}; davor {before}", "{now} ; avant cela {before}";
        SettledIs: "nearly the same at least {settle} before: at most {rate} (256/10) a minute and {off} (32) off", "fast gleich mindestens {settle} davor: höchstens {rate} (256/10) je Minute und {off} (32) Abstand", "presque la même au moins {settle} avant : au plus {rate} (256/10) par minute et {off} (32) d'écart";
        ColdEnd: "Substrate, uncertainty taken off", "Verankerungsgrund, Unsicherheit abgezogen", "Support, incertitude déduite";
        WarmEnd: "Substrate, uncertainty put on", "Verankerungsgrund, Unsicherheit aufgeschlagen", "Support, incertitude ajoutée";
        AtLeast: "at least {degrees}", "mindestens {degrees}", "au moins {degrees}";
        AtMost: "at most {degrees}", "höchstens {degrees}", "au plus {degrees}";
        InHole: "At the bottom of the hole", "Am Grund des Bohrlochs", "Au fond du trou";
        NotTaken: "not taken", "nicht gemessen", "non prise";
        CartridgeTemperature: "Cartridge, declared", "Kartusche, angegeben", "Cartouche, déclarée";
        HoleDeclared: "Hole, declared", "Bohrloch, angegeben", "Trou, déclaré";
        ShownRounded: "Temperatures are shown to 0.01; in brackets the exact count of 1/256 °C, by which the engine decides.",
            "Temperaturen sind auf 0,01 gezeigt; in Klammern die genaue Zahl von 1/256 °C, nach der gerechnet wird.",
            "Les températures sont montrées à 0,01 près ; entre parenthèses le nombre exact de 1/256 °C, d'après lequel le calcul décide.";

        Batch: "Resin batch", "Charge des Mörtels", "Lot de résine";
        BatchBefore: "{batch}, to be used before {at}", "{batch}, zu verwenden vor {at}", "{batch}, à utiliser avant {at}";
        BatchNoDate: "{batch}, no date recorded", "{batch}, kein Datum aufgezeichnet", "{batch}, aucune date enregistrée";

        Temperatures: "Temperatures", "Temperaturen", "Températures";
        DrawingOf: "Temperatures from {from} to {to}: lowest {least}, highest {greatest}. Injection, seating, cure and what did not count are marked.",
            "Temperaturen von {from} bis {to}: tiefste {least}, höchste {greatest}. Injektion, Setzen, Aushärtung und was nicht zählte sind eingezeichnet.",
            "Températures de {from} à {to} : la plus basse {least}, la plus haute {greatest}. Injection, mise en place, durcissement et ce qui n'a pas compté sont marqués.";
        DrawCurve: "temperature, and below it with the uncertainty taken off", "Temperatur, und darunter mit abgezogener Unsicherheit", "température, et au-dessous avec l'incertitude déduite";
        DrawHeld: "held: does not count", "angehalten: zählt nicht", "suspendu : ne compte pas";
        DrawUnobserved: "unobserved: does not count", "ohne Messwerte: zählt nicht", "sans mesure : ne compte pas";
        DrawBand: "band from {edge}", "Bereich ab {edge}", "tranche dès {edge}";
        DrawHeldBelow: "held below", "darunter angehalten", "suspendu au-dessous";
        DrawHeldAbove: "held above", "darüber angehalten", "suspendu au-dessus";
        NothingRead: "No reading was accepted.", "Es wurde kein Messwert angenommen.", "Aucune mesure n'a été acceptée.";

        Instants: "Instants", "Zeitpunkte", "Instants";
        What: "What", "Was", "Quoi";
        When: "When (RFC 3339)", "Wann (RFC 3339)", "Quand (RFC 3339)";
        Second: "Second of the logger's clock", "Sekunde der Logger-Uhr", "Seconde de l'horloge de l'enregistreur";
        LoggerSecond: "second {at} of the logger's clock", "Sekunde {at} der Logger-Uhr", "seconde {at} de l'horloge de l'enregistreur";
        WallUnknown: "wall clock not set", "Uhrzeit nicht gestellt", "heure non réglée";
        Injected: "injected", "injiziert", "injecté";
        SeatBy: "to be seated by, as judged last before the seating", "spätestens zu setzen, wie zuletzt vor dem Setzen beurteilt", "à mettre en place au plus tard, d'après le dernier jugement avant la mise en place";
        Seated: "seated", "gesetzt", "mis en place";
        Cured: "cured", "ausgehärtet", "durci";
        CuredSince: "Cured", "Ausgehärtet", "Durci";
        CuredForecast: "cured at the earliest, a forecast", "frühestens ausgehärtet, eine Vorhersage", "durci au plus tôt, une prévision";
        Torqued: "torqued", "angezogen", "serré";
        Released: "released", "freigegeben", "bon pour mise en charge";
        Rejected: "rejected", "gesperrt", "rejeté";
        LastRecorded: "last thing recorded", "zuletzt aufgezeichnet", "dernier enregistrement";
        ClockCorrected: "The wall clock was put on by {seconds} s in second {at}. Cure time is counted by the logger's clock and not moved by it.",
            "Die Uhrzeit wurde in Sekunde {at} um {seconds} s verstellt. Die Aushärtung zählt nach der Logger-Uhr und ändert sich dadurch nicht.",
            "L'heure a été décalée de {seconds} s à la seconde {at}. Le durcissement est compté par l'horloge de l'enregistreur et n'en est pas déplacé.";

        Deeds: "What was done", "Was getan wurde", "Ce qui a été fait";
        Action: "Action", "Handlung", "Action";
        CameOfIt: "What came of it", "Was daraus wurde", "Ce qui en est résulté";
        NoDeeds: "Nothing is recorded.", "Es ist nichts aufgezeichnet.", "Rien n'est enregistré.";
        NoEffectBecause: "no effect: {why}", "ohne Wirkung: {why}", "sans effet : {why}";
        Decision: "Engineer's decision", "Entscheidung des Ingenieurs", "Décision de l'ingénieur";

        Bands: "Time in bands since the seating", "Zeit in den Bereichen seit dem Setzen", "Temps par tranche depuis la mise en place";
        RequiredIn: "Required if all in it", "Erforderlich, wenn alles darin", "Requis si tout y était";
        CountedIn: "Counted", "Gezählt", "Compté";
        Share: "Share of required", "Anteil am Erforderlichen", "Part du requis";
        Sum: "Sum", "Summe", "Somme";
        ShareNote: "Share: counted seconds less the clock allowance, of a whole cure in that band, rounded down. By the coldest-band rule the band of the coldest reading decides, whatever the shares add up to; by the accrual rule their sum does.",
            "Anteil: gezählte Sekunden nach Abzug für Uhrabweichung, von einer ganzen Aushärtung in diesem Bereich, abgerundet. Nach der Regel des kältesten Bereichs entscheidet der Bereich des kältesten Messwerts, was auch immer die Anteile ergeben; nach der Summenregel ihre Summe.",
            "Part : secondes comptées moins la marge pour l'horloge, d'un durcissement entier dans cette tranche, arrondie au-dessous. Par la règle de la tranche la plus froide, c'est la tranche de la mesure la plus froide qui décide, quelle que soit la somme des parts ; par la règle du cumul, c'est leur somme.";
        NotCounted: "Time that did not count", "Zeit, die nicht zählte", "Temps qui n'a pas compté";
        From: "From, and second of the logger's clock", "Von, und Sekunde der Logger-Uhr", "De, et seconde de l'horloge de l'enregistreur";
        To: "To", "Bis", "À";
        Seconds: "Seconds", "Sekunden", "Secondes";
        Kind: "Kind", "Art", "Genre";
        Why: "Why", "Warum", "Pourquoi";
        AllCounted: "Every second since the seating counted.", "Jede Sekunde seit dem Setzen zählte.", "Chaque seconde depuis la mise en place a compté.";
        NotListed: "not listed one by one: {held} s held, {unobserved} s unobserved", "nicht einzeln aufgeführt: {held} s angehalten, {unobserved} s ohne Messwerte", "non listées une à une : {held} s suspendues, {unobserved} s sans mesure";
        Losses: "Readings that could not be recorded: {number}, from {from} to {to}", "Messwerte, die nicht aufgezeichnet werden konnten: {number}, von {from} bis {to}", "Mesures qui n'ont pas pu être enregistrées : {number}, de {from} à {to}";
        RestartKnown: "The logger came up again after {at}; its clock had gone on.", "Der Logger kam nach {at} wieder hoch; seine Uhr war weitergelaufen.", "L'enregistreur a redémarré après {at} ; son horloge avait continué.";
        RestartUnknown: "The logger came up again after {at}; how long it was dark is not known.", "Der Logger kam nach {at} wieder hoch; wie lange er dunkel war, ist nicht bekannt.", "L'enregistreur a redémarré après {at} ; on ne sait pas combien de temps il est resté éteint.";
        NotSeated: "It was not seated: no cure was counted.", "Sie wurde nicht gesetzt: es wurde keine Aushärtung gezählt.", "Il n'a pas été mis en place : aucun durcissement n'a été compté.";

        Reckoning: "The reckoning, line by line", "Die Rechnung, Zeile für Zeile", "Le calcul, ligne par ligne";
        ReckonColdest: "Coldest reading from the injection on, up to the one that closes the last interval: {degrees} ({count}) at {at}. Less the uncertainty of {uncertainty} ({u}): {low} ({low_count}). That lies in the band from {edge} ({edge_count}): {cure} s in a dry hole.",
            "Kältester Messwert von der Injektion an, bis zu dem, der den letzten Zeitraum schließt: {degrees} ({count}), {at}. Abzüglich der Unsicherheit von {uncertainty} ({u}): {low} ({low_count}). Das liegt im Bereich ab {edge} ({edge_count}): {cure} s in einem trockenen Bohrloch.",
            "Mesure la plus froide depuis l'injection, jusqu'à celle qui clôt le dernier intervalle : {degrees} ({count}), {at}. Moins l'incertitude de {uncertainty} ({u}) : {low} ({low_count}). Cela se trouve dans la tranche dès {edge} ({edge_count}) : {cure} s dans un trou sec.";
        ReckonColdestBelow: "Coldest reading from the injection on, up to the one that closes the last interval: {degrees} ({count}) at {at}. Less the uncertainty of {uncertainty} ({u}): {low} ({low_count}). That is below every edge, where the first band counts, from {edge} ({edge_count}): {cure} s in a dry hole.",
            "Kältester Messwert von der Injektion an, bis zu dem, der den letzten Zeitraum schließt: {degrees} ({count}), {at}. Abzüglich der Unsicherheit von {uncertainty} ({u}): {low} ({low_count}). Das liegt unter jeder Grenze; dort gilt der erste Bereich, ab {edge} ({edge_count}): {cure} s in einem trockenen Bohrloch.",
            "Mesure la plus froide depuis l'injection, jusqu'à celle qui clôt le dernier intervalle : {degrees} ({count}), {at}. Moins l'incertitude de {uncertainty} ({u}) : {low} ({low_count}). C'est au-dessous de toutes les limites ; la première tranche vaut alors, dès {edge} ({edge_count}) : {cure} s dans un trou sec.";
        InHoleAt: "the bottom of the hole, {at}", "am Grund des Bohrlochs, {at}", "au fond du trou, {at}";
        ReckonRequired: "Hole {hole}: factor {factor}. Required: {factor} × {cure} s = {required} s.", "Bohrloch {hole}: Faktor {factor}. Erforderlich: {factor} × {cure} s = {required} s.", "Trou {hole} : facteur {factor}. Requis : {factor} × {cure} s = {required} s.";
        ReckonServed: "Clock allowance {ppm} ppm: {counted} × {ppm} / 1000000, rounded up, is {lost} s. Served: {counted} - {lost} = {served} s.",
            "Abzug für Uhrabweichung {ppm} ppm: {counted} × {ppm} / 1000000, aufgerundet, sind {lost} s. Angerechnet: {counted} - {lost} = {served} s.",
            "Marge pour l'horloge {ppm} ppm : {counted} × {ppm} / 1000000, arrondi au-dessus, font {lost} s. Acquis : {counted} - {lost} = {served} s.";
        ReckonEnough: "{served} s served are not less than {required} s required.", "{served} s angerechnet sind nicht weniger als {required} s erforderlich.", "{served} s acquises ne sont pas moins que {required} s requises.";
        ReckonShort: "{served} s served are less than {required} s required.", "{served} s angerechnet sind weniger als {required} s erforderlich.", "{served} s acquises sont moins que {required} s requises.";
        ReckonSum: "Sum over the bands, of seconds that count by (1000000 - {ppm}) / 1000000: {terms}. That is {percent} % of a whole cure.",
            "Summe über die Bereiche, von Sekunden, die mit (1000000 - {ppm}) / 1000000 zählen: {terms}. Das sind {percent} % einer ganzen Aushärtung.",
            "Somme sur les tranches, de secondes qui comptent pour (1000000 - {ppm}) / 1000000 : {terms}. Cela fait {percent} % d'un durcissement entier.";
        ReckonElapsed: "Since the seating: {counted} s counted + {held} s held + {unobserved} s unobserved = {elapsed} s.", "Seit dem Setzen: {counted} s gezählt + {held} s angehalten + {unobserved} s ohne Messwerte = {elapsed} s.", "Depuis la mise en place : {counted} s comptées + {held} s suspendues + {unobserved} s sans mesure = {elapsed} s.";
        ReckonCured: "Seated in second {seated}; {seated} + {elapsed} = {cured}: cured at {at}. The last of these seconds counted in the band from {edge}.",
            "Gesetzt in Sekunde {seated}; {seated} + {elapsed} = {cured}: ausgehärtet, {at}. Die letzte dieser Sekunden zählte im Bereich ab {edge}.",
            "Mis en place à la seconde {seated} ; {seated} + {elapsed} = {cured} : durci, {at}. La dernière de ces secondes a compté dans la tranche dès {edge}.";
        ReckonFirst: "One counted second less would not have been enough: it is the first such second.", "Eine gezählte Sekunde weniger hätte nicht gereicht: es ist die erste solche Sekunde.", "Une seconde comptée de moins n'aurait pas suffi : c'est la première seconde de ce genre.";
        ReckonNotCured: "It is not cured.", "Sie ist nicht ausgehärtet.", "Il n'est pas durci.";
        ReckonReleased: "Torqued to {torque}, within {least} to {greatest}, in second {second}, not before the cure: released at {at}.",
            "Mit {torque} angezogen, innerhalb von {least} bis {greatest}, in Sekunde {second}, nicht vor der Aushärtung: freigegeben, {at}.",
            "Serré à {torque}, entre {least} et {greatest}, à la seconde {second}, pas avant le durcissement : bon pour mise en charge, {at}.";

        ProofTests: "Proof tests", "Probebelastungen", "Essais de traction de contrôle";
        NoTestsAsked: "The job file asks for no proof tests.", "Die Auftragsdatei verlangt keine Probebelastungen.", "Le fichier de chantier ne demande aucun essai.";
        SampleAsked: "{sample} of {number} at {load} kN", "{sample} von {number} mit {load} kN", "{sample} sur {number} à {load} kN";
        HeldFor: "held for {hold}", "gehalten für {hold}", "maintenu {hold}";
        DisplacementMost: "at most {most} mm of displacement", "höchstens {most} mm Verschiebung", "au plus {most} mm de déplacement";
        AfterOne: "After one failure", "Nach einem Versagen", "Après une défaillance";
        AfterMore: "After more failures", "Nach mehreren Versagen", "Après plusieurs défaillances";
        InAll: "{number} tested in all", "insgesamt {number} zu prüfen", "{number} essayés en tout";
        EngineerDecides: "the engineer decides", "der Ingenieur entscheidet", "l'ingénieur décide";
        NoTestsGiven: "No results of proof tests were handed in.", "Es wurden keine Ergebnisse von Probebelastungen abgegeben.", "Aucun résultat d'essai n'a été remis.";

        NotTested: "No test of this fixing was handed in.", "Für diese Befestigung wurde keine Probebelastung abgegeben.", "Aucun essai de ce scellement n'a été remis.";
        HeldOf: "Held", "Gehalten", "Maintenu";
        Displacement: "Displacement", "Verschiebung", "Déplacement";
        SaidByTester: "Said by the tester", "Angabe des Prüfenden", "Dit par l'essayeur";
        CountsAs: "Counts as", "Gilt als", "Compte comme";
        TestPassed: "passed", "bestanden", "réussi";
        TestFailed: "FAILED", "VERSAGT", "ÉCHOUÉ";
        FailedBeyond: "FAILED: displaced by more than what passes, though said to be passed", "VERSAGT: weiter verschoben, als bestehen darf, obwohl als bestanden angegeben", "ÉCHOUÉ : déplacement au-delà de l'admis, bien que dit réussi";
        CountsNot: "does not count: {why}", "zählt nicht: {why}", "ne compte pas : {why}";
        CureUnknown: "no log on this page tells of its cure", "kein Protokoll auf dieser Seite sagt etwas von ihrer Aushärtung", "aucun journal de cette page ne parle de son durcissement";
        BeforeCure: "LOADED BEFORE IT WAS CURED: tell the engineer", "BELASTET, BEVOR SIE AUSGEHÄRTET WAR: dem Ingenieur sagen", "CHARGÉ AVANT D'ÊTRE DURCI : le dire à l'ingénieur";
        LoadTooLow: "the load was lower than asked for", "die Last war kleiner als verlangt", "la charge était plus faible qu'exigé";
        HoldTooShort: "the load was held for a shorter time than asked for", "die Last wurde kürzer gehalten als verlangt", "la charge a été maintenue moins longtemps qu'exigé";
        HoldNotSaid: "it is not said how long the load was held", "es ist nicht angegeben, wie lange die Last gehalten wurde", "il n'est pas dit combien de temps la charge a été maintenue";
        DisplacementNotSaid: "the displacement is not said", "die Verschiebung ist nicht angegeben", "le déplacement n'est pas dit";
        MoreTests: "{tested} tested, {required} asked for, {failed} failed: {more} MORE TO BE TESTED.", "{tested} geprüft, {required} verlangt, {failed} versagt: NOCH {more} ZU PRÜFEN.", "{tested} essayés, {required} exigés, {failed} échoués : ENCORE {more} À ESSAYER.";
        AllPassed: "{tested} tested, {required} asked for, none failed.", "{tested} geprüft, {required} verlangt, keine hat versagt.", "{tested} essayés, {required} exigés, aucun n'a échoué.";
        SomeFailed: "{tested} tested, {required} asked for, {failed} FAILED: the engineer decides.", "{tested} geprüft, {required} verlangt, {failed} VERSAGT: der Ingenieur entscheidet.", "{tested} essayés, {required} exigés, {failed} ÉCHOUÉS : l'ingénieur décide.";
        FailedDecides: "{tested} tested, {failed} FAILED: the job file leaves what follows to the engineer.", "{tested} geprüft, {failed} VERSAGT: Was folgt, überlässt die Auftragsdatei dem Ingenieur.", "{tested} essayés, {failed} ÉCHOUÉS : le fichier de chantier laisse la suite à l'ingénieur.";

        NoRecord: "the register holds nothing of it", "das Register enthält nichts davon", "le registre n'en contient rien";
        CodeAlone: "known by its release code of {at} alone, its memory is still to be read out; {proof}", "nur durch den Freigabecode bekannt ({at}), der Speicher ihres Loggers ist noch auszulesen; {proof}", "connu par son seul code de bon de mise en charge ({at}), sa mémoire reste à relever ; {proof}";
        Contradicted: "DO NOT LOAD, CONTRADICTED: {why}", "NICHT BELASTEN, WIDERSPRUCH: {why}", "NE PAS CHARGER, CONTREDIT : {why}";

        Log: "The log", "Das Protokoll", "Le journal";
        Device: "Logger", "Logger", "Enregistreur";
        DeviceIs: "{device}, firmware {version}, session from page {page}", "{device}, Firmware {version}, Sitzung ab Seite {page}", "{device}, micrologiciel {version}, session dès la page {page}";
        Every: "A reading every", "Messabstand", "Intervalle de mesure";
        Uncertainty: "Uncertainty of a reading", "Unsicherheit eines Messwerts", "Incertitude d'une mesure";
        LongestGap: "Longest gap between two readings", "Längste Lücke zwischen zwei Messwerten", "Plus longue lacune entre deux mesures";
        ClockAllowance: "Clock allowance", "Abzug für Uhrabweichung", "Marge pour l'horloge";
        Settle: "Settling of the probe before a start", "Einlaufzeit des Fühlers vor einem Beginn", "Stabilisation de la sonde avant un début";
        LowestSupply: "Lowest supply of the probe", "Niedrigste Versorgung des Fühlers", "Alimentation la plus basse de la sonde";
        SupplyAt: "{volts} V at {at}", "{volts} V, {at}", "{volts} V, {at}";
        NotMeasured: "could not be measured at {at}", "ließ sich nicht messen ({at})", "n'a pas pu être mesurée ({at})";
        ReadingsOf: "Readings", "Messwerte", "Mesures";
        ReadingsAre: "{accepted} accepted, {refused} refused, {missing} missing, {lost} not recorded", "{accepted} angenommen, {refused} abgelehnt, {missing} fehlend, {lost} nicht aufgezeichnet", "{accepted} acceptées, {refused} refusées, {missing} manquantes, {lost} non enregistrées";
        LaxerThan: "LAXER THAN THE DEFAULT: {which}. Everything on this page rests on it.", "WENIGER STRENG ALS DIE STANDARDEINSTELLUNG: {which}. Alles auf dieser Seite beruht darauf.", "MOINS SÉVÈRE QUE LE RÉGLAGE PAR DÉFAUT : {which}. Tout ce qui est sur cette page repose là-dessus.";
        JobHash: "SHA-256 of the job file it was loaded with", "SHA-256 der Auftragsdatei, mit der er geladen wurde", "SHA-256 du fichier de chantier chargé";
        ResinHash: "SHA-256 of the resin file it was loaded with", "SHA-256 der Mörteldatei, mit der er geladen wurde", "SHA-256 du fichier de résine chargé";

        Cautions: "Cautions", "Hinweise", "Mises en garde";
        Signature: "For whoever hands over and takes over: name, date, signature", "Für Übergebende und Übernehmende: Name, Datum, Unterschrift", "Pour qui remet et qui reçoit : nom, date, signature";
    }
}
