"""Polish as the audit reads it: decimal comma, seven cases, numbers joined to adjectives."""

from __future__ import annotations

import re

from kitdocs.words.audit.tongues.polish_roles import POLISH_ROLES
from kitdocs.words.audit.tongues.spoken import POLISH_FIRST, polish
from kitdocs.words.audit.tongues.tongue import Tongue
from kitdocs.words.number_words import ordinal


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


_ENDINGS = _set(
    "a ach ami ą e ego ei ej em emu ę i ia iach iami ią ich ie iego iej iem iemu ię im imi io iom"
    " iu o om owi ów u y ych ym ymi"
)
_ENDING = re.compile(rf"(?:{'|'.join(sorted(_ENDINGS, key=len, reverse=True))})$")
#: Consonants before the ending -e, and what they are elsewhere: piaście, piasta; płycie, płyta.
_SOFTENED = (("ście", "st"), ("cie", "t"), ("dzie", "d"))
#: A vowel that only words without an ending have: wałek, wałka; podkładek, podkładka.
_FLEETING = re.compile(r"(?<=[bcćdfghjklłmnńprsśtwzźż])ek$")
#: Letters that change with the ending: koło, kół, kole; ząb, zęby; pierścień, pierścienia.
_FOLDED = str.maketrans("óąńśćźł", "oęnsczl")
#: How a stem may end before other endings: rurce, rurka; nodze, noga; rurze, rura; oleju, olej.
_LAST = ((re.compile("c$"), "k"), (re.compile("dz$"), "g"), (re.compile("rz$"), "r"),
         (re.compile("(?<=.)ej$"), ""))  # fmt: skip


def _stem(word: str) -> str:
    """Without its ending of number and case, of which it leaves some letters."""
    if re.match(r"rami(?:ę|en|on)", word):
        return "rami"
    if word in ("kolej", "kolei"):  # in turn: no wheel
        return "kolej"
    stem = word
    if len(word) > 3:
        soft = next((pair for pair in _SOFTENED if word.endswith(pair[0])), None)
        stem = word.removesuffix(soft[0]) + soft[1] if soft else _ENDING.sub("", word)
        stem = _FLEETING.sub("k", stem if len(stem) > 1 else word)
    stem = stem.translate(_FOLDED)
    for last, other in _LAST:
        stem = last.sub(other, stem)
    return stem


def _forms(words: str) -> frozenset[str]:
    """Words in every form: a stem that ends in a hyphen has every ending."""
    found: set[str] = set()
    for word in words.split():
        stem = word.removesuffix("-")
        found |= {stem} if stem == word else {stem, *(stem + ending for ending in _ENDINGS)}
    return frozenset(found)


_NOUNS = {
    "wheel": "koł- kół kole zębnik-",
    "worm": "ślimak-",
    "arbor": "wał- wale wałek wałk-",
    "pipe": "rur- rurze rurek rurk- rurce",
    "post": "słupek słupk-",
    "rod": "pręt- pręcie",
    "hub": "piast- piaście",
    "collet": "pierścień pierścien- pierścieni-",
    "spacer": "tulejek tulejk- tulejce tulej- tulei",
    "bush": "panewek panewk- panewce",
    "pillar": "kolumn- kolumienek kolumienk-",
    "foot": "nóżek nóżk- nóżce stopek stopk- stopce",
    "knob": "gałek gałk- gałce",
    "flange": "kołnierz-",
    "washer": "podkładek podkładk- podkładce",
    "plate": "płyt- płycie płytek płytk- płytce",
    "dial": "tarcz-",
    "hand": "wskazówek wskazówk- wskazówce",
    "arm": "ramię ramien- ramieni- ramion-",
    "ball": "kul- kulek kulk- kulce",
    "screw": "śrub- śrubek śrubk- wkręt- wkręcie",
    "nut": "nakrętek nakrętk- nakrętce",
    "tooth": "ząb zęb-",
    "hole": "otwór otwor- otworek otwork-",
    "step": "krok-",
    "stage": "etap-",
    "parcel": "paczek paczk- paczce przesyłek przesyłk- przesyłce",
    "planet": "planet- planecie",
    "pair": "par- parze",
}
_UNITS = {
    ("mm", 1.0): "milimetr- milimetrze",
    ("mm", 10.0): "centymetr- centymetrze",
    ("deg", 1.0): "stopień stopni-",
    ("%", 1.0): "procent- procencie",
    ("day", 1.0): "dzień dnia dniu dniem dni dniom dniami dniach dob- dób",
    ("day", 7.0): "tydzień tygodni-",
    ("day", 30.436875): "miesiąc- miesięcy",
    ("day", 365.25): "rok roku rokiem rokowi lata lat latom latami latach",
    ("day", 36525.0): "stuleci-",
    ("day", 1 / 24): "godzin-",
    ("day", 1 / 96): "kwadrans-",
    ("day", 1 / 1440): "minut- minucie",
    ("day", 1 / 86400): "sekund- sekundzie",
    ("g", 1.0): "gram-",
    ("turn", 1.0): "obrót obrot- obieg-",
    ("times", 1.0): "razy raza",
}
_FACTS = {
    ("length",): "długi długa długie długiego długiej długości długość długością",
    ("width", "diameter", "outside"): "szeroki szeroka szerokie szerokich",
    ("diameter", "outside", "size"): "średnica średnicy średnicę średnicą średnice",
    ("width", "face", "outside"): "szeroki szeroka szerokość szerokości szerokością",
    ("thickness", "face", "height", "diameter"): "gruby gruba grube grubość grubości grubością",
    ("depth",): "głębokość głębokości głęboki głęboka głębokie",
    ("distance",): "odległość odległości rozstaw rozstawie odległe odległy odległa oddalone"
    " oddalona oddalony oddalonych",
    ("distance", "reach"): "oś osi osie osiom osiami osiach środka",
    ("reach",): "sięga sięgają wysięg wysięgu wysięgiem",
    ("size", "bore"): "otwory otworów otwór otworu otworem otworze otworami otworach",
    ("circle",): "okrąg okręgu okręgiem",
    ("module",): "moduł modułu module modułem",
    ("height", "length", "thickness"): "wysoki wysoka wysokie wysokość wysokości wysokością",
}
#: What is told of things, at which the words before a noun end: a verb looks like an adjective.
_VERBS = (
    "jest są był będą będzie ma mają wynosi wynoszą trzyma trzymają napędza napędzają zazębia"
    " zazębiają obraca obracają obiega obiegają toczy kręci spotyka spotykają wchodzi wchodzą leży"
    " leżą siedzi siedzą stoi stoją mocuje mocują łączy łączą niesie niosą przychodzi przychodzą"
    " przykręca wkręca wciska nasuwa nakłada przykleja dokręca używa wykonuje wykonują robi robią"
    " potrzebuje potrzebują trwa wraca wystarczy musi muszą można należy trzeba znajduje"
)


def _ordinals() -> dict[str, int]:
    found = {}
    for n in (*range(1, 21), *range(30, 101, 10)):
        stem = ordinal(n, "pl")[:-1]
        for ending in ("y", "i", "a", "e", "ego", "iego", "ej", "iej", "ą", "ią", "ym", "im"):
            found[stem + ending] = n
    return found


POLISH = Tongue(
    code="pl",
    mark=",",
    spoken=polish,
    first=POLISH_FIRST,
    nouns={form: key for key, words in _NOUNS.items() for form in _forms(words)},
    units={word: unit for unit, words in _UNITS.items() for word in _forms(words)},
    facts=Tongue.table(_FACTS),
    references={
        **dict.fromkeys(_forms("krok-"), "step"),
        **dict.fromkeys(_forms("etap-"), "stage"),
        **dict.fromkeys(_forms("paczek paczk- paczce przesyłek przesyłk- przesyłce"), "parcel"),
        **dict.fromkeys(_forms("rysunek rysunk- rys stron- rozdział- rozdziale"), "figure"),
        **dict.fromkeys(_forms("otwór otwor-"), "hole"),
        **dict.fromkeys(_forms("wersj- wydani- rewizj-"), "revision"),
        **dict.fromkeys(("miesiąc", "miesiąca", "miesiącu"), "month"),
    },
    ordinals=_ordinals(),
    about=_set(
        "około ok mniej-więcej więcej przybliżeniu prawie niemal blisko niespełna niecałe niecały"
        " niecała niecałych circa ca ~ ≈"
    ),
    most=(
        "najwyżej",
        "maksymalnie",
        "nie więcej niż",
        "mniej niż",
        "aż do",
        "w granicach",
        "poniżej",
        "nie przekracza",
        "nie przekraczają",
    ),
    least=("co najmniej", "przynajmniej", "więcej niż", "nie mniej niż", "ponad", "powyżej"),
    stops=_set(
        "z ze na w we do od po przy dla i lub albo ale a ten ta to te jak aż dopóki gdy kiedy"
        " przez nad pod między obok o u za się ani oraz tylko niż czyli który która które "
    )
    | _set(_VERBS),
    partitive=_set("z ze"),
    articles=_set("jednego jednej"),
    each=_forms("każd- drug- inn- następn- kolejn- pozostał- poprzedn-")
    | _set("oba obie obu obydwa obydwie obydwu obiema oboma"),
    joins=_set("do lub i a oraz"),
    months=_set(
        "stycznia lutego marca kwietnia maja czerwca lipca sierpnia września października"
        " listopada grudnia"
    ),
    tooth=re.compile(
        r"(?<![\w.,/])(\d+|[a-ząćęłńóśźż]+(?: [a-ząćęłńóśźż]+){0,2}?)[ \u00a0\u2011-]*"
        r"(?:zęb(?:ow|n)\w+|zęb(?:y|ów|ami|ach|om|em|a|u)|ząb)\b",
        re.I,
    ),
    has=_set("ma mają miał liczy liczą o z ze tylko"),
    says=_set("ma mają jest są wynosi wynoszą liczy liczą to"),
    driver=re.compile("klucz|wkrętak"),
    about_teeth=re.compile("z[ęą]b", re.I),
    stem=_stem,
    sorts={
        "bevel-wheel": re.compile(r"stożk"),
        "ring-wheel": re.compile(r"wewnętrzn"),
        "contrate-wheel": re.compile(r"koronow"),
        "set-screw": re.compile(r"dociskow"),
    },
    fractions={
        **dict.fromkeys(("ćwierci", "czwarta", "czwarte", "czwartych"), 0.25),
        **dict.fromkeys(("trzecia", "trzecie", "trzecich"), 1 / 3),
        **dict.fromkeys(("druga", "drugie", "drugich"), 0.5),
    },
    added={"pół": 0.5, "ćwierć": 0.25},
    head_first=True,
    adjective=re.compile(r"(?:[eyią]|[^w]a|ego|emu|[iy]ch|[iy]m|[iy]mi|ej)$"),
    turning=re.compile(r"korb|obr[óa]c|obrot|obrót|kręc|obieg|okrąż"),
    full=_forms("pełn- cał-"),
    of_many=_set(
        "kół zębników wałów wałków rur rurek słupków prętów piast pierścieni tulejek tulei nóżek"
        " stopek gałek podkładek płyt płytek tarcz ramion kul kulek śrub wkrętów nakrętek zębów"
        " otworów kroków etapów paczek przesyłek planet par"
    ),
    holding=re.compile(r"\b(?:trzyma|mocuj)", re.I),
    whole=_forms("zestaw- zestawie model-"),
    same=(
        _forms("koł- kół kole zębatek zębatk- zębatce"),
        _forms("śrub- wkręt- wkręcie"),
        _forms("wał- wałek wałk- wrzecion-"),
        _forms("rur- rurek rurk- rurce"),
        _forms("podkładek podkładk- podkładce szajb-"),
        _forms("paczek paczk- paczce przesyłek przesyłk- przesyłce"),
    ),
    roles=POLISH_ROLES,
)
