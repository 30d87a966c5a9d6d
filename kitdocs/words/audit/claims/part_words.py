"""Numbers with a part of one in them: `half a millimetre`, `two and a half`, `zweieinhalb`."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.words.audit.claims.figures import read_whole
from kitdocs.words.audit.tongues.grammar import PartSaid
from kitdocs.words.audit.tongues.spoken import english, german_word

_PARTS = {"half": 1 / 2, "halves": 1 / 2, "quarter": 1 / 4, "quarters": 1 / 4, "third": 1 / 3,
          "thirds": 1 / 3, "eighth": 1 / 8, "eighths": 1 / 8, "tenth": 0.1, "tenths": 0.1,
          "hundredth": 0.01, "hundredths": 0.01, "thousandth": 0.001,
          "thousandths": 0.001}  # fmt: skip
#: Parts that are of a millimetre where no unit follows (common practice of the workshop).
_FINE = 0.1

_ENGLISH = re.compile(
    r"\b(?:(?P<whole>[a-z]+(?:-[a-z]+)?|\d+) and )?(?:(?P<times>[a-z]+|\d+)[ -])?"
    rf"(?P<part>{'|'.join(_PARTS)})\b(?P<rest> of)?(?: an?\b)?",
)


def english_parts(text: str) -> Iterator[PartSaid]:
    """`half a millimetre`, `three quarters of an hour`, `one and a quarter`, `two hundredths`."""
    for found in _ENGLISH.finditer(text):
        part = _PARTS[found["part"]]
        times = _count(found["times"] or "")
        start = found.start("part") if times is None else found.start("times")
        whole = _count(found["whole"] or "") if found["times"] in ("a", "one", None) else None
        if whole is not None:
            start = found.start("whole")
        if times is None and found["times"] and found["part"] in ("third", "eighth", "tenth"):
            continue  # "the third washer"
        value = (whole or 0) + (1 if times is None else times) * part
        yield start, found.end("part"), value, part / 4, part <= _FINE


def _count(word: str) -> int | None:
    if word in ("a", "an"):
        return 1
    said = english(word.split("-")) if word else None
    return said[0] if said else read_whole(word)


_DE_PARTS = {"halb": 1 / 2, "viertel": 1 / 4, "drittel": 1 / 3, "achtel": 1 / 8, "zehntel": 0.1,
             "hundertstel": 0.01, "tausendstel": 0.001, "dreiviertel": 3 / 4}  # fmt: skip
_ONE = r"(?P<one>ein(?:e[nmrs]?)?)"
_GERMAN = re.compile(
    rf"(?<![\w])(?:(?:{_ONE} )?(?P<adjective>halb|ganz)(?:e[nmrs]?)?(?= )"
    r"|(?P<whole>[a-zäöüß]+?)ein(?P<added>halb|viertel|drittel|achtel)\b"
    r"|(?P<more>anderthalb)\b"
    r"|(?:(?P<times>[a-zäöüß]+|\d+) )?(?P<part>dreiviertel|viertel|drittel|achtel|zehntel"
    r"|hundertstel|tausendstel|halb)(?P<unit>stunden?|um?drehung(?:en)?|drehung(?:en)?|jahre?s?"
    r"|millimetern?)?\b)",
)


def german_parts(text: str) -> Iterator[PartSaid]:
    """`ein halber Millimeter`, `zweieinhalb`, `eine Viertelstunde`, `zwei Hundertstel`."""
    for found in _GERMAN.finditer(text):
        start = found.start()
        if adjective := found["adjective"]:
            value, step = (0.5, 0.125) if adjective == "halb" else (1.0, 0.25)
            yield start, found.end(), value, step, False
        elif found["more"]:
            yield start, found.end(), 1.5, 0.125, False
        elif found["added"]:
            whole = german_word(found["whole"])
            part = _DE_PARTS[found["added"]]
            if whole is not None:
                yield start, found.end(), whole + part, part / 4, False
        else:
            said = found["times"] or ""
            times = 1 if said in _DE_ARTICLES else read_whole(said) or german_word(said)
            if times is None:
                start = found.start("part")
            part = _DE_PARTS[found["part"]]
            end = found.start("unit") if found["unit"] else found.end("part")
            yield start, end, (times or 1) * part, part / 4, part <= _FINE


_DE_ARTICLES = frozenset({"ein", "eine", "einen", "einem", "einer", "eines"})
