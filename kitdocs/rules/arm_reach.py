"""arm-reach: what an arm carries stands where the arm is drilled for it."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import Arm
from kitdocs.mechanism.fits import at_the_hole
from kitdocs.rules.rule import rule


@rule(
    "arm-reach",
    group="Stacks",
    demand="an axis that an arm takes round stands at the arm's reach, or at one of its holes",
    formula="distance = reach, or half the circle of one of its holes; bearing 0° or 180°",
    source="our own: the mechanism and the part say the same of one hole",
    example="the Mars rod's axis at 80 mm on an arm that reaches 79 mm",
)
def arm_reach(design: Design) -> Iterator[Finding]:
    kit = design.kit
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
