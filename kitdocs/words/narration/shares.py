"""Halves, quarters and thirds as they are said, alone or after a whole number."""

from __future__ import annotations

import re

from kitdocs.words.narration.grammar import word_before
from kitdocs.words.narration.tongues import TONGUES
from kitdocs.words.number_words import cardinal, compound

_WORD_NEXT = re.compile(r"[ \u00a0\u202f]+([^\W\d_]+)")
_ENGLISH = {  # alone, before a noun, between an article and a noun
    "½": ("a half", "half a", "half"),
    "¼": ("a quarter", "a quarter of a", "quarter"),
    "¾": ("three quarters", "three quarters of a", "three-quarter"),
    "⅓": ("a third", "a third of a", "third"),
}
_GERMAN = {"½": "einhalb", "¼": "einviertel", "¾": "dreiviertel", "⅓": "eindrittel"}
_GERMAN_FEMININE = {"½": "halbe", "¼": "viertel", "¾": "dreiviertel", "⅓": "drittel"}
_DECIMAL = {
    "½": "null Komma fünf",
    "¼": "null Komma zwei fünf",
    "¾": "null Komma sieben fünf",
    "⅓": "ein drittel",
}
_POLISH = {"½": "pół", "¼": "jedna czwarta", "¾": "trzy czwarte", "⅓": "jedna trzecia"}


def share(
    whole: int | None, sign: str, unit: str | None, before: str, after: str, code: str
) -> str:
    """`1½` before `turns`, `¼` before `Umdrehung`, `½ mm`: the number and the unit in words.

    `unit` is a key of the language's units; `before` and `after` are the rest of the sentence.
    German has no word for a share of what it does not know the gender of: the sign is given back.
    """
    noun = match[1] if (match := _WORD_NEXT.match(after)) else ""
    forms = TONGUES[code].units[unit] if unit else None
    if code == "en":
        return _english(whole, sign, forms, before, noun)
    if code == "de":
        return _german(whole, sign, forms, before, noun)
    return _polish(whole, sign, forms, before, noun)


def _english(
    whole: int | None, sign: str, forms: tuple[str, ...] | None, before: str, noun: str
) -> str:
    alone, of, between = _ENGLISH[sign]
    if whole is not None:
        return f"{cardinal(whole, 'en')} and {alone}{f' {forms[2]}' if forms else ''}"
    if forms:
        return f"{of} {forms[0]}"
    if not noun:
        return alone
    return between if word_before(before) in ("a", "the", "each", "every", "another") else of


def _german(
    whole: int | None, sign: str, forms: tuple[str, ...] | None, before: str, noun: str
) -> str:
    if whole is not None:
        told = f"{compound(whole, 'de')}{_GERMAN[sign]}"
        return f"{told} {forms[2]}" if forms else told
    if forms:
        return f"{_DECIMAL[sign]} {forms[2]}"
    if not re.search(r"(?:ung|heit|keit|ion)$", noun):
        return sign
    has_article = word_before(before) in ("eine", "die", "jede", "einer", "der")
    return f"{'' if has_article else 'eine '}{_GERMAN_FEMININE[sign]}"


def _polish(
    whole: int | None, sign: str, forms: tuple[str, ...] | None, before: str, noun: str
) -> str:
    told = _POLISH[sign]
    if word_before(before) in ("o", "na", "co", "przez"):
        told = told.replace("jedna", "jedną").replace("czwarta", "czwartą")
        told = told.replace("trzecia", "trzecią")
    unit = f" {forms[3]}" if forms else ""
    if whole == 1 and sign == "½":
        counted = noun or (forms[3] if forms else "")
        return f"{'półtora' if counted[-1:] in ('u', 'a', '') else 'półtorej'}{unit}"
    before_it = f"{cardinal(whole, 'pl')} i " if whole is not None else ""
    return f"{before_it}{told}{unit}"
