//! The specification of a site as it was understood, and what it needs brought there.

use crate::words::phrase::phrases;

phrases! {
    /// What a job file says.
    JobPhrase {
        Head: "{job}, {site} ({file})", "{job}, {site} ({file})", "{job}, {site} ({file})";
        Resin: "Resin: {resin}", "Mörtel: {resin}", "Résine : {resin}";
        Batch: "Batch {batch}: good through {date}", "Charge {batch}: verwendbar bis {date}", "Lot {batch} : utilisable jusqu'au {date} inclus";
        BatchThere: "Batch {batch}: good through {date}, {number} cartridges", "Charge {batch}: verwendbar bis {date}, {number} Kartuschen", "Lot {batch} : utilisable jusqu'au {date} inclus, {number} cartouches";
        Settings: "One reading every {period}, uncertainty {uncertainty}, longest gap {gap}, clock allowance {ppm} ppm, settle {settle}",
            "Messabstand {period}, Unsicherheit {uncertainty}, längste Lücke {gap}, Abzug für Uhrabweichung {ppm} ppm, Einlaufzeit des Fühlers {settle}",
            "Intervalle de mesure {period}, incertitude {uncertainty}, plus longue lacune {gap}, marge pour l'horloge {ppm} ppm, temps de stabilisation de la sonde {settle}";
        Laxer: "LAXER THAN THE DEFAULT: {which}. Every record that rests on it says so.", "WENIGER STRENG ALS DIE STANDARDEINSTELLUNG: {which}. Jede Aufzeichnung, die darauf beruht, sagt es.", "MOINS SÉVÈRE QUE LE RÉGLAGE PAR DÉFAUT : {which}. Tout enregistrement qui repose là-dessus le dit.";
        Records: "Records: cleaning: {cleaning}, used within {within}; nozzle: {nozzle} (the logger does not ask for them yet)",
            "Angaben: Reinigung: {cleaning}, verwendet binnen {within}; Mischer: {nozzle} (der Logger fragt noch nicht danach)",
            "Déclarations : nettoyage : {cleaning}, employé dans les {within} ; buse : {nozzle} (l'enregistreur ne les demande pas encore)";
        Hands: "People: {names}", "Personen: {names}", "Personnes : {names}";
        Group: "{group}: {number} x {element}", "{group}: {number} x {element}", "{group} : {number} x {element}";
        Stud: "threaded stud {size}", "Gewindestange {size}", "tige filetée {size}";
        Sleeve: "internally threaded sleeve {size}, {outer} mm outside", "Innengewindehülse {size}, außen {outer} mm", "douille taraudée {size}, {outer} mm à l'extérieur";
        Bar: "reinforcing bar {diameter} mm", "Bewehrungsstab {diameter} mm", "barre d'armature {diameter} mm";
        Hole: "hole {wide} mm wide, {deep} mm deep, embedment {embedment} mm, drilled {direction}", "Bohrloch Ø {wide} mm, {deep} mm tief, Verankerungstiefe {embedment} mm, gebohrt {direction}", "trou Ø {wide} mm, profondeur {deep} mm, profondeur d'ancrage {embedment} mm, percé {direction}";
        Sustained: "{hole}, under SUSTAINED TENSION", "{hole}, unter STÄNDIGER ZUGLAST", "{hole}, sous TRACTION PERMANENTE";
        Down: "down", "nach unten", "vers le bas";
        Level: "level", "waagrecht", "à l'horizontale";
        Up: "up", "nach oben", "vers le haut";
        CrackedConcrete: "cracked concrete", "gerissener Beton", "béton fissuré";
        UncrackedConcrete: "uncracked concrete", "ungerissener Beton", "béton non fissuré";
        Masonry: "solid masonry", "Vollmauerwerk", "maçonnerie pleine";
        CastBy: "{substrate}, cast by {date}", "{substrate}, betoniert spätestens am {date}", "{substrate}, coulé au plus tard le {date}";
        DaysOld: "{substrate}, at least {number} days old", "{substrate}, mindestens {number} Tage alt", "{substrate}, vieux d'au moins {number} jours";
        InHole: "{substrate}, {hole} hole", "{substrate}, Bohrloch {hole}", "{substrate}, trou {hole}";
        Distances: "edge distance {edge}; spacing {spacing}", "Randabstand {edge}; Achsabstand {spacing}", "distance au bord {edge} ; entraxe {spacing}";
        DrawnAndLeast: "{drawn} mm drawn, at least {least} mm", "gezeichnet {drawn} mm, mindestens {least} mm", "{drawn} mm sur le plan, au moins {least} mm";
        Least: "at least {least} mm", "mindestens {least} mm", "au moins {least} mm";
        Drawn: "{drawn} mm drawn, no least stated", "gezeichnet {drawn} mm, kein Mindestmaß angegeben", "{drawn} mm sur le plan, aucun minimum indiqué";
        NotStated: "not stated", "nicht angegeben", "non indiqué";
        Torque: "torque {torque} ± {tolerance}", "Montagedrehmoment {torque} ± {tolerance}", "couple de serrage {torque} ± {tolerance}";
        TorqueRange: "torque {least} to {greatest}", "Montagedrehmoment {least} bis {greatest}", "couple de serrage {least} à {greatest}";
        NotTorqued: "not torqued", "nicht angezogen", "non serré";
        Cleaning: "cleaning: {cleaning}", "Reinigung: {cleaning}", "nettoyage : {cleaning}";
        CleaningWith: "cleaning: {cleaning}, blown out with {with}", "Reinigung: {cleaning}, ausgeblasen mit {with}", "nettoyage : {cleaning}, soufflé avec {with}";
        DustExtractingBit: "dust-extracting bit", "Hohlbohrer mit Absaugung", "foret creux à aspiration";
        Blow: "{number} x blow", "{number}x ausblasen", "{number} x soufflage";
        Brush: "{number} x brush", "{number}x ausbürsten", "{number} x brossage";
        Rinse: "{number} x rinse", "{number}x ausspülen", "{number} x rinçage";
        HandPump: "a hand pump", "einer Handpumpe", "une pompe manuelle";
        CompressedAir: "compressed air", "Druckluft", "de l'air comprimé";
        ByColdest: "rule: the cure time of the coldest band met", "Regel: die Aushärtezeit des kältesten angetroffenen Bereichs", "règle : le temps de durcissement de la tranche la plus froide rencontrée";
        ByAccrual: "rule: the cure summed up over the bands (accrual)", "Regel: die Aushärtung, über die Bereiche aufsummiert", "règle : le durcissement cumulé sur les tranches";
        Planned: "planned: {day}; batch: {batch}", "geplant: {day}; Charge: {batch}", "prévu : {day} ; lot : {batch}";
        PlannedExpected: "planned: {day}, {degrees} expected; batch: {batch}", "geplant: {day}, {degrees} erwartet; Charge: {batch}", "prévu : {day}, {degrees} attendus ; lot : {batch}";
        NotSaid: "not said", "nicht genannt", "non précisé";
        People: "certified installer: {installer}; inspector: {inspector}", "zertifizierter Monteur: {installer}; Prüfer: {inspector}", "poseur certifié : {installer} ; contrôleur : {inspector}";
        ProofTests: "proof tests: {number} at {load} kN", "Probebelastungen: {number} mit {load} kN", "essais de traction de contrôle : {number} à {load} kN";
        HeldFor: "{tests}, held for {length}", "{tests}, gehalten {length}", "{tests}, maintenus {length}";
        AtMost: "{tests}, at most {displacement} mm of displacement", "{tests}, höchstens {displacement} mm Verschiebung", "{tests}, {displacement} mm de déplacement au plus";
        AfterFailures: "after one failure: {one}; after more: {more}", "nach einem Versagen: {one}; nach mehreren: {more}", "après une défaillance : {one} ; après plusieurs : {more}";
        InAll: "{number} in all", "{number} insgesamt", "{number} en tout";
        EngineerDecides: "the engineer decides", "der Ingenieur entscheidet", "l'ingénieur décide";
        OneLogger: "one logger: {fixings}", "ein Logger: {fixings}", "un enregistreur : {fixings}";
        Loggers: "{number} loggers: {fixings}", "{number} Logger: {fixings}", "{number} enregistreurs : {fixings}";
        FromTo: "{first} to {last}", "{first} bis {last}", "{first} à {last}";
        NothingOdd: "Nothing in the file looks odd or is left out.", "Nichts in der Datei ist auffällig oder fehlt.", "Rien dans le fichier ne paraît anormal ni ne manque.";
        OneOdd: "One thing in the file looks odd or is left out: see above.", "Eine Stelle in der Datei ist auffällig oder fehlt: siehe oben.", "Une chose dans le fichier paraît anormale ou manque : voir plus haut.";
        ManyOdd: "{number} things in the file look odd or are left out: see above.", "{number} Stellen in der Datei sind auffällig oder fehlen: siehe oben.", "{number} choses dans le fichier paraissent anormales ou manquent : voir plus haut.";
        Compare: "Compare every line with the specification all the same: this states what it says and designs nothing.", "Trotzdem jede Zeile mit den Vorgaben vergleichen: dies sagt, was darin steht, und bemisst nichts.", "Comparer malgré tout chaque ligne avec la spécification : ceci dit ce qu'elle contient et ne dimensionne rien.";
    }
}

phrases! {
    /// What a job needs brought to the site.
    TakeOffPhrase {
        Head: "Take-off: {job}, {site}", "Materialauszug: {job}, {site}", "Métré : {job}, {site}";
        Spare: "Spare: {percent} %. Everything is rounded up; each group begins a new cartridge.", "Reserve: {percent} %. Alles ist aufgerundet; jede Gruppe beginnt eine neue Kartusche.", "Réserve : {percent} %. Tout est arrondi vers le haut ; chaque groupe entame une nouvelle cartouche.";
        AHole: "A hole", "Ein Bohrloch", "Un trou";
        EachGroup: "What each group needs", "Was jede Gruppe braucht", "Ce qu'il faut à chaque groupe";
        InAll: "In all", "Insgesamt", "En tout";
        LookAt: "Look at", "Zu beachten", "À regarder";
        Volumes: "Volumes: around the element over its embedment (threads by the stress area of ISO 898-1), below it, and two thirds of\nthe hole as the fill. The fill and the rules for air, tubes and centring pieces are common practice without a source;\nthe maker's instructions come first.",
            "Volumen: um das Element auf seiner Verankerungstiefe (Gewinde nach dem Spannungsquerschnitt von ISO 898-1), darunter, und zwei\nDrittel des Bohrlochs als Füllung. Füllung und Regeln für Druckluft, Mischerverlängerungen und Zentrierstücke sind übliche Praxis\nohne Quelle; die Anleitung des Herstellers geht vor.",
            "Volumes : autour de l'élément sur sa profondeur d'ancrage (filets selon la section résistante de l'ISO 898-1), dessous, et deux\ntiers du trou comme remplissage. Remplissage et règles pour l'air, les prolongateurs et les centreurs sont d'usage courant, sans\nsource ; la notice du fabricant prime.";
        Group: "group", "Gruppe", "groupe";
        Element: "element", "Element", "élément";
        Hole: "hole", "Bohrloch", "trou";
        Around: "around", "Ringspalt", "autour";
        Below: "below", "darunter", "dessous";
        Fill: "2/3 fill", "2/3 Füllung", "2/3 rempli";
        Covers: "covers", "reicht", "suffit";
        Inject: "inject", "injizieren", "injecter";
        ToFill: "to fill", "Füllzeit", "remplissage";
        Working: "working", "Verarbeitung", "manipulation";
        Yes: "yes", "ja", "oui";
        No: "NO", "NEIN", "NON";
        Fixings: "fixings", "Befestigungen", "scellements";
        WithSpare: "with spare", "mit Reserve", "avec réserve";
        Resin: "resin", "Mörtel", "résine";
        Cartridges: "cartridges", "Kartuschen", "cartouches";
        Nozzles: "nozzles", "Statikmischer", "buses mélangeuses";
        Brushes: "brushes (hole)", "Bürsten (Loch)", "écouvillons (trou)";
        Tubes: "tubes", "Mischerverlängerungen", "prolongateurs";
        BlowWith: "blow with", "ausblasen mit", "souffler avec";
        Centring: "centring", "Zentrierung", "centrage";
        HandPump: "hand pump", "Handpumpe", "pompe manuelle";
        CompressedAir: "compressed air", "Druckluft", "air comprimé";
        OfResin: "{volume} of resin in {number} holes, without waste", "{volume} Mörtel in {number} Bohrlöchern, ohne Verlust", "{volume} de résine dans {number} trous, sans perte";
        OfCartridges: "{number} x cartridge of {volume} ml ({discard} ml of each discarded with its nozzle, {left} ml left in it)", "{number} x Kartusche zu {volume} ml (je Statikmischer {discard} ml Vorlauf verworfen, {left} ml bleiben darin)", "{number} x cartouche de {volume} ml ({discard} ml jetés avec chaque buse mélangeuse, {left} ml restent dedans)";
        OfNozzles: "{number} x nozzle", "{number} x Statikmischer", "{number} x buse mélangeuse";
        SuppliesUnknown: "cartridges and nozzles: not known, the job file has no [supplies]", "Kartuschen und Statikmischer: nicht bekannt, die Auftragsdatei hat kein [supplies]", "cartouches et buses mélangeuses : inconnues, le fichier de chantier n'a pas de [supplies]";
        OfBrushes: "{number} x brush for holes Ø{size} mm", "{number} x Bürste für Bohrlöcher Ø {size} mm", "{number} x écouvillon pour trous Ø {size} mm";
        OfTubes: "{number} x extension tube, at least {size} mm", "{number} x Mischerverlängerung, mindestens {size} mm", "{number} x prolongateur, au moins {size} mm";
        OneHandPump: "a hand pump", "eine Handpumpe", "une pompe manuelle";
        OilFreeAir: "compressed air, 6 bar, oil-free", "Druckluft, 6 bar, ölfrei", "air comprimé, 6 bar, sans huile";
        OfCentring: "{number} x centring piece", "{number} x Zentrierstück", "{number} x centreur";
        Note: "{group}: {note}", "{group}: {note}", "{group} : {note}";
        Short: "batch {batch}: there are {there} cartridges, and its groups need {needed}", "Charge {batch}: {there} Kartuschen sind da, und ihre Gruppen brauchen {needed}", "lot {batch} : il y a {there} cartouches, et ses groupes en demandent {needed}";
        BrushesWear: "brushes: one of each is reckoned; they wear, and the job file doesn't say how fast (holes_per_brush)", "Bürsten: je eine ist gerechnet; sie nutzen sich ab, und die Auftragsdatei sagt nicht, wie schnell (holes_per_brush)", "écouvillons : un de chaque est compté ; ils s'usent, et le fichier de chantier ne dit pas à quelle vitesse (holes_per_brush)";
        FillTooSmall: "two thirds of the hole don't fill what is around and below the element: more is reckoned with; ask the engineer", "zwei Drittel des Bohrlochs füllen nicht, was um und unter dem Element ist: es ist mit mehr gerechnet; den Ingenieur fragen", "les deux tiers du trou ne remplissent pas ce qui est autour et sous l'élément : on compte davantage ; demander à l'ingénieur";
        FillTooSlow: "filling takes as long as the working time or longer: it can't be seated in time", "das Füllen dauert so lange wie die Verarbeitungszeit oder länger: es kann nicht rechtzeitig gesetzt werden", "remplir prend autant que le temps de manipulation ou plus : la mise en place à temps est impossible";
        LittleTimeLeft: "filling takes more than half of the working time: little is left for seating", "das Füllen dauert mehr als die halbe Verarbeitungszeit: zum Setzen bleibt wenig", "remplir prend plus de la moitié du temps de manipulation : il en reste peu pour la mise en place";
        CartridgeChange: "a hole takes more than one cartridge: it has to be changed while the working time runs", "ein Bohrloch braucht mehr als eine Kartusche: sie ist zu wechseln, während die Verarbeitungszeit läuft", "un trou prend plus d'une cartouche : il faut en changer pendant le temps de manipulation";
        PumpPrescribed: "a hand pump is prescribed where compressed air (6 bar, oil-free) is common practice", "eine Handpumpe ist vorgegeben, wo Druckluft (6 bar, ölfrei) üblich ist", "une pompe manuelle est prescrite là où l'air comprimé (6 bar, sans huile) est d'usage";
        NoTemperature: "no expected temperature is given (expected_c), so the working time isn't known", "keine erwartete Temperatur ist angegeben (expected_c), darum ist die Verarbeitungszeit nicht bekannt", "aucune température attendue n'est donnée (expected_c) : le temps de manipulation est inconnu";
        NoPumpingRate: "no pumping rate is given (pumping_ml_per_min), so the time to fill isn't known", "keine Fördermenge ist angegeben (pumping_ml_per_min), darum ist die Füllzeit nicht bekannt", "aucun débit n'est donné (pumping_ml_per_min) : la durée de remplissage est inconnue";
    }
}
