"""A number that a sentence states."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from kitdocs.words.audit.claims.around import Bound

Kind = Literal["count", "teeth", "measure", "ratio", "designation", "code", "reference", "date",
               "number"]  # fmt: skip


@dataclass(frozen=True)
class Claim:
    """One number that a sentence states, at `start` … `end`.

    `low` and `high` are its value, or the two ends of a range, in the unit's base (mm, degrees,
    %, days, turns). `step` is half a unit of the last place that is written. `noun` is what is
    counted, with the `others` before it; `what` is what a reference names (`step`, `hole`), or
    what a measure measures (`mm`). `bound` says that a value is told as a `most` or a `least`.
    """

    start: int
    end: int
    text: str
    kind: Kind
    low: float = 0.0
    high: float = 0.0
    step: float = 0.0
    what: str = ""
    noun: str = ""
    others: tuple[str, ...] = ()
    about: bool = False
    bound: Bound = ""
    digits: bool = False
    one_of: bool = False  # "two of the screws"
    scale: float = 1.0  # the base unit's in one of the unit that is written
