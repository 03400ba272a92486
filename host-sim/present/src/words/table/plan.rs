//! The shift plan.

use crate::words::phrase::phrases;

phrases! {
    /// Lines of a plan.
    PlanPhrase {
        Head: "SHIFT PLAN: {job}, {site}", "EINBAUPLAN FÜR DIE SCHICHT: {job}, {site}", "PLANNING DE POSE : {job}, {site}";
        By: "By {forecast}, {dates} (local time, UTC{zone}).", "Nach {forecast}, {dates} (Ortszeit, UTC{zone}).", "D'après {forecast}, {dates} (heure locale, UTC{zone}).";
        ForecastCaution: "A forecast is no measurement: it says what the air may be, not what the substrate is. On the day the logger decides, start by start. Nothing here releases a fixing.",
            "Eine Vorhersage ist keine Messung: sie sagt, wie die Luft sein kann, nicht wie der Verankerungsgrund ist. Am Tag selbst entscheidet der Logger, Injektion für Injektion. Nichts hier gibt eine Befestigung frei.",
            "Une prévision n'est pas une mesure : elle dit ce que l'air peut être, pas ce qu'est le support. Le jour même l'enregistreur décide, injection par injection. Rien ici n'autorise à charger un scellement.";
        Reckoned: "Reckoned with seating {length} after the start of injection.", "Gerechnet mit dem Setzen {length} nach Beginn der Injektion.", "Calculé avec une mise en place {length} après le début de l'injection.";
        Laxer: "LAXER THAN THE DEFAULT: {which} (longest gap {gap}). Everything above rests on it.", "WENIGER STRENG ALS DIE STANDARDEINSTELLUNG: {which} (längste Lücke {gap}). Alles oben beruht darauf.", "MOINS SÉVÈRE QUE LE RÉGLAGE PAR DÉFAUT : {which} (plus longue lacune {gap}). Tout ce qui précède repose là-dessus.";
        WiderGap: "THE FORECAST'S POINTS LIE FAR APART: over the job's longest gap of {gap}, so that nothing between them would be observed. {wider} is taken instead, which is laxer; take a finer forecast where there is one.",
            "DIE PUNKTE DER VORHERSAGE LIEGEN WEIT AUSEINANDER: weiter als die längste Lücke des Auftrags von {gap}, sodass zwischen ihnen alles ohne Messwerte wäre. Stattdessen gilt {wider}, was weniger streng ist; eine feinere Vorhersage nehmen, wo es eine gibt.",
            "LES POINTS DE LA PRÉVISION SONT ÉLOIGNÉS : plus que la plus longue lacune du chantier, {gap}, si bien que tout serait sans mesure entre eux. On admet {wider}, ce qui est moins sévère ; prendre une prévision plus fine s'il y en a une.";
        OneFixing: "{group}: 1 fixing, hole {hole}, {resin}, {rule}", "{group}: 1 Befestigung, Bohrloch {hole}, {resin}, {rule}", "{group} : 1 scellement, trou {hole}, {resin}, {rule}";
        Fixings: "{group}: {number} fixings, hole {hole}, {resin}, {rule}", "{group}: {number} Befestigungen, Bohrloch {hole}, {resin}, {rule}", "{group} : {number} scellements, trou {hole}, {resin}, {rule}";
        NoStarts: "No start lies in the forecast: see its planned day, the shift and the times that were given.", "Kein Beginn liegt in der Vorhersage: geplanten Tag, Schicht und gegebene Zeiten ansehen.", "Aucun début ne tombe dans la prévision : voir le jour prévu, le poste et les heures données.";

        Inject: "INJECT", "INJIZIEREN", "INJECTER";
        DoNot: "do not", "nicht", "non";
        Torque: "TORQUE", "ANZIEHEN", "SERRER";
        WorkingTime: "{span}; working time {least}", "{span}; Verarbeitungszeit {least}", "{span} ; temps de manipulation {least}";
        WorkingTimes: "{span}; working time {least} to {most}", "{span}; Verarbeitungszeit {least} bis {most}", "{span} ; temps de manipulation {least} à {most}";
        CuredBeyond: "{window}; cured beyond the forecast", "{window}; ausgehärtet erst nach der Vorhersage", "{window} ; durci au-delà de la prévision";
        Because: "{span}: {reasons}", "{span}: {reasons}", "{span} : {reasons}";
        RejectedLater: "{span}: allowed, but by this forecast rejected later: {reasons}", "{span}: erlaubt, aber nach dieser Vorhersage später gesperrt: {reasons}", "{span} : permis, mais rejeté plus tard selon cette prévision : {reasons}";
        NoTime: "There is no time to inject in this forecast.", "In dieser Vorhersage gibt es keine Zeit zum Injizieren.", "Cette prévision ne laisse aucun moment pour injecter.";
        LeftOut: "shorter or further stretches: {number}, see --json", "kürzere oder weitere Zeiträume: {number}, siehe --json", "tronçons plus courts ou plus éloignés : {number}, voir --json";
        Colder: "{degrees} colder: {what}", "{degrees} kälter: {what}", "{degrees} plus froid : {what}";
        ColderRounded: "{degrees} colder is reckoned as {counts} times 1/256 °C, rounded up.", "{degrees} kälter wird als {counts} mal 1/256 °C gerechnet, aufgerundet.", "{degrees} plus froid est calculé comme {counts} fois 1/256 °C, arrondi vers le haut.";
        ColderInject: "inject {spans}", "injizieren {spans}", "injecter {spans}";
        ColderNone: "no time to inject", "keine Zeit zum Injizieren", "aucun moment pour injecter";
        MoreSpans: "{number} more", "{number} weitere", "encore {number}";
        ByTime: "by {time}: {what}.", "bis {time}: {what}.", "avant {time} : {what}.";
        NotFromAny: "not possible from any start", "von keinem Beginn aus möglich", "impossible quel que soit le début";
        NotPossible: "not possible", "nicht möglich", "impossible";
        StartSpan: "start {span}, the last seated by {by}", "Beginn {span}, die letzte gesetzt bis {by}", "début {span}, le dernier mis en place avant {by}";
        OrEarlier: "{what}, or in earlier windows ({number})", "{what}, oder in früheren Zeitfenstern ({number})", "{what}, ou dans des créneaux antérieurs ({number})";
        Started: "Started {time}: torque {what}.", "Beginn {time}: Anziehen {what}.", "Début {time} : serrage {what}.";
        From: "from {time}", "ab {time}", "dès {time}";
        Never: "never: rejected {time}, {reasons}", "nie: gesperrt {time}, {reasons}", "jamais : rejeté {time}, {reasons}";
        Beyond: "beyond the forecast", "erst nach der Vorhersage", "au-delà de la prévision";
        ColderToo: "{what}, colder too", "{what}, kälter auch", "{what}, plus froid aussi";
        ColderThen: "{degrees} colder {what}", "{degrees} kälter {what}", "{degrees} plus froid {what}";
        NoStart: "no start", "kein Beginn", "pas de début";
        OtherRule: "{rule}: {what}", "{rule}: {what}", "{rule} : {what}";
        NotAllowedHere: "{rule}, not allowed here", "{rule}, hier nicht erlaubt", "{rule}, non permise ici";
        StartedBeyond: "Started {times}: torque beyond the forecast by every count.", "Beginn {times}: Anziehen nach jeder Regel erst nach der Vorhersage.", "Début {times} : serrage au-delà de la prévision selon tous les comptes.";
        Span: "{from} to {to}", "{from} bis {to}", "{from} à {to}";
        AfterEpoch: "{seconds} s after 1970-01-01T00:00:00Z", "{seconds} s nach 1970-01-01T00:00:00Z", "{seconds} s après 1970-01-01T00:00:00Z";

        Monday: "Mon", "Mo", "lun.";
        Tuesday: "Tue", "Di", "mar.";
        Wednesday: "Wed", "Mi", "mer.";
        Thursday: "Thu", "Do", "jeu.";
        Friday: "Fri", "Fr", "ven.";
        Saturday: "Sat", "Sa", "sam.";
        Sunday: "Sun", "So", "dim.";
    }
}
