"""build-once: everything is built, fastened and brought into mesh by exactly one step."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Kit
from kitdocs.kit.stage import FASTENING, PLACING
from kitdocs.rules.rule import rule


@rule(
    "build-once",
    group="Steps",
    demand="every item is put in place by exactly one step, every fastening is made by exactly "
    "one, and every mesh is brought together by exactly one",
    source="our own: instructions must be complete in every part",
    example="no step fits venus-washer; two steps fasten earth-wheel",
    after=("step-facts",),
    follows=("step-item",),
)
def build_once(design: Design) -> Iterator[Finding]:
    kit = design.kit
    items = {name: item.place for name, item in kit.items.items()}
    yield from _once(items, _named(kit, PLACING), "put in place", "fit")
    held = {name: held.place() for name, held in kit.held.items() if name in kit.items}
    yield from _once(held, _named(kit, FASTENING), "fastened", "fasten")
    meshes = {_pair(m.a.id, m.b.id): m.place for m in kit.meshes}
    steps = [
        (_pair(*action.items), action.place)
        for _, _, action in kit.actions()
        if action.verb == "mesh" and kit.mesh(*action.items)
    ]
    yield from _once(meshes, steps, "brought into mesh", "mesh")


def _pair(a: str, b: str) -> str:
    return " and ".join(sorted((a, b)))


def _named(kit: Kit, verbs: Iterable[str]) -> list[tuple[str, Place]]:
    return [
        (name, place)
        for _, _, action in kit.actions()
        if action.verb in verbs
        for name, place in zip(action.items, action.item_places, strict=True)
    ]


def _once(
    wanted: dict[str, Place], steps: list[tuple[str, Place]], done: str, verb: str
) -> Iterator[Finding]:
    seen: dict[str, Place] = {}
    for name, place in steps:
        if name in seen and name in wanted:
            yield Finding(
                place,
                "build-once",
                f"{name} {done} a second time",
                "once",
                "An item that was removed is put back by `refit`." if verb == "fit" else "",
                facts=(seen[name], wanted[name]),
            )
        seen.setdefault(name, place)
    for name, place in wanted.items():
        if name not in seen:
            mend = f"Add `{verb}: {name}` to a step." if verb != "mesh" else "Add it to a step."
            yield Finding(place, "build-once", f"{name} is {done} by no step", "one step", mend)
