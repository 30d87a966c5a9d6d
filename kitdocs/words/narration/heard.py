"""Spoken numbers back in figures: what `speech.py` does, the other way.

Decimals, designations, codes and standards in words are no words of a page, so that the audit
reads them as figures: *M two point five by six* as `M2.5 × 6`. Whole numbers stay as they are:
the audit reads those.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise

from kitdocs.words.audit.tongues.tongue import Tongue
from kitdocs.words.number_words import one_by_one

_POINT = {"en": "point", "de": "komma", "pl": "przecinek"}
_BY = {"en": ("by", "times"), "de": ("mal", "x"), "pl": ("na", "razy")}
_SIGNS = {"minus": "\u2212", "plus": "+"}
_STANDARDS = frozenset({"ISO", "DIN", "EN", "IEC"})
_WORD = re.compile(r"[^\W_]+")
#: What stands in every text that has something to hear: a point, or a capital before a word.
_SPOKEN = re.compile(
    rf"(?i:\b(?:{'|'.join(_POINT.values())})\b)|\b(?:[A-Z]|{'|'.join(sorted(_STANDARDS))}) [^\W\d_]"
)


@dataclass(frozen=True)
class Heard:
    """A text with figures for its spoken numbers, and where in it each piece of the other began:
    offsets there and here, rising."""

    text: str
    _moved: tuple[tuple[int, int], ...] = ()

    def offset(self, before: int) -> int:
        """Where a character of the spoken text is here."""
        there, here = max((m for m in self._moved if m[0] <= before), default=(0, 0))
        return here + before - there


def heard(text: str, tongue: Tongue | None) -> Heard:
    """A text of captions as a page would write it; as it is in a language without rules."""
    if tongue is None or not _SPOKEN.search(text):
        return Heard(text)
    words = list(_WORD.finditer(text))
    ear = _Ear(text, words, tongue)
    out, done, at = "", 0, 0
    moved: list[tuple[int, int]] = []
    while at < len(words):
        found = ear.figure(at)
        if found is None:
            at += 1
            continue
        figure, after = found
        out += text[done : words[at].start()] + figure
        done = words[after - 1].end()
        moved.append((done, len(out)))
        at = after
    return Heard(out + text[done:], tuple(moved))


class _Ear:
    """Reads figures from the words of one text."""

    def __init__(self, text: str, words: list[re.Match[str]], tongue: Tongue):
        self.text, self.tongue = text, tongue
        self.said = [word[0] for word in words]
        self.low = [word[0].lower() for word in words]
        self.joined = (
            [  # whether only a space or hyphen stands between a word and the next
                text[a.end() : b.start()] in (" ", "-", "\u00a0") for a, b in pairwise(words)
            ]
            + [False]
        )
        self.digits = {one_by_one(str(n), tongue.code): str(n) for n in range(10)}
        if tongue.code == "en":
            self.digits |= {"zero": "0", "oh": "0"}
        if tongue.code == "de":
            self.digits |= {"eins": "1", "zwo": "2"}

    def figure(self, at: int) -> tuple[str, int] | None:
        """The figure that words from here say, and the number of the word after them."""
        word = self.said[at]
        if word == "M":
            return self._size(at)
        if word in _STANDARDS:
            return self._standard(at)
        if len(word) == 1 and word.isupper():
            return self._code(at)
        if self.low[at] in _SIGNS and self._next(at):
            number = self._decimal(at + 1)
            return (f"{_SIGNS[self.low[at]]}{number[0]}", number[1]) if number else None
        return self._decimal(at)

    def _next(self, at: int) -> bool:
        """Whether a word follows that only a space parts from this one."""
        return at < len(self.said) - 1 and self.joined[at]

    def _whole(self, at: int) -> tuple[str, int] | None:
        """A whole number, in words or in digits."""
        if at >= len(self.low):
            return None
        if self.low[at].isdigit():
            return self.low[at], at + 1
        if self.low[at] in self.digits and self.digits[self.low[at]] == "0":
            return "0", at + 1
        if not self.tongue.begins(self.low[at]):
            return None
        most = at + 1
        while most < len(self.low) and self.joined[most - 1]:
            most += 1
        value = self.tongue.spoken(self.low[at:most])
        return (str(value[0]), at + value[1]) if value else None

    def _decimal(self, at: int) -> tuple[str, int] | None:
        """`two point five`; None for a number without a point."""
        whole = self._whole(at)
        if whole is None:
            return None
        number, after = whole
        if not (
            self._next(after - 1)
            and self.low[after] == _POINT.get(self.tongue.code)
            and self._next(after)
        ):
            return None
        part, after = self._one_by_one(after + 1)
        return (f"{number}{self.tongue.mark}{part}", after) if part else None

    def _one_by_one(self, at: int) -> tuple[str, int]:
        """Digits each by itself; after Polish noughts one number."""
        told = ""
        while at < len(self.low) and (not told or self.joined[at - 1]):
            digit = self.digits.get(self.low[at])
            if digit != "0" and self.tongue.code == "pl":
                rest = self._whole(at)
                return (told + rest[0], rest[1]) if rest else (told, at)
            if digit is None:
                break
            told += digit
            at += 1
        return told, at

    def _size(self, at: int) -> tuple[str, int] | None:
        """`M two point five by six`."""
        if not self._next(at):
            return None
        size = self._decimal(at + 1) or self._whole(at + 1)
        if size is None:
            return None
        told, after = size
        if self._next(after - 1) and self.low[after] in _BY.get(self.tongue.code, ()):
            length = self._decimal(after + 1) or self._whole(after + 1)
            if length and self._next(after):
                return f"M{told} \u00d7 {length[0]}", length[1]
        return f"M{told}", after

    def _standard(self, at: int) -> tuple[str, int] | None:
        """`ISO four nought two six`."""
        number, after = self._one_by_one(at + 1) if self._next(at) else ("", at)
        return (f"{self.said[at]} {number}", after) if len(number) > 1 else None

    def _code(self, at: int) -> tuple[str, int] | None:
        """`P H one`, `H seven g six`."""
        after = at
        while after < len(self.said) and len(self.said[after]) == 1 and self.said[after].isupper():
            if not self._next(after):
                return None
            after += 1
        number = self._whole(after) if 0 < after - at <= 3 else None
        if number is None:
            return None
        told, count, after = "".join(self.said[at:after]) + number[0], after - at, number[1]
        if self._next(after - 1) and len(self.said[after]) <= 2 and self.said[after].islower():
            grade = self._whole(after + 1) if self._next(after) else None
            if grade:
                return f"{told}/{self.said[after]}{grade[0]}", grade[1]
        return (told, after) if count > 1 else None
