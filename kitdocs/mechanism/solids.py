"""Items, screws and arms as solids of revolution: what a thing takes up as its arbor turns."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import pi, sqrt
from typing import Literal

from kitdocs.kit.model import Item, Kit
from kitdocs.kit.parts import (
    Arm,
    Ball,
    Fastener,
    Part,
    Plate,
    Pulley,
    RingWheel,
    Round,
    Shaft,
    Toothed,
    Washer,
    bore_of,
)
from kitdocs.mechanism.gears import ADDENDUM
from kitdocs.mechanism.heights import Heights, part_height
from kitdocs.mechanism.screws import Fastening
from kitdocs.mechanism.standards import head, washer_size

Kind = Literal["item", "shaft", "arm", "ball", "plate", "head", "end", "set-screw"]

#: Solids that belong to a fastening of their item, not to its own shape.
SCREWS: frozenset[Kind] = frozenset({"head", "end", "set-screw"})


@dataclass(frozen=True, slots=True)
class Solid:
    """A ring about an arbor's axis, mm; heights as in `Heights.spans`.

    `item` is what it is or, for a screw's head, end or stand-out, what the screw holds. `hub` is
    the radius that an arm takes up towards things that turn with it. `apart` names items that it
    touches by its nature: what a screw holds and its host.
    """

    kind: Kind
    item: Item
    arbor: str
    inner: float
    outer: float
    bottom: float
    top: float
    hub: float = 0.0
    apart: tuple[str, ...] = ()


def item_solid(item: Item, heights: Heights) -> Solid | None:
    """An item as a solid; None where its height or its shape is not known."""
    span = heights.spans.get(item.id)
    radii = _radii(item.part)
    if span is None or radii is None:
        return None
    inner, outer = radii
    kind: Kind = "item"
    if isinstance(item.part, Arm):
        kind = "arm"
    elif isinstance(item.part, Ball):
        kind = "ball"
    elif isinstance(item.part, Plate):
        kind = "plate"
    elif item.where == "shaft":
        kind = "shaft"
    hub = item.part.hub / 2 if isinstance(item.part, Arm) else 0.0
    return Solid(kind, item, item.arbor, inner, outer, span.bottom, span.top, hub)


def _radii(part: Part) -> tuple[float, float] | None:
    """Inner and outer radius; of teeth to their tips (ISO 53 addendum, ISO 21771 shift)."""
    bore = bore_of(part)
    if isinstance(part, RingWheel):
        tip = part.module * (part.teeth / 2 - ADDENDUM + part.shift)
        return tip, part.outside / 2
    if isinstance(part, Toothed):
        return bore / 2, part.module * (part.teeth / 2 + ADDENDUM + part.shift)
    if isinstance(part, Pulley):
        return bore / 2, part.pitch * part.teeth / (2 * pi)
    if isinstance(part, (Round, Washer)):
        return bore / 2, part.outside / 2
    if isinstance(part, Shaft):
        return bore / 2, part.diameter / 2
    if isinstance(part, Ball):
        return bore / 2, part.diameter / 2
    if isinstance(part, Arm):
        return bore / 2, max(part.hub / 2, part.reach + part.hub / 4)
    if isinstance(part, Plate):
        return _plate_radii(part)
    return _fastener_radii(part) if isinstance(part, Fastener) else None


def _plate_radii(part: Plate) -> tuple[float, float] | None:
    if part.outside:
        return part.bore / 2, part.outside / 2
    if part.width and part.depth:
        return part.bore / 2, sqrt(part.width**2 + part.depth**2) / 2
    return None


def _fastener_radii(part: Fastener) -> tuple[float, float] | None:
    if washer := washer_size(part.parsed):
        return washer.bore / 2, washer.outside / 2
    nut = head(part.parsed)
    if nut and nut.kind == "nut" and nut.diameter:
        return part.parsed.nominal / 2, nut.diameter / sqrt(3)  # across corners of a hexagon
    return None


def screw_solids(kit: Kit, heights: Heights, fastening: Fastening) -> Iterator[Solid]:
    """The heads, ends and stand-outs of one fastening, as rings about its axis."""
    if fastening.kind == "set-screw":
        yield from _set_screw(heights, fastening)
    elif fastening.kind == "screw":
        yield from _screw(kit, heights, fastening)


def _set_screw(heights: Heights, fastening: Fastening) -> Iterator[Solid]:
    """What of a set screw stands out of its item when it bears on the shaft."""
    item, part = fastening.item, fastening.part
    span, out = heights.spans.get(item.id), stand_out(fastening)
    wall = wall_of(item.part)
    if span is None or out is None or wall is None or not isinstance(part, Fastener):
        return
    outside = bore_of(item.part) / 2 + wall
    if out > 1e-9:
        middle, half = (span.bottom + span.top) / 2, part.parsed.nominal / 2
        apart = (item.id, fastening.host.id)
        reach = outside + out
        yield Solid(
            "set-screw", item, item.arbor, outside, reach, middle - half, middle + half, 0.0, apart
        )


def stand_out(fastening: Fastening) -> float | None:
    """How far a set screw that bears on its shaft stands out of its item, mm; negative when sunk.

    None for other fastenings, and where the item's wall or the screw's length is not known.
    """
    wall, part = wall_of(fastening.item.part), fastening.part
    if fastening.kind != "set-screw" or wall is None or not isinstance(part, Fastener):
        return None
    return float(part.parsed.length) - wall if part.parsed.length else None


def wall_of(part: Part) -> float | None:
    """What a set screw passes from the outside of its item to the bore, mm."""
    if isinstance(part, Toothed):
        return None  # whether it goes in between the teeth or beside them is not told
    outside = part.hub if isinstance(part, Arm) else getattr(part, "outside", None)
    return (outside - bore_of(part)) / 2 if outside else None


def _screw(kit: Kit, heights: Heights, fastening: Fastening) -> Iterator[Solid]:
    item, host, part = fastening.item, fastening.host, fastening.part
    span, seat = heights.spans.get(item.id), heights.spans.get(host.id)
    on = host.arbor if kit.arbors[host.arbor].axis else item.arbor
    circles = {hole.circle or 0.0 for hole in fastening.host_holes if hole}
    if span is None or seat is None or not isinstance(part, Fastener) or not circles:
        return
    if not kit.arbors[on].axis or fastening.grip is None:
        return
    above = span.bottom >= seat.top - 1e-6 or (circles == {0.0} and span.top >= seat.top - 1e-6)
    apart = (item.id, host.id)
    washer = fastening.washer
    washer_radii = _radii(washer) if washer else None
    heads = fastening.head
    for circle in circles:
        if heads and heads.diameter and heads.height and heads.kind != "countersunk":
            thick = part_height(washer) if washer else 0.0
            half = max(heads.diameter / 2, washer_radii[1] if washer_radii else 0.0)
            start = span.top if above else span.bottom
            far = start + (thick + heads.height) * (1 if above else -1)
            inner, outer = max(0.0, circle / 2 - half), circle / 2 + half
            low, high = min(start, far), max(start, far)
            yield Solid("head", item, on, inner, outer, low, high, 0.0, apart)
        proud = proud_of(fastening)
        if proud > 1e-9:
            half = part.parsed.nominal / 2
            start = seat.bottom if above else seat.top
            far = start - proud if above else start + proud
            low, high = min(start, far), max(start, far)
            inner, outer = max(0.0, circle / 2 - half), circle / 2 + half
            yield Solid("end", item, on, inner, outer, low, high, 0.0, apart)


def proud_of(fastening: Fastening) -> float:
    """How far a screw stands out of the far side of a through hole, mm."""
    part, grip = fastening.part, fastening.grip
    if not isinstance(part, Fastener) or grip is None or not part.parsed.length:
        return 0.0
    if any(hole is None or hole.depth is not None for hole in fastening.host_holes):
        return 0.0
    return max(0.0, float(part.parsed.length) - grip - part_height(fastening.host.part))


def solids(kit: Kit, heights: Heights, fastenings: Mapping[str, Fastening]) -> list[Solid]:
    """Every solid of the machine whose place is known, items before screws."""
    found = [
        solid for item in kit.items.values() if (solid := item_solid(item, heights)) is not None
    ]
    for fastening in fastenings.values():
        found += screw_solids(kit, heights, fastening)
    return found
