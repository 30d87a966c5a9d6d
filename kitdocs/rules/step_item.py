"""step-item: a step names things of this kit, and does to them what can be done."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Kit
from kitdocs.kit.names import nearest, nearest_name, quoted
from kitdocs.kit.stage import Action
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
    demand="every item and mesh that a step names exists, and is held in the way that the action "
    "takes for granted",
    source="our own: instructions must be possible in every step",
    example="fasten: earth-weel (did you mean 'earth-wheel'?)",
)
def step_item(design: Design) -> Iterator[Finding]:
    for _, _, action in design.kit.actions():
        known = True
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
