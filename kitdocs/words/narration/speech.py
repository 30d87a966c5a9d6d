"""Written words as they are spoken: numbers, units, designations and signs in words.

What changes with the gender of a noun that is not known (German *1*, Polish *1* and *2* before
a noun) stays a figure: a presenter reads it right.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitdocs.words.number_words import LANGUAGES, MOST, compound, decimal, one_by_one, ordinal
from kitdocs.words.writing.english import words


@dataclass(frozen=True)
class _Tongue:
    """The spoken words of one language. A unit has its forms for one, few, many, and fractions."""

    by: str  # M2.5 × 6
    over: str  # 33/61
    to: str  # 1:12, 5–8
    plus: str
    minus: str
    about: str
    units: dict[str, tuple[str, str, str, str]]
    gendered: tuple[int, ...] = ()
    halves: dict[str, str] | None = None


def _same(one: str, many: str = "") -> tuple[str, str, str, str]:
    many = many or one
    return one, many, many, many


_TONGUES = {
    "en": _Tongue(
        "by", "over", "to", "plus", "minus", "about",
        {
            "mm": _same("millimetre", "millimetres"), "cm": _same("centimetre", "centimetres"),
            "m": _same("metre", "metres"), "g": _same("gram", "grams"),
            "kg": _same("kilogram", "kilograms"), "ml": _same("millilitre", "millilitres"),
            "s": _same("second", "seconds"), "min": _same("minute", "minutes"),
            "h": _same("hour", "hours"), "d": _same("day", "days"),
            "N·m": _same("newton metre", "newton metres"), "°": _same("degree", "degrees"),
            "%": _same("per cent"), "°C": _same("degree Celsius", "degrees Celsius"),
            "V": _same("volt", "volts"), "mA": _same("milliamp", "milliamps"),
        },
        halves={"½": "a half", "¼": "a quarter", "¾": "three quarters", "⅓": "a third"},
    ),
    "de": _Tongue(
        "mal", "durch", "bis", "plus", "minus", "etwa",
        {
            "mm": _same("Millimeter"), "cm": _same("Zentimeter"), "m": _same("Meter"),
            "g": _same("Gramm"), "kg": _same("Kilogramm"), "ml": _same("Milliliter"),
            "s": _same("Sekunde", "Sekunden"), "min": _same("Minute", "Minuten"),
            "h": _same("Stunde", "Stunden"), "d": _same("Tag", "Tage"),
            "N·m": _same("Newtonmeter"), "°": _same("Grad"), "%": _same("Prozent"),
            "°C": _same("Grad Celsius"), "V": _same("Volt"), "mA": _same("Milliampere"),
        },
        gendered=(1,),
        halves={"½": "einhalb", "¼": "einviertel", "¾": "dreiviertel", "⅓": "eindrittel"},
    ),
    "pl": _Tongue(
        "na", "przez", "do", "plus", "minus", "około",
        {
            "mm": ("milimetr", "milimetry", "milimetrów", "milimetra"),
            "cm": ("centymetr", "centymetry", "centymetrów", "centymetra"),
            "m": ("metr", "metry", "metrów", "metra"), "g": ("gram", "gramy", "gramów", "grama"),
            "kg": ("kilogram", "kilogramy", "kilogramów", "kilograma"),
            "ml": ("mililitr", "mililitry", "mililitrów", "mililitra"),
            "s": ("sekunda", "sekundy", "sekund", "sekundy"),
            "min": ("minuta", "minuty", "minut", "minuty"),
            "h": ("godzina", "godziny", "godzin", "godziny"), "d": ("dzień", "dni", "dni", "dnia"),
            "N·m": ("niutonometr", "niutonometry", "niutonometrów", "niutonometra"),
            "°": ("stopień", "stopnie", "stopni", "stopnia"), "%": _same("procent", "procent"),
            "°C": ("stopień Celsjusza", "stopnie Celsjusza", "stopni Celsjusza",
                   "stopnia Celsjusza"),
            "V": ("wolt", "wolty", "woltów", "wolta"),
            "mA": ("miliamper", "miliampery", "miliamperów", "miliampera"),
        },
        gendered=(1, 2),
        halves={"½": "pół", "¼": "jedna czwarta", "¾": "trzy czwarte", "⅓": "jedna trzecia"},
    ),
}  # fmt: skip

_NUMBER = r"\d{1,3}(?:[\u202f\u00a0]\d{3})+(?:[.,]\d+)?|\d+(?:[.,]\d+)?"
_SPACE = r"[ \u00a0\u202f]"
_SPOKEN = re.compile(
    rf"(?P<standard>\b(?:ISO|DIN|EN|IEC)(?:{_SPACE}(?:ISO|EN))?){_SPACE}(?P<of>\d+(?:-\d+)?)"
    rf"|\bM(?P<thread>\d+(?:[.,]\d+)?)(?:{_SPACE}?[×x]{_SPACE}?(?P<length>\d+(?:[.,]\d+)?))?(?!\w)"
    r"|\b(?P<letters>[A-Z]{1,3})(?P<code>\d+)(?:/(?P<small>[a-z]{1,2})(?P<grade>\d+))?(?!\w)"
    rf"|(?P<first>\d+)(?:(?P<over>/)|(?P<ratio>:))(?P<second>\d+)"
    rf"|(?P<half>{_SPACE}?[½¼¾⅓])"
    rf"|(?P<low>{_NUMBER}){_SPACE}?(?:–|…|\.\.\.){_SPACE}?(?=\d)"
    r"|(?P<ordinal>\d+)(?:st|nd|rd|th)\b"
    r"|(?P<joined>\d+)-(?=[^\W\d_])"
    rf"|(?P<sign>±|≈|(?<![\w.,)])[+\u2212−-](?=\d))|(?P<number>{_NUMBER})"
    rf"(?:(?P<gap>{_SPACE})?(?P<unit>N·?m|°C|°|%|mm|cm|kg|ml|mA|min|[mgshdV])(?![\w]))?"
    r"|(?P<by>(?<=\s)[×x](?=\s))"
)
_DOTTED = re.compile(r"(?<![\d.,])\d{1,3}\.(?=\s+[^\W\d_])")
#: What follows a measure in English that is no noun: else it is one measure of the noun.
_AFTER_MEASURE = words(
    "of in and or at to from apart long wide deep high thick above below between by is are on off"
    " down up round around so then that until with for away across than there each more less"
    " needed after before"
)


def spoken(text: str, code: str) -> str:
    """A plain sentence in words that can be said: `three M two point five by six screws`.

    A language without words here is given back as it is.
    """
    language = code.partition("-")[0]
    if language not in LANGUAGES:
        return text
    if language != "en":  # the full stop of an ordinal number
        text = _DOTTED.sub(lambda match: ordinal(int(match[0][:-1]), language), text)
    said = _SPOKEN.sub(lambda match: _said(match, language), text)
    return re.sub(r"[ \u00a0\u202f]+", " ", said).strip()


def _said(match: re.Match[str], code: str) -> str:
    tongue = _TONGUES[code]
    if match["standard"]:
        said = [one_by_one(digits, code) for digits in match["of"].split("-")]
        return f"{match['standard']} {' '.join(said)}"
    if match["thread"]:
        length = f" {tongue.by} {_number(match['length'], code)}" if match["length"] else ""
        return f"M {_number(match['thread'], code)}{length}"
    if match["letters"]:
        fit = f" {match['small']} {_number(match['grade'], code)}" if match["small"] else ""
        return f"{' '.join(match['letters'])} {_number(match['code'], code)}{fit}"
    if match["first"]:
        joint = tongue.over if match["over"] else tongue.to
        return f"{_number(match['first'], code)} {joint} {_number(match['second'], code)}"
    if match["half"]:
        half = (tongue.halves or {})[match["half"].strip()]
        before = match.string[: match.start()]
        joint = " and " if code == "en" else " i " if code == "pl" else " "
        return f"{joint if before[-1:].isdigit() else ''}{half}"
    if match["low"]:
        return f"{_number(match['low'], code)} {tongue.to} "
    if match["ordinal"]:
        return ordinal(int(match["ordinal"]), code)
    if match["joined"]:
        glue = "" if code == "pl" else "-"
        return f"{compound(int(match['joined']), code)}{glue}"
    if match["sign"]:
        signs = {"±": f"{tongue.plus} {_or(code)} {tongue.minus}", "≈": tongue.about,
                 "+": tongue.plus}  # fmt: skip
        return f"{signs.get(match['sign'], tongue.minus)} "
    if match["by"]:
        return tongue.by
    return _quantity(match, tongue, code)


def _quantity(match: re.Match[str], tongue: _Tongue, code: str) -> str:
    number, unit = match["number"], match["unit"]
    plain = _plain(number)
    after = match.string[match.end() :]
    if unit is None:
        is_count = re.match(r"[ \u00a0]+[^\W\d_]", after) is not None
        return number if is_count and plain in map(str, tongue.gendered) else _number(number, code)
    forms = tongue.units[unit.replace("Nm", "N·m")]
    follower = re.match(r"[ \u00a0]([a-z-]+)", after)
    if (
        unit in ("mm", "cm", "m")
        and code == "en"
        and follower
        and follower[1] not in _AFTER_MEASURE
    ):
        return f"{_number(number, code)} {forms[0]}"  # a 1.5 millimetre hex key
    told = _number(number, code)
    if code == "de" and plain == "1":
        told = "eine" if forms[0].endswith("e") else "ein"
    return f"{told} {forms[_category(plain, code)]}"


def _category(plain: str, code: str) -> int:
    """Which form of a unit goes with a number: one, few, many, fraction (CLDR's categories)."""
    if not plain.isdigit():
        return 3
    number = int(plain)
    if number == 1:
        return 0
    if code == "pl" and number % 10 in (2, 3, 4) and number % 100 not in (12, 13, 14):
        return 1
    return 2


def _plain(number: str) -> str:
    return re.sub(r"[\u202f\u00a0]", "", number)


def _number(written: str, code: str) -> str:
    """A number in words; one that is too large for them stays in figures."""
    plain = _plain(written)
    whole = re.split("[.,]", plain)[0]
    return decimal(plain, code) if int(whole) <= MOST else plain


def _or(code: str) -> str:
    return {"en": "or", "de": "oder", "pl": "lub"}[code]
