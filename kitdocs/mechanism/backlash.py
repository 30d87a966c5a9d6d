"""Free play: how far each arm can be moved by hand with the crank held still.

Every mesh may give by its backlash. What that does to a body is linear: an arbor's angle is
`ratio · driver + (1 − ratio) · carrier + give of its mesh`, from the crank outwards, so each mesh
has one factor for each arbor behind it and the play is the sum of factor × backlash. The shake of
pipes on their posts is not counted.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import degrees
from types import MappingProxyType

from kitdocs.finding import Place
from kitdocs.kit.model import Item, Kit, Mesh
from kitdocs.kit.parts import Toothed
from kitdocs.mechanism.contact import Places, mesh_backlash
from kitdocs.mechanism.motion import Link, Motion


@dataclass(frozen=True)
class Share:
    """What one mesh gives to a body's free play: `backlash` in mm, `play` in degrees."""

    mesh: Mesh
    backlash: float
    play: float


@dataclass(frozen=True)
class FreePlay:
    """The free play of a body in degrees, from end to end, with each mesh's share of it.

    `unknown` are the meshes of its train whose backlash the facts do not tell (crossing axes,
    belts and chains); `degrees` counts only the others.
    """

    body: str
    degrees: float
    shares: tuple[Share, ...]
    unknown: tuple[Mesh, ...]


def free_plays(kit: Kit, motion: Motion, places: Places) -> Mapping[str, FreePlay]:
    """The free play of every shown body, by body id.

    Absent are bodies whose motion does not come to them over one chain of links (differentials).
    """
    shown = {name: (body.arbor, body.seen_from) for name, body in kit.bodies.items()}
    return arbor_plays(kit, motion, places, shown)


def arbor_plays(
    kit: Kit, motion: Motion, places: Places, shown: Mapping[str, tuple[str, str | None]]
) -> Mapping[str, FreePlay]:
    """The free play of arbors by the names given: each against another arbor, or the frame."""
    factors = _Factors(kit, motion)
    give = {mesh.place: mesh_backlash(kit, mesh, places) for mesh in kit.meshes}
    found = {}
    for name, (arbor, against) in shown.items():
        of_body = factors.of(arbor)
        seen_from = factors.of(against) if against else {}
        if of_body is None or seen_from is None:
            continue
        total = {
            link_id: of_body.get(link_id, 0.0) - seen_from.get(link_id, 0.0)
            for link_id in dict.fromkeys((*of_body, *seen_from))
        }
        found[name] = _free_play(name, total, factors.links, give)
    return MappingProxyType(found)


def _free_play(
    name: str,
    factors: Mapping[int, float],
    links: Mapping[int, Link],
    give: Mapping[Place, float | None],
) -> FreePlay:
    shares: list[Share] = []
    unknown: list[Mesh] = []
    for number, factor in factors.items():
        link = links[number]
        backlash = give[link.mesh.place]
        radius = _pitch_radius(link.driven)
        if backlash is None or radius is None:
            if factor:
                unknown.append(link.mesh)
            continue
        play = degrees(abs(factor) * max(0.0, backlash) / radius)
        shares.append(Share(link.mesh, backlash, play))
    return FreePlay(name, sum(s.play for s in shares), tuple(shares), tuple(unknown))


def _pitch_radius(item: Item) -> float | None:
    part = item.part
    return part.module * part.teeth / 2 if isinstance(part, Toothed) else None


class _Factors:
    """How far each arbor turns for a small turn of one driven wheel against its driver."""

    def __init__(self, kit: Kit, motion: Motion):
        self._kit = kit
        self._motion = motion
        self._found: dict[str, dict[int, float] | None] = {kit.mechanism.crank: {}}
        self.links: dict[int, Link] = {}

    def of(self, arbor: str) -> dict[int, float] | None:
        """The factor of each link (by its number); None where one chain does not decide it."""
        waiting = [arbor]
        while waiting:
            at = waiting[-1]
            if at in self._found:
                waiting.pop()
                continue
            needed = self._needed(at)
            open_ones = [name for name in needed if name not in self._found]
            if not open_ones:
                self._found[at] = self._combined(at)
            elif set(open_ones) & set(waiting):
                self._found[at] = None  # it goes round in a circle: several meshes decide it
            else:
                waiting += open_ones
        return self._found[arbor]

    def _needed(self, arbor: str) -> list[str]:
        if self._kit.arbors[arbor].fixed:
            carrier = self._kit.carrier(arbor)
            return [carrier] if carrier else []
        link = self._motion.links.get(arbor)
        if link is None:
            return []
        return [link.driver.arbor, *([link.carrier] if link.carrier else [])]

    def _combined(self, arbor: str) -> dict[int, float] | None:
        known = [self._found[name] for name in self._needed(arbor)]
        if any(factors is None for factors in known):
            return None
        if self._kit.arbors[arbor].fixed:
            return dict(known[0] or {}) if known else {}
        link = self._motion.links.get(arbor)
        if link is None:
            return None
        total: dict[int, float] = {}
        for weight, factors in zip((float(link.ratio), float(1 - link.ratio)), known, strict=False):
            for number, factor in (factors or {}).items():
                total[number] = total.get(number, 0.0) + weight * factor
        number = len(self.links)
        self.links[number] = link
        total[number] = total.get(number, 0.0) + 1.0
        return total
