"""stack-seat: every stack stands on something, so that its heights are known."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.model import Kit
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
    kit, told = design.kit, set[str]()
    for name in design.heights.unknown:
        below = [name]
        while (on := _stands_on(kit, below[-1])) in design.heights.unknown and on not in below:
            below.append(on)
        root = below[-1]
        if told & set(below):
            continue  # it stands on what has been told of
        level = on in {kit.items[i].arbor for i in design.heights.level}
        if level and kit.arbors[on].stands_on:
            continue  # told of below
        told.update(below)
        arbor = kit.arbors[root]
        found = f"nothing tells how high the stack of {root} stands"
        expected, mend = "stands-on: ITEM", "Name the item whose upper face carries its shoulder."
        if on is not None and on in below:
            circle = below[below.index(on) :]
            found = f"{', '.join(circle)} on a stack of its own"
            if len(circle) > 1:
                found = f"{', '.join(circle)} stand on one another"
            expected = "stacks that stand on the frame in the end"
        elif level:
            found, expected = (
                f"{root} stands on {arbor.stands_on}, which lies level",
                "stands-on: ITEM",
            )
        elif on is not None and arbor.end_stack and arbor.part is None:
            found = f"the end stack of {root} has no shaft to be flush with"
            expected, mend = "part: SHAFT", ""
        yield Finding(arbor.place("stands_on"), "stack-seat", found, expected, mend)
    for name, arbor in kit.arbors.items():
        if arbor.stands_on and arbor.axis and kit.axes[arbor.axis].lies == "level":
            found = f"{name} stands on {arbor.stands_on}, and its axis {arbor.axis} lies level"
            yield Finding(
                arbor.place("stands_on"),
                "stack-seat",
                found,
                "an upright axis",
                facts=(arbor.place("axis"), kit.axes[arbor.axis].place("lies")),
            )


def _stands_on(kit: Kit, name: str) -> str | None:
    """The arbor whose item an arbor stands on."""
    item = kit.arbors[name].stands_on
    return kit.items[item].arbor if item is not None else None
