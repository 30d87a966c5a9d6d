"""Planet sets: like wheels on one carrier between one sun and one ring wheel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import atan2, degrees, dist

from kitdocs.kit.model import Item, Kit
from kitdocs.kit.parts import RingWheel, Toothed
from kitdocs.mechanism.gears import ADDENDUM
from kitdocs.mechanism.positions import Point


@dataclass(frozen=True)
class PlanetSet:
    """Two or more like planets, in the order in which they stand anticlockwise.

    `bearings` are degrees about the sun, `gaps` are mm between the tips of each planet and the
    next one's; `axes` are the planets'.
    """

    carrier: str
    axes: tuple[str, ...]
    sun: Item
    ring: Item
    planets: tuple[Item, ...]
    bearings: tuple[float, ...]
    gaps: tuple[float, ...]

    @property
    def steps(self) -> tuple[float, ...]:
        """By how many teeth of sun and ring together each planet stands on from the first.

        The planets can be put in where all are whole numbers: (z_s + z_r) · angle / 360.
        """
        assert isinstance(self.sun.part, Toothed) and isinstance(self.ring.part, Toothed)
        total = self.sun.part.teeth + self.ring.part.teeth
        return tuple(total * (b - self.bearings[0]) / 360 for b in self.bearings)


def planet_sets(kit: Kit, places: Mapping[str, Point]) -> list[PlanetSet]:
    """The planet sets of a machine; `places` are the axes' plan (`positions.py`)."""
    groups: dict[tuple[str, str, str, str], list[Item]] = {}
    for item in kit.items.values():
        carrier = kit.carrier(item.arbor)
        if carrier is None or item.id not in kit.meshes_of:
            continue
        partners = [m.other(item) for m in kit.meshes_of[item.id]]
        central = [p for p in partners if kit.arbors[p.arbor].axis == kit.arbors[carrier].axis]
        rings = [p for p in central if isinstance(p.part, RingWheel)]
        suns = [p for p in central if not isinstance(p.part, RingWheel)]
        for ring in rings:
            for sun in suns:
                key = (carrier, sun.id, ring.id, item.part.id)
                groups.setdefault(key, []).append(item)
    return [
        _set(kit, places, carrier, sun, ring, planets)
        for (carrier, sun, ring, _), planets in groups.items()
        if len(planets) > 1 and all((kit.arbors[p.arbor].axis or "") in places for p in planets)
    ]


def _set(
    kit: Kit, places: Mapping[str, Point], carrier: str, sun: str, ring: str, planets: list[Item]
) -> PlanetSet:
    centre = places[kit.arbors[carrier].axis or ""]

    def place(item: Item) -> Point:
        return places[kit.arbors[item.arbor].axis or ""]

    def bearing(item: Item) -> float:
        x, y = place(item)
        return degrees(atan2(y - centre[1], x - centre[0])) % 360

    ordered = sorted(planets, key=lambda item: (bearing(item), item.id))
    part = ordered[0].part
    assert isinstance(part, Toothed)
    tip = part.module * (part.teeth + 2 * (ADDENDUM + part.shift))
    nexts = [*ordered[1:], ordered[0]]
    gaps = tuple(dist(place(a), place(b)) - tip for a, b in zip(ordered, nexts, strict=True))
    bearings = tuple(bearing(item) for item in ordered)
    axes = tuple(kit.arbors[item.arbor].axis or "" for item in ordered)
    return PlanetSet(carrier, axes, kit.items[sun], kit.items[ring], tuple(ordered), bearings, gaps)
