"""held-host: what is held is held to something that it touches."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.model import Item
from kitdocs.mechanism.screws import Fastening
from kitdocs.rules.rule import rule

_TOUCHING = 1e-6  # mm: faces this near are one face, reckoned along two ways


@rule(
    "held-host",
    group="Fasteners",
    demand="an item is held to something of its own arbor, or to what the arbor of one of the two "
    "stands on; what an adhesive or a set screw holds touches it",
    formula="adhesive, set screw: the heights of both overlap or meet",
    source="our own: two things that do not touch cannot be held together",
    example="the set screw of the Mercury hub, said to bear on the slow pipe",
    follows=("stack-seat", "screw-thread", "screw-grip", "fit-press"),
)
def held_host(design: Design) -> Iterator[Finding]:
    for name, fastening in design.fastenings.items():
        held, item, host = design.kit.held[name], fastening.item, fastening.host
        if not _together(design, item, host):
            found = f"{name} of the arbor {item.arbor}, held to {host.id}"
            expected = "something of its own arbor, or what that stands on"
        elif not _touch(design, fastening):
            found, expected = f"{name}, held to {host.id}", "something that it touches"
        else:
            continue
        arbors = design.kit.arbors
        yield Finding(
            held.place("to"),
            "held-host",
            found,
            expected,
            facts=(
                held.place(),
                item.place,
                host.place,
                host.part.place(),
                *(arbors[i.arbor].place("stands_on") for i in (item, host)),
            ),
        )


def _together(design: Design, a: Item, b: Item) -> bool:
    arbors = design.kit.arbors
    stands = {arbors[a.arbor].stands_on == b.id, arbors[b.arbor].stands_on == a.id}
    return a.arbor == b.arbor or True in stands


def _touch(design: Design, fastening: Fastening) -> bool:
    if fastening.kind not in ("adhesive", "set-screw"):
        return True  # screw-grip and fit-press look at the others
    if _place(fastening.item) == _place(fastening.host):
        return False  # side by side in one level
    a, b = (design.heights.of(item.id) for item in (fastening.item, fastening.host))
    if a is None or b is None:
        return True  # stack-seat tells of it
    return max(a.bottom - b.top, b.bottom - a.top) <= _TOUCHING


def _place(item: Item) -> tuple[str, str, int]:
    return item.arbor, item.where, item.level
