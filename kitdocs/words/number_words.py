"""Numbers as they are spoken: cardinals, ordinals and decimals, from 0 to 999 999 999.

The short scale of English, with the British *and*. Polish ordinals and cardinals stand in the
masculine nominative, German ordinals as after an article (*der zweite*).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from kitdocs.words import polish_numbers as polish


def _list(words: str) -> tuple[str, ...]:
    return tuple(words.split())


#: The largest number that has words here.
MOST = 999_999_999


@dataclass(frozen=True)
class _Words:
    """The words of one language that all its numbers are made of."""

    small: tuple[str, ...]  # 0 … 19
    tens: tuple[str, ...]  # 20, 30 … 90
    minus: str
    point: str
    nought: str  # the 0 before a point


_EN = _Words(
    _list(
        "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen"
        " fifteen sixteen seventeen eighteen nineteen"
    ),
    _list("twenty thirty forty fifty sixty seventy eighty ninety"),
    "minus",
    "point",
    "nought",
)
_DE = _Words(
    _list(
        "null eins zwei drei vier fünf sechs sieben acht neun zehn elf zwölf dreizehn vierzehn"
        " fünfzehn sechzehn siebzehn achtzehn neunzehn"
    ),
    _list("zwanzig dreißig vierzig fünfzig sechzig siebzig achtzig neunzig"),
    "minus",
    "Komma",
    "null",
)
_PL = _Words(polish.SMALL, polish.TENS, "minus", "przecinek", "zero")
_WORDS = {"en": _EN, "de": _DE, "pl": _PL}
#: The languages whose numbers have words here.
LANGUAGES = tuple(_WORDS)

_EN_ORDINALS = {
    "one": "first",
    "two": "second",
    "three": "third",
    "five": "fifth",
    "eight": "eighth",
    "nine": "ninth",
    "twelve": "twelfth",
}
_DE_ORDINALS = {"eins": "erste", "drei": "dritte", "sieben": "siebte", "acht": "achte"}


def cardinal(number: int, code: str) -> str:
    """`one hundred and six`, `einhundertsechs`, `sto sześć`.

    Raises ValueError beyond `MOST`, KeyError for a language without words here.
    """
    words = _WORDS[code]
    if abs(number) > MOST:
        raise ValueError(f"{number} has no words here")
    if number < 0:
        return f"{words.minus} {cardinal(-number, code)}"
    if number == 0:
        return words.small[0]
    return {"en": _english, "de": _german, "pl": polish.cardinal}[code](number)


def ordinal(number: int, code: str) -> str:
    """`twenty-first`, `einundzwanzigste`, `dwudziesty pierwszy`; from 0. Raises as `cardinal`."""
    if not 0 <= number <= MOST:
        raise ValueError(f"{number} has no ordinal here")
    return {"en": _english_ordinal, "de": _german_ordinal, "pl": polish.ordinal}[code](number)


def decimal(written: str | Decimal, code: str) -> str:
    """A number with the digits that are written: `2.50` is `two point five nought`.

    Point or comma. In English and German the digits after it are spoken one by one, in Polish as
    one number after its noughts. Raises as `cardinal`, and ValueError for what is no number.
    """
    words = _WORDS[code]
    text = str(written).strip().replace(",", ".").replace("\u2212", "-")
    number = re.fullmatch(r"([+-]?)([0-9]+)(?:\.([0-9]+))?", text)
    if not number:
        raise ValueError(f"{written!r} is no number")
    mark, whole, part = number.groups()
    sign = f"{words.minus} " if mark == "-" else ""
    if not part:
        return sign + cardinal(int(whole), code)
    before = words.nought if int(whole) == 0 else cardinal(int(whole), code)
    return f"{sign}{before} {words.point} {_after_point(part, code)}"


def compound(number: int, code: str) -> str:
    """A number as the first part of a word: *one-hundred-and-six*-tooth, *stusześcio*zębowy."""
    if code == "pl":
        return polish.prefix(number)
    if code == "de" and number % 100 == 1:
        return cardinal(number, code).removesuffix("s")  # *einfach*, *einhundertein…*
    return cardinal(number, code).replace(" ", "-")


def one_by_one(digits: str, code: str) -> str:
    """Digits each by itself, as in the number of a standard: `four nought two six`."""
    words = _WORDS[code]
    return " ".join(words.nought if d == "0" else words.small[int(d)] for d in digits)


def _after_point(digits: str, code: str) -> str:
    words = _WORDS[code]
    if code != "pl":
        return one_by_one(digits, code)
    noughts = len(digits) - len(digits.lstrip("0"))
    rest = [cardinal(int(digits), code)] if digits.strip("0") else []
    return " ".join([words.small[0]] * noughts + rest)


def _groups(number: int) -> tuple[int, int, int]:
    """Millions, thousands, and what is left."""
    return number // 1_000_000, number // 1000 % 1000, number % 1000


def _english(number: int) -> str:
    millions, thousands, rest = _groups(number)
    told = []
    if millions:
        told.append(f"{_english_below(millions)} million")
    if thousands:
        told.append(f"{_english_below(thousands)} thousand")
    if rest:
        told.append(f"and {_english_below(rest)}" if told and rest < 100 else _english_below(rest))
    return " ".join(told)


def _english_below(number: int) -> str:
    """1 … 999."""
    hundreds, rest = divmod(number, 100)
    told = [f"{_EN.small[hundreds]} hundred"] if hundreds else []
    if rest:
        tens, one = divmod(rest, 10)
        joined = _EN.small[rest] if rest < 20 else _EN.tens[tens - 2]
        if rest >= 20 and one:
            joined += f"-{_EN.small[one]}"
        told.append(f"and {joined}" if hundreds else joined)
    return " ".join(told)


def _english_ordinal(number: int) -> str:
    told = cardinal(number, "en")
    cut = max(told.rfind(" "), told.rfind("-")) + 1
    last = told[cut:]
    if last in _EN_ORDINALS:
        return told[:cut] + _EN_ORDINALS[last]
    return told[:cut] + (f"{last[:-1]}ieth" if last.endswith("y") else f"{last}th")


def _german(number: int) -> str:
    millions, _, _ = _groups(number)
    rest = _german_below(number % 1_000_000)
    if not millions:
        return rest
    told = "eine Million" if millions == 1 else f"{_german_below(millions)} Millionen"
    return f"{told} {rest}".rstrip()


def _german_below(number: int) -> str:
    """0 … 999 999 in one word, empty for 0."""
    if number >= 1000:
        return f"{_german_first(number // 1000)}tausend{_german_below(number % 1000)}"
    if number >= 100:
        return f"{_german_first(number // 100)}hundert{_german_below(number % 100)}"
    if number < 20:
        return _DE.small[number] if number else ""
    tens, one = divmod(number, 10)
    return (f"{_german_first(one)}und" if one else "") + _DE.tens[tens - 2]


def _german_first(number: int) -> str:
    """A number that something follows: *eins* loses its s there."""
    told = _german_below(number)
    return told.removesuffix("s") if told.endswith("eins") else told


def _german_ordinal(number: int) -> str:
    if number in (100, 1000):
        return f"{cardinal(number, 'de').removeprefix('ein')}ste"
    millions, rest = divmod(number, 1_000_000)
    if millions and not rest:
        return f"{_german_first(millions) if millions > 1 else ''}millionste"
    told = cardinal(number, "de")
    for ending, changed in _DE_ORDINALS.items():
        if told.endswith(ending):
            return told.removesuffix(ending) + changed
    return told + ("te" if number % 100 < 20 and number % 100 else "ste") if number else "nullte"
