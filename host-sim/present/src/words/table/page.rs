//! The foreman's page.

use crate::words::phrase::phrases;

phrases! {
    /// Every word of the page that is not a word of a status.
    PagePhrase {
        SeatNow: "Seat now", "Jetzt setzen", "Mettre en place maintenant";
        TorqueNow: "May be torqued", "Darf angezogen werden", "Peut être serré";
        NotSigned: "Look at the logger: not signed", "Auf den Logger schauen: nicht signiert", "Regarder l'enregistreur : non signé";
        Next: "Next", "Als Nächstes", "À suivre";
        Held: "Held, no forecast", "Angehalten, keine Vorhersage", "Suspendu, sans prévision";
        DoNotLoad: "Do not load", "Nicht belasten", "Ne pas charger";
        DoNotInject: "Do not inject", "Nicht injizieren", "Ne pas injecter";
        Planned: "Not injected", "Nicht injiziert", "Non injecté";
        Released: "Released", "Freigegeben", "Bon pour mise en charge";

        SeatNowNote: "Injected. Seat before the time given.", "Injiziert. Vor der angegebenen Zeit setzen.", "Injecté. Mettre en place avant l'heure donnée.";
        TorqueNowNote: "Cured when its logger was read out. Look at the logger before the wrench moves.",
            "War ausgehärtet, als der Logger ausgelesen wurde. Auf den Logger schauen, bevor der Schlüssel sich bewegt.",
            "Était durci quand son enregistreur a été relevé. Regarder l'enregistreur avant de tourner la clé.";
        NotSignedNote: "By the memory cured, or torqued, and no known key signed that. No leave to torque or load: look at the logger.",
            "Laut Speicher ausgehärtet oder angezogen, und kein bekannter Schlüssel hat das signiert. Keine Erlaubnis anzuziehen oder zu belasten: auf den Logger schauen.",
            "Selon la mémoire durci ou serré, et aucune clé connue ne l'a signé. Cela n'autorise ni à serrer ni à charger : regarder l'enregistreur.";
        OfTrace: "RECORDED TRACE, not a logger's probe", "AUFGEZEICHNETE MESSREIHE, kein Fühler eines Loggers", "SÉRIE ENREGISTRÉE, pas la sonde d'un enregistreur";
        NextNote: "Leave alone. Earliest time if it stays as warm as at the last reading: a forecast is no release.",
            "Nicht berühren. Früheste Zeit, wenn es so warm bleibt wie beim letzten Messwert: eine Vorhersage ist keine Freigabe.",
            "Ne pas toucher. Heure la plus proche s'il fait toujours aussi chaud qu'à la dernière mesure : une prévision n'est pas un bon de mise en charge.";
        HeldNote: "Leave alone. The cure does not count, or the readings have stopped; nobody can say when.",
            "Nicht berühren. Die Aushärtung zählt nicht, oder die Messwerte haben aufgehört; niemand kann sagen, wann.",
            "Ne pas toucher. Le durcissement ne compte pas, ou les mesures se sont arrêtées ; personne ne peut dire quand.";
        DoNotLoadNote: "Never torque or load these. What becomes of a rejected fixing is the engineer's decision.",
            "Diese nie anziehen oder belasten. Was aus einer gesperrten Befestigung wird, entscheidet der Ingenieur.",
            "Ne jamais les serrer ni les charger. L'ingénieur décide de la suite pour un scellement rejeté.";
        DoNotInjectNote: "The start was refused, for the reason given.", "Die Injektion wurde nicht zugelassen, aus dem angegebenen Grund.", "L'injection a été refusée, pour la raison donnée.";
        PlannedNote: "Nothing is recorded of an injection.", "Von einer Injektion ist nichts aufgezeichnet.", "Aucune injection n'est enregistrée.";
        ReleasedNote: "Cured and torqued as specified. The foreman may let the next trade load them.",
            "Ausgehärtet und wie vorgegeben angezogen. Der Polier darf sie vom nächsten Gewerk belasten lassen.",
            "Durcis et serrés comme spécifié. Le chef de chantier peut les laisser charger par le corps d'état suivant.";

        SeatNowMoment: "at the latest", "spätestens", "au plus tard";
        TorqueNowMoment: "cured", "ausgehärtet", "durci";
        NextMoment: "forecast, no earlier", "Vorhersage, nicht früher", "prévision, pas avant";
        ReleasedMoment: "torqued", "angezogen", "serré";

        Title: "Bonded fixings", "Befestigungen mit Injektionsmörtel", "Scellements chimiques";
        Group: "Group", "Gruppe", "Groupe";
        AllGroups: "All groups", "Alle Gruppen", "Tous les groupes";
        Show: "Show", "Zeigen", "Afficher";
        Overview: "Overview", "Übersicht", "Aperçu";
        FixingColumn: "Fixing", "Befestigung", "Scellement";
        TimeColumn: "Time", "Zeit", "Heure";
        StatusColumn: "Status", "Stand", "État";
        AsOfNote: "This page says what the loggers recorded up to their last read-out. Time has passed since; what a logger says now counts.",
            "Diese Seite sagt, was die Logger bis zum letzten Auslesen aufgezeichnet haben. Seither ist Zeit vergangen; was ein Logger jetzt sagt, zählt.",
            "Cette page dit ce que les enregistreurs ont enregistré jusqu'à leur dernière relève. Du temps a passé depuis ; ce qu'un enregistreur dit maintenant compte.";
        Live: "Live: additions to the register show here by themselves.", "Laufend: was ins Register aufgenommen wird, erscheint hier von selbst.", "En direct : ce qui entre au registre apparaît ici de soi-même.";
        LostConnection: "CONNECTION LOST. What you see may be old.", "VERBINDUNG VERLOREN. Was Sie sehen, kann veraltet sein.", "CONNEXION PERDUE. Ce que vous voyez peut être ancien.";
        Failed: "THE REGISTER CANNOT BE READ. What you see may be old.", "DAS REGISTER IST NICHT LESBAR. Was Sie sehen, kann veraltet sein.", "LE REGISTRE N'EST PAS LISIBLE. Ce que vous voyez peut être ancien.";
        NoScript: "Without scripts this page does not renew itself: load it again.", "Ohne Skripte erneuert sich diese Seite nicht: neu laden.", "Sans scripts cette page ne se renouvelle pas : la recharger.";
        Made: "Made", "Erstellt", "Établi";
        ForecastPassed: "This time has passed. That is no release: read the logger out.", "Diese Zeit ist vorbei. Das ist keine Freigabe: den Logger auslesen.", "Cette heure est passée. Ce n'est pas un bon de mise en charge : relever l'enregistreur.";
        SeatPassed: "This time has passed. If it was not seated by then, it is rejected: look at the logger.",
            "Diese Zeit ist vorbei. Wurde bis dahin nicht gesetzt, ist sie gesperrt: auf den Logger schauen.",
            "Cette heure est passée. S'il n'a pas été mis en place avant, il est rejeté : regarder l'enregistreur.";
        NotChecked: "DO NOT LOAD: CODE NOT CHECKED", "NICHT BELASTEN: CODE NICHT GEPRÜFT", "NE PAS CHARGER : CODE NON VÉRIFIÉ";
        FromTo: "{first} to {last}", "{first} bis {last}", "{first} à {last}";
        OtherFile: "loaded from another job file or version, {hash}", "mit einer anderen Auftragsdatei oder Fassung geladen, {hash}", "chargé d'un autre fichier de chantier ou d'une autre version, {hash}";
        OtherFileHead: "DO NOT LOAD: OTHER JOB FILE", "NICHT BELASTEN: ANDERE AUFTRAGSDATEI", "NE PAS CHARGER : AUTRE FICHIER DE CHANTIER";
        OtherFileSentence: "Do not load it: its logger says {headline}, but was loaded from another job file or version, {hash}. If that is an earlier version of this job, give it as well (--job).",
            "Nicht belasten: ihr Logger sagt {headline}, wurde aber mit einer anderen Auftragsdatei oder Fassung geladen, {hash}. Ist das eine frühere Fassung dieses Auftrags, auch sie angeben (--job).",
            "Ne pas charger : son enregistreur dit {headline}, mais a été chargé d'un autre fichier de chantier ou d'une autre version, {hash}. Si c'est une version antérieure de ce chantier, la donner aussi (--job).";
        NoRecord: "The register holds nothing of it.", "Das Register enthält nichts davon.", "Le registre n'en contient rien.";
        Empty: "The register holds no fixing of this job.", "Das Register enthält keine Befestigung dieses Auftrags.", "Le registre ne contient aucun scellement de ce chantier.";
        Proved: "release proved", "Freigabe nachgewiesen", "bon de mise en charge prouvé";
        Unchecked: "release not held against keys yet", "Freigabe noch mit keinem Schlüssel geprüft", "bon de mise en charge pas encore vérifié avec des clés";
        Invented: "INVENTED RESIN, never on site", "ERFUNDENER MÖRTEL, nie auf der Baustelle", "RÉSINE INVENTÉE, jamais sur chantier";
        ShowAll: "show all", "alle zeigen", "tout afficher";
        AsOf: "as of {time}", "Stand {time}", "état au {time}";
        Ago: "{length} ago", "vor {length}", "il y a {length}";
        JustNow: "less than a minute ago", "vor weniger als einer Minute", "il y a moins d'une minute";
        ClockAhead: "its clock is ahead of this one", "seine Uhr geht dieser vor", "son horloge avance sur celle-ci";
        Others: "{number} fixings in the register belong to other job files and are not shown.", "{number} Befestigungen im Register gehören zu anderen Auftragsdateien und sind nicht gezeigt.", "{number} scellements du registre appartiennent à d'autres fichiers de chantier et ne sont pas affichés.";
        More: "{number} more: choose a group, or", "{number} weitere: eine Gruppe wählen, oder", "encore {number} : choisir un groupe, ou";
        Changed: "{label}: {headline}", "{label}: {headline}", "{label} : {headline}";
        ChangedMany: "{number} fixings changed.", "{number} Befestigungen haben sich geändert.", "{number} scellements ont changé.";
        ByCodeTorqued: "By its release code torqued to {torque} at {time}. Its memory is still to be read out.", "Laut Freigabecode mit {torque} angezogen ({time}). Der Speicher ihres Loggers ist noch auszulesen.", "Selon son code de bon de mise en charge, serré à {torque} ({time}). La mémoire de son enregistreur reste à relever.";
        ByCode: "By its release code still cured at {time}. Its memory is still to be read out.", "Laut Freigabecode noch ausgehärtet ({time}). Der Speicher ihres Loggers ist noch auszulesen.", "Selon son code de bon de mise en charge, encore durci ({time}). La mémoire de son enregistreur reste à relever.";

        OtherName: "This page is not served under that name.", "Unter diesem Namen gibt es diese Seite nicht.", "Cette page n'est pas servie sous ce nom.";
        NeedsToken: "Open the page with its token.", "Die Seite mit ihrem Kennwort öffnen.", "Ouvrir la page avec son jeton.";
        OnlyLooks: "This page can only be looked at.", "Diese Seite kann nur angesehen werden.", "Cette page se regarde seulement.";
        OnePage: "There is only one page here: /", "Hier gibt es nur eine Seite: /", "Il n'y a qu'une page ici : /";
        TooMany: "Too many pages are open.", "Es sind zu viele Seiten offen.", "Trop de pages sont ouvertes.";
    }
}
