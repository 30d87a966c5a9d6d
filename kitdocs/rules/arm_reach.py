"""arm-reach: what an arm carries stands where the arm is drilled for it."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import Arm
from kitdocs.rules.rule import rule

#: Axis positions and arms are both written to a hundredth of a millimetre or coarser, mm.
WRITTEN_TO = 0.01


@rule(
    "arm-reach",
    group="Stacks",
    demand="an axis that an arm takes round stands at the arm's reach, or at one of its seats",
    formula="distance · cos(bearing) = reach or one of seats",
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
        along = axis.distance * cos(radians(axis.bearing))
        seats = sorted({seat for arm in arms for seat in (arm.reach, *arm.seats)})
        if axis.bearing % 180 == 0 and any(abs(along - seat) <= WRITTEN_TO for seat in seats):
            continue
        yield Finding(
            axis.place("distance"),
            "arm-reach",
            f"the axis {name} stands {along:g} mm along the arm of {axis.carried_by}",
            " or ".join(f"{seat:g} mm" for seat in seats),
            "Correct the distance, or the arm's `reach` or `seats`.",
            facts=(axis.place("bearing"), *(arm.place("reach") for arm in arms)),
        )
