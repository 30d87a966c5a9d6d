"""Fits: which shaft stands in which hole, how loosely, and the limits of ISO 286 classes.

Clearance is hole less shaft, mm; an interference is a negative clearance.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from kitdocs.finding import Place
from kitdocs.kit.machine import Arbor
from kitdocs.kit.model import Item, Kit
from kitdocs.kit.parts import Fastener, Part, Round, Shaft, Toothed, Washer, bore_of
from kitdocs.mechanism.heights import Heights
from kitdocs.mechanism.materials import material_kinds
from kitdocs.mechanism.positions import Point, axis_distance
from kitdocs.mechanism.standards import washer_size

Use = Literal["running", "seat", "loose", "press"]

# ISO 286-2, micrometres, by the size up to which a row holds. p6 from memory.
_ROWS: tuple[tuple[float, dict[str, tuple[int, int]]], ...] = (
    (3, {"H7": (0, 10), "H8": (0, 14), "h6": (-6, 0), "g6": (-8, -2), "f7": (-16, -6),
         "p6": (6, 12)}),
    (6, {"H7": (0, 12), "H8": (0, 18), "h6": (-8, 0), "g6": (-12, -4), "f7": (-22, -10),
         "p6": (12, 20)}),
    (10, {"H7": (0, 15), "H8": (0, 22), "h6": (-9, 0), "g6": (-14, -5), "f7": (-28, -13),
          "p6": (15, 24)}),
    (18, {"H7": (0, 18), "H8": (0, 27), "h6": (-11, 0), "g6": (-17, -6), "f7": (-34, -16),
          "p6": (18, 29)}),
)  # fmt: skip


def deviations(tolerance_class: str, size: float) -> tuple[float, float] | None:
    """Lower and upper deviation of a class at a nominal size, mm; None where no row has it."""
    for up_to, row in _ROWS:
        if 0 < size <= up_to:
            found = row.get(tolerance_class)
            return (found[0] / 1000, found[1] / 1000) if found else None
    return None


def class_clearance(fit: str, size: float) -> tuple[float, float] | None:
    """Least and greatest clearance of a fit such as `H7/g6` at a nominal size, mm."""
    hole, _, shaft = fit.partition("/")
    of_hole, of_shaft = deviations(hole, size), deviations(shaft, size)
    if of_hole is None or of_shaft is None:
        return None
    return of_hole[0] - of_shaft[1], of_hole[1] - of_shaft[0]


@dataclass(frozen=True)
class Pairing:
    """A shaft in a hole, both by their diameters in mm.

    `hole` is None where what should have one has none that it could be. `fit` is the ISO 286 fit
    that the part with the hole is made to, both sizes then nominal. `soft` says that one of the
    two is wood or plastics, which gives. `axis_place` is where it is written how far off a
    pressed item stands.
    """

    use: Use
    inner: Item
    outer: Item
    shaft: float
    hole: float | None
    shaft_place: Place
    hole_place: Place
    fit: str | None = None
    soft: bool = False
    axis_place: Place | None = None

    @property
    def clearance(self) -> tuple[float, float] | None:
        """Least and greatest clearance, mm; None without a hole or a row for its class."""
        if self.hole is None:
            return None
        if self.fit is None:
            return self.hole - self.shaft, self.hole - self.shaft
        return class_clearance(self.fit, self.shaft)


def pairings(kit: Kit, heights: Heights, places: Mapping[str, Point]) -> Iterator[Pairing]:
    """Every shaft in a hole that the kit tells of. `places` are the axes' (`positions.py`)."""
    bushes = _bushes_on(kit)
    for name, arbor in kit.arbors.items():
        yield from _running(kit, name, arbor)
        yield from _in_bushes(kit, heights, name, bushes.get(arbor.axis or "", []))
        yield from _on_shaft(kit, heights, name)
    for name, held in kit.held.items():
        if held.by == "press":
            yield from _pressed(kit, kit.items[name], kit.items[held.to], places)


def _bore(part: Part) -> float:
    if isinstance(part, Fastener):
        size = washer_size(part.parsed)
        return size.bore if size else part.parsed.nominal
    return bore_of(part)


def _pair(use: Use, inner: Item, outer: Item, diameter: str, hole: float | None = None) -> Pairing:
    shaft, part = getattr(inner.part, diameter), outer.part
    bore = _bore(part) if hole is None else hole
    soft = any("soft" in material_kinds(p.material) for p in (inner.part, part))
    place = part.place("bore") if hole is None else part.place("holes")
    return Pairing(
        use, inner, outer, shaft, bore or None, inner.part.place(diameter), place, part.fit, soft
    )


def _shaft_of(kit: Kit, arbor: str) -> Item | None:
    item = kit.items.get(arbor)
    return item if item is not None and item.arbor == arbor and item.where == "shaft" else None


def _running(kit: Kit, name: str, arbor: Arbor) -> Iterator[Pairing]:
    """An arbor on the post or pipe that it runs on: its own pipe, or the closest bore on it."""
    inner = _shaft_of(kit, arbor.runs_on) if arbor.runs_on else None
    if inner is None or not isinstance(inner.part, Shaft):
        return
    own = _shaft_of(kit, name)
    candidates = [i for i in kit.on_arbor[name] if i.part.kind == "bush"]
    if own is not None:
        candidates.append(own)
    if not candidates:
        candidates = [i for i in kit.on_arbor[name] if not isinstance(i.part, Washer)]
    bored = [i for i in candidates if _bore(i.part)]
    outer = min(bored or candidates, key=lambda i: _bore(i.part), default=None)
    if outer is not None:
        yield _pair("running", inner, outer, "diameter")


def _in_bushes(kit: Kit, heights: Heights, name: str, bushes: list[Item]) -> Iterator[Pairing]:
    """A turning shaft in the bushes of other arbors on its axis."""
    shaft = _shaft_of(kit, name)
    if shaft is None or kit.arbors[name].fixed or not isinstance(shaft.part, Shaft):
        return
    for item in bushes:
        around = isinstance(item.part, Round) and item.part.outside > shaft.part.diameter
        if item.arbor != name and around and _meet(heights, shaft, item):
            yield _pair("running", shaft, item, "diameter")


def _bushes_on(kit: Kit) -> dict[str, list[Item]]:
    found: dict[str, list[Item]] = {}
    for item in kit.items.values():
        axis = kit.arbors[item.arbor].axis
        if item.part.kind == "bush" and axis is not None:
            found.setdefault(axis, []).append(item)
    return found


def _meet(heights: Heights, a: Item, b: Item) -> bool:
    one, two = heights.of(a.id), heights.of(b.id)
    if one is None or two is None:
        return False
    return one.bottom < two.top - 1e-6 and two.bottom < one.top - 1e-6


def _on_shaft(kit: Kit, heights: Heights, name: str) -> Iterator[Pairing]:
    """What stands on an arbor's own shaft: fixed on it, located by it, or just round it."""
    shaft = _shaft_of(kit, name)
    if shaft is None or not isinstance(shaft.part, Shaft):
        return
    for item in kit.on_arbor[name]:
        if item is shaft or not _meet(heights, shaft, item):
            continue
        held = kit.held.get(item.id)
        if _is_pressed(kit, item.id, name) or _is_pressed(kit, name, item.id):
            continue
        loose = item.part.kind in ("washer", "spacer", "fastener", "bush")
        yield _pair("loose" if loose and held is None else "seat", shaft, item, "diameter")


def _is_pressed(kit: Kit, item: str, host: str) -> bool:
    held = kit.held.get(item)
    return held is not None and held.by == "press" and held.to == host


def _pressed(kit: Kit, item: Item, host: Item, places: Mapping[str, Point]) -> Iterator[Pairing]:
    """A press fit: the item on its host's shaft, or the item in a hole of its host."""
    if isinstance(host.part, Shaft) and _bore(item.part):
        yield _pair("press", host, item, "diameter")
        return
    diameter = "diameter" if isinstance(item.part, Shaft) else "outside"
    size = getattr(item.part, diameter, None)
    if not size or isinstance(item.part, Toothed):
        return
    off = axis_distance(kit, item.arbor, host.arbor, places)
    if item.arbor == host.arbor and kit.arbors[host.arbor].axis is not None:
        off = 0.0
    holes = [h.size for h in host.part.holes if h.size and _stands(h.circle, off)]
    bore = _bore(host.part)
    if bore and (off is None or off < 1e-3):
        holes.append(bore)
    hole = min(holes, key=lambda h: abs(h - size), default=0.0)
    axis = kit.axes.get(kit.arbors[item.arbor].axis or "")
    place = axis.place("distance") if axis and axis.distance is not None and off else None
    pair = _pair("press", item, host, diameter, None if hole == bore and bore else hole)
    yield replace(pair, axis_place=place)


def _stands(circle: float | None, off: float | None) -> bool:
    return off is None or at_the_hole((circle or 0.0) / 2, off)


def at_the_hole(hole: float, axis: float) -> bool:
    """Whether an axis stands at a hole, by their distances (mm) from one middle.

    Both are written to a hundredth of a millimetre or coarser, so by so much they may disagree.
    """
    return abs(hole - axis) <= 0.01 + 1e-9
