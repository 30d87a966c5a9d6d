"""Which solids come near each other, without comparing every pair.

A sweep upwards through the heights keeps the solids that it has met and not left behind; of
those only the ones whose x meets are looked at. The work grows as n log n as long as each solid
has a bounded number of neighbours.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from heapq import heappop, heappush
from math import frexp

from kitdocs.kit.model import Kit
from kitdocs.mechanism.rigid import Rigid
from kitdocs.mechanism.solids import Solid


def near_pairs(
    kit: Kit, solids: Iterable[Solid], rigid: Rigid, margin: float
) -> Iterator[tuple[Solid, Solid]]:
    """The pairs whose boxes come within `margin` of each other, each once."""
    boxes = [box for solid in solids if (box := _box(kit, rigid, solid)) is not None]
    boxes.sort(key=lambda b: b.solid.bottom)
    active = _Active()
    leaving: list[tuple[float, int]] = []  # the top of each active box, and its number
    for number, box in enumerate(boxes):
        while leaving and leaving[0][0] < box.solid.bottom - margin:
            gone = heappop(leaving)[1]
            active.remove(gone, boxes[gone])
        for other in active.near(box, boxes, margin):
            yield boxes[other].solid, box.solid
        active.add(number, box)
        heappush(leaving, (box.solid.top, number))


@dataclass(slots=True)
class _Box:
    """What a solid takes up in plan as everything turns."""

    solid: Solid
    x0: float
    x1: float
    y0: float
    y1: float


def _box(kit: Kit, rigid: Rigid, solid: Solid) -> _Box | None:
    if kit.arbors[solid.arbor].axis is None:
        if solid.kind != "plate":
            return None
        (x, y), reach = (0.0, 0.0), solid.outer
    else:
        envelope = rigid.envelope(solid.arbor)
        if envelope is None:
            return None
        (x, y), reach = envelope[0], envelope[1] + solid.outer
    return _Box(solid, x - reach, x + reach, y - reach, y + reach)


class _Active:
    """The boxes whose heights are met, in classes of like width, each sorted by its left edge.

    Boxes of one class are at most twice as wide as each other, so the ones that reach a given x
    begin in a short run of it.
    """

    def __init__(self) -> None:
        self._classes: dict[int, list[tuple[float, int]]] = {}

    @staticmethod
    def _class(box: _Box) -> int:
        return frexp(box.x1 - box.x0)[1]

    def add(self, number: int, box: _Box) -> None:
        insort(self._classes.setdefault(self._class(box), []), (box.x0, number))

    def remove(self, number: int, box: _Box) -> None:
        rows = self._classes[self._class(box)]
        del rows[bisect_left(rows, (box.x0, number))]

    def near(self, box: _Box, boxes: list[_Box], margin: float) -> Iterator[int]:
        for size, rows in self._classes.items():
            start = bisect_left(rows, (box.x0 - margin - 2.0**size, -1))
            for place in range(start, len(rows)):
                x0, number = rows[place]
                if x0 > box.x1 + margin:
                    break
                other = boxes[number]
                if (
                    other.x1 >= box.x0 - margin
                    and other.y0 <= box.y1 + margin
                    and other.y1 >= box.y0 - margin
                ):
                    yield number
