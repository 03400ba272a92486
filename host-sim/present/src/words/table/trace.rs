//! What is told of a trace: how it was read, and what is to be looked at.

use crate::words::phrase::phrases;

phrases! {
    /// Lines about a trace.
    TracePhrase {
        ReadAs: "read as {unit} ({by}) from column {temperature}; times from column {time}, {offsets}",
            "gelesen als {unit} ({by}) aus Spalte {temperature}; Zeiten aus Spalte {time}, {offsets}",
            "lu en {unit} ({by}) dans la colonne {temperature} ; heures dans la colonne {time}, {offsets}";
        Celsius: "degrees Celsius", "Grad Celsius", "degrés Celsius";
        Fahrenheit: "degrees Fahrenheit", "Grad Fahrenheit", "degrés Fahrenheit";
        ByName: "as the column's name says", "wie der Name der Spalte sagt", "comme le dit le nom de la colonne";
        ByAsked: "as asked for", "wie verlangt", "comme demandé";
        ByDefault: "as nothing says otherwise", "da nichts anderes gesagt ist", "faute d'autre indication";
        Offsets: "{first} at first, then also {others}", "zuerst {first}, dann auch {others}", "d'abord {first}, puis aussi {others}";
        MoreOffsets: "{number} more", "{number} weitere", "encore {number}";

        TooFarApart: "MOST READINGS LIE TOO FAR APART: of {intervals} intervals between two readings {over} are over the longest gap ({gap}). What lies between such readings is unobserved: the working time is then the resin's shortest, and no cure is counted. {what}",
            "DIE MEISTEN MESSWERTE LIEGEN ZU WEIT AUSEINANDER: von {intervals} Abständen zwischen zwei Messwerten sind {over} länger als die längste Lücke ({gap}). Was zwischen solchen Messwerten liegt, gilt als Zeit ohne Messwerte: die Verarbeitungszeit ist dann die kürzeste des Mörtels, und keine Aushärtung wird gezählt. {what}",
            "LA PLUPART DES MESURES SONT TROP ESPACÉES : sur {intervals} intervalles entre deux mesures, {over} dépassent la plus longue lacune ({gap}). Ce qui se trouve entre de telles mesures vaut comme temps sans mesure : le temps de manipulation est alors le plus court de la résine, et aucun durcissement n'est compté. {what}";
        SetGap: "Set `{option}`, or log more often.", "`{option}` setzen, oder öfter messen.", "Donner `{option}`, ou mesurer plus souvent.";
        SetLaxerGap: "Set `{option}`, which is laxer than the default and named so, or log more often.", "`{option}` setzen, was weniger streng ist als die Standardeinstellung und so genannt wird, oder öfter messen.", "Donner `{option}`, ce qui est moins sévère que le réglage par défaut et sera dit, ou mesurer plus souvent.";
        NoGap: "They lie too far apart for any setting ({most} at most): log more often.", "Sie liegen für jede Einstellung zu weit auseinander (höchstens {most}): öfter messen.", "Elles sont trop espacées pour tout réglage ({most} au plus) : mesurer plus souvent.";

        LeapSecond: "Line {line} lies in a leap second, which is taken as the second after it: a row of that second is refused as not later, and what lies between is unobserved.",
            "Zeile {line} liegt in einer Schaltsekunde, die als die Sekunde danach gilt: eine Zeile jener Sekunde wird als nicht später abgelehnt, und was dazwischen liegt, gilt als Zeit ohne Messwerte.",
            "La ligne {line} tombe dans une seconde intercalaire, prise pour la seconde suivante : une ligne de cette seconde-là est refusée comme non postérieure, et ce qui se trouve entre vaut comme temps sans mesure.";

        OtherOffset: "{action} at {at} is not in the offset of the trace ({offsets}): by the trace's clock it is {there}, and that counts. If its digits were read off the trace's clock, correct its offset.",
            "{action}, {at}, steht nicht im UTC-Abstand der Messreihe ({offsets}): nach der Uhr der Messreihe ist es {there}, und das zählt. Wurden die Ziffern von der Uhr der Messreihe abgelesen, den UTC-Abstand berichtigen.",
            "{action}, {at}, n'est pas dans le décalage UTC de la série ({offsets}) : à l'heure de la série c'est {there}, et cela compte. Si les chiffres ont été lus à l'heure de la série, corriger le décalage.";
        OtherOffsetMore: "{told} Further times in that offset: {number}.", "{told} Weitere Zeiten in diesem Abstand: {number}.", "{told} Autres heures dans ce décalage : {number}.";
        OfFixing: "{fixing}: {action}", "{fixing}: {action}", "{fixing} : {action}";
    }
}
