//! What people declare of a hole, a nozzle and a seating, and what a job demands of them.

use crate::words::phrase::phrases;

phrases! {
    /// Declarations and demands.
    DeedPhrase {
        Cleaned: "cleaned: {step}", "gereinigt: {step}", "nettoyé : {step}";
        CleanedIn: "cleaned: {step}, in {length}", "gereinigt: {step}, in {length}", "nettoyé : {step}, en {length}";
        NewNozzle: "a new nozzle was put on", "ein neuer Mischer wurde aufgesetzt", "une nouvelle buse a été montée";
        Discarded: "resin was discarded until its colour was even", "Mörtel wurde verworfen, bis die Farbe gleichmäßig war", "de la résine a été jetée jusqu'à ce que sa couleur soit uniforme";
        Seating: "resin out all round: {excess}; mark reached: {depth}", "Mörtel trat ringsum aus: {excess}; Marke erreicht: {depth}", "résine sortie tout autour : {excess} ; repère atteint : {depth}";
        Yes: "yes", "ja", "oui";
        No: "no", "nein", "non";
        NotDeclared: "not declared", "nicht angegeben", "non déclaré";

        Cleaning: "cleaning: {steps}; {record}; used within {within}", "Reinigung: {steps}; {record}; verwendet binnen {within}", "nettoyage : {steps} ; {record} ; employé dans les {within}";
        NoCleaning: "no cleaning prescribed", "keine Reinigung vorgeschrieben", "aucun nettoyage prescrit";
        Nozzle: "nozzle: {record}", "Mischer: {record}", "buse : {record}";
        Required: "its record is required", "ihre Angabe ist verlangt", "sa déclaration est exigée";
        Noted: "what is declared is noted", "was angegeben wird, wird vermerkt", "ce qui est déclaré est noté";
        ExtractingBit: "dust-extracting bit", "Hohlbohrer mit Absaugung", "foret creux à aspiration";

        HoleWork: "Cleaning of the hole", "Reinigung des Bohrlochs", "Nettoyage du trou";
        NozzleWork: "Nozzle", "Mischer", "Buse";
        StepsWithin: "{steps}; at most {within} before", "{steps}; höchstens {within} davor", "{steps} ; au plus {within} avant";
        HoleClean: "cleaned", "gereinigt", "nettoyé";
        HoleNotDeclared: "no complete cleaning declared", "keine vollständige Reinigung angegeben", "aucun nettoyage complet déclaré";
        Even: "colour even", "Farbe gleichmäßig", "couleur uniforme";
        EvenNotDeclared: "not declared", "nicht angegeben", "non déclaré";
        Hands: "hole: {hole}; nozzle: {nozzle}; {seating}", "Bohrloch: {hole}; Mischer: {nozzle}; {seating}", "trou : {hole} ; buse : {nozzle} ; {seating}";
        SetBy: "set by {name}", "gesetzt von {name}", "mis en place par {name}";
        TorquedBy: "torqued by {name}", "angezogen von {name}", "serré par {name}";
        NothingDeclared: "nothing yet", "noch nichts", "rien encore";
    }
}
