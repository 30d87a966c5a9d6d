"""A claim where it stands, and what may come of holding it against the design."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from kitdocs.words.audit.claims.claim import Claim
from kitdocs.words.audit.lexicon import WORD, Lexicon, Named
from kitdocs.words.audit.scope import Scope
from kitdocs.words.sentences import Sentence

#: Where a number comes from: an expression, a fact of the design that it agrees with, a name of
#: the kit that it stands in, or a source that the editor has given.
From = Literal["expression", "fact", "name", "source"]

ABOUT = 0.05  # "about" lets a figure be so far off: our own
TINY = 1e-9
_HUNDREDTH = 0.005  # mm: half of one
_WHOLE = 0.05  # of a turn: a crank is stopped no nearer by eye


@dataclass(frozen=True)
class Backing:
    """What a number rests on: `by` is the expression, the fact in words, the name or the source."""

    from_: From
    by: str


@dataclass(frozen=True)
class Against:
    """Why a number rests on nothing: what the design says instead, and how to mend it."""

    expected: str
    mend: str = ""


@dataclass(frozen=True)
class Statement:
    """A claim in its sentence: what the sentence names, where it stands, in which language."""

    claim: Claim
    sentence: Sentence
    named: tuple[Named, ...]
    scope: Scope
    lexicon: Lexicon
    others: tuple[Claim, ...] = ()  # everything that the sentence claims

    def words(self, start: int = 0) -> Iterator[str]:
        """The words of the sentence from an offset on, in lower case."""
        return (word[0].lower() for word in WORD.finditer(self.sentence.text, start))

    @property
    def figure_end(self) -> int:
        """Where the number itself ends, its unit left out."""
        claim = self.claim
        if claim.kind in ("designation", "code", "date", "ratio"):
            return claim.end
        figure = _FIGURE.match(claim.text) or _WORD.match(claim.text)
        return claim.start + figure.end() if figure else claim.end


_FIGURE = re.compile(r"[+−±-]?[\d.,/\s½¼¾⅓⅔⅛⅜⅝⅞]*[\d½¼¾⅓⅔⅛⅜⅝⅞]")
_WORD = re.compile(r"[^\W\d_]+")


def agrees(claim: Claim, value: float) -> bool:
    """Whether a value is what a claim says, to the precision that it is written in."""
    tiny = TINY * max(1.0, abs(value))
    if claim.low != claim.high:
        return claim.low - tiny <= value <= claim.high + tiny
    apart = abs(value - claim.high)
    if claim.bound:
        room = claim.high - value if claim.bound == "most" else value - claim.high
        if -tiny <= room < 2 * claim.step + tiny:
            return True
    if claim.about:
        return apart <= max(ABOUT * abs(value), claim.step) + tiny
    if claim.kind in ("count", "teeth"):
        return apart <= tiny
    if claim.what in ("turn", "times") and claim.step == 0.5:  # a whole number of turns is one
        return apart <= _WHOLE
    if abs(apart - claim.step) <= tiny:  # half-way: rounded to the even figure, or away from 0
        return abs(claim.high) > abs(value) or round(claim.high / (2 * claim.step)) % 2 == 0
    return apart <= claim.step


def as_written(claim: Claim, value: float) -> bool:
    """Whether a length is told as the design has it. One that is rounded may be another part's or
    another fit, so it is rounded only to the hundredth, in other units than mm, or as about so
    much."""
    if claim.about or claim.bound or claim.low != claim.high or claim.scale != 1.0:
        return agrees(claim, value)
    fine = claim.step if claim.step <= _HUNDREDTH else 0.0
    return abs(claim.high - value) <= max(fine, TINY * max(1.0, value))


def write(expression: str) -> str:
    """How to mend a number that an expression can print."""
    return f"Write {{{{ {expression} }}}}." if expression else ""


GIVE = "Write {{ given('THE FIGURE', 'ITS SOURCE') }} if it comes from elsewhere."
