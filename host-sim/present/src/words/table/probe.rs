//! The calibration of a probe: its check, and its part of the hand-over record.

use crate::words::phrase::phrases;

phrases! {
    /// What is said of a calibration.
    ProbePhrase {
        Head: "Probe {probe}, calibrated {date} by {by} with the reference {reference}, due {due}", "Fühler {probe}, kalibriert {date} von {by} mit der Referenz {reference}, fällig {due}", "Sonde {probe}, étalonnée {date} par {by} avec la référence {reference}, échéance {due}";
        Points: "{number} points, readings from {least} to {greatest}", "{number} Punkte, Messwerte von {least} bis {greatest}", "{number} points, mesures de {least} à {greatest}";
        Good: "On {day} the calibration holds; its last day is {due}.", "Am {day} gilt die Kalibrierung; ihr letzter Tag ist {due}.", "Le {day}, l'étalonnage est valable ; son dernier jour est {due}.";
        PastDue: "PAST ITS DUE DATE: on {day} the calibration no longer holds; its last day was {due}. Have the probe calibrated before anything rests on it.",
            "FÄLLIGKEIT ÜBERSCHRITTEN: am {day} gilt die Kalibrierung nicht mehr; ihr letzter Tag war {due}. Den Fühler kalibrieren lassen, bevor etwas darauf beruht.",
            "ÉCHÉANCE DÉPASSÉE : le {day}, l'étalonnage n'est plus valable ; son dernier jour était {due}. Faire étalonner la sonde avant que rien n'en dépende.";
        NotYet: "MADE LATER: on {day} this calibration was not there; it is of {date}. It does not say how the probe was before.",
            "SPÄTER GEMACHT: am {day} gab es diese Kalibrierung noch nicht; sie ist vom {date}. Sie sagt nicht, wie der Fühler vorher war.",
            "FAIT PLUS TARD : le {day}, cet étalonnage n'existait pas encore ; il est du {date}. Il ne dit pas comment la sonde était avant.";
        AtPoints: "At its own points: no resin and no job was given", "An ihren eigenen Punkten: weder Mörtel noch Auftrag wurde angegeben", "À ses propres points : ni résine ni chantier n'a été donné";
        OfResin: "Where {resin} decides", "Wo {resin} entscheidet", "Là où {resin} décide";
        Reading: "reading", "Messwert", "mesure";
        Correction: "correction", "Korrektion", "correction";
        Expanded: "uncertainty (k = 2)", "Unsicherheit (k = 2)", "incertitude (k = 2)";
        Needed: "needed", "nötig", "nécessaire";
        Decides: "what decides there", "was dort entscheidet", "ce qui y décide";
        Outside: "outside the points, and never extrapolated: not known", "außerhalb der Punkte, und nie extrapoliert: nicht bekannt", "hors des points, et jamais extrapolé : inconnu";
        InstallLeast: "least at the start of the injection", "kleinste bei Beginn der Injektion", "la plus basse au début de l'injection";
        InstallGreatest: "greatest at the start of the injection", "größte bei Beginn der Injektion", "la plus haute au début de l'injection";
        CureLeast: "least that is counted", "kleinste, die zählt", "la plus basse qui compte";
        CureGreatest: "greatest that is counted", "größte, die zählt", "la plus haute qui compte";
        RejectBelow: "rejected below", "darunter gesperrt", "rejeté en dessous";
        RejectAbove: "rejected above", "darüber gesperrt", "rejeté au-dessus";
        BandEdge: "edge of a band", "Grenze eines Bereichs", "limite d'une tranche";
        Point: "point of the calibration", "Punkt der Kalibrierung", "point de l'étalonnage";
        Covered: "{job}: the uncertainty of {given} COVERS correction and uncertainty of the probe, {needed} at the most. {left} are left for how the probe is placed.",
            "{job}: die Unsicherheit von {given} DECKT Korrektion und Unsicherheit des Fühlers, höchstens {needed}. {left} bleiben dafür, wie der Fühler angebracht ist.",
            "{job} : l'incertitude de {given} COUVRE correction et incertitude de la sonde, au plus {needed}. {left} restent pour la façon dont la sonde est posée.";
        TooSmall: "{job}: the uncertainty of {given} IS TOO SMALL: the probe alone needs {needed}. Set it to that and what the placing adds, or use another probe.",
            "{job}: die Unsicherheit von {given} IST ZU KLEIN: der Fühler allein braucht {needed}. Sie darauf setzen, zuzüglich dessen, was das Anbringen ausmacht, oder einen anderen Fühler nehmen.",
            "{job} : l'incertitude de {given} EST TROP PETITE : la sonde seule a besoin de {needed}. La régler à cette valeur plus ce qu'ajoute la pose, ou prendre une autre sonde.";
        Unknown: "{job}: WHETHER THE UNCERTAINTY OF {given} IS ENOUGH IS NOT KNOWN: {outside} lies outside the points. Have the probe calibrated there too.",
            "{job}: OB DIE UNSICHERHEIT VON {given} REICHT, IST NICHT BEKANNT: {outside} liegt außerhalb der Punkte. Den Fühler auch dort kalibrieren lassen.",
            "{job} : ON NE SAIT PAS SI L'INCERTITUDE DE {given} SUFFIT : {outside} est hors des points. Faire étalonner la sonde là aussi.";
        NoJob: "An uncertainty of a job has to be {needed} at the least, and what the placing adds.", "Die Unsicherheit eines Auftrags muss mindestens {needed} sein, zuzüglich dessen, was das Anbringen ausmacht.", "L'incertitude d'un chantier doit être d'au moins {needed}, plus ce qu'ajoute la pose.";
        NoJobUnknown: "What the uncertainty of a job has to be is not known: {outside} lies outside the points. Have the probe calibrated there too.",
            "Welche Unsicherheit ein Auftrag braucht, ist nicht bekannt: {outside} liegt außerhalb der Punkte. Den Fühler auch dort kalibrieren lassen.",
            "On ne sait pas quelle incertitude il faut à un chantier : {outside} est hors des points. Faire étalonner la sonde là aussi.";
        Terms: "What the uncertainty is made of at {reading}, where most is needed", "Woraus die Unsicherheit bei {reading} besteht, wo am meisten nötig ist", "De quoi est faite l'incertitude à {reading}, là où il en faut le plus";
        TermReference: "reference {reference}: {value} with k = 2, divided by 2", "Referenz {reference}: {value} mit k = 2, geteilt durch 2", "référence {reference} : {value} avec k = 2, divisé par 2";
        TermPoint: "comparison at the points: {value} with k = 2, divided by 2", "Vergleich an den Punkten: {value} mit k = 2, geteilt durch 2", "comparaison aux points : {value} avec k = 2, divisé par 2";
        TermResolution: "step of the readings: {value}, rectangular, divided by √12", "Schritt der Messwerte: {value}, rechteckig, geteilt durch √12", "pas des mesures : {value}, rectangulaire, divisé par √12";
        TermRepeatability: "scatter of a single reading: standard deviation {value}", "Streuung eines einzelnen Messwerts: Standardabweichung {value}", "dispersion d'une seule mesure : écart type {value}";
        TermNoRepeatability: "scatter of a single reading: not given, not counted", "Streuung eines einzelnen Messwerts: nicht angegeben, nicht gezählt", "dispersion d'une seule mesure : non donnée, non comptée";
        TermBetween: "between the points: up to {value} off the straight line, rectangular, divided by √3", "zwischen den Punkten: bis zu {value} neben der Geraden, rechteckig, geteilt durch √3", "entre les points : jusqu'à {value} à côté de la droite, rectangulaire, divisé par √3";
        TermSum: "root of the sum of squares, times k = 2", "Wurzel der Summe der Quadrate, mal k = 2", "racine de la somme des carrés, fois k = 2";
        NotApplied: "No correction is applied to any reading: the uncertainty has to cover correction and uncertainty of the probe together.", "Kein Messwert wird korrigiert: die Unsicherheit muss Korrektion und Unsicherheit des Fühlers zusammen decken.", "Aucune mesure n'est corrigée : l'incertitude doit couvrir ensemble correction et incertitude de la sonde.";
        LeftOut: "Left out: what the probe drifted since, and how it is placed.", "Nicht enthalten: was der Fühler seither gedriftet ist, und wie er angebracht ist.", "Non compris : la dérive de la sonde depuis, et la façon dont elle est posée.";
        Title: "Calibration of the probe", "Kalibrierung des Fühlers", "Étalonnage de la sonde";
        GivenBeside: "This calibration was handed in with the record. No log says yet which probe its logger used: whoever hands over has to know that it was this one.",
            "Diese Kalibrierung wurde mit dem Protokoll abgegeben. Noch sagt kein Protokoll, welchen Fühler sein Logger hatte: wer übergibt, muss wissen, dass es dieser war.",
            "Cet étalonnage a été remis avec le procès-verbal. Aucun journal ne dit encore quelle sonde avait son enregistreur : qui remet doit savoir que c'était celle-ci.";
        AsLoaded: "{resin}, as loaded", "{resin}, wie geladen", "{resin}, telle que chargée";
        NothingLoaded: "No log of a fixing stands on this page: there is nothing to hold the calibration against.", "Auf dieser Seite steht kein Protokoll einer Befestigung: es gibt nichts, woran die Kalibrierung zu messen wäre.", "Cette page ne contient aucun journal de scellement : il n'y a rien à quoi confronter l'étalonnage.";
    }
}
