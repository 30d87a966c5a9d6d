"""stack-end: a shaft carries all of its stack, and nothing can come off its end."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.model import Item
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import millimetres

_EXACT = 1e-6  # mm: less is rounding


@rule(
    "stack-end",
    group="Stacks",
    demand="a shaft is as long as the stack that stands on it, and the last thing along each axis "
    "is held, so that nothing comes off",
    formula="upper face of each item of the stack ≤ upper end of its shaft",
    source="our own: what turns is carried, and what is loose is kept in by something that is not",
    example="a spacer outside the crank's handle, held by nothing",
    follows=("stack-seat", "stack-height"),
)
def stack_end(design: Design) -> Iterator[Finding]:
    yield from _overhanging(design)
    yield from _loose(design)


def _overhanging(design: Design) -> Iterator[Finding]:
    for name, items in design.kit.on_arbor.items():
        shaft = next((item for item in items if item.where == "shaft"), None)
        end = design.heights.of(name) if shaft is not None else None
        if shaft is None or end is None:
            continue
        above = [
            (span.top - end.top, item)
            for item in items
            if item.where == "stack" and (span := design.heights.of(item.id)) is not None
        ]
        most, item = max(above, key=lambda one: one[0], default=(0.0, shaft))
        if most > _EXACT:
            below = [i for i in items if i.where == "stack" and i.level < item.level]
            yield Finding(
                item.place,
                "stack-end",
                f"{item.id} reaches {millimetres(most)} over the end of {name}",
                "a shaft as long as its stack",
                "Lengthen the shaft, or take something out of its stack.",
                facts=tuple(
                    dict.fromkeys(
                        place
                        for one in (shaft, item, *below)
                        for place in (one.part.place(), one.part.place("length"), one.place)
                    )
                ),
            )


def _loose(design: Design) -> Iterator[Finding]:
    kit = design.kit
    along: dict[str, list[Item]] = {}
    for item in kit.items.values():
        axis = kit.arbors[item.arbor].axis
        if axis is not None and design.heights.of(item.id) is not None:
            along.setdefault(axis, []).append(item)
    for axis, items in along.items():
        if kit.axes[axis].lies == "level":
            arbors = dict.fromkeys(item.arbor for item in items)
            ends = [_last(design, kit.on_arbor[name]) for name in arbors]
        else:
            ends = [_last(design, items)]
        for item in ends:
            if item is not None and item.id not in kit.held:
                yield Finding(
                    item.place,
                    "stack-end",
                    f"nothing holds {item.id}, the last on the axis {axis}",
                    "something that is held, outside it",
                    facts=(kit.arbors[item.arbor].place("axis"),),
                )


def _last(design: Design, items: Iterable[Item]) -> Item | None:
    """The item that ends highest, or farthest out; of those at one height one that is held."""

    def rank(item: Item) -> tuple[float, bool]:
        span = design.heights.of(item.id)
        return (round(span.top, 6) if span else 0.0, item.id in design.kit.held)

    return max((item for item in items if item.where != "shaft"), key=rank, default=None)
