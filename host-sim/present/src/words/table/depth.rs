//! The depth check.

use crate::words::phrase::phrases;

phrases! {
    /// Lines of a depth check.
    DepthPhrase {
        Later: "With the temperature in the hole looked at, it is cured at {stated}, {later} later than by the face alone ({face}).",
            "Mit Blick auf die Temperatur im Bohrloch ist sie am {stated} ausgehärtet, {later} später als nach der Oberfläche allein ({face}).",
            "Compte tenu de la température dans le trou, il est durci le {stated}, {later} plus tard que selon la surface seule ({face}).";
        Same: "The temperature in the hole changes nothing: cured at {stated}, as by the face.", "Die Temperatur im Bohrloch ändert nichts: ausgehärtet am {stated}, wie nach der Oberfläche.", "La température dans le trou ne change rien : durci le {stated}, comme selon la surface.";
        OnlyFace: "By the face alone it was cured at {face}. With the temperature in the hole looked at, that cannot be said.",
            "Nach der Oberfläche allein war sie am {face} ausgehärtet. Mit Blick auf die Temperatur im Bohrloch kann man das nicht sagen.",
            "Selon la surface seule il était durci le {face}. Compte tenu de la température dans le trou, on ne peut pas le dire.";
        NotCured: "It is not cured, by the face or in the hole.", "Sie ist nicht ausgehärtet, weder nach der Oberfläche noch im Bohrloch.", "Il n'est pas durci, ni selon la surface ni dans le trou.";
        Reasons: "Reasons: {reasons}.", "Gründe: {reasons}.", "Raisons : {reasons}.";
        ByFace: "by the face", "nach der Oberfläche", "selon la surface";
        ByBottom: "by the bottom", "nach dem Grund", "selon le fond";
        ByAlong: "by the coldest along the hole", "nach der tiefsten Temperatur im Bohrloch", "selon la température la plus basse dans le trou";
        UncertaintyOff: "(coldest: the probe's uncertainty taken off)", "(tiefste Temperatur: die Unsicherheit des Fühlers abgezogen)", "(température la plus basse : l'incertitude de la sonde déduite)";
        CuredAt: "cured at {time}", "ausgehärtet am {time}", "durci le {time}";
        WithColdest: "{what}, coldest {degrees}", "{what}, tiefste Temperatur {degrees}", "{what}, température la plus basse {degrees}";
        Bottom: "bottom of the hole, {depth} mm below the face of {trace}:", "Grund des Bohrlochs, {depth} mm unter der Oberfläche von {trace}:", "fond du trou, {depth} mm sous la surface de {trace} :";
        UpTo: "up to {degrees} colder than the face, at {time}", "bis zu {degrees} kälter als die Oberfläche, am {time}", "jusqu'à {degrees} plus froid que la surface, le {time}";
        NeverColder: "never colder than the face", "nie kälter als die Oberfläche", "jamais plus froid que la surface";
        MeanColder: "on the mean of all readings {degrees} colder than the face", "im Mittel aller Messwerte {degrees} kälter als die Oberfläche", "en moyenne de toutes les mesures {degrees} plus froid que la surface";
        MeanWarmer: "on the mean of all readings {degrees} warmer than the face", "im Mittel aller Messwerte {degrees} wärmer als die Oberfläche", "en moyenne de toutes les mesures {degrees} plus chaud que la surface";
        Coldest: "coldest {bottom}; the face's coldest reading is {face}", "tiefste Temperatur {bottom}; der kälteste Messwert der Oberfläche ist {face}", "température la plus basse {bottom} ; la mesure la plus froide de la surface est {face}";
        TakenAs: "taken as:", "angenommen:", "admis :";
        Diffusivity: "diffusivity {least} to {greatest} mm²/s, the worst of the range at every reading", "Temperaturleitfähigkeit {least} bis {greatest} mm²/s, bei jedem Messwert die ungünstigste des Bereichs", "diffusivité {least} à {greatest} mm²/s, la plus défavorable de la plage à chaque mesure";
        BeforeGiven: "before the first reading the concrete at {degrees}, as given;", "vor dem ersten Messwert der Beton bei {degrees}, wie angegeben;", "avant la première mesure, le béton à {degrees}, comme donné ;";
        BeforeColdest: "before the first reading the concrete at {degrees}, as cold as the coldest reading;", "vor dem ersten Messwert der Beton bei {degrees}, so kalt wie der kälteste Messwert;", "avant la première mesure, le béton à {degrees}, aussi froid que la mesure la plus froide ;";
        RestAtInjection: "at the injection up to {percent} % of the bottom's temperature rest on that", "bei der Injektion beruhen bis zu {percent} % der Temperatur am Grund darauf", "à l'injection jusqu'à {percent} % de la température du fond reposent là-dessus";
        RestAtEnd: "at the end of the trace up to {percent} % of the bottom's temperature rest on that", "am Ende der Messreihe beruhen bis zu {percent} % der Temperatur am Grund darauf", "à la fin de la série jusqu'à {percent} % de la température du fond reposent là-dessus";
        Gaps: "stretches without readings ({number}): the face as cold as that, or as the readings about them", "Zeiten ohne Messwerte ({number}): die Oberfläche so kalt, oder wie die Messwerte davor und danach", "tronçons sans mesures ({number}) : la surface aussi froide, ou comme les mesures autour";
        TooLate: "The trace begins too late for this depth: if the concrete was colder before, the bottom was so too.\n  Give --before, a trace that begins days earlier, or a reading at the bottom of the hole.",
            "Die Messreihe beginnt zu spät für diese Tiefe: war der Beton vorher kälter, so war es auch der Grund.\n  --before angeben, eine Messreihe, die Tage früher beginnt, oder einen Messwert am Grund des Bohrlochs.",
            "La série commence trop tard pour cette profondeur : si le béton était plus froid avant, le fond l'était aussi.\n  Donner --before, une série qui commence des jours plus tôt, ou une mesure au fond du trou.";
        TooLateGiven: "The trace begins too late for this depth: if the concrete was colder before than was given, the bottom was so too.\n  Give a trace that begins days earlier, or a reading at the bottom of the hole.",
            "Die Messreihe beginnt zu spät für diese Tiefe: war der Beton vorher kälter als angegeben, so war es auch der Grund.\n  Eine Messreihe angeben, die Tage früher beginnt, oder einen Messwert am Grund des Bohrlochs.",
            "La série commence trop tard pour cette profondeur : si le béton était plus froid avant qu'il n'a été donné, le fond l'était aussi.\n  Donner une série qui commence des jours plus tôt, ou une mesure au fond du trou.";
        Aid: "An aid that can only make the answer later: one-dimensional conduction behind a plane face. Near edges and\n  corners, and in steel or thin members, it is colder sooner. A reading at the bottom of the hole is worth more.",
            "Eine Hilfe, die die Antwort nur später machen kann: Wärmeleitung in einer Richtung hinter einer ebenen Oberfläche.\n  An Kanten und Ecken, in Stahl oder dünnen Bauteilen wird es früher kälter. Ein Messwert am Grund des Bohrlochs ist\n  mehr wert.",
            "Une aide qui ne peut que retarder la réponse : conduction en une dimension derrière une surface plane. Près des\n  bords et des angles, dans l'acier ou les pièces minces, il fait plus froid plus tôt. Une mesure au fond du trou vaut mieux.";
    }
}
