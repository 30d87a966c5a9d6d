"""Parts of one parcel that a builder may take for each other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

from kitdocs.kit.model import Kit
from kitdocs.kit.parts import Fastener, Part, Toothed, bore_of

#: How near is alike: lengths and bores in mm, teeth.
NEAR_LENGTH = 2.0
NEAR_TEETH = 3
SAME_SIZE = 0.25


@dataclass(frozen=True)
class LookAlike:
    """Two parts of one parcel that look alike.

    `why` says in what way: `length` (one thread, near lengths), `head` (one thread and length),
    `teeth` (one bore and module, near teeth), `size` (the same outside and bore). `marked` says
    whether marks tell them apart.
    """

    delivery: str
    a: Part
    b: Part
    why: Literal["length", "head", "teeth", "size"]

    @property
    def marked(self) -> bool:
        return self.a.mark != self.b.mark


def look_alikes(kit: Kit, delivery: str) -> tuple[LookAlike, ...]:
    """The look-alikes of one parcel, in the order in which it lists them."""
    groups: dict[tuple, list[Part]] = {}
    parcel = kit.deliveries[delivery]
    for reference in dict.fromkeys((*parcel.holds, *parcel.spares)):
        part = kit.part(reference)
        if part is not None:
            groups.setdefault(_kind(part), []).append(part)
    return tuple(
        LookAlike(delivery, a, b, why)
        for group in groups.values()
        for a, b in combinations(group, 2)
        if a is not b and (why := _alike(a, b))
    )


def _kind(part: Part) -> tuple:
    if isinstance(part, Fastener):
        return ("fastener", part.parsed.thread, bool(part.parsed.length))
    return (part.kind, getattr(part, "module", 0.0))


def _alike(a: Part, b: Part) -> Literal["length", "head", "teeth", "size"] | None:
    if isinstance(a, Fastener) and isinstance(b, Fastener):
        if not a.parsed.length:
            return None  # a washer and a nut
        apart = abs(float(a.parsed.length) - float(b.parsed.length))
        if not apart:
            return "head"
        return "length" if apart <= NEAR_LENGTH and _shape(a) == _shape(b) else None
    near_bore = abs(bore_of(a) - bore_of(b)) <= SAME_SIZE
    if not near_bore:
        return None
    if isinstance(a, Toothed) and isinstance(b, Toothed):
        apart = abs(a.teeth - b.teeth)
        if apart == 0:
            return "size"
        return "teeth" if apart <= NEAR_TEETH else None
    sizes = list(zip(_sizes(a), _sizes(b), strict=False))
    same = bool(sizes) and all(abs(x - y) <= SAME_SIZE for x, y in sizes)
    return "size" if same else None


def _shape(part: Fastener) -> str:
    """What tells two screws of one thread apart at a glance: the form of the head."""
    return part.parsed.product


def _sizes(part: Part) -> Iterator[float]:
    for key in ("outside", "diameter", "length", "thickness", "reach", "width", "depth"):
        value = getattr(part, key, None)
        if value is not None:
            yield value
