"""step-item: a step names things of this kit, and does to them what can be done."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Item, Kit
from kitdocs.kit.names import nearest, nearest_name, quoted
from kitdocs.kit.parts import Arm
from kitdocs.kit.stage import Action
from kitdocs.mechanism.rigid import FRAME
from kitdocs.rules.rule import rule

#: Kinds of fastening that each action makes or works on.
_WORKS_ON = {
    "fasten": ("screw", "set-screw"),
    "slacken": ("screw", "set-screw"),
    "tighten": ("screw", "set-screw"),
    "glue": ("adhesive",),
    "press": ("press",),
}


@rule(
    "step-item",
    group="Steps",
    demand="every item and mesh that a step names exists, is named once by an action, and is held "
    "in the way that the action takes for granted; only what can turn is turned, only an arm "
    "aimed, only where something runs is oiled",
    source="our own: instructions must be possible in every step",
    example="fasten: earth-weel (did you mean 'earth-wheel'?)",
    follows=("train-locked", "fit-running"),
)
def step_item(design: Design) -> Iterator[Finding]:
    for _, _, action in design.kit.actions():
        known = True
        yield from _twice(action)
        for name, place in zip(action.items, action.item_places, strict=True):
            if name not in design.kit.items:
                known = False
                meant = nearest_name(name, design.kit.items)
                yield Finding(
                    place,
                    "step-item",
                    quoted(name),
                    "an item of the machine",
                    nearest(name, design.kit.items),
                    facts=_places(design.kit, meant) if meant else (),
                )
        if known and action.verb == "mesh":
            yield from _mesh(design.kit, action)
        elif known and action.verb in _WORKS_ON:
            yield from _held(design, action)
        elif known and action.verb in _ABLE:
            yield from _able(design, action)


def _twice(action: Action) -> Iterator[Finding]:
    for i, (name, place) in enumerate(zip(action.items, action.item_places, strict=True)):
        if name in action.items[:i]:
            first = action.item_places[action.items.index(name)]
            found = f"{action.verb}: {name} a second time in one action"
            yield Finding(place, "step-item", found, "each item once", facts=(first,))


def _turns(design: Design, item: Item) -> bool:
    """Whether an item moves against the frame, round its own axis or a carrier's."""
    return design.rigid.body(item.arbor) != FRAME


def _is_aimed(design: Design, item: Item) -> bool:
    return isinstance(item.part, Arm)


def _runs(design: Design, item: Item) -> bool:
    """Whether something turns in or on an item, or it on something."""
    kit = design.kit
    arbor = kit.arbors[item.arbor]
    run_on = {a.runs_on for a in kit.arbors.values()}
    if item.where == "shaft":
        level = arbor.axis is not None and kit.axes[arbor.axis].lies == "level"
        return arbor.runs_on is not None or item.arbor in run_on or level
    if item.part.kind in ("bush", "pillar"):
        return True
    return arbor.runs_on is not None and item.arbor not in kit.items


#: What an action can be done to, and how that is said.
_ABLE: dict[str, tuple[Callable[[Design, Item], bool], str]] = {
    "turn": (_turns, "something that turns"),
    "aim": (_is_aimed, "an arm"),
    "oil": (_runs, "a pipe, a post or a bush where something runs"),
}


def _able(design: Design, action: Action) -> Iterator[Finding]:
    can, expected = _ABLE[action.verb]
    for name, place in zip(action.items, action.item_places, strict=True):
        item = design.kit.items[name]
        if not can(design, item):
            found = f"{action.verb}: {name}"
            facts = (item.place, *_movement(design.kit, item))
            yield Finding(place, "step-item", found, expected, facts=facts)


def _movement(kit: Kit, item: Item) -> Iterator[Place]:
    """Where it is written what of an item's axis stands still, and what runs on what."""
    axis = kit.arbors[item.arbor].axis
    for arbor in kit.arbors.values():
        if axis is not None and arbor.axis == axis:
            if arbor.fixed:
                yield arbor.place("fixed")
            if arbor.runs_on is not None:
                yield arbor.place("runs_on")


def _places(kit: Kit, item: str) -> tuple[Place, ...]:
    """Where an item, what holds it and its meshes are written: what a step without it misses."""
    held = (kit.held[item].place(),) if item in kit.held else ()
    return (kit.items[item].place, *held, *(mesh.place for mesh in kit.meshes_of.get(item, ())))


def _mesh(kit: Kit, action: Action) -> Iterator[Finding]:
    a, b = action.items
    if kit.mesh(a, b) is None:
        partners = [m.b.id if m.a.id == a else m.a.id for m in kit.meshes_of.get(a, ())]
        mend = (
            f"{a} meshes with {', '.join(partners)}." if partners else f"{a} meshes with nothing."
        )
        meant = tuple(m.place for name in (a, b) for m in kit.meshes_of.get(name, ()))
        found, expected = f"'{a}' with '{b}'", "a mesh of the machine"
        yield Finding(action.place, "step-item", found, expected, mend, facts=meant)


def _held(design: Design, action: Action) -> Iterator[Finding]:
    for name, place in zip(action.items, action.item_places, strict=True):
        fastening = design.fastenings.get(name)
        if fastening is None:
            found = f"{name}, which the fastening schedule does not hold"
        elif fastening.kind not in _WORKS_ON[action.verb]:
            by = design.kit.held[name].by
            found = f"{name}, which is held by {by}"
        else:
            continue
        kinds = " or ".join(_WORKS_ON[action.verb])
        yield Finding(
            place,
            "step-item",
            f"{action.verb}: {found}",
            f"an item held by {kinds}",
            facts=(design.kit.held[name].place("by"),) if fastening else (),
        )
