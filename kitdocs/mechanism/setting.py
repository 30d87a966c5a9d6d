"""How the machine is set to a day: what each body shows of the sky, and what is slackened for it.

The crank brings the body of the time base to its place, and all that it drives goes along. Every
other body is then set by itself, with the crank held: the set screw that holds its arm, hand or
dial to its shaft is slackened. The lowest comes first, so that no arm that is set is in the way of
the next; a body that another carries comes after it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from kitdocs.kit.about import Body
from kitdocs.kit.model import Item, Kit
from kitdocs.kit.parts import Shaft
from kitdocs.mechanism.heights import Heights
from kitdocs.mechanism.screws import Fastening
from kitdocs.mechanism.trains import body_reference
from kitdocs.sky.positions import positions_of

#: What a body shows: its longitude, the Moon's angle from the Sun, or the day of the year.
Shows = Literal["longitude", "elongation", "date"]
#: How it is set: by the crank, by a set screw, along with what the crank sets, or not at all.
Way = Literal["crank", "screw", "along", "never"]

_POINTERS = ("arm", "hand", "dial", "ball")
_DATES = ("tropical", "sidereal", "anomalistic")


@dataclass(frozen=True)
class SetBody:
    """One body of the kit. `sky` is the body in the sky whose place it shows.

    `clockwise` says which way its angles count, seen from above. `fastening` is what is
    slackened, where the way is a screw.
    """

    body: str
    sky: str
    shows: Shows
    clockwise: bool
    way: Way
    fastening: Fastening | None = None

    @property
    def flat(self) -> bool:
        """Whether the set screw bears on a flat, which lets the arm stand one way only."""
        host = self.fastening.host.part if self.fastening else None
        return isinstance(host, Shaft) and host.flat


def shown_sky(name: str, body: Body) -> tuple[str, Shows] | None:
    """The body of the sky that a body of a kit shows, and what of it; None where the sky room
    has no place for it: a moon of another planet, a node, an hour."""
    reference = body_reference(name, body)
    if reference is None:
        return None
    sky, kind = reference.body, reference.kind
    if sky == "year" and kind in _DATES:
        return "earth", "date"
    if (sky, kind) in (("moon", "synodic"), ("month", "synodic")):
        return "moon", "elongation"
    if positions_of(sky) and kind in ("sidereal", "tropical", "given"):
        return sky, "longitude"
    return None


def needed_positions(kit: Kit) -> tuple[str, ...]:
    """The bodies of the sky whose longitudes a kit's setting asks for, in the kit's order."""
    found: dict[str, None] = {}
    for name, body in kit.bodies.items():
        shown = shown_sky(name, body)
        if shown and shown[1] != "date":
            found[shown[0]] = None
            if shown[0] == "moon":
                found["earth"] = None  # the Sun stands opposite
    return tuple(found)


def set_bodies(
    kit: Kit, heights: Heights, fastenings: Mapping[str, Fastening]
) -> tuple[SetBody, ...]:
    """The bodies that show a place in the sky, in the order in which they are set."""
    found = []
    for name, body in kit.bodies.items():
        if shown := shown_sky(name, body):
            fastening = _slackened(kit, body.arbor, fastenings)
            way: Way = "screw" if fastening else "never"
            found.append(SetBody(name, *shown, body.turns == "retrograde", way, fastening))
    first = next((b for b in found if _by_crank(kit, b)), None)
    ordered = [_changed(kit, b, first) for b in found]
    return tuple(sorted(ordered, key=lambda b: _order(kit, b, heights)))


def _by_crank(kit: Kit, body: SetBody) -> bool:
    fact = kit.bodies[body.body]
    return fact.arbor == kit.about.time.arbor and fact.seen_from is None


def _changed(kit: Kit, body: SetBody, first: SetBody | None) -> SetBody:
    if first is None or kit.bodies[body.body].arbor != kit.bodies[first.body].arbor:
        return body
    way: Way = "crank" if body is first else "along"
    return SetBody(body.body, body.sky, body.shows, body.clockwise, way)


def _order(kit: Kit, body: SetBody, heights: Heights) -> tuple[int, int, float]:
    ways = {"crank": 0, "along": 1, "screw": 2, "never": 3}
    span = heights.of(body.fastening.item.id) if body.fastening else None
    return ways[body.way], _carriers(kit, body), span.bottom if span else 0.0


def _carriers(kit: Kit, body: SetBody) -> int:
    """How many arms carry it round, one upon another."""
    seen: list[str] = []
    at = kit.carrier(kit.bodies[body.body].arbor)
    while at is not None and at not in seen:
        seen.append(at)
        at = kit.carrier(at)
    return len(seen)


def pointer(kit: Kit, arbor: str) -> Item | None:
    """What shows where an arbor stands: its arm, hand, dial or ball; the highest of a kind."""
    for kind in _POINTERS:
        found = [item for item in kit.on_arbor[arbor] if item.part.kind == kind]
        if found:
            return found[-1]
    return None


def _slackened(kit: Kit, arbor: str, fastenings: Mapping[str, Fastening]) -> Fastening | None:
    """The set screw between what shows an arbor and its shaft; None where glue, a press fit or
    nothing holds it."""
    item, seen = pointer(kit, arbor), set()
    while item is not None and item.id not in seen:
        seen.add(item.id)
        held = fastenings.get(item.id)
        if held is None or held.kind in ("adhesive", "press"):
            return None
        if held.kind == "set-screw" and isinstance(held.host.part, Shaft):
            return held if held.host.id == arbor else None
        item = held.host if held.host.arbor == arbor else None
    return None


def reach(kit: Kit, positions: Mapping[str, tuple[float, float]], arbor: str) -> float | None:
    """How far from its axis an arbor shows its body, mm: at the farthest ball that it carries, or
    else at the end of its arm or hand. None where it has neither."""
    axis = kit.arbors[arbor].axis
    ends = [
        kit.arbors[item.arbor].axis
        for item in kit.items.values()
        if item.part.kind == "ball" and kit.carrier(item.arbor) == arbor
    ]
    centre = positions.get(axis or "")
    if centre and (places := [positions[e] for e in ends if e in positions]):
        return max(((x - centre[0]) ** 2 + (y - centre[1]) ** 2) ** 0.5 for x, y in places)
    shows = pointer(kit, arbor)
    return getattr(shows.part, "reach", None) if shows else None
