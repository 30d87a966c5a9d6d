"""stack-seat: every stack stands on something, so that its heights are known."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.rule import rule


@rule(
    "stack-seat",
    group="Stacks",
    demand="every upright arbor with items stands on an item, directly or through others on the "
    "frame, so that the heights of its stack can be computed",
    formula="height of an item = height of what its arbor stands on + what lies below it",
    source="our own: heights are computed from stacks and never typed",
    example="the Venus pipe says `runs-on: mercury` and not what its shoulder stands on",
)
def stack_seat(design: Design) -> Iterator[Finding]:
    for name in design.heights.unknown:
        arbor = design.kit.arbors[name]
        yield Finding(
            arbor.place("stands_on"),
            "stack-seat",
            f"nothing tells how high the stack of {name} stands",
            "stands-on: ITEM, with that item's own height known",
            "Name the item whose upper face carries its shoulder.",
        )
