"""Figures in digits: signs, decimals, thousands marks and fractions, by the marks of a language."""

from __future__ import annotations

import re
from dataclasses import dataclass

VULGAR = {"½": 1 / 2, "⅓": 1 / 3, "⅔": 2 / 3, "¼": 1 / 4, "¾": 3 / 4, "⅛": 1 / 8, "⅜": 3 / 8,
           "⅝": 5 / 8, "⅞": 7 / 8}  # fmt: skip
#: What each is a fraction of: to half of a step of it is what it says.
_UNDER = {"½": 2, "⅓": 3, "⅔": 3, "¼": 4, "¾": 4, "⅛": 8, "⅜": 8, "⅝": 8, "⅞": 8}
_SPACE = " \u00a0\u2009\u202f"

#: A figure as it stands in text. Digits are those of ASCII: others are no number here.
FIGURE = re.compile(
    rf"(?<![\w])(?<!\w[.,])(?:(?:(?:(?<=\s)|(?<=\()|^)[+−±-]|[±+−])[ \u00a0]?)?"
    rf"(?:\d+(?:[{_SPACE}'’]\d{{3}}(?!\d))*(?:[.,]\d+)*(?:[{_SPACE}]?[½⅓⅔¼¾⅛⅜⅝⅞]|[{_SPACE}]\d/\d{{1,2}}"
    rf"|/\d{{1,2}})?|[½⅓⅔¼¾⅛⅜⅝⅞])",
    re.ASCII,
)


_WHOLE = re.compile(r"\d{1,15}", re.ASCII)
#: What is left of a figure when its marks are read: `1.5/2` is none.
_PLAIN = re.compile(r"\d+(?:\.\d+)?", re.ASCII)


@dataclass(frozen=True)
class Figure:
    """A value, half a unit of its last written place, and its sign where one is written."""

    value: float
    step: float
    sign: str = ""


def read_whole(written: str) -> int | None:
    """A whole number in ASCII digits alone; None for what is none, such as `2²`."""
    return int(written) if _WHOLE.fullmatch(written) else None


def read_figure(written: str, mark: str) -> Figure | None:
    """The value of a figure whose decimal mark is `mark`; None for what is none."""
    text = written.strip()
    sign = text[:1] if text[:1] in ("+", "−", "±", "-") else ""
    text = text.lstrip("+−±-").strip()
    part = 0.0
    step: float | None = None
    if text and (text_end := text[-1]) in VULGAR:
        part, text = VULGAR[text[-1]], text[:-1].strip()
        step = 0.25 / _UNDER[text_end]
        if not text:
            return _signed(part, step, sign)
    elif fraction := re.fullmatch(rf"(?:(\d+)[{_SPACE}])?(\d+)/(\d+)", text):
        whole, over, under = (float(part or 0) for part in fraction.groups())
        return _signed(whole + over / under, 0.25 / under, sign) if under else None
    text = re.sub(rf"[{_SPACE}'’]", "", text)
    other = "," if mark == "." else "."
    groups = text.split(other)
    if len(groups) > 1 and all(len(g.partition(mark)[0]) == 3 for g in groups[1:]):
        text = text.replace(other, "")  # thousands
    text = text.replace(",", ".")
    if not _PLAIN.fullmatch(text):
        return None
    decimals = len(text.partition(".")[2])
    return _signed(float(text) + part, step or 0.5 * 10**-decimals, sign)


def _signed(value: float, step: float, sign: str) -> Figure:
    return Figure(-value if sign in ("−", "-") else value, step, sign)
