//! What may be done with a fixing, why not, and the cautions.

use crate::words::phrase::phrases;

phrases! {
    /// Stages, grounds, sentences of a status, cautions.
    StatusPhrase {
        Caution: "The resin maker's printed instructions, the product's approval, the engineer's specification and local codes come first. This status is a record and an aid, not a licence to load. Overhead or sustained-tension anchors are work for certified installers under continuous inspection. Protect eyes and hands, keep dust down.",
            "Die gedruckte Anleitung des Mörtelherstellers, die Zulassung oder Bewertung (ETA) des Produkts, die Vorgaben des Ingenieurs und örtliche Vorschriften gehen vor. Diese Anzeige ist eine Aufzeichnung und eine Hilfe, keine Erlaubnis zu belasten. Überkopfmontage und Befestigungen unter ständiger Zuglast: nur durch zertifizierte Monteure, unter ständiger Überwachung. Augen und Hände schützen, Staub vermeiden.",
            "La notice imprimée du fabricant de la résine, l'évaluation technique du produit (ETE, agrément), la spécification de l'ingénieur et les règles locales priment. Cet état est un enregistrement et une aide, pas une autorisation de charger. Les ancrages au plafond ou en traction permanente sont réservés à des poseurs certifiés, sous contrôle continu. Protéger les yeux et les mains, éviter la poussière.";
        DemoCaution: "DEMO RESIN: this schedule is invented. Never use it, or anything worked out with it, on site.",
            "DEMO-MÖRTEL: Diese Zeiten sind erfunden. Nie auf der Baustelle verwenden, auch nichts, was damit ausgerechnet wurde.",
            "RÉSINE DE DÉMONSTRATION : ce barème est inventé. Ne jamais l'utiliser sur chantier, ni rien de ce qui en est calculé.";

        HeadPlanned: "NOT INJECTED", "NICHT INJIZIERT", "NON INJECTÉ";
        HeadRefused: "DO NOT INJECT", "NICHT INJIZIEREN", "NE PAS INJECTER";
        HeadWorking: "SEAT NOW", "JETZT SETZEN", "METTRE EN PLACE MAINTENANT";
        HeadCuring: "LEAVE ALONE", "NICHT BERÜHREN", "NE PAS TOUCHER";
        HeadHeld: "LEAVE ALONE: CURE HELD", "NICHT BERÜHREN: AUSHÄRTUNG ANGEHALTEN", "NE PAS TOUCHER : DURCISSEMENT SUSPENDU";
        HeadCured: "CURED", "AUSGEHÄRTET", "DURCI";
        HeadReleased: "RELEASED", "FREIGEGEBEN", "BON POUR MISE EN CHARGE";
        HeadRejected: "DO NOT LOAD: REJECTED", "NICHT BELASTEN: GESPERRT", "NE PAS CHARGER : REJETÉ";
        HeadAccepted: "REJECTED, ACCEPTED AS IT IS", "GESPERRT, WIE AUSGEFÜHRT ANGENOMMEN", "REJETÉ, ACCEPTÉ EN L'ÉTAT";
        HeadRemoved: "REJECTED, TO BE REMOVED", "GESPERRT, WIRD AUSGEBAUT", "REJETÉ, À DÉPOSER";

        PastDate: "the resin is past its date", "der Mörtel ist über sein Datum hinaus", "la résine est périmée";
        NoReading: "there is no accepted temperature reading that is recent enough",
            "es gibt keinen angenommenen Temperaturmesswert, der neu genug ist",
            "il n'y a pas de mesure de température acceptée assez récente";
        TooCold: "the substrate may be too cold to inject", "der Verankerungsgrund kann zu kalt zum Injizieren sein", "le support peut être trop froid pour injecter";
        TooWarm: "the substrate may be too warm to inject", "der Verankerungsgrund kann zu warm zum Injizieren sein", "le support peut être trop chaud pour injecter";
        Cartridge: "the cartridge is outside its temperature range", "die Kartusche liegt außerhalb ihres Temperaturbereichs", "la cartouche est hors de sa plage de température";
        HoleExcluded: "the resin may not be used in a hole of this condition", "der Mörtel darf in einem Bohrloch in diesem Zustand nicht verwendet werden", "la résine ne peut pas être employée dans un trou dans cet état";
        SeatedLate: "seated after the working time had ended", "nach dem Ende der Verarbeitungszeit gesetzt", "mis en place après la fin du temps de manipulation";
        NotSeated: "not seated before the working time ended", "vor dem Ende der Verarbeitungszeit nicht gesetzt", "non mis en place avant la fin du temps de manipulation";
        BelowReject: "the substrate may have fallen below the resin's reject temperature", "der Verankerungsgrund kann unter die Temperaturgrenze gefallen sein, unter der der Mörtel zu verwerfen ist", "le support peut être descendu sous la température de rejet de la résine";
        HeldTooLong: "held or unobserved for longer than the resin allows", "länger angehalten oder ohne Messwerte, als der Mörtel erlaubt", "suspendu ou sans mesure plus longtemps que la résine ne le permet";
        LoadedEarly: "torqued before it was cured", "angezogen, bevor der Mörtel ausgehärtet war", "serré avant d'être durci";
        AboveReject: "the substrate may have risen above the resin's upper reject temperature", "der Verankerungsgrund kann über die Temperaturgrenze gestiegen sein, über der der Mörtel zu verwerfen ist", "le support peut être monté au-dessus de la température de rejet haute de la résine";
        OverTorque: "torqued beyond the specified tolerance", "über die vorgegebene Toleranz hinaus angezogen", "serré au-delà de la tolérance spécifiée";
        UntrustedLog: "its log cannot be trusted", "dem Protokoll ist nicht zu trauen", "son journal n'est pas digne de confiance";
        ProbeNotSettled: "the probe has not settled: it may still say what it was taken from",
            "der Fühler hat sich noch nicht angeglichen: er kann noch anzeigen, woher er kommt",
            "la sonde n'est pas stabilisée : elle peut encore indiquer d'où elle vient";
        NotCleaned: "no complete cleaning of the hole is declared that is recent enough",
            "es ist keine vollständige Reinigung des Bohrlochs angegeben, die neu genug ist",
            "aucun nettoyage complet et assez récent du trou n'est déclaré";
        Nozzle: "nobody declared that resin was discarded from this nozzle until its colour was even",
            "niemand hat angegeben, dass aus diesem Mischer Mörtel verworfen wurde, bis die Farbe gleichmäßig war",
            "personne n'a déclaré avoir jeté la résine de cette buse jusqu'à ce que sa couleur soit uniforme";
        Underfilled: "no resin came out all round at the seating", "beim Setzen trat nicht ringsum Mörtel aus", "la résine n'est pas sortie tout autour à la mise en place";
        NotToDepth: "not seated to its mark", "nicht bis zur Marke gesetzt", "pas mis en place jusqu'au repère";

        Dry: "dry", "trocken", "sec";
        Wet: "wet", "nass", "humide";
        Flooded: "flooded", "wassergefüllt", "inondé";

        ColdestRule: "coldest-band rule", "Regel des kältesten Bereichs", "règle de la tranche la plus froide";
        AccrualShort: "accrual rule", "Summenregel", "règle du cumul";
        AccrualRule: "accrual rule, by which the cure is summed up over the bands", "Summenregel: die Aushärtung wird über die Bereiche aufsummiert", "règle du cumul : le durcissement est additionné sur les tranches";

        SayPlanned: "Nothing has been injected.", "Es wurde nichts injiziert.", "Rien n'a été injecté.";
        SayRefused: "Do not inject: {reasons}.", "Nicht injizieren: {reasons}.", "Ne pas injecter : {reasons}.";
        WaitSettled: "Leave the probe clipped on and wait until it has settled, or measure at the bottom of the hole.",
            "Den Fühler angeklemmt lassen und warten, bis er sich angeglichen hat, oder am Grund des Bohrlochs messen.",
            "Laisser la sonde fixée et attendre qu'elle soit stabilisée, ou mesurer au fond du trou.";
        OutsideAtSeating: "Between injection and seating a reading of {degrees} lay outside the installation limits; named, not judged",
            "Zwischen Injektion und Setzen lag ein Messwert von {degrees} außerhalb der Einbaugrenzen; genannt, nicht beurteilt",
            "Entre injection et mise en place, une mesure de {degrees} était hors des limites de mise en œuvre ; indiqué, non jugé";
        SayWorkingUnknown: "Injected; seat it now.", "Injiziert; jetzt setzen.", "Injecté ; mettre en place maintenant.";
        SayWorking: "Injected and not seated yet. Seat it by {by} at the latest.", "Injiziert und noch nicht gesetzt. Setzen bis spätestens {by}.", "Injecté et pas encore mis en place. Mettre en place avant {by}.";
        SayHeld: "Do not touch, torque or load it. The substrate is outside the limits, so the cure does not count now.",
            "Nicht berühren, anziehen oder belasten. Der Verankerungsgrund liegt außerhalb der Grenzen, darum zählt die Aushärtung jetzt nicht.",
            "Ne pas toucher, serrer ni charger. Le support est hors des limites : le durcissement ne compte pas en ce moment.";
        SayCuredRange: "Cured since {since}. It may be torqued now, to {least} to {greatest} with a calibrated wrench; it is released only after that.",
            "Ausgehärtet seit {since}. Darf jetzt angezogen werden, mit {least} bis {greatest} und einem kalibrierten Drehmomentschlüssel; erst danach ist die Befestigung freigegeben.",
            "Durci depuis {since}. Peut être serré maintenant, de {least} à {greatest}, avec une clé dynamométrique étalonnée ; ne pas charger avant.";
        HeadTorqueLow: "TORQUED TOO LOW: AGAIN", "ZU SCHWACH ANGEZOGEN: NOCHMALS", "SERRÉ TROP FAIBLEMENT : À REFAIRE";
        SayTorqueLow: "Torqued to {torque}, which is too low: torque it again, to {least} to {greatest} with a calibrated wrench. Do not load it before. Cured since {since}.",
            "Mit {torque} angezogen, das ist zu wenig: nochmals anziehen, mit {least} bis {greatest} und einem kalibrierten Drehmomentschlüssel. Vorher nicht belasten. Ausgehärtet seit {since}.",
            "Serré à {torque}, c'est trop faible : le serrer de nouveau, de {least} à {greatest}, avec une clé dynamométrique étalonnée. Ne pas le charger avant. Durci depuis {since}.";
        SayCured: "Cured since {since}. No torque is specified here; where the engineer specifies one, it is torqued to that first. It may be loaded when the foreman releases it.",
            "Ausgehärtet seit {since}. Hier ist kein Drehmoment vorgegeben; gibt der Ingenieur eines vor, wird zuerst damit angezogen. Darf belastet werden, wenn der Polier die Befestigung freigibt.",
            "Durci depuis {since}. Aucun couple n'est spécifié ici ; si l'ingénieur en spécifie un, le scellement y est serré d'abord. Peut être chargé quand le chef de chantier l'autorise.";
        SayReleased: "Cured and torqued to {torque} at {since}. The foreman may let the next trade load it.",
            "Ausgehärtet und mit {torque} angezogen ({since}). Der Polier darf sie vom nächsten Gewerk belasten lassen.",
            "Durci et serré à {torque} ({since}). Le chef de chantier peut le laisser charger par le corps d'état suivant.";
        SayRejected: "Do not load it: {reasons} ({since}). The engineer decides what becomes of it.",
            "Nicht belasten: {reasons} ({since}). Was daraus wird, entscheidet der Ingenieur.",
            "Ne pas charger : {reasons} ({since}). L'ingénieur décide de la suite.";
        SayAccepted: "Rejected ({reasons}); the engineer decided to accept it as it is. See that decision before loading.",
            "Gesperrt ({reasons}); der Ingenieur hat entschieden, sie wie ausgeführt anzunehmen. Vor dem Belasten diese Entscheidung ansehen.",
            "Rejeté ({reasons}) ; l'ingénieur a décidé de l'accepter en l'état. Voir cette décision avant de charger.";
        SayRemoved: "Rejected ({reasons}); the engineer decided that it is removed. Do not load it.",
            "Gesperrt ({reasons}); der Ingenieur hat entschieden, dass sie ausgebaut wird. Nicht belasten.",
            "Rejeté ({reasons}) ; l'ingénieur a décidé qu'il est à déposer. Ne pas charger.";
        SayCuring: "Do not touch, torque or load it: not cured yet. {served} of {required} are served; if it stays as warm as at the last reading it is cured at {at}, no earlier.",
            "Nicht berühren, anziehen oder belasten: noch nicht ausgehärtet. {served} von {required} sind angerechnet; bleibt es so warm wie beim letzten Messwert, ist sie frühestens {at} ausgehärtet.",
            "Ne pas toucher, serrer ni charger : pas encore durci. {served} sur {required} sont acquis ; s'il fait toujours aussi chaud qu'à la dernière mesure, il sera durci au plus tôt {at}.";
        SayCuringStopped: "Do not touch, torque or load it: not cured yet. {served} of {required} are served, and the readings have stopped.",
            "Nicht berühren, anziehen oder belasten: noch nicht ausgehärtet. {served} von {required} sind angerechnet, und die Messwerte haben aufgehört.",
            "Ne pas toucher, serrer ni charger : pas encore durci. {served} sur {required} sont acquis, et les mesures se sont arrêtées.";
        UnknownTime: "an unknown time", "unbekannter Zeit", "une date inconnue";
        UnknownTorque: "an unknown torque", "unbekanntem Drehmoment", "un couple inconnu";
    }
}
