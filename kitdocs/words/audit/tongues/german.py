"""German as the audit reads it: decimal comma, joined words, declined forms."""

from __future__ import annotations

import re

from kitdocs.words.audit.tongues.german_articles import wrong_article
from kitdocs.words.audit.tongues.german_grammar import GERMAN_GRAMMAR
from kitdocs.words.audit.tongues.german_roles import GERMAN_ROLES
from kitdocs.words.audit.tongues.spoken import german, german_first
from kitdocs.words.audit.tongues.tongue import Tongue
from kitdocs.words.number_words import ordinal


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


_UMLAUTS = str.maketrans("äöü", "aou")
_ENDING = re.compile(r"(?:ern|en|er|es|em|e|n|s)$")


def _stem(word: str) -> str:
    """Without its ending of number and case, umlauts folded: Räder, Rades, Rad."""
    folded = word.translate(_UMLAUTS)
    return _ENDING.sub("", folded) if len(folded) > 4 else folded


_NOUNS = {
    "wheel": "rad räder rädern rades rads zahnrad zahnräder zahnrädern ritzel ritzeln kegelrad"
    " kegelräder kegelrädern",
    "worm": "schnecke schnecken",
    "pulley": "riemenscheibe riemenscheiben",
    "arbor": "welle wellen",
    "pipe": "rohr rohre rohren rohres rohrs",
    "post": "pfosten säule säulen zapfen",
    "rod": "stab stäbe stäben stange stangen",
    "hub": "nabe naben",
    "collet": "stellring stellringe stellringen klemmring klemmringe klemmringen bundring",
    "spacer": "distanzring distanzringe distanzringen distanzhülse distanzhülsen hülse hülsen"
    " abstandsring abstandsringe abstandshülse abstandshülsen",
    "bush": "buchse buchsen",
    "pillar": "stütze stützen",
    "foot": "fuß füße füßen",
    "knob": "knauf knäufe",
    "flange": "flansch flansche flanschen flansches",
    "washer": "scheibe scheiben unterlegscheibe unterlegscheiben",
    "plate": "platte platten",
    "dial": "zifferblatt zifferblätter skala skalen",
    "arm": "arm arme armen arms",
    "hand": "zeiger zeigern",
    "ball": "kugel kugeln",
    "screw": "schraube schrauben gewindestift gewindestifte gewindestiften",
    "nut": "mutter muttern",
    "fastener": "verbinder",
    "tooth": "zahn zähne zähnen zahns zahnes",
    "hole": "loch löcher löchern bohrung bohrungen gewinde gewinden",
    "step": "schritt schritte schritten",
    "stage": "stufe stufen etappe etappen abschnitt abschnitte abschnitten",
    "parcel": "paket pakete paketen sendung sendungen lieferung lieferungen",
    "planet": "planet planeten",
    "pair": "paar paare paaren eingriff eingriffe radpaar radpaare",
}
_UNITS = {
    ("mm", 1.0): "millimeter millimetern millimeters",
    ("mm", 10.0): "zentimeter zentimetern",
    ("mm", 25.4): "zoll",
    ("deg", 1.0): "grad",
    ("deg", 1 / 60): "bogenminute bogenminuten",
    ("%", 1.0): "prozent",
    ("day", 1.0): "tag tage tagen tages",
    ("day", 7.0): "woche wochen",
    ("day", 30.436875): "monat monate monaten",
    ("day", 365.25): "jahr jahre jahren jahres",
    ("day", 36525.0): "jahrhundert jahrhunderte jahrhunderten",
    ("day", 1 / 24): "stunde stunden std",
    ("day", 1 / 1440): "minute minuten",
    ("day", 1 / 86400): "sekunde sekunden",
    ("g", 1.0): "gramm",
    ("turn", 1.0): "umdrehung umdrehungen drehung drehungen umlauf umläufe umläufen"
    " kurbelumdrehung kurbelumdrehungen kurbeldrehung kurbeldrehungen",
    ("times", 1.0): "mal",
}
_FACTS = {
    ("length", "width", "depth", "reach"): "lang lange langen länge längen",
    ("bore",): "gebohrt bohrung bohrungen innendurchmesser",
    ("diameter", "outside", "size", "hub"): "durchmesser",
    ("width", "face", "outside"): "breite breit breiten",
    ("thickness", "face", "height", "diameter"): "stark starke starken stärke dick dicke dicken"
    " dicker",
    ("width", "depth"): "quadrat kantenlänge",
    ("bore", "size"): "innen",
    ("outside", "diameter"): "außendurchmesser außen",
    ("reach",): "reichweite",
    ("depth", "shoulder"): "tief tiefe tiefen",
    ("shoulder",): "absatz absatzes absätze absätzen",
    ("distance",): "abstand auseinander entfernt achsabstand entfernung",
    ("size", "bore"): "loch löcher löchern bohrung bohrungen",
    ("module",): "modul",
    ("circle",): "lochkreis kreis",
    ("height", "length", "thickness"): "hoch hohe hohen höhe",
}


def _ordinals() -> dict[str, int]:
    found = {}
    for n in range(1, 100):
        for ending in ("", "n", "r", "s", "m"):
            found[ordinal(n, "de") + ending] = n
    return found


GERMAN = Tongue(
    code="de",
    mark=",",
    spoken=german,
    first=german_first,
    nouns={form: key for key, forms in _NOUNS.items() for form in forms.split()},
    units={word: unit for unit, words in _UNITS.items() for word in words.split()},
    facts=Tongue.table(_FACTS),
    references={
        **dict.fromkeys(("schritt", "schritte", "schritten"), "step"),
        **dict.fromkeys(("stufe", "stufen", "etappe", "etappen", "abschnitt"), "stage"),
        **dict.fromkeys(("paket", "pakete", "sendung", "lieferung"), "parcel"),
        **dict.fromkeys(("bild", "bilder", "abbildung", "abb", "seite", "kapitel"), "figure"),
        **dict.fromkeys(("zeichnung",), "figure"),
        **dict.fromkeys(("loch", "löcher", "löchern", "bohrung", "bohrungen"), "hole"),
        **dict.fromkeys(("revision", "version", "fassung"), "revision"),
        **dict.fromkeys(("monat",), "month"),
    },
    ordinals=_ordinals(),
    about=_set("etwa ungefähr rund circa ca knapp gut fast annähernd ~ ≈"),
    most=("innerhalb", "höchstens", "weniger als", "nicht mehr als", "bis zu", "unter", "maximal"),
    least=("mindestens", "mehr als", "nicht weniger als", "über"),
    stops=_set(
        "von vom auf in im ins an am zu zum zur aus mit bei für und oder aber der die das dem den"
        " des ein eine einen einem einer eines dieser diese dieses ist sind war als es sich dann"
        " bis wenn während durch über unter zwischen neben ab um gegen muss müssen kann können wird"
        " werden hat haben geht gehen kommt kommen braucht nach vor"
    ),
    partitive=_set("von der des dieser"),
    articles=_set("ein eine einen einem einer eines"),
    each=_set("je jede jeder jedes jedem jeden pro andere anderen anderer nächste nächsten beide"),
    joins=_set("bis oder und"),
    months=_set(
        "januar jänner februar märz april mai juni juli august september oktober november dezember"
    ),
    tooth=re.compile(
        r"(?<![\w.,/])(\d+|[a-zäöüß]+?)[ \u00a0\u2011-]*"
        r"(?:zähn(?:e|en|ig\w*|er\w*)|zahn(?:s|es|rad\w*|räder\w*|ritzel\w*)?"
        r"|er[ \u00a0-]?(?=(?:zahn)?rad|ritzel))\b",
        re.I,
    ),
    has=_set("hat haben"),
    wrong_article=wrong_article,
    says=_set("hat haben ist sind misst"),
    driver=re.compile("schlüssel|dreher|zieher"),
    about_teeth=re.compile("z[aä]hn|er[ \u00a0-]?(?:zahn)?r(?:ad|itzel)", re.I),
    stem=_stem,
    sorts={
        "bevel-wheel": re.compile(r"kegelr"),
        "ring-wheel": re.compile(r"hohlr|innenverzahn"),
        "contrate-wheel": re.compile(r"kronr"),
        "set-screw": re.compile(r"gewindestift|madenschraube"),
    },
    fractions={},
    grammar=GERMAN_GRAMMAR,
    roles=GERMAN_ROLES,
    same=(
        _set("rad räder rädern rades zahnrad zahnräder zahnrädern zahnrades"),
        _set("schraube schrauben bolzen"),
        _set("gewindestift gewindestifte gewindestiften madenschraube madenschrauben wurmschraube"),
        _set("welle wellen achse achsen spindel spindeln"),
        _set("rohr rohre rohren rohres röhre röhren"),
        _set("scheibe scheiben beilagscheibe beilagscheiben"),
        _set("paket pakete paketen sendung sendungen lieferung lieferungen päckchen"),
        _set("stellring stellringe klemmring klemmringe"),
        _set("sechskantschlüssel inbusschlüssel imbusschlüssel inbus"),
        _set("kegelrad kegelräder kegelrädern winkelrad winkelräder"),
    ),
)
