"""mesh-cross: the axes of a bevel or contrate pair meet."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.mechanism.meshes import mesh_kind
from kitdocs.rules.rule import rule

#: How far apart two axes may pass that are meant to meet, mm (common practice for small pairs).
ALLOWED = 0.05


@rule(
    "mesh-cross",
    group="Gearing",
    demand="the level axis of a bevel or contrate pair runs through its upright axis",
    formula="distance of the upright axis from the level one, in plan ≤ 0.05 mm",
    source="ISO 1122-1 (axes of a bevel pair intersect); the limit is common practice",
    example="the crank's axis drilled half a millimetre beside the drive arbor",
)
def mesh_cross(design: Design) -> Iterator[Finding]:
    kit = design.kit
    for mesh in design.kit.meshes:
        if mesh_kind(mesh) not in ("bevel", "contrate"):
            continue
        names = [kit.arbors[item.arbor].axis for item in (mesh.a, mesh.b)]
        level = [n for n in names if n and kit.axes[n].lies == "level"]
        upright = [n for n in names if n and kit.axes[n].lies == "upright"]
        if len(level) != 1 or len(upright) != 1:
            continue
        axis = kit.axes[level[0]]
        (x, y), (px, py) = design.positions[level[0]], design.positions[upright[0]]
        bearing = radians(axis.bearing)
        beside = abs((px - x) * sin(bearing) - (py - y) * cos(bearing))
        if beside > ALLOWED:
            key = "distance" if axis.distance is not None else "at"
            other = kit.axes[upright[0]]
            facts = [axis.place("bearing"), other.place(), mesh.place]
            facts += [fact.place("at", i) for fact in (axis, other) if fact.at for i in (0, 1)]
            yield Finding(
                axis.place(key),
                "mesh-cross",
                f"the axis {level[0]} passes {upright[0]} at {beside:.3f} mm",
                f"at most {ALLOWED:g} mm",
                "Move the axis, or turn its bearing.",
                facts=tuple(facts),
            )
