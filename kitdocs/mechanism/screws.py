"""What holds each item, and how: count, driver, grip and engagement of every fastening.

A screw goes through the held item into tapped holes of its host. Its *grip* is what it passes
through before it reaches the host's near face; the rest of it is its *engagement*. The nominal
length of a countersunk screw includes its head (ISO 7046, ISO 10642) and its grip the metal
that the head sinks into, so both kinds are reckoned from the held item's outer face.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from kitdocs.kit.limits import LIMITS, Limit, kit_limits
from kitdocs.kit.machine import Held
from kitdocs.kit.model import Item, Kit
from kitdocs.kit.parts import Fastener, Holes, Part, bore_of
from kitdocs.mechanism.heights import Heights, part_height
from kitdocs.mechanism.materials import MaterialKind, material_kinds
from kitdocs.mechanism.standards import Head, clearance, head, is_set_screw

#: The limit on engagement, in nominal diameters, by the kind of the host's material.
ENGAGEMENT: dict[MaterialKind, str] = {
    "hard": "screw-grip",
    "aluminium": "screw-grip-aluminium",
    "soft": "screw-grip-soft",
}

_TOUCHING = 1e-6  # mm: faces this near are one face, reckoned along two ways


@dataclass(frozen=True)
class Fastening:
    """How one item is held.

    `part` is the fastener or adhesive, None for a press fit; `count` how many fasteners. For
    screws `holes` are the numbers of the host's holes, and `host_holes` what the host has under
    each number (None where it has no such hole); `passing` is the pattern of plain holes in the
    held item that they go through. For set screws `threads` is that of the held item's own cross
    hole. `head` is None where no table and no fact of the kit tells of one. Lengths in mm:
    `grip` is None where the two items do not lie one upon the other, `engagement` where the
    grip, the screw's length or the holes are not known, and `needed` but for screws.
    """

    item: Item
    host: Item
    kind: Literal["screw", "set-screw", "adhesive", "press"]
    part: Part | None = None
    count: int = 0
    washer: Part | None = None
    head: Head | None = None
    holes: tuple[int, ...] = ()
    host_holes: tuple[Holes | None, ...] = ()
    threads: tuple[str | None, ...] = ()
    passing: Holes | None = None
    grip: float | None = None
    engagement: float | None = None
    needed: float | None = None

    @property
    def driver(self) -> str | None:
        """The tool that drives the fasteners, in words: `PH1 screwdriver`."""
        return self.head.driver if self.head else None

    @property
    def passing_size(self) -> float | None:
        """Diameter in mm of what the screws pass in the held item: its holes, or its bore."""
        if self.passing is not None:
            return self.passing.size
        bore = bore_of(self.item.part)
        return bore if bore and _central(self.host_holes) else None

    @property
    def takes(self) -> tuple[tuple[Part, int], ...]:
        """Parts taken from stock, with how many; of an adhesive, one."""
        if self.part is None:
            return ()
        if self.kind == "adhesive":
            return ((self.part, 1),)
        washers = ((self.washer, self.count),) if self.washer else ()
        return ((self.part, self.count), *washers)


def fastenings(kit: Kit, heights: Heights) -> Mapping[str, Fastening]:
    """The fastening of each held item, by item id."""
    found = {}
    limits = kit_limits(kit.about.limits)
    for name, held in kit.held.items():
        item, host = kit.items[name], kit.items[held.to]
        part = None if held.by == "press" else kit.part(held.by)
        if part is None:
            found[name] = Fastening(item, host, "press")
        elif not isinstance(part, Fastener):
            found[name] = Fastening(item, host, "adhesive", part)
        elif is_set_screw(part.parsed):
            found[name] = _set_screws(item, host, part)
        else:
            washer = kit.part(held.washer) if held.washer else None
            found[name] = _screws(item, host, part, held, washer, heights, limits)
    return MappingProxyType(found)


def head_of(part: Fastener) -> Head | None:
    """A fastener's head: its standard's, else what the kit says of it, else None."""
    known = head(part.parsed)
    if known is not None or part.driver is None:
        return known
    return Head(part.head, part.head_height, part.driver, "own")


def thread_over(fastening: Fastening) -> float | None:
    """How far a screw would reach below the bottom of its blind holes, mm; negative: room left.

    None for other fastenings, through holes, and where grip or length is not known.
    """
    part, grip = fastening.part, fastening.grip
    if fastening.kind != "screw" or not isinstance(part, Fastener) or grip is None:
        return None
    depths = [hole.depth for hole in fastening.host_holes if hole and hole.depth is not None]
    return float(part.parsed.length) - grip - min(depths) if depths and part.parsed.length else None


def needed_engagement(
    thread_diameter: float, material: str | None, limits: Mapping[str, Limit] = LIMITS
) -> float:
    """Least engaged length in mm for a host's material (common practice).

    Of several materials named the weakest counts; one that is not known is taken for metal.
    """
    kinds = material_kinds(material) or ("hard",)
    return thread_diameter * max(limits[ENGAGEMENT[kind]].least or 0.0 for kind in kinds)


def _set_screws(item: Item, host: Item, part: Fastener) -> Fastening:
    cross = item.part.set_screw
    return Fastening(
        item,
        host,
        "set-screw",
        part,
        count=cross.count if cross else 0,
        head=head_of(part),
        threads=(cross.thread,) if cross else (None,),
    )


def _screws(
    item: Item,
    host: Item,
    part: Fastener,
    held: Held,
    washer: Part | None,
    heights: Heights,
    limits: Mapping[str, Limit],
) -> Fastening:
    patterns = host.part.hole_patterns
    host_holes = tuple(patterns.get(number) for number in held.holes)
    grip = _grip(item, host, host_holes, heights)
    if grip is not None and washer is not None:
        grip += part_height(washer)
    nominal = part.parsed.nominal
    return Fastening(
        item,
        host,
        "screw",
        part,
        count=len(held.holes),
        washer=washer,
        head=head_of(part),
        holes=held.holes,
        host_holes=host_holes,
        threads=tuple(hole.thread if hole else None for hole in host_holes),
        passing=_passing(item.part, host_holes, part.parsed.thread),
        grip=grip,
        engagement=_engagement(part, grip, host.part, host_holes),
        needed=needed_engagement(nominal, host.part.material, limits),
    )


def _grip(
    item: Item, host: Item, host_holes: tuple[Holes | None, ...], heights: Heights
) -> float | None:
    """From the host's near face to the far face of the held item, mm."""
    comparable = item.arbor == host.arbor or {item.id, host.id} <= heights.spans.keys()
    span, seat = heights.of(item.id), heights.of(host.id)
    if not comparable or span is None or seat is None:
        return None
    one_stack = (item.arbor, item.where) == (host.arbor, host.where)

    lying_on, hanging_under = span.bottom - seat.top, seat.bottom - span.top
    for gap, grip in (
        (lying_on, span.top - seat.top),
        (hanging_under, seat.bottom - span.bottom),
    ):
        # In one stack whatever lies between two items fills the gap; elsewhere they must touch.
        if abs(gap) <= _TOUCHING or (one_stack and gap > 0):
            return grip
    # Into the end of the shaft that the held item sits on: the head bears on the item.
    on_its_end = (
        host.where == "shaft" and item.arbor == host.arbor and span.top >= seat.top - _TOUCHING
    )
    return max(0.0, span.top - seat.top) if on_its_end and _central(host_holes) else None


def _central(holes: tuple[Holes | None, ...]) -> bool:
    """Whether these are holes on the axis, which a screw reaches through the held item's bore."""
    return bool(holes) and all(hole is not None and hole.circle is None for hole in holes)


def _passing(part: Part, host_holes: tuple[Holes | None, ...], thread: str) -> Holes | None:
    """The plain holes that screws pass: on the host's circle, else of a passing size, else any."""
    plain = [pattern for pattern in part.holes if pattern.thread is None]
    if not plain:
        return None
    if _central(host_holes):
        return next((pattern for pattern in plain if pattern.circle is None), None)
    circles = {hole.circle for hole in host_holes if hole}
    fits = clearance(thread)

    def rank(pattern: Holes) -> tuple[bool, bool]:
        size = pattern.size or 0.0
        passes = fits is not None and fits.fine <= size <= fits.coarse
        return (pattern.circle not in circles, not passes)

    return min(plain, key=rank)


def _engagement(
    part: Fastener, grip: float | None, host: Part, host_holes: tuple[Holes | None, ...]
) -> float | None:
    depths = [
        hole.depth if hole.depth is not None else part_height(host)
        for hole in host_holes
        if hole is not None and hole.thread is not None
    ]
    if grip is None or not part.parsed.length or not depths:
        return None
    return max(0.0, min(float(part.parsed.length) - grip, *depths))
