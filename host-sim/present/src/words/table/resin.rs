//! The check of a resin file.

use crate::words::phrase::phrases;

phrases! {
    /// What a resin file says.
    ResinPhrase {
        Head: "{resin} ({file})", "{resin} ({file})", "{resin} ({file})";
        Schedule: "Schedule as understood; a band holds up to the next one", "Zeiten, wie sie verstanden wurden; ein Bereich gilt bis zum nächsten", "Barème tel qu'il est compris ; une tranche vaut jusqu'à la suivante";
        From: "from", "ab", "dès";
        Working: "working", "Verarbeitung", "manipulation";
        CureDry: "cure, dry", "Aushärtung, trocken", "durcissement, sec";
        CureWetOrFlooded: "cure, wet or flooded", "Aushärtung, nass oder wassergefüllt", "durcissement, humide ou inondé";
        CureWet: "cure, wet", "Aushärtung, nass", "durcissement, humide";
        CureFlooded: "cure, flooded", "Aushärtung, wassergefüllt", "durcissement, inondé";
        Limits: "Limits", "Grenzen", "Limites";
        Install: "start of injection: substrate {least} to {greatest}", "Beginn der Injektion: Verankerungsgrund {least} bis {greatest}", "début de l'injection : support {least} à {greatest}";
        Counted: "cure is counted from {least} to {greatest} and held outside", "die Aushärtung zählt von {least} bis {greatest} und ist außerhalb angehalten", "le durcissement compte de {least} à {greatest} et est suspendu en dehors";
        RejectBoth: "rejected when it gets below {below} or above {above} before it is cured", "gesperrt, wenn es vor dem Ende der Aushärtung unter {below} oder über {above} ist", "rejeté si la température passe sous {below} ou au-dessus de {above} avant la fin du durcissement";
        RejectBelow: "rejected when it gets below {below} before it is cured", "gesperrt, wenn es vor dem Ende der Aushärtung unter {below} ist", "rejeté si la température passe sous {below} avant la fin du durcissement";
        RejectAbove: "rejected when it gets above {above} before it is cured", "gesperrt, wenn es vor dem Ende der Aushärtung über {above} ist", "rejeté si la température passe au-dessus de {above} avant la fin du durcissement";
        NoReject: "no reject temperature", "keine Temperatur, bei der gesperrt wird", "pas de température de rejet";
        LongestHold: "rejected when held or unobserved for more than {length} in all", "gesperrt, wenn insgesamt mehr als {length} angehalten oder ohne Messwerte", "rejeté si suspendu ou sans mesure plus de {length} en tout";
        NoHold: "no longest hold", "keine längste Unterbrechung", "pas de plus longue suspension";
        Cartridge: "cartridge {least} to {greatest}", "Kartusche {least} bis {greatest}", "cartouche {least} à {greatest}";
        Holes: "hole conditions allowed: {holes}", "erlaubte Zustände des Bohrlochs: {holes}", "états du trou permis : {holes}";
        AccrualPermitted: "the cure may be summed up over the bands (accrual) where the job asks for it", "die Aushärtung darf über die Bereiche aufsummiert werden, wo der Auftrag es verlangt", "le durcissement peut être cumulé sur les tranches si le chantier le demande";
        AccrualForbidden: "only the coldest-band rule; accrual is not permitted", "nur die Regel des kältesten Bereichs; Aufsummieren ist nicht erlaubt", "seulement la règle de la tranche la plus froide ; le cumul n'est pas permis";
        Uncertainty: "a reading counts with its uncertainty ({degrees} unless set): against least limits as colder, against greatest as warmer", "ein Messwert zählt mit seiner Unsicherheit ({degrees}, wenn nicht anders gesetzt): gegen untere Grenzen als kälter, gegen obere als wärmer", "une mesure compte avec son incertitude ({degrees} sauf réglage) : plus froide face aux limites basses, plus chaude face aux hautes";
        Energy: "Apparent activation energy from band to band, kJ/mol (suspicious below {least} or above {greatest})", "Scheinbare Aktivierungsenergie von Bereich zu Bereich, kJ/mol (verdächtig unter {least} oder über {greatest})", "Énergie d'activation apparente d'une tranche à l'autre, kJ/mol (suspecte sous {least} ou au-dessus de {greatest})";
        CureTimes: "cure times: {energies}", "Aushärtezeiten: {energies}", "temps de durcissement : {energies}";
        WorkingTimes: "working times: {energies}", "Verarbeitungszeiten: {energies}", "temps de manipulation : {energies}";
        NoSteps: "none", "keine", "aucune";
        NothingOdd: "Nothing in the file looks odd.", "Nichts in der Datei ist auffällig.", "Rien dans le fichier ne paraît anormal.";
        OneOdd: "One thing in the file looks odd: see above.", "Eine Stelle in der Datei ist auffällig: siehe oben.", "Une chose dans le fichier paraît anormale : voir plus haut.";
        ManyOdd: "{number} things in the file look odd: see above.", "{number} Stellen in der Datei sind auffällig: siehe oben.", "{number} choses dans le fichier paraissent anormales : voir plus haut.";
        Compare: "Compare every line with the maker's printed sheet all the same.", "Trotzdem jede Zeile mit dem gedruckten Blatt des Herstellers vergleichen.", "Comparer malgré tout chaque ligne avec la fiche imprimée du fabricant.";
    }
}
