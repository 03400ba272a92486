//! What is told of a trace: how it was read.

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
    }
}
