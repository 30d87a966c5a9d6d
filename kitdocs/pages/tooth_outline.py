"""Outlines of toothed wheels in plan: involute flanks as polygons."""

from __future__ import annotations

from math import acos, cos, degrees, radians, sin

from kitdocs.kit.model import Kit, Mesh
from kitdocs.kit.parts import RingWheel, Toothed
from kitdocs.mechanism.gears import gear_of, involute
from kitdocs.mechanism.meshes import mesh_kind
from kitdocs.pages.half_section import toothed_radii

Point = tuple[float, float]


def outline(part: Toothed, phase: float, fine: bool) -> list[Point]:
    """The outline of an external wheel about its centre, mm, anticlockwise.

    `phase` is the angle of the middle of a tooth, degrees. Between root and tip each flank is a
    straight line, or two that meet at the pitch circle where `fine`. Cycloidal teeth are drawn
    with the same straight flanks: only their pitch circle is a fact of the kit.
    """
    root, tip = toothed_radii(part)
    pitch = part.module * part.teeth / 2
    radii = (root, pitch, tip) if fine else (root, tip)
    halves = [(r, half_tooth(part, r)) for r in radii]
    points: list[Point] = []
    for tooth in range(part.teeth):
        middle = phase + 360 * tooth / part.teeth
        points += [_polar(r, middle - half) for r, half in halves]
        points += [_polar(r, middle + half) for r, half in reversed(halves)]
    return points


def half_tooth(part: Toothed, radius: float) -> float:
    """Half the angle that a tooth takes up at a radius, degrees (ISO 21771); below the base
    circle it is that at the base circle, and where the flanks have met it is none."""
    gear = gear_of(part)
    base = gear.base_diameter / 2
    angle = degrees(acos(base / radius)) if radius > base else 0.0
    turned = degrees(involute(gear.pressure_angle) - involute(angle))
    return max(0.0, gear.half_tooth_angle + turned)


def _polar(radius: float, angle: float) -> Point:
    return radius * cos(radians(angle)), radius * sin(radians(angle))


def phases(kit: Kit, bearings: dict[int, float]) -> dict[str, float]:
    """Angles that bring the teeth of meshing wheels into each other's spaces, by item id.

    `bearings` gives for each mesh (by its index in the kit) the direction from its first wheel's
    axis to its second's. Where wheels close a ring not all of them can be suited.
    """
    found: dict[str, float] = {}
    meshes = [(n, m) for n, m in enumerate(kit.meshes) if n in bearings]
    for _, first in meshes:
        if first.a.id not in found and first.b.id not in found:
            found[first.a.id] = bearings[kit.meshes.index(first)]
        settled = True
        while settled:
            settled = False
            for n, mesh in meshes:
                if (mesh.a.id in found) is not (mesh.b.id in found):
                    _follow(mesh, bearings[n], found)
                    settled = True
    return found


def _follow(mesh: Mesh, bearing: float, found: dict[str, float]) -> None:
    """The phase of the other wheel of a mesh, from that of the one which is known."""
    known, other, towards = mesh.a, mesh.b, bearing
    if known.id not in found:
        known, other, towards = mesh.b, mesh.a, bearing + 180
    a, b = known.part, other.part
    if not isinstance(a, Toothed) or not isinstance(b, Toothed):
        found[other.id] = 0.0
        return
    offset = ((towards - found[known.id]) * a.teeth / 360) % 1  # in pitches, from a tooth's middle
    if mesh_kind(mesh) == "internal":
        at = towards + (180 if isinstance(a, RingWheel) else 0)
        found[other.id] = at + (0.5 - offset) * 360 / b.teeth
    else:
        found[other.id] = towards + 180 + (offset + 0.5) * 360 / b.teeth
