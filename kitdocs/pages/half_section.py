"""What a part looks like where its axis is cut: rings about the axis, in mm."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import Literal

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
    Worm,
    bore_of,
)
from kitdocs.mechanism.gears import ADDENDUM, gear_of
from kitdocs.mechanism.standards import head, washer_size


@dataclass(frozen=True)
class Ring:
    """From radius `inner` to radius `outer`. Teeth are drawn as not cut (ISO 2203)."""

    inner: float
    outer: float
    look: Literal["body", "teeth", "ball"] = "body"


def rings(part: Part) -> tuple[Ring, ...]:
    """The rings of a part, over its whole height; none where its sizes do not tell."""
    if isinstance(part, RingWheel):
        return _ring_wheel(part)
    if isinstance(part, Toothed):
        root, tip = toothed_radii(part)
        return (Ring(part.bore / 2, root), Ring(root, tip, "teeth"))
    outer = outer_radius(part)
    if outer is None:
        return ()
    bore = bore_of(part) / 2
    if isinstance(part, Fastener):
        washer = washer_size(part.parsed)
        bore = washer.bore / 2 if washer else part.parsed.nominal / 2
    return (Ring(min(bore, outer), outer, "ball" if isinstance(part, Ball) else "body"),)


def toothed_radii(part: Toothed) -> tuple[float, float]:
    """Root and tip radius of external teeth, before any shortening of the tips."""
    gear = gear_of(part)
    tip = gear.reference_diameter / 2 + part.module * (ADDENDUM + part.shift)
    return gear.root_diameter / 2, tip


def pitch_radius(part: Part) -> float | None:
    """The reference circle's radius of a wheel, or the pitch circle's of a pulley."""
    if isinstance(part, Toothed):
        return part.module * part.teeth / 2
    return part.teeth * part.pitch / pi / 2 if isinstance(part, Pulley) else None


def _ring_wheel(part: RingWheel) -> tuple[Ring, ...]:
    gear = gear_of(part)
    tip = gear.reference_diameter / 2 - part.module * (ADDENDUM - part.shift)
    root = gear.root_diameter / 2
    return (Ring(root, part.outside / 2), Ring(tip, root, "teeth"))


def outer_radius(part: Part) -> float | None:
    """How far a part reaches from its axis; of an arm, its hub."""
    if isinstance(part, RingWheel):
        return part.outside / 2
    if isinstance(part, Toothed):
        return toothed_radii(part)[1]
    if isinstance(part, (Shaft, Ball)):
        return part.diameter / 2
    if isinstance(part, (Round, Washer)):
        return part.outside / 2
    if isinstance(part, Arm):
        return part.hub / 2
    if isinstance(part, Plate):
        across = part.outside or part.width
        return across / 2 if across else None
    if isinstance(part, Pulley):
        return pitch_radius(part)
    if isinstance(part, Worm):
        return part.bore / 2 + 3 * part.module  # a kit does not tell a worm's diameter
    if isinstance(part, Fastener):
        washer, top = washer_size(part.parsed), head(part.parsed)
        across = washer.outside if washer else (top.diameter if top else None)
        return across / 2 if across else None
    return None
