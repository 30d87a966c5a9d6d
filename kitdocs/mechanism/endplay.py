"""How far each arbor can rise before it meets what keeps it down, and what touches what."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kitdocs.kit.model import Item, Kit
from kitdocs.mechanism.heights import Heights, levels, part_height
from kitdocs.mechanism.rigid import Rigid
from kitdocs.mechanism.solids import Solid

_TOUCHING = 1e-6  # mm


@dataclass(frozen=True)
class EndPlay:
    """The gap between an arbor's `item` and the `retainer` above it, mm; negative when too tall.

    `off` is how far the gap may be off when every tolerance along the two ways to it adds up.
    """

    arbor: str
    item: Item
    retainer: Item
    gap: float
    off: float

    @property
    def worst(self) -> tuple[float, float]:
        return self.gap - self.off, self.gap + self.off


@dataclass(frozen=True)
class Facing:
    """Two items on one axis, one above the other, that may touch: `gap` mm apart at rest."""

    lower: Item
    upper: Item
    gap: float


class Facings:
    """What lies above what, axis by axis. Level axes are left out: their heights are not known."""

    def __init__(self, kit: Kit, heights: Heights, solids: Iterable[Solid], rigid: Rigid):
        self._kit = kit
        self._heights = heights
        self._rigid = rigid
        self._on_axis: dict[str, list[Solid]] = {}
        for solid in solids:
            axis = kit.arbors[solid.arbor].axis
            if axis is not None and not solid.apart:
                self._on_axis.setdefault(axis, []).append(solid)
        for group in self._on_axis.values():
            group.sort(key=lambda s: s.bottom)
        self._bottoms = {axis: [s.bottom for s in g] for axis, g in self._on_axis.items()}
        self._standing = _standing(kit)

    def end_plays(self) -> Mapping[str, EndPlay]:
        """The end play of each arbor that turns and has something above it, by arbor.

        What stands on an arbor goes up with it: it does not keep the arbor down, but what lies
        above it does.
        """
        found: dict[str, EndPlay] = {}
        for axis, group in self._on_axis.items():
            for arbor in dict.fromkeys(solid.arbor for solid in group):
                if self._kit.arbors[arbor].fixed:
                    continue
                above = [
                    (other.bottom - solid.top, solid, other)
                    for solid in group
                    if self._rises_with(solid.arbor, arbor)
                    and (other := self._next_above(axis, solid, arbor)) is not None
                ]
                if above:
                    gap, solid, other = min(above, key=lambda found: found[0])
                    off = self._off(solid.item, other.item)
                    found[arbor] = EndPlay(arbor, solid.item, other.item, gap, off)
        return MappingProxyType(found)

    def _rises_with(self, other: str, arbor: str) -> bool:
        return other == arbor or arbor in self._standing(other)

    def _next_above(self, axis: str, solid: Solid, arbor: str) -> Solid | None:
        """What lies above a solid and does not rise with the arbor."""
        body = self._rigid.body(solid.arbor)
        group = self._on_axis[axis]
        for other in group[bisect_left(self._bottoms[axis], solid.bottom) :]:
            if (
                other.bottom > solid.bottom
                and self._rigid.body(other.arbor) != body
                and _overlap_in_plan(solid, other)
                and not self._rises_with(other.arbor, arbor)
            ):
                return other
        return None

    def facing(self, within: float) -> list[Facing]:
        """Pairs on one axis, of different rigid bodies, with at most `within` mm between them.

        Also what stands on something that is not of its axis: an arm or a plate.
        """
        found = []
        for axis, group in self._on_axis.items():
            bottoms = self._bottoms[axis]
            for solid in group:
                for other in group[bisect_left(bottoms, solid.top - _TOUCHING) :]:
                    if other.bottom > solid.top + within + _TOUCHING:
                        break
                    if self._rigid.body(other.arbor) != self._rigid.body(
                        solid.arbor
                    ) and _overlap_in_plan(solid, other):
                        gap = max(0.0, other.bottom - solid.top)
                        found.append(Facing(solid.item, other.item, gap))
        return [*found, *self._on_others()]

    def _on_others(self) -> Iterable[Facing]:
        for name, arbor in self._kit.arbors.items():
            seat = self._kit.items.get(arbor.stands_on or "")
            if seat is None or self._rigid.body(seat.arbor) == self._rigid.body(name):
                continue
            if self._kit.arbors[seat.arbor].axis == arbor.axis:
                continue
            top = self._heights.spans.get(seat.id)
            for item in self._kit.on_arbor[name]:
                span = self._heights.spans.get(item.id)
                if top and span and abs(span.bottom - top.top) <= _TOUCHING:
                    yield Facing(seat, item, 0.0)

    def _off(self, item: Item, retainer: Item) -> float:
        below = _contributors(self._kit, item)
        below[item.id] += 1
        ways = _contributors(self._kit, retainer)
        ways.subtract(below)
        return sum(abs(n) * self._kit.items[name].part.tolerance for name, n in ways.items())


def _overlap_in_plan(a: Solid, b: Solid) -> bool:
    return a.inner < b.outer - _TOUCHING and b.inner < a.outer - _TOUCHING


def _standing(kit: Kit) -> Callable[[str], frozenset[str]]:
    """A function that names the arbors on which an arbor stands, directly or through others."""
    known: dict[str, frozenset[str]] = {}

    def of(arbor: str) -> frozenset[str]:
        path: list[str] = []
        at: str | None = arbor
        while at is not None and at not in known and at not in path:
            path.append(at)
            seat = kit.items.get(kit.arbors[at].stands_on or "")
            at = seat.arbor if seat else None
        below = known.get(at, frozenset()) | {at} if at is not None else frozenset()
        for name in reversed(path):
            known[name] = below
            below = below | {name}
        return known[arbor]

    return of


def _contributors(kit: Kit, item: Item) -> Counter[str]:
    """How often each item's height counts in the height of this one's lower face, with sign."""
    total: Counter[str] = Counter()
    at: Item | None = item
    seen: set[str] = set()
    while at is not None and at.arbor not in seen:
        seen.add(at.arbor)
        arbor = kit.arbors[at.arbor]
        mine = kit.on_arbor[at.arbor]
        if at.where == "stack":
            total.update(_highest(i for i in mine if i.where == "stack" and i.level < at.level))
        elif at.where == "end_stack":
            total.update(i.id for i in mine if i.where == "shaft")
            total.subtract(
                _highest(i for i in mine if i.where == "end_stack" and i.level >= at.level)
            )
        at = kit.items.get(arbor.stands_on or "")
        if at is not None:
            total[at.id] += 1
    return total


def _highest(items: Iterable[Item]) -> list[str]:
    return [max(level, key=lambda i: part_height(i.part)).id for level in levels(items)]
