"""The facts that decide how two wheels run together."""

from __future__ import annotations

from kitdocs.assembly.design import Design
from kitdocs.finding import Place
from kitdocs.kit.model import Mesh


def mesh_facts(design: Design, mesh: Mesh) -> tuple[Place, ...]:
    """Teeth, shift and thinning of both wheels, as far as they are written, and their axes."""
    places: list[Place] = []
    for item in (mesh.a, mesh.b):
        part = item.part
        keys = ["teeth", *(key for key in ("shift", "thinning") if getattr(part, key, 0))]
        places += [part.place(key) for key in keys]
        name = design.kit.arbors[item.arbor].axis
        if name is not None:
            axis = design.kit.axes[name]
            places.append(axis.place("distance" if axis.distance is not None else "at"))
    return tuple(dict.fromkeys(places))
