"""The machine as far as it is built: the kit reduced to some of its items.

What is left is a kit like any other, so that motion, clashes and the rest are computed on it by
the same code. Only heights are taken from the whole machine: a collar that a stage sets by feel
stands where it will stand in the end, whatever comes on top of it later.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from types import MappingProxyType

from kitdocs.kit.model import Kit
from kitdocs.mechanism.heights import Heights


def sub_machine(kit: Kit, items: Collection[str], crank: str | None = None) -> Kit:
    """The kit with these items only, and the meshes, fastenings and bodies between them.

    Kept beside the arbors of the items are the arbors that carry them and the crank, whose place
    another arbor may take: one that is pushed round by hand while there is no crank yet.
    """
    turned = crank or kit.mechanism.crank
    built = {name: item for name, item in kit.items.items() if name in items}
    arbors, axes = _reached(kit, {turned, *(item.arbor for item in built.values())})
    mechanism = kit.mechanism.changed(
        crank=turned,
        arbors={name: arbor for name, arbor in kit.arbors.items() if name in arbors},
        axes={name: axis for name, axis in kit.axes.items() if name in axes},
        held={n: held for n, held in kit.held.items() if n in built and held.to in built},
    )
    about = kit.about.changed(
        bodies={
            name: body
            for name, body in kit.bodies.items()
            if body.arbor in arbors and (body.seen_from is None or body.seen_from in arbors)
        }
    )
    meshes = tuple(mesh for mesh in kit.meshes if mesh.a.id in built and mesh.b.id in built)
    return replace(kit, about=about, mechanism=mechanism, items=built, meshes=meshes)


def _reached(kit: Kit, arbors: set[str]) -> tuple[set[str], set[str]]:
    """These arbors with those that carry them, and the axes that their places are counted from."""
    axes: set[str] = set()
    waiting = [axis for name in arbors if (axis := kit.arbors[name].axis)]
    arbors = set(arbors)
    while waiting:
        name = waiting.pop()
        if name in axes:
            continue
        axes.add(name)
        axis = kit.axes[name]
        if axis.from_:
            waiting.append(axis.from_)
        if axis.carried_by:
            arbors.add(axis.carried_by)
            if below := kit.arbors[axis.carried_by].axis:
                waiting.append(below)
    return arbors, axes


def built_heights(heights: Heights, items: Collection[str]) -> Heights:
    """The heights of these items only."""
    return Heights(
        MappingProxyType({name: s for name, s in heights.spans.items() if name in items}),
        MappingProxyType({name: s for name, s in heights.level.items() if name in items}),
        heights.unknown,
    )
