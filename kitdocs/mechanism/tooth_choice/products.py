"""The products of two factors that come nearest to a target, exactly.

Two sorted lists and, for each factor of one, the window of the other that can still be good
enough: the meeting in the middle that a search over wheels needs. Everything is whole numbers.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Hashable, Iterable, Sequence
from fractions import Fraction
from math import gcd
from typing import Generic, TypeVar

Value = tuple[int, int]  # numerator and denominator above 0, not necessarily in lowest terms

Name = TypeVar("Name", bound=Hashable)

_Keyed = tuple[int, int, int]  # sort key, numerator, denominator

_SCALE = 64  # bits after the point of a sort key; floor(v · 2^64) keeps the order of values
_CHUNK = 2048  # factors between two reports


class NearestProducts(Generic[Name]):
    """The `count` distinct products nearest to `target`, gathered from block after block.

    Products farther off than `farthest` are never among them. Each block is known by a name, so
    that the caller can find out again how a product came about.
    """

    def __init__(self, target: Fraction, count: int, farthest: Fraction):
        self._target = target
        self._count = count
        self._cutoff = farthest
        self._seeds: list[tuple[float, Value]] = []
        self._found: dict[Value, list[Name]] = {}

    def add(
        self,
        name: Name,
        left: Iterable[Value],
        right: Sequence[Value],
        tell: Callable[[float], None] = lambda share: None,
    ) -> None:
        """Take in the products of every left with every right value.

        `tell` hears the share of the block that is done; `best` may have changed by then.
        """
        keyed = sorted(((n << _SCALE) // d, n, d) for n, d in left)
        keys = [key for key, _, _ in keyed]
        self._tighten(keys, keyed, right, tell)
        self._collect(name, keys, keyed, right)
        tell(1.0)

    @property
    def best(self) -> Fraction | None:
        """The nearest product so far."""
        return Fraction(*self._seeds[0][1]) if self._seeds else None

    def nearest(self) -> list[tuple[Fraction, list[Name]]]:
        """Nearest first, with the names of the blocks that have it.

        Of products just as far off as the last of them, all are there.
        """
        ranked = sorted(
            (abs(product - self._target), product, names)
            for product, names in ((Fraction(*p), n) for p, n in self._found.items())
        )
        if len(ranked) > self._count:
            last = ranked[self._count - 1][0]
            ranked = [entry for entry in ranked if entry[0] <= last]
        return [(product, names) for _, product, names in ranked]

    def _tighten(
        self,
        keys: list[int],
        keyed: list[_Keyed],
        right: Sequence[Value],
        tell: Callable[[float], None],
    ) -> None:
        """Bring the cutoff down to what the neighbours of each ideal factor already reach.

        Floats only pick the neighbours; the cutoff that comes of them is exact, and never too
        small, because so many distinct products do lie within it.
        """
        tn, td = self._target.as_integer_ratio()
        limit = float(self._cutoff) * (1 + 1e-9)
        met: list[tuple[float, Value]] = []
        for step, (c, d) in enumerate(right):
            if step % _CHUNK == _CHUNK - 1:
                self._seed(met)
                met = []
                tell(step / len(right))
            at = bisect_left(keys, (tn * d << _SCALE) // (td * c))
            for _, n, m in keyed[at - 1 if at else 0 : at + 1]:
                num, den = n * c, m * d
                off = abs(num * td - tn * den) / (den * td)
                if off <= limit:
                    met.append((off, (num, den)))
        self._seed(met)
        if len(self._seeds) == self._count:
            reached = max(abs(Fraction(*seed) - self._target) for _, seed in self._seeds)
            self._cutoff = min(self._cutoff, reached)

    def _seed(self, met: list[tuple[float, Value]]) -> None:
        """Keep the best of what was met as the seeds."""
        seeds: dict[Value, float] = {}
        for off, (num, den) in sorted(self._seeds + met):
            common = gcd(num, den)
            seeds.setdefault((num // common, den // common), off)
            if len(seeds) == self._count:
                break
        self._seeds = [(off, value) for value, off in seeds.items()]

    def _collect(
        self, name: Name, keys: list[int], keyed: list[_Keyed], right: Sequence[Value]
    ) -> None:
        """Every product within the cutoff; the window of keys is never too narrow."""
        tn, td = self._target.as_integer_ratio()
        cn, cd = self._cutoff.as_integer_ratio()
        scale = td * cd
        low, high = (tn * cd - cn * td) << _SCALE, (tn * cd + cn * td) << _SCALE
        found, size = self._found, len(keys)
        for c, d in right:
            below = scale * c
            at = bisect_left(keys, low * d // below)
            top = high * d // below
            while at < size and keys[at] <= top:
                _, n, m = keyed[at]
                at += 1
                num, den = n * c, m * d
                if abs(num * td - tn * den) * cd > cn * den * td:
                    continue
                common = gcd(num, den)
                names = found.setdefault((num // common, den // common), [])
                if not names or names[-1] != name:
                    names.append(name)
        for value in [v for v in found if abs(Fraction(*v) - self._target) > self._cutoff]:
            del found[value]
