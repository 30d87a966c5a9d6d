"""What stands around a number in a sentence: its unit, what it counts, how it is bounded."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

from kitdocs.words.audit.lexicon import WORD, Lexicon
from kitdocs.words.audit.tongues.tongue import Unit

#: How a value is told: as it is, or as the most or the least.
Bound = Literal["", "most", "least"]
#: A noun, the words before it, and whether it is told *of* which so many are meant.
Counted = tuple[str, tuple[str, ...], bool]

_WHOLE = re.compile(r"(?<![\d.,/½¼¾-])\d+$")
_UNIT = re.compile(r"[ \u00a0\u202f\u2011-]?(N·m|°[CF]?|[%‰′″'×]|[^\W\d_]+)")
_BREAK = re.compile(r"[.,;:!?()|—–\"“”„]")


class Around:
    """Reads what stands around the numbers of one sentence."""

    def __init__(self, text: str, lexicon: Lexicon):
        self.text, self.lexicon, self.tongue = text, lexicon, lexicon.tongue
        #: What may stand between a number and its unit: "of a", "full".
        self._between = self.tongue.partitive | self.tongue.articles | self.tongue.full
        if self.tongue.grammar is not None:
            self._between |= self.tongue.grammar.full

    def is_measured(self, end: int) -> bool:
        """Whether a unit stands after a number that ends there."""
        unit = _UNIT.match(self.text, end)
        return bool(unit and self.tongue.unit(unit[1], True))

    def _is_verb(self, said: str, end: int) -> bool:
        """Whether a unit is a verb: `the wheels of 29 and 100 turn in opposite directions`."""
        grammar = self.tongue.grammar
        if grammar is None or said not in grammar.verbs:
            return False
        figure = _WHOLE.search(self.text, 0, end)
        return figure is not None and int(figure[0]) > 1

    def unit(self, end: int, digits: bool) -> tuple[re.Match[str] | None, Unit | None]:
        """The unit after a number: `0.8 mm`, `0.8 of a turn`."""
        unit = _UNIT.match(self.text, end)
        for _ in range(3):
            if unit is None:
                return None, None
            said = unit[1].lower()
            if (known := self.tongue.unit(unit[1], digits)) and not self._is_verb(said, end):
                return unit, known
            if said not in self._between:
                return None, None
            unit = _UNIT.match(self.text, unit.end())
        return None, None

    def noun(self, end: int, sizes: Iterable[tuple[int, int]] = ()) -> Counted:
        """The noun that a number before `end` counts, the words before it, and whether it is so
        many *of* them. `sizes` are where designations of screws stand, which may come between."""
        others: list[str] = []
        noun, of = "", False
        sizes = tuple(sizes)
        sized, at = self._size(sizes, end)
        others += [sized] if sized else []
        for word in WORD.finditer(self.text, at):
            gap = self.text[at : word.start()]
            said = word[0].lower()
            if _BREAK.search(gap) or len(others) > 5:
                break
            at = word.end()
            if not noun and not others and said in self.tongue.partitive:
                of = True
                continue
            if of and not noun and not others and said in self.tongue.stops:
                continue  # "of the screws"
            if said in self.tongue.stops or said in self.tongue.joins:
                break
            if noun and self.tongue.head_first:
                if self.lexicon.is_noun(said) or not self.lexicon.is_of_a_name(said):
                    break
                others.append(said)  # "rurki Ziemi"
            elif self.lexicon.is_noun(said):
                others += [noun] if noun else []
                noun = said
                if self.tongue.head_first and not sized:  # "śruby M2,5 × 6"
                    sized, at = self._size(sizes, at)
                    others += [sized] if sized else []
            elif noun or not self.tongue.adjective.search(said):
                break
            else:
                others.append(said)
        if sized and not noun:
            noun = sized
        return noun, tuple(others), of and bool(noun)

    def _size(self, sizes: Iterable[tuple[int, int]], end: int) -> tuple[str, int]:
        """The designation that comes next after `end`, and where to read on."""
        for start, after in sizes:
            if 0 < start - end + 1 < 3:
                return self.text[start:after], after
        return "", end

    def is_about(self, start: int) -> bool:
        """Whether a number at `start` is told as about so much."""
        before = self.text[:start].rstrip(" \u00a0(")
        if before.endswith(("~", "≈")):
            return True
        word = re.search(r"([^\W\d_]+)\.?$", before)
        return bool(word and word[1].lower() in self.tongue.about)

    def bound(self, start: int) -> Bound:
        """Whether a number at `start` is told as the most or the least."""
        before = self.text[:start].rstrip().lower()
        if before.endswith(tuple(f" {word}" for word in self.tongue.most)) or before in (
            self.tongue.most
        ):
            return "most"
        if before.endswith(tuple(f" {word}" for word in self.tongue.least)):
            return "least"
        return ""
