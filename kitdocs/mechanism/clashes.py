"""Clashes: what shares a height with something else and comes too near it as the machine turns.

Every item, screw head, screw end and standing-out set screw is a ring about its arbor's axis
(`solids.py`); what is carried sweeps a full turn about its carrier. Only neighbours are compared
(`near_pairs.py`).

Not looked at, since the kit files do not say where it stands: feet and pillars of the frame in
plan, and what is on axes that lie level. Plates of the frame are taken as centred on the
frame's origin.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import hypot, sqrt

from kitdocs.kit.model import Kit
from kitdocs.kit.parts import Part, Plate, bore_of
from kitdocs.mechanism.near_pairs import near_pairs
from kitdocs.mechanism.rigid import Rigid
from kitdocs.mechanism.solids import SCREWS, Solid

_EXACT = 1e-6  # mm: less is rounding

#: The limit that decides about a pair, by the kinds in it; the first that is there counts.
_DECIDED_BY = (
    ("arm", "arm-sweep"),
    ("ball", "arm-sweep"),
    ("head", "screw-head"),
    ("end", "screw-bottom-gap"),
)

#: The limits that decide about clashes.
CLASH_LIMITS = ("mesh-foul", *dict.fromkeys(name for _, name in _DECIDED_BY))


@dataclass(frozen=True)
class Clash:
    """Two solids that come nearer than wanted; `gap` is negative when they overlap.

    `height` is where they meet, mm above the frame's underside; `limit` names the limit.
    """

    a: Solid
    b: Solid
    height: float
    gap: float
    wanted: float
    limit: str


def clashes(
    kit: Kit, solids: Iterable[Solid], rigid: Rigid, wanted: Mapping[str, float]
) -> list[Clash]:
    """Every pair nearer than `wanted` (mm, by the name of the limit), by height and names."""
    judge = Judge(kit, rigid, wanted)
    found = [c for a, b in near_pairs(kit, solids, rigid, judge.widest) if (c := judge.clash(a, b))]
    return sorted(found, key=lambda c: (c.height, c.a.item.id, c.b.item.id, c.a.kind, c.b.kind))


class Judge:
    """Whether two solids come too near each other."""

    def __init__(self, kit: Kit, rigid: Rigid, wanted: Mapping[str, float]):
        self._kit = kit
        self._rigid = rigid
        self._wanted = wanted
        self.widest = max(wanted.values())
        self._meshing = {frozenset((m.a.id, m.b.id)) for m in kit.meshes}
        self._distances: dict[tuple[str, str], tuple[float, float]] = {}

    def clash(self, a: Solid, b: Solid) -> Clash | None:
        """The clash of two solids; None when they are far enough apart, or belong together."""
        limit = self._limit(a, b)
        wanted = self._wanted[limit]
        along = max(a.bottom - b.top, b.bottom - a.top)
        if along >= wanted - _EXACT or self._belong(a, b):
            return None
        if self._at_rest(a, b) or (self._may_touch(a, b) and along >= -_EXACT):
            wanted = 0.0  # they may touch, and must not overlap
            if along >= -_EXACT:
                return None
        gap = max(along, self._across(a, b))
        if gap >= wanted - _EXACT:
            return None
        height = (max(a.bottom, b.bottom) + min(a.top, b.top)) / 2
        if a.item.id > b.item.id:
            a, b = b, a
        return Clash(a, b, height, gap, wanted, limit)

    def _limit(self, a: Solid, b: Solid) -> str:
        for kind, name in _DECIDED_BY:
            if kind in (a.kind, b.kind):
                # An arm's own load turns close above it, on a washer.
                carried = self._carries(a, b) or self._carries(b, a)
                return "mesh-foul" if carried and name == "arm-sweep" else name
        return "mesh-foul"

    def _carries(self, arm: Solid, other: Solid) -> bool:
        chain = self._rigid.chain(other.arbor)
        return arm.kind == "arm" and bool(chain) and chain[0][1] == self._rigid.body(arm.arbor)

    def _at_rest(self, a: Solid, b: Solid) -> bool:
        return self._rigid.body(a.arbor) == self._rigid.body(b.arbor)

    def _belong(self, a: Solid, b: Solid) -> bool:
        """Pairs that other rules judge: meshes, screws in their own holes, shafts in theirs."""
        if a.item is b.item or a.item.id in b.apart or b.item.id in a.apart:
            return True
        if a.arbor == b.arbor and (a.item.where, a.item.level) == (b.item.where, b.item.level):
            return not (a.apart or b.apart)  # side by side in one level
        if a.kind not in SCREWS and b.kind not in SCREWS:
            if frozenset((a.item.id, b.item.id)) in self._meshing:
                return True
            return self._fitted(a, b) or self._fitted(b, a)
        return False

    def _fitted(self, shaft: Solid, other: Solid) -> bool:
        """Whether a shaft stands in a hole of the other: that is a matter of fits."""
        if shaft.kind != "shaft":
            return False
        arbor = self._kit.arbors[shaft.arbor]
        if arbor.stands_on == other.item.id:
            return True
        if self._kit.axes.get(arbor.axis or "") is None:
            return False
        held = self._kit.held.get(shaft.item.id)
        if held is not None and held.to == other.item.id:
            return True
        same_axis = self._kit.arbors[other.arbor].axis == arbor.axis
        return same_axis and (self._at_rest(shaft, other) or other.inner > 0)

    def _may_touch(self, a: Solid, b: Solid) -> bool:
        """Whether one may bear on the other: on one axis, or where an arbor stands on it."""
        kinds = {a.kind, b.kind}
        if kinds & SCREWS or kinds <= {"arm", "ball"}:
            return False
        arbors = self._kit.arbors
        if arbors[a.arbor].axis == arbors[b.arbor].axis:
            return True
        return arbors[a.arbor].stands_on == b.item.id or arbors[b.arbor].stands_on == a.item.id

    def _across(self, a: Solid, b: Solid) -> float:
        """The least gap in plan as everything turns, mm."""
        on_frame = [s for s in (a, b) if self._kit.arbors[s.arbor].axis is None]
        if len(on_frame) == 2:
            return -min(a.outer, b.outer)
        if on_frame:
            return self._across_plate(on_frame[0], b if on_frame[0] is a else a)
        low, high = self._between(a.arbor, b.arbor)
        outer_a, outer_b = _reach(a, b), _reach(b, a)
        if self._at_rest(a, b):
            # An arm is no disc to what turns with it: only its boss is known to be in the way.
            outer_a, outer_b = (a.hub or outer_a), (b.hub or outer_b)
        return max(low - outer_a - outer_b, a.inner - high - outer_b, b.inner - high - outer_a)

    def _between(self, a: str, b: str) -> tuple[float, float]:
        if a == b:
            return 0.0, 0.0
        key = (a, b) if a < b else (b, a)
        if key not in self._distances:
            self._distances[key] = self._rigid.distances(*key)
        return self._distances[key]

    def _across_plate(self, plate: Solid, other: Solid) -> float:
        """The gap between a plate of the frame and something else, or the room in its hole."""
        envelope = self._rigid.envelope(other.arbor)
        assert envelope is not None and isinstance(plate.item.part, Plate)
        (x, y), radius = envelope[0], envelope[1] + _reach(other, plate)
        return max(_beside(plate.item.part, x, y, radius), _in_hole(plate.item.part, x, y, radius))


def _beside(part: Plate, x: float, y: float, radius: float) -> float:
    if part.outside:
        return hypot(x, y) - part.outside / 2 - radius
    dx = abs(x) - (part.width or 0.0) / 2
    dy = abs(y) - (part.depth or 0.0) / 2
    return (hypot(max(dx, 0.0), max(dy, 0.0)) or max(dx, dy)) - radius


def _in_hole(part: Part, x: float, y: float, radius: float) -> float:
    """The room about a circle in the hole of a plate that it stands in; very negative in none.

    Where on its circle a hole stands is not known, so any angle will do.
    """
    out = hypot(x, y)
    room = [bore_of(part) / 2 - out - radius]
    room += [
        (hole.size or 0.0) / 2 - abs(out - (hole.circle or 0.0) / 2) - radius for hole in part.holes
    ]
    return max(room)


def _reach(solid: Solid, other: Solid) -> float:
    """A solid's radius at the heights of the other: a ball is narrower off its middle."""
    if solid.kind != "ball":
        return solid.outer
    middle = (solid.bottom + solid.top) / 2
    off = max(other.bottom - middle, middle - other.top, 0.0)
    return sqrt(max(0.0, solid.outer**2 - off**2))
