"""step-captive: nothing has to pass what is already there."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.dry_build_faults import faults
from kitdocs.rules.rule import rule


@rule(
    "step-captive",
    group="Steps",
    demand="the way of an item to its place, or off it, is free: nothing on its own axis or a "
    "neighbouring one lies beyond it and covers a part of it in plan",
    formula="barred: rings overlap by more than 0.1 mm in plan, and lower face of the one ≥ upper "
    "face of the other; arms count with their hubs, what they carry where it cannot be turned away",
    source="our own: two things cannot pass through each other; a captive part goes in first",
    example="a washer slid on after the collar above it; a wheel after one that hangs over it",
    after=("step-facts", "stack-seat"),
    follows=(
        "step-item",
        "build-complete",
        "step-order",
        "stack-height",
        "stack-end",
        "mesh-foul",
        "mesh-overlap",
    ),
)
def step_captive(design: Design) -> Iterator[Finding]:
    yield from faults(design, "step-captive")
