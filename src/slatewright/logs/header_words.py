"""The words of the trade that head a column, in the languages of the logbooks that come in.

Small letters, accents left off, marks as spaces: as `detection.plain` makes them.
"""

from __future__ import annotations

from typing import Final

from slatewright.logs.fields import BareDuration, ClockDuration, Field
from slatewright.logs.logged import DepthUnit

HEADER_WORDS: Final[dict[Field, tuple[str, ...]]] = {
    Field.DATE: (
        "date", "dive date", "day", "datetime", "date time", "date and time", "datum",
        "tauchdatum", "tag", "jour", "fecha", "data", "dato", "pvm", "дата",
    ),
    Field.BEGAN: (
        "time", "start", "start time", "time in", "entry", "entry time", "in", "began", "began at",
        "uhrzeit", "zeit", "startzeit", "beginn", "einstieg", "heure", "heure debut",
        "mise a l eau", "hora", "hora inicio", "hora de entrada", "entrada", "ora", "ora inizio",
        "inizio", "ingresso", "tijd", "starttijd", "begin", "starttid", "tid", "klokkeslett",
        "godzina", "время",
    ),
    Field.ENDED: (
        "end", "end time", "time out", "exit", "exit time", "out", "ended at", "ende", "endzeit",
        "ausstieg", "heure fin", "sortie", "hora fin", "hora de salida", "salida", "saida",
        "ora fine", "fine", "uscita", "eindtijd", "einde", "sluttid",
    ),
    Field.MINUTES: (
        "duration", "dive time", "divetime", "run time", "runtime", "total time", "minutes", "min",
        "length", "dauer", "tauchzeit", "tauchdauer", "gesamtzeit", "duree", "temps de plongee",
        "temps total", "duracion", "duracao", "tiempo total", "durata", "tempo di immersione",
        "duur", "duiktijd", "dykktid", "dyktid", "dykketid", "varighet", "varighed", "kesto",
        "czas nurkowania", "czas trwania", "длительность", "продолжительность",
    ),
    Field.DEPTH: (
        "depth", "max depth", "maximum depth", "depth max", "greatest depth", "deepest",
        "max", "maxdepth", "tiefe", "max tiefe", "maximale tiefe", "tiefe max", "tauchtiefe",
        "maximaltiefe", "maxtiefe", "profondeur", "prof", "prof max", "profondeur max",
        "profondeur maximale", "profundidad", "profundidad maxima", "profundidad max",
        "profundidade", "profundidade maxima", "profondita", "profondita massima", "diepte",
        "max diepte", "maximale diepte", "dybde", "djup", "maxdjup", "max dybde", "syvyys",
        "glebokosc", "max glebokosc", "глубина",
    ),
    Field.UNIT: (
        "unit", "units", "depth unit", "unit of depth", "unit system", "einheit", "einheiten",
        "unite", "unites", "unidad", "unidades", "unita", "eenheid", "enhet",
    ),
    Field.GAS: (
        "gas", "gases", "mix", "mixes", "gas mix", "gasmix", "mixture", "breathing gas",
        "bottom gas", "atemgas", "gemisch", "gase", "gaz", "melange", "melanges", "mezcla",
        "mezclas", "mistura", "misture", "miscela", "miscele", "gassen", "mengsel", "blandning",
        "blanding", "mieszanina", "газ", "смесь",
    ),
    Field.O2: (
        "o2", "oxygen", "fo2", "o2 percent", "oxygen percent", "o2 fraction", "sauerstoff",
        "oxygene", "oxigeno", "oxigenio", "ossigeno", "zuurstof", "syre", "tlen", "кислород",
    ),
    Field.HE: (
        "he", "helium", "fhe", "he percent", "helium percent", "he fraction", "helio", "elio",
        "hel", "гелий",
    ),
    Field.CIRCUIT: (
        "circuit", "mode", "dive mode", "oc ccr", "rebreather", "apparatus", "kreislauf",
        "tauchmodus", "modus", "mode de plongee", "circuito", "modo",
    ),
    Field.ROLE: (
        "role", "as", "function", "capacity", "rolle", "funktion", "fonction", "rol", "funcion",
        "funcao", "ruolo", "funzione", "functie", "roll", "funksjon",
    ),
    Field.DECOMPRESSION: (
        "decompression", "deco", "deco dive", "decompression dive", "deco stops", "dekompression",
        "deko", "dekotauchgang", "decompressie", "paliers", "descompresion", "descompressao",
        "decompressione", "декомпрессия",
    ),
    Field.PARTNERS: (
        "partner", "partners", "buddy", "buddies", "team", "dived with", "with", "dive buddy",
        "tauchpartner", "mittaucher", "binome", "equipier", "palanquee", "companero",
        "companeros", "pareja", "compagno", "compagni", "duikmaatje", "companheiro", "dupla",
        "makker", "parkamrat", "pari", "partner nurkowy", "напарник",
    ),
    Field.EQUIPMENT: (
        "equipment", "gear", "kit", "configuration", "ausrustung", "ausruestung", "konfiguration",
        "equipement", "materiel", "equipo", "attrezzatura", "equipamento", "uitrusting",
        "utrustning", "utstyr", "sprzet", "снаряжение",
    ),
    Field.NUMBER: (
        "number", "no", "nr", "dive number", "dive no", "dive nr", "n", "#", "dive #", "dive",
        "id", "tauchgang", "tg nr", "nummer", "tauchgangsnummer", "numero", "num", "plongee",
        "plongee n", "inmersion", "immersione", "duiknummer", "duik", "dykk", "numer", "номер",
    ),
    Field.PLACE: (
        "place", "site", "dive site", "divesite", "location", "spot", "dive spot", "country",
        "town", "ort", "tauchplatz", "tauchort", "gewasser", "land", "lieu", "site de plongee",
        "pays", "lugar", "sitio", "punto de inmersion", "pais", "luogo", "sito", "localita",
        "paese", "plaats", "duikplaats", "duikstek", "local", "plats", "sted", "miejsce", "место",
    ),
    Field.REMARK: (
        "remark", "remarks", "note", "notes", "comment", "comments", "description", "bemerkung",
        "bemerkungen", "notiz", "notizen", "kommentar", "anmerkung", "remarque", "remarques",
        "commentaire", "commentaires", "observaciones", "notas", "comentario", "comentarios",
        "commento", "commenti", "opmerking", "opmerkingen", "observacoes", "anmarkning",
        "merknad", "uwagi", "примечание", "примечания",
    ),
}  # fmt: skip
"""Words, the commonest first."""

OTHER_WORDS: Final = (
    "average", "avg", "mean", "mittlere", "mittel", "durchschnitt", "durchschnittstiefe",
    "moyenne", "moy", "promedio", "gemiddelde", "gemiddeld", "surface", "interval", "intervall",
    "intervalle", "oberflache", "oberflachenpause", "temperature", "temp", "temperatur",
    "temperatura", "stop depth", "safety stop", "visibility", "sicht", "pressure", "druck",
    "weight", "blei", "birth", "cns", "otu", "altitude", "n2", "nitrogen",
)  # fmt: skip
"""Words that say that a column is about something else, whatever stands beside them."""

LEAVES_OUT_ASCENT: Final = ("bottom time", "grundzeit", "temps fond", "tiempo de fondo")
"""Times that stop before the ascent: offered as the duration, never sure."""

DEPTH_UNITS: Final[dict[str, DepthUnit]] = {
    **dict.fromkeys(
        ("m", "mt", "mtr", "mtrs", "metre", "metres", "meter", "meters", "metro", "metros",
         "metri", "metric", "metrisch", "метр", "метров", "м"),
        DepthUnit.METRES,
    ),
    **dict.fromkeys(
        ("ft", "feet", "foot", "fuss", "fuß", "pied", "pieds", "pie", "pies", "piede", "piedi",
         "voet", "imperial", "fot"),
        DepthUnit.FEET,
    ),
}  # fmt: skip
"""Words for the units of depth."""

DURATION_UNITS: Final[dict[str, BareDuration | ClockDuration]] = {
    **dict.fromkeys(
        ("min", "mins", "minutes", "minuten", "minuti", "minutos", "mn", "minuter", "мин"),
        BareDuration.MINUTES,
    ),
    **dict.fromkeys(
        ("s", "sec", "secs", "seconds", "sek", "sekunden", "secondes", "segundos", "secondi"),
        BareDuration.SECONDS,
    ),
    **dict.fromkeys(("h", "hours", "hrs", "std", "stunden", "heures"), BareDuration.HOURS),
    **dict.fromkeys(
        ("h:mm", "hh:mm", "h:m", "h:min", "hh:min", "std:min"), ClockDuration.HOURS_MINUTES
    ),
    **dict.fromkeys(("mm:ss", "m:ss", "min:s", "min:sec", "min:ss"), ClockDuration.MINUTES_SECONDS),
}  # fmt: skip
"""Words for the forms of a duration."""
