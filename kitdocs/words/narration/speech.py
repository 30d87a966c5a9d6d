"""Written words as they are spoken: numbers, units, designations and signs in words.

What changes with the gender of a noun that is not known (German *1*, Polish *1* and *2* before
a noun, Polish ordinals) stays a figure: a presenter reads it right.
"""

from __future__ import annotations

import re

from kitdocs.words.narration.grammar import (
    german_one,
    german_ordinal,
    polish_number,
    polish_one,
    takes_genitive,
    word_before,
)
from kitdocs.words.narration.shares import share
from kitdocs.words.narration.tongues import SAME_UNITS, TONGUES
from kitdocs.words.narration.written_out import written_out
from kitdocs.words.number_words import LANGUAGES, MOST, compound, decimal, one_by_one, ordinal
from kitdocs.words.polish_numbers import genitive
from kitdocs.words.writing.english import words

_NUMBER = r"\d{1,3}(?:[\u202f\u00a0]\d{3})+(?:[.,]\d+)?|\d+(?:[.,]\d+)?"
_SPACE = r"[ \u00a0\u202f]"
_UNIT = (
    r"(?:N·?m|°C|°|%|[mc]m²|cm³|mm|cm|[µμ]m|kg|ml|mA|min|rpm|ppm|U/min|obr/min|[mgshdVWNlL])(?!\w)"
)
_SPOKEN = re.compile(
    r"(?P<dotted>(?<![\d.,])\d{1,3})\.(?=\s+[^\W\d_])|"
    rf"(?P<standard>\b(?:ISO|DIN|EN|IEC)(?:{_SPACE}(?:ISO|EN))*){_SPACE}(?P<of>\d+(?:-\d+)?)"
    rf"|\bM(?P<thread>\d+(?:[.,]\d+)?)(?:{_SPACE}?[×x]{_SPACE}?(?P<length>\d+(?:[.,]\d+)?))?(?!\w)"
    r"|\b(?P<letters>[A-Z]{1,3})(?P<code>\d+)(?:/(?P<small>[a-z]{1,2})(?P<grade>\d+))?(?!\w)"
    rf"|(?P<whole>\d+)?(?P<share>{_SPACE}?[½¼¾⅓])(?:{_SPACE}?(?P<of_unit>{_UNIT}))?"
    r"|(?P<first>\d+(?:[.,]\d+)?)(?:(?P<over>/)|(?P<ratio>:))(?P<second>\d+(?:[.,]\d+)?)"
    rf"|(?P<low>{_NUMBER})(?:{_SPACE}?(?:–|…|\.\.\.){_SPACE}?|(?<![\w-]\d)-|{_SPACE}-{_SPACE})(?=\d)"
    r"|(?P<ordinal>\d+)(?:st|nd|rd|th)\b"
    rf"|(?P<joined>\d+)-(?:(?P<joined_unit>{_UNIT})-)?(?=[^\W\d_])"
    r"|(?P<before>\d+)(?P<trailing>[A-Z]{1,3})(?!\w)"
    rf"|(?P<sign>±|≈|(?<![\w.,)])[+\u2212−-](?=\d))|(?P<fold>\d+)(?:×|x\b)(?!{_SPACE}?\d)"
    rf"|(?P<number>{_NUMBER})(?:{_SPACE}?(?P<unit>{_UNIT}))?"
    r"|(?P<by>(?<=\s)[×x](?=\s))"
)
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
    text = written_out(text, language)
    said = _SPOKEN.sub(lambda match: _said(match, language), text)
    return re.sub(r"[ \u00a0\u202f]+", " ", said).strip()


def spoken_sentence(text: str, code: str) -> str:
    """The same of a whole sentence, whose first word begins with a capital."""
    said = spoken(text, code)
    return said[:1].upper() + said[1:] if text[:1].isdigit() else said


def _said(match: re.Match[str], code: str) -> str:
    tongue, before = TONGUES[code], match.string[: match.start()]
    after = match.string[match.end() :]
    if match["dotted"]:
        return _dotted(match["dotted"], before, code)
    if match["standard"]:
        said = [one_by_one(digits, code) for digits in match["of"].split("-")]
        return f"{match['standard']} {' '.join(said)}"
    if match["thread"]:
        length = f" {tongue.by} {_number(match['length'], code)}" if match["length"] else ""
        return f"M {_number(match['thread'], code)}{length}"
    if match["letters"]:
        fit = f" {match['small']} {_number(match['grade'], code)}" if match["small"] else ""
        return f"{' '.join(match['letters'])} {_number(match['code'], code)}{fit}"
    if match["share"]:
        whole = int(match["whole"]) if match["whole"] else None
        gap = " " if whole is None and match["share"][0] not in "½¼¾⅓" else ""
        unit = _key(match["of_unit"]) if match["of_unit"] else None
        return gap + share(whole, match["share"].strip(), unit, before + gap, after, code)
    if match["first"]:
        joint = tongue.over if match["over"] else tongue.ratio
        second = _number(match["second"], code)
        if code == "pl" and match["ratio"] and match["second"].isdigit():
            second = genitive(int(match["second"]))
        return f"{_number(match['first'], code)} {joint} {second}"
    if match["low"]:
        return f"{_number(match['low'], code)} {tongue.to} "
    if match["ordinal"]:
        return ordinal(int(match["ordinal"]), code)
    if match["joined"]:
        return _joined(match, after, code)
    if match["before"]:
        return f"{_number(match['before'], code)} {' '.join(match['trailing'])}"
    if match["fold"]:
        return f"{_number(match['fold'], code)} {tongue.times}"
    if match["sign"]:
        signs = {"±": f"{tongue.plus} {_or(code)} {tongue.minus}", "≈": tongue.about,
                 "+": tongue.plus}  # fmt: skip
        return f"{signs.get(match['sign'], tongue.minus)} "
    if match["by"]:
        return tongue.by
    return _quantity(match, before, after, code)


def _dotted(digits: str, before: str, code: str) -> str:
    """A number with a full stop in a sentence: an ordinal in German and Polish."""
    if code == "de":
        return german_ordinal(int(digits), before)
    return f"{_number(digits, code)}." if code == "en" else f"{digits}."


def _joined(match: re.Match[str], after: str, code: str) -> str:
    """A number that begins a word: `106-tooth`, `3-mm-Bohrung`, `106-zębowe`.

    German writes a noun with a capital, its first part too (Amtliches Regelwerk, § 55), and what
    is no noun in one word with its number.
    """
    told = compound(int(match["joined"]), code)
    unit = TONGUES[code].units[_key(match["joined_unit"])][0] if match["joined_unit"] else ""
    if code == "pl":
        return f"{told}{f'-{unit}-' if unit else ''}"
    if code == "de" and not unit and after[:1].islower():
        return told
    if code == "de":
        told = told[:1].upper() + told[1:]
    return f"{told}-{f'{unit}-' if unit else ''}"


def _key(unit: str) -> str:
    return SAME_UNITS.get(unit, unit)


def _quantity(match: re.Match[str], before: str, after: str, code: str) -> str:
    number, unit = match["number"], match["unit"]
    plain = _plain(number)
    told = _number(number, code)
    ranged = code == "pl" and _RANGED.search(before) is not None
    if ranged:
        before = "do "  # *pięć do ośmiu*
    if unit is None or _key(unit) not in TONGUES[code].units:
        rest = match[0][len(number) :]
        if plain.isdigit() and int(plain) <= MOST:
            if code == "pl":
                told = polish_number(int(plain), before, rest + after) or number
            elif code == "de" and plain == "1" and re.match(r"[ \u00a0]+[^\W\d_]", rest + after):
                told = "ein" if re.match(r"[ \u00a0]+Mal\b", rest + after) else number
        return told + rest
    forms = TONGUES[code].units[_key(unit)]
    follower = re.match(r"[ \u00a0]([a-z-]+)", after) if unit in ("mm", "cm", "m") else None
    if code == "en" and follower and follower[1] not in _AFTER_MEASURE:
        return f"{told} {forms[0]}"  # a 1.5 millimetre hex key
    if code == "de" and plain == "1":
        told = german_one(forms[0], before)
    if code == "pl" and plain.isdigit():
        return _polish_measure(int(plain), forms, before)
    return f"{told} {forms[_category(plain, code)]}"


_RANGED = re.compile(r"\d[ \u00a0\u202f]?(?:–|…|\.\.\.|-)[ \u00a0\u202f]?$")  # before its end


def _polish_measure(number: int, forms: tuple[str, ...], before: str) -> str:
    """A whole number with its unit, in the case that the word before asks for."""
    if number == 1:
        noun = forms[3] if takes_genitive(before) else forms[0]
        if noun.endswith("a") and word_before(before) and not takes_genitive(before):
            noun = f"{noun[:-1]}ę"  # *odczekaj jedną godzinę*
        return f"{polish_one(forms[0], before)} {noun}"
    told = polish_number(number, before, "", unit=True) or ""
    is_feminine = forms[0].split()[0].endswith("a")
    if takes_genitive(before):
        return f"{told} {forms[2]}"
    if is_feminine and number % 10 == 2 and number % 100 != 12:
        told = f"{told[:-1]}ie"  # *dwie godziny*
    return f"{told} {forms[_category(str(number), 'pl')]}"


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
