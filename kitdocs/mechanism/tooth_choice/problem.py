"""What is asked of a search for teeth: the ratio, and what the wheels may be."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Sense = Literal["same", "opposite"]

MOST_TEETH = 1000
_WIDEST = 150  # wheel sizes for three pairs: half a million products, some seconds
_EXTREME = 10**9  # no three pairs of wheels within MOST_TEETH come to a ratio beyond


class NoSearch(ValueError):
    """A search that cannot be made; the text says why, and what to ask instead."""


@dataclass(frozen=True)
class ToothProblem:
    """A train of external pairs to be found.

    `ratio`: turns of the last wheel for one of the first, above 0: the product of the drivers'
    teeth over that of the driven. `low` … `high` bound every wheel, `pairs` is 1, 2 or 3.
    `sums` holds the tooth sum of each pair in order, or says that all pairs have `equal` sums
    (they then stand on the same two axes). `module` in mm only serves to tell centre distances.
    `stock` are the tooth counts of wheels that exist already; with `stock_only` no others are
    used. `within` is the largest error allowed, as a share of the ratio. `sense` is how the last
    wheel must turn, seen from the first. Raises NoSearch for what no search can answer.
    """

    ratio: Fraction
    low: int = 12
    high: int = 100
    pairs: int = 2
    sums: tuple[int, ...] | Literal["equal"] | None = None
    module: Fraction | None = None
    stock: frozenset[int] = frozenset()
    stock_only: bool = False
    within: Fraction | None = None
    sense: Sense | None = None

    def __post_init__(self) -> None:
        if not Fraction(1, _EXTREME) <= self.ratio <= _EXTREME:
            raise NoSearch("the ratio must be above 0, and no more than wheels can make")
        if self.pairs not in (1, 2, 3):
            raise NoSearch(f"{self.pairs} pairs; a train here has 1, 2 or 3")
        if not 2 <= self.low <= self.high <= MOST_TEETH:
            bounds = f"{self.low} to {self.high} teeth"
            raise NoSearch(f"{bounds}; the least must be 2 or more, the most up to {MOST_TEETH}")
        if self.pairs == 3 and not isinstance(self.sums, tuple) and len(self.teeth) > _WIDEST:
            raise NoSearch(
                f"{len(self.teeth)} sizes of wheel are too many to try in three pairs; "
                f"narrow the teeth to {_WIDEST} or give the tooth sums"
            )
        if isinstance(self.sums, tuple) and len(self.sums) != self.pairs:
            raise NoSearch(f"{len(self.sums)} tooth sums for {self.pairs} pairs; give one for each")
        if self.sums is not None and self.idler:
            raise NoSearch(
                f"{self.pairs} external pairs turn the last wheel the {_sense(self.pairs)} way; "
                "with tooth sums there is no room for an idler, so ask for another number of pairs"
            )

    @property
    def teeth(self) -> list[int]:
        """The tooth counts that a wheel may have, ascending."""
        bounds = range(self.low, self.high + 1)
        return [n for n in bounds if n in self.stock] if self.stock_only else list(bounds)

    @property
    def idler(self) -> bool:
        """Whether an idler must be put in for the last wheel to turn in the wanted sense."""
        return self.sense is not None and self.sense != _sense(self.pairs)

    def distance(self, tooth_sum: int) -> Fraction | None:
        """Centre distance of a pair without profile shift, mm (ISO 21771: a = m (z₁ + z₂) / 2)."""
        return self.module * tooth_sum / 2 if self.module is not None else None


def _sense(pairs: int) -> Sense:
    return "opposite" if pairs % 2 else "same"


def exact(text: str, what: str) -> Fraction:
    """A number above 0 as it is written: `0.1443`, `254/19`, `1/6.931`. Raises NoSearch."""
    number = r"[0-9]{1,12}(?:\.[0-9]{1,30})?"
    match = re.fullmatch(rf"\s*({number})\s*(?:/\s*({number})\s*)?", text)
    if not match or not Fraction(match[1]) or not Fraction(match[2] or 1):
        raise NoSearch(f"'{text}' is no {what}; write a number above 0, or two with / between")
    return Fraction(match[1]) / Fraction(match[2] or 1)


def share(text: str) -> Fraction:
    """A largest error as kit files write shares: `0.01 %`, `40 ppm`. Raises NoSearch."""
    match = re.fullmatch(r"\s*([0-9]{1,12}(?:\.[0-9]{1,30})?)\s*(%|ppm)\s*", text)
    if not match:
        raise NoSearch(f"'{text}' is no share; write one such as 0.01 % or 40 ppm")
    return Fraction(match[1]) / (100 if match[2] == "%" else 1_000_000)


def sums_of(written: Sequence[str], pairs: int) -> tuple[int, ...] | Literal["equal"] | None:
    """Tooth sums as they are written: `equal`, one for all pairs, or one for each."""
    if not written:
        return None
    if list(written) == ["equal"]:
        return "equal"
    if wrong := next((text for text in written if not re.fullmatch("[0-9]{1,4}", text)), None):
        raise NoSearch(f"'{wrong}' is no tooth sum; write a whole number, or `equal` alone")
    return _for_each(tuple(map(int, written)), pairs)


def sums_at(
    distances: Iterable[Fraction], module: Fraction | None, pairs: int
) -> tuple[int, ...] | None:
    """The tooth sums that fit centre distances (mm), one for all pairs or one for each."""
    found = []
    for distance in distances:
        if module is None:
            raise NoSearch("a centre distance says nothing without the module")
        tooth_sum = 2 * distance / module
        if tooth_sum.denominator != 1:
            below, above = ((int(tooth_sum) + n) * module / 2 for n in (0, 1))
            raise NoSearch(
                f"no wheels of module {float(module):g} mm fit {float(distance):g} mm between "
                f"axes; {float(below):g} mm and {float(above):g} mm are the nearest that do"
            )
        found.append(int(tooth_sum))
    return _for_each(tuple(found), pairs) if found else None


def _for_each(sums: tuple[int, ...], pairs: int) -> tuple[int, ...]:
    return sums * pairs if len(sums) == 1 else sums
