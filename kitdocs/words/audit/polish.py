"""Polish as the audit reads it: decimal comma, seven cases, numbers joined to adjectives."""

from __future__ import annotations

import re

from kitdocs.words.audit.spoken import POLISH_FIRST, polish
from kitdocs.words.audit.tongue import Tongue
from kitdocs.words.number_words import ordinal


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


_ENDING = re.compile(
    r"(?:iami|ami|ach|ich|ych|ego|emu|imi|ymi|owi|iem|iom|om|ów|em|im|ym|ie|ią|ię|ia|iu|ej|"
    r"ą|ę|a|e|i|o|u|y)$"
)


def _stem(word: str) -> str:
    """Without its ending of number and case, of which it leaves some letters."""
    stem = _ENDING.sub("", word) if len(word) > 3 else word
    return stem if len(stem) > 1 else word


_NOUNS = {
    "wheel": "koło koła kół kołu kołem kole kołom kołami kołach zębnik zębnika zębniki zębników"
    " zębnikiem zębnikami",
    "arbor": "wał wału wały wałów wałem wałek wałka wałki wałków wałkiem",
    "pipe": "rura rury rur rurę rurą rurze rurami rurach rurka rurki rurek rurkę rurką rurce"
    " rurkami",
    "post": "słupek słupka słupki słupków słupkiem słupkami słupkach",
    "rod": "pręt pręta pręty prętów prętem prętami",
    "hub": "piasta piasty piast piastę piastą piaście piastami piastach",
    "collet": "pierścień pierścienia pierścienie pierścieni pierścieniem pierścieniami",
    "spacer": "tulejka tulejki tulejek tulejkę tulejką tulejce tulejkami tuleja tuleje tulei"
    " tuleję tuleją",
    "foot": "nóżka nóżki nóżek nóżkę nóżką nóżkami stopka stopki stopek stopkę stopkami",
    "knob": "gałka gałki gałek gałkę gałką",
    "flange": "kołnierz kołnierza kołnierze kołnierzy kołnierzem kołnierzami",
    "washer": "podkładka podkładki podkładek podkładkę podkładką podkładce podkładkami",
    "plate": "płyta płyty płyt płytę płytą płycie płytami płytka płytki płytek",
    "dial": "tarcza tarcze tarcz tarczę tarczą",
    "arm": "ramię ramienia ramiona ramion ramieniem ramionami ramieniu",
    "ball": "kula kule kul kulę kulą kulka kulki kulek kulkę kulką kulkami",
    "screw": "śruba śruby śrub śrubę śrubą śrubie śrubami śrubach wkręt wkręta wkręty wkrętów"
    " wkrętem wkrętami wkrętach",
    "nut": "nakrętka nakrętki nakrętek nakrętkę nakrętkami",
    "tooth": "ząb zęba zęby zębów zębami zębach zębem",
    "hole": "otwór otworu otwory otworów otworem otworami otworach",
    "step": "krok kroku kroki kroków krokiem krokami krokach",
    "stage": "etap etapu etapy etapów etapem etapie etapami etapach",
    "parcel": "paczka paczki paczek paczkę paczką paczce paczkami przesyłka przesyłki przesyłek",
    "planet": "planeta planety planet planetę planetą planetami",
    "pair": "para pary par parę parą parami",
}
_UNITS = {
    ("mm", 1.0): "milimetr milimetra milimetry milimetrów milimetrami",
    ("mm", 10.0): "centymetr centymetra centymetry centymetrów",
    ("deg", 1.0): "stopień stopnia stopnie stopni",
    ("%", 1.0): "procent procenta procenty",
    ("day", 1.0): "dzień dnia dni dniach dniami doba doby dób",
    ("day", 7.0): "tydzień tygodnia tygodnie tygodni",
    ("day", 30.436875): "miesiąc miesiąca miesiące miesięcy",
    ("day", 365.25): "rok roku lata lat latach",
    ("day", 36525.0): "stulecie stulecia stuleci",
    ("day", 1 / 24): "godzina godziny godzin godzinę",
    ("day", 1 / 1440): "minuta minuty minut minutę",
    ("day", 1 / 86400): "sekunda sekundy sekund",
    ("turn", 1.0): "obrót obrotu obroty obrotów obrotem obrotami obrotach",
    ("times", 1.0): "razy raza",
}
_FACTS = {
    ("length",): "długi długa długie długości długość",
    ("width", "diameter", "outside"): "szeroki szeroka szerokie",
    ("diameter", "outside", "size"): "średnica średnicy średnicę",
    ("width", "face", "outside"): "szeroki szeroka szerokość szerokości",
    ("thickness", "face", "height", "diameter"): "gruby gruba grube grubość grubości",
    ("depth",): "głębokość głębokości",
    ("distance",): "odległość odległości rozstaw odległe odległy odległa",
    ("size", "bore"): "otwory otworów otwór",
    ("module",): "moduł modułu module",
    ("height", "length", "thickness"): "wysoki wysokość wysokości",
}


def _ordinals() -> dict[str, int]:
    found = {}
    for n in range(1, 21):
        stem = ordinal(n, "pl")[:-1]
        for ending in ("y", "i", "a", "e", "ego", "iego", "ej", "iej", "ą", "ią", "ym", "im"):
            found[stem + ending] = n
    return found


POLISH = Tongue(
    code="pl",
    mark=",",
    spoken=polish,
    first=POLISH_FIRST,
    nouns={form: key for key, forms in _NOUNS.items() for form in forms.split()},
    units={word: unit for unit, words in _UNITS.items() for word in words.split()},
    facts=Tongue.table(_FACTS),
    references={
        **dict.fromkeys(("krok", "kroku", "kroki", "krokach"), "step"),
        **dict.fromkeys(("etap", "etapu", "etapie", "etapy"), "stage"),
        **dict.fromkeys(("paczka", "paczki", "paczce", "paczkę", "przesyłka"), "parcel"),
        **dict.fromkeys(("rysunek", "rysunku", "rys", "strona", "stronie", "rozdział"), "figure"),
        **dict.fromkeys(("otwór", "otwory", "otworach"), "hole"),
        **dict.fromkeys(("wersja", "wersji", "wydanie", "rewizja", "rewizji"), "revision"),
    },
    ordinals=_ordinals(),
    about=_set("około ok mniej-więcej prawie niemal blisko niespełna ~ ≈"),
    most=("najwyżej", "nie więcej niż", "mniej niż", "do", "w granicach", "poniżej"),
    least=("co najmniej", "więcej niż", "nie mniej niż", "ponad", "powyżej"),
    stops=_set(
        "z ze na w we do od po przy dla i lub albo ale ten ta to te jest są jak aż dopóki gdy kiedy"
        " przez nad pod między obok o u za który która które musi można"
    ),
    partitive=_set("z ze"),
    articles=_set("jednego jednej"),
    each=_set("każdy każda każde każdej każdym każdą każdego na drugi druga drugą następny"),
    joins=_set("do lub i"),
    months=_set(
        "stycznia lutego marca kwietnia maja czerwca lipca sierpnia września października"
        " listopada grudnia"
    ),
    tooth=re.compile(
        r"(?<![\w.,/])(\d+|[a-ząćęłńóśźż]+(?: [a-ząćęłńóśźż]+){0,2}?)[ \u00a0\u2011-]*"
        r"(?:zęb(?:ow|n)\w+|zęb(?:y|ów|ami|ach|a)|ząb)\b",
        re.I,
    ),
    has=_set("ma mają"),
    says=_set("ma mają jest są"),
    driver=re.compile("klucz|wkrętak"),
    about_teeth=re.compile("z[ęą]b", re.I),
    stem=_stem,
    sorts={
        "bevel-wheel": re.compile(r"stożk"),
        "ring-wheel": re.compile(r"wewnętrzn"),
        "contrate-wheel": re.compile(r"koronow"),
        "set-screw": re.compile(r"dociskow"),
    },
    fractions={"ćwierci": 0.25, "trzecie": 1 / 3},
    same=(
        _set("koło koła kół kołem zębatka zębatki zębatek zębatkę"),
        _set("śruba śruby śrub śrubę śrubami wkręt wkręta wkręty wkrętów wkrętem wkrętami"),
        _set("wał wału wały wałek wałka wałki wrzeciono"),
        _set("rura rury rur rurę rurą rurka rurki rurek rurkę rurką"),
        _set("paczka paczki paczek paczkę przesyłka przesyłki przesyłek przesyłkę"),
    ),
)
