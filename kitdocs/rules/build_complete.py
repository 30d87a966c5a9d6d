"""build-complete: the steps build the whole machine of the design, and nothing stays over."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Kit
from kitdocs.kit.stage import FASTENING, PLACING
from kitdocs.rules.dry_build_faults import faults
from kitdocs.rules.rule import rule


@rule(
    "build-complete",
    group="Steps",
    demand="after the last stage the built machine is the machine of the design: every item in "
    "its place, every fastening made, every mesh brought together",
    formula="items, fastenings and meshes of the dry build = those of the mechanism",
    source="our own: instructions must be complete in every part",
    example="no step fits venus-washer; the Mars pipe is made up on the bench and never placed",
    after=("step-facts", "stack-seat"),
    follows=("step-item",),
)
def build_complete(design: Design) -> Iterator[Finding]:
    kit = design.kit
    items = {name: item.place for name, item in kit.items.items()}
    yield from _missing(items, _named(kit, PLACING), "put in place", "fit")
    held = {name: held.place() for name, held in kit.held.items() if name in kit.items}
    yield from _missing(held, _named(kit, FASTENING), "fastened", "fasten")
    meshes = {_pair(m.a.id, m.b.id): m.place for m in kit.meshes}
    met = {_pair(*a.items) for _, _, a in kit.actions() if a.verb == "mesh"}
    yield from _missing(meshes, met, "brought into mesh", "mesh")
    yield from faults(design, "build-complete")


def _pair(a: str, b: str) -> str:
    return " and ".join(sorted((a, b)))


def _named(kit: Kit, verbs: Iterable[str]) -> set[str]:
    return {name for _, _, action in kit.actions() if action.verb in verbs for name in action.items}


def _missing(wanted: dict[str, Place], done: set[str], how: str, verb: str) -> Iterator[Finding]:
    for name, place in wanted.items():
        if name not in done:
            mend = f"Add `{verb}: {name}` to a step." if verb != "mesh" else "Add it to a step."
            yield Finding(place, "build-complete", f"{name} is {how} by no step", "one step", mend)
