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
            ends = [_last(design, kit.on_arbor[name]) for name in {i.arbor for i in items}]
        else:
            ends = [_last(design, items)]
        for item in ends:
            if item.where != "shaft" and item.id not in kit.held:
                yield Finding(
                    item.place,
                    "stack-end",
                    f"nothing holds {item.id}, the last on the axis {axis}",
                    "something that is held, outside it",
                )


def _last(design: Design, items: Iterable[Item]) -> Item:
    """The highest item; of those that end at one height the one that is held, or the shaft."""

    def rank(item: Item) -> tuple[float, bool]:
        span = design.heights.of(item.id)
        kept = item.id in design.kit.held or item.where == "shaft" and not design.kit.held
        return (round(span.top, 6) if span else 0.0, kept)

    ends = [item for item in items if item.where != "shaft"]
    return max(ends or items, key=rank)
