"""Geometry of a plan that needs no scale of its own: arrows, contacts, wheels seen edge on."""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, dist, radians, sin

from kitdocs.kit.model import Item, Mesh
from kitdocs.mechanism.meshes import mesh_kind
from kitdocs.mechanism.positions import Point
from kitdocs.pages.half_section import pitch_radius

_BARB = 6.0  # px


def arc_arrow(x: float, y: float, r: float, start: float, end: float) -> str:
    """A path: an arc about (x, y) in px from one angle to another (degrees, anticlockwise as seen
    on the page), with a head at its end."""
    (ax, ay), (bx, by) = ((x + r * cos(a), y - r * sin(a)) for a in map(radians, (start, end)))
    turn = 1 if end > start else -1
    heading = radians(end + turn * 90)
    barbs = [(bx - _BARB * cos(a), by + _BARB * sin(a)) for a in (heading + 0.5, heading - 0.5)]
    sweep = 0 if turn > 0 else 1
    head = "".join(f"M{bx:.1f} {by:.1f}L{px:.1f} {py:.1f}" for px, py in barbs)
    return f"M{ax:.1f} {ay:.1f}A{r:.1f} {r:.1f} 0 0 {sweep} {bx:.1f} {by:.1f}{head}"


def contact(mesh: Mesh, a: Point | None, b: Point | None) -> Point | None:
    """Where the pitch circles of a parallel pair touch, its axes being at `a` and `b`, mm."""
    kind = mesh_kind(mesh)
    if kind not in ("external", "internal") or a is None or b is None or a == b:
        return None
    r, other = (pitch_radius(i.part) or 0.0 for i in (mesh.a, mesh.b))
    if kind == "internal":  # beyond the smaller wheel, on the line of centres
        share = r / dist(a, b) if r > other else -r / dist(a, b)
    else:
        share = r / (r + other)
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def edge_on(origin: Point, along: Point, low: float, high: float, r: float) -> list[Point]:
    """The corners of a wheel of radius `r` on an arbor that lies level, from `low` to `high` mm
    along it."""
    (ox, oy), (dx, dy) = origin, along
    return [
        (ox + dx * at - dy * side * r, oy + dy * at + dx * side * r)
        for at, side in ((low, 1), (low, -1), (high, -1), (high, 1))
    ]


def kind_of(meshes: Iterable[Mesh], item: Item) -> str | None:
    """The kind of the first mesh that a wheel is in; external for one that is in none."""
    own = [m for m in meshes if item.id in (m.a.id, m.b.id)]
    return mesh_kind(own[0]) if own else "external"
