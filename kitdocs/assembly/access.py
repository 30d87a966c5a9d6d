"""What bars the way of an item to its place, or off it: things that it would have to pass.

Upright, an item comes down to its place from above, or up from below where it can be turned over.
What covers a part of its ring in plan and lies beyond it bars the way. Arms, and what they carry,
count with their hub only where they can be turned aside. Along a level arbor there is a way from
each end.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Mapping, Set
from dataclasses import dataclass
from functools import cached_property
from math import dist

from kitdocs.kit.model import Kit
from kitdocs.mechanism.heights import Heights, Span
from kitdocs.mechanism.positions import Point
from kitdocs.mechanism.rigid import Rigid
from kitdocs.mechanism.solids import SCREWS, Solid

#: How far rings may overlap and still pass, mm: press fits, and rounding along two ways.
PASSING = 0.1
_EXACT = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class _Ring:
    """An item in plan: radii about its axis, and its height."""

    item: str
    arbor: str
    inner: float
    outer: float
    bottom: float
    top: float


class Access:
    """What lies in the way of what, in the finished machine."""

    def __init__(
        self,
        kit: Kit,
        heights: Heights,
        solids: Iterable[Solid],
        rigid: Rigid,
        places: Mapping[str, Point],
    ):
        self._kit, self._heights, self._rigid, self._places = kit, heights, rigid, places
        self._rings: dict[str, _Ring] = {}
        self._on_axis: dict[str | None, list[_Ring]] = {}
        for solid in solids:
            axis = kit.arbors[solid.arbor].axis
            if solid.kind in SCREWS or (axis is None and solid.kind != "plate"):
                continue
            outer = solid.hub or solid.outer if solid.kind == "arm" else solid.outer
            ring = _Ring(solid.item.id, solid.arbor, solid.inner, outer, solid.bottom, solid.top)
            self._rings[ring.item] = ring
            self._on_axis.setdefault(axis, []).append(ring)
        self._distances: dict[tuple[str | None, str | None], float | None] = {}
        self._above: dict[str, frozenset[str]] = {}
        self._below: dict[str, frozenset[str]] = {}

    def above(self, item: str) -> frozenset[str]:
        """What bars an item's way up, of all the finished machine."""
        if item not in self._above:
            beyond = self._beyond(item, lambda a, b: b.bottom >= a.top - _EXACT)
            self._above[item] = beyond | self._leaning_over(item)
        return self._above[item]

    def below(self, item: str) -> frozenset[str]:
        """What bars its way down."""
        if item not in self._below:
            self._below[item] = self._beyond(item, lambda a, b: b.top <= a.bottom + _EXACT)
        return self._below[item]

    def bars(
        self, moved: frozenset[str], there: Set[str], from_below: bool
    ) -> tuple[str, str] | None:
        """What moves and what bars it, when `moved` comes to or leaves `there`.

        `from_below` says that it may also go the other way: it or they can be turned over.
        """
        up = self._first(moved, there, self.above)
        if up is None:
            return None
        if not from_below and not self._is_level(up[0]):
            return up
        return up if self._first(moved, there, self.below) is not None else None

    def passes(self, item: str, there: Set[str]) -> str | None:
        """The shaft over whose end an item goes to its place, of what is there."""
        arbor = self._kit.items[item].arbor
        axis = self._kit.arbors[arbor].axis
        if axis is None:
            return None
        if self._is_level(item):
            return arbor if arbor != item and arbor in there else None
        ring = self._rings.get(item)
        if ring is None:
            return arbor if arbor != item and arbor in there else None
        shafts = [
            other
            for other in self._on_axis.get(axis, ())
            if other.item in there
            and other.item == other.arbor
            and ring.inner > _EXACT
            and other.outer <= ring.inner + PASSING
            and other.top > ring.bottom + _EXACT
        ]
        return max(shafts, key=lambda shaft: shaft.outer).item if shafts else None

    def _is_level(self, item: str) -> bool:
        axis = self._kit.arbors[self._kit.items[item].arbor].axis
        return axis is not None and self._kit.axes[axis].lies == "level"

    def _first(
        self,
        moved: frozenset[str],
        there: Set[str],
        beyond: Callable[[str], frozenset[str]],
    ) -> tuple[str, str] | None:
        for item in sorted(moved):
            found = (beyond(item) & there) - moved
            if found:
                return item, self._nearest(item, found)
        return None

    def _nearest(self, item: str, others: frozenset[str]) -> str:
        def apart(other: str) -> tuple[float, str]:
            a, b = self._heights.of(item), self._heights.of(other)
            return (max(b.bottom - a.top, a.bottom - b.top) if a and b else 0.0, other)

        return min(others, key=apart)

    def _beyond(self, item: str, is_beyond: Callable[[_Ring, _Ring], bool]) -> frozenset[str]:
        ring = self._rings.get(item)
        if ring is None:
            return self._along(item, is_beyond)
        axis = self._kit.arbors[ring.arbor].axis
        found = set(self._along(item, is_beyond)) if axis is not None else set()
        for other_axis in self._neighbours.get(axis, ()):
            for other in self._on_axis[other_axis]:
                if is_beyond(ring, other) and other.item != item and self._cover(ring, other):
                    found.add(other.item)
        return frozenset(found)

    def _leaning_over(self, item: str) -> frozenset[str]:
        """The wheels on level arbors that an upright one meshes with: their teeth lie over its."""
        if self._is_level(item):
            return frozenset()
        meshes = self._kit.meshes_of.get(item, ())
        others = (mesh.other(self._kit.items[item]).id for mesh in meshes)
        return frozenset(other for other in others if self._is_level(other))

    def _along(self, item: str, is_beyond: Callable[[_Ring, _Ring], bool]) -> frozenset[str]:
        """What is beyond an item on its own arbor, where a ring does not tell."""
        arbor = self._kit.items[item].arbor
        span = self._heights.of(item)
        if span is None or self._kit.arbors[arbor].axis is None:
            return frozenset()
        here = _flat(item, arbor, span)
        return frozenset(
            other.id
            for other in self._kit.on_arbor[arbor]
            if other.id != item
            and not (other.id in self._rings and item in self._rings)
            and other.where != "shaft"
            and (beside := self._heights.of(other.id))
            and is_beyond(here, _flat(other.id, arbor, beside))
        )

    def _cover(self, a: _Ring, b: _Ring) -> bool:
        """Whether two rings cover each other in plan wherever they are turned to."""
        axes = self._kit.arbors[a.arbor].axis, self._kit.arbors[b.arbor].axis
        if axes not in self._distances:
            self._distances[axes] = self._distances[axes[::-1]] = self._apart(a.arbor, b.arbor)
        apart = self._distances[axes]
        if apart is None:
            return False
        if apart <= _EXACT:
            return a.inner < b.outer - PASSING and b.inner < a.outer - PASSING
        clear = apart >= a.outer + b.outer - PASSING
        inside = apart + b.outer <= a.inner + PASSING or apart + a.outer <= b.inner + PASSING
        return not clear and not inside

    def _apart(self, a: str, b: str) -> float | None:
        """The greatest distance of two arbors in plan, mm; the frame's plates lie about its middle.

        None where one has no place in plan.
        """
        axis_a, axis_b = self._kit.arbors[a].axis, self._kit.arbors[b].axis
        if axis_a == axis_b:
            return 0.0
        if axis_a is not None and axis_b is not None:
            if not (self._rigid.chain(a) and self._rigid.chain(b)):
                return None
            return self._rigid.distances(a, b)[1]
        known = axis_a if axis_a is not None else axis_b
        assert known is not None
        if self._kit.axes[known].carried_by is not None or known not in self._places:
            return None
        return dist(self._places[known], (0.0, 0.0))

    @cached_property
    def _neighbours(self) -> Mapping[str | None, tuple[str | None, ...]]:
        """For each axis those whose rings may cover some of its own, itself among them."""
        discs = []
        for axis, rings in self._on_axis.items():
            (x, y), more = (0.0, 0.0), 0.0
            if axis is not None:
                envelope = self._rigid.envelope(rings[0].arbor)
                if envelope is None:
                    continue
                (x, y), more = envelope
            reach = more + max(ring.outer for ring in rings)
            discs.append((x, y, reach, axis))
        discs.sort(key=lambda disc: disc[0])
        lefts = [disc[0] for disc in discs]
        widest = max((disc[2] for disc in discs), default=0.0)
        found: dict[str | None, tuple[str | None, ...]] = {}
        for x, y, reach, axis in discs:
            start = bisect_left(lefts, x - reach - widest)
            near = []
            for i in range(start, len(discs)):
                other = discs[i]
                if other[0] > x + reach + widest:
                    break
                if dist((x, y), other[:2]) < reach + other[2]:
                    near.append(other[3])
            found[axis] = tuple(near)
        return found


def _flat(item: str, arbor: str, span: Span) -> _Ring:
    return _Ring(item, arbor, 0.0, 0.0, span.bottom, span.top)
