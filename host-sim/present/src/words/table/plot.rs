//! The drawings of a replay, a shift plan and a depth check.

use crate::words::phrase::phrases;

phrases! {
    /// Words in a drawing. They stand in little room.
    PlotPhrase {
        Invented: "{resin} (invented, never on site)", "{resin} (erfunden, nie auf der Baustelle)", "{resin} (inventée, jamais sur chantier)";
        BandFrom: "band from {degrees}", "Bereich ab {degrees}", "tranche dès {degrees}";
        HeldBelow: "held below", "darunter angehalten", "suspendu au-dessous";
        HeldAbove: "held above", "darüber angehalten", "suspendu au-dessus";
        Temperature: "temperature, and below it with the uncertainty taken off", "Temperatur, und darunter mit abgezogener Unsicherheit", "température, et dessous l'incertitude déduite";
        Held: "held: does not count", "angehalten: zählt nicht", "suspendu : ne compte pas";
        Unobserved: "unobserved: does not count", "ohne Messwerte: zählt nicht", "sans mesure : ne compte pas";
        Required: "required {length}", "erforderlich {length}", "requis {length}";
        Served: "served {length}", "angerechnet {length}", "acquis {length}";
        ServedAgainst: "served against required, coldest-band rule", "angerechnet gegen erforderlich, Regel des kältesten Bereichs", "acquis face à requis, règle de la tranche la plus froide";
        Cured: "cured", "ausgehärtet", "durci";
        Earliest: "cured at the earliest", "frühestens ausgehärtet", "durci au plus tôt";
        Injected: "injected", "injiziert", "injecté";
        Seated: "seated", "gesetzt", "mis en place";

        Plan: "Shift plan: {job}", "Einbauplan: {job}", "Planning de pose : {job}";
        PlanNote: "{site}, by {forecast}. A forecast is no measurement: on the day the logger decides. Seating {length} after the start of injection.",
            "{site}, nach {forecast}. Eine Vorhersage ist keine Messung: am Tag selbst entscheidet der Logger. Setzen {length} nach Beginn der Injektion.",
            "{site}, d'après {forecast}. Une prévision n'est pas une mesure : le jour même l'enregistreur décide. Mise en place {length} après le début de l'injection.";
        NotDrawn: "{number} groups more are not drawn.", "{number} weitere Gruppen sind nicht gezeichnet.", "{number} autres groupes ne sont pas tracés.";
        Forecast: "forecast temperature", "vorhergesagte Temperatur", "température prévue";
        TorqueWanted: "torque wanted", "Anziehen gewünscht", "serrage voulu";
        Group: "{group}: {number} fixings, hole {hole}, {rule}", "{group}: {number} Befestigungen, Bohrloch {hole}, {rule}", "{group} : {number} scellements, trou {hole}, {rule}";
        Inject: "inject", "injizieren", "injecter";
        IfColder: "if {degrees} colder", "wenn {degrees} kälter", "si {degrees} plus froid";
        TorqueFrom: "{time}: torque from {at}", "{time}: anziehen ab {at}", "{time} : serrer dès {at}";
        RejectedAt: "{time}: rejected {at}", "{time}: gesperrt {at}", "{time} : rejeté {at}";
        Beyond: "{time}: beyond the forecast", "{time}: nach der Vorhersage", "{time} : hors prévision";
        Allowed: "injection allowed", "Injektion erlaubt", "injection permise";
        Refused: "refused, or rejected later", "unzulässig oder gesperrt", "refusé ou rejeté ensuite";
        Working: "working time: seat before it ends", "Verarbeitungszeit: vorher setzen", "manipulation : placer avant sa fin";
        Curing: "curing: leave alone; its end: may be torqued", "härtet: nicht berühren; Ende: anziehen", "durcit : ne pas toucher ; fin : serrer";
        Colder: "longer if colder", "länger, wenn kälter", "plus long si froid";

        FaceAndBottom: "Face and bottom of the hole", "Oberfläche und Grund des Bohrlochs", "Surface et fond du trou";
        Calculated: "Bottom {depth} mm below the face, the coldest for any diffusivity from {least} to {greatest} mm²/s; before the first reading taken as {degrees}. Calculated, not measured.",
            "Grund {depth} mm unter der Oberfläche, der kälteste für jede Temperaturleitfähigkeit von {least} bis {greatest} mm²/s; vor dem ersten Messwert angenommen {degrees}. Berechnet, nicht gemessen.",
            "Fond à {depth} mm sous la surface, le plus froid pour toute diffusivité de {least} à {greatest} mm²/s ; avant la première mesure admis {degrees}. Calculé, non mesuré.";
        Face: "face (measured)", "Oberfläche (gemessen)", "surface (mesurée)";
        Bottom: "bottom of the hole", "Grund des Bohrlochs", "fond du trou";
        CuredByFace: "cured by the face", "ausgehärtet nach Oberfläche", "durci selon la surface";
        CuredWithHole: "cured with the hole looked at", "ausgehärtet mit Blick ins Bohrloch", "durci compte tenu du trou";
    }
}
