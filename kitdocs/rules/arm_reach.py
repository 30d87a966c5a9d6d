"""arm-reach: what an arm carries stands where the arm is drilled for it."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, counted
from kitdocs.kit.model import Item
from kitdocs.kit.parts import Arm
from kitdocs.mechanism.fits import at_the_hole
from kitdocs.rules.rule import rule


@rule(
    "arm-reach",
    group="Stacks",
    demand="an axis that an arm takes round stands at the arm's reach, or at one of its holes, "
    "and each of those holes has its axis; the outermost is at the reach",
    formula="distance = reach, or half the circle of one of its holes; bearing 0° or 180°",
    source="our own: the mechanism and the part say the same of one hole",
    example="the Mars rod's axis at 80 mm on an arm that reaches 79 mm",
)
def arm_reach(design: Design) -> Iterator[Finding]:
    kit = design.kit
    told: set[str] = set()
    for name, axis in kit.axes.items():
        if axis.carried_by is None or axis.distance is None:
            continue
        items = kit.on_arbor[axis.carried_by]
        arms = [item.part for item in items if isinstance(item.part, Arm)]
        if not arms:
            continue
        seats = {arm.reach for arm in arms}
        seats |= {hole.circle / 2 for arm in arms for hole in arm.holes if hole.circle}
        drilled = any(at_the_hole(seat, axis.distance) for seat in seats)
        if drilled and axis.bearing % 180 == 0:
            continue
        told.add(axis.carried_by)
        yield Finding(
            axis.place("bearing" if drilled else "distance"),
            "arm-reach",
            f"the axis {name} stands {axis.distance:g} mm along the arm of {axis.carried_by}, at "
            f"{axis.bearing:g}°",
            f"{' or '.join(f'{seat:g} mm' for seat in sorted(seats))}, at 0° or 180°",
            "" if drilled else "Correct the distance, or the arm's `reach` or holes.",
            facts=(
                axis.place("distance" if drilled else "bearing"),
                *(arm.place("reach") for arm in arms),
                *(hole.place("circle") for arm in arms for hole in arm.holes),
            ),
        )
    arms = [i for i in kit.items.values() if isinstance(i.part, Arm) and i.arbor not in told]
    for item in arms:
        yield from _reach(design, item)
        yield from _empty_holes(design, item)


def _reach(design: Design, item: Item) -> Iterator[Finding]:
    """An arm that reaches not as far as the last thing that it carries, or farther."""
    axes = [axis for axis in design.kit.axes.values() if axis.carried_by == item.arbor]
    last = max(axes, key=lambda axis: axis.distance or 0.0, default=None)
    part = item.part
    assert isinstance(part, Arm)
    if part.kind != "arm" or last is None or last.distance is None:
        return
    if not at_the_hole(part.reach, last.distance):
        yield Finding(
            part.place("reach"),
            "arm-reach",
            f"{item.id} reaches {part.reach:g} mm, and its last axis, {last.id}, stands at "
            f"{last.distance:g} mm",
            f"{last.distance:g} mm",
            facts=(last.place("distance"), last.place("carried_by")),
        )


def _empty_holes(design: Design, item: Item) -> Iterator[Finding]:
    """Plain holes of an arm, off its middle, that no axis goes through."""
    axes = [axis for axis in design.kit.axes.values() if axis.carried_by == item.arbor]
    passing = design.fastenings[item.id].passing if item.id in design.fastenings else None
    for hole in item.part.holes:
        if hole.circle is None or hole.thread is not None or hole is passing:
            continue
        seat = hole.circle / 2
        used = sum(at_the_hole(seat, axis.distance) for axis in axes if axis.distance)
        if used < hole.count:
            yield Finding(
                hole.place("count"),
                "arm-reach",
                f"{item.id} has {counted(hole.count, 'hole')} {seat:g} mm from its axis, and "
                f"carries {used or 'nothing'} there",
                "an axis for each hole",
                facts=(hole.place("circle"), item.place),
            )
