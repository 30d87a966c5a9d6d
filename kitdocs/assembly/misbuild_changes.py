"""A machine built wrong: the kit as its maker meant it, changed as a builder may mistake it.

Each function returns a kit of its own. What it says of motion, heights and meshes is then
computed like that of any kit.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace

from kitdocs.kit.model import Item, Kit, Mesh
from kitdocs.kit.parts import Part
from kitdocs.mechanism.heights import levels


def with_parts(kit: Kit, parts: Mapping[str, Part]) -> Kit:
    """Other parts in the places of items."""
    return _with_items(kit, {name: replace(kit.items[name], part=p) for name, p in parts.items()})


def without(kit: Kit, name: str) -> Kit:
    """An item left out. What stood on it stands on what was below it."""
    item = kit.items[name]
    below = item_below(kit, item)
    arbors = {
        arbor: fact.changed(stands_on=below.id if below else None)
        for arbor, fact in kit.arbors.items()
        if fact.stands_on == name
    }
    rest = {key: other for key, other in kit.items.items() if key != name}
    held = {key: h for key, h in kit.held.items() if key != name and h.to != name}
    mechanism = kit.mechanism.changed(arbors={**kit.arbors, **arbors}, held=held)
    meshes = tuple(mesh for mesh in kit.meshes if name not in (mesh.a.id, mesh.b.id))
    return replace(kit, items=rest, mechanism=mechanism, meshes=meshes)


def with_order(kit: Kit, arbor: str, order: Sequence[Sequence[Item]]) -> Kit:
    """The levels of one stack in another order, lowest first."""
    changed = {
        item.id: replace(item, level=number) for number, level in enumerate(order) for item in level
    }
    return _with_items(kit, changed)


def upside_down(kit: Kit, arbor: str, built: Collection[str]) -> Kit:
    """An arbor with what is built on it, the lower end of its shaft upwards.

    What was counted from its shoulder up is then counted from its end down. What is not built
    yet is left out, since nobody will put it on like that.
    """
    changed: dict[str, Item] = {}
    mine = [item for item in kit.on_arbor[arbor] if item.id in built]
    for where, other in (("stack", "end_stack"), ("end_stack", "stack")):
        stack = levels(item for item in mine if item.where == where)
        for number, level in enumerate(reversed(stack)):
            changed |= {i.id: replace(i, where=other, level=number) for i in level}
    for item in kit.on_arbor[arbor]:
        if item.id not in built:
            kit = without(kit, item.id)
    return _with_items(kit, changed)


def half_turned(kit: Kit, arbor: str) -> Kit:
    """An arm half a turn out on its arbor: what it carries stands opposite."""
    axes = {}
    for name, axis in kit.axes.items():
        if axis.carried_by == arbor:
            at = (-axis.at[0], -axis.at[1]) if axis.at else None
            axes[name] = axis.changed(at=at, bearing=axis.bearing + 180)
    return replace(kit, mechanism=kit.mechanism.changed(axes={**kit.axes, **axes}))


def with_fastener(kit: Kit, item: str, fastener: Part) -> Kit:
    """Another fastener in place of the one that holds an item."""
    held = {**kit.held, item: kit.held[item].changed(by=fastener.id)}
    return replace(kit, mechanism=kit.mechanism.changed(held=held))


def with_meshes(kit: Kit, meshes: Iterable[Mesh]) -> Kit:
    """Other pairs in contact."""
    return replace(kit, meshes=tuple(meshes))


def item_below(kit: Kit, item: Item) -> Item | None:
    """What an item of a stack lies upon: the level below it, or what its arbor stands on."""
    stack = levels(i for i in kit.on_arbor[item.arbor] if i.where == item.where)
    at = next(number for number, level in enumerate(stack) if item in level)
    if len(stack[at]) > 1:
        return next(other for other in stack[at] if other is not item)
    if at:
        return max(stack[at - 1], key=lambda i: i.part.height)
    return kit.items.get(kit.arbors[item.arbor].stands_on or "")


def _with_items(kit: Kit, changed: Mapping[str, Item]) -> Kit:
    items = {**kit.items, **changed}
    meshes = tuple(
        replace(mesh, a=items[mesh.a.id], b=items[mesh.b.id])
        if mesh.a.id in changed or mesh.b.id in changed
        else mesh
        for mesh in kit.meshes
    )
    return replace(kit, items=items, meshes=meshes)
