//! The account of a replay: what was decided and when, served against required, what did not count.

use crate::words::phrase::phrases;

phrases! {
    /// Lines of the account, events, causes.
    AccountPhrase {
        DemoIntro: "A small harbour rebuilds its quay (invented): four studs of a bollard plate, set on a recorded winter day.",
            "Ein kleiner Hafen baut seinen Kai um (erfunden): vier Gewindestangen einer Pollerplatte, gesetzt an einem aufgezeichneten Wintertag.",
            "Un petit port refait son quai (inventé) : quatre tiges d'une platine de bollard, mises en place un jour d'hiver enregistré.";
        DemoPlot: "The plot is in {file}.", "Die Zeichnung steht in {file}.", "Le tracé est dans {file}.";
        Resin: "resin", "Mörtel", "résine";
        Hole: "hole", "Bohrloch", "trou";
        NoEffect: "no effect", "ohne Wirkung", "sans effet";
        NoEffectOf: "{action} at {at}: {why}", "{action}, {at}: {why}", "{action}, {at} : {why}";
        Cartridge: "cartridge", "Kartusche", "cartouche";
        Undeclared: "temperature undeclared", "Temperatur nicht angegeben", "température non déclarée";
        Known: "known with the reading at {at}", "bekannt mit dem Messwert vom {at}", "connu avec la mesure du {at}";
        StartRefused: "start refused: {reasons}", "Injektion nicht zugelassen: {reasons}", "injection refusée : {reasons}";
        Rejected: "rejected: {reasons}", "gesperrt: {reasons}", "rejeté : {reasons}";
        Injected: "injected", "injiziert", "injecté";
        Seated: "seated within the working time; the cure is counted", "innerhalb der Verarbeitungszeit gesetzt; die Aushärtung wird gezählt", "mis en place dans le temps de manipulation ; le durcissement est compté";
        Stricter: "hole condition made stricter; it holds for all seconds since seating", "Zustand des Bohrlochs verschärft; er gilt für alle Sekunden seit dem Setzen", "état du trou rendu plus sévère ; il vaut pour toutes les secondes depuis la mise en place";
        Cured: "cured", "ausgehärtet", "durci";
        Withdrawn: "hole condition made stricter: no longer cured", "Zustand des Bohrlochs verschärft: nicht mehr ausgehärtet", "état du trou rendu plus sévère : n'est plus durci";
        CureMoved: "hole condition made stricter: cured at {at}, which replaces the cure before", "Zustand des Bohrlochs verschärft: ausgehärtet seit {at}, anstelle der Aushärtung davor", "état du trou rendu plus sévère : durci depuis {at}, ce qui remplace le durcissement précédent";
        TorqueNoted: "torqued to {torque}: noted, its stage stays as it was", "mit {torque} angezogen: vermerkt, am Stand ändert sich nichts", "serré à {torque} : noté, son état reste le même";
        Released: "torqued as specified: released", "wie vorgegeben angezogen: freigegeben", "serré comme spécifié : bon pour mise en charge";
        DecidedAccept: "the engineer's decision: accept as it is", "Entscheidung des Ingenieurs: wie ausgeführt annehmen", "décision de l'ingénieur : accepter en l'état";
        DecidedRemove: "the engineer's decision: remove", "Entscheidung des Ingenieurs: ausbauen", "décision de l'ingénieur : déposer";
        Required: "required", "erforderlich", "requis";
        Served: "served", "angerechnet", "acquis";
        AtCure: "at the cure", "bei der Aushärtung", "au durcissement";
        SoFar: "so far", "bisher", "jusqu'ici";
        Accrued: "accrued", "aufsummiert", "cumulé";
        BySum: "{percent} % by the sum over the bands", "{percent} % nach der Summe über die Bereiche", "{percent} % par la somme sur les tranches";
        Coldest: "coldest", "tiefste Temperatur", "température la plus basse";
        UncertaintyOff: "{degrees} (the probe's uncertainty taken off)", "{degrees} (die Unsicherheit des Fühlers abgezogen)", "{degrees} (l'incertitude de la sonde déduite)";
        Elapsed: "elapsed", "vergangen", "écoulé";
        ElapsedSum: "{elapsed} = {counted} counted + {held} held + {unobserved} unobserved", "{elapsed} = {counted} gezählt + {held} angehalten + {unobserved} ohne Messwerte", "{elapsed} = {counted} comptés + {held} suspendus + {unobserved} sans mesure";
        BandUp: "{edge} and up", "ab {edge}", "dès {edge}";
        Held: "held", "angehalten", "suspendu";
        Unobserved: "unobserved", "ohne Messwerte", "sans mesure";
        FromTo: "{from} to {to}: {why}", "{from} bis {to}: {why}", "{from} à {to} : {why}";
        MoreStretches: "and {number} such stretches more", "und noch {number} solche Abschnitte", "et encore {number} tronçons pareils";
        TooCold: "too cold", "zu kalt", "trop froid";
        TooWarm: "too warm", "zu warm", "trop chaud";
        LongGap: "readings further apart than the longest gap", "Messpause länger als zugelassen", "intervalle entre mesures trop long";
        Interrupted: "a reading was refused in between, or the logger restarted", "dazwischen wurde ein Messwert abgelehnt, oder der Logger startete neu", "une mesure a été refusée entre-temps, ou l'enregistreur a redémarré";
        Readings: "readings from {trace}: {accepted} accepted, {refused} refused, {missing} missing", "Messwerte aus {trace}: {accepted} angenommen, {refused} abgelehnt, {missing} fehlend", "mesures de {trace} : {accepted} acceptées, {refused} refusées, {missing} manquantes";
        RefusedOf: "{number} refused: {cause}", "{number} abgelehnt: {cause}", "{number} refusées : {cause}";
        Stuck: "warning: the same value from {since} to {at}: is the probe still clipped on?", "Warnung: derselbe Wert von {since} bis {at}: ist der Fühler noch angeklemmt?", "attention : la même valeur du {since} au {at} : la sonde est-elle encore fixée ?";
        Settings: "settings: uncertainty {uncertainty}, longest gap {gap}, clock allowance {ppm} ppm, settle {settle}", "Einstellungen: Unsicherheit {uncertainty}, längste Lücke {gap}, Abzug für Uhrabweichung {ppm} ppm, Einlaufzeit des Fühlers {settle}", "réglages : incertitude {uncertainty}, plus longue lacune {gap}, marge pour l'horloge {ppm} ppm, temps de stabilisation de la sonde {settle}";
        Laxer: "LAXER THAN THE DEFAULT: {which}. Everything above rests on it.", "WENIGER STRENG ALS DIE STANDARDEINSTELLUNG: {which}. Alles oben beruht darauf.", "MOINS SÉVÈRE QUE LE RÉGLAGE PAR DÉFAUT : {which}. Tout ce qui précède repose là-dessus.";
        LaxUncertainty: "uncertainty", "Unsicherheit", "incertitude";
        LaxGap: "longest-gap", "längste Lücke", "plus longue lacune";
        LaxClock: "clock-ppm", "Abzug für Uhrabweichung", "marge pour l'horloge";
        LaxSettle: "settle", "Einlaufzeit des Fühlers", "temps de stabilisation de la sonde";

        ActInjection: "injection", "Injektion", "injection";
        ActCarriedOut: "report of a refused injection", "Meldung einer nicht zugelassenen Injektion", "signalement d'une injection refusée";
        ActSeating: "seating", "Setzen", "mise en place";
        ActHole: "change of the hole condition", "Änderung des Bohrlochzustands", "changement de l'état du trou";
        ActTorque: "torque", "Anziehen", "serrage";
        ActTorquedEarly: "report of an early torque", "Meldung eines zu frühen Anziehens", "signalement d'un serrage prématuré";
        Hands: "declared", "angegeben", "déclaré";
        LaxCleanWithin: "clean-within", "Verwendung nach der Reinigung", "emploi après nettoyage";
        ActCleaning: "cleaning of the hole", "Reinigung des Bohrlochs", "nettoyage du trou";
        ActNewNozzle: "new nozzle", "neuer Mischer", "nouvelle buse";
        ActDiscard: "discard from the nozzle", "Verwerfen aus dem Mischer", "résine jetée de la buse";
        ActSeatingFacts: "declaration of the seating", "Angaben zum Setzen", "déclaration sur la mise en place";
        ActDecision: "engineer's decision", "Entscheidung des Ingenieurs", "décision de l'ingénieur";

        NoSuchFixing: "there is no such fixing", "es gibt keine solche Befestigung", "il n'y a pas de tel scellement";
        OtherStage: "it does not apply to a fixing that is at this stage: {stage}", "es passt nicht zu einer Befestigung mit diesem Stand: {stage}", "cela ne s'applique pas à un scellement à ce stade : {stage}";
        Earlier: "it lies before what was already known", "es liegt vor dem, was schon bekannt war", "cela précède ce qui était déjà connu";
        NotStricter: "the hole was declared so already, or stricter", "das Bohrloch war schon so angegeben, oder strenger", "le trou était déjà déclaré ainsi, ou plus sévèrement";
        InHoleTime: "the in-hole reading is older than 15 min, or later than the injection", "der Messwert im Bohrloch ist älter als 15 min, oder jünger als die Injektion", "la mesure dans le trou a plus de 15 min, ou suit l'injection";
        InHoleRange: "the in-hole reading is outside the sensor's range", "der Messwert im Bohrloch liegt außerhalb des Bereichs des Fühlers", "la mesure dans le trou est hors de la plage du capteur";
        WasCured: "it was cured by then, so that was not early; it counts as loading should the hole turn out wet", "da war sie schon ausgehärtet, also war es nicht zu früh; stellt sich das Bohrloch als nass heraus, gilt es als Belastung", "il était déjà durci, ce n'était donc pas trop tôt ; si le trou se révèle humide, cela compte comme mise en charge";

        NotLater: "not later than the last accepted reading", "nicht später als der letzte angenommene Messwert", "pas postérieure à la dernière mesure acceptée";
        Bus: "the sensor did not answer", "der Fühler antwortete nicht", "le capteur n'a pas répondu";
        OutOfRange: "outside the sensor's range", "außerhalb des Bereichs des Fühlers", "hors de la plage du capteur";
        PowerUpValue: "the sensor's power-up value", "der Einschaltwert des Fühlers", "la valeur d'allumage du capteur";
        Step: "too far from the reading before (1 °C + 5 °C a minute) and not confirmed", "zu weit vom Messwert davor (1 °C + 5 °C je Minute) und nicht bestätigt", "trop loin de la mesure précédente (1 °C + 5 °C par minute) et non confirmée";
        Supply: "the supply was too low for the probe, or not known", "die Versorgung war für den Fühler zu niedrig, oder nicht bekannt", "l'alimentation était trop basse pour le capteur, ou inconnue";
    }
}
