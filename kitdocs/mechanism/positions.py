"""Where axes stand, and how far apart arbors are, in plan."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, dist, radians, sin
from types import MappingProxyType

from kitdocs.kit.model import Kit

Point = tuple[float, float]


def positions(kit: Kit) -> Mapping[str, Point]:
    """Each axis's x and y in the frame, mm, seen from above, with every carrier at 0 degrees.

    Axes may be placed from one another in any order. An axis that is placed from itself, round
    about, is absent.
    """
    found: dict[str, Point] = {}
    for name in kit.axes:
        waiting: list[str] = []
        at: str | None = name
        while at is not None and at not in found and at not in waiting:
            waiting.append(at)
            at = _placed_from(kit, at)
        if at in waiting:
            continue  # reading reports it
        for axis in reversed(waiting):
            origin = _placed_from(kit, axis)
            x, y = found[origin] if origin is not None else (0.0, 0.0)
            dx, dy = _offset(kit, axis)
            found[axis] = (x + dx, y + dy)
    return MappingProxyType(found)


def _placed_from(kit: Kit, name: str) -> str | None:
    axis = kit.axes[name]
    if axis.from_ is not None:
        return axis.from_
    return kit.arbors[axis.carried_by].axis if axis.carried_by is not None else None


def _offset(kit: Kit, name: str) -> Point:
    axis = kit.axes[name]
    if axis.at is not None:
        return axis.at
    bearing, distance = radians(axis.bearing), axis.distance or 0.0
    return (distance * cos(bearing), distance * sin(bearing))


def axis_distance(
    kit: Kit, arbor_a: str, arbor_b: str, places: Mapping[str, Point] | None = None
) -> float | None:
    """Distance between the axes of two arbors, mm. `places` saves computing positions anew.

    None where it changes as the machine turns, and where the plan does not show it: an arbor
    without an axis, or one that lies level.
    """
    axis_a, axis_b = kit.arbors[arbor_a].axis, kit.arbors[arbor_b].axis
    if axis_a is None or axis_b is None:
        return None
    if "level" in (kit.axes[axis_a].lies, kit.axes[axis_b].lies):
        return None
    if places is None:
        places = positions(kit)
    if axis_a not in places or axis_b not in places:
        return None
    a, b = places[axis_a], places[axis_b]
    arms_a, arms_b = _carriers(kit, arbor_a), _carriers(kit, arbor_b)
    while arms_a and arms_b and arms_a[-1] == arms_b[-1]:
        arms_a.pop()
        arms_b.pop()
    arms = arms_a + arms_b
    if not arms:
        return dist(a, b)
    if len(arms) > 1:
        return None
    # One arbor goes round on an arm: its distance is constant from the arm's own axis only.
    centre = kit.arbors[arms[0]].axis
    still = b if arms_a else a
    on_centre = centre is not None and dist(places[centre], still) < 1e-9
    return dist(a, b) if on_centre else None


def _carriers(kit: Kit, arbor: str) -> list[str]:
    """The arms that take an arbor round, innermost first; one that is fixed takes nothing round."""
    found: list[str] = []
    carrier = kit.carrier(arbor)
    while carrier is not None and carrier not in found:
        found.append(carrier)
        carrier = kit.carrier(carrier)
    return [arm for arm in found if not kit.arbors[arm].fixed]
