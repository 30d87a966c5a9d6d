"""hole-shared: no tapped hole is asked to take two screws."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.mechanism.heights import part_height
from kitdocs.mechanism.screws import Fastening
from kitdocs.rules.rule import rule


@rule(
    "hole-shared",
    group="Fasteners",
    demand="each tapped hole takes one screw, unless it is deep enough for two from opposite "
    "faces; wheels on both faces of one hub use different holes",
    formula="engagement₁ + engagement₂ ≤ depth of the hole",
    source="our own: what follows from two screws in one hole",
    example="two wheels on one hub, both by holes 1, 3, 5 of its six",
    follows=("screw-thread",),
)
def hole_shared(design: Design) -> Iterator[Finding]:
    taken: dict[tuple[str, int], tuple[Fastening, Place]] = {}
    for name, fastening in design.fastenings.items():
        held = design.kit.held[name]
        shared: dict[str, list[tuple[int, Place, Place]]] = {}  # by the other item
        for i, number in enumerate(fastening.holes):
            place = held.place("holes", i)
            key = (fastening.host.id, number)
            if key not in taken:
                taken[key] = (fastening, place)
                continue
            other, other_place = taken[key]
            if other is fastening or not _deep_enough(fastening, other, i):
                shared.setdefault(other.item.id, []).append((number, place, other_place))
        for other_name, holes in shared.items():
            which = ", ".join(str(number) for number, _, _ in holes)
            whom = f"twice for {name}" if other_name == name else f"for {name} and {other_name}"
            yield Finding(
                holes[0][1],
                "hole-shared",
                f"hole{'s' if len(holes) > 1 else ''} {which} of {held.to} {whom}",
                "one screw in each hole",
                "Use the holes between.",
                facts=tuple(place for _, *places in holes for place in places),
            )


def _deep_enough(one: Fastening, other: Fastening, index: int) -> bool:
    hole = one.host_holes[index]
    if hole is None or one.engagement is None or other.engagement is None:
        return False
    depth = hole.depth if hole.depth is not None else part_height(one.host.part)
    return one.engagement + other.engagement <= depth
