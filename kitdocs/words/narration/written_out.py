"""Abbreviations, signs, dates and times, written out as they are said.

What each language says is common practice. Years are said as the language says them in a date:
English in pairs (*twenty twenty-six*), German and Polish as numbers.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from kitdocs.words.number_words import cardinal, ordinal
from kitdocs.words.polish_numbers import genitive_ordinal

_S = r"[ \u00a0\u202f]"

#: What stands for it; before a figure, where `(?=N)` says so. A full stop that ends the sentence
#: is kept.
_SHORT: Mapping[str, tuple[tuple[str, str], ...]] = {
    "en": (
        (r"e\.\s?g\.", "for example"), (r"i\.\s?e\.", "that is"), (r"etc\.", "and so on"),
        (r"(?:approx|ca)\.", "about"), (r"min\.(?=N)", "at least"), (r"max\.(?=N)", "at most"),
        (r"dia\.", "diameter"), (r"[Nn]o\.?(?=N)", "number"), (r"[Ff]ig\.", "figure"),
        (r"incl\.", "including"), (r"vs\.", "against"), (r"cf\.", "compare"),
    ),
    "de": (
        (r"z\.\s?B\.", "zum Beispiel"), (r"d\.\s?h\.", "das heißt"),
        (r"u\.\s?a\.", "unter anderem"), (r"bzw\.", "beziehungsweise"), (r"ca\.", "etwa"),
        (r"max\.(?=N)", "höchstens"),
        (r"(?:min|mind)\.(?=N)", "mindestens"), (r"Nr\.", "Nummer"), (r"Abb\.", "Abbildung"),
        (r"evtl\.", "eventuell"), (r"ggf\.", "gegebenenfalls"), (r"inkl\.", "einschließlich"),
        (r"usw\.", "und so weiter"), (r"etc\.", "und so weiter"), (r"vgl\.", "vergleiche"),
        (r"S\.(?=N)", "Seite"),
    ),
    "pl": (
        (r"np\.", "na przykład"), (r"tj\.", "to jest"), (r"tzn\.", "to znaczy"),
        (r"itd\.", "i tak dalej"), (r"itp\.", "i tym podobne"), (r"ok\.", "około"),
        (r"m\.\s?in\.", "między innymi"), (r"nr(?=N)", "numer"), (r"rys\.", "rysunek"),
        (r"maks\.(?=N)", "najwyżej"), (r"min\.(?=N)", "co najmniej"), (r"ew\.", "ewentualnie"),
        (r"str\.(?=N)", "strona"), (r"por\.", "porównaj"), (r"zob\.", "zobacz"),
    ),
}  # fmt: skip
#: Signs, with what they are called; those of an amount stand before a figure.
_SIGNS: Mapping[str, Mapping[str, str]] = {
    "en": {"≤": "at most", "≥": "at least", "<": "less than", ">": "more than", "~": "about",
           "Ø": "diameter", "⌀": "diameter", "=": "equals", "→": "to", "&": "and", "#": "number"},
    "de": {"≤": "höchstens", "≥": "mindestens", "<": "weniger als", ">": "mehr als", "~": "etwa",
           "Ø": "Durchmesser", "⌀": "Durchmesser", "=": "gleich", "→": "nach", "&": "und",
           "#": "Nummer"},
    "pl": {"≤": "najwyżej", "≥": "co najmniej", "<": "mniej niż", ">": "więcej niż",
           "~": "około", "Ø": "średnica", "⌀": "średnica", "=": "równa się", "→": "do", "&": "i",
           "#": "numer"},
}  # fmt: skip
_MONTHS: Mapping[str, tuple[str, ...]] = {
    "en": ("January", "February", "March", "April", "May", "June", "July", "August", "September",
           "October", "November", "December"),
    "de": ("Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September",
           "Oktober", "November", "Dezember"),
    "pl": ("stycznia", "lutego", "marca", "kwietnia", "maja", "czerwca", "lipca", "sierpnia",
           "września", "października", "listopada", "grudnia"),
}  # fmt: skip
_ISO = re.compile(r"(?<![\d-])(\d{4})-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])(?![\d-])")
_TIME = {
    "en": re.compile(rf"(?<=\bat{_S})([01]?\d|2[0-3]):([0-5]\d)\b"),
    "de": re.compile(rf"\b([01]?\d|2[0-3]):([0-5]\d){_S}Uhr\b"),
    "pl": re.compile(rf"(?<=\bo{_S})([01]?\d|2[0-3]):([0-5]\d)\b"),
}
_YEAR_ALONE = {  # a year by itself, where no thing is counted
    "en": re.compile(rf"(?<=\bin{_S})(?:1[5-9]|20)\d\d(?=[.,;:)]|$)"),
    "de": re.compile(rf"(?<=\bJahr{_S})(?:1[5-9]|20)\d\d\b"),
}
#: Shares that have a sign of their own, where a word follows.
_SHARES = {"1/2": "½", "1/4": "¼", "3/4": "¾", "1/3": "⅓"}
_SHARE = re.compile(rf"(?<![\d/.,])(?:1/2|1/4|3/4|1/3)(?={_S}+[^\W\d_]{{2}})")
_GROUPED = {  # digits in groups, as people type them
    "en": re.compile(r"(?<![\d.,])\d{1,3}(?:,\d{3})+(?![\d,])"),
    "de": re.compile(r"(?<![\d.,])\d{1,3}(?:\.\d{3})+(?![\d.])"),
}


def written_out(text: str, code: str) -> str:
    """A plain sentence without abbreviations, signs, dates and times, other numbers as they are.

    `code` is one of `number_words.LANGUAGES`.
    """
    for pattern, words in _SHORTS[code]:
        text = pattern.sub(lambda match, words=words: _whole(match, words), text)
    text = _ISO.sub(lambda m: _day(int(m[3]), int(m[2]), m[1], code), text)
    text = _DATE[code].sub(lambda m: _dated(m, code), text)
    text = _TIME[code].sub(lambda m: _time(int(m[1]), int(m[2]), code), text)
    if year := _YEAR_ALONE.get(code):
        text = year.sub(lambda m: _year(int(m[0]), code), text)
    text = _SHARE.sub(lambda match: _SHARES[match[0]], text)
    if grouped := _GROUPED.get(code):
        text = grouped.sub(lambda match: re.sub("[.,]", "", match[0]), text)
    return _SIGN.sub(lambda match: f"{_SIGNS[code][match[0].strip()]} ", text)


_SIGN = re.compile(rf"[≤≥<>~Ø⌀#]{_S}?(?=\d)|(?<={_S})[=→&]{_S}")
_SHORTS = {
    code: [
        (re.compile(r"(?<![\w.])" + short.replace("(?=N)", rf"(?={_S}*\d)") + r"(?!\w)"), words)
        for short, words in shorts
    ]
    for code, shorts in _SHORT.items()
}
_DATE = {
    code: re.compile(
        rf"(?<![\d.,])(\d{{1,2}})(?:\.|st|nd|rd|th)?{_S}({'|'.join(months)})\b(?:{_S}(\d{{4}})\b)?"
    )
    for code, months in _MONTHS.items()
}


def _whole(match: re.Match[str], words: str) -> str:
    """The words, with the full stop of a sentence that the abbreviation ends."""
    rest = match.string[match.end() :].strip()
    return f"{words}." if not rest and match[0].endswith(".") else words


def _dated(match: re.Match[str], code: str) -> str:
    return _day(int(match[1]), _MONTHS[code].index(match[2]) + 1, match[3], code)


def _day(day: int, month: int, year: str | None, code: str) -> str:
    """A day as it is said in a sentence, in German as after *am*."""
    name = _MONTHS[code][month - 1]
    told = _year(int(year), code) if year else ""
    if code == "en":
        return f"the {ordinal(day, code)} of {name} {told}".rstrip()
    if code == "de":
        return f"{ordinal(day, code)}n {name} {told}".rstrip()
    return f"{genitive_ordinal(day)} {name} {told}".rstrip()


def _year(year: int, code: str) -> str:
    century, rest = divmod(year, 100)
    if code == "pl":
        return genitive_ordinal(year)
    if code == "de":
        if 1100 <= year < 2000:
            return f"{cardinal(century, code)}hundert{cardinal(rest, code) if rest else ''}"
        return cardinal(year, code)
    if century % 10 == 0 and rest < 10:
        return cardinal(year, code)
    tail = "hundred" if not rest else f"oh {cardinal(rest, code)}" if rest < 10 else ""
    return f"{cardinal(century, code)} {tail or cardinal(rest, code)}"


def _time(hour: int, minute: int, code: str) -> str:
    minutes = cardinal(minute, code) if minute else ""
    if code == "de":
        hours = "ein" if hour == 1 else cardinal(hour, code)
        return f"{hours} Uhr {minutes}".rstrip()
    if code == "pl":
        return f"{_hour(hour)} {minutes or 'zero zero'}"
    return f"{cardinal(hour, code)} {minutes or 'hundred'}"


def _hour(hour: int) -> str:
    """A Polish hour as after *o*: *dwudziestej*."""
    return " ".join(
        f"{word if word.endswith('i') else word[:-1]}ej" for word in ordinal(hour, "pl").split()
    )
